#!/usr/bin/env python3
"""Four recipes at three places of the cut, 48 people, two trays of three a head: put in order and judged; a recipe that runs out; tubs that were swapped.

    several.py --program build/oddplate
"""

import argparse
import collections
import json
import random
import shutil
import subprocess

from keys import NUMBER, TEXT, TRUTH, WHOLE, OrNull, hold
from program import Place, check

VERSIONS = ("current", "maple", "juniper", "pepper")
SEED = "fedcba98" * 8
RANKED = {"method": TEXT, "rank_sums": {v: NUMBER for v in VERSIONS}, "friedman": {"statistic": OrNull(NUMBER), "df": WHOLE, "p_value_exact": OrNull(NUMBER), "p_value": OrNull(NUMBER)},
          "own_tastes": {"p_value": OrNull(NUMBER), "agreement": OrNull(NUMBER), "tasters": WHOLE}, "tasters": WHOLE, "answers": WHOLE,
          "samples": [{"name": TEXT, "rank_sum": NUMBER, "mean_rank": OrNull(NUMBER), "trays": WHOLE, "leads": TRUTH}],
          "pairs": [{"a": TEXT, "b": TEXT, "difference": OrNull(NUMBER), "p_value": OrNull(NUMBER), "p_adjusted": OrNull(NUMBER)}], "words": TEXT}


def plan(method="ranking", **keys):
    the_round = {"method": method, "spots": ["lean", "middle", "fat"], "tray_size": 3, "spots_per_taster": 2} | keys
    return json.dumps({"title": "Four cures", "versions": [{"id": v} for v in VERSIONS], "tasters": 48, "pieces": 2, "rounds": [the_round]})


def key_of(place, text):
    """Which code is which, learnt from a twin of the tasting that is closed at once: same plan, same seed, same draw."""
    place.write("twin.json", text)
    twin = place.run("new", "twin.json", "--json").json["tasting"]
    place.run("draw", twin, "--seed", SEED, "--json")
    place.run("close", twin, "--yes")
    return {(row["ballot"], row["set"], row["code"]): row["version"] for row in place.run("key", twin, "--json").json}


def laid(place, text):
    """A tasting of this plan, drawn: its id, the planned ballots, what the draw said."""
    place.write("plan.json", text)
    tasting = place.run("new", "plan.json", "--json").json["tasting"]
    dealt = place.run("draw", tasting, "--seed", SEED, "--json").json
    return tasting, [b for b in place.run("ballots", tasting, "--json").json if not b["spare"]], dealt


def drawn(place, text):
    tasting, ballots, dealt = laid(place, text)
    check(dealt["servings"] == 53 * 6, f"two trays of three for 48 and 5 spares: {dealt}")
    return tasting, ballots


def balanced(ballots, key):
    met, places = collections.Counter(), collections.Counter()
    for ballot in ballots:
        check(len({s["spot"] for s in ballot["sets"]}) == 2, "two places of the cut each")
        for one in ballot["sets"]:
            names = [key[ballot["ballot"], one["set"], code] for code in one["codes"]]
            check(len(set(names)) == 3, f"three recipes on a tray: {names}")
            for place, name in enumerate(names):
                places[one["spot"], name, place] += 1
                for other in names:
                    if name < other:
                        met[one["spot"], name, other] += 1
    check(set(met.values()) == {16}, f"every pair on 16 trays at every spot: {met}")
    check(set(places.values()) == {8}, f"every recipe 8 times at every place and spot: {places}")


def liking(seed):
    """What each person thinks of each recipe: maple ahead of juniper, both ahead of the others, tastes of their own."""
    dice = random.Random(seed)
    mean = {"current": 0, "maple": 1.2, "juniper": 0.6, "pepper": -0.4}
    return lambda: {v: mean[v] + dice.gauss(0, 0.5) for v in VERSIONS}, dice


def order_of(codes, worth, dice, key, ballot, tray, gone=None):
    there = [c for c in codes if key[ballot, tray, c] != gone]
    return ">".join(sorted(there, key=lambda c: -(worth[key[ballot, tray, c]] + dice.gauss(0, 0.5))))


