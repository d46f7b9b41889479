#!/usr/bin/env python3
"""Whole evenings at the command line, every answer held against what scripts rely on: each key there, each of its kind.

    whole_evening.py --program build/oddplate
"""

import argparse
import json
import pathlib
import subprocess

from keys import BALLOTS, COUNT, COUNT_SAME, CURVE, JUDGED, KEY, NUMBER, SIZE, TEXT, TRUTH, VOTES, WHOLE, OrNull, hold, hold_whys
from program import Place, check

PLAN = """{"title":"Less salt in the cure","versions":[{"id":"current","label":"2.4 % cure"},{"id":"new","label":"2.0 % cure"}],
 "tasters":24,"alpha":0.05,"insiders":["Kim"],
 "rounds":[{"method":"triangle","spots":["edge","centre"],"aim":"difference","detect_pd":0.4},
           {"method":"paired-preference","spots":["edge"],"no_preference":true}]}"""
SEED = "0123456789abcdef" * 4


def questions(place):
    """One-off questions: every method, every key."""
    methods = place.run("methods", "--json").json
    hold(methods, [{"id": TEXT, "title": TEXT}], "methods")
    ids = [each["id"] for each in methods]
    known = {"a-not-a", "difference-from-control", "duo-trio", "paired-preference", "same-different", "tetrad", "three-afc", "triangle", "two-afc", "two-out-of-five"}
    check(ids == sorted(ids) and known <= set(ids), f"the methods: {methods}")
    check(place.run("--version").out.startswith("oddplate "), "--version")
    for method in ("triangle", "two-afc"):
        for correct, of in ((0, 12), (4, 12), (12, 12), (13, 24), (24, 30), (1, 1), (0, 1)):
            for margin in ([], ["--detect-pd", "0.4"], ["--same-below-d", "1"]):
                answer = place.run("count", method, "--correct", correct, "--of", of, *margin, "--json").json
                hold(answer, COUNT, f"count {method} {correct} of {of}")
                hold_whys(answer, set(), f"count {method} {correct} of {of}")
        answer = place.run("count", method, "--correct", 14, "--of", 36, "--aim", "similarity", "--same-below-pd", "0.3", "--json").json
        hold(answer, COUNT_SAME, f"count {method} for similarity")
        check(answer["p_value"] == answer.get("p_value_similar", answer["p_value"]), "with aim similarity p_value is S's tail")
        for difference in (["--detect-pd", "0.4"], ["--detect-d", "1.5"], ["--detect-pd", "0.3", "--alpha", "0.01", "--power", "0.9"]):
            hold(place.run("size", method, *difference, "--json").json, SIZE, f"size {method}")
        answer = place.run("size", method, "--detect-d", "1", "--aim", "similarity", "--json").json
        hold(answer, {key: kind for key, kind in SIZE.items() if key != "least_correct"} | {"most_correct": WHOLE, "power_verdict": NUMBER}, f"size {method} for similarity")
        answer = place.run("size", method, "--detect-d", "1.5", "--spots", "4", "--decide-on", "each-spot", "--sets-per-taster", "1", "--gamma", "0", "--json").json
        hold(answer, {"tasters": WHOLE, "answers": WHOLE}, f"size {method} over spots")
        table = place.run("size", method, "--table", "--json").json["rows"]
        hold(table, [{"alpha": NUMBER, "power": NUMBER, "discriminators": NUMBER, "tasters": WHOLE, "tasters_safe": WHOLE}], f"size {method} --table")
        check(len(table) == 125 and len({(row["alpha"], row["power"], row["discriminators"]) for row in table}) == 125, "5 alphas x 5 powers x 5 shares")
        hold(place.run("curve", method, "--d", "1", "--json").json, CURVE, f"curve {method}")
    for votes in ((18, 9, 3), (0, 0, 5), (12, 0, 0), (0, 12, 1)):
        answer = place.run("count", "paired-preference", "--for-new", votes[0], "--for-current", votes[1], "--no-preference", votes[2], "--not-less", "0.4", "--json").json
        hold(answer, VOTES | {"not_less": {"share": NUMBER, "p_value": OrNull(NUMBER), "holds": TRUTH}}, f"count paired-preference {votes}")
        hold_whys(answer, set(), f"count paired-preference {votes}")
    for share in (["--share", "0.7"], ["--not-less", "0.4"]):
        hold(place.run("size", "paired-preference", *share, "--json").json, {"method": TEXT, "alpha": NUMBER, "power": NUMBER, "tasters": WHOLE, "tasters_safe": WHOLE}, f"size paired-preference {share}")


