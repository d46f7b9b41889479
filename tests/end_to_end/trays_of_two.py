#!/usr/bin/env python3
"""Several recipes, two at a time: every pair of four side by side, and a ladder of salt beside the usual cure.

    trays_of_two.py --program build/oddplate
"""

import argparse
import collections
import json
import math
import random
import re
import shutil
import subprocess

from program import Place, check

SEED = "0a1b2c3d" * 8


def evening(place, plan, chooses):
    """Draws, answers as `chooses(first, second)` says (True: the first), closes and judges. Also gives the votes as they were."""
    place.write("plan.json", json.dumps(plan))
    names = [place.run("new", "plan.json", "--json").json["tasting"] for _ in range(2)]
    dealt = [place.run("draw", name, "--seed", SEED, "--json").json for name in names]
    place.run("close", names[1], "--yes")
    key = {(row["ballot"], row["set"], row["code"]): row["version"] for row in place.run("key", names[1], "--json").json}
    rows, votes = ["ballot,set,answer"], []
    for ballot in place.run("ballots", names[0], "--json").json:
        if ballot["spare"]:
            continue
        for one in ballot["sets"]:
            first, second = (key[ballot["ballot"], one["set"], code] for code in one["codes"])
            took = chooses(first, second)
            rows.append(f"{ballot['ballot']},{one['set']},{'>'.join(one['codes'] if took else reversed(one['codes']))}")
            votes.append((ballot["ballot"], first, second, first if took else second))
    place.write("answers.csv", "\n".join(rows) + "\n")
    place.write("one.csv", rows[0] + "\n" + rows[1].split(">")[0] + "\n")   # of two the one put first says all
    check(place.run("enter", names[0], "--csv", "one.csv", "--json").json["accepted"] == 1, rows[1])
    check(place.run("enter", names[0], "--csv", "answers.csv", "--json").json["already"] == 1, "the same answer as both codes in order")
    place.run("close", names[0], "--yes")
    judged = place.run("judge", names[0], "--json").json
    place.run("report", names[0], "--into", "report")
    return dealt[0], votes, judged


def one_code_when_one_is_out(place):
    """Once a recipe has run out, the one code on a slip may be all that lay there: it is no vote. Nor is it where its tray never held that recipe."""
    plan = {"title": "Four rubs", "tasters": 12, "versions": [{"id": v} for v in "abcd"], "rounds": [{"method": "ranking", "tray_size": 2, "spots": ["slice"]}]}
    place.write("plan.json", json.dumps(plan))
    tasting = place.run("new", "plan.json", "--json").json["tasting"]
    place.run("draw", tasting, "--seed", SEED)
    trays = {ballot["ballot"]: ballot["sets"][0]["codes"] for ballot in place.run("ballots", tasting, "--json").json if not ballot["spare"]}

    def enter(name, rows, *flags):
        place.write(name, "ballot,set,answer\n" + "".join(f"{ballot},1,{answer}\n" for ballot, answer in rows))
        return place.run("enter", tasting, "--csv", name, "--json", *flags).json

    early, late = list(trays)[:4], list(trays)[4:]
    check(enter("early.csv", [(ballot, trays[ballot][1]) for ballot in early])["accepted"] == 4, "one code each, as long as all are served")
    noted = place.run("withdraw", tasting, "--version", "c", "--why", "sold out").out
    check("usual one" not in noted, f"c is not what the others are held against: {noted}")
    check(enter("early.csv", [(ballot, trays[ballot][1]) for ballot in early])["already"] == 4, "the same file again harms nothing")
    place.run("correct", tasting, "--ballot", early[0], "--set", "1", "--answer", trays[early[0]][0], "--why", "misread")
    second = place.run("enter", tasting, "--second", stdin=f"{early[1]} 1 {trays[early[1]][1]}\nq\n".encode()).out
    check("One answer typed twice, none differed" in second or "0 differed" in second, second)
    one = enter("one.csv", [(ballot, trays[ballot][0]) for ballot in late], "--keep-good")
    lacking = [late[row["line"] - 2] for row in one["rejected"]]
    check(one["accepted"] + len(lacking) == 8 and 2 <= len(lacking) <= 6 and all("not-served where a portion was missing" in row["reason"] for row in one["rejected"]), one)
    check(enter("both.csv", [(ballot, " ".join(trays[ballot])) for ballot in lacking])["accepted"] == len(lacking), "both codes are an order")


def rerun(place):
    """What R makes of the same answers; nothing where it is not installed."""
    if not shutil.which("Rscript"):
        return None
    return subprocess.run(["Rscript", "rerun.R"], cwd=place.folder / "report", capture_output=True, text=True, check=True).stdout


