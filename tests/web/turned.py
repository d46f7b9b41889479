#!/usr/bin/env python3
"""A book and its copy in which the list of codes was turned round (usual for new) answer every address alike, to the byte, for whoever asks: with each role's
link and with none, with and without answers, before close. Only the kitchen's own screens and papers may tell the two apart, and those only with the kitchen's link.

    turned.py --program BUILD/oddplate
"""

import argparse
import json
import pathlib
import re
import shutil
import sqlite3
import tempfile

from phone import CHECKS, Host, check, phone_links

PAGES = pathlib.Path(__file__).resolve().parent.parent.parent / "src" / "web" / "pages"
PLAN = {"title": "t", "versions": [{"id": "quagga", "label": "striped"}, {"id": "zebu", "label": "horned"}], "tasters": 4,
        "rounds": [{"method": "triangle", "spots": ["edge", "centre"]}, {"method": "two-afc", "attribute": "saltier", "stronger": "zebu"}]}
ROLES = ("host", "runner", "desk", "kitchen")
OF_THE_KITCHEN = ("/tasting/*/kitchen", "/tasting/*/kitchen/letters", "/tasting/*/kitchen/names/*", "/tasting/*/kitchen/letters/*")
# What stands for the parts of an address that may be anything. {id} is the tasting, {link} each ballot's own.
ADDRESSES = {"/as/*": ["/as/" + "0" * 32], "/t/*": ["/t/{link}"], "/t/*/*": ["/t/{link}/1", "/t/{link}/4", "/t/{link}/9"],
             "/tasting/*/desk/*": ["/tasting/{id}/desk/1", "/tasting/{id}/desk/6"], "/tasting/*/second/*": ["/tasting/{id}/second/1"],
             "/tasting/*/room/*": [f"/tasting/{{id}}/room/{name}.pdf" for name in ("ballots", "mats", "runner", "kitchen")],
             "/tasting/*/verdict/*": [f"/tasting/{{id}}/verdict/{name}" for name in ("verdict.pdf", "answers.csv", "verdict.xlsx", "rerun.R")],
             "/tasting/*/kitchen/names/*": ["/tasting/{id}/kitchen/names/kitchen.pdf", "/tasting/{id}/kitchen/names/labels.pdf"],
             "/tasting/*/kitchen/letters/*": ["/tasting/{id}/kitchen/letters/kitchen.pdf", "/tasting/{id}/kitchen/letters/labels.pdf"]}


def patterns(method):
    """As the pages' own tables have them, so that a page which is added is asked too."""
    return sorted({pattern for path in PAGES.glob("*.cpp") for pattern in re.findall(rf'\{{"{method}", "([^"]+)"', path.read_text(encoding="utf-8"))})


def addresses(tasting, links):
    for pattern in patterns("GET"):
        for address in ADDRESSES.get(pattern, [pattern.replace("/tasting/*", "/tasting/{id}")]):
            check(f"{pattern} has addresses to ask", "*" not in address)
            for link in links if "{link}" in address else [""]:
                yield pattern, address.replace("{id}", tasting).replace("/t/{link}", link)


def without_times(data):
    """The clock goes on between the two, and a log's hash holds its rows' times."""
    data = re.sub(rb"\b\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", b"TIME", data)
    data = re.sub(rb"\b\d\d:\d\d\b", b"TIME", data)
    return re.sub(rb"\b[0-9a-f]{64}\b", b"HASH", data)


