#!/usr/bin/env python3
"""The picture to send on and the page to pin up: the caption stands clear of the foot, the picture fills the width, and page 1 has its picture where there
is room for it.

    verdict_card.py --program build/oddplate
"""

import argparse
import pathlib
import random
import struct
import subprocess
import zlib

from program import Place, check

PLANS = pathlib.Path(__file__).resolve().parents[2] / "designs" / "plans"
SEED = "0123456789abcdef" * 4
WIDE, HIGH, MARGIN, RULE = 1080, 1350, 80, 1150   # pixels, ten a millimetre


def dark_rows(png):
    """The rows of an 8-bit RGB picture without transparency (PNG, third edition: 9 filtering) as bytes: 1 where it is dark."""
    data, at = b"", 8
    while at < len(png):
        length, kind = struct.unpack(">I4s", png[at:at + 8])
        if kind == b"IHDR":
            check(struct.unpack(">IIBB", png[at + 8:at + 18]) == (WIDE, HIGH, 8, 2), "1080 x 1350 of 8-bit RGB")
        if kind == b"IDAT":
            data += png[at + 8:at + 8 + length]
        at += 12 + length
    data, size, above = zlib.decompress(data), 3 * WIDE, bytearray(3 * WIDE)
    for row in range(HIGH):
        line = bytearray(data[row * (size + 1) + 1:(row + 1) * (size + 1)])
        kind = data[row * (size + 1)]
        for i in range(size if kind else 0):
            a, b, c = (line[i - 3], above[i], above[i - 3]) if i > 2 else (0, above[i], 0)
            nearest = min((abs(b - c), 0, a), (abs(a - c), 1, b), (abs(a + b - 2 * c), 2, c))[2]
            line[i] = (line[i] + (a, b, (a + b) // 2, nearest)[kind - 1]) & 255
        above = line
        yield bytes(value < 128 for value in line[::3])


def longest_run(row):
    return max(len(run) for run in row.split(b"\0"))


def answer_of(method, codes, dice):
    if method == "ranking":
        return ">".join(dice.sample(codes, len(codes)))
    if method == "check-all":
        return " ".join(code + ":" + ("/".join(str(word) for word in range(1, 7) if dice.random() < 0.5) or "0") for code in codes)
    return dice.choice(codes)


def reported(place, name):
    tasting = place.run("new", PLANS / f"{name}.json", "--json").json["tasting"]
    place.run("draw", tasting, "--seed", SEED)
    dice, lines = random.Random(name), ["ballot,set,answer"]
    for ballot in place.run("ballots", tasting, "--json").json:
        lines += [f"{ballot['ballot']},{each['set']},{answer_of(each['method'], each['codes'], dice)}" for each in ballot["sets"] if not ballot["spare"]]
    place.run("enter", tasting, "--csv", place.write(f"{name}.csv", "\n".join(lines) + "\n"))
    place.run("close", tasting, "--yes")
    place.run("report", tasting, "--into", name)
    return place.folder / name


def card(folder, least_run):
    rows = list(dark_rows((folder / "verdict.png").read_bytes()))
    check(longest_run(rows[RULE]) == WIDE - 2 * MARGIN, "the foot's rule")
    for y in range(RULE - 15, RULE - 5):
        check(not any(rows[y]), f"{folder.name}: nothing stands on the foot's rule, row {y}")
    widest = max(longest_run(row) for row in rows[MARGIN:RULE - 15])
    check(widest >= least_run, f"{folder.name}: the picture fills the width, its longest line is {widest} pixels")


def pages(folder):
    said = subprocess.run(["pdftotext", "-layout", folder / "verdict.pdf", "-"], capture_output=True, text=True, check=True).stdout
    return said.split("\f")


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--program", required=True)
    with Place(parser.parse_args().program) as place:
        order, ladder, words = (reported(place, name) for name in ("which-of-four", "how-salty-before-they-mind", "which-words-fit"))
        card(order, 0)
        card(ladder, 550)   # the line of the share asked for, across the field
        card(words, 550)    # the axis
        check("How often each was put first" in pages(order)[0], "the picture of places stands on page 1")
        check("The pictures" not in "".join(pages(order)), "and no page has a heading alone")
        check("Words that fit" not in pages(words)[0] and "Words that fit" in pages(words)[1], "a picture as high as a page has one of its own")
    print("the card and its page hold")


if __name__ == "__main__":
    main()
