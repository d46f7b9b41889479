#!/usr/bin/env python3
"""Nobody learns anything before close: two tastings that differ only in what is hidden answer every command alike.

    blind.py --program build/oddplate

Three looks. A copy of a book whose list of codes was turned round (current for new) answers to the byte as the book itself. Two draws
of one plan from two seeds answer alike once each code is named by its place. And nothing that was said, logged or printed for the room before close
names a version.
"""

import argparse
import json
import pathlib
import re
import shutil
import sqlite3
import subprocess

from program import Place, check

VERSIONS = ["quagga", "zebu", "striped label", "horned label"]   # words that nothing else says


def plan_of(spots):
    spot = '"spots":["edge","centre"],' if spots else ""
    return ('{"title":"Which crust?","versions":[{"id":"quagga","label":"striped label"},{"id":"zebu","label":"horned label"}],"tasters":6,"spares":2,'
            '"insiders":["Kim"],"rounds":[{"method":"triangle",' + spot + '"detect_pd":0.4},{"method":"paired-preference","no_preference":true}]}')


def begun(place, spots, seed):
    place.write("plan.json", plan_of(spots))
    tasting = place.run("new", "plan.json", "--json").json["tasting"]
    drawn = place.run("draw", tasting, "--seed", seed)
    return tasting, drawn


def codes_of(place, tasting):
    """(ballot, set) -> codes in serving order."""
    ballots = place.run("ballots", tasting, "--json").json
    return {(each["ballot"], served["set"]): served["codes"] for each in ballots for served in each["sets"]}


def answer_files(place, codes):
    """The same ballots, sets and places on the tray in every book."""
    def row(ballot, number, which):
        return f"{ballot},{number},{codes[ballot, number][which]}"
    good = [row("1", 1, 0), row("1", 2, 1), row("2", 1, 2), row("2", 2, 0), row("3", 1, 1), "3,2,none", "4,1,blank", "1,0,yes", "2,0,no"]
    place.write("good.csv", "ballot,set,answer\n" + "\n".join(good))
    place.write("bad.csv", "ballot,set,answer\n" + "\n".join(["5,1,000", "5,1," + codes["6", 1][0], "9,1,blank", row("1", 1, 1), row("5", 1, 1)]))
    place.write("mixed.csv", "ballot,set,answer,taster,note\n" + row("5", 2, 1) + ",Ada,\n7,1,void,Kim,two rings\n5,1,maybe,,\n")


def commands(codes):
    """Every command that there is before close, with what is typed."""
    def typed(*lines):
        return "".join(line + "\n" for line in lines).encode()
    yield ["ballots", "ID"], b""
    yield ["ballots", "ID", "--json"], b""
    yield ["print", "ID", "--into", "papers", "--mat"], b""
    yield ["print", "ID", "--into", "papers", "--blind-tubs", "--paper", "letter", "--json"], b""
    yield ["enter", "ID", "--csv", "bad.csv"], b""
    yield ["enter", "ID", "--csv", "good.csv", "--json"], b""
    yield ["enter", "ID", "--csv", "good.csv"], b""
    yield ["enter", "ID", "--csv", "mixed.csv", "--keep-good", "--json"], b""
    yield ["enter", "ID"], typed("6 1 " + codes["6", 1][2], "6 2 000", "6 1 " + codes["6", 1][0], "6", codes["6", 2][1], "y", "u", "n", "9", "q")
    yield ["enter", "ID", "--second"], typed("6 1 " + codes["6", 1][1], "q", codes["6", 1][1])
    yield ["enter", "ID", "--late"], b""
    yield ["correct", "ID", "--ballot", "1", "--set", "1", "--answer", codes["1", 1][1], "--why", "misread"], b""
    yield ["correct", "ID", "--ballot", "1", "--set", "1", "--answer", codes["2", 1][1], "--why", "misread", "--json"], b""
    yield ["hand", "ID", "--ballot", "8", "--taster", "Bo"], b""
    yield ["hand", "ID", "--ballot", "8", "--taster", "Cy"], b""
    yield ["swapped", "ID", "--ballots", "2,3", "--set", "1", "--why", "mixed up"], b""
    yield ["spoil", "ID", "--ballot", "4", "--why", "spilled", "--json"], b""
    yield ["stop", "ID", "--spot", "rim", "--why", "no more"], b""
    yield ["tubs", "ID", "--row", "rim", "--really", "K=zebu", "--why", "cards"], b""
    yield ["reveal", "ID", "--ballot", "1", "--code", "000", "--why", "hives"], b""
    yield ["draw", "ID"], b""
    yield ["close", "ID"], b""
    yield ["key", "ID"], b""
    yield ["key", "ID", "--json"], b""
    yield ["judge", "ID"], b""
    yield ["judge", "ID", "--json"], b""
    yield ["verify", "ID"], b""
    yield ["verify", "ID", "--json"], b""
    yield ["export", "ID", "sent.json"], b""
    yield ["tastings"], b""
    yield ["check"], b""
    yield ["check", "--json"], b""


def evening(place, tasting, codes):
    """What each command came to, and what it left for the room."""
    told = []
    for words, typed in commands(codes):
        answer = place.run(*[tasting if word == "ID" else word for word in words], stdin=typed, code=None)
        told.append((" ".join(words), answer.code, answer.out, answer.err))
    return told


