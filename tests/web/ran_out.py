#!/usr/bin/env python3
"""A recipe that runs out in the middle of an evening, on phones without script: trays go on without it, nothing tells which portion is missing, and what
a guest is told names no command.

    ran_out.py --program BUILD/oddplate
"""

import argparse
import json
import re

from phone import CHECKS, Host, check, phone_links

PLAN = {"title": "Four cures", "versions": [{"id": version} for version in ("usual", "maple", "juniper", "pepper")], "tasters": 8, "spares": 2, "pieces": 2,
        "rounds": [{"method": "ranking"}, {"method": "rating"}, {"method": "just-about-right", "attributes": "salt, smoke"}, {"method": "check-all", "words": "salty, sweet, smoky"}]}
PAIRS = {"title": "By twos", "versions": PLAN["versions"], "tasters": 6, "pieces": 2, "rounds": [{"method": "ranking", "tray_size": 2, "sets_per_taster": 3}]}
THREES = {"title": "By threes", "versions": PLAN["versions"], "tasters": 8, "pieces": 2, "rounds": [{**each, "tray_size": 3} for each in PLAN["rounds"][:2]]}
ONES = {"title": "One by one", "versions": PLAN["versions"][:2], "tasters": 8, "rounds": [{"method": "a-not-a"}, {"method": "same-different"}]}
LANGUAGES = ("en", "de", "fr", "es")


def fields_of(method, codes):
    """What a guest taps who answers for these codes and for no others."""
    if method == "ranking":
        return {f"of-{code}": str(place) for place, code in enumerate(codes, 1)}
    if method == "check-all":
        return {f"tick-{code}": ["1", "3"] if i else "0" for i, code in enumerate(codes)}
    fields = {f"of-{code}": "7" for code in codes}
    if method == "just-about-right":
        fields |= {f"level-{code}-{which}": "1" for code in codes for which in range(2)}
    return fields


def refused(phone, path, fields, says):
    """The answer is not kept, and in no language does the reason name a command or its options."""
    for language in LANGUAGES:
        phone.post(path, fields, headers={"Accept-Language": language})
        check("it is not kept", phone.status == 409, phone.text)
        check("no command reaches a guest", not re.search(r"oddplate |--|`|expected|found ", re.sub(r"<!doctype[^>]*>", "", phone.text)), phone.text)
        check("it stands in the guest's language", f'lang="{language}"' in phone.text and (language == "en") == (says in phone.text), phone.text)


def alike(page, codes):
    """Whether the page says the same of each code: its part with the code masked is one for all."""
    parts = [re.findall(rf"<(?:label|fieldset)[^>]*data-portion>(?:<legend>|<span>){code}.*?</(?:label|fieldset)>", page, re.S) for code in codes]
    return all(len(part) == 1 for part in parts) and len({part[0].replace(code, "CODE") for part, code in zip(parts, codes)}) == 1


def all_at_once(host, cook):
    cook.get("/").send_form("/tastings", plan=json.dumps(PLAN))
    tasting = cook.path.rsplit("/", 1)[1]
    cook.send_form(f"/tasting/{tasting}/draw")
    links, ballots = phone_links(cook, tasting), host.json("ballots", tasting)
    methods = [each["method"] for each in PLAN["rounds"]]
    first, second = host.browser(), host.browser()
    for tray, method in enumerate(methods, 1):
        codes = ballots[0]["sets"][tray - 1]["codes"]
        first.get(links[0])
        check("while all are served, no portion may be missing", "data-may-lack" not in first.whole and (method == "check-all" or " required" in first.text), first.text)
        refused(first, f"{links[0]}/{tray}", fields_of(method, codes[1:]), "The answer is not whole")
        first.post(f"{links[0]}/{tray}", fields_of(method, codes))
        check("a whole answer is kept", first.status == 200 and f"Kept. Tray {tray}" in first.text, first.text)
    refused(second, f"{links[0]}/1", fields_of("ranking", ballots[0]["sets"][0]["codes"][::-1]), "This tray has an answer already. If it should change, tell the host.")
    stray = {f"tick-{ballots[1]['sets'][3]['codes'][0]}": "2"}
    refused(second, f"{links[1]}/4", stray, "The answer is not whole")
    torn = fields_of("check-all", ballots[1]["sets"][3]["codes"])
    torn[f"tick-{ballots[1]['sets'][3]['codes'][1]}"] = ["0", "2"]
    refused(second, f"{links[1]}/4", torn, "The answer is not whole")

    cook.get(f"/tasting/{tasting}/close")
    check("close says what looks amiss, and where to mend it", "8 people were planned, and one of their ballots has answers" in cook.text and "`" not in cook.text and f'href="/tasting/{tasting}/desk"' in cook.text, cook.text)
    runner = host.browser(host.links[1])
    runner.get(f"/tasting/{tasting}/board").send_form(f"/tasting/{tasting}/act/withdraw", version="peper", why="sold out")
    check("a recipe that is none is refused on the board, which names none", runner.status == 409 and "Not done: A recipe has run out. No recipe of the plan is called that." in runner.text
          and "--version" not in runner.text and "<table" in runner.text and "maple" not in runner.text, runner.text)
    cook.get(f"/tasting/{tasting}/board")
    check("the host has them to choose from", all(f'<option value="{version["id"]}">' in cook.text for version in PLAN["versions"]), cook.text)
    cook.send_form(f"/tasting/{tasting}/act/withdraw", version="pepper", why="sold out")
    check("what ran out is no longer offered", cook.status == 200 and '<option value="maple">' in cook.text and '<option value="pepper">' not in cook.text, cook.text)
    for tray, method in enumerate(methods, 1):
        codes = ballots[1]["sets"][tray - 1]["codes"]
        second.get(links[1])
        check("a portion may be missing, and the page says so", 'data-may-lack="1"' in second.text and "One portion missing on your tray? Leave it out." in second.text, second.text)
        check("nothing holds out for all of them", " required" not in second.text, second.text)
        check("nothing tells which", alike(second.text, codes) and "pepper" not in second.whole, second.text)
        refused(second, f"{links[1]}/{tray}", fields_of(method, codes[2:]), "The answer is not whole")
        second.post(f"{links[1]}/{tray}", fields_of(method, codes[:1] + codes[2:]))
        check("the rest is kept", second.status == 200 and f"Kept. Tray {tray}" in second.text, second.text)
    host.run("close", tasting, "--yes")
    kept = host.json("judge", tasting)
    check("every round has an answer that counts", all(each["tally"]["counted"] >= 1 for each in kept["rounds"]), kept["rounds"])


