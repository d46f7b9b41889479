#!/usr/bin/env python3
"""The verdict as files: all there, whole, alike twice, silent about the recipe unless asked, and computed again by base R where that is installed.

    report.py --program build/oddplate
"""

import argparse
import csv
import hashlib
import html.parser
import io
import json
import math
import re
import shutil
import struct
import subprocess
import xml.etree.ElementTree
import zipfile

from program import Place, check
from workbook import sheets_of

SEED = "0123456789abcdef" * 4
LABEL = "2.4 % cure"
PLAN = {"title": "=1+1 less salt", "versions": [{"id": "current", "label": LABEL}, {"id": "new", "label": "2.0 % cure"}], "tasters": 12,
        "salt_percent": {"current": 2.4, "new": 2.0}, "grams": 10,
        "rounds": [{"method": "triangle", "spots": ["edge", "a place with a rather long name", "-2 cm in", "@rim", "+rind"], "detect_pd": 0.4},
                   {"method": "paired-preference", "no_preference": True},
                   {"method": "difference-from-control", "same_below_score": 1},
                   {"method": "same-different", "detect_d": 1.5}]}
ALWAYS = {"verdict.pdf", "verdict.html", "verdict.png", "verdict.txt", "answers.csv", "verdict.xlsx", "rerun.R"}
VOID = {"meta", "br", "img", "input", "link", "hr"}


class WellFormed(html.parser.HTMLParser):
    """Every tag that opens closes, in order."""

    def __init__(self):
        super().__init__()
        self.open = []

    def handle_starttag(self, tag, attrs):
        check(tag not in ("script", "link", "img", "iframe"), f"nothing from outside, no script: <{tag}>")
        for name, value in attrs:
            check(not name.startswith("on"), f"no script in an attribute: {name}")
            check("//" not in (value or "") or name == "xmlns", f"no address: {value}")
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        pass

    def handle_endtag(self, tag):
        check(self.open and self.open[-1] == tag, f"</{tag}> closes {self.open[-1:]}")
        self.open.pop()


def answer_of(each, index):
    codes = each["codes"]
    if each["method"] == "difference-from-control":
        return " ".join(f"{code}:{(index + 3 * place) % 9}" for place, code in enumerate(codes))
    if each["method"] == "same-different":
        return ("same", "different")[index % 2]
    if each["method"] == "paired-preference" and index % 5 == 4:
        return "none"
    return codes[index % len(codes)]


def files_in(folder):
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def look_at(files):
    check(ALWAYS <= set(files), f"all files are there: {sorted(files)}")
    figures = [name for name in files if name.startswith("figures/")]
    check(len(figures) >= 6, f"pictures: {figures}")
    for name in figures:
        root = xml.etree.ElementTree.fromstring(files[name])
        check(root.get("role") == "img", name)
        for part in ("title", "desc"):
            found = root.find("{http://www.w3.org/2000/svg}" + part)
            check(found is not None and found.text, f"{name} has a {part}")
    check(files["verdict.png"][:8] == b"\x89PNG\r\n\x1a\n" and struct.unpack(">II", files["verdict.png"][16:24]) == (1080, 1350), "the picture's size")
    check(files["verdict.pdf"][:5] == b"%PDF-", "a PDF")
    check(len(files["verdict.txt"].decode().strip().splitlines()) == 3, "three lines to paste")
    page = files["verdict.html"].decode()
    parser = WellFormed()
    parser.feed(page)
    parser.close()
    check(not parser.open, f"left open: {parser.open}")
    bare = re.findall(r'<th scope="row">(?!<details>)([^<]+)</th>', page)
    check(not bare, f"every number explains itself: {bare}")
    check(page.count("<figure>") == len(figures) and page.count("<details><summary>the same as a table") == len(figures), "each picture has its table")


def in_spreadsheet(files, judged):
    """An office program's own reading of the workbook (its parts are XML in a zip file, ECMA-376): text is text, numbers are the program's own."""
    said, numbers, answers = sheets_of(files["verdict.xlsx"])
    cells = [row[0] for row in said if row]
    check(any(judged["words"].startswith(str(cell)) for cell in cells), f"the verdict stands there: {cells}")
    check(cells[0].startswith(PLAN["title"]), f"a title that begins like a formula is the same title: {cells[0]!r}")
    check({row[1] for row in numbers[1:]} >= set(PLAN["rounds"][0]["spots"]), "spots that begin like formulas are the same spots")
    for index in (0, 1):
        want = judged["rounds"][index]["pooled"]["p_value"]
        check(any(value == want for row in numbers[1:] for value in row[3:4]), f"p {want} stands there as a number")
    table = list(csv.reader(io.StringIO(files["answers.csv"].decode())))
    check(answers[0] == table[0] and len(answers) == len(table), f"as many answers as in the CSV: {len(answers)}, {len(table)}")
    numbered = ("tray", "course", "taster", "score", "trait", "blank")
    for row, wanted in zip(answers[1:], table[1:]):
        row = row + [""] * (len(wanted) - len(row))
        for name, cell, text in zip(table[0], row, wanted):
            text = text[1:] if text[:2] in ("'=", "'+", "'-", "'@") else text   # the CSV guards what looks like a formula; here text is text
            check(not text or isinstance(cell, float) == (name in numbered), f"{name} is of its kind: {cell!r}")
            check(cell == (float(text) if text and name in numbered else text), f"{name}: {cell!r} is {text!r}")
    for part in zipfile.ZipFile(io.BytesIO(files["verdict.xlsx"])).namelist():
        check("externalLink" not in part and "vba" not in part.lower(), f"nothing in it runs or asks for anything: {part}")


