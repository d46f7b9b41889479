#!/usr/bin/env python3
"""Several evenings on the page: the board and the links show the one that is on, ending it opens nothing, the last one closes the tasting.

    evenings.py --program BUILD/oddplate
"""

import argparse
import json
import re

from phone import Host, check, phone_links

PLAN = {"title": "Two Fridays", "versions": [{"id": "current"}, {"id": "new"}], "spares": 2, "looks": [1],
        "evenings": [{"date": "5 June", "tasters": 3}, {"date": "12 June", "tasters": 2}], "rounds": [{"method": "triangle", "detect_pd": 0.4}]}


def answer(host, link):
    phone = host.browser()
    phone.get(link)
    phone.post(link + "/1", {"pick": phone.text.split('name="pick" value="')[1].split('"')[0]})
    check("kept", phone.status == 200, phone.text)


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("--program", required=True)
    host = Host(arguments.parse_args().program)
    cook = host.browser(host.links[0])
    cook.get("/").send_form("/tastings", plan=json.dumps(PLAN))
    tasting = cook.path.rsplit("/", 1)[1]
    cook.send_form(f"/tasting/{tasting}/draw")
    links = phone_links(cook, tasting)
    check("the first evening's ballots and its spare", len(links) == 4, links)
    cook.get(f"/tasting/{tasting}/board")
    check("the board says which evening it is", "Evening 1 of 2" in cook.text and "1-03" in cook.text and "2-01" not in cook.text, cook.text)
    for link in links[:3]:
        answer(host, link)
    cook.get(f"/tasting/{tasting}/close")
    check("tonight alone is ended", "End evening 1" in cook.text and "3" in cook.text, cook.text)
    cook.send_form(f"/tasting/{tasting}/close")
    check("the tasting goes on, and a look says one word", "not settled yet" in cook.text and cook.path == f"/tasting/{tasting}", cook.text)
    for closed in ("verdict", "verdict/answers.csv"):
        cook.get(f"/tasting/{tasting}/{closed}")
        check("nothing is opened", cook.status >= 400, cook.text)
    cook.get(f"/tasting/{tasting}/board")
    check("the board goes on to the second", "Evening 2 of 2" in cook.text and "2-02" in cook.text and "1-01" not in cook.text, cook.text)
    second = phone_links(cook, tasting)
    check("other links", len(second) == 3 and not set(second) & set(links), second)
    late = host.browser()
    late.get(links[3])
    check("the page of a ballot whose evening is over asks nothing", late.status == 200 and "<form" not in late.text, late.text)
    late.post(links[3] + "/1", {"pick": "123"})
    check("a ballot of the first evening takes no more", late.status == 409, late.text)
    for link in second[:2]:
        answer(host, link)
    cook.get(f"/tasting/{tasting}/close").send_form(f"/tasting/{tasting}/close")
    check("the last one closes it", cook.path == f"/tasting/{tasting}/verdict" and "2 evenings held of 2 planned" in cook.text, cook.text)
    cook.get(f"/tasting/{tasting}").send_form(f"/tasting/{tasting}/wipe", name="WRONG NAME")
    check("a tasting isn't wiped by mistake", cook.status >= 400, cook.text)
    name = re.search(r'<p class="small">([A-Z ]+) ·', cook.get(f"/tasting/{tasting}").text).group(1)
    cook.send_form(f"/tasting/{tasting}/wipe", name=name)
    check("it is wiped where its name is typed", cook.get(f"/tasting/{tasting}").status == 404 and tasting not in host.run("tastings", "--json"), cook.text)
    host.stop()
    print("several evenings on the page")


if __name__ == "__main__":
    main()