def by_twos(host, cook):
    """A tray of two that lacks one asks nothing: the guest goes on to the next."""
    cook.get("/").send_form("/tastings", plan=json.dumps(PAIRS))
    tasting = cook.path.rsplit("/", 1)[1]
    cook.send_form(f"/tasting/{tasting}/draw")
    link, phone = phone_links(cook, tasting)[0], host.browser()
    phone.get(link)
    check("a tray comes, as long as all are served", "This tray did not come" not in phone.whole, phone.text)
    host.run("withdraw", tasting, "--version", "maple", "--why", "sold out")
    phone.get(link)
    check("a tray may stay out", "This tray did not come" in phone.text and "Leave it out" not in phone.text, phone.text)
    phone.post(f"{link}/1", {"none": "served"})
    check("the next one follows", phone.status == 200 and "Tray 2 of" in phone.text, phone.text)


def by_threes(host, cook):
    """What a page offers to leave out entry takes, and no page offers it of a tray that never held what ran out."""
    cook.get("/").send_form("/tastings", plan=json.dumps(THREES))
    tasting = cook.path.rsplit("/", 1)[1]
    cook.send_form(f"/tasting/{tasting}/draw")
    ballots, offered = host.json("ballots", tasting), set()
    host.run("withdraw", tasting, "--version", "maple", "--why", "sold out")
    for link, ballot in zip(phone_links(cook, tasting), ballots):
        phone = host.browser()
        for tray, (served, asked) in enumerate(zip(ballot["sets"], THREES["rounds"]), 1):
            phone.get(link)
            may = "Leave it out" in phone.text
            check("of each code the page says the same", alike(phone.text, served["codes"]) and "maple" not in phone.whole and "This tray did not come" not in phone.text, phone.text)
            check("a tray that held all of its portions wants them all", may != (" required" in phone.text), phone.text)
            phone.post(f"{link}/{tray}", fields_of(asked["method"], served["codes"][1:]))
            check("entry takes what the page offers, and nothing else", (phone.status == 200) == may, phone.text)
            if not may:
                phone.post(f"{link}/{tray}", fields_of(asked["method"], served["codes"]))
            else:
                offered.add((ballot["ballot"], tray))
    host.run("close", tasting, "--yes")
    held = {(each["ballot"], each["set"]) for each in host.json("key", tasting) if each["version"] == "maple"}
    check("it is offered of the trays that held it", offered == {each for each in held if int(each[0]) <= len(ballots)} and len(offered) < 2 * len(ballots), (offered, held))


def one_by_one(host, cook):
    """Where a tray holds one portion, or a pair that may be of one recipe, what is offered would name the code: it is offered of all alike."""
    cook.get("/").send_form("/tastings", plan=json.dumps(ONES))
    tasting = cook.path.rsplit("/", 1)[1]
    cook.send_form(f"/tasting/{tasting}/draw")
    host.run("withdraw", tasting, "--version", "maple", "--why", "sold out")
    for link in phone_links(cook, tasting):
        phone = host.browser()
        for tray in (1, 2):
            phone.get(f"{link}/{tray}")
            check("any tray may have stayed out", "This tray did not come" in phone.text and "Leave it out" not in phone.whole, phone.text)


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("--program", required=True)
    host = Host(arguments.parse_args().program)
    cook = host.browser(host.links[0])
    all_at_once(host, cook)
    by_twos(host, cook)
    by_threes(host, cook)
    one_by_one(host, cook)
    check("it stops when asked", host.stop() == 0)
    print(f"a recipe that ran out blocks no phone: {CHECKS[0]} checks hold")


if __name__ == "__main__":
    main()
