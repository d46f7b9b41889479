#!/usr/bin/env python3
"""A full disk: one sentence, exit 1, and nothing that was there before is lost; with room again the same command does its work.

    full_disk.py --program build/oddplate

A limit on the size of files stands for the full disk everywhere; where mounting is permitted, a small file system of its own is filled as well.
"""

import argparse
import json
import os
import pathlib
import resource
import subprocess
import sys

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent / "end_to_end"))
from program import Answer, Place, check  # noqa: E402

PLAN = """{"title":"Which crust?","versions":[{"id":"current"},{"id":"new"}],"tasters":1000,"spares":0,
 "rounds":[{"method":"triangle","spots":["edge","centre"],"detect_pd":0.4}]}"""


def run_limited(place, limit, *words):
    """Runs a command that may not write any file beyond so many bytes."""
    def narrow():
        resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
    done = subprocess.run([place.program, *words], stdin=subprocess.DEVNULL, capture_output=True, cwd=place.folder, env=place.environment(),
                          preexec_fn=narrow, timeout=60)
    return Answer(words, done)


def check_refused(answer):
    check(answer.code == 1, f"exit 1 expected:\n{answer}")
    check(answer.out == "", f"no answer expected:\n{answer}")
    check(answer.err.startswith("oddplate: ") and answer.err.count("\n") == 1, f"one sentence expected:\n{answer}")
    check(any(word in answer.err for word in ("disk", "larger than a file may be")), f"it says why:\n{answer}")


def first_half_kept(place):
    """A tasting with half of its answers entered, the other half in rest.csv."""
    place.write("plan.json", PLAN)
    tasting = place.run("new", "plan.json", "--json").json["tasting"]
    place.run("draw", tasting)
    rows = [f'{ballot["ballot"]},{each["set"]},{each["codes"][0]}\n' for ballot in place.run("ballots", tasting, "--json").json for each in ballot["sets"]]
    place.write("first.csv", "ballot,set,answer\n" + "".join(rows[:1000]))
    place.write("rest.csv", "ballot,set,answer\n" + "".join(rows[1000:]))
    place.run("enter", tasting, "--csv", "first.csv")
    return tasting


def log_of(place, tasting):
    place.run("export", tasting, "now.json")
    return json.loads((place.folder / "now.json").read_text())["log"]


def full_by_limit(program):
    with Place(program) as place:
        tasting = first_half_kept(place)
        before = log_of(place, tasting)
        size = place.book.stat().st_size
        for limit in (0, 100, 4096, 20000):
            check_refused(run_limited(place, limit, "enter", tasting, "--csv", "rest.csv", "--json"))
            check(log_of(place, tasting) == before, f"at a limit of {limit} the log changed")
            place.run("check")
        # The answers fit into the log but not into the book, which has to grow at the end: nothing may be lost by that either.
        answer = run_limited(place, size, "enter", tasting, "--csv", "rest.csv", "--json")
        check(answer.code in (0, 1), str(answer))
        place.run("check")
        log = log_of(place, tasting)
        check(log[:len(before)] == before, "what was there before is there still")
        check(answer.code == 1 or len(log) == len(before) + 1, "an acknowledged file is in the log")

        old = (place.folder / "now.json").read_bytes()
        check_refused(run_limited(place, 1000, "export", tasting, "now.json"))
        check((place.folder / "now.json").read_bytes() == old, "the old export is whole")
        check_refused(run_limited(place, 1000, "print", tasting, "--into", "papers"))
        left = [str(path) for path in place.root.rglob("*.tmp")]
        check(not left, f"left behind: {left}")

        with open("/dev/full", "wb") as full:
            done = subprocess.run([place.program, "ballots", tasting], stdin=subprocess.DEVNULL, stdout=full, stderr=subprocess.PIPE, cwd=place.folder,
                                  env=place.environment(), timeout=60)
        check(done.returncode == 1 and done.stderr.count(b"\n") == 1, f"an answer that cannot be written is a fault: {done}")
        # Whoever reads only the first lines has had enough: that is no fault.
        reader, writer = os.pipe()
        os.close(reader)
        done = subprocess.run([place.program, "ballots", tasting], stdin=subprocess.DEVNULL, stdout=writer, stderr=subprocess.PIPE, cwd=place.folder,
                              env=place.environment(), timeout=60)
        os.close(writer)
        check(done.returncode == 0 and done.stderr == b"", f"a closed pipe ends a command quietly: {done}")


def full_by_mount(program):
    """The book alone on a file system of 600 kB. False where mounting is not permitted."""
    with Place(program) as place:
        folder = place.book.parent
        folder.mkdir(parents=True)
        if subprocess.run(["mount", "-t", "tmpfs", "-o", "size=600k", "none", str(folder)], capture_output=True).returncode != 0:
            return False
        try:
            tasting = first_half_kept(place)
            before = log_of(place, tasting)
            filler = folder / "filler"
            with filler.open("wb", buffering=0) as file:
                try:
                    while True:
                        file.write(bytes(4096))
                except OSError:
                    pass   # full, as wanted
            check_refused(place.run("enter", tasting, "--csv", "rest.csv", "--json", code=1))
            check_refused(place.run("hand", tasting, "--ballot", "1", code=1))
            filler.unlink()
            place.run("check")
            check(log_of(place, tasting) == before, "nothing was lost and nothing added")
            answer = place.run("enter", tasting, "--csv", "rest.csv", "--json").json
            check(answer == {"accepted": 1000, "already": 0, "rejected": []}, f"with room again: {answer}")
        finally:
            subprocess.run(["umount", str(folder)], check=True)
    return True


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("--program", required=True)
    given = arguments.parse_args()
    full_by_limit(given.program)
    mounted = full_by_mount(given.program)
    print("full by a limit on files: held; full by a file system of its own: " + ("held" if mounted else "not tried, mounting is not permitted"))


if __name__ == "__main__":
    main()