def an_evening(place):
    tasting, ballots = drawn(place, plan())
    key = key_of(place, plan())
    balanced(ballots, key)
    person, dice = liking(1)
    rows = ["ballot,set,answer"]
    for ballot in ballots:
        worth = person()
        rows += [f"{ballot['ballot']},{one['set']},{order_of(one['codes'], worth, dice, key, ballot['ballot'], one['set'])}" for one in ballot["sets"]]
    place.write("answers.csv", "\n".join(rows) + "\n")
    loose = [rows[1].replace(">", " "), rows[2].replace(">", " > ", 1).replace(">", " ")]   # as a kitchen writes it: the papers say tray, and codes stand one after the other
    place.write("loose.csv", "ballot,tray,answer\n" + "\n".join(loose) + "\n")
    check(place.run("enter", tasting, "--csv", "loose.csv", "--json").json["accepted"] == 2, "orders without signs between the codes")
    refused = place.run("enter", tasting, "--csv", place.write("short.csv", f"ballot,set,answer\n1,1,{ballots[0]['sets'][0]['codes'][0]}>{ballots[0]['sets'][0]['codes'][1]}\n"), code=2)
    check("all codes in order" in refused.err, f"two of three are no order: {refused}")
    read = place.run("enter", tasting, "--csv", "answers.csv", "--json").json
    check((read["accepted"], read["already"]) == (94, 2), f"96 trays, of which two were in already: {read}")
    place.run("print", tasting, "--into", "papers")
    place.run("close", tasting, "--yes")
    judged = place.run("judge", tasting, "--json").json
    hold(judged["rounds"][0]["pooled"], RANKED, "all places together")
    for spot in judged["rounds"][0]["spots"]:
        hold(spot, RANKED, "one place")
    check(judged["verdict"] in ("one-leads", "some-lead") and judged["rounds"][0]["pooled"]["samples"][0]["name"] == "maple", f"maple leads: {judged['words']}")
    check(judged["rounds"][0]["pooled"]["own_tastes"]["tasters"] > 20, "who had one pair twice")
    text = place.run("judge", tasting).out
    check("[" not in text and "maple" in text, f"words: {text}")
    place.run("report", tasting, "--into", "report")
    check((place.folder / "report" / "figures" / "course-1-places.svg").exists() or "<svg" in (place.folder / "report" / "verdict.html").read_text(), "a picture of places")
    header, first = (place.folder / "report" / "answers.csv").read_text().splitlines()[:2]
    check(header.endswith(",each") and first.split(",")[-1].count("=") == 3, f"the answers by recipe: {first}")
    check(place.run("verify", tasting, code=None).code == 0, "verifies")


