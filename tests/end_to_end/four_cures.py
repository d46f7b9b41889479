#!/usr/bin/env python3
"""Four cures, three spots, 48 people, three of the four on a tray: one report says which is liked most, by how much, how surely, by everybody or by half, and what to change first.

    four_cures.py --program build/oddplate
"""

import argparse
import json
import random
import re
import shutil
import subprocess

from program import Place, check

SEED = "12ab34cd" * 8
CURES = ("usual", "maple", "juniper", "short")
PLAN = {"title": "Four belly cures at three spots", "versions": [{"id": v} for v in CURES], "tasters": 48, "pieces": 4, "grams": 8, "allergens": ["mustard"],
        "rounds": [{"method": "rating", "spots": ["lean end", "middle", "fat end"], "spots_per_taster": 2, "tray_size": 3, "detect_score": 1.2, "spread": 2},
                   {"method": "just-about-right", "attributes": "salt, smoke", "spots": ["middle"], "tray_size": 3}]}


def clamp(x, lo, hi):
    return max(lo, min(hi, x))


def answers_of(ballots, key):
    """Maple is liked two points more by everybody, juniper three more by half of the house and three less by the other; the usual one is too salty for most."""
    dice, rows = random.Random(48), ["ballot,set,answer"]
    for number, ballot in enumerate(ballots):
        own = {v: dice.gauss(0, 0.4) for v in CURES}
        level, side = dice.gauss(5, 0.7), 3 if number % 2 else -3
        for one in ballot["sets"]:
            parts = []
            for code in one["codes"]:
                cure = key[ballot["ballot"], one["set"], code]
                liking = level + own[cure] + (2 if cure == "maple" else 0) + (side if cure == "juniper" else 0) + dice.gauss(0, 0.6)
                salt = dice.choices((-1, 0, 1), (1, 3, 11) if cure == "usual" else (1, 5, 1))[0]
                smoke = dice.choices((-1, 0, 1), (1, 4, 1))[0]
                scored = str(round(clamp(liking - 2 * (salt == 1) * (one["round"] == 2), 1, 9)))
                parts.append(f"{code}:{scored}" + (f"/{salt}/{smoke}" if one["round"] == 2 else ""))
            rows.append(f"{ballot['ballot']},{one['set']},{' '.join(parts)}")
    return "\n".join(rows) + "\n"


def pictures_for_a_phone(page):
    """Each list of names with marks stands there twice: the narrow one has the same words, none beside or above the edge, no name on another's line."""
    narrow = re.findall(r'<div class="picture narrow"[^>]*>(<svg.*?</svg>)', page, re.S)
    roomy = re.findall(r'<div class="picture roomy"[^>]*>(<svg.*?</svg>)', page, re.S)
    check(len(narrow) == len(roomy) == 2, f"means and levels for a phone: {len(narrow)} of {len(roomy)}")
    for small, large in zip(narrow, roomy):
        text = re.compile(r'<text x="([-0-9.]+)" y="([-0-9.]+)" font-size="([0-9.]+)" text-anchor="(\w+)"[^>]*>([^<]*)<')
        said = [(float(x), float(y), float(size), anchor, words) for x, y, size, anchor, words in text.findall(small)]
        check('viewBox="0 0 84 ' in small and sorted(t[4] for t in said) == sorted(t[4] for t in text.findall(large)), f"the same words: {said}")
        check(min(t[2] for t in said) >= 2.8, f"letters of 10 pixels on a screen of 360: {said}")
        check(all(0 <= x and x + 0.6 * size * len(words) * {"start": 1, "middle": 0.5, "end": 0}[anchor] <= 84 for x, _, size, anchor, words in said), f"within the picture: {said}")
        names = sorted(y for x, y, _, anchor, _ in said if anchor == "start" and x < 12)
        check(len(names) >= 4 and all(b - a > 8 for a, b in zip(names, names[1:])), f"a line for each name: {names}")


