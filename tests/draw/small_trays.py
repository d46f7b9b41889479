"""The draw's step for trays that hold some of the recipes, and for several sittings, as designs/notes/draw.md tells it. rebuild_draw.py uses it."""
import itertools
from collections import Counter


class Trays:
    """What a stream has served so far, where trays hold some of the recipes. An order is `sittings` trays one after another."""

    def __init__(self, orders, sittings=1):
        self.versions = 1 + max(max(o["versions"]) for o in orders)
        self.size = len(orders[0]["versions"]) // sittings
        self.orders, self.served, self.others = orders, [], []   # of this stream, of those before it

    def next_stream(self):
        self.others += self.served
        self.served = []

    def trays(self, served):
        for o in served:
            versions = self.orders[o]["versions"]
            for sitting in range(len(versions) // self.size):
                yield sitting, versions[sitting * self.size:(sitting + 1) * self.size]

    def sums(self, served):
        recipes, pairs, sittings, places, followers = Counter(), Counter(), Counter(), Counter(), Counter()
        for sitting, tray in self.trays(served):
            recipes.update(tray)
            pairs.update(tuple(sorted(p)) for p in itertools.combinations(tray, 2))
            sittings.update((sitting, v) for v in tray)
            places.update(enumerate(tray))
            followers.update(zip(tray, tray[1:]))
        all_recipes, all_pairs = Counter(recipes), Counter(pairs)
        for _, tray in self.trays(self.others):
            all_recipes.update(tray)
            all_pairs.update(tuple(sorted(p)) for p in itertools.combinations(tray, 2))
        squares = [sum(c * c for c in counts.values()) for counts in (recipes, pairs, all_recipes, all_pairs, sittings, places, followers)]
        n = range(self.versions)
        table = [[recipes[a] if a == b else pairs[min(a, b), max(a, b)] for b in n] for a in n]
        return squares, table

    def evenness(self, served):
        (recipes, pairs, all_recipes, all_pairs, sittings, places, followers), m = self.sums(served)
        n = range(self.versions)
        parts, seen = 0, set()
        for start in n:
            parts += start not in seen
            queue = [start]
            while queue:
                here = queue.pop()
                if here not in seen:
                    seen.add(here)
                    queue += [b for b in n if m[here][b]]
        twice = [[sum(m[a][c] * m[c][b] for c in n) for b in n] for a in n]
        return parts, recipes, pairs, all_recipes, all_pairs, sittings, places, sum(twice[a][b] * m[a][b] for a in n for b in n), sum(x * x for row in twice for x in row), followers

    def in_turn(self, block, room):
        block, out = list(block), []
        while block and len(out) < room:
            out.append(block.pop(min(range(len(block)), key=lambda i: self.sums(self.served + out + [block[i]])[0])))
        return out, block

    def reorder(self, dealt, ahead):
        """Served orders change places with those of `ahead` (by order: a list of others to come) while places, then followers, gain."""
        sweeps, gained = 0, True
        del self.served[len(self.served) - len(dealt):]
        while gained and sweeps < 20:
            gained, sweeps = False, sweeps + 1
            for i in range(len(dealt)):
                others = ahead(dealt[i])
                for j in range(len(others)):
                    before = self.sums(self.served + dealt)[0][-2:]
                    dealt[i], others[j] = others[j], dealt[i]
                    if self.sums(self.served + dealt)[0][-2:] < before:
                        gained = True
                    else:
                        dealt[i], others[j] = others[j], dealt[i]
        dealt[:] = self.in_turn(dealt, len(dealt))[0]
        self.served += dealt

    def deal(self, block, room):
        tries = []
        for start in range(8 if room < len(block) else 1):
            turn = start * len(block) // 8
            out, rest = self.in_turn(block[turn:] + block[:turn], room)
            now, gained, sweeps = self.evenness(self.served + out), bool(rest), 0
            while gained and sweeps < 20:
                gained, sweeps = False, sweeps + 1
                for i, j in itertools.product(range(len(out)), range(len(rest))):
                    out[i], rest[j] = rest[j], out[i]
                    then = self.evenness(self.served + out)
                    if then < now:
                        now, gained = then, True
                    else:
                        out[i], rest[j] = rest[j], out[i]
            tries.append((now, start, out, rest))
        _, _, out, rest = min(tries)
        out = self.in_turn(out, len(out))[0]
        self.served += out
        return out + rest


def are_small_trays(orders):
    versions = len({v for o in orders for v in o["versions"]})
    return versions >= 3 and all(len(set(o["versions"])) == len(o["versions"]) == len(orders[0]["versions"]) and 2 <= len(o["versions"]) < versions for o in orders)
