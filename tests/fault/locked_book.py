#!/usr/bin/env python3
"""A book that another program holds, and one that may not be written: one sentence, exit 1, nothing changed; reading goes on where it can.

    locked_book.py --program build/oddplate
"""

import argparse
import os
import pathlib
import sqlite3
import subprocess
import sys

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent / "end_to_end"))
from program import Answer, Place, check  # noqa: E402

PLAN = """{"title":"Which crust?","versions":[{"id":"current"},{"id":"new"}],"tasters":3,"rounds":[{"method":"triangle"}]}"""
NOBODY = 65534


def drawn(place):
    place.write("plan.json", PLAN)
    tasting = place.run("new", "plan.json", "--json").json["tasting"]
    place.run("draw", tasting)
    return tasting


def check_sentence(answer, *words):
    check(answer.code == 1 and answer.out == "", f"exit 1 and no answer:\n{answer}")
    check(answer.err.startswith("oddplate: ") and answer.err.count("\n") == 1, f"one sentence:\n{answer}")
    check(any(word in answer.err for word in words), f"it says which of {words}:\n{answer}")


def held_by_another(program):
    with Place(program) as place:
        tasting = drawn(place)
        other = sqlite3.connect(place.book, isolation_level=None)
        other.execute("BEGIN IMMEDIATE")
        place.run("ballots", tasting)
        place.run("tastings")
        check_sentence(place.run("hand", tasting, "--ballot", "1", code=None), "in use by another program")
        other.execute("ROLLBACK")
        other.close()
        place.run("hand", tasting, "--ballot", "1")


def can_run_as_nobody(place):
    try:
        return subprocess.run([place.program, "--version"], user=NOBODY, capture_output=True, check=False).returncode == 0
    except PermissionError:
        return False


def may_not_be_written(program):
    """As somebody who may read the book and not write it. False where this user cannot become that somebody."""
    with Place(program) as place:
        tasting = drawn(place)
        if os.geteuid() != 0:
            as_reader = {}
        elif can_run_as_nobody(place):
            as_reader = {"user": NOBODY, "group": NOBODY, "extra_groups": []}
        else:
            return False
        for folder in (place.root, place.folder, place.book.parent.parent, place.book.parent):
            folder.chmod(0o555)
        place.book.chmod(0o444)
        before = place.contents()
        for words in (["ballots", tasting], ["hand", tasting, "--ballot", "1"], ["draw", tasting], ["new", "plan.json"], ["wipe", tasting, "--yes"]):
            done = subprocess.run([place.program, *words], stdin=subprocess.DEVNULL, capture_output=True, cwd=place.folder, env=place.environment(), timeout=60, **as_reader)
            check_sentence(Answer(words, done), "read-only", "permission")
        check(place.contents() == before, "nothing was changed")
        for folder in (place.root, place.folder, place.book.parent.parent, place.book.parent):
            folder.chmod(0o755)
        place.book.chmod(0o000)
        done = subprocess.run([place.program, "ballots", tasting], stdin=subprocess.DEVNULL, capture_output=True, cwd=place.folder, env=place.environment(), timeout=60, **as_reader)
        check_sentence(Answer(["ballots"], done), "permission")
    return True


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("--program", required=True)
    given = arguments.parse_args()
    held_by_another(given.program)
    tried = may_not_be_written(given.program)
    print("held by another program: told; not writable: " + ("told" if tried else "not tried, the program is out of another user's reach"))


if __name__ == "__main__":
    main()
