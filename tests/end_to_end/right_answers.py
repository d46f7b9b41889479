#!/usr/bin/env python3
"""Every method with a right answer through a whole tasting: plan, draw, print, enter, close, key, judge, verify.

    right_answers.py --program build/oddplate
"""

import argparse
import itertools
import json

from keys import BALLOTS, COUNT, CURVE, JUDGED, KEY, SIZE, hold, hold_whys
from program import Place, check

SEED = "0123456789abcdef" * 4
DIRECTED = {"attribute": "saltier", "stronger": "current"}


def like_reference(codes, versions, reference):
    return [code for code, version in zip(codes, versions) if version == reference]


def stronger(codes, versions, _):
    return [code for code, version in zip(codes, versions) if version == "current"]


def odd(codes, versions, _):
    return [code for code, version in zip(codes, versions) if versions.count(version) == 1]


def either_pair(codes, versions, _):
    return [code for code, version in zip(codes, versions) if version == versions[0]]


def the_two(codes, versions, _):
    return [code for code, version in zip(codes, versions) if versions.count(version) == 2]


# method, what the round says, flags of the one-off questions, chance, portions of a tray, the right answer, codes in an answer
CASES = [
    ("triangle", {}, [], 1 / 3, 3, odd, 1),
    ("duo-trio", {}, [], 1 / 2, 2, like_reference, 1),
    ("duo-trio", {"reference": "current"}, [], 1 / 2, 2, like_reference, 1),
    ("two-afc", DIRECTED, [], 1 / 2, 2, stronger, 1),
    ("three-afc", DIRECTED, [], 1 / 3, 3, stronger, 1),
    ("tetrad", {}, [], 1 / 3, 4, either_pair, 2),
    ("tetrad", DIRECTED, ["--specified"], 1 / 6, 4, stronger, 2),
    ("two-out-of-five", {}, [], 1 / 10, 5, the_two, 2),
]


def questions(place, method, flags, chance):
    count = place.run("count", method, "--correct", 14, "--of", 24, *flags, "--same-below-d", 1, "--json").json
    hold(count, COUNT, f"count {method}")
    hold_whys(count, set(), f"count {method}")
    check(abs(count["chance"] - chance) < 1e-15, f"{method} is right by guessing {chance}: {count['chance']}")
    size = place.run("size", method, "--detect-d", 1.5, *flags, "--json").json
    hold(size, SIZE, f"size {method}")
    curve = place.run("curve", method, "--d", 1.5, *flags, "--json").json
    hold(curve, CURVE, f"curve {method}")
    check(abs(size["detect"]["proportion_correct"] - curve["proportion_correct"]) < 1e-15, f"{method}: size and curve agree")
    # Brute force over the definition: the fewest of 24 that guessing reaches with 5 % or less.
    tails = [sum(weight(24, k, chance) for k in range(least, 25)) for least in range(25)]
    check(count["least_correct"] == next(k for k in range(25) if tails[k] <= 0.05), f"least of 24 for {method}: {count['least_correct']}")


def weight(n, k, p):
    ways = 1
    for i in range(k):
        ways = ways * (n - i) // (i + 1)
    return ways * p ** k * (1 - p) ** (n - k)


def served(place, tasting, portions, says):
    ballots = place.run("ballots", tasting, "--json").json
    hold(ballots, BALLOTS, "ballots")
    for each in itertools.chain.from_iterable(ballot["sets"] for ballot in ballots):
        check(len(each["codes"]) == portions, f"portions of {each}")
        check(("reference" in each) == says, f"a reference stands where one is served: {each}")
    return ballots


def key_of(program, spec):
    """The versions by ballot, set and code, from a book of its own: they depend on plan and seed alone."""
    with Place(program) as place:
        place.write("plan.json", json.dumps(spec))
        tasting = place.run("new", "plan.json", "--json").json["tasting"]
        place.run("draw", tasting, "--seed", SEED)
        place.run("close", tasting, "--yes")
        rows = place.run("key", tasting, "--json").json
        hold(rows, KEY, "key")
        return {(row["ballot"], row["set"], row["code"]): row["version"] for row in rows}


def an_evening(program, method, says, chance, portions, right, group):
    spec = {"title": "Less salt", "versions": [{"id": "current"}, {"id": "new"}], "tasters": 20,
            "rounds": [{"method": method, "detect_d": 1.5, **says}]}
    key = key_of(program, spec)
    with Place(program) as place:
        place.write("plan.json", json.dumps(spec))
        place.run("plan", "plan.json")
        tasting = place.run("new", "plan.json", "--json").json["tasting"]
        place.run("draw", tasting, "--seed", SEED)
        has_reference = method == "duo-trio"
        ballots = served(place, tasting, portions, has_reference)
        place.run("print", tasting, "--into", "papers")
        place.run("print", tasting, "--into", "papers", "--mat")

        lines, want = ["ballot,set,answer"], 0
        for index, ballot in enumerate(ballots[:20]):
            for each in ballot["sets"]:
                at = lambda code: key[ballot["ballot"], each["set"], code]
                good = right(each["codes"], [at(code) for code in each["codes"]], at(each["reference"]) if has_reference else None)
                check(len(good) == group, f"{method}: the right answer has {group} codes: {good}")
                if index % 4 == 3:   # wrong: one code of the answer exchanged for one that is not in it
                    good = good[1:] + [next(code for code in each["codes"] if code not in good)]
                else:
                    want += 1
                lines.append(f"{ballot['ballot']},{each['set']},{'+'.join(reversed(good))}")
        place.write("answers.csv", "\n".join(lines) + "\n")
        accepted = place.run("enter", tasting, "--csv", "answers.csv", "--json").json
        check(accepted["accepted"] == 20 and not accepted["rejected"], f"enter: {accepted}")
        place.run("verify", tasting)
        place.run("close", tasting)
        judged = place.run("judge", tasting, "--json").json
        hold(judged, JUDGED, f"judge {method}")
        pooled = judged["rounds"][0]["pooled"]
        hold(pooled, COUNT, f"judge {method} pooled")
        check((pooled["correct"], pooled["of"]) == (want, 20), f"{method}: {want} of 20 right, judged {pooled['correct']} of {pooled['of']}")
        check(abs(pooled["chance"] - chance) < 1e-15, f"{method}: chance {pooled['chance']}")
        check(judged["verdict"] == "different", f"{method}: {judged['verdict']}")
        place.run("judge", tasting)
        place.run("verify", tasting)


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("--program", required=True)
    program = arguments.parse_args().program
    for method, says, flags, chance, portions, right, group in CASES:
        with Place(program) as place:
            questions(place, method, flags, chance)
        an_evening(program, method, says, chance, portions, right, group)
    print(f"{len(CASES)} evenings")


if __name__ == "__main__":
    main()
