#!/usr/bin/env python3
"""The acid test through the front door: the program linked with three made-up method files knows them from `methods` to `judge`.

usage: acid_cli.py PROGRAM
"""
import csv
import json
import pathlib
import subprocess
import sys
import tempfile

PLAN = {
    "title": "Three made-up questions",
    "versions": [{"id": "current", "label": "2.4 % cure"}, {"id": "new", "label": "2.0 % cure"}],
    "tasters": 24,
    "rounds": [
        {"method": "odd-of-four", "spots": ["edge", "centre"], "detect_pd": 0.4},
        {"method": "finish-first", "spots": ["edge"]},
        {"method": "point-score", "spots": ["edge"], "weight": "double"},
    ],
}


def expect(holds, what):
    if not holds:
        sys.exit(f"acid: {what}")


def run(program, *args, code=0):
    done = subprocess.run([program, *args], capture_output=True, text=True, stdin=subprocess.DEVNULL)
    expect(done.returncode == code, f"{' '.join(args)}: exit {done.returncode}, expected {code}\n{done.stdout}{done.stderr}")
    return done


def answer_of(method, codes, ballot):
    if method == "point-score":
        return f"{codes[0]}:5 {codes[1]}:{ballot % 11}"
    if method == "finish-first" and ballot % 5 == 0:
        return "none"
    return codes[ballot % len(codes)]


def fill_in(ballots, path):
    with open(path, "w", newline="") as file:
        rows = csv.writer(file)
        rows.writerow(["ballot", "set", "answer"])
        for ballot in ballots:
            if ballot["spare"]:
                continue
            for one in ballot["sets"]:
                rows.writerow([ballot["ballot"], one["set"], answer_of(one["method"], one["codes"], int(ballot["ballot"]))])


def check_lists(program):
    ids = [one["id"] for one in json.loads(run(program, "methods", "--json").stdout)]
    expect({"odd-of-four", "finish-first", "point-score"} <= set(ids), f"methods lists {ids}")
    expect("--same-below-pd" in run(program, "count", "odd-of-four", "--help").stdout, "the flags of count odd-of-four")
    counted = json.loads(run(program, "count", "odd-of-four", "--correct", "2", "--of", "2", "--json").stdout)
    expect(counted["p_value"] == 0.0625, f"count odd-of-four says {counted}")
    sized = json.loads(run(program, "size", "odd-of-four", "--detect-d", "1.5", "--json").stdout)
    expect(sized["tasters"] > 2, f"size odd-of-four says {sized}")
    run(program, "size", "point-score", code=2)


def check_tasting(program, folder):
    plan, book, answers = folder / "plan.json", str(folder / "acid.book"), folder / "answers.csv"
    plan.write_text(json.dumps(PLAN))
    run(program, "plan", str(plan))
    tasting = json.loads(run(program, "new", str(plan), "--book", book, "--json").stdout)["tasting"]
    drawn = json.loads(run(program, "draw", tasting, "--book", book, "--seed", "ac1d" * 16, "--json").stdout)
    expect(drawn["servings"] == drawn["ballots"] * 12, f"draw says {drawn}")
    run(program, "print", tasting, "--into", str(folder / "papers"), "--book", book)
    expect((folder / "papers" / "room" / "ballots.pdf").stat().st_size > 1000, "no ballots were printed")
    ballots = json.loads(run(program, "ballots", tasting, "--book", book, "--json").stdout)
    fill_in(ballots, answers)
    entered = json.loads(run(program, "enter", tasting, "--csv", str(answers), "--book", book, "--json").stdout)
    expect(entered["accepted"] == 24 * 4 and not entered["rejected"], f"enter says {entered}")
    wrong = folder / "wrong.csv"
    wrong.write_text("ballot,set,answer\n25,4,999:5\n")
    run(program, "enter", tasting, "--csv", str(wrong), "--book", book, code=2)
    run(program, "close", tasting, "--yes", "--book", book)
    judged = json.loads(run(program, "judge", tasting, "--book", book, "--json").stdout)
    methods = [one["method"] for one in judged["rounds"]]
    expect(methods == [one["method"] for one in PLAN["rounds"]], f"judge weighs {methods}")
    expect(judged["rounds"][0]["pooled"]["of"] == 48 and judged["rounds"][0]["pooled"]["chance"] == 0.25, "odd-of-four's own count")
    expect(judged["rounds"][1]["pooled"]["ties"] == 4, "finish-first's own keys")
    expect(judged["rounds"][2]["verdict"] in ("level", "more-points", "fewer-points"), "point-score's own verdict")
    expect("[" not in json.dumps([one["words"] for one in judged["rounds"]]).strip("[]"), "a phrase is missing")
    run(program, "verify", tasting, "--book", book)


def main():
    program = sys.argv[1]
    with tempfile.TemporaryDirectory() as folder:
        check_lists(program)
        check_tasting(program, pathlib.Path(folder))
    print("acid: three made-up methods went from the plan to the verdict")


if __name__ == "__main__":
    main()
