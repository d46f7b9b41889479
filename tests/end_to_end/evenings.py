#!/usr/bin/env python3
"""One tasting over three evenings: ballots that read 2-07, papers an evening, counts only until the last one, and a look that the plan names.

    evenings.py --program build/oddplate
"""

import argparse
import json
import re
import subprocess

from program import Place, check

SEED = "0123abcd" * 8


def plan(**more):
    return json.dumps({"title": "Three Fridays", "versions": [{"id": "current"}, {"id": "new"}], "spares": 6,
                       "evenings": [{"date": "5 June", "tasters": 12, "lot": "A"}, {"date": "12 June", "tasters": 18, "lot": "B"}, {"date": "19 June", "tasters": 6, "lot": "A"}],
                       "rounds": [{"method": "triangle", "detect_pd": 0.4}]} | more)


def key_of(place, text):
    """Learnt from a twin of the same seed that is closed at once."""
    place.write("twin.json", text)
    twin = place.run("new", "twin.json", "--json").json["tasting"]
    place.run("draw", twin, "--seed", SEED)
    place.run("close", twin, "--yes")
    return place.run("key", twin, "--json").json


def odd_ones(place, text):
    """By ballot the code of the odd portion."""
    trays = {}
    for row in key_of(place, text):
        trays.setdefault(row["ballot"], []).append((row["code"], row["version"]))
    return {ballot: next(code for code, version in tray if [v for _, v in tray].count(version) == 1) for ballot, tray in trays.items()}


def drawn(place, text):
    place.write("plan.json", text)
    tasting = place.run("new", "plan.json", "--json").json["tasting"]
    dealt = place.run("draw", tasting, "--seed", SEED, "--json").json
    check(dealt["ballots"] == 42, f"36 people and 6 spare ballots: {dealt}")
    return tasting, place.run("ballots", tasting, "--json").json


def four_cures(place, **more):
    """Drawn; its planned ballots; which recipe lies under (ballot, code)."""
    text = json.dumps({"title": "Four cures", "versions": [{"id": v} for v in ("usual", "maple", "juniper", "pepper")]} | more)
    place.write("plan.json", text)
    tasting = place.run("new", "plan.json", "--json").json["tasting"]
    place.run("draw", tasting, "--seed", SEED)
    ballots = [b for b in place.run("ballots", tasting, "--json").json if not b["spare"]]
    return tasting, ballots, {(row["ballot"], row["code"]): row["version"] for row in key_of(place, text)}


def enter(place, tasting, rows, code=0):
    place.write("answers.csv", "ballot,set,answer,taster\n" + "".join(f"{b},1,{a},{t}\n" for b, a, t in rows))
    return place.run("enter", tasting, "--csv", "answers.csv", "--json", code=code)


def wrong(ballot, odd):
    return next(code for code in ballot["sets"][0]["codes"] if code != odd)


def answers(ballots, odd, evening, right):
    """The evening's planned ballots; the first so many find the odd one."""
    mine = [b for b in ballots if b["evening"] == evening and not b["spare"]]
    return [(b["ballot"], odd[b["ballot"]] if i < right else wrong(b, odd[b["ballot"]]), f"guest-{i}") for i, b in enumerate(mine)]


def text_of(place, paper):
    return subprocess.run(["pdftotext", "-layout", str(place.folder / paper), "-"], capture_output=True, check=True).stdout.decode()


def names(ballots):
    told = [b["ballot"] for b in ballots if b["evening"] == 2]
    check(told[:18] == [f"2-{n:02}" for n in range(1, 19)], f"the second evening's ballots: {told}")
    check([b["ballot"] for b in ballots if b["spare"]] == ["1-13", "1-14", "2-19", "2-20", "3-07", "3-08"], "spares follow each evening's own")
    return told


