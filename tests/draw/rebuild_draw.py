#!/usr/bin/env python3
"""Rebuilds draws from their seed and plan as designs/notes/draw.md tells, with Python's standard library alone, and compares them with
the golden draws beside this file. Shares no code with the program: slow and plain on purpose.   rebuild_draw.py GOLDEN.json ...
"""
import hashlib, itertools, json, math, pathlib, re, struct, sys
from collections import Counter, defaultdict

from small_trays import Trays, are_small_trays

ORDERS, SPOT_ORDERS, CODES, PIECES, TUBS, SPOT_CHOICE, BLANKS = 1, 2, 3, 4, 5, 6, 7


def chacha20(key, lane):
    """Words of the keystream: 64-bit block counter, 8-byte nonce."""
    for block in itertools.count():
        start = [0x61707865, 0x3320646E, 0x79622D32, 0x6B206574, *struct.unpack("<8I", key), *struct.unpack("<4I", struct.pack("<QQ", block, lane))]
        x = list(start)
        for _ in range(10):
            for a, b, c, d in ((0, 4, 8, 12), (1, 5, 9, 13), (2, 6, 10, 14), (3, 7, 11, 15), (0, 5, 10, 15), (1, 6, 11, 12), (2, 7, 8, 13), (3, 4, 9, 14)):
                for p, q, r, turn in ((a, b, d, 16), (c, d, b, 12), (a, b, d, 8), (c, d, b, 7)):
                    x[p] = (x[p] + x[q]) & 0xFFFFFFFF
                    y = x[r] ^ x[p]
                    x[r] = (y << turn | y >> (32 - turn)) & 0xFFFFFFFF
        yield from ((a + b) & 0xFFFFFFFF for a, b in zip(x, start))


class Chance:
    def __init__(self, seed, purpose, lane):
        key = hashlib.blake2b(b"", digest_size=32, key=seed, salt=struct.pack("<QQ", purpose, 0), person=b"oddplate" + bytes(8)).digest()
        self.words = chacha20(key, lane)

    def below(self, n):
        while True:
            word = next(self.words)
            if word < 2**32 // n * n:
                return word % n

    def shuffled(self, items):
        items = list(items)
        for i in range(len(items) - 1, 0, -1):
            j = self.below(i + 1)
            items[i], items[j] = items[j], items[i]
        return items


def collection(v, m):
    fano = [{i, (i + 1) % 7, (i + 3) % 7} for i in range(7)]
    lines = [{b, 3 + (a + b) % 3, 6 + (2 * a + b) % 3} for a in range(3) for b in range(3)] + [{0, 1, 2}, {3, 4, 5}, {6, 7, 8}]
    known = {(6, 3): [map(int, s) for s in "012 013 024 035 045 125 134 145 234 235".split()], (7, 3): fano,
             (7, 4): [set(range(7)) - s for s in fano], (8, 4): [t for s in fano for t in (s | {7}, set(range(7)) - s)],
             (9, 3): lines, (9, 6): [set(range(9)) - s for s in lines]}
    return [sorted(s) for s in known.get((v, m), itertools.combinations(range(v), m))]


def usable_codes():
    """The rules of designs/notes/codes.md, and the list that stands there."""
    note = pathlib.Path(__file__).resolve().parents[2] / "designs" / "notes" / "codes.md"
    listed = set(re.findall(r"\b\d{3}\b", note.read_text(encoding="utf-8").split("```")[1].replace("multiples of 50", "")))
    turned = {"0": "0", "1": "1", "6": "9", "8": "8", "9": "6"}
    answer = []
    for code in map(str, range(100, 1000)):
        a, b, c = map(int, code)
        other = "".join(turned.get(d, "-") for d in reversed(code))
        special = a - b == b - c and a - b in (-1, 0, 1) or "-" not in other and other[0] != "0" and other != code
        if not special and code not in listed:
            answer.append(int(code))
    return answer


def choose_spots(plan, rnd, ballots, chance):
    singles, pairs, pools, names, chosen = Counter(), Counter(), defaultdict(list), {}, []
    for ballot in range(ballots):
        there = [s for s, name in enumerate(rnd["spots"]) if ballot < plan["first_ballots"].get(name, ballots)]
        size = rnd["spots_per_taster"] or len(rnd["spots"])
        if len(there) > size:
            pool = pools[tuple(there)]
            if not pool:
                if tuple(there) not in names:
                    names[tuple(there)] = chance.shuffled(there)
                pool += chance.shuffled(sorted(names[tuple(there)][i] for i in s) for s in collection(len(there), size))
            there = min(pool, key=lambda s: (sum(singles[x] for x in s), sum(pairs[p] for p in itertools.combinations(s, 2))))
            pool.remove(there)
        singles.update(there)
        pairs.update(itertools.combinations(there, 2))
        chosen.append(there)
    return chosen