def begun(place, plan=PLAN):
    place.write("plan.json", plan)
    before = place.contents()
    place.run("plan", "plan.json")
    check(place.contents() == before, "plan changes nothing")
    answer = place.run("new", "plan.json", "--json").json
    hold(answer, {"tasting": TEXT}, "new")
    check(len(answer["tasting"]) == 8, f"an id is eight letters: {answer}")
    return answer["tasting"]


def drawn(place, tasting, *flags):
    answer = place.run("draw", tasting, *flags, "--json").json
    hold(answer, {"ballots": WHOLE, "sets": WHOLE, "servings": WHOLE, "fingerprint": TEXT}, "draw")
    check(len(answer["fingerprint"]) == 64, "a fingerprint is 64 digits")
    return answer


def ballots_of(place, tasting):
    ballots = place.run("ballots", tasting, "--json").json
    hold(ballots, BALLOTS, "ballots")
    for ballot in ballots:
        check([each["set"] for each in ballot["sets"]] == list(range(1, len(ballot["sets"]) + 1)), "sets run on through all rounds in the order served")
    return {ballot["ballot"]: ballot for ballot in ballots}


def read_key(place, tasting):
    key = place.run("key", tasting, "--json").json
    hold(key, KEY, "key")
    return {(row["ballot"], row["set"], row["code"]): row["version"] for row in key}


def right_answer(codes, versions):
    """A triangle's odd code, or the code of the new recipe in a pair."""
    if len(codes) == 2:
        return codes[versions.index("new")]
    return next(code for code, version in zip(codes, versions) if versions.count(version) == 1)


def known_key(program, plan):
    """The list of codes of plan and SEED, from a book of its own: ballots and key depend on nothing else."""
    with Place(program) as place:
        tasting = begun(place, plan)
        drawn(place, tasting, "--seed", SEED)
        ballots = ballots_of(place, tasting)
        place.run("close", tasting, "--yes")
        return ballots, read_key(place, tasting)


def answers_of(ballots, key, names, right):
    """Rows for the first ballots: `right(ballot, set)` says whether that answer is the right one."""
    rows = []
    for ballot in names:
        for served in ballots[ballot]["sets"]:
            versions = [key[ballot, served["set"], code] for code in served["codes"]]
            good = right_answer(served["codes"], versions)
            other = next(code for code in served["codes"] if code != good)
            rows.append((ballot, served["set"], good if right(int(ballot), served["set"]) else other))
    return rows


def csv_of(rows):
    return "ballot,set,answer\n" + "".join(f"{ballot},{number},{answer}\n" for ballot, number, answer in rows)


def judged(place, tasting):
    answer = place.run("judge", tasting, "--json").json
    hold(answer, JUDGED, "judge")
    for part in answer["rounds"]:
        kind = VOTES if part["method"] == "paired-preference" else COUNT
        hold(part["pooled"], kind, f"judge round {part['round']} pooled")
        for spot in part["spots"]:
            hold(spot, kind, f"judge round {part['round']} spot {spot['spot']}")
        # A spot may have no name, and a check of the panel no p: its words say why.
        hold_whys({key: value for key, value in part.items() if key != "checks"}, {"spot"}, f"judge round {part['round']}")
    check(answer["verdict"] == answer["rounds"][0]["verdict"], "the top verdict is the first round's")
    check(place.run("judge", tasting).out.strip(), "judge in words")
    return answer


