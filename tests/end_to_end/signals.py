#!/usr/bin/env python3
"""Words and scores through whole tastings: A or not A, same or different, difference from control; and their tables and counts.

    signals.py --program build/oddplate
"""

import argparse
import json
import re

from keys import NUMBER, TEXT, WHOLE, OrNull, hold
from program import Place, check

ESTIMATE = {"estimate": OrNull(NUMBER), "lower": OrNull(NUMBER), "upper": OrNull(NUMBER)}
COUNT = {"method": TEXT, "hits": WHOLE, "signals": WHOLE, "false_alarms": WHOLE, "noises": WHOLE, "p_value": OrNull(NUMBER),
         "d_prime": ESTIMATE | {"standard_error": OrNull(NUMBER), "confidence": NUMBER}, "criterion": ESTIMATE,
         "least_hits": OrNull(WHOLE), "verdict": TEXT, "words": TEXT}
VERDICTS = ("different", "slight", "close-enough", "unsettled")


def plan(method, **round_keys):
    spots = round_keys.pop("spots", None)
    the_round = {"method": method} | ({"spots": spots} if spots else {}) | round_keys
    return json.dumps({"title": "Less salt", "versions": [{"id": "current"}, {"id": "new"}], "tasters": 16, "spares": 0, "rounds": [the_round]})


def counts(place):
    for method in ("a-not-a", "same-different"):
        for cells in ((0, 5, 0, 5), (5, 5, 5, 5), (5, 5, 0, 5), (0, 5, 5, 5), (1, 1, 0, 1), (15, 20, 8, 20)):
            flags = [part for pair in zip(("--hits", "--signals", "--false-alarms", "--noises"), cells) for part in pair]
            answer = place.run("count", method, *flags, "--detect-d", "1", "--json").json
            hold(answer, COUNT, f"count {method} {cells}")
            check(answer["verdict"] in VERDICTS, f"a verdict: {answer}")
            check(answer["discriminators"] is None and "discriminators" in answer["why"], "discriminators are null and say why")
        check("below_chance" in place.run("count", method, "--hits", 0, "--signals", 9, "--false-alarms", 9, "--noises", 9, "--json").json["warnings"],
              f"{method}: the wrong way round is told")
        refused = place.run("count", method, "--hits", 6, "--signals", 5, "--false-alarms", 0, "--noises", 5, code=2)
        check("--hits" in refused.err and refused.out == "", "more hits than signals are refused")
        check("--hits" in place.run("count", method, "--signals", 5, code=2).err, "what is missing is named")
        size = place.run("size", method, "--detect-d", "2", "--json").json
        hold(size, {"tasters": WHOLE, "tasters_safe": WHOLE, "signals": WHOLE, "noises": WHOLE, "power_actual": NUMBER}, f"size {method}")
        check(size["power_actual"] >= 0.8 and size["alpha_actual"] <= 0.05, f"size {method} keeps its word: {size}")
        hold(place.run("curve", method, "--d", "1", "--json").json, {"proportion_correct": NUMBER}, f"curve {method}")
    check("weigh" in place.run("count", "difference-from-control", code=2).err, "scores have no count")
    check(place.run("size", "difference-from-control", "--detect-score", "1", "--spread", "2", "--json").json["tasters"] == 27, "noncentral t")


def tables(place):
    place.write("words.csv", "taster,sample,answer,sureness\n" + "".join(
        f"{t},a,{'a' if t % 4 else 'not-a'},{t % 3 + 1}\n{t},not-a,{'not-a' if t % 3 else 'a'},{t % 3 + 1}\n" for t in range(12)))
    answer = place.run("weigh", "a-not-a", "--csv", "words.csv", "--json").json
    check((answer["hits"], answer["false_alarms"], answer["tasters"]) == (9, 4, 12), f"counted: {answer}")
    hold(answer["r_index"], {"estimate": NUMBER, "lower": NUMBER, "upper": NUMBER, "p_value": NUMBER}, "the R-index")
    place.write("pairs.csv", "taster,pair,answer\n" + "".join(f"{t},{'different' if t % 2 else 'same'},{'different' if t % 2 else 'same'}\n" for t in range(20)))
    check(place.run("weigh", "same-different", "--csv", "pairs.csv", "--json").json["verdict"] == "different", "all right")
    place.write("scores.csv", "taster,sample,score\n" + "".join(f"{t},control,{t % 2}\n{t},new,{3 + t % 3}\n" for t in range(12)))
    answer = place.run("weigh", "difference-from-control", "--csv", "scores.csv", "--same-below-score", "5", "--json").json
    check(answer["verdict"] == "slight" and answer["mean_difference"]["estimate"] == 3.5, f"a lead of 3.5, below 5: {answer}")
    place.write("wrong.csv", "taster,pair,answer\nann,alike,same\n")
    check("pair" in place.run("weigh", "same-different", "--csv", "wrong.csv", code=2).err, "a kind of pair that is none")
    place.write("half.csv", "taster,sample,score\nann,control,2\n")
    check("ann" in place.run("weigh", "difference-from-control", "--csv", "half.csv", code=2).err, "half a taster")