def room_pages(place):
    """The text of each page for the room, and the raw bytes."""
    pages = {}
    for path in sorted((place.folder / "papers" / "room").iterdir()):
        text = subprocess.run(["pdftotext", "-layout", str(path), "-"], capture_output=True, check=True).stdout.decode()
        pages[path.name] = (text, path.read_bytes())
    check(len(pages) == 3, f"ballots, runner's page and mats lie in room/: {list(pages)}")
    return pages


def without_times(text):
    text = re.sub(r"\b\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", "TIME", text)
    return re.sub(r"\b[0-9a-f]{64}\b", "HASH", text)


def first_difference(mine, theirs):
    """The command, and the two texts from shortly before they part."""
    a, b = (" ".join(each[1:]) for each in (mine, theirs))
    at = next((index for index, (x, y) in enumerate(zip(a, b)) if x != y), min(len(a), len(b)))
    return f"{mine[0]}\n...{a[max(0, at - 60):at + 200]}\n...{b[max(0, at - 60):at + 200]}"


def turned_round(body):
    """A list of codes with the two versions exchanged; everything else stays."""
    key = json.loads(body)
    for ballot in key["ballots"]:
        for served in ballot:
            for portion in served[1]:
                portion[0] = 1 - portion[0]
    return json.dumps(key, separators=(",", ":"))


def same_with_the_codes_turned_round(program):
    with Place(program) as one, Place(program) as other:
        tasting, _ = begun(one, True, "11" * 32)
        codes = codes_of(one, tasting)
        shutil.copytree(one.book.parent, other.book.parent)
        database = sqlite3.connect(other.book)
        body, = database.execute("SELECT body FROM key").fetchone()
        check(turned_round(body) != body, "the list of codes was turned round")
        database.execute("UPDATE key SET body = ?", [turned_round(body)])
        database.commit()
        database.close()
        for place in (one, other):
            answer_files(place, codes)
        for mine, theirs in zip(evening(one, tasting, codes), evening(other, tasting, codes), strict=True):
            mine, theirs = ([without_times(str(part)) for part in each] for each in (mine, theirs))
            check(mine == theirs, f"the list of codes shows: {first_difference(mine, theirs)}")
        for (name, mine), (_, theirs) in zip(room_pages(one).items(), room_pages(other).items(), strict=True):
            check(mine[1] == theirs[1], f"room/{name} is not the same to the byte")
        kitchens = [(place.folder / "papers" / "kitchen" / "kitchen.pdf").read_bytes() for place in (one, other)]
        check(kitchens[0] != kitchens[1], "the kitchen's page does tell")
        sent = [without_times((place.folder / "sent.json").read_text()) for place in (one, other)]
        check(sent[0] == sent[1], "the exported file shows the list of codes")


def named_by_place(text, tasting, codes):
    place_of = {code: f"<{ballot}/{number}/{index}>" for (ballot, number), each in codes.items() for index, code in enumerate(each)}
    text = re.sub(r" \(nearest: \d+\)", "", text)   # which codes look alike is a matter of their digits
    text = re.sub(r"\b\d{3}\b", lambda found: place_of.get(found.group(), found.group()), text.replace(tasting, "ID"))
    text = re.sub(r"\b(?:[0-9A-F]{4}-){5}[0-9A-F]{4}\b", "SEAL", text)
    text = re.sub(r"\blog [0-9A-F]{4}-[0-9A-F]{4}\b", "log HEAD", text)
    text = re.sub(r"\b[A-Z]{4,8} [A-Z]{4,8}\b", "TWO WORDS", without_times(text))
    return re.sub(r"\s+", " ", text)   # names and codes have their own widths on a page


def same_from_two_seeds(program):
    told = []
    for seed in ("22" * 32, "33" * 32):
        with Place(program) as place:
            tasting, drawn = begun(place, False, seed)
            codes = codes_of(place, tasting)
            answer_files(place, codes)
            lines = [("draw", drawn.code, drawn.out, drawn.err), *evening(place, tasting, codes)]
            pages = [(name, 0, text, "") for name, (text, _) in room_pages(place).items()]
            told.append([tuple(named_by_place(str(part), tasting, codes) for part in line) for line in lines + pages])
    for mine, theirs in zip(*told, strict=True):
        check(mine == theirs, f"two draws of one plan can be told apart: {first_difference(mine, theirs)}")


def no_version_is_named(program):
    with Place(program) as place:
        tasting, _ = begun(place, True, "44" * 32)
        codes = codes_of(place, tasting)
        answer_files(place, codes)
        for command, _, out, err in evening(place, tasting, codes):
            for version in VERSIONS:
                check(version not in out + err or command.startswith("tubs"), f"{command} names {version}: {out}{err}")
        for name, (text, raw) in room_pages(place).items():
            for version in VERSIONS:
                check(version not in text and version.encode() not in raw, f"room/{name} names {version}")
        place.run("reveal", tasting, "--ballot", "1", "--code", codes["1", 1][0], "--why", "hives")
        place.run("export", tasting, "sent.json")
        log = json.loads((place.folder / "sent.json").read_text())["log"]
        check(len(log) > 10, "the evening stands in the log")
        for row in log:
            for version in VERSIONS:
                check(row["kind"] == "planned" or version not in row["body"], f"the log names {version}: {row}")
        sent = json.loads((place.folder / "sent.json").read_text())
        check("key" not in sent and set(sent) == {"format", "version", "id", "log", "room"}, f"the exported file holds {sorted(sent)}")


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("--program", required=True, type=pathlib.Path)
    program = arguments.parse_args().program
    same_with_the_codes_turned_round(program)
    same_from_two_seeds(program)
    no_version_is_named(program)


if __name__ == "__main__":
    main()