def an_evening(program):
    """Plan, draw, print, enter, close, key, judge, verify, export, import."""
    ballots, key = known_key(program, PLAN)
    with Place(program) as place:
        tasting = begun(place)
        answer = drawn(place, tasting, "--seed", SEED)
        check(ballots_of(place, tasting) == ballots, "the same plan and seed in another book: the same ballots")
        check((answer["ballots"], answer["sets"]) == (27, 81), f"24 tasters, 3 spares, 3 sets each: {answer}")
        printed(place, tasting)

        # 20 of 24 right at each triangle, the pair split down the middle.
        rows = answers_of(ballots, key, [str(n) for n in range(1, 25)], lambda ballot, number: ballot % 2 == 0 if number == 3 else ballot % 6 != 0)
        place.write("answers.csv", csv_of(rows))
        place.write("last_box.csv", "ballot,set,answer,taster,note\n1,0,yes,Ada,smelled it\n2,0,no,Bo,\n")
        entered = place.run("enter", tasting, "--csv", "answers.csv", "--json").json
        check(entered == {"accepted": 72, "already": 0, "rejected": []}, f"entered: {entered}")
        check(place.run("enter", tasting, "--csv", "answers.csv", "--json").json == {"accepted": 0, "already": 72, "rejected": []}, "entered twice")
        place.run("enter", tasting, "--csv", "last_box.csv")
        place.run("key", tasting, code=2)
        place.run("judge", tasting, code=2)
        closed = place.run("close", tasting, "--json").json
        check(closed["answered"] == 72 and closed["missing"] == 0 and closed["printed"] == closed["dealt"] + closed["left_over"], f"it adds up: {closed}")
        check(read_key(place, tasting) == key, "the same plan and seed in another book: the same list of codes")

        answer = judged(place, tasting)
        check(answer["verdict"] == "different" and [spot["correct"] for spot in answer["rounds"][0]["spots"]] == [20, 20], "20 of 24 at each spot")
        check(answer["rounds"][0]["pooled"]["correct"] == 40 and answer["rounds"][0]["pooled"]["of"] == 48, "pooled: 40 of 48")
        check((answer["rounds"][1]["pooled"]["for_new"], answer["rounds"][1]["pooled"]["for_current"]) == (12, 12), "the votes")
        check(answer["rounds"][1]["verdict"] == "no-clear-preference", "12 against 12")
        for words in (["ballots", tasting, "--json"], ["print", tasting, "--into", "papers"], ["verify", tasting]):
            place.run(*words)   # work after close too
        proved(place, tasting)
        sent_round(program, place, tasting)


def printed(place, tasting):
    place.run("print", tasting, "--into", "papers")
    for name, access in (("room/ballots.pdf", 0o644), ("room/runner.pdf", 0o644), ("kitchen/kitchen.pdf", 0o600), ("kitchen/labels.pdf", 0o600)):
        path = place.folder / "papers" / name
        check(path.read_bytes()[:5] == b"%PDF-", f"{name} is a page")
        check(path.stat().st_mode & 0o777 == access, f"{name} may be read by whom it should: {oct(path.stat().st_mode)}")
    place.run("print", tasting, "--into", "papers", "--mat")
    place.run("print", tasting, "--into", "papers", "--blind-tubs", "--slip")
    before = (place.folder / "papers" / "room" / "ballots.pdf").read_bytes()
    place.run("print", tasting, "--into", "papers")
    check((place.folder / "papers" / "room" / "ballots.pdf").read_bytes() == before, "equal input, equal bytes")
    check("14 June" not in text_of(place, "room/ballots.pdf"), "a date that nobody gave stands on no slip")
    place.run("print", tasting, "--into", "papers", "--date", "14 June")
    for name in ("room/ballots.pdf", "room/runner.pdf", "kitchen/kitchen.pdf"):
        check("14 June" in text_of(place, name), f"the evening's date stands on {name}")


def text_of(place, name):
    """What can be read on a paper."""
    return subprocess.run(["pdftotext", str(place.folder / "papers" / name), "-"], capture_output=True, check=True).stdout.decode()