def runs_out(place):
    """Pepper is sold out half-way: the later trays go out without it and are answered for the rest."""
    tasting, ballots = drawn(place, plan())
    key = key_of(place, plan())
    person, dice = liking(2)
    lines = {False: ["ballot,set,answer"], True: ["ballot,set,answer"]}
    lacking = 0
    for number, ballot in enumerate(ballots):
        worth, late = person(), number >= 24
        for one in ballot["sets"]:
            answer = order_of(one["codes"], worth, dice, key, ballot["ballot"], one["set"], "pepper" if late else None)
            lacking += answer.count(">") == 1
            lines[late].append(f"{ballot['ballot']},{one['set']},{answer}")
    place.write("early.csv", "\n".join(lines[False]) + "\n")
    place.write("late.csv", "\n".join(lines[True]) + "\n")
    place.run("enter", tasting, "--csv", "early.csv", "--json")
    place.run("enter", tasting, "--csv", "late.csv", code=2)
    check("a version of the plan" in place.run("withdraw", tasting, "--version", "peper", "--why", "sold out", code=2).err, "an unknown recipe")
    check("juniper has run out" in place.run("withdraw", tasting, "--version", "Juniper", "--why", "the wrong tub").out, "the recipe is named back")
    check("served again" in place.run("withdraw", tasting, "--version", "juniper", "--why", "it was the pepper", "--back").out, "a slip of the tongue is taken back")
    place.run("withdraw", tasting, "--version", "juniper", "--why", "x", "--back", code=2)
    noted = place.run("withdraw", tasting, "--version", "pepper", "--why", "sold out").out
    check(f"Print the papers again (oddplate print {tasting} --into FOLDER)" in " ".join(noted.split()), noted)
    place.run("withdraw", tasting, "--version", "pepper", "--why", "sold out", code=2)
    place.run("print", tasting, "--into", "without")
    told = {name: subprocess.run(["pdftotext", "-layout", place.folder / "without" / name, "-"], capture_output=True, text=True, check=True).stdout.split("\f")[0]
            for name in ("kitchen/kitchen.pdf", "room/runner.pdf")}
    check("pepper is off: sold out" in told["kitchen/kitchen.pdf"], "the kitchen is told which recipe is off, and why")
    check("A recipe is off" in told["room/runner.pdf"] and "pepper" not in told["room/runner.pdf"], "the room is told that one is")
    check(place.run("enter", tasting, "--csv", "late.csv", "--json").json["accepted"] == 48, "orders of what is left")
    place.run("withdraw", tasting, "--version", "juniper", "--why", "the wrong tub again")
    check("served again" in place.run("withdraw", tasting, "--version", "juniper", "--why", "it is there", "--back").out, "trays that lack another recipe don't hold it back")
    check("is answered without it" in place.run("withdraw", tasting, "--version", "pepper", "--why", "x", "--back", code=2).err, "too late to serve it again")
    place.run("close", tasting, "--yes")
    pooled = place.run("judge", tasting, "--json").json["rounds"][0]["pooled"]
    check(pooled["answers"] == 96 and lacking == 36, f"three trays in four held it: {lacking}")
    trays = {row["name"]: row["trays"] for row in pooled["samples"]}
    check(trays["pepper"] == 36 and trays["maple"] == 72, f"trays: {trays}")
    check("sold out" in place.run("judge", tasting).out, "the reason stands in the report")


def swapped_tubs(place):
    """Two tubs the other way round: what people said goes to the recipe that they ate."""
    tasting, ballots = drawn(place, plan())
    key = key_of(place, plan())
    person, dice = liking(3)
    rows = ["ballot,set,answer"]
    for ballot in ballots:
        worth = person()
        rows += [f"{ballot['ballot']},{one['set']},{order_of(one['codes'], worth, dice, key, ballot['ballot'], one['set'])}" for one in ballot["sets"]]
    place.write("answers.csv", "\n".join(rows) + "\n")
    place.run("enter", tasting, "--csv", "answers.csv", "--json")
    place.run("close", tasting, "--yes")
    before = place.run("judge", tasting, "--json").json["rounds"][0]["spots"][0]["rank_sums"]
    tags = [a + b for a in "ADHJKLTXY" for b in "ADHJKLTXY" if a != b]   # twelve tubs: two letters each
    letters = [tag for tag in tags if place.run("tubs", tasting, "--row", "lean", "--really", f"{tag}=maple", "--why", "cards read", code=None).code == 0]
    after = place.run("judge", tasting, "--json").json["rounds"][0]["spots"][0]["rank_sums"]
    check(len(letters) == 4, f"the row has four letters: {letters}")
    check(sorted(before.values()) == sorted(after.values()), f"sums change owners, nothing else: {before} {after}")


