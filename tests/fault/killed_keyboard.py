#!/usr/bin/env python3
"""kill -9 while slips are typed: every answer that was confirmed is in the book afterwards, and no answer that was never typed.

    killed_keyboard.py --program build/oddplate

The program dies when its n-th confirmation was read from the pipe, for several n: once with the next lines waiting in the pipe (so that it is in
the middle of the next answer), once with a pipe that holds nothing more.
"""

import argparse
import json
import pathlib
import re
import subprocess
import sys

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent / "end_to_end"))
from program import Place, check  # noqa: E402

PLAN = """{"title":"Which crust?","versions":[{"id":"current"},{"id":"new"}],"tasters":40,"spares":0,
 "rounds":[{"method":"triangle","spots":["edge","centre"],"detect_pd":0.4}]}"""


def typed_lines(place, tasting):
    ballots = place.run("ballots", tasting, "--json").json
    return [f'{ballot["ballot"]} {each["set"]} {each["codes"][1]}' for ballot in ballots for each in ballot["sets"]]


def kept_answers(place, tasting):
    """The answers in the book's log, as "ballot set code"."""
    place.run("export", tasting, "now.json")
    log = json.loads((place.folder / "now.json").read_text())["log"]
    rows = [answer for row in log if row["kind"] == "answered" for answer in json.loads(row["body"])["answers"]]
    return [f"{ballot} {number} {text}" for ballot, number, text in rows]


def type_and_die(place, tasting, lines, confirmations, all_at_once):
    """Types until so many answers were confirmed, then kills; answers the confirmed lines."""
    program = subprocess.Popen([place.program, "enter", tasting], stdin=subprocess.PIPE, stdout=subprocess.PIPE, cwd=place.folder,
                               env=place.environment())
    if all_at_once:
        program.stdin.write("".join(line + "\n" for line in lines).encode())
        program.stdin.flush()
    confirmed = []
    while len(confirmed) < confirmations:
        if not all_at_once:
            program.stdin.write((lines[len(confirmed)] + "\n").encode())
            program.stdin.flush()
        said = b""
        while not said.startswith(b"kept "):
            said = program.stdout.readline()
            check(said, f"the program ended after {len(confirmed)} confirmations")
        confirmed.append(" ".join(re.fullmatch(r"kept ballot (\d+), tray (\d+): (\S+)\n", said.decode()).groups()))
    program.kill()
    program.stdout.close()
    try:
        program.stdin.close()
    except BrokenPipeError:
        pass   # what was still to be typed goes nowhere: the reader is dead, as it should be
    check(program.wait(timeout=60) == -9, "it died by the kill")
    return confirmed


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("--program", required=True)
    given = arguments.parse_args()
    with Place(given.program) as place:
        place.write("plan.json", PLAN)
        for confirmations, all_at_once in [(1, False), (1, True), (2, True), (7, False), (7, True), (40, True)]:
            tasting = place.run("new", "plan.json", "--json").json["tasting"]
            place.run("draw", tasting)
            lines = typed_lines(place, tasting)
            confirmed = type_and_die(place, tasting, lines, confirmations, all_at_once)
            check(confirmed == lines[:confirmations], f"what was confirmed is what was typed: {confirmed}")
            kept = kept_answers(place, tasting)
            what = f"{confirmations} confirmed, {'all typed at once' if all_at_once else 'typed one by one'}"
            check(kept[:confirmations] == confirmed, f"{what}: a confirmed answer is lost: {kept}")
            check(kept == lines[:len(kept)], f"{what}: the book has an answer that was not typed: {kept}")
            if not all_at_once:
                check(len(kept) == confirmations, f"{what}: more than that is in the book: {kept}")
            place.run("check")
            left = sorted(path.name for path in place.book.parent.iterdir())
            check(left == ["book.sqlite"], f"{what}: left behind: {left}")
            # The one who types goes on where the confirmations ended.
            rest = "".join(line + "\n" for line in lines[confirmations:])
            place.run("enter", tasting, stdin=rest.encode())
            check(kept_answers(place, tasting) == lines, f"{what}: going on makes it whole")
            print(f"{what}: {len(kept)} in the book")


if __name__ == "__main__":
    main()
