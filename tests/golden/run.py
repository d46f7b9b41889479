#!/usr/bin/env python3
"""Golden cases: whole commands and all that they say, one readable file a case.

    run.py --program build/oddplate tests/golden/*.txt            compares
    run.py --program build/oddplate --update tests/golden/*.txt   rewrites; the diff is read in review

A case is a text that can be read from top to bottom:

    # words about the case and the source of its numbers
    --- file plan.json          what lies in the folder: file, bytes (with \\x00 escapes), sqlite (SQL run on that file), folder, gone
    ...
    ---
    $- oddplate new plan.json   runs, must do well and is not shown
    $ oddplate judge ID         ID is the last tasting begun, ID1 the first
    < typed                     lines for its standard input
    ~ "least_correct":13        must stand in its output as it is; --update never changes these lines
    | a line on stdout          numbers at 6 digits; JSON on several lines; ids, hashes, times and paths masked
    ! a line on stderr
    exit 0

Held in every case, whatever it shows: exit 2 says nothing on stdout, changes nothing on disk and says the same lines with --json;
every fault begins with "oddplate: "; no command leaves a -wal or -shm file behind.
"""

import argparse
import difflib
import json
import pathlib
import re
import shlex
import shutil
import sqlite3
import sys

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent / "end_to_end"))
from program import Place, check  # noqa: E402

WIDE = 100   # JSON longer than this is shown on several lines


def six_digits(text):
    def shorter(found):
        number = float(found.group())
        return f"{number:.6g}" if len(found.group().lstrip("-0.").replace(".", "")) > 6 else found.group()
    return re.sub(r"(?<![\w.])-?\d+\.\d+(?:e[-+]?\d+)?(?![\w.])", shorter, text)


def shown_json(value, indent=""):
    """Compact where it fits, else a line each."""
    flat = json.dumps(value, ensure_ascii=False, separators=(", ", ": "))
    if len(indent) + len(flat) <= WIDE or not isinstance(value, (dict, list)):
        return flat
    inner = indent + "  "
    if isinstance(value, dict):
        lines = [f"{inner}{json.dumps(key)}: {shown_json(each, inner)}" for key, each in value.items()]
        return "{\n" + ",\n".join(lines) + f"\n{indent}}}"
    return "[\n" + ",\n".join(inner + shown_json(each, inner) for each in value) + f"\n{indent}]"