def papers(place, tasting):
    place.run("print", tasting, "--into", "papers", "--evening", "2")
    for paper in ("room/ballots.pdf", "room/runner.pdf", "kitchen/kitchen.pdf", "kitchen/labels.pdf"):
        text = text_of(place, f"papers/{paper}")
        check(("2-01" if paper == "room/runner.pdf" else "2-07") in text, f"{paper} names the evening's ballots")
        check(not re.search(r"\b[13]-0[1-9]\b", text), f"{paper} has no other evening's")
        if paper != "kitchen/labels.pdf":
            check("12 June" in text, f"{paper} has the evening's date")
    check("lot B" in text_of(place, "papers/kitchen/kitchen.pdf"), "the kitchen knows which lot")
    check("same nickname" in text_of(place, "papers/room/runner.pdf"), "who comes twice is asked for the same nickname")
    refused = place.run("print", tasting, "--into", "papers", "--evening", "4", code=2)
    check("an evening of the plan, from 1 to 3" in refused.err, refused.err)


def three_evenings(place):
    text = plan()
    tasting, ballots = drawn(place, text)
    odd = odd_ones(place, text)
    names(ballots)
    papers(place, tasting)
    enter(place, tasting, answers(ballots, odd, 1, 6))
    missing = place.run("close", tasting, "--evening", "2", code=2)
    check("no answer was entered" in missing.err, missing.err)
    guarded = place.run("close", tasting, code=2)
    check("--evening 1" in guarded.err, f"who closes all of it by mistake is stopped: {guarded.err}")
    first = place.run("close", tasting, "--evening", "1", "--json").json
    check(first["answered"] == 12 and first["evenings_left"] == 2 and "may_end" not in first, f"counts only: {first}")
    for refused in (place.run("key", tasting, code=2), place.run("judge", tasting, code=2), place.run("close", tasting, "--evening", "1", code=2)):
        check(not refused.out, "nothing is opened between evenings")
    again = enter(place, tasting, answers(ballots, odd, 1, 6)).json
    check((again["accepted"], again["already"]) == (0, 12), f"what was read before harms nothing when its evening is over: {again}")
    late = enter(place, tasting, [("1-13", wrong(ballots[12], "000"), "x")], code=2)
    check("evening 1 is over" in late.err, late.err)
    bare = enter(place, tasting, [("7", "123", "x")], code=2)
    check("such as 1-01" in bare.err, bare.err)

    typed = place.run("enter", tasting, stdin=f"7 1 {odd['2-07']}\nq\n".encode())
    check("2-07" in typed.err + typed.out, f"tonight's ballot by its number alone: {typed}")
    check("two of one evening" in place.run("swapped", tasting, "--ballots", "1-01,2-01", "--set", "1", "--why", "x", code=2).err, "trays of two evenings are not exchanged")

    # Twelve of the second evening's people were there on the first one: one mouth each.
    enter(place, tasting, answers(ballots, odd, 2, 9))
    place.run("close", tasting, "--evening", "2")
    enter(place, tasting, answers(ballots, odd, 3, 3))
    last = place.run("close", tasting, "--evening", "3", "--json").json
    check(last["evenings_left"] == 0, f"the last evening closes the tasting: {last}")
    judged = place.run("judge", tasting, "--json").json
    pooled = judged["rounds"][0]["pooled"]
    check((pooled["correct"], pooled["of"]) == (18, 36), f"all evenings together: {pooled}")
    check(pooled["tasters"] == 18, f"18 different nicknames over 36 ballots: {pooled.get('tasters')}")
    parcel = place.run("export", tasting, "tasting.json")
    check(parcel.code == 0, str(parcel))
    place.run("verify", "tasting.json")
    place.run("report", tasting, "--into", "report")