def pairs_of_four(place):
    """Maple ahead; who is served first gets a little more."""
    dice, worth = random.Random(5), {"usual": 0, "maple": 2, "pepper": 0.3, "mustard": -0.5}
    plan = {"title": "Four rubs, two at a time", "tasters": 60, "versions": [{"id": v} for v in worth],
            "rounds": [{"method": "ranking", "tray_size": 2, "sets_per_taster": 3, "spots": ["slice"]}]}
    dealt, votes, judged = evening(place, plan, lambda a, b: dice.random() < 1 / (1 + math.exp(-(worth[a] - worth[b] + 0.4))))
    check(dealt["trays"]["connected"] and dealt["trays"]["a_efficiency"] > 0.99 * dealt["trays"]["bound"], f"as good as balanced: {dealt['trays']}")
    pooled = judged["rounds"][0]["pooled"]
    check(judged["verdict"] == "one-leads" and pooled["samples"][0]["name"] == "maple", judged["words"])
    check(next(c for c in judged["rounds"][0]["checks"] if c["id"] == "trays_compare")["alarm"] is False, "the trays compare them all")
    # The same votes as a table of pairs are the same to all digits.
    place.write("pairs.csv", "taster,first,second,for\n" + "".join(f"{t},{a},{b},{c}\n" for t, a, b, c in votes))
    table = place.run("weigh", "paired-preference", "--csv", "pairs.csv", "--json").json
    for key in ("fit", "served_first", "friedman"):
        told = ({k: v for k, v in of[key].items() if isinstance(v, (int, float))} for of in (table, pooled))
        check(all(abs(a - b) < 1e-9 for a, b in zip(*(t.values() for t in told))), f"{key}: {table[key]} and {pooled[key]}")
    worths = [sorted((row["name"], round(row["log_worth"], 9)) for row in of["worths"]) for of in (table, pooled)]
    check(worths[0] == worths[1], f"worths: {worths}")
    # By hand: first order by the definition of the likelihood's top, observed first choices equal expected ones.
    log = {row["name"]: row["log_worth"] for row in pooled["worths"]}
    delta = pooled["served_first"]["log_odds"]
    expected = sum(1 / (1 + math.exp(-(log[a] - log[b] + delta))) for _, a, b, _ in votes)
    check(abs(expected - sum(c == a for _, a, _, c in votes)) < 1e-6, "the habit's score is nought at the top")
    for name in log:
        wins = sum(c == name for _, _, _, c in votes)
        mine = sum((1 if name == a else -1) / (1 + math.exp(-(log[a] - log[b] + delta))) + (name == b) for _, a, b, _ in votes if name in (a, b))
        check(abs(wins - mine) < 1e-6, f"{name}: {wins} wins, {mine} expected")
    if (again := rerun(place)) is not None:   # glm's worths, beside the first one by name, and its intercept: the same to the digits shown
        by_glm = [float(m) for m in re.findall(r"^(?:\(Intercept\)|x\w+) +(-?[\d.]+)", again, re.M)]
        names = sorted(log)
        ours = [delta] + [log[name] - log[names[0]] for name in names[1:]]
        check(len(by_glm) == 4 and all(abs(a - b) < 6e-4 * max(1, abs(b)) for a, b in zip(by_glm, ours)), f"{again}: {ours}")
    # Always the same one first: no lead is claimed from a table like that.
    biased = "".join(f"{t},{a},{b},{a if dice.random() < 0.85 else b}\n" for t in range(40) for a, b in (("usual", "maple"), ("usual", "pepper"), ("maple", "pepper")))
    place.write("biased.csv", "taster,first,second,for\n" + biased)
    told = place.run("weigh", "paired-preference", "--csv", "biased.csv", "--json").json
    check(told["friedman"]["p_value"] < 0.001 and told["verdict"] == "no-clear-order" and "orders_uneven" in told["warnings"], told["words"])


def salt_ladder(place):
    dice, salt = random.Random(8), {"ours": 2.0, "a-bit": 2.4, "more": 2.8, "far": 3.2}
    plan = {"title": "Saltier step by step", "tasters": 48, "versions": [{"id": v} for v in salt], "salt_percent": salt,
            "rounds": [{"method": "ranking", "ladder": True, "tray_size": 2, "sets_per_taster": 3, "spots": ["centre"]}]}

    def chooses(a, b):
        other = b if a == "ours" else a
        ours = dice.random() < 1 / (1 + math.exp(-4 * (salt[other] - 2.5)))
        return ours == (a == "ours")

    _, votes, judged = evening(place, plan, chooses)
    met = collections.Counter(frozenset(pair[1:3]) for pair in votes)
    check(set(met.values()) == {48} and all("ours" in pair for pair in met), f"everybody every level beside ours: {met}")
    pooled = judged["rounds"][0]["pooled"]
    check(judged["verdict"] == "some-worse" and 2.4 < pooled["rejection"]["estimate"] < 3.2, judged["words"])
    for step in pooled["steps"]:
        name = next(v for v in salt if salt[v] == step["level"])
        check(step["for_current"] == sum(c == "ours" for _, a, b, c in votes if name in (a, b)), f"counted by hand: {step}")
    check("pairs" not in pooled and all("p_adjusted" not in row for row in pooled["against_usual"]), f"steps need no adjusting: {pooled.keys()}")
    check("% salt (" in judged["words"].split(".")[0] + judged["words"].split(".")[1], f"the headline has its unit and the recipe's name: {judged['words']}")
    if (again := rerun(place)) is not None:
        for step in pooled["steps"]:
            name = next(v for v in salt if salt[v] == step["level"])
            p = float(re.search(rf"^{name}: .* one-sided p = (\S+)", again, re.M)[1])
            check(step["for_current"] <= step["for_new"] or abs(p - step["p_value"]) < 1e-5 * p, f"R's {p} and {step}")
    page = (place.folder / "report" / "verdict.html").read_text()
    check("would rather have the usual one, at each level" in page, "the ladder's picture")
    place.write("plan.json", json.dumps(plan))
    drawn = place.run("new", "plan.json", "--json").json["tasting"]
    place.run("draw", drawn)
    noted = " ".join(place.run("withdraw", drawn, "--version", "ours", "--why", "sold out").out.split())
    check("It is the usual one: in course 1 nothing can be held against it any more." in noted, noted)
    lacks = plan | {"salt_percent": {"ours": 2.0, "more": 2.8}}
    place.write("lacks.json", json.dumps(lacks))
    check("a-bit" in place.run("new", "lacks.json", code=2).err, "a level without its salt")


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--program", required=True)
    program = parser.parse_args().program
    for test in (pairs_of_four, one_code_when_one_is_out, salt_ladder):
        with Place(program) as place:
            test(place)
            print(f"{test.__name__}: holds")


if __name__ == "__main__":
    main()