def proved(place, tasting):
    """The seal on paper against the book and against the file."""
    slips = text_of(place, "room/ballots.pdf")
    fingerprint = place.run("verify", tasting, "--json").json["fingerprint"]
    seal = "-".join(fingerprint[at:at + 4].upper() for at in range(0, 24, 4))
    check(seal in slips, f"the slips bear {seal}")
    place.run("export", tasting, "all.json")
    for what in (tasting, "all.json"):
        answer = place.run("verify", what, "--printed", seal, "--json").json
        check(answer["holds"] and answer["complete"], f"verify {what}: {answer}")
        place.run("verify", what, "--printed", fingerprint)
        place.run("verify", what, "--printed", "0000-" + seal[5:], code=1)
    text = (place.folder / "all.json").read_text()
    # A tampered file, three ways: an answer in the log, a code in the room, a version in the list of codes.
    for part, old, new in (("log", '"1",1,', '"1",2,'), ("room", '"', '"9'), ("key", "[0,", "[1,")):
        whole = json.loads(text)
        if part == "log":
            row = next(row for row in whole["log"] if row["kind"] == "answered")
            row["body"] = row["body"].replace(old, new, 1)
        else:
            whole[part] = whole[part].replace(old, new, 1)
        check(whole != json.loads(text), f"{part} was changed")
        place.write("changed.json", json.dumps(whole))
        check(place.run("verify", "changed.json", code=None).code == 1, f"a changed {part} is found out")


def sent_round(program, place, tasting):
    """Export, import, export: the same bytes; and the other book judges alike."""
    place.run("export", tasting, "one.json")
    with Place(program) as other:
        other.write("one.json", (place.folder / "one.json").read_bytes())
        other.run("import", "one.json")
        other.run("export", tasting, "two.json")
        check((other.folder / "two.json").read_bytes() == (place.folder / "one.json").read_bytes(), "export, import, export is the identity")
        check(other.run("judge", tasting, "--json").out == place.run("judge", tasting, "--json").out, "the other book judges alike")
        check("equal" in other.run("import", "one.json").out, "importing it again says that it is there and equal")
        other.run("check")


def what_goes_wrong(program):
    """Walk-ins, spills, swapped trays, a spot that ran out, insiders, tubs the other way round, late slips, corrections."""
    ballots, key = known_key(program, PLAN)
    with Place(program) as place:
        tasting = begun(place)
        drawn(place, tasting, "--seed", SEED)
        place.run("hand", tasting, "--ballot", "1", "--taster", "Ada")
        check(ballots_of(place, tasting)["1"]["taster"] == "Ada", "hand names the taster")
        place.run("hand", tasting, "--ballot", "25")

        everyone = [str(n) for n in range(1, 21)]
        rows = answers_of(ballots, key, everyone, lambda ballot, number: True)
        # Ballots 5 and 6 got each other's first tray: they rang what they ate.
        five, six = (ballots[name]["sets"][0] for name in ("5", "6"))
        swapped = {("5", 1): right_answer(six["codes"], [key["6", 1, code] for code in six["codes"]]),
                   ("6", 1): right_answer(five["codes"], [key["5", 1, code] for code in five["codes"]])}
        rows = [(ballot, number, swapped.get((ballot, number), answer)) for ballot, number, answer in rows]
        place.write("early.csv", csv_of(rows))
        place.run("enter", tasting, "--csv", "early.csv", code=2)   # the codes are not theirs as long as nobody said so
        place.run("swapped", tasting, "--ballots", "5,6", "--set", "1", "--why", "trays mixed up at the pass")
        check(place.run("enter", tasting, "--csv", "early.csv", "--json").json["accepted"] == 60, "each answers with the codes that were eaten")
        place.write("insider.csv", "ballot,set,answer,taster\n21,1," + ballots["21"]["sets"][0]["codes"][0] + ",Kim\n")
        place.run("enter", tasting, "--csv", "insider.csv")
        place.run("spoil", tasting, "--ballot", "4", "--why", "left after the first tray")
        place.run("reveal", tasting, "--ballot", "3", "--code", ballots["3"]["sets"][0]["codes"][0], "--why", "hives", "--json")

        missing = place.run("close", tasting, code=2).err
        check("missing" in missing and "25/1" in missing, f"close says what is missing: {missing}")
        place.run("stop", tasting, "--spot", "edge", "--why", "no more slices")
        fewer = place.run("close", tasting, code=2).err
        check(fewer != missing, "a stopped spot's trays are not missing any more")
        closed = place.run("close", tasting, "--yes", "--json").json
        check(closed["missing"] > 0 and closed["spoiled"] == 1 and closed["not_served"] > 0, f"it adds up: {closed}")

        first = judged(place, tasting)
        # 20 people, less the spoiled ballot 4, with set 1 of ballot 3 opened; the insider stands apart.
        pooled = first["rounds"][0]["pooled"]
        check((pooled["correct"], pooled["of"]) == (37, 37), f"19 ballots, 2 sets, one opened; all right: {pooled['correct']} of {pooled['of']}")
        check("after_corrections" not in first, "one verdict")

        place.write("late.csv", csv_of(answers_of(ballots, key, ["22"], lambda ballot, number: False)))
        place.run("enter", tasting, "--csv", "late.csv", code=2)
        check(place.run("enter", tasting, "--csv", "late.csv", "--late", "--json").json["accepted"] == 3, "late slips are kept")
        late = judged(place, tasting)
        check((late["rounds"][0]["pooled"]["correct"], late["rounds"][0]["pooled"]["of"]) == (37, 37), "and never in the verdict")
        check(any("late" in variant["id"] and not variant["planned"] for variant in late["rounds"][0]["exploratory"]), "they are told apart, as not planned")

        served = ballots["7"]["sets"][0]
        wrong = next(code for code in served["codes"] if code != right_answer(served["codes"], [key["7", 1, code] for code in served["codes"]]))
        correction = ["correct", tasting, "--ballot", "7", "--set", "1", "--answer", wrong, "--why", "misread"]
        place.run(*correction, code=2)
        place.run(*correction, "--after-opening")
        both = judged(place, tasting)
        hold(both["after_corrections"], JUDGED, "judge after_corrections")
        check(both["rounds"][0]["pooled"]["correct"] == 37, "the verdict at close stands first")
        check(both["after_corrections"]["rounds"][0]["pooled"]["correct"] == 36, "the corrected one stands beside")
        check(place.run("judge", tasting).out.count("37") > 0, "both are said in words")
        place.run("check")