def by_r(place, folder, judged):
    """The p-values that base R comes to are the program's."""
    if shutil.which("Rscript") is None:
        print("Rscript is not installed: the script was not run")
        return
    said = subprocess.run(["Rscript", "rerun.R"], cwd=folder, capture_output=True, text=True, timeout=60)
    check(said.returncode == 0, said.stderr)
    values = [float(line.split("p = ")[1].split()[0]) for line in said.stdout.splitlines() if line.startswith("all:")]
    wanted = [judged["rounds"][index]["pooled"]["p_value"] for index in (0, 1)]
    for want in wanted:
        check(any(abs(value - want) <= 1e-5 * want for value in values), f"p {want} is among {values}:\n{said.stdout}")


def evening(program):
    with Place(program) as place:
        place.write("plan.json", json.dumps(PLAN))
        tasting = place.run("new", "plan.json", "--json").json["tasting"]
        check("draw" in place.run("report", tasting, "--into", "early", code=2).err, "nothing to report before the draw")
        place.run("draw", tasting, "--seed", SEED)
        before = place.run("report", tasting, "--into", "early", code=2)
        check("close" in before.err and not (place.folder / "early").exists(), f"refused before close, nothing written: {before}")
        lines = ["ballot,set,answer"]
        for index, ballot in enumerate(place.run("ballots", tasting, "--json").json[:12]):
            lines += [f"{ballot['ballot']},{each['set']},{answer_of(each, index)}" for each in ballot["sets"]]
        place.write("answers.csv", "\n".join(lines) + "\n")
        place.run("enter", tasting, "--csv", "answers.csv")
        place.run("close", tasting)
        judged = place.run("judge", tasting, "--json").json
        told = place.run("report", tasting, "--into", "one", "--json").json["files"]
        one = files_in(place.folder / "one")
        check(len(told) == len(one), "each file is named")
        look_at(one)
        place.run("report", tasting, "--into", "two")
        check(files_in(place.folder / "two") == one, "the same twice")
        for name, data in one.items():
            if not name.endswith((".png", ".pdf")):
                check(b"% cure" not in data and b"salt_percent" not in data, f"{name} tells the recipe")
        place.run("report", tasting, "--into", "told", "--with-recipe", "--paper", "letter")
        check(LABEL.encode() in (place.folder / "told" / "verdict.html").read_bytes(), "the recipe, where it was asked for")
        first = one["verdict.txt"].decode().splitlines()[1]
        check(judged["words"].startswith(first), f"the verdict's own sentence: {first}")
        by_r(place, place.folder / "one", judged)
        in_spreadsheet(one, judged)
        check(one["answers.csv"].decode().count("\n") == 1 + len(lines) - 1, "each answer is there")


SIMILAR = {"title": "Is it as salty as before", "versions": [{"id": "current"}, {"id": "new"}], "tasters": 40,
           "rounds": [{"method": "two-afc", "attribute": "saltier", "stronger": "current", "aim": "similarity", "same_below_d": 1.25}]}


def below(k, n, p):
    """P(X <= k) of the binomial, term by term."""
    return math.fsum(math.comb(n, i) * p**i * (1 - p)**(n - i) for i in range(k + 1))


def close_either_way(program, panel):
    """Pairs held to 'as near, either way': the script's expression is the program's number by plain arithmetic, and by base R where that is installed.
    Each panel guesses its own way."""
    with Place(program) as place:
        place.write("plan.json", json.dumps(SIMILAR))
        tasting = place.run("new", "plan.json", "--json").json["tasting"]
        place.run("draw", tasting, "--seed", SEED)
        lines = ["ballot,set,answer"]
        for index, ballot in enumerate(place.run("ballots", tasting, "--json").json[:40]):
            lines += [f"{ballot['ballot']},{each['set']},{each['codes'][hashlib.sha256(f'{panel}/{index}'.encode()).digest()[0] % 2]}" for each in ballot["sets"]]
        place.write("answers.csv", "\n".join(lines) + "\n")
        place.run("enter", tasting, "--csv", "answers.csv")
        place.run("close", tasting)
        found = place.run("judge", tasting, "--json").json["rounds"][0]["pooled"]
        place.run("report", tasting, "--into", "one")
        script = (place.folder / "one" / "rerun.R").read_text()
        told = re.search(r"pbinom\(max\(k, n - k\), n, ([0-9.]+)\)", script)
        check(told, f"both sides are looked at:\n{script}")
        margin, k, n = float(told.group(1)), found["correct"], found["of"]
        check(abs(margin - 0.5 * (1 + math.erf(1.25 / 2))) < 1e-12, f"the margin is Phi(1.25 / sqrt 2): {margin}")
        either = max(below(k, n, margin), below(n - k, n, margin))   # P(X >= k) at 1 - margin is P(X <= n - k) at the margin
        check(abs(found["p_value"] - either) <= 1e-9 * either, f"{found['p_value']} is {either}")
        if shutil.which("Rscript") is not None:
            said = subprocess.run(["Rscript", "rerun.R"], cwd=place.folder / "one", capture_output=True, text=True, timeout=60)
            check(said.returncode == 0, said.stderr)
            values = [float(line.split("p = ")[1].split()[0]) for line in said.stdout.splitlines() if "either way: p =" in line]
            check(values and all(abs(value - either) <= 1e-5 * either for value in values), f"{either} is {values}:\n{said.stdout}")
        return k


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--program", required=True)
    program = parser.parse_args().program
    evening(program)
    counts = [close_either_way(program, panel) for panel in range(4)]
    check(any(k < 20 for k in counts) and any(k > 20 for k in counts), f"both tails were the larger one: {counts}")
    print("the files of a verdict hold")


if __name__ == "__main__":
    main()
