#!/usr/bin/env python3
"""What people write beside their answers, counted word by word against what they chose: 30 votes with notes, from a file and from the keyboard.

    reasons.py --program build/oddplate
"""

import argparse
import json
import math

from program import Place, check

SEED = "0123456789abcdef" * 4


def plan(**keys):
    return json.dumps({"title": "Less salt", "versions": [{"id": "current"}, {"id": "new"}], "tasters": 30, "spares": 0, "rounds": [{"method": "paired-preference"} | keys]})


def drawn(place, text):
    """The tasting, and by ballot the code of each version, learnt from a twin of it that is closed at once."""
    place.write("plan.json", text)
    tasting, twin = (place.run("new", "plan.json", "--json").json["tasting"] for _ in range(2))
    for each in (tasting, twin):
        place.run("draw", each, "--seed", SEED)
    place.run("close", twin, "--yes")
    code = {(row["ballot"], row["version"]): row["code"] for row in place.run("key", twin, "--json").json}
    return tasting, code


def fisher(k, m, l, n):
    """Two-sided, by the rule of R's fisher.test: every table that is no likelier than this one (with fixed margins that is also the sum of squares)."""
    total = k + l
    weight = {x: math.comb(m, x) * math.comb(n, total - x) for x in range(max(0, total - n), min(m, total) + 1)}
    return sum(w for w in weight.values() if w <= weight[k] * (1 + 1e-7)) / sum(weight.values())


def note_of(ballot):
    """1 to 18 chose the current recipe, 19 to 30 the new one."""
    words = []
    if ballot <= 12 or ballot in (19, 20):
        words.append("It was so DRY, dry as straw")
    if ballot in (3, 4, 21, 22, 23):
        words.append("más ÄTZEND")
    if ballot in (5, 6, 24, 25):   # four people: not for anybody's eyes
        words.append("zesty")
    if ballot > 25:
        words.append("salty! saltier")
    return ". ".join(words) or ("fine by me" if ballot != 18 else "")


def entered(place, tasting, code):
    rows = ["ballot,set,answer,taster,note"] + [f'{b},1,{code[str(b), "current" if b <= 18 else "new"]},,"{note_of(b)}"' for b in range(1, 29)]
    place.write("answers.csv", "\n".join(rows) + "\n")
    place.run("enter", tasting, "--csv", "answers.csv")
    typed = "".join(f"{b} 1 {code[str(b), 'new']}; {note_of(b)}\n" for b in (29, 30))
    place.run("enter", tasting, stdin=(typed + "q\n").encode())
    place.run("close", tasting, "--yes")
    return place.run("judge", tasting, "--json").json


def counted(place):
    tasting, code = drawn(place, plan())
    judged = entered(place, tasting, code)["rounds"][0]["pooled"]
    words = {row["word"]: row for row in judged["reasons"]}
    by = {(row["word"], row["chose"]): row for row in judged["reasons_by"]}
    check(words["dry"]["people"] == 14 and by["dry", "current"]["people"] == 12 and by["dry", "current"]["of"] == 17, f"each person once, and only who wrote: {words} {by}")
    check(abs(words["dry"]["p_value"] - fisher(12, 17, 2, 12)) < 1e-12, f"Fisher's exact test: {words['dry']}")
    check(words["ätzend"]["people"] == 5, "letters of any language, in lower case")
    check(words["salty"]["people"] == 5 and words["saltier"]["people"] == 5, "the keyboard's notes are there too")
    check(not {"zesty", "it", "was", "so", "más"} & set(words), f"neither words of four people nor idle ones: {sorted(words)}")
    adjusted = sorted((row["p_value"], row["p_adjusted"]) for row in words.values())
    check(adjusted[0][1] >= min(1, adjusted[0][0] * len(adjusted)) - 1e-12, f"Holm over the words: {adjusted}")
    said = place.run("judge", tasting).out
    check("no word was named beforehand" in said.replace("\n  ", " ") and "zesty" not in said, said)
    place.run("report", tasting, "--into", "report")
    for name in ("verdict.html", "verdict.txt", "answers.csv"):
        check("zesty" not in (place.folder / "report" / name).read_text(), f"{name} keeps quiet about four people")


def named(place):
    """Beginnings of words that the plan names: salt counts saltier, and a word of four people is counted but not shown."""
    tasting, code = drawn(place, plan(reasons="salt, zest"))
    judged = entered(place, tasting, code)
    words = {row["word"]: row for row in judged["rounds"][0]["pooled"]["reasons"]}
    check(set(words) == {"salt", "zest"} and words["salt"]["people"] == 5 and abs(words["salt"]["p_value"] - fisher(0, 17, 5, 12)) < 1e-12, f"beginnings: {words}")
    check(words["zest"]["people"] is None and "fewer than five" in words["zest"]["why"]["people"], f"four people: {words['zest']}")
    check("counted by the plan's 2 beginnings" in judged["words"], judged["words"])
    for wrong in ("salt,,dry", "salt, Salt", "x", "too dry"):
        refused = place.run("plan", place.write("wrong.json", plan(reasons=wrong)), code=2)
        check("beginnings of words" in refused.err, f"{wrong}: {refused}")


def one_sided(place):
    """Three people on one side: their words stay theirs, and can't be told from what the other side leaves over."""
    tasting, code = drawn(place, plan())
    rows = ["ballot,set,answer,taster,note"] + [f'{b},1,{code[str(b), "current" if b <= 3 else "new"]},,{"dry" if b <= 3 or b > 27 else "salty"}' for b in range(1, 31)]
    place.write("answers.csv", "\n".join(rows) + "\n")
    place.run("enter", tasting, "--csv", "answers.csv")
    place.run("close", tasting, "--yes")
    judged = place.run("judge", tasting, "--json").json
    pooled = judged["rounds"][0]["pooled"]
    check({row["word"]: row["people"] for row in pooled["reasons"]} == {"salty": 24, "dry": 6}, f"all together: {pooled['reasons']}")
    check(all(row["people"] is None for row in pooled["reasons_by"]), f"no side is shown: {pooled['reasons_by']}")
    check(all(row["p_value"] is None for row in pooled["reasons"]), f"nor a p-value, which gives counts away: {pooled['reasons']}")
    check("was written by" not in judged["words"] and "fewer than five people" in judged["words"], judged["words"])


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--program", required=True)
    program = parser.parse_args().program
    for part in (counted, named, one_sided):
        with Place(program) as place:
            part(place)
            print(f"{part.__name__}: holds")


if __name__ == "__main__":
    main()