def each_beside_the_usual(place):
    """Is any worse than the usual one? It lies on every tray; pepper is worse, maple and juniper are better."""
    asked = plan(spots_per_taster=1, spots=["middle"], usual_in_every_tray=True, against_usual=True, not_less=0.3, sets_per_taster=2)
    tasting, ballots = drawn(place, asked)
    key = key_of(place, asked)
    met = collections.Counter(key[b["ballot"], s["set"], c] for b in ballots for s in b["sets"] for c in s["codes"])
    check(met["current"] == 96 and {met[v] for v in VERSIONS[1:]} == {64}, f"the usual one on every tray, the others on two of three: {met}")
    person, dice = liking(4)
    rows = ["ballot,set,answer"]
    for ballot in ballots:
        worth = person() | {}
        worth["pepper"] -= 0.8
        rows += [f"{ballot['ballot']},{one['set']},{order_of(one['codes'], worth, dice, key, ballot['ballot'], one['set'])}" for one in ballot["sets"]]
    place.write("answers.csv", "\n".join(rows) + "\n")
    place.run("enter", tasting, "--csv", "answers.csv", "--json")
    place.run("close", tasting, "--yes")
    judged = place.run("judge", tasting, "--json").json
    beside = {row["name"]: row for row in judged["rounds"][0]["pooled"]["against_usual"]}
    check(judged["verdict"] == "some-worse" and set(beside) == set(VERSIONS[1:]), f"pepper is shown to be worse: {judged['words']}")
    # By hand from the answers: who put each before and after the usual one, on most of his trays.
    for name in VERSIONS[1:]:
        sums = collections.Counter()
        for row in rows[1:]:
            ballot, tray, answer = row.split(",")
            order = [key[ballot, int(tray), code] for code in answer.split(">")]
            if name in order:
                sums[ballot] += 1 if order.index(name) < order.index("current") else -1   # trays, not places between the two
        told = (beside[name]["before_usual"], beside[name]["after_usual"])
        check(told == (sum(v > 0 for v in sums.values()), sum(v < 0 for v in sums.values())), f"{name}: {told} {sums}")
    check(beside["maple"]["not_less_p_value"] < 0.05 < beside["pepper"]["not_less_p_value"], f"the margin: {beside}")
    text = place.run("judge", tasting).out
    check("pepper is worse" in text and "maple is better" in text, text)
    place.run("report", tasting, "--into", "report")
    if shutil.which("Rscript"):
        again = subprocess.run(["Rscript", "rerun.R"], cwd=place.folder / "report", capture_output=True, text=True, check=True).stdout
        for name, row in beside.items():
            line = next(one for one in again.splitlines() if one.strip().startswith(f"{name}: "))
            check(abs(float(line.split("two-sided p = ")[1]) - row["p_value"]) < 1e-5 * max(row["p_value"], 1e-9), f"R says the same of {name}: {line} {row}")
    place.write("lone.json", plan(not_less=0.3))
    check("against_usual" in place.run("new", "lone.json", code=2).err, "not_less alone says nothing")


def tables(place):
    place.write("ranks.csv", "taster,sample,rank\n" + "".join(f"{t},{s},{r}\n" for t, row in enumerate(
        ((1, 2, 3, 4), (4, 1.5, 1.5, 3), (1, 3, 3, 3), (1, 3, 4, 2), (3, 1, 2, 4), (2, 1, 3, 4), (2, 1, 4, 3))) for s, r in zip("ABCD", row)))
    answer = place.run("weigh", "ranking", "--csv", "ranks.csv", "--expected", "A,B,C,D", "--json").json
    check(answer["rank_sums"] == {"A": 14, "B": 12.5, "C": 20.5, "D": 23} and abs(answer["friedman"]["statistic"] - 7.0615384615) < 1e-9, f"ISO 8587, table 1: {answer}")
    check(answer["page"]["statistic"] == 14 + 25 + 61.5 + 92 and 0 < answer["page"]["p_value"] < 0.05, f"Page: {answer['page']}")
    # Agresti (2019), An Introduction to Categorical Data Analysis, 3rd ed.: men's tennis 2014-18; deviance by R's glm.
    games = (("Djokovic", "Federer", 9, 6), ("Djokovic", "Murray", 14, 3), ("Djokovic", "Nadal", 9, 2), ("Djokovic", "Wawrinka", 4, 3), ("Federer", "Murray", 5, 0), ("Federer", "Nadal", 5, 1),
             ("Federer", "Wawrinka", 7, 2), ("Murray", "Nadal", 2, 4), ("Murray", "Wawrinka", 2, 2), ("Nadal", "Wawrinka", 4, 3))
    votes = [(a, b, winner) for a, b, wins, losses in games for winner, times in ((a, wins), (b, losses)) for _ in range(times)]
    place.write("pairs.csv", "taster,first,second,for\n" + "".join(f"{i},{a},{b},{w}\n" for i, (a, b, w) in enumerate(votes)))
    answer = place.run("weigh", "paired-preference", "--csv", "pairs.csv", "--json").json
    worth = {row["name"]: row["log_worth"] for row in answer["worths"]}
    check(abs(worth["Djokovic"] - worth["Wawrinka"] - 1.17612172113) < 1e-9 and abs(answer["fit"]["deviance"] - 4.395812187) < 1e-8 and answer["fit"]["df"] == 6, f"Bradley-Terry: {answer['fit']} {worth}")
    place.write("apart.csv", "taster,first,second,for\n1,a,b,a\n2,a,b,b\n3,c,d,c\n4,c,d,d\n")
    answer = place.run("weigh", "paired-preference", "--csv", "apart.csv", "--json").json
    check("not_comparable" in answer["warnings"] and "never compared" in answer["fit"]["why"]["p_value"], f"what never met is told: {answer}")
    for method in ("ranking", "rating", "just-about-right", "check-all"):
        check("weigh" in place.run("count", method, code=2).err, f"count {method} names weigh")