def williams(n):
    first = [(p + 1) // 2 if p % 2 else (n - p // 2) % n for p in range(n)]
    rows = [[(x + r) % n for x in first] for r in range(n)]
    return rows + ([row[::-1] for row in rows] if n % 2 and n > 1 else [])


def passes_of(rnd):
    return rnd["sets_per_taster"] + rnd.get("blank_sets", 0)


def mark_blanks(rnd, served, chance):
    """Streams instead of spots: a blank set's is its spot raised by the number of spots."""
    if not rnd.get("blank_sets"):
        return served
    left, n, answer = defaultdict(list), passes_of(rnd), []
    for spots in served:
        flags, seen, mine = {}, Counter(), []
        for spot in spots:
            if spot not in flags:
                if not left[spot]:
                    first = chance.shuffled([1] * rnd["blank_sets"] + [0] * rnd["sets_per_taster"])
                    left[spot] = chance.shuffled([first[turn:] + first[:turn] for turn in range(n)])
                flags[spot] = left[spot].pop()
            mine.append(spot + len(rnd["spots"]) * flags[spot][seen[spot]])
            seen[spot] += 1
        answer.append(mine)
    return answer


def order_spots(plan, rnd, chosen, chance):
    if plan["spot_order"] == "together":
        passes = [chance.shuffled(range(len(rnd["spots"]))) for _ in range(passes_of(rnd))]
        return [[s for order in passes for s in order if s in mine] for mine in chosen]
    served, stood, pools = [[] for _ in chosen], Counter(), defaultdict(lambda: [[], []])
    for ballot, mine in enumerate(chosen):
        for k in range(passes_of(rnd) if mine else 0):
            pool = pools[k, tuple(mine)]
            if not pool[0]:
                pool.reverse()
            if not pool[0]:
                names, n = chance.shuffled(mine), len(mine)
                rows = [[names[i] for i in row] for row in williams(n)]
                pool[:] = [chance.shuffled(rows[:n]), chance.shuffled(rows[n:])]
                if pool[1] and chance.below(2) == 1:
                    pool.reverse()
            row = min(pool[0], key=lambda r: sum(stood[k, s, p] for p, s in enumerate(r)))
            pool[0].remove(row)
            stood.update((k, s, p) for p, s in enumerate(row))
            served[ballot] += row
    return served


def draw_journeys(seed, number, rnd, served, planned):
    """Several sittings: a ballot's sets of one spot are one journey, drawn as one long tray."""
    n, orders = rnd["sittings"], rnd["orders"]
    whole = [{**orders[i], "versions": [v for order in orders[i:i + n] for v in order["versions"]]} for i in range(0, len(orders), n)]
    once = [list(dict.fromkeys(spots)) for spots in served]
    dealt = draw_orders(seed, number, whole, once, planned, n)
    return [[dealt[b][once[b].index(spot)] * n + spots[:place].count(spot) for place, spot in enumerate(spots)] for b, spots in enumerate(served)]


def draw_orders(seed, number, orders, served, planned, sittings=1):
    size = next((i for i, order in enumerate(orders) if order.get("batch", 0)), len(orders))   # of a batch
    small = sittings > 1 or are_small_trays(orders)
    shortest = math.lcm(len({v for o in orders for v in o["versions"]}), len(orders[0]["versions"])) // len(orders[0]["versions"])
    chunk = -(-8 // shortest) * shortest if small else size
    where = defaultdict(list)   # spot -> its stream of (ballot, place)
    spot_pass = {}              # ballot -> (spot, pass) -> place in the stream
    at = {}                     # (ballot, place) -> (spot, place in the stream)
    for ballot, spots in enumerate(served):
        spot_pass[ballot] = {}
        for place, spot in enumerate(spots):
            at[ballot, place] = spot, len(where[spot])
            spot_pass[ballot][spot, spots[:place].count(spot)] = len(where[spot])
            where[spot].append((ballot, place))
    planned_in = {spot: sum(ballot < planned for ballot, _ in sets) for spot, sets in where.items()}

    def end_of_chosen(spot, i):
        return math.inf if not small else planned_in[spot] if i < planned_in[spot] else len(where[spot])

    deal, trays = {}, Trays(orders, sittings)
    for spot in sorted(where):
        chance = Chance(seed, ORDERS, 65536 * number + spot)
        deal[spot] = []
        trays.next_stream()
        while len(deal[spot]) < len(where[spot]):
            batches = chance.shuffled(range(len(orders) // size))
            ahead = [[batch * size + place for batch in batches] for place in range(size)]
            for _ in batches:
                block = chance.shuffled(orders_of_place.pop(0) for orders_of_place in ahead)
                for end in (planned_in[spot], len(where[spot])) if small else ():
                    room = end - len(deal[spot])
                    if room > 0 and block:
                        block = trays.deal(block, room)
                        dealt, block = block[:room], block[room:]
                        if sittings > 1:
                            trays.reorder(dealt, lambda o: ahead[o % size])
                        deal[spot] += dealt
                deal[spot] += block

    def order(ballot, place):
        spot, index = at[ballot, place]
        return deal[spot][index]

    def cost(end, stage):
        sums = [Counter(), Counter(), Counter()]
        for ballot in range(end):
            for place in range(len(served[ballot])):
                o = order(ballot, place)
                sums[0][place, o] += 1
                sums[1][ballot, orders[o]["trait"]] += 1
                if place:
                    sums[2][orders[order(ballot, place - 1)]["versions"][-1], orders[o]["versions"][0]] += 1
        places, traits, carried = (sum(c * c for c in s.values()) for s in sums)
        return (traits, places, carried) if stage == 1 else (places, traits, carried)

    def swap(pairs):
        for spot, i, j in pairs:
            deal[spot][i], deal[spot][j] = deal[spot][j], deal[spot][i]

    if max(map(len, served)) < 2:
        return [[order(b, p) for p in range(len(spots))] for b, spots in enumerate(served)]
    for start in range(0, len(served), 2 * size):
        window = range(start, min(start + 2 * size, len(served)))
        for stage in (1, 2):
            best = cost(window.stop, stage)
            for _ in range(8):
                before = best[:2]
                tries = []
                for ballot in window:
                    for place in range(len(served[ballot])):
                        spot, i = at[ballot, place]
                        end = min((i // size + 1) * size, i + chunk - i % size % chunk, end_of_chosen(spot, i))
                        tries += [[(spot, i, j)] for j in range(i + 1, end)]
                for a, b in itertools.combinations(window, 2):
                    swaps = []
                    for place, spot in enumerate(served[a]):
                        i, j = at[a, place][1], spot_pass[b].get((spot, served[a][:place].count(spot)), -1)
                        if j >= 0 and i // size == j // size and i % size // chunk == j % size // chunk and end_of_chosen(spot, i) == end_of_chosen(spot, j):
                            swaps.append((spot, i, j))
                    tries += map(list, itertools.combinations(swaps, 2))
                for pairs in tries:
                    swap(pairs)
                    now = cost(window.stop, stage)
                    if now < best:
                        best = now
                    else:
                        swap(pairs)
                if best[:2] == before:
                    break
    return [[order(b, p) for p in range(len(spots))] for b, spots in enumerate(served)]


def apart(a, b):
    return sum(x != y for x, y in zip(str(a), str(b))) >= 2


def deal_codes(usable, portions, chance):
    queue, used, dealt = chance.shuffled(usable), set(), []

    def to_back(code):
        queue.remove(code)
        queue.append(code)

    def exchange(mine):
        for fresh in [c for c in queue if c not in used]:
            for ballot in reversed(dealt):
                for place, code in enumerate(ballot):
                    if all(apart(code, c) for c in mine) and all(apart(fresh, c) for i, c in enumerate(ballot) if i != place):
                        ballot[place] = fresh
                        used.add(fresh)
                        queue.remove(fresh)
                        queue[queue.index(code)] = fresh
                        queue.append(code)
                        return code

    for n in portions:
        mine = []
        if n <= 1 + (len(usable) - 1) // 28:
            for _ in range(n):
                code = next(c for c in queue if all(apart(c, m) for m in mine))
                if code in used and len(used) < len(usable):
                    code = exchange(mine) or code
                mine.append(code)
                used.add(code)
                to_back(code)
        else:
            classes = defaultdict(list)
            for code in queue:
                same = classes[sum(map(int, str(code))) % 10]
                same.append(code)
                if len(same) == n:
                    mine = list(same)
                    break
            used.update(mine)
        for code in chance.shuffled(mine):
            to_back(code)
        dealt.append(mine)
    return dealt


def draw_pieces(plan, rnd, served, orders, chance):
    pools, had, beside, answer = defaultdict(list), Counter(), Counter(), []
    for spots, mine in zip(served, orders):
        answer.append([])
        for spot, o in zip(spots, mine):
            order, taken = rnd["orders"][o], {}
            if spot >= len(rnd["spots"]):   # a blank: different pieces of the current recipe
                pool, used = pools["blank", spot], []
                for role in sorted({*order["versions"], order["reference"]} - {-1}):
                    if all(p in used for p in pool):
                        pool += chance.shuffled(range(plan["pieces"]))
                    piece = next(p for p in pool if p not in used)
                    used.append(piece)
                    pool.remove(piece)
                    taken[role] = piece
                answer[-1].append(taken)
                continue
            for version in sorted({*order["versions"], order["reference"]} - {-1}):
                pool = pools[spot, version]
                if not pool:
                    pool += chance.shuffled(range(plan["pieces"]))
                piece = min(pool, key=lambda p: (had[o, version, p], sum(beside[v, q, version, p] for v, q in taken.items())))
                pool.remove(piece)
                had[o, version, piece] += 1
                beside.update((v, q, version, piece) for v, q in taken.items())
                taken[version] = piece
            answer[-1].append(taken)
    return answer


def draw_tubs(plan, chance):
    names = list(dict.fromkeys(name for rnd in plan["rounds"] for name in rnd["spots"]))
    letters = 1
    while len(tags := ["".join(t) for t in itertools.permutations("ADHJKLTXY", letters)]) < len(names) * plan["versions"]:
        letters += 1
    tags = iter(chance.shuffled(tags))
    return {name: [next(tags) for _ in range(plan["versions"])] for name in names}


def rebuild(plan, seed, usable):
    ballots = plan["tasters"] + plan["spares"]
    sets = [[] for _ in range(ballots)]
    for number, rnd in enumerate(plan["rounds"]):
        chosen = choose_spots(plan, rnd, ballots, Chance(seed, SPOT_CHOICE, number))
        served = order_spots(plan, rnd, chosen, Chance(seed, SPOT_ORDERS, number))
        served = mark_blanks(rnd, served, Chance(seed, BLANKS, number))
        if rnd.get("sittings", 1) > 1:
            orders = draw_journeys(seed, number, rnd, served, plan["tasters"])
        else:
            orders = draw_orders(seed, number, rnd["orders"], served, plan["tasters"])
        pieces = draw_pieces(plan, rnd, served, orders, Chance(seed, PIECES, number)) if plan["pieces"] > 1 else None
        for ballot in range(ballots):
            for place, (spot, o) in enumerate(zip(served[ballot], orders[ballot])):
                order = rnd["orders"][o]
                taken = pieces[ballot][place] if pieces else defaultdict(int)
                spots = len(rnd["spots"])
                blank = {"blank": True} if spot >= spots else {}
                sets[ballot].append({"round": number, "spot": spot % spots, "order": o, **blank, "pieces": [taken[v] for v in order["versions"]],
                                     "reference_piece": taken[order["reference"]] if order["reference"] >= 0 else 0})
    sizes = [[len(plan["rounds"][s["round"]]["orders"][0]["versions"]) for s in mine] for mine in sets]
    for mine, codes, size in zip(sets, deal_codes(usable, list(map(sum, sizes)), Chance(seed, CODES, 0)), sizes):
        codes = iter(codes)
        for one, n in zip(mine, size):
            one["codes"] = [str(next(codes)) for _ in range(n)]
    return {"ballots": sets, "tubs": draw_tubs(plan, Chance(seed, TUBS, 0))}


def main(paths):
    wrong, usable = 0, usable_codes()
    for path in paths:
        with open(path, encoding="utf-8") as file:
            golden = json.load(file)
        mine = rebuild(golden["plan"], bytes.fromhex(golden["seed"]), usable)
        same = mine == golden["draw"]
        wrong += not same
        print(("same: " if same else "DIFFERENT: ") + path)
        for number, (a, b) in enumerate(zip(mine["ballots"], golden["draw"]["ballots"])):
            if a != b:
                print(f"  ballot {number}:\n    rebuilt {a}\n    golden  {b}")
                break
    return 1 if wrong or not paths else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