def a_look(place):
    text = plan(looks=[1], evenings=[{"tasters": 18}, {"tasters": 18}], spares=6)
    tasting, ballots = drawn(place, text)
    odd = odd_ones(place, text)
    # 12 of 18: P(X >= 12) at 1/3 is .00394, below a tenth of .05; 11 of 18 gives .0144, above it (binomial tails; R: pbinom(11, 18, 1/3, lower = FALSE)).
    enter(place, tasting, answers(ballots, odd, 1, 12))
    seen = place.run("close", tasting, "--evening", "1")
    check("you may stop now" in seen.out and not re.search(r"\b12\b", seen.out), f"one word, no totals: {seen.out}")
    place.run("judge", tasting, code=2)
    place.run("close", tasting, "--yes")
    judged = place.run("judge", tasting, "--json").json
    check(judged["verdict"] == "different" and abs(judged["rounds"][0]["alpha"] - 0.005) < 1e-15, f"judged at the look's level: {judged['rounds'][0].get('alpha')}")

    tasting, ballots = drawn(place, text)
    enter(place, tasting, answers(ballots, odd, 1, 11))
    told = place.run("close", tasting, "--evening", "1", "--json").json
    check(told["may_end"] is False, f"11 of 18 is not enough for a look: {told}")
    enter(place, tasting, answers(ballots, odd, 2, 7))
    place.run("close", tasting, "--evening", "2")
    judged = place.run("judge", tasting, "--json").json
    check(abs(judged["rounds"][0]["alpha"] - 0.045) < 1e-15, "the end has what the look left of alpha")
    # 18 of 36: P = .0288 <= .045.
    check(judged["verdict"] == "different", f"18 of 36 at .045: {judged['verdict']}")


def runs_out(place):
    """Maple runs out on the first evening and is there again on the second, where it is liked most: what was served at the end may lead."""
    tasting, ballots, recipe = four_cures(place, pieces=2, evenings=[{"tasters": 12, "lot": "A"}, {"tasters": 12, "lot": "A"}], rounds=[{"method": "ranking"}])

    def order(ballot, without=""):
        codes = [c for c in ballot["sets"][0]["codes"] if recipe[ballot["ballot"], c] != without]
        return ">".join(sorted(codes, key=lambda c: ("maple", "juniper", "usual", "pepper").index(recipe[ballot["ballot"], c])))

    def take(evening, first, last, without=""):
        mine = [b for b in ballots if b["evening"] == evening][first:last]
        enter(place, tasting, [(b["ballot"], order(b, without), f"guest-{b['ballot']}") for b in mine])

    def kitchen(evening):
        place.run("print", tasting, "--into", "papers", "--evening", str(evening))
        return text_of(place, "papers/kitchen/kitchen.pdf"), text_of(place, "papers/room/runner.pdf")

    take(1, 0, 6)
    noted = " ".join(place.run("withdraw", tasting, "--version", "maple", "--why", "sold out").out.split())
    check("By mistake, or there again on a later evening? The same with --back." in noted, noted)
    take(1, 6, 12, "maple")
    held = place.run("withdraw", tasting, "--version", "maple", "--why", "baked anew", "--back", code=2)
    check("stays withdrawn until evening 1 is closed" in held.err, held.err)
    place.run("close", tasting, "--evening", "1")
    check("maple is off" in kitchen(2)[0], "till it is there again the next evening goes without it")
    back = place.run("withdraw", tasting, "--version", "maple", "--why", "baked anew", "--back")
    check("maple is served again from evening 2 on." in back.out, back.out)
    for evening, is_off in ((1, True), (2, False)):
        kitchens, runners = kitchen(evening)
        check(("maple is off" in kitchens) == is_off and ("A recipe is off" in runners) == is_off, f"the papers of evening {evening}: {kitchens}")
    take(2, 0, 12)
    place.run("close", tasting, "--yes")
    judged = place.run("judge", tasting, "--json").json
    check(judged["rounds"][0]["tally"]["counted"] == 24, f"all count: {judged['rounds'][0]['tally']}")
    agree = next(c for c in judged["rounds"][0]["checks"] if c["id"] == "evenings_agree")
    check(not agree["alarm"], f"all put them in one order, some without maple: {agree}")
    told = place.run("judge", tasting).out
    check("maple comes first." in told, told)
    check("ran out during the tasting" not in told, told)
    place.run("report", tasting, "--into", "report")
    whole = " ".join(text_of(place, "report/verdict.pdf").split())
    check("maple was withdrawn on evening 1: sold out." in whole and "From evening 2 on it was served again: baked anew." in whole, whole)