def sizes(place):
    """How many people it takes: tried out where no formula holds, the same on every run, and within its own error of the power."""
    ranking = place.run("size", "ranking", "--samples", "4", "--json").json
    check(ranking == place.run("size", "ranking", "--samples", "4", "--json").json, "a size that is tried out is the same again")
    check(abs(ranking["power_actual"] - 0.8) < 4 * ranking["power_error"] and 30 <= ranking["tasters"] <= 60, f"people for a ranking: {ranking}")
    fewer = place.run("size", "ranking", "--samples", "4", "--tray-size", "2", "--json").json
    check(fewer["tasters"] > ranking["tasters"], "smaller trays take more people")
    # Two samples and one word are McNemar's exact test: R's binom.test at .05, the number of those who differ binomial.
    ticks = place.run("size", "check-all", "--samples", "2", "--words", "1", "--json").json
    right = place.run("size", "just-about-right", "--better", "0.6", "--worse", "0.3", "--json").json
    check(abs(ticks["tasters"] - right["tasters"]) <= 4, f"the same question, counted and tried out: {ticks['tasters']} {right['tasters']}")
    # Common practice: 75 to 100 people for a hedonic scale of nine points (leads of about one point, spread 2.5).
    check(70 <= place.run("size", "rating", "--samples", "4", "--detect-score", "1", "--spread", "2.5", "--json").json["tasters"] <= 100, "people for a rating")
    check("below --better" in place.run("size", "just-about-right", "--better", "0.4", "--worse", "0.5", code=2).err, "shares the wrong way round")
    check("at most 4" in place.run("size", "ranking", "--samples", "4", "--tray-size", "5", code=2).err, "more on a tray than there are")


TICKED = {"title": "Words for four brines", "versions": [{"id": "current"}, {"id": "short"}, {"id": "sweet"}, {"id": "warm"}], "tasters": 48, "alpha": 0.05,
          "rounds": [{"method": "check-all", "words": "salty, sweet, dry", "spots": ["belly", "tail"], "tray_size": 3}]}
FITS = {"current": (1, 0, 0), "short": (0, 0, 0), "sweet": (0, 1, 0), "warm": (0, 0, 0)}


