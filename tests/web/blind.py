#!/usr/bin/env python3
"""Two books that differ in nothing but the draw: before close every page of every role is the same, save for codes, links and the seal number.

    blind.py --program BUILD/oddplate
"""

import argparse
import difflib
import json
import pathlib
import re
import tempfile

from phone import CHECKS, Host, check, phone_links

PLAN = {"title": "t", "versions": [{"id": "current"}, {"id": "new"}], "tasters": 4, "rounds": [{"method": "triangle"}, {"method": "two-afc", "attribute": "saltier", "stronger": "new"}]}


def masked(text, codes):
    text = re.sub(r'<path d="[^"]*">', "<path>", text)                    # a QR code is its link
    text = re.sub(r"\b[0-9a-f]{32}\b", "TOKEN", text)
    text = re.sub(r"\b(?:[0-9A-F]{4}-){5}[0-9A-F]{4}\b", "SEAL", text)
    text = re.sub(r"viewBox=\"[^\"]*\"", "", text)
    for code in codes:
        text = re.sub(rf"\b{code}\b", "CODE", text)
    text = re.sub(r"\b\d\d:\d\d\b", "TIME", text)
    return re.sub(r"127\.0\.0\.1:\d+", "HERE", text)


def pages(program, seed, folder):
    host = Host(program)
    plan = pathlib.Path(folder) / "plan.json"
    plan.write_text(json.dumps(PLAN), encoding="utf-8")
    tasting = json.loads(host.run("new", str(plan), "--json"))["tasting"]
    host.run("draw", tasting, "--seed", seed * 64)
    ballots = host.json("ballots", tasting)
    codes = {code for ballot in ballots for tray in ballot["sets"] for code in tray["codes"]}
    cook, runner, desk, kitchen = (host.browser(link) for link in host.links)
    links = phone_links(cook, tasting)
    seen = []

    def look(who, path):
        browser = {"host": cook, "runner": runner, "desk": desk, "kitchen": kitchen, "nobody": host.browser()}[who]
        browser.get(path)
        headers = sorted(f"{k}: {v}" for k, v in browser.all_headers if k not in ("Date", "Content-Length"))
        named = masked(browser.whole + "\n".join(headers), codes).replace(tasting, "ID")
        named = re.sub(r'(<p class="small">)[A-Z]+ [A-Z]+', r"\1NAME", named)
        named = re.sub(r'(<a href="/tasting/ID[^"]*">)[A-Z]+ [A-Z]+', r"\1NAME", named)
        named = re.sub(r"(its name: )[A-Z]+ [A-Z]+", r"\1NAME", named)
        seen.append((who, re.sub(r"[0-9a-f]{32}", "TOKEN", path).replace(tasting, "ID"), browser.status, named))

    here = f"/tasting/{tasting}"
    for who in ("host", "runner", "desk", "kitchen", "nobody"):
        for page in ("/", here, here + "/board", here + "/links", here + "/desk", here + "/close", here + "/verdict", "/page.css"):
            look(who, page)
    for number, link in enumerate(links):
        look("nobody", link)
        phone = host.browser()
        for tray, served in enumerate(ballots[number]["sets"], 1):
            phone.post(f"{link}/{tray}", {"pick": served["codes"][0]})
            look("nobody", link)
    look("runner", here + "/board")
    look("host", here + "/close")
    key = host.run("ballots", tasting)
    check("the crawl saw pages", len(seen) > 40 and key)
    host.stop()
    return seen, codes


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("--program", required=True)
    program = arguments.parse_args().program
    with tempfile.TemporaryDirectory() as folder:
        one, codes_one = pages(program, "1", folder)
        two, codes_two = pages(program, "2", folder)
    check("the two draws differ", codes_one != codes_two)
    check("as many pages", len(one) == len(two))
    for a, b in zip(one, two):
        check(f"{a[:3]} is the same in both", a == b, "\n".join(difflib.unified_diff(a[3].split("<"), b[3].split("<"), lineterm="", n=1)))
    print(f"{len(one)} pages tell nothing of the draw: {CHECKS[0]} checks hold")


if __name__ == "__main__":
    main()