class Crawl:
    """Everything that one book answers."""

    def __init__(self, host, tasting):
        self.host, self.tasting, self.told = host, tasting, []
        self.people = {"nobody": host.browser()} | {role: host.browser(link) for role, link in zip(ROLES, host.links)}
        self.links = phone_links(self.people["host"], tasting)
        self.ballots = host.json("ballots", tasting)

    def note(self, who, what, kitchen, browser):
        headers = sorted((name, value) for name, value in browser.all_headers if name != "Date")
        self.told.append((who, what, kitchen and who == "kitchen", browser.status, headers, without_times(browser.bytes)))

    def look_everywhere(self):
        for who, browser in self.people.items():
            for pattern, address in addresses(self.tasting, self.links):
                kitchen = pattern in OF_THE_KITCHEN
                if pattern != "/as/*":   # a wrong link, as often as this asks, would shut this address out
                    self.note(who, address, kitchen, browser.get(address, follow=False))
                check(f"{address} is the kitchen's alone", not kitchen or (browser.status == 200) == (who == "kitchen"), f"{who}: {browser.status}")

    def act(self, who, path, **fields):
        here = f"/tasting/{self.tasting}"
        opened = {"runner": here + "/board", "desk": here + "/desk", "host": here + "/close"}[who]
        browser = self.people[who].get(opened)
        self.note(who, path, False, browser.send_form(here + path, **fields))

    def serve(self):
        """What a room does: right codes and wrong ones, in the same places on the same trays."""
        for number, link in enumerate(self.links[:3]):
            phone = self.host.browser()
            for tray, served in enumerate(self.ballots[number]["sets"], 1):
                for picked in ("999", self.ballots[3]["sets"][0]["codes"][0], served["codes"][number % 2], served["codes"][1 - number % 2], served["codes"][number % 2]):
                    self.note("phone", f"{link}/{tray}", False, phone.post(f"{link}/{tray}", {"pick": picked}))
            self.note("phone", link + "/0", False, phone.post(link + "/0", {"pick": "yes", "note": "the left one looked darker"}))
        self.act("runner", "/act/hand", ballot="4", taster="Ko")
        self.act("runner", "/act/hand", ballot="4", taster="Bo")
        self.act("runner", "/act/spoil", ballot="5", why="dropped")
        self.act("runner", "/act/swap", ballot="1", other="2", set="1", why="mixed up")
        self.act("runner", "/act/stop", spot="centre", why="no more")
        self.act("runner", "/act/no-such-act", ballot="5")
        slip = {f"tray-{number}": tray["codes"][0] for number, tray in enumerate(self.ballots[3]["sets"], 1)}
        self.act("desk", "/desk/open", ballot="4")
        self.act("desk", "/desk", ballot="4", **{"tray-1": "100"})
        for tray, code in slip.items():   # one by one: how many of a slip's answers one commit takes in, and so the log's rows, is the disk's doing
            self.act("desk", "/desk", ballot="4", **{tray: code})
        self.act("desk", "/desk", ballot="1", **{"tray-1": self.ballots[0]["sets"][0]["codes"][1]})
        self.act("desk", "/second/open", ballot="4")
        self.act("desk", "/second", ballot="4", **(slip | {"tray-2": self.ballots[3]["sets"][1]["codes"][1]}))


def turn_round(book):
    """The two versions exchanged in the list of codes; everything else stays."""
    database = sqlite3.connect(book)
    body, = database.execute("SELECT body FROM key").fetchone()
    key = json.loads(body)
    for ballot in key["ballots"]:
        for served in ballot:
            for portion in served[1]:
                portion[0] = 1 - portion[0]
    turned = json.dumps(key, separators=(",", ":"))
    check("the list of codes was turned round", turned != body)
    database.execute("UPDATE key SET body = ?", [turned])
    database.commit()
    database.close()


def crawl(host, tasting):
    seen = Crawl(host, tasting)
    seen.look_everywhere()
    seen.serve()
    seen.look_everywhere()
    return seen.told


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("--program", required=True)
    with tempfile.TemporaryDirectory() as folder:
        book = pathlib.Path(folder) / "book.sqlite"
        host = Host(arguments.parse_args().program, book)
        (pathlib.Path(folder) / "plan.json").write_text(json.dumps(PLAN), encoding="utf-8")
        tasting = json.loads(host.run("new", f"{folder}/plan.json", "--json"))["tasting"]
        host.run("draw", tasting, "--seed", "5" * 64)
        port = host.port
        check("it stops when asked", host.stop() == 0)
        copy = shutil.copy(book, pathlib.Path(folder) / "copy.sqlite")
        told = []
        for which in (book, copy):
            if which == copy:
                turn_round(copy)
            host.book = str(which)
            host.start(port)   # the same address, since pages name it
            told.append(crawl(host, tasting))
            host.stop()
    check("as much was asked of both", len(told[0]) == len(told[1]) > 300, [len(each) for each in told])
    of_the_kitchen = 0
    for mine, theirs in zip(*told):
        check(f"{mine[:2]}: the same is asked", mine[:3] == theirs[:3], theirs[:3])
        if mine[2]:
            of_the_kitchen += mine != theirs
            continue
        check(f"{mine[:2]} does not show the list of codes", mine == theirs, f"{mine}\n{theirs}")
        check(f"{mine[:2]} names no version", not re.search(rb"quagga|zebu|striped|horned", mine[5]) or mine[0] == "host", mine[5])
    check("the kitchen's own pages do tell, so the crawl would see it", of_the_kitchen >= 4, of_the_kitchen)
    print(f"{len(told[0])} answers before close show nothing of the list of codes: {CHECKS[0]} checks hold")


if __name__ == "__main__":
    main()