def words_ticked(place):
    """Check all that apply, over two spots and small trays: papers, answers by number, verdict, report; R computes the word's statistic again."""
    text = json.dumps(TICKED)
    tasting, ballots = drawn(place, text)
    key = key_of(place, text)
    rows = ["ballot,set,answer"]
    for ballot in ballots:
        for tray in ballot["sets"]:
            parts = []
            for code in tray["codes"]:
                fits = list(FITS[key[(ballot["ballot"], tray["set"], code)]])
                fits[2] = int(int(ballot["ballot"]) % 4 == 0)   # some find everything dry
                if int(ballot["ballot"]) % 7 == 0:
                    fits[0] = 0
                parts.append(f"{code}:" + ("/".join(str(i + 1) for i, fit in enumerate(fits) if fit) or "0"))
            rows.append(f"{ballot['ballot']},{tray['set']},{' '.join(parts)}")
    place.write("answers.csv", "\n".join(rows) + "\n")
    place.run("print", tasting, "--into", "papers")
    place.run("enter", tasting, "--csv", "answers.csv")
    place.run("close", tasting, "--yes")
    judged = place.run("judge", tasting, "--json").json
    found = judged["rounds"][0]
    tests = {row["word"]: row for row in found["pooled"]["words_ticked"]}
    check(found["verdict"] == "words-differ" and tests["salty"]["p_adjusted"] < 0.01 and tests["sweet"]["p_adjusted"] < 0.01, f"two words stand out: {tests}")
    check(tests["dry"]["p_value"] is None and "for all of a tray or for none" in tests["dry"]["why"]["p_value"], f"a word that tells nothing says why: {tests['dry']}")
    check("salty" in judged["words"] and "sweet" in judged["words"] and "dry" not in judged["words"].split(".")[0], judged["words"])
    place.run("report", tasting, "--into", "report")
    check((place.folder / "report/figures/course-1-ticks.svg").exists(), "the words have a picture")
    if shutil.which("Rscript"):
        again = subprocess.run(["Rscript", "rerun.R"], cwd=place.folder / "report", capture_output=True, text=True, check=True).stdout
        check(f"word 1: statistic {tests['salty']['statistic']:.6g} on 3" in again, f"R finds the same: {again}")


JUST_RIGHT = {"title": "Salt and smoke", "versions": [{"id": v, "label": v} for v in VERSIONS], "tasters": 40,
              "rounds": [{"method": "just-about-right", "attributes": "salt, smoke", "spots": ["belly"], "tray_size": 4}]}


def too_salty(place):
    """Pepper is too salty for most and liked less for it; R counts the sides and the changes again."""
    text = json.dumps(JUST_RIGHT)
    tasting, ballots, _ = laid(place, text)
    key = key_of(place, text)
    dice, rows, said = random.Random(12), ["ballot,set,answer"], []
    for ballot in ballots:
        parts = []
        for code in ballot["sets"][0]["codes"]:
            name = key[ballot["ballot"], 1, code]
            salt = dice.choices((-1, 0, 1), (1, 4, 1) if name != "pepper" else (1, 4, 9))[0]
            smoke = dice.choices((-1, 0, 1), (1, 2, 1))[0]
            said.append((ballot["ballot"], name, salt, smoke))
            parts.append(f"{code}:{dice.randint(6, 8) - 2 * abs(salt)}/{salt}/{smoke}")
        rows.append(f"{ballot['ballot']},1,{' '.join(parts)}")
    place.write("answers.csv", "\n".join(rows) + "\n")
    place.run("enter", tasting, "--csv", "answers.csv", "--json")
    place.run("close", tasting, "--yes")
    judged = place.run("judge", tasting, "--json").json
    pooled = judged["rounds"][0]["pooled"]
    spread = {(row["attribute"], row["sample"]): row for row in pooled["distribution"]}
    for attribute, column in (("salt", 2), ("smoke", 3)):
        for name in VERSIONS:
            counts = collections.Counter(row[column] for row in said if row[1] == name)
            row = spread[attribute, name]
            check((counts[-1], counts[0], counts[1]) == (row["too_little"], row["just_right"], row["too_much"]), f"{attribute} of {name} counted by hand: {row} {counts}")
    check(judged["words"].startswith("pepper has too much salt"), judged["words"])
    drop = next(row for row in pooled["drops"] if (row["attribute"], row["sample"], row["side"]) == ("salt", "pepper", "too-much"))
    check(1 < drop["drop"] < 3 and drop["p_adjusted"] < 0.05 and "goes with lower liking of pepper" in judged["words"], f"what it costs: {drop}")
    place.run("report", tasting, "--into", "report")
    for picture in ("levels", "drops"):
        check((place.folder / f"report/figures/course-1-{picture}.svg").exists(), picture)
    if shutil.which("Rscript"):
        again = subprocess.run(["Rscript", "rerun.R"], cwd=place.folder / "report", capture_output=True, text=True, check=True).stdout
        for number, attribute in enumerate(("salt", "smoke"), 1):
            for name in VERSIONS:
                row = spread[attribute, name]
                line = f"attribute {number}, {name}: too little {row['too_little']}, just right {row['just_right']}, too much {row['too_much']}; just right in {100 * row['share_just_right']:.6g} of 100; sides p = {row['p_value_side']:.6g}"
                check(line in again, f"{line}\n{again}")
        for row in pooled["changes"]:
            a, b = sorted((row["a"], row["b"]))
            gained, lost = (row["gained"], row["lost"]) if a == row["a"] else (row["lost"], row["gained"])
            check(f"{a} against {b}: just right more often in the second for {gained}, in the first for {lost}; p = {row['p_value_just_right']:.6g}" in again, f"{row}\n{again}")