def evening(place, text, answer_of):
    place.write("plan.json", text)
    place.run("plan", "plan.json")
    tasting = place.run("new", "plan.json", "--json").json["tasting"]
    place.run("draw", tasting, "--seed", "0123456789abcdef" * 4)
    ballots = place.run("ballots", tasting, "--json").json
    place.run("print", tasting, "--into", "papers", "--mat")
    # The answers are made from the key of a twin: the same plan and seed, closed at once.
    twin = place.run("new", "plan.json", "--json").json["tasting"]
    place.run("draw", twin, "--seed", "0123456789abcdef" * 4)
    place.run("close", twin, "--yes")
    key = {(row["ballot"], row["set"], row["code"]): row["version"] for row in place.run("key", twin, "--json").json}
    rows = ["ballot,set,answer"]
    for ballot in ballots:
        for each in ballot["sets"]:
            versions = [key[ballot["ballot"], each["set"], code] for code in each["codes"]]
            rows.append(f"{ballot['ballot']},{each['set']},{answer_of(int(ballot['ballot']), each['codes'], versions)}")
    place.write("answers.csv", "\n".join(rows) + "\n")
    entered = place.run("enter", tasting, "--csv", "answers.csv", "--json").json
    check(entered["accepted"] == len(rows) - 1, f"all taken in: {entered}")
    place.run("close", tasting, "--yes")
    judged = place.run("judge", tasting, "--json").json
    place.run("verify", tasting)
    return judged, ballots


def a_not_a(place):
    for keys in ({}, {"sureness": True, "reminder": True, "sets_per_taster": 2}, {"a_sets": 1, "not_a_sets": 3},
                 {"spots": ["edge", "centre"], "decide_on": "any-spot", "detect_d": 1.5}):
        judged, ballots = evening(place, plan("a-not-a", **keys), lambda ballot, codes, versions:
                                  ("a" if versions == ["current"] else "not-a") + (f":{ballot % 3 + 1}" if keys.get("sureness") else ""))
        check(judged["verdict"] == "different", f"all right: {judged['words']}")
        check(("reference" in ballots[0]["sets"][0]) == keys.get("reminder", False), "a reminder is a marked reference")
        pooled = judged["rounds"][0]["pooled"]
        check(pooled["hits"] == pooled["signals"] and pooled["false_alarms"] == 0, "hits are hits")
        if "not_a_sets" in keys:
            check(pooled["noises"] == 3 * pooled["signals"], f"one A to three: {pooled}")
        if keys.get("sureness"):
            check(pooled["r_index"]["estimate"] == 1, "sure in the right order")
        check(re.search(r"^Noticed[^.]*\d+ of \d+[^.]*0 of \d+", judged["words"]), f"counts stand in the first sentence: {judged['words']}")
    judged, _ = evening(place, plan("a-not-a"), lambda ballot, codes, versions: "not-a" if versions == ["current"] else "a")
    check("below_chance" in judged["warnings"], f"all wrong: {judged}")
    judged, _ = evening(place, plan("a-not-a", detect_d=1), lambda ballot, codes, versions: "a")
    check(judged["verdict"] == "unsettled", "one word for all")


def same_different(place):
    for keys in ({}, {"sureness": True, "sets_per_taster": 2}, {"spots": ["edge", "centre"], "decide_on": "each-spot"}):
        judged, _ = evening(place, plan("same-different", **keys),
                            lambda ballot, codes, versions: "different" if versions[0] != versions[1] else "same")
        check(judged["verdict"] == "different", f"all right: {judged['words']}")


def difference_from_control(place):
    for keys in ({}, {"scale": 15, "same_below_score": 6}, {"spots": ["edge", "centre"]}):
        judged, ballots = evening(place, plan("difference-from-control", **keys), lambda ballot, codes, versions: " ".join(
            f"{code}:{1 + ballot % 2 if version == 'current' else 4 + ballot % 4 / 2}" for code, version in zip(codes, versions)))
        check(judged["verdict"] == ("slight" if "scale" in keys else "different"), f"scored higher: {judged['words']}")
        check("reference" in ballots[0]["sets"][0], "the control is there, marked")
        check(judged["rounds"][0]["pooled"]["mean_difference"]["estimate"] > 2, "the lead")
    judged, _ = evening(place, plan("difference-from-control"), lambda ballot, codes, versions: " ".join(f"{code}:3" for code in codes))
    check(judged["verdict"] == "unsettled" and judged["rounds"][0]["pooled"]["mean_difference"]["lower"] is None, "nothing but ties")


def nobody(place):
    for method in ("a-not-a", "same-different", "difference-from-control"):
        place.write("plan.json", plan(method, spots=["edge", "centre"]))
        tasting = place.run("new", "plan.json", "--json").json["tasting"]
        place.run("draw", tasting)
        place.run("close", tasting, "--yes")
        judged = place.run("judge", tasting, "--json").json
        check(judged["verdict"] == "unsettled" and "no answers" in judged["words"], f"{method} without answers: {judged['words']}")


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--program", required=True)
    program = parser.parse_args().program
    for part in (counts, tables, a_not_a, same_different, difference_from_control, nobody):
        with Place(program) as place:
            part(place)


if __name__ == "__main__":
    main()