def never_there(place):
    """A recipe burns before anybody tastes it: trays of three and of two compare all the others, and nothing is said to fall apart."""
    tasting, ballots, recipe = four_cures(place, tasters=16, rounds=[{"method": "ranking", "tray_size": 3}])
    place.run("withdraw", tasting, "--version", "pepper", "--why", "burnt")
    enter(place, tasting, [(b["ballot"], ">".join(sorted((c for c in b["sets"][0]["codes"] if recipe[b["ballot"], c] != "pepper"), key=lambda c: recipe[b["ballot"], c])), f"guest-{b['ballot']}")
                           for b in ballots])
    place.run("close", tasting, "--yes")
    judged = place.run("judge", tasting, "--json").json["rounds"][0]
    compare = next(c for c in judged["checks"] if c["id"] == "trays_compare")
    told = place.run("judge", tasting).out
    check("never met on a tray" not in told and "not_comparable" not in judged["warnings"], told)
    check(not compare["alarm"], f"what was there was compared: {compare}")


def short_trays(place):
    """Trays of two that lack a recipe hold one: nothing to compare there, and nothing falls over. A single short tray that came first throws out no whole one."""
    for method, size, short in (("rating", 2, "all"), ("ranking", 3, "first")):
        tasting, ballots, recipe = four_cures(place, tasters=12, rounds=[{"method": method, "tray_size": size}])
        holds = {b["ballot"]: [c for c in b["sets"][0]["codes"] if recipe[b["ballot"], c] == "pepper"] for b in ballots}
        gone = [b for b in ballots if holds[b["ballot"]]]
        late = gone if short == "all" else gone[:1]

        def order(ballot, without):
            codes = sorted((c for c in ballot["sets"][0]["codes"] if not without or recipe[ballot["ballot"], c] != "pepper"), key=lambda c: recipe[ballot["ballot"], c])
            return ">".join(codes) if method == "ranking" else " ".join(f"{c}:{5 + (c > '500')}" for c in codes)

        if short == "first":
            enter(place, tasting, [(b["ballot"], order(b, False), f"guest-{b['ballot']}") for b in ballots if b not in late])
        place.run("withdraw", tasting, "--version", "pepper", "--why", "burnt")
        enter(place, tasting, [(b["ballot"], order(b, True), f"guest-{b['ballot']}") for b in late])
        place.run("close", tasting, "--yes")
        judged = place.run("judge", tasting, "--json").json["rounds"][0]
        compare = next(c for c in judged["checks"] if c["id"] == "trays_compare")
        check(not compare["alarm"], f"trays of {size}, {short} short: {compare}")


def wrong_plans(place):
    for more, told in (({"evenings": [{"tasters": 12}]}, "a list of 2 to 20 evenings"), ({"tasters": 35}, "36, the sum over the evenings"), ({"looks": [3]}, "from 1 to 2"),
                       ({"evenings": 1, "tasters": 9, "looks": [1]}, "a look is made between two of them"), ({"evenings": [{"tasters": 3}, {"date": "x" * 31, "tasters": 3}]}, "at most 30 bytes"),
                       ({"evenings": [{"tasters": 3}, 4]}, "/evenings/1"), ({"evenings": [{"tasters": 3}, {"tasters": 4, "day": "x"}]}, "/evenings/1/day")):
        place.write("wrong.json", plan(**more))
        refused = place.run("new", "wrong.json", code=2)
        check(told in refused.err, f"{more}: {refused.err}")


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--program", required=True)
    program = parser.parse_args().program
    for part in (three_evenings, a_look, runs_out, never_there, short_trays, wrong_plans):
        with Place(program) as place:
            part(place)
    print("one tasting over several evenings")


if __name__ == "__main__":
    main()