EIGHT = {"title": "Eight brines", "versions": [{"id": v} for v in "abcdefgh"], "tasters": 42, "pieces": 2, "rounds": [{"method": "rating", "sittings": 2}]}


def over_sittings(place):
    """Eight recipes over two sittings of four: everybody has each once, pairs share a sitting as evenly as can be, and what a sitting does to all its scores is not
    taken for the recipes' doing."""
    text = json.dumps(EIGHT)
    tasting, ballots, _ = laid(place, text)
    key = key_of(place, text)
    met, sitting = collections.Counter(), collections.Counter()
    dice, rows = random.Random(8), ["ballot,set,answer"]
    for ballot in ballots:
        trays = [[key[ballot["ballot"], one["set"], code] for code in one["codes"]] for one in ballot["sets"]]
        check(sorted(trays[0] + trays[1]) == list("abcdefgh"), f"everything once: {trays}")
        for i, tray in enumerate(trays):
            for name in tray:
                sitting[name, i] += 1
                met.update((name, other) for other in tray if name < other)
        for one, tray in zip(ballot["sets"], trays):
            mood = dice.gauss(0, 1.5)
            marks = [min(9, max(1, round(5 + mood + (1.5 if name == "a" else 0) + dice.gauss(0, 0.8)))) for name in tray]
            if ballot["ballot"] not in ("5", "6") or one["set"] == 1:   # two stay away the second time
                rows.append(f"{ballot['ballot']},{one['set']}," + " ".join(f"{code}:{mark}" for code, mark in zip(one["codes"], marks)))
            else:
                rows.append(f"{ballot['ballot']},{one['set']},not-served")
    check(set(sitting.values()) == {21} and max(met.values()) - min(met.values()) == 0, f"as often first as second, and with each other: {sitting} {met}")
    place.write("answers.csv", "\n".join(rows) + "\n")
    place.run("enter", tasting, "--csv", "answers.csv")
    place.run("close", tasting, "--yes")
    found = place.run("judge", tasting, "--json").json["rounds"][0]
    check(found["verdict"] == "one-leads" and found["pooled"]["samples"][0]["name"] == "a", f"a leads: {found['words']}")
    check(found["pooled"]["variance"]["sitting"] > 0.5, f"moods of a sitting are seen: {found['pooled']['variance']}")
    check(place.run("verify", tasting, code=None).code == 0, "the draw is made again and is the same")
    place.run("print", tasting, "--into", "papers")
    for keys, word in (({"sittings": 3}, "split by"), ({"sittings": 2, "tray_size": 3}, "or nothing"), ({"sittings": 2, "spots": ["x", "y"]}, "one spot"), ({"sittings": 2, "sets_per_taster": 3}, "or nothing")):
        wrong = dict(EIGHT, rounds=[{"method": "rating"} | keys])
        check(word in place.run("plan", place.write("wrong.json", json.dumps(wrong)), code=2).err, f"{keys}")
    wrong = dict(EIGHT, evenings=[{"tasters": 20}, {"tasters": 22}])
    check("one or the other" in place.run("plan", place.write("wrong.json", json.dumps(wrong)), code=2).err, "evenings and sittings")


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--program", required=True)
    program = parser.parse_args().program
    for part in (tables, an_evening, runs_out, swapped_tubs, each_beside_the_usual, sizes, words_ticked, too_salty, over_sittings):
        with Place(program) as place:
            part(place)
            print(f"{part.__name__}: holds")


if __name__ == "__main__":
    main()