def tubs_the_other_way_round(program):
    """All answers right by the list of codes; the tubs of one spot held each other's recipe: in a pair every vote is then the other way."""
    plan = """{"title":"Which is liked?","versions":[{"id":"current"},{"id":"new"}],"tasters":12,"rounds":[{"method":"paired-preference"}]}"""
    ballots, key = known_key(program, plan)
    with Place(program) as place:
        tasting = begun(place, plan)
        drawn(place, tasting, "--seed", SEED)
        place.write("answers.csv", csv_of(answers_of(ballots, key, [str(n) for n in range(1, 13)], lambda ballot, number: True)))
        place.run("enter", tasting, "--csv", "answers.csv")
        place.run("close", tasting)
        check(judged(place, tasting)["verdict"] == "new-preferred", "12 of 12 for the new one")
        place.run("export", tasting, "all.json")
        row = json.loads(json.loads((place.folder / "all.json").read_text())["key"])["tubs"][0]
        spot, letters = row[0], row[1]
        place.run("tubs", tasting, "--row", spot, "--really", letters[0] + "=new", "--why", "cards read afterwards")
        answer = judged(place, tasting)
        check(answer["verdict"] == "current-preferred", f"the other way round: {answer['verdict']}")


def again(program):
    """A fresh tasting of the same plan, linked to the first; and an early opening."""
    with Place(program) as place:
        first = begun(place)
        drawn(place, first)
        answer = place.run("again", first, "--json").json
        hold(answer, {"tasting": TEXT}, "again")
        check(answer["tasting"] != first, "another tasting")
        check(ballots_of(place, first) != ballots_of(place, answer["tasting"]), "with codes of its own")
        place.run("judge", first, "--unblind-early", "the guests are leaving", "--json")
        place.write("late.csv", "ballot,set,answer\n1,1,blank\n")
        place.run("enter", first, "--csv", "late.csv", code=2)
        place.run("wipe", first, code=2)
        place.run("wipe", first, "--yes")
        place.run("ballots", first, code=2)
        place.run("ballots", answer["tasting"])


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("--program", required=True, type=pathlib.Path)
    program = arguments.parse_args().program
    with Place(program) as place:
        questions(place)
    an_evening(program)
    what_goes_wrong(program)
    tubs_the_other_way_round(program)
    again(program)


if __name__ == "__main__":
    main()
