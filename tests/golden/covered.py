#!/usr/bin/env python3
"""Nothing of the command line goes untold: each command has its help as a case with two worked examples that can be read, and each flag is used somewhere.

    covered.py --program build/oddplate
"""

import argparse
import pathlib
import re
import shlex
import sys

HERE = pathlib.Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent / "end_to_end"))
from program import Place, check  # noqa: E402


def examples_of(text):
    return [line.strip() for line in text.split("\nExamples:\n")[1].splitlines() if line.startswith("  oddplate ")]


def check_example(place, verb, example):
    """Its arguments are right: whatever else it lacks (a tasting, a file), that is not what it is told."""
    words = shlex.split(example)[1:]
    check(words[0] == verb, f"{verb}: an example of another command: {example}")
    answer = place.run(*words, code=None)
    check("--help`)" not in answer.err, f"{verb}: an example with wrong arguments:\n{answer}")
    if words[0] in ("count", "size", "curve", "methods"):   # these need nothing else
        check(answer.code == 0, f"{verb}: an example that does not work:\n{answer}")


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("--program", required=True)
    given = arguments.parse_args()
    cases = "\n".join(path.read_text(encoding="utf-8") for path in sorted(HERE.glob("*.txt")))
    commands = re.findall(r"^\$-? oddplate (.*)$", cases, re.M)
    used = "\n".join(commands) + "".join(path.read_text(encoding="utf-8") for folder in ("end_to_end", "web") for path in (HERE.parent / folder).glob("*.[ps][yh]"))
    unused = []
    with Place(given.program) as place:
        verbs = re.findall(r"^  ([a-z]+) {2,}\S", place.run("--help").out, re.M)
        check(len(verbs) > 20, f"the commands: {verbs}")
        for verb in verbs:
            check(f"{verb} --help" in commands, f"the help of {verb} is shown in no case")
            text = place.run(verb, "--help").out
            examples = examples_of(text)
            check(len(examples) == 2, f"{verb} has two worked examples: {examples}")
            for example in examples:
                if verb not in ("demo", "host"):   # one writes much, one runs until it is stopped; both have tests of their own
                    check_example(place, verb, example)
            for method in ("triangle", "two-afc", "paired-preference") if "METHOD" in text else ("",):
                about = place.run(verb, method, "--help").out if method else text
                unused += [f"{verb} {flag}" for flag in re.findall(r"^  (--[a-z-]+)", about, re.M) if not re.search(re.escape(flag) + r"(?![\w-])", used)]
    check(not unused, f"used in no case: {', '.join(unused)}")
    print(f"{len(verbs)} commands: help, examples and flags are all shown")


if __name__ == "__main__":
    main()