class Case:
    def __init__(self, path, place):
        self.path, self.place, self.ids = path, place, []

    def lay(self, kind, name, lines):
        target = self.place.folder / name
        target.parent.mkdir(parents=True, exist_ok=True)
        text = "".join(line + "\n" for line in lines)
        if kind == "file":
            target.write_text(text, encoding="utf-8")
        elif kind == "bytes":
            target.write_bytes("".join(lines).encode().decode("unicode_escape").encode("latin-1"))
        elif kind == "sqlite":
            database = sqlite3.connect(target)
            database.executescript(text)
            database.close()
        elif kind == "folder":
            target.mkdir()
        elif kind == "gone":
            shutil.rmtree(target) if target.is_dir() else target.unlink()
        else:
            raise SystemExit(f"{self.path}: unknown block '{kind}'")

    def words_of(self, command):
        words = shlex.split(command)
        check(words[0] == "oddplate", f"{self.path}: a command starts with oddplate: {command}")
        named = {"ID": -1} | {f"ID{i + 1}": i for i in range(len(self.ids))}
        return [self.ids[named[word]] if word in named and self.ids else word for word in words[1:]]

    def run(self, command, typed):
        words = self.words_of(command)
        stdin = "".join(line + "\n" for line in typed).encode()
        before = self.place.contents()
        answer = self.place.run(*words, stdin=stdin, code=None)
        after = self.place.contents()
        self.hold_laws(words, answer, before, after, stdin)
        if words and words[0] in ("new", "again") and "--help" not in words and answer.code == 0:
            found = re.search(r"\b[b-df-hj-kmnp-tv-z]{8}\b", answer.out)
            check(found, f"no id in {answer}")
            self.ids.append(found.group())
        return answer

    def hold_laws(self, words, answer, before, after, stdin):
        left = [name for name in after if re.search(r"-(wal|shm|journal)$|\.tmp$", name)]
        check(not left, f"{left} left behind by\n{answer}")
        if answer.code == 0:
            return
        check(answer.err or (answer.code == 1 and answer.out), f"a failure without a word:\n{answer}")
        for line in answer.err.splitlines():
            check(line.startswith("oddplate: "), f"a fault does not begin with 'oddplate: ':\n{answer}")
        if answer.code != 2:
            return
        check(answer.out == "", f"exit 2 with words on stdout:\n{answer}")
        check(before == after, f"exit 2, but the disk was changed by\n{answer}")
        at_the_keyboard = words[:1] == ["enter"] and "--csv" not in words   # there --json is refused before anything else
        if words and "--json" not in words and not stdin and not at_the_keyboard:
            again = self.place.run(*words, "--json", code=None)
            check((again.code, again.out, again.err) == (2, "", answer.err), f"with --json something else:\n{answer}\n{again}")

    def masked(self, text):
        for index, tasting in reversed(list(enumerate(self.ids))):
            text = text.replace(tasting, "ID" if index + 1 == len(self.ids) else f"ID{index + 1}")
        text = text.replace(str(self.place.root), "<folder>")
        text = re.sub(r"\b[0-9a-f]{64}\b", "<hash>", text)
        text = re.sub(r"\b(?:[0-9A-F]{4}-){5}[0-9A-F]{4}\b", "<seal>", text)
        text = re.sub(r"\b\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", "<time>", text)
        return re.sub(r"\b[A-Z]{4,8} [A-Z]{4,8}\b", "<two words>", text)

    def shown(self, text):
        if text[:1] in "[{" and text:
            text = shown_json(json.loads(text)) + "\n"
        return six_digits(self.masked(text)).splitlines()


def told_again(path, program):
    """The case as the program tells it now, line by line."""
    out, typed, said, block = [], [], [], None
    command = None
    with Place(program) as place:
        case = Case(path, place)

        def finish():
            nonlocal command
            if command is None:
                return
            answer = case.run(command, typed)
            for literal in said:
                check(literal in answer.out, f"{path}: not said: {literal}\n{answer}")
            out.extend(f"| {line}".rstrip() for line in case.shown(answer.out))
            out.extend(f"! {line}".rstrip() for line in case.shown(answer.err))
            out.append(f"exit {answer.code}")
            command = None
            typed.clear()
            said.clear()

        for line in path.read_text(encoding="utf-8").splitlines():
            if block is not None:
                out.append(line)
                if line == "---":
                    case.lay(*block)
                    block = None
                else:
                    block[2].append(line)
                continue
            if command is not None and line.startswith("< "):
                typed.append(line[2:])
                out.append(line)
            elif command is not None and line.startswith("~ "):
                said.append(line[2:])
                out.append(line)
            elif command is not None and line.startswith(("|", "! ", "exit ")):
                continue   # what was told last time
            else:
                finish()
                out.append(line)
                if line.startswith("--- "):
                    _, kind, name = line.split(" ", 2)
                    block = (kind, name, [])
                elif line.startswith("$- "):
                    answer = case.run(line[3:], [])
                    check(answer.code == 0, f"{path}: a step before the case failed:\n{answer}")
                elif line.startswith("$ "):
                    command = line[2:]
        finish()
    return "\n".join(out) + "\n"


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("--program", required=True)
    arguments.add_argument("--update", action="store_true")
    arguments.add_argument("cases", nargs="+", type=pathlib.Path)
    given = arguments.parse_args()
    failed = 0
    for path in given.cases:
        try:
            now = told_again(path, given.program)
        except AssertionError as broken:
            print(f"{path}: {broken}", file=sys.stderr)
            failed += 1
            continue
        then = path.read_text(encoding="utf-8")
        if now == then:
            continue
        if given.update:
            path.write_text(now, encoding="utf-8")
            print(f"rewritten: {path}")
            continue
        sys.stderr.writelines(difflib.unified_diff(then.splitlines(True), now.splitlines(True), f"{path}", "the program now"))
        failed += 1
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
