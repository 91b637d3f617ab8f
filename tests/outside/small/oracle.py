"""Makes small random cutting jobs and their true optimum, and writes small_jobs.json.

Shares nothing with the planners. Every multiset of a job's pieces is asked how short a cloth of each width holds it: in
strips by a recursion over full strips, edge to edge by the corner fronts of all ways to join two parts, anyhow by
constraint programming. Which cloths are used, strips of one width and joined lengths are integer programmes. All in whole
numbers: fractions are multiplied out first. Needs OR-Tools:
python3 -m venv VENV && VENV/bin/pip install ortools==9.15.6755 && VENV/bin/python oracle.py
"""

import itertools
import json
import math
import random
from fractions import Fraction
from functools import cache
from pathlib import Path

from ortools.sat.python import cp_model

SEED = 20261128
KINDS = ["strips", "edge", "any"]


class Open(Exception):
    """Not proved within the time; such a job is drawn again."""


def solved(model, least=None):
    """The least value of a model, or None where it has no solution."""
    if least is not None:
        model.minimize(least)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = 4
    status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        return None
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE) or status == cp_model.FEASIBLE and least is not None:
        raise Open
    return 0 if least is None else round(solver.objective_value)


class Packer:
    """How short a cloth holds each multiset of the pieces, by kind of plan."""

    def __init__(self, pieces, widest, longest):
        # (count, across, along, may turn) in whole numbers; no cloth is larger than that
        self.pieces = pieces
        self.all = tuple(piece[0] for piece in pieces)
        self.widest, self.longest = widest, longest
        self.fronts = {}

    def inside(self, ends):
        return {(w, h) for w, h in ends if w <= self.widest and h <= self.longest}

    def ways(self, at):
        _, across, along, turn = self.pieces[at]
        return {(across, along), (along, across)} if turn else {(across, along)}

    def below(self, counts):
        return itertools.product(*(range(count + 1) for count in counts))

    def area(self, counts):
        return sum(n * piece[1] * piece[2] for n, piece in zip(counts, self.pieces))

    def least(self, counts, width):
        """No layout of any kind is shorter."""
        longest = max((min(h for w, h in self.ways(at) if w <= width) for at, n in enumerate(counts) if n), default=0)
        return max(longest, -(-self.area(counts) // width))

    def possible(self, counts, width):
        return all(any(w <= width for w, _ in self.ways(at)) for at, n in enumerate(counts) if n)

    @cache
    def shortest(self, kind, counts, width):
        """The shortest cloth of a width that holds so many of each piece; None where there is none."""
        if not self.possible(counts, width):
            return None
        if not any(counts):
            return 0
        if kind == "strips":
            return self.strips(width)[counts]
        edge = min((h for w, h in self.front(counts) if w <= width), default=None)
        if kind == "edge" or edge == self.least(counts, width):
            return edge
        return self.anyhow(counts, width, edge)

    # Strips: the first piece left lies in some strip; that strip holds as much as it can of what is left.
    @cache
    def strips(self, width):
        best = {}
        for counts in self.below(self.all):
            if not any(counts):
                best[counts] = 0
                continue
            first = next(at for at, n in enumerate(counts) if n)
            found = [
                height + best[tuple(n - m for n, m in zip(counts, held))]
                for held, height in self.strip_sets(width).items()
                if held[first] and all(m <= n for m, n in zip(held, counts))
            ]
            found = [one for one in found if one is not None]
            best[counts] = min(found, default=10**18)
        return best

    @cache
    def strip_sets(self, width):
        """The lowest strip for each multiset that lies side by side."""
        sets = {tuple(0 for _ in self.all): {(0, 0)}}
        for at, count in enumerate(self.all):
            for _ in range(count):
                new = {held: set(ends) for held, ends in sets.items()}
                for held, ends in sets.items():
                    more = tuple(n + (here == at) for here, n in enumerate(held))
                    if more[at] > count:
                        continue
                    for (taken, height), (w, h) in itertools.product(ends, self.ways(at)):
                        if taken + w <= width:
                            new.setdefault(more, set()).add((taken + w, max(height, h)))
                sets = {held: set(corners(ends)) for held, ends in new.items()}
        return {held: min(h for _, h in ends) for held, ends in sets.items() if any(held)}

    # Edge to edge: the smallest rectangles around two parts side by side or one beyond the other.
    def front(self, counts):
        if counts in self.fronts:
            return self.fronts[counts]
        if sum(counts) == 1:
            found = set(self.ways(counts.index(1)))
        else:
            found = set()
            for part in self.below(counts):
                rest = tuple(n - m for n, m in zip(counts, part))
                if not any(part) or not any(rest) or part > rest:
                    continue
                for (w, h), (v, k) in itertools.product(self.front(part), self.front(rest)):
                    found.add((w + v, max(h, k)))
                    found.add((max(w, v), h + k))
        self.fronts[counts] = corners(self.inside(found))
        return self.fronts[counts]

    def anyhow(self, counts, width, known, enough=None):
        """No overlap; `enough`: whether a cloth so long holds them, as 0 or None."""
        model = cp_model.CpModel()
        sides = {side for at, n in enumerate(counts) if n for way in self.ways(at) for side in way}
        grid = math.gcd(*sides)
        room = width // grid
        far = (known if enough is None else enough) // grid
        xs, ys, ends = [], [], []
        for at, n in enumerate(counts):
            before = None
            for _ in range(n):
                ways = sorted(self.ways(at))
                w = model.new_int_var_from_domain(cp_model.Domain.from_values([a // grid for a, _ in ways]), "")
                h = model.new_int_var_from_domain(cp_model.Domain.from_values([b // grid for _, b in ways]), "")
                if len(ways) == 2:
                    model.add(w + h == (ways[0][0] + ways[0][1]) // grid)
                x, y = model.new_int_var(0, room, ""), model.new_int_var(0, far, "")
                x_end, y_end = model.new_int_var(0, room, ""), model.new_int_var(0, far, "")
                xs.append(model.new_interval_var(x, w, x_end, ""))
                ys.append(model.new_interval_var(y, h, y_end, ""))
                ends.append(y_end)
                if before is not None:
                    model.add(before <= y)
                before = y
        model.add_no_overlap_2d(xs, ys)
        if enough is not None:
            return solved(model)
        long = model.new_int_var(-(-self.least(counts, width) // grid), far, "")
        model.add_max_equality(long, ends)
        return solved(model, long) * grid

    @cache
    def fits(self, kind, counts, width, along):
        if not self.possible(counts, width) or self.least(counts, width) > along:
            return False
        for at, n in enumerate(counts):
            fewer = tuple(m - (here == at) for here, m in enumerate(counts))
            if n and any(fewer) and not self.fits(kind, fewer, width, along):
                return False
        if kind != "any":
            return self.shortest(kind, counts, width) is not None and self.shortest(kind, counts, width) <= along
        if self.fits("edge", counts, width, along):
            return True
        return self.anyhow(counts, width, None, enough=along) is not None


def corners(ends):
    """Those than which no other is smaller both ways."""
    out, low = [], None
    for w, h in sorted(ends):
        if low is None or h < low:
            out.append((w, h))
            low = h
    return out


def roll_cost(roll, length):
    """What a length of the roll costs: up to the shop's step, then to the nearest coin, halves up."""
    if roll["step"]:
        length = math.ceil(Fraction(length) / roll["step"])
    return math.floor(Fraction(length) * roll["coins"] + Fraction(1, 2))


def cheapest(packer, kind, sheets, roll):
    """The least cost of cloths that hold all: one column for each cloth and multiset on it."""
    model = cp_model.CpModel()
    used = [[] for _ in sheets]
    covers = [[] for _ in packer.all]
    cost = []
    limit = sum(packer.all)
    for counts in packer.below(packer.all):
        if not any(counts):
            continue
        for at, (n, across, along, coins) in enumerate(sheets):
            if packer.fits(kind, counts, across, along):
                times = model.new_int_var(0, min(n, limit), "")
                used[at].append(times)
                cost.append(coins * times)
                for row, held in zip(covers, counts):
                    row.append(held * times)
        if roll:
            length = packer.shortest(kind, counts, roll["width"])
            if length is not None:
                takes = model.new_bool_var("")
                roll.setdefault("takes", []).append(takes)
                cost.append(roll_cost(roll, length) * takes)
                for row, held in zip(covers, counts):
                    row.append(held * takes)
    for (n, *_), times in zip(sheets, used):
        model.add(sum(times) <= n)
    if roll:
        model.add(sum(roll.pop("takes", [])) <= 1)
    for row, count in zip(covers, packer.all):
        model.add(sum(row) == count)
    return solved(model, sum(cost))


def fewest(strip, hand, wanted, join):
    """The fewest new strips that give all lengths, each whole or joined from pieces."""
    lengths = [length for count, length in wanted for _ in range(count)]
    loss, shortest = join or (0, 0)
    shortest = max(shortest, loss, 1)
    need = sum(lengths)
    # First fit of whole lengths, or as much as joins can ever eat.
    new = len(lengths) if not join else 2 * sum(-(-length // max(1, strip - loss)) for length in lengths)
    model = cp_model.CpModel()
    strips = [(strip, True)] * new + [(length, False) for count, length in hand for _ in range(count)]
    uses = [model.new_bool_var("") for _ in strips]
    taken = [[] for _ in strips]
    assert need < 2**40
    for length in lengths:
        parts, amounts = [], []
        for at, (long, _) in enumerate(strips):
            part = model.new_bool_var("")
            amount = model.new_int_var(0, min(long, length), "")
            model.add(amount == 0).only_enforce_if(part.negated())
            model.add(amount >= 1).only_enforce_if(part)
            model.add_implication(part, uses[at])
            parts.append(part)
            amounts.append(amount)
            taken[at].append(amount)
        if join:
            joined = model.new_bool_var("")
            model.add(sum(parts) >= 2).only_enforce_if(joined)
            model.add(sum(parts) == 1).only_enforce_if(joined.negated())
            for part, amount in zip(parts, amounts):
                model.add(amount >= shortest).only_enforce_if(part, joined)
        else:
            model.add(sum(parts) == 1)
        model.add(sum(amounts) == length + loss * (sum(parts) - 1))
    for (long, _), amounts in zip(strips, taken):
        model.add(sum(amounts) <= long)
    for at in range(1, new):
        model.add_implication(uses[at], uses[at - 1])
    return solved(model, sum(uses[:new]))


# -- jobs ------------------------------------------------------------------------------------------------------------


def shaved(rng, side):
    """A side less a fraction of a millimetre that no common ruler has."""
    return side - Fraction(1, rng.choice([7, 9, 11, 13, 17]))


def length(rng, low, high, fine):
    """In millimetres: marks of a metric or an inch ruler; when fine also thirds of an inch and less a hair."""
    if rng.random() < 0.5:
        side = Fraction(rng.randint(low // 5, high // 5) * 5)
    else:
        side = Fraction(rng.randint(low * 10 // 254, high * 10 // 254) * 2) * Fraction(127, 10)
        if fine:
            side += rng.choice([0, 1, 2]) * Fraction(127, 15)
    return shaved(rng, side) if fine and rng.random() < 0.6 else side


def pieces(rng, most, kinds, low, high, fine):
    left, out = most, []
    for _ in range(kinds):
        count = min(left, rng.randint(1, 4))
        if count:
            out.append([count, length(rng, low, high, fine), length(rng, low, high, fine), rng.random() < 0.5])
            left -= count
    return out


def parts(rng, across, along, count, fine):
    """A cloth cut up into so many pieces or one or two more: by cuts from edge to edge, now and then by a pinwheel."""
    if count <= 1 or min(across, along) < 120:
        return [[1, across, along, rng.random() < 0.4]]
    cut = lambda side: side * Fraction(rng.randint(6, 14), 20) // 5 * 5 - (Fraction(1, 7) if fine else 0)
    if count >= 5 and rng.random() < 0.5:
        a, b = across * Fraction(13, 20) // 5 * 5, along * Fraction(12, 20) // 5 * 5
        c, d = across - a, along - b
        if a > c and b > d:
            sizes = [(a, d), (c, b), (a, d), (c, b), (a - c, b - d)]
            return [[1, w, h, rng.random() < 0.4] for w, h in sizes]
    if rng.random() < 0.5:
        near = cut(across)
        halves = [(near, along), (across - near, along)]
    else:
        near = cut(along)
        halves = [(across, near), (across, along - near)]
    first = count // 2
    return [piece for half, n in zip(halves, (first, count - first)) for piece in parts(rng, *half, n, fine)]


def tight(rng, across, along, count, fine):
    """Pieces that just fill a cloth, some a little smaller, equal ones together."""
    out = {}
    for _, w, h, turn in parts(rng, across, along, count, fine):
        if rng.random() < 0.3:
            w, h = w - (shaved(rng, 1) if fine else 1), h
        n, _ = out.get((w, h), (0, turn))
        out[w, h] = (n + 1, turn)
    return [[n, w, h, turn] for (w, h), (n, turn) in out.items()]


def roll_job(rng, name, fine):
    width = rng.choice([Fraction(1100), Fraction(1400), Fraction(5588, 5), Fraction(6858, 5)])
    if rng.random() < 0.6:
        wanted = tight(rng, width, length(rng, 500, 1200, fine), rng.randint(5, 7), fine)
    else:
        wanted = pieces(rng, rng.randint(5, 8), rng.randint(2, 4), 120, 700, fine)
    if fine and rng.random() < 0.5:
        wanted[0][1:3] = [width, length(rng, 40, 120, fine)]
        wanted[0][3] = False
    return {"id": name, "kind": "roll", "width": width, "pieces": wanted, "sheets": []}


def sheet(rng, low, high, most, cost, fine):
    return [rng.randint(1, most), length(rng, low, high, fine), length(rng, low, high, fine), cost]


def sheets_job(rng, name, fine):
    sheets = []
    for _ in range(rng.randint(1, 3)):
        across, along = length(rng, 350, 1000, fine), length(rng, 350, 1000, fine)
        # The price goes by the area, more or less, in half euros.
        coins = round(float(across * along) / 30000 * rng.uniform(0.8, 1.25)) * 50 + 50
        sheets.append([rng.randint(1, 6), across, along, coins])
    if rng.random() < 0.6:
        wanted = tight(rng, *sheets[0][1:3], rng.randint(4, 6), fine)
        if len(sheets) > 1 and rng.random() < 0.7:
            wanted += tight(rng, *sheets[1][1:3], rng.randint(3, 5), fine)
    else:
        high = max(200, int(min(min(s[1], s[2]) for s in sheets) * 3 / 5))
        wanted = pieces(rng, rng.randint(7, 12), rng.randint(3, 5), 100, high, fine)
    return {"id": name, "kind": "sheets", "pieces": wanted, "sheets": sheets}


def mixed_job(rng, name, fine):
    job = sheets_job(rng, name, fine)
    job["kind"] = "mixed"
    job["width"] = Fraction(rng.choice([900, 1100, 1400]))
    for one in job["sheets"]:
        one[0] = rng.randint(1, 2)
        one[3] = rng.choice([0, one[3], one[3] // 2, one[3] * 3])
    job["step"] = rng.choice([None, Fraction(100), Fraction(1143, 10), Fraction(100) * Fraction(96, 100)])
    # About 12 to 20 coins a square centimetre, as the sheets' prices are; per step, or per millimetre without one.
    each = Fraction(rng.randint(120, 240), 100)
    job["coins"] = each * job["step"] if job["step"] else each
    return job


def strips_job(rng, name, fine, join):
    strip = length(rng, 900, 1400, fine)
    # what is joined is long, what is not fits a strip
    low, high = (600, 2600) if join else (150, int(strip) - 10)
    wanted = [[rng.randint(1, 3), length(rng, low, high, fine)] for _ in range(rng.randint(2, 3))]
    hand = [[rng.randint(1, 2), length(rng, 250, 1000, fine)] for _ in range(rng.randint(0, 2))]
    job = {"id": name, "kind": "joined" if join else "lengths", "strip": strip, "hand": hand, "wanted": wanted}
    if join:
        job["loss"] = rng.choice([Fraction(127, 10), Fraction(10), Fraction(60)])
        job["shortest"] = rng.choice([Fraction(0), Fraction(150)])
    return job


def optimum(job):
    """The true optimum, by kind of plan where that matters."""
    lengths = []
    if job["kind"] in ("lengths", "joined"):
        lengths = [job["strip"]] + [l for _, l in job["hand"] + job["wanted"]]
        lengths += [job.get("loss", 0), job.get("shortest", 0)]
    else:
        lengths = [job.get("width", 0)]
        lengths += [side for _, w, h, _ in job["pieces"] + job["sheets"] for side in (w, h)]
    scale = math.lcm(*(Fraction(one).denominator for one in lengths))
    up = lambda value: int(Fraction(value) * scale)
    if job["kind"] in ("lengths", "joined"):
        join = (up(job["loss"]), up(job["shortest"])) if job["kind"] == "joined" else None
        pairs = lambda rows: [(n, up(l)) for n, l in rows]
        return fewest(up(job["strip"]), pairs(job["hand"]), pairs(job["wanted"]), join)
    whole = [(n, up(w), up(h), turn) for n, w, h, turn in job["pieces"]]
    cloths = [(up(w), up(h)) for _, w, h, _ in job["sheets"]]
    if "width" in job:
        cloths.append((up(job["width"]), sum(n * max(w, h) for n, w, h, _ in whole)))
    packer = Packer(whole, max(w for w, _ in cloths), max(h for _, h in cloths))
    if job["kind"] == "roll":
        found = {kind: packer.shortest(kind, packer.all, up(job["width"])) for kind in KINDS}
        if None in found.values():
            return None
        return {kind: Fraction(value, scale) for kind, value in found.items()}
    sheets = [(n, up(w), up(h), coins) for n, w, h, coins in job["sheets"]]
    roll = None
    if "width" in job:
        step = job["step"] and job["step"] * scale
        coins = job["coins"] if step else job["coins"] / scale
        roll = {"width": up(job["width"]), "step": step, "coins": coins}
    return {kind: cheapest(packer, kind, sheets, roll) for kind in KINDS}


def plain(value):
    """Fractions as texts, the rest as it is."""
    if isinstance(value, Fraction):
        return str(value)
    if isinstance(value, dict):
        return {key: plain(one) for key, one in value.items()}
    if isinstance(value, (list, tuple)):
        return [plain(one) for one in value]
    return value


def main():
    rng = random.Random(SEED)
    makers = [
        ("roll", 24, roll_job),
        ("sheets", 40, sheets_job),
        ("mixed", 32, mixed_job),
        ("lengths", 16, lambda rng, name, fine: strips_job(rng, name, fine, False)),
        ("joined", 16, lambda rng, name, fine: strips_job(rng, name, fine, True)),
    ]
    out = []
    for sort, count, maker in makers:
        for at in range(count):
            job = None
            while job is None:
                job = maker(rng, f"{sort}-{at + 1:02}", at % 2 == 1)
                try:
                    job["optimum"] = optimum(job)
                except Open:
                    job = None
                    continue
                job = job if job["optimum"] is not None else None
            print(job["id"], plain(job["optimum"]), flush=True)
            out.append(plain(job))
    rows = ",\n".join(json.dumps(job) for job in out)
    Path(__file__).with_name("small_jobs.json").write_text(f"[\n{rows}\n]\n")


if __name__ == "__main__":
    main()
