#!/usr/bin/env python3
"""Trays of some of the recipes: what `plan` and `draw` say of how well they compare them, and what is uneven on purpose.

    trays_of_some.py --program build/oddplate
"""

import argparse
import json

from program import Place, check

VERSIONS = ("current", "maple", "juniper", "pepper")
SEED = "fedcba98" * 8


def words_of(place, tasters, **keys):
    """What `plan` says of so many people, what `draw` says, and the same as JSON."""
    plan = {"title": "Four cures", "versions": [{"id": v} for v in VERSIONS], "tasters": tasters, "spares": 0, "rounds": [{"method": "ranking", "spots": ["middle"]} | keys]}
    place.write("plan.json", json.dumps(plan))
    ahead = " ".join(place.run("plan", "plan.json").out.split())
    tasting, twin = (place.run("new", "plan.json", "--json").json["tasting"] for _ in range(2))
    return ahead, " ".join(place.run("draw", tasting, "--seed", SEED).out.split()), place.run("draw", twin, "--seed", SEED, "--json").json


def each_with_each(place):
    ahead, said, dealt = words_of(place, 12, tray_size=3)   # three times each three of four
    check(dealt["trays"]["ballots"] == 12 and dealt["trays"]["balanced_at"] == 4 and "beside_usual" not in dealt, f"balanced: {dealt}")
    check("100 % of what the best trays of this size could" in said and "or a multiple of that" not in said + ahead, f"nothing to better: {said} {ahead}")
    check("two recipes on one tray: counts differ by at most 0 " in said and "on every tray" not in said and "always comes last" not in said, said)
    ahead, said, dealt = words_of(place, 8, tray_size=2)
    check(dealt["spreads"]["recipes_on_a_tray"] == 1 and "two recipes on one tray: counts differ by at most 1; less is not possible" in said, f"eight over six pairs: {said}")
    check("with 6 people, or a multiple of that, no trays of this size could do better" in said, said)
    check("such trays compare them about" in ahead and "With 6 people, or a multiple of that" in ahead, ahead)


def beside_the_usual(place):
    ahead, said, dealt = words_of(place, 7, tray_size=3, usual_in_every_tray=True)   # seven trays, two of three others on each: they meet two or three times
    check("trays" not in dealt and 0.95 < dealt["beside_usual"]["efficiency"] < 1 and dealt["beside_usual"]["balanced_at"] == 3, f"{dealt}")
    check("current lies on every tray, as planned" in said and "compare each other recipe with the usual one:" in said, said)
    check("with 3 people, or a multiple of that" in said and dealt["spreads"]["recipes_on_a_tray"] == 1, f"{said} {dealt}")
    check("compare each of them with the usual one about" in ahead and "such trays compare them" not in ahead, ahead)

    ahead, said, dealt = words_of(place, 2, tray_size=2, usual_in_every_tray=True)   # two trays for three others
    check(dealt["beside_usual"]["efficiency"] == 0 and "these trays fall apart" in said and "they can't be compared" in ahead, f"{said} {ahead}")


def strongest_last(place):
    ahead, said, dealt = words_of(place, 12, tray_size=4, strongest_last=True, stronger="pepper")
    check(dealt["spreads"]["recipes_by_place"] == 0 and "pepper always comes last, as planned" in said, f"{said} {dealt}")
    check("pepper always comes last on its tray" in ahead and "A tray holds" not in ahead, ahead)


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--program", required=True)
    program = parser.parse_args().program
    for part in (each_with_each, beside_the_usual, strongest_last):
        with Place(program) as place:
            part(place)
            print(f"{part.__name__}: holds")


if __name__ == "__main__":
    main()
