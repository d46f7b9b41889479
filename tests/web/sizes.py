#!/usr/bin/env python3
"""How much a phone in a crowded yard must fetch: the taster's page with all that it asks for, and every screen there is. The host sends pages as they are;
compressed sizes are what they hold.

    sizes.py --program BUILD/oddplate
"""

import argparse
import gzip
import json
import re

from phone import CHECKS, Host, check, phone_links

SPOTS = ["flat edge with the bark", "flat centre", "point", "burnt end"]
PLAN = {"title": "Less salt in the cure, and does anybody notice it on any of the four spots", "versions": [{"id": "current"}, {"id": "new"}], "tasters": 60,
        "rounds": [{"method": "triangle", "spots": SPOTS}]}
MOST_OF_A_TASTER, MOST_OF_ALL = 40_000, 200_000   # bytes, compressed


def squeezed(browser, path):
    browser.get(path)
    check(f"{path} is there", browser.status == 200, browser.text)
    return len(gzip.compress(browser.bytes, 6))


def asked_for(browser):
    """What a page makes a browser fetch at once."""
    return set(re.findall(r'<(?:link|script|img)\b[^>]*\b(?:href|src)="(/[^"]*)"', browser.whole))


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("--program", required=True)
    host = Host(arguments.parse_args().program)
    cook, runner, desk = (host.browser(link) for link in host.links[:3])
    kitchen, phone = host.browser(host.links[3]), host.browser()
    cook.get("/").send_form("/tastings", plan=json.dumps(PLAN))
    here = f"/tasting/{cook.path.rsplit('/', 1)[1]}"
    cook.send_form(here + "/draw")
    links = phone_links(cook, here.rsplit("/", 1)[1])

    pages = {links[0]: squeezed(phone, links[0])}
    parts = asked_for(phone)
    check("a page asks for its style and its script", {"/page.css", "/page.js"} <= parts, parts)
    shared = {part: squeezed(phone, part) for part in parts}
    taster = pages[links[0]] + sum(shared.values())
    check("the taster's page is small", taster < MOST_OF_A_TASTER, taster)
    for browser, path in ((cook, "/"), (cook, "/plan"), (cook, "/book"), (cook, here), (cook, here + "/links"), (cook, here + "/close"), (runner, here + "/board"), (desk, here + "/desk"),
                          (desk, here + "/second"), (kitchen, here + "/kitchen"), (kitchen, here + "/kitchen/letters")):
        pages[path] = squeezed(browser, path)
        check(f"{path} asks for nothing that is its own alone", asked_for(browser) <= parts, asked_for(browser))
    cook.get(here + "/close").send_form(here + "/close")
    pages["verdict"] = squeezed(cook, here + "/verdict")
    everything = sum(pages.values()) + sum(shared.values())
    check("all screens together are small", everything < MOST_OF_ALL, pages)
    host.stop()
    print(f"a taster's page with all it asks for: {taster / 1000:.1f} kB compressed; {len(pages)} screens together: {everything / 1000:.1f} kB; {CHECKS[0]} checks hold")


if __name__ == "__main__":
    main()
