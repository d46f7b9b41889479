#!/usr/bin/env python3
"""kill -9 between any two writes: while a file of 5,000 answers is taken in (afterwards the book is sound and has all of them or none), and while
the very first tasting makes the book (afterwards it can be made).

    killed_writes.py --program build/oddplate --kill-at build/kill_at

The point of death is the n-th call that writes; the points are spread over the whole command, and every one of the last eight is tried.
"""

import argparse
import pathlib
import re
import subprocess
import sys

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent / "end_to_end"))
from program import Place, check  # noqa: E402

PLAN = """{"title":"Which crust?","versions":[{"id":"current"},{"id":"new"}],"tasters":2500,"spares":0,
 "rounds":[{"method":"triangle","spots":["edge","centre"],"detect_pd":0.4}]}"""
ANSWERS = 5000
SKIPPED = 77


def prepared(place):
    place.write("plan.json", PLAN)
    tasting = place.run("new", "plan.json", "--json").json["tasting"]
    place.run("draw", tasting, "--seed", "5e" * 32)
    ballots = place.run("ballots", tasting, "--json").json
    rows = [f'{ballot["ballot"]},{each["set"]},{each["codes"][0]}' for ballot in ballots for each in ballot["sets"]]
    check(len(rows) == ANSWERS, "the plan gives 5,000 answers")
    place.write("answers.csv", "ballot,set,answer\n" + "\n".join(rows) + "\n")
    return tasting


def run_and_die(kill_at, place, point, *words):
    """How many writing calls there were, and whether it died."""
    done = subprocess.run([kill_at, str(point), place.program, *words], stdin=subprocess.DEVNULL, capture_output=True, cwd=place.folder,
                          env=place.environment(), timeout=60)
    if done.returncode == SKIPPED:
        print("skipped: this system permits no tracing of a program")
        sys.exit(SKIPPED)
    found = re.search(r"calls (\d+) (killed|exit 0)\n$", done.stderr.decode())
    check(found, f"the run at point {point} came to: {done.stderr.decode()}")
    return int(found.group(1)), found.group(2) == "killed"


def empty(folder):
    for left in folder.iterdir():
        left.unlink()


def check_left(place, point):
    left = sorted(path.name for path in place.book.parent.iterdir())
    check(left == ["book.sqlite"], f"left behind after point {point}: {left}")


def killed_entering(kill_at, place):
    tasting = prepared(place)
    fresh = place.book.read_bytes()
    words = ("enter", tasting, "--csv", "answers.csv")
    calls, died = run_and_die(kill_at, place, 0, *words)
    check(not died and calls > 40, f"an undisturbed run writes: {calls} calls")
    points = sorted(set(range(1, calls + 1, max(1, calls // 10))) | set(range(calls - 7, calls + 1)))
    whole = nothing = 0
    for point in points:
        empty(place.book.parent)
        place.book.write_bytes(fresh)
        _, died = run_and_die(kill_at, place, point, *words)
        check(died, f"point {point} of {calls} was never reached")
        place.run("check")
        again = place.run(*words, "--json").json
        kept = (again["accepted"], again["already"])
        check(kept in ((ANSWERS, 0), (0, ANSWERS)), f"killed at point {point} of {calls}: {again}")
        whole += kept[1] == ANSWERS
        nothing += kept[0] == ANSWERS
        check_left(place, point)
    print(f"entering: {len(points)} deaths among {calls} writing calls: {whole} kept the whole file, {nothing} none of it")
    check(whole and nothing, "deaths before and after the commit were both seen")


def killed_beginning(kill_at, place):
    empty(place.book.parent)
    calls, died = run_and_die(kill_at, place, 0, "new", "plan.json")
    check(not died and calls > 20, f"an undisturbed run writes: {calls} calls")
    for point in range(1, calls + 1, 3):
        empty(place.book.parent)
        _, died = run_and_die(kill_at, place, point, "new", "plan.json")
        check(died, f"point {point} of {calls} was never reached")
        tasting = place.run("new", "plan.json", "--json").json["tasting"]
        there = [each["tasting"] for each in place.run("tastings", "--json").json]
        check(tasting in there and len(there) <= 2, f"killed at point {point} of {calls}: {there}")
        check_left(place, point)
    print(f"beginning: {(calls + 2) // 3} deaths among {calls} writing calls: the book could be made after each")


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("--program", required=True)
    arguments.add_argument("--kill-at", required=True)
    given = arguments.parse_args()
    with Place(given.program) as place:
        killed_entering(given.kill_at, place)
        killed_beginning(given.kill_at, place)


if __name__ == "__main__":
    main()