def the_evening(place):
    text = json.dumps(PLAN)
    place.write("plan.json", text)
    asked, twin = (place.run("new", "plan.json", "--json").json["tasting"] for _ in range(2))
    dealt = [place.run("draw", name, "--seed", SEED, "--json").json for name in (asked, twin)][0]
    check(dealt["trays"]["connected"] and dealt["trays"]["a_efficiency"] > 0.99 * dealt["trays"]["bound"], f"trays as good as balanced ones: {dealt['trays']}")
    place.run("close", twin, "--yes")
    key = {(row["ballot"], row["set"], row["code"]): row["version"] for row in place.run("key", twin, "--json").json}
    ballots = [b for b in place.run("ballots", asked, "--json").json if not b["spare"]]
    check(all(len(b["sets"]) == 3 for b in ballots), "two trays to score, one to say too little or too much")
    place.run("print", asked, "--into", "papers")
    place.write("answers.csv", answers_of(ballots, key))
    place.run("enter", asked, "--csv", "answers.csv", "--json")
    place.run("close", asked, "--yes")
    judged = place.run("judge", asked, "--json").json
    rating, levels = judged["rounds"]
    words = place.run("judge", asked).out.replace("\n", " ")
    words = " ".join(words.split())
    check(rating["verdict"] == "one-leads" and "maple leads. It scored" in words, f"which is liked most: {words}")
    maple = next(row for row in rating["pooled"]["pairs"] if {row["a"], row["b"]} == {"maple", "usual"})
    check(1 < abs(maple["difference"]) < 3 and maple["lower"] * maple["upper"] > 0 and maple["p_adjusted"] < 0.05, f"by how much and how surely, all pairs at once: {maple}")
    check(rating["pooled"]["own_tastes"]["p_value"] < 0.01 and "Not everybody likes the same" in words and "They differ most in juniper" in words, f"by everybody or by half, and over which: {words}")
    check("usual has too much salt." in words and "nothing is shown to need changing first in what is most often just right" in words and "because it is liked more" in words, f"what to change first: {words}")
    place.run("report", asked, "--into", "report")
    page = (place.folder / "report" / "verdict.html").read_text()
    for title in ("Mean score of each", "Too little, just right"):
        check(title in page, title)
    pictures_for_a_phone(page)
    if shutil.which("Rscript"):
        subprocess.run(["Rscript", "rerun.R"], cwd=place.folder / "report", capture_output=True, text=True, check=True)


def a_split_house(place):
    """Half love maple, half hate it: the first sentence says so, and not that nothing is clear."""
    place.write("split.json", json.dumps(PLAN | {"rounds": PLAN["rounds"][:1]}))
    asked, twin = (place.run("new", "split.json", "--json").json["tasting"] for _ in range(2))
    for name in (asked, twin):
        place.run("draw", name, "--seed", SEED)
    place.run("close", twin, "--yes")
    key = {(row["ballot"], row["set"], row["code"]): row["version"] for row in place.run("key", twin, "--json").json}
    dice, rows = random.Random(5), ["ballot,set,answer"]
    for number, ballot in enumerate(b for b in place.run("ballots", asked, "--json").json if not b["spare"]):
        side = 3 if number % 2 else -3
        for one in ballot["sets"]:
            scored = {code: 5.5 + dice.gauss(0, 0.7) + side * (key[ballot["ballot"], one["set"], code] == "maple") for code in one["codes"]}
            rows.append(f"{ballot['ballot']},{one['set']}," + " ".join(f"{code}:{round(clamp(score, 1, 9))}" for code, score in scored.items()))
    place.write("split.csv", "\n".join(rows) + "\n")
    place.run("enter", asked, "--csv", "split.csv", "--json")
    place.run("close", asked, "--yes")
    words = " ".join(place.run("judge", asked).out.split())
    check("No one favourite: people are split over maple. The means of all 4" in words and "No clear order" not in words.split("What next")[0], f"a split house: {words}")
    check(words.count("did all share one taste") == 1 and "They differ most in maple" in words, f"said once: {words}")


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--program", required=True)
    with Place(parser.parse_args().program) as place:
        the_evening(place)
        print("the_evening: holds")
        a_split_house(place)
        print("a_split_house: holds")


if __name__ == "__main__":
    main()
