#!/usr/bin/env python3
"""A whole tasting over the page alone, with no script in any browser: plan, draw, phones, desk, board, close, verdict.

    whole_tasting.py --program BUILD/oddplate
"""

import argparse
import json
import re

from phone import CHECKS, Host, check, phone_links

PLAN = {"title": "Less salt <b>&</b> the cure", "versions": [{"id": "current"}, {"id": "new"}], "tasters": 6, "alpha": 0.05,
        "rounds": [{"method": "triangle", "spots": ["edge", "centre"]}, {"method": "paired-preference", "spots": ["edge"], "no_preference": True}]}


def answer_all(phone, link, none_at_last=False):
    """Taps the first code on every tray, says no in the last box, and gives back what the page said was kept."""
    phone.get(link)
    sets = 0
    while "All done" not in phone.text:
        check("a tray or the last box is shown", phone.status == 200 and "<form" in phone.text, phone.text)
        to = re.search(r'action="(/t/\w+/(\d+))"', phone.text)
        picks = re.findall(r'name="pick" value="([^"]+)"', phone.text)
        if none_at_last and 'name="none"' in phone.text:
            phone.post(to.group(1), {"none": "yes"})
        else:
            phone.post(to.group(1), {"pick": picks[0]})
        check("the answer is kept", phone.status == 200, phone.text)
        sets += to.group(2) != "0"
    return sets


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("--program", required=True)
    host = Host(arguments.parse_args().program)
    cook, runner, desk = (host.browser(link) for link in host.links[:3])

    cook.get("/").send_form("/tastings", plan="{")
    check("a broken plan is refused in words", cook.status == 422 and "the plan" in cook.text, cook.text)
    cook.get("/plan").send_form("/plan/look", question="noticed", in_ten="4", people="24", spots="edge, centre", gives="60, 20", service="cold")
    check("a cut that is too small is told", "centre gives 20 portions" in cook.text and "edge gives" not in cook.text, cook.text)
    cook.get("/plan").send_form("/plan/look", question="how_much", recipes="usual cure, maple, juniper, pepper", people="48", spots="point, flat, edge", service="warm")
    check("the planner names its own fields, not the plan file's keys", "&quot;Served at a time&quot;" in cook.text and "&quot;waves&quot;" not in cook.text and "spots_at" not in cook.text, cook.text)
    cook.get("/plan").send_form("/plan/look", question="how_much", recipes="usual cure, maple, juniper, pepper", people="48", pieces="4", spots="point, flat, edge", service="warm", waves="10")
    check("and its ways out can be taken there", "Way out: put" not in cook.text and "tray 1 to ballots 1 to 10" in cook.text and "verdict is about these very pieces" not in cook.text, cook.text)
    cook.get("/").send_form("/tastings", plan=json.dumps(PLAN))
    check("the plan's own text cannot become markup", "Less salt &lt;b&gt;&amp;&lt;/b&gt; the cure" in cook.text, cook.text)
    tasting = cook.path.rsplit("/", 1)[1]
    cook.send_form(f"/tasting/{tasting}/draw")
    check("it is drawn", "Seal number" in cook.text, cook.text)
    links = phone_links(cook, tasting)
    ballots = host.json("ballots", tasting)
    check("each ballot has a link of its own", len(set(links)) == len(ballots) == 8, links)

    phones = [host.browser() for _ in links]
    for b in range(4):
        check("three trays and the last box", answer_all(phones[b], links[b], none_at_last=b == 3) == 3)
    phones[4].get(links[4])
    for code in ballots[4]["sets"][0]["codes"]:
        check("the phone shows the codes of its tray", code in phones[4].text)
    phones[4].post(links[4] + "/1", {"pick": "999"})
    check("a code of another tray is refused", phones[4].status == 409 and "was not kept" in phones[4].text, phones[4].text)
    first, other = ballots[4]["sets"][0]["codes"][:2]
    phones[4].post(links[4] + "/1", {"pick": first})
    phones[4].post(links[4] + "/1", {"pick": first})
    check("a double tap is kept once and said to be kept", phones[4].status == 200 and "Kept. Tray 1" in phones[4].text, phones[4].text)
    phones[4].post(links[4] + "/1", {"pick": other})
    check("the first answer stands", phones[4].status == 409, phones[4].text)

    runner.get(f"/tasting/{tasting}/board")
    check("the board counts", "4 of 6 planned ballots done; 2 spare" in runner.text and "1 / 3" in runner.text, runner.text)
    runner.send_form(f"/tasting/{tasting}/act/hand", ballot="6", taster="Ko")
    check("a nickname stands on the board", ">Ko<" in runner.text, runner.text)
    runner.send_form(f"/tasting/{tasting}/act/spoil", ballot="8", why="dropped")
    check("a spoiled ballot stands on the board", "spoiled" in runner.text, runner.text)
    phones[7].get(links[7])
    check("its phone says so", "no longer used" in phones[7].text, phones[7].text)

    runner.send_form(f"/tasting/{tasting}/act/spoil", ballot="99", why="dropped")
    check("what was refused stands on the board, as it was typed", runner.status == 409 and "Not done: Spoil a ballot." in runner.text and 'value="99"' in runner.text and "<table" in runner.text, runner.text)

    desk.get(f"/tasting/{tasting}/desk")
    desk.send_form(f"/tasting/{tasting}/desk/open", ballot="6")
    slip = {f"tray-{number}": tray["codes"][0] for number, tray in enumerate(ballots[5]["sets"], 1)}
    wrong = desk.send_form(f"/tasting/{tasting}/desk", ballot="6", **{**slip, "tray-1": "100"})
    check("a wrong code is said beside its tray, and what was typed stays", wrong.status == 422 and wrong.text.count('aria-invalid="true"') == 1 and 'value="100"' in wrong.text, wrong.text)
    desk.send_form(f"/tasting/{tasting}/desk", ballot="6", **slip)
    check("the desk says what it kept", "Kept: ballot 6." in desk.text, desk.text)
    desk.send_form(f"/tasting/{tasting}/desk/open", ballot=f"ODDPLATE:{tasting}:5:1")
    check("a scanned slip opens its ballot", 'value="5"' in desk.text and "Ballot 5" in desk.text, desk.text)
    desk.send_form(f"/tasting/{tasting}/desk", ballot="5", **{"tray-1": other})
    check("paper and phone differ, and both are shown", f"the phone says {first}, paper says {other}" in desk.text, desk.text)
    cook.get(f"/tasting/{tasting}/close")
    check("close says that they differ", "differ between paper and phone" in cook.text, cook.text)
    desk.send_form(f"/tasting/{tasting}/settle", ballot="5", set="1", other=other, stands="other")
    check("the slip decides", "What does the slip say" not in desk.text, desk.text)
    desk.get(f"/tasting/{tasting}/second").send_form(f"/tasting/{tasting}/second/open", ballot="6")
    desk.send_form(f"/tasting/{tasting}/second", ballot="6", **{**slip, "tray-1": ballots[5]["sets"][0]["codes"][1]})
    check("a second typing shows only what differs", desk.text.count("the second typing says") == 1 and "3 answers compared, 1 differed" in desk.text, desk.text)
    desk.send_form(f"/tasting/{tasting}/settle", ballot="6", set="1", other=ballots[5]["sets"][0]["codes"][1], stands="first")
    desk.get(f"/tasting/{tasting}/second").send_form(f"/tasting/{tasting}/second/end")

    for paper in ("ballots", "mats", "runner"):
        check(f"{paper}.pdf is a PDF", cook.get_bytes(f"/tasting/{tasting}/room/{paper}.pdf").startswith(b"%PDF-"), cook.status)
    check("the kitchen's papers are not the host's", cook.get(f"/tasting/{tasting}/kitchen").status == 403, cook.text)
    kitchen = host.browser(host.links[3])
    kitchen.get(f"/tasting/{tasting}/kitchen")
    check("the kitchen's screen says what it is", kitchen.status == 200 and "NOT FOR THE ROOM" in kitchen.text and kitchen.text.count("data-tick") > 8 * 3, kitchen.text)
    check("with letters it names no recipe", "USUAL" not in kitchen.get(f"/tasting/{tasting}/kitchen/letters").text and "TUB" in kitchen.text, kitchen.text)

    cook.get(f"/tasting/{tasting}/verdict")
    check("no verdict before close", cook.status == 409, cook.text)
    for file in ("verdict.pdf", "answers.csv", "verdict.xlsx"):
        cook.get(f"/tasting/{tasting}/verdict/{file}")
        check(f"no {file} before close", cook.status == 409 and cook.headers["Content-Type"].startswith("text/html"), cook.text)
    cook.get(f"/tasting/{tasting}/close")
    check("close says what is missing", "5/2" in cook.text and "missing" in cook.text, cook.text)
    check("and names no command", "`" not in cook.text and "--" not in cook.text.replace("<!--", ""), cook.text)
    cook.send_form(f"/tasting/{tasting}/close")
    check("the verdict follows", cook.status == 200 and cook.path.endswith("/verdict"), cook.text)
    words = json.loads(host.run("judge", tasting, "--json"))["words"]
    check("the page and the command line say the same", re.sub(r"\s+", " ", words)[:13] in re.sub(r"\s+", " ", re.sub(r"<[^>]*>", "", cook.text.replace("&#39;", "'"))), words)
    check("with pictures, what they show as a table, and the seal's proof", "<svg" in cook.text and "<figcaption>" in cook.text and "The seal number" in cook.text, cook.text)
    for file, begins in (("verdict.pdf", b"%PDF-"), ("verdict.png", b"\x89PNG"), ("answers.csv", b""), ("verdict.xlsx", b"PK\x03\x04"), ("rerun.R", b""), ("verdict.txt", b"")):
        check(f"{file} is there", cook.get_bytes(f"/tasting/{tasting}/verdict/{file}").startswith(begins) and cook.status == 200, cook.status)
    cook.get("/book")
    check("the book shows it with its verdict", "Can&#39;t say yet" in cook.text or "Noticed" in cook.text, cook.text)
    parcel = cook.get_bytes(f"/tasting/{tasting}/export")
    check("it goes out as a file", json.loads(parcel) is not None)
    cook.get(f"/tasting/{tasting}").send_form(f"/tasting/{tasting}/wipe", name="some other")
    check("a wrong name wipes nothing", cook.status == 409 and cook.get(f"/tasting/{tasting}").status == 200, cook.text)
    token = cook.form_token()
    cook.ask("POST", f"/tasting/{tasting}/again", f"form={token}")
    check("the same question again is a plan of its own", cook.status == 200 and "Draw the ballots" in cook.text, cook.text)
    phones[6].get(links[6])
    check("a phone that comes late is told", "no longer taken in" in phones[6].text, phones[6].text)
    check("it stops when asked", host.stop() == 0)
    kept = host.json("judge", tasting)
    check("the book is whole", kept["rounds"][0]["round"] == 1 and host.run("check") is not None)
    print(f"a whole tasting over the page: {CHECKS[0]} checks hold")


if __name__ == "__main__":
    main()
