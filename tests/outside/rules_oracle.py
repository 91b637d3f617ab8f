"""Works every rule of the library that gives a number a second time, on odd inputs, and writes rules_expected.csv.

Each rule is called in inches, in millimetres and at a bound, with fractions that no ruler has. What must come out is
found by another way wherever there is one: by laying pieces one after the other, by folding, by counting, by solving an
equation with sympy, by areas and outlines with shapely. Needs both, as geometry_oracle.py does.
"""

import csv
import math
import random
import re
from fractions import Fraction as F
from pathlib import Path

import sympy
from shapely.affinity import rotate
from shapely.geometry import LineString, Point, Polygon, box

ROWS = []
DRAW = random.Random(20)
PI = F(31415926535897932384626433832795, 10**31)


def root(x):
    """A square root to 30 digits."""
    return F(str(sympy.sqrt(sympy.Rational(x.numerator, x.denominator)).evalf(40)))


def length(value, metric):
    """An inch value as Scant writes it."""
    value = F(value)
    if metric:
        value *= F(254, 10)
    return f"({value.numerator} / {value.denominator}) {'mm' if metric else 'in'}"


def rule(template, ranges, expected, unit="in", draws=3):
    """One row a draw. A range of fractions is a length, one of whole numbers a count, a list a choice."""
    for at in range(draws):
        values, written = {}, {}
        for name, (low, high) in ranges.items():
            if isinstance(low, int):
                values[name] = low if at == 2 else DRAW.randint(low, high)
                written[name] = str(values[name])
            else:
                steps = 7 * 13
                part = F(0) if at == 2 else F(DRAW.randint(1, steps - 1), steps)
                values[name] = low + (high - low) * part
                written[name] = length(values[name], at == 1)
        found = expected(**values)
        ROWS.append([template.split("(")[0], template.format(**written), f"{float(found):.9f}", unit])


def row(expression, value, unit=""):
    ROWS.append([expression.split("(")[0], expression, f"{float(value):.9f}", unit])


def q(a, b=1):
    return F(a, b)


WIDE = (q(20), q(70))
SEAM = (q(1, 4), q(5, 8))
DEEP = (q(1, 8), q(1, 2))
HEM = (q(1, 2), q(3))
FEW = (2, 9)


def laid(pieces, gaps):
    """Pieces one after the other with gaps between: where each begins, and the whole."""
    at, begins = F(0), []
    for piece, gap in zip(pieces, gaps + [F(0)]):
        begins.append(at)
        at += piece + gap
    return begins, at


def count_while(holds):
    """The most for which it holds, from 0."""
    n = 0
    while holds(n + 1):
        n += 1
    return n


def least_for(reached):
    """The least from 1 that reaches."""
    n = 1
    while not reached(n):
        n += 1
    return n


def outline(width, height, left, top, right=None, bottom=None):
    piece = box(0, 0, float(width), float(height))
    west, south, east, north = piece.bounds
    right, bottom = left if right is None else right, top if bottom is None else bottom
    return box(west - float(left), south - float(bottom), east + float(right), north + float(top))


def across(shape):
    return shape.bounds[2] - shape.bounds[0]


def along(shape):
    return shape.bounds[3] - shape.bounds[1]


def solve(equation):
    """The positive root of an equation in x."""
    x = sympy.Symbol("x", positive=True)
    roots = [r for r in sympy.solve(equation(x), x) if r.is_real and r > 0]
    return F(str(sympy.N(max(roots), 40)))


def sym(x):
    return sympy.Rational(x.numerator, x.denominator)


def seams_and_hems():
    rule("seamed({a}, seam: {s})", dict(a=WIDE, s=SEAM), lambda a, s: across(outline(a, 1, s, 0)))
    rule("seamed_size({a} by 9 in, seam: {s}).along", dict(a=WIDE, s=SEAM), lambda a, s: along(outline(a, 9, s, s)))
    rule("grown({a} by 9 in, each_edge: {s}).across", dict(a=WIDE, s=SEAM), lambda a, s: across(outline(a, 9, s, s)))
    rule("grown({a} by 19 in, each_edge: -{s}).along", dict(a=WIDE, s=HEM), lambda a, s: along(outline(a, 19, -s, -s)))
    rule("cut_size({a} by 30 in, left: {s}, right: {t}).across", dict(a=WIDE, s=SEAM, t=HEM), lambda a, s, t: across(outline(a, 30, s, s, t)))
    rule("cut_size({a} by 30 in, left: {s}, top: {t}, bottom: 0 in).along", dict(a=WIDE, s=SEAM, t=HEM), lambda a, s, t: along(outline(a, 30, s, t, s, 0)))
    rule('cut_by_edges({a} by 30 in, left: "fold", right: "hemmed", seam: {s}, hem: {t}).across', dict(a=WIDE, s=SEAM, t=HEM), lambda a, s, t: across(outline(a, 30, 0, 0, t)))
    rule('edge_allowance("hemmed", seam: {s}, hem: {t})', dict(s=SEAM, t=HEM), lambda s, t: t)
    rule("french_seam({s}, {t})", dict(s=SEAM, t=(q(3, 4), q(1))), lambda s, t: s + t)
    rule("flat_felled_seam({s}, turn: {t}).allowance", dict(s=SEAM, t=DEEP), lambda s, t: s + t)
    rule("flat_felled_seam({s}).trimmed", dict(s=SEAM), lambda s: s)
    rule("scant_seam({s}, fold: {t})", dict(s=SEAM, t=(q(1, 64), q(1, 16))), lambda s, t: s - t)
    rule("single_hem({t}, turn: {s})", dict(t=(q(1), q(3)), s=SEAM), lambda t, s: s + t)
    rule("double_hem({t})", dict(t=HEM), lambda t: t + t)
    rule("hem_within({t}, depth: {a})", dict(t=HEM, a=WIDE), lambda t, a: t)
    rule("hemmed({a}, allowance: {t}, other: {u})", dict(a=WIDE, t=HEM, u=HEM), lambda a, t, u: across(outline(a, 1, t, 0, u)))
    rule("hemmed_size({a} by 12 in, allowance: {t}).along", dict(a=WIDE, t=HEM), lambda a, t: along(outline(a, 12, t, t)))

    def row_sewn(n, cut, s):
        """Pieces laid over each other by two seams, and what shows."""
        made = cut
        for _ in range(n - 1):
            made += cut - 2 * s
        return made

    rule("drawn_in({n}, off: {s})", dict(n=FEW, s=(q(1, 64), q(1, 8))), lambda n, s: sum([s, s] * n))
    rule("row_shortfall({n}, off: {s})", dict(n=FEW, s=(q(1, 64), q(1, 8))), lambda n, s: row_sewn(n, F(9), F(0)) - row_sewn(n, F(9), s))
    rule("row_length({n}, finished: {a}, off: {s})", dict(n=FEW, a=WIDE, s=(q(1, 64), q(1, 8))), lambda n, a, s: row_sewn(n, a, s))
    rule("sewn_seam({n}, cut: 3 in, row: 3 in + ({n} - 1) * (3 in - 2 * {s}))", dict(n=FEW, s=SEAM), lambda n, s: s)
    rule("row_from_test({n}, cut: {a}, seam: {s})", dict(n=FEW, a=WIDE, s=SEAM), lambda n, a, s: row_sewn(n, a, s))
    rule("row_made({n}, finished: {a}, off: {s}).least", dict(n=FEW, a=WIDE, s=(q(1, 64), q(1, 8))), lambda n, a, s: row_sewn(n, a, s))
    rule("row_made({n}, finished: {a}, off: {s}).most", dict(n=FEW, a=WIDE, s=(q(1, 64), q(1, 8))), lambda n, a, s: row_sewn(n, a, -s))
    rule("stacked_seams({n}, off: {s}).most", dict(n=FEW, s=(q(1, 64), q(1, 8))), lambda n, s: row_sewn(n, F(9), -s) - 9 * n)
    rule("top_made({n}, rows: 3, finished: {a} by 8 in, off: {s}).across.least", dict(n=FEW, a=WIDE, s=(q(1, 64), q(1, 8))), lambda n, a, s: row_sewn(n, a, s))
    rule("test_row_seam({n}, cut: 3 in, row: 3 in + ({n} - 1) * (3 in - 2 * {s}), read_to: {t}).most", dict(n=FEW, s=SEAM, t=(q(1, 64), q(1, 8))),
         lambda n, s, t: (3 * n - (row_sewn(n, F(3), s) - t)) / (2 * (n - 1)))
    rule("ease_in({a} + {t}, {a}, pins: {n}).each", dict(a=WIDE, t=HEM, n=FEW), lambda a, t, n: t / n)
    rule("ease_in({a} + {t}, {a}).share * 1 in", dict(a=WIDE, t=HEM), lambda a, t: t / a)


def strips():
    rule("pieces_per_strip({a}, strip: 42 in)", dict(a=(q(2), q(11))), lambda a: count_while(lambda n: n * a <= 42), "")
    rule("left_over(42 in, part: {a})", dict(a=(q(2), q(11))), lambda a: 42 - a * count_while(lambda n: n * a <= 42))
    rule("strips_needed({n}, piece: {a}, strip: 42 in)", dict(n=(1, 60), a=(q(2), q(11))),
         lambda n, a: least_for(lambda k: k * count_while(lambda m: m * a <= 42) >= n), "")
    rule("largest_across({n}, usable: {a})", dict(n=FEW, a=WIDE), lambda n, a: solve(lambda x: n * x - sym(a)))
    rule("strips_length({n}, cut: {a}, trim: {s})", dict(n=FEW, a=(q(2), q(9)), s=SEAM), lambda n, a, s: laid([a] * n, [F(0)] * (n - 1))[1] + s)
    rule("straight_join({s})", dict(s=SEAM), lambda s: 18 - (2 * (9 - s) ))
    rule("diagonal_join({a})", dict(a=HEM), lambda a: a)
    rule("strip_adds(42 in, loss: {a})", dict(a=HEM), lambda a: 42 - a)
    rule("joined_length({n}, strip: {a}, loss: {s})", dict(n=FEW, a=WIDE, s=SEAM), lambda n, a, s: laid([a] * n, [-s] * (n - 1))[1])
    rule("joined_length({n}, strip: {a}, loss: {s}, ring: yes)", dict(n=FEW, a=WIDE, s=SEAM), lambda n, a, s: laid([a] * n, [-s] * (n - 1))[1] - s)
    rule("joins({n}, ring: yes)", dict(n=FEW), lambda n: n, "")
    rule("strips_to_join({a}, strip: 15 in, loss: {s})", dict(a=WIDE, s=SEAM),
         lambda a, s: least_for(lambda n: laid([F(15)] * n, [-s] * (n - 1))[1] >= a), "")
    rule("strips_to_join({a}, strip: 15 in, loss: {s}, ring: yes)", dict(a=WIDE, s=SEAM),
         lambda a, s: least_for(lambda n: n * (15 - s) >= a), "")
    rule("lengths_from_strips([{{length: {a}, count: 3}}], strip: 70 in).strips", dict(a=WIDE),
         lambda a: least_for(lambda k: k * count_while(lambda m: m * a <= 70) >= 3), "")
    rule("lengths_joined([{a}], strip: 15 in, loss: {s}, shortest: 1/64 in).strips", dict(a=WIDE, s=SEAM),
         lambda a, s: least_for(lambda n: laid([F(15)] * n, [-s] * (n - 1))[1] >= a), "")
    rule("kit_strips({n}, pieces: 5, piece: {a}, strip: 42 in).together", dict(n=FEW, a=(q(2), q(11))),
         lambda n, a: least_for(lambda k: k * count_while(lambda m: m * a <= 42) >= 5 * n), "")
    rule("kit_strips({n}, pieces: 5, piece: {a}, strip: 42 in).one_by_one", dict(n=FEW, a=(q(2), q(11))),
         lambda n, a: n * least_for(lambda k: k * count_while(lambda m: m * a <= 42) >= 5), "")


def binding_and_bias():
    rule("single_binding_cut({t})", dict(t=DEEP), lambda t: sum([t] * 4))
    rule("double_binding_cut({t}, ease: {s})", dict(t=DEEP, s=DEEP), lambda t, s: 2 * (3 * t) + s)
    rule("binding_cut_and_inch({t})", dict(t=DEEP), lambda t: sum([t] * 4) + 1)
    rule("double_binding_finished({a})", dict(a=(q(1), q(3))), lambda a: solve(lambda x: 6 * x - sym(a)))
    rule("single_binding_reach({a}, seam: {s})", dict(a=(q(3), q(4)), s=SEAM), lambda a, s: a - 3 * s)
    rule("double_binding_reach({a}, seam: {s})", dict(a=(q(4), q(6)), s=SEAM), lambda a, s: a / 2 - s - s)
    rule("perimeter({a} by 9 in)", dict(a=WIDE), lambda a: box(0, 0, float(a), 9).length)
    rule("way_round([{a}, {b}, 3 in])", dict(a=WIDE, b=WIDE), lambda a, b: a + b + 3)
    rule("way_round_even({n}, edge: {a})", dict(n=(3, 9), a=WIDE), lambda n, a: sum([a] * n))
    rule("way_round_circle({a})", dict(a=WIDE), lambda a: PI * a)
    run = "binding_run({a}, cut: {t}, usable: 40 in, tails: 12 in)"
    ranges = dict(a=(q(40), q(300)), t=(q(2), q(3)))
    needs = lambda a, t: least_for(lambda n: laid([F(40)] * n, [-t] * (n - 1))[1] >= a + 12)
    rule(run + ".strips", ranges, needs, "")
    rule(run + ".spare", ranges, lambda a, t: laid([F(40)] * needs(a, t), [-t] * (needs(a, t) - 1))[1] - a - 12)
    rule("closing_overlap({t})", dict(t=HEM), lambda t: t)
    # the gap, less both ends, is what overlaps
    rule("unstitched_start({t}, start: 8 in, gap: {a}).end", dict(t=HEM, a=(q(12), q(15))), lambda t, a: solve(lambda x: x + 8 - sym(a) - sym(t)))
    rule("allowance_at(90 deg, seam: {s})", dict(s=SEAM), lambda s: s)
    rule("allowance_at(60 deg, seam: {s})", dict(s=SEAM), lambda s: s * root(F(3)))
    rule("cut_edge({a}, first: 90 deg, second: 60 deg, seam: {s})", dict(a=WIDE, s=SEAM), lambda a, s: a + s + s * root(F(3)))
    rule("bias_spacing({a})", dict(a=HEM), lambda a: solve(lambda x: x**2 - 2 * sym(a)**2))
    rule("bias_marks({n}, cut: {a}, begins: {s})[{n}].place", dict(n=FEW, a=HEM, s=SEAM), lambda n, a, s: s + n * root(2 * a * a))
    rule("bias_tube({a} by 30 in, cut: {t}, seam: {s}).length", dict(a=WIDE, t=(q(1), q(3)), s=SEAM),
         lambda a, t, s: F((a * 30 - (2 * s * a + 2 * s * 30))) / t)
    rule("bias_square({a} * 5, cut: {t}, seam: {s})", dict(a=WIDE, t=(q(1), q(3)), s=SEAM),
         lambda a, t, s: solve(lambda x: x * x - 4 * sym(s) * x - 5 * sym(a) * sym(t)))
    rule("bias_rectangle({a} * 5, across: 20 in, cut: {t}, seam: {s})", dict(a=WIDE, t=(q(1), q(3)), s=SEAM),
         lambda a, t, s: solve(lambda x: 20 * x - 2 * sym(s) * (20 + x) - 5 * sym(a) * sym(t)))
    rule("bias_to_buy({a}, cut: {t}, usable: 40 in, more: 25%)", dict(a=WIDE, t=HEM), lambda a, t: a * t / 40 * F(5, 4))
    rule("bias_corners({a})", dict(a=WIDE), lambda a: 2 * Polygon([(0, 0), (float(a), 0), (float(a) / 2, float(a) / 2)]).area, "in^2")
    rule("bias_surface({a} * 5, cut: {t}, shortest: {b})", dict(a=WIDE, t=HEM, b=(q(4), q(9))), lambda a, t, b: 5 * a * t + b * b / 2, "in^2")
    rule("bias_from_piece({a} by 20 in, cut: {t}, shortest: 6 in)", dict(a=WIDE, t=(q(1), q(3))), lambda a, t: (a * 20 - 18) / t)
    rule("bias_strip({a}, usable: 60 in)", dict(a=WIDE), lambda a: a)
    grain = lambda s: root(8 * s * s)
    rule("bias_strips_to_join({a}, strip: 15 in, seam: {s})", dict(a=WIDE, s=SEAM),
         lambda a, s: least_for(lambda n: n * 15 - (n - 1) * grain(s) >= a), "")
    rule("bias_cloth({n}, cut: {t}, usable: {a})", dict(n=FEW, t=HEM, a=WIDE), lambda n, t, a: a + n * root(2 * t * t))
    rule("bias_binding_run({a}, cut: {t}, usable: 40 in, seam: {s}).strips", dict(a=(q(40), q(300)), t=HEM, s=SEAM),
         lambda a, t, s: least_for(lambda n: n * 40 * root(F(2)) - (n - 1) * grain(s) >= a + 12), "")
    rule("piping_cut({t}, seam: {s})", dict(t=DEEP, s=SEAM), lambda t, s: PI * t + 2 * s)
    rule("piping_run({a}, overlap: {s})", dict(a=WIDE, s=SEAM), lambda a, s: a + s)
    for wide, high, cut, shortest in [(20, 40, 2, 10), (31, 17, 2.5, 7), (25, 25, 1.75, 9)]:
        # each strip as a polygon turned level, and the longest rectangle in it: at both edges the inner corner counts
        piece, at, step, found = box(0, 0, wide, high), shortest / math.sqrt(2), cut * math.sqrt(2), []
        while at + step <= wide + high - shortest / math.sqrt(2) + 1e-9:
            ends = []
            for t in (at, at + step):
                line = piece.intersection(LineString([(-200, t + 200), (t + 200, -200)]))
                level = rotate(line, 45, origin=(0, 0))
                ends.append((level.bounds[0], level.bounds[2]))
            found.append(min(e for _, e in ends) - max(b for b, _ in ends))
            at += step
        call = f"bias_in_strips({wide} in by {high} in, cut: {cut} in, shortest: {shortest} in, seam: 1/4 in, square_ends: yes)"
        row(f"{call}.strips", len(found))
        row(f"sum({call}.lengths)", sum(found), "in")
        row(f"{call}.length", sum(found) - (len(found) - 1) * cut, "in")


def tucks_and_pleats():
    def folded(marks, flat):
        """The cloth that is left to see when each pair of lines is sewn together."""
        return flat - sum(b - a for a, b in marks)

    rule("tucks_take({n}, depth: {d})", dict(n=FEW, d=DEEP), lambda n, d: sum([d, d] * n))
    rule("tucked_width({a}, tucks: {n}, depth: {d}, apart: 1 in)", dict(a=WIDE, n=FEW, d=DEEP), lambda a, n, d: solve(lambda x: x - 2 * n * sym(d) - sym(a)))
    rule("tucked_size({a} by 9 in, in_width: {n}, depth: {d}).across", dict(a=WIDE, n=FEW, d=DEEP), lambda a, n, d: a + n * d + n * d)
    rule("tuck_depth({a} + 9 in, finished: {a}, tucks: {n})", dict(a=WIDE, n=FEW), lambda a, n: solve(lambda x: 2 * n * x - 9))
    rule("tuck_crossings({n}, {m})", dict(n=FEW, m=FEW), lambda n, m: sum(1 for _ in range(n) for _ in range(m)), "")
    rule("tucks_that_fit({a}, apart: {d}, margin: 2 in)", dict(a=WIDE, d=(q(1, 2), q(2))),
         lambda a, d: 1 + count_while(lambda n: n * d <= a - 4), "")
    rule("tucks_apart({a}, tucks: {n}, margin: 2 in)", dict(a=WIDE, n=FEW), lambda a, n: solve(lambda x: (n - 1) * x + 4 - sym(a)))
    rule("fold_spacing({c}, depth: {d})", dict(c=(q(1, 2), q(2)), d=DEEP), lambda c, d: c + 2 * d)
    rule("tuck_gap({c}, depth: {d})", dict(c=(q(1, 2), q(2)), d=DEEP), lambda c, d: c - d)
    rule("next_crease({c}, depth: {d})", dict(c=(q(1, 2), q(2)), d=DEEP), lambda c, d: c + d)
    rule("blind_tucks_apart({d})", dict(d=DEEP), lambda d: d)
    marks = "tuck_marks({n}, depth: {d}, apart: {c}, margin: 2 in, edge: {s})"
    # what lies before a fold: the edge, the margin, the tucks before it with their gaps, and its own half
    rule(marks + "[{n}].fold", dict(n=FEW, d=DEEP, c=(q(1, 2), q(2)), s=SEAM), lambda n, d, c, s: s + 2 + sum([2 * d + c] * (n - 1)) + d)
    rule("tuck_marks({n}, depth: {d}, apart: {c}, margin: 2 in)[2].stitch - tuck_marks({n}, depth: {d}, apart: {c}, margin: 2 in)[1].stitch_to",
         dict(n=FEW, d=DEEP, c=(q(1, 2), q(2))), lambda n, d, c: c)
    rule("crossed_tucks({a} by 30 in, in_width: {n}, in_length: 3, depth: {d}, margin: 2 in, edge: {s}).cut.across", dict(a=WIDE, n=FEW, d=DEEP, s=SEAM),
         lambda a, n, d, s: across(outline(a + 2 * n * d, 1, s, 0)))
    rule("crossed_tucks({a} by 30 in, in_width: {n}, in_length: 3, depth: {d}, margin: 2 in, edge: {s}).across[{n}].stitch_to", dict(a=WIDE, n=FEW, d=DEEP, s=SEAM),
         lambda a, n, d, s: a + 2 * n * d + s - 2)
    rule("trellis_kept({c}, take_up: {d}) * 1 in", dict(c=HEM, d=DEEP), lambda c, d: c / (c + d))
    rule("trellis_kept_from_marks({c} + {d}, take_up: {d}) * 1 in", dict(c=HEM, d=DEEP), lambda c, d: c / (c + d))
    rule("trellis_size({a} by 9 in, apart: {c}, take_up: {d}).across", dict(a=WIDE, c=HEM, d=DEEP), lambda a, c, d: a / c * (c + d))
    rule("pin_tuck_take_up(before: 9 in + {n} * {d}, after: 9 in, tucks: {n})", dict(n=FEW, d=DEEP), lambda n, d: d)
    rule("pin_tucked_width({a}, tucks: {n}, take_up: {d}, needles: 2 mm, slot: 7 mm)", dict(a=WIDE, n=FEW, d=DEEP), lambda a, n, d: a + n * d)
    rule("pin_tuck_marks({n}, apart: {c}, take_up: {d}, margin: 2 in, edge: {s})[{n}].stitch", dict(n=FEW, c=HEM, d=DEEP, s=SEAM),
         lambda n, c, d, s: s + 2 + sum([d + c] * (n - 1)) + d / 2)
    rule("twin_needle_room({d}, slot: {a}, thickness: 1/32 in)", dict(d=(q(1, 16), q(1, 8)), a=(q(1, 4), q(3, 8))), lambda d, a: a - d - F(1, 32))
    rule("knife_pleated_width({a}, pleats: {n}, depth: {d})", dict(a=WIDE, n=FEW, d=HEM), lambda a, n, d: a + sum([d, d] * n))
    rule("full_pleated_width({a})", dict(a=WIDE), lambda a: a + 2 * 7 * (a / 7))
    rule("box_pleated_width({a}, pleats: {n}, depth: {d})", dict(a=WIDE, n=FEW, d=HEM), lambda a, n, d: a + sum([d] * 4 * n))
    rule("inverted_pleated_width({a}, pleats: {n}, depth: {d})", dict(a=WIDE, n=FEW, d=HEM), lambda a, n, d: a + sum([d] * 4 * n))
    rule("double_box_pleated_width({a}, pleats: {n}, depth: {d})", dict(a=WIDE, n=FEW, d=HEM), lambda a, n, d: a + sum([d] * 8 * n))
    nearest = lambda a, d: max(1, math.floor(a / d + F(1, 2)))
    rule("pleats_to_fit({a}, target: {d}).count", dict(a=WIDE, d=HEM), nearest, "")
    rule("pleats_to_fit({a}, target: {d}).shows", dict(a=WIDE, d=HEM), lambda a, d: a / nearest(a, d))
    rule("pleats_to_use({a} + 20 in, finished: {a}, target: {d}).depth", dict(a=WIDE, d=HEM), lambda a, d: F(10) / nearest(F(10), d))
    rule("pleat_take_up({a} + {d}, finished: {a})", dict(a=WIDE, d=HEM), lambda a, d: d)
    rule("pleat_depth({a} + 20 in, finished: {a}, pleats: {n})", dict(a=WIDE, n=FEW), lambda a, n: solve(lambda x: 2 * n * x - 20))
    rule("pleated_from({a}, shows: {c}, depth: {d})", dict(a=WIDE, c=HEM, d=DEEP), lambda a, c, d: c * count_while(lambda n: n * (c + 2 * d) <= a))
    rule("pleat_marks({n}, shows: {c}, depth: {d}, edge: {s})[{n}].laid_to", dict(n=FEW, c=HEM, d=DEEP, s=SEAM), lambda n, c, d, s: s + sum([c, d, d] * n))
    rule("pleat_marks({n}, shows: {c}, depth: {d}, edge: {s})[{n}].fold", dict(n=FEW, c=HEM, d=DEEP, s=SEAM), lambda n, c, d, s: s + sum([c, d, d] * n) - 2 * d)
    rule("box_pleat_marks({n}, shows: {c}, depth: {d}, edge: {s})[{n}].other_fold", dict(n=FEW, c=HEM, d=DEEP, s=SEAM), lambda n, c, d, s: s + sum([d, d, c, d, d] * n) - 2 * d)
    rule("inverted_pleat_marks({n}, shows: {c}, depth: {d}, edge: {s})[{n}].middle", dict(n=FEW, c=HEM, d=DEEP, s=SEAM), lambda n, c, d, s: s + sum([c, d, d, d, d] * n) - 2 * d)


def gathers_and_spacing():
    rule("gathered_width({a}, fullness: 9/4)", dict(a=WIDE), lambda a: a + a + a / 4)
    rule("fullness_of({a}, gathered: {b}) * 1 in", dict(a=WIDE, b=WIDE), lambda a, b: a / b)
    strip = "gathered_strip({a}, usable: 40 in, seam: {s}"
    needs = lambda a, s: least_for(lambda n: laid([F(40)] * n, [-2 * s] * (n - 1))[1] >= 2 * a + 2 * s)
    rule(strip + ").strips", dict(a=WIDE, s=SEAM), needs, "")
    rule(strip + ").spare", dict(a=WIDE, s=SEAM), lambda a, s: laid([F(40)] * needs(a, s), [-2 * s] * (needs(a, s) - 1))[1] - 2 * a - 2 * s)
    rule(strip + ", ring: yes).strips", dict(a=WIDE, s=SEAM), lambda a, s: least_for(lambda n: n * (40 - 2 * s) >= 2 * a), "")
    rule("tier_widths({a}, tiers: {n}, fullness: 3/2)[{n}]", dict(a=WIDE, n=FEW), lambda a, n: a * math.prod([F(3, 2)] * n))
    rule("cut_for_drawing_in({a}, before: {b} + {d}, after: {b})", dict(a=WIDE, b=WIDE, d=HEM), lambda a, b, d: solve(lambda x: x * sym(b) - sym(a) * sym(b + d)))
    rule("evenly_spaced({n}, along: 90 in, width: {d}, margin: {s}).gap", dict(n=FEW, d=HEM, s=SEAM), lambda n, d, s: solve(lambda x: n * sym(d) + (n - 1) * x + 2 * sym(s) - 90))
    rule("evenly_spaced({n}, along: 90 in, width: {d}).margin", dict(n=FEW, d=HEM), lambda n, d: solve(lambda x: n * sym(d) + (n + 1) * x - 90))
    rule("spaced_marks({n}, along: 90 in, width: {d}, margin: {s})[{n}].ends", dict(n=FEW, d=HEM, s=SEAM), lambda n, d, s: 90 - s)

    def near(gap, along, width):
        """All counts tried: the one whose pitch, as a share, comes nearest is what rounding along / pitch gives."""
        n = max(1, math.floor((along - width) / (gap + width) + F(1, 2)))
        n = n if (along - width) / n >= width else n - 1
        return n + 1, (along - width) / n - width

    rule("spaced_near({c}, along: {a}, width: {d}).count", dict(c=HEM, a=WIDE, d=HEM), lambda c, a, d: near(c, a, d)[0], "")
    rule("spaced_near({c}, along: {a}, width: {d}).gap", dict(c=HEM, a=WIDE, d=HEM), lambda c, a, d: near(c, a, d)[1])
    rule("whole_repeats({a}, target: {c}).repeat", dict(a=WIDE, c=HEM), lambda a, c: a / max(1, math.floor(a / c + F(1, 2))))
    rule("button_spacing({n}, first: {s}, last: {a})", dict(n=FEW, s=SEAM, a=WIDE), lambda n, s, a: solve(lambda x: (n - 1) * x + sym(s) - sym(a)))
    rule("button_places({n}, first: {s}, last: {a})[{n}].place", dict(n=FEW, s=SEAM, a=WIDE), lambda n, s, a: a)
    rule("buttonhole_places(button_places({n}, first: 1 in, last: {a}), length: {d}, past: {s})[{n}].ends", dict(n=FEW, a=WIDE, d=HEM, s=SEAM), lambda n, a, d, s: a - s + d)
    rule("horizontal_buttonhole(1 in, length: {d}, past: {s}).ends", dict(d=HEM, s=SEAM), lambda d, s: 1 - s + d)
    rule("button_margin({d}, margin: {s})", dict(d=HEM, s=SEAM), lambda d, s: d / 2 + s)
    rule("buttonhole({d}, thickness: {s})", dict(d=HEM, s=DEEP), lambda d, s: d + s)
    rule("buttons_near(3 in, first: 1 in, last: {a})", dict(a=WIDE), lambda a: near(F(3), a - 1, F(0))[0], "")
    rule("scallops({a}, target: 4 in, depth: {s}).width", dict(a=WIDE, s=SEAM), lambda a, s: a / max(1, math.floor(a / 4 + F(1, 2))))
    rule("eyelets({a}, target: {c}, margin: {s}).apart", dict(a=WIDE, c=HEM, s=SEAM), lambda a, c, s: near(c, a - 2 * s, F(0))[1])

    def laced(n, c, g):
        """The lace as a line through the eyelets, down one side and up the other."""
        one = [((k + 1) % 2 * float(g), float(c) * k) for k in range(n)]
        other = [(k % 2 * float(g), float(c) * k) for k in range(n)]
        return LineString(one[::-1] + other).length + 24

    rule("lacing_length({n}, apart: {c}, gap: {g}, ends: 12 in)", dict(n=FEW, c=HEM, g=HEM), laced)
    rule("band(\"plain\", finished: {a}, left: {s}, take_up: {d}).cut", dict(a=WIDE, s=SEAM, d=HEM), lambda a, s, d: a + s + s + d)
    rule("tucked_band(\"tucked\", finished: {a}, tucks: {n}, depth: {d}, left: {s}).cut", dict(a=WIDE, n=FEW, d=DEEP, s=SEAM), lambda a, n, d, s: a + 2 * n * d + 2 * s)
    rule("puffed_band_length({a})", dict(a=WIDE), lambda a: a * 3 / 2)
    bands = "[band(\"lace\", finished: {d}, count: 2), band(\"plain\", finished: {c})]"
    rule("bands_width(" + bands + ")", dict(d=HEM, c=HEM), lambda d, c: d + d + c)
    rule("band_to_fill({a}, bands: " + bands + ", count: {n})", dict(a=WIDE, d=HEM, c=HEM, n=FEW), lambda a, d, c, n: solve(lambda x: n * x + sym(2 * d + c) - sym(a)))


def tops():
    rule("in_a_row({n}, finished: {a}, gap: {s}, outer: yes)", dict(n=FEW, a=WIDE, s=HEM), lambda n, a, s: s + laid([a] * n, [s] * (n - 1))[1] + s)
    rule("gaps_in_a_row({n})", dict(n=FEW), lambda n: len(laid([F(1)] * n, [F(0)] * (n - 1))[0]) - 1, "")
    rule("grid_size({n}, rows: 4, block: {a} by 8 in, sashing: {s}).across", dict(n=FEW, a=WIDE, s=HEM), lambda n, a, s: laid([a] * n, [s] * (n - 1))[1])
    grid = "sashed_grid({n}, rows: {m}, block: {a} by 8 in, sashing: {d}, outer: yes, cornerstones: yes, seam: {s})"
    ranges = dict(n=FEW, m=FEW, a=WIDE, d=HEM, s=SEAM)
    rule(grid + ".short_sashes", ranges, lambda n, m, a, d, s: m * len(range(0, n + 1)), "")
    rule(grid + ".cornerstones", ranges, lambda n, m, a, d, s: len([(x, y) for x in range(n + 1) for y in range(m + 1)]), "")
    rule(grid + ".row", ranges, lambda n, m, a, d, s: d + n * (a + d) + 2 * s)
    rule("butted_border({a} by 50 in, border: {d}, seam: {s}).end.along", dict(a=WIDE, d=HEM, s=SEAM), lambda a, d, s: across(outline(a, 50, d, d)) + 2 * float(s))
    rule("mitred_strip({a}, seam: {s})", dict(a=WIDE, s=SEAM),
         lambda a, s: across(Polygon([(0, 0), (float(a), 0), (float(a) - 1, 1), (1, 1)]).buffer(float(s), join_style="mitre", mitre_limit=100)))
    board = "checkerboard({n}, rows: {m}, square: {d}, usable: 40 in, seam: {s})"

    def strips_of(n, m, d, s):
        """Even counts of columns: one kind of set, half its strips of each cloth."""
        per_set = count_while(lambda k: k * (d + 2 * s) <= 40)
        return least_for(lambda k: k * per_set >= m) * n / 2

    rule("checkerboard(2 * {n}, rows: {m}, square: {d}, usable: 40 in, seam: {s}).first", dict(n=FEW, m=FEW, d=HEM, s=SEAM), lambda n, m, d, s: strips_of(2 * n, m, d, s), "")
    rule("strip_rounds({a}, strip: {d}, rounds: {n}, seam: {s})[{n}].fourth", dict(a=WIDE, d=HEM, n=FEW, s=SEAM), lambda a, d, n, s: across(outline(a, a, n * d, n * d)) + 2 * float(s))
    rule("round_side({a}, strip: {d}, rounds: {n})", dict(a=WIDE, d=HEM, n=FEW), lambda a, d, n: across(outline(a, a, n * d, n * d)))

    def lengths_of(a, d, n, s):
        """Each strip as long as the side that it is sewn to, then the block grows."""
        wide, high, light, dark = a, a, F(0), F(0)
        for _ in range(n):
            light += wide + 2 * s
            high += d
            light += high + 2 * s
            wide += d
            dark += wide + 2 * s
            high += d
            dark += high + 2 * s
            wide += d
        return light, dark

    rule("strip_rounds_take({a}, strip: {d}, rounds: {n}, seam: {s}).light", dict(a=WIDE, d=HEM, n=FEW, s=SEAM), lambda a, d, n, s: lengths_of(a, d, n, s)[0])
    rule("strip_rounds_take({a}, strip: {d}, rounds: {n}, seam: {s}).dark", dict(a=WIDE, d=HEM, n=FEW, s=SEAM), lambda a, d, n, s: lengths_of(a, d, n, s)[1])
    rule("eight_at_once_cut({a}, seam: {s})", dict(a=HEM, s=SEAM),
         lambda a, s: 2 * across(Polygon([(0, 0), (float(a), 0), (0, float(a))]).buffer(float(s), join_style="mitre", mitre_limit=100)))
    rule("half_square_units({n}, finished: 3 in, at_once: 8, seam: {s}).spare", dict(n=(1, 40), s=SEAM), lambda n, s: 8 * least_for(lambda k: 8 * k >= n) - n, "")
    rule("cut_to_mark({a}, mark: 1/8 in)", dict(a=WIDE), lambda a: F(least_for(lambda n: F(n, 8) >= a), 8))
    setting = "on_point_setting({n}, rows: {m}, block: {d}, seam: {s})"
    inside = lambda n, m: sum(1 for x in range(2 * n + 1) for y in range(2 * m + 1) if x % 2 == 0 and y % 2 == 0 and 0 < x < 2 * n and 0 < y < 2 * m)
    rule(setting + ".between", dict(n=FEW, m=FEW, d=HEM, s=SEAM), lambda n, m, d, s: inside(n, m), "")
    rule(setting + ".side_triangles", dict(n=FEW, m=FEW, d=HEM, s=SEAM), lambda n, m, d, s: sum(2 for _ in range(1, n)) + sum(2 for _ in range(1, m)), "")
    rule("corner_of({n}) / (1 deg)", dict(n=(3, 12)), lambda n: F(180 * (n - 2), n), "")
    rule("triangle_height({a})", dict(a=WIDE), lambda a: solve(lambda x: x**2 + (sym(a) / 2)**2 - sym(a)**2))
    rule("triangle_side({a})", dict(a=WIDE), lambda a: solve(lambda x: sym(a)**2 + (x / 2)**2 - x**2))
    rule("triangles_per_strip({a}, strip: 90 in)", dict(a=(q(4), q(9))), lambda a: count_while(lambda n: a * (n + 1) / 2 <= 90), "")
    rule("hexagons_per_strip({d}, strip: 90 in, seam: {s})", dict(d=HEM, s=SEAM),
         lambda d, s: count_while(lambda n: n * 2 * (d + 2 * s / root(F(3))) <= 90), "")
    hexagon = lambda a: Polygon([(float(a) * math.cos(k * math.pi / 3), float(a) * math.sin(k * math.pi / 3)) for k in range(6)])
    rule("hexagon_area({a})", dict(a=WIDE), lambda a: hexagon(a).area, "in^2")
    rule("hexagons_by_area({a} by 50 in, side: {d})", dict(a=WIDE, d=HEM), lambda a, d: math.ceil(float(a) * 50 / hexagon(d).area), "")
    for corner in (45, 60, 72, 30):
        # diamonds leaned together: each next one begins where the last one's lower edge ends
        sine, tangent = math.sin(math.radians(corner)), math.tan(math.radians(corner))
        strip = 4 * sine + 0.5
        row(f"diamonds_per_strip(4 in, corner: {corner} deg, strip: 42 in, seam: 1/4 in)", count_while(lambda n: n * strip / sine + strip / tangent <= 42))
        row(f"mitre_angle({corner} deg) / (1 deg)", corner / 2)
        if 360 % corner == 0:
            row(f"diamonds_in_a_round({corner} deg)", 360 // corner)
    panels = lambda a, usable, s: least_for(lambda n: laid([usable] * n, [-2 * s] * (n - 1))[1] >= a)
    rule("backing_size({a} by 50 in, overhang: {d}).across", dict(a=WIDE, d=HEM), lambda a, d: across(outline(a, 50, d, d)))
    rule("joined_panels(80 in, other: {a}, usable: 40 in, seam: {s}).panels", dict(a=WIDE, s=SEAM), lambda a, s: panels(a, F(40), s), "")
    rule("backing({a} by 72 in, usable: 40 in, overhang: {d}, seam: {s}).length", dict(a=WIDE, d=HEM, s=SEAM),
         lambda a, d, s: min(panels(a + 2 * d, F(40), s) * (72 + 2 * d), panels(72 + 2 * d, F(40), s) * (a + 2 * d)))
    rule("batting({a} by 72 in, width: 100 in, overhang: {d}).length", dict(a=WIDE, d=HEM), lambda a, d: min(a + 2 * d, 72 + 2 * d))


def garments():
    rule("dart_intake({a} + {d}, finished: {a}, darts: {n})", dict(a=WIDE, d=HEM, n=FEW), lambda a, d, n: solve(lambda x: n * x - sym(d)) if d else 0)
    rule("dart_closed({a}, intake: {d}, darts: {n})", dict(a=(q(30), q(70)), d=HEM, n=FEW), lambda a, d, n: a - sum([d] * n))
    rule("dart_side({d}, long: {a})", dict(d=HEM, a=WIDE), lambda d, a: LineString([(0, 0), (float(d) / 2, float(a))]).length)
    rule("dart_moved({d}, side: {a}, other: {b})", dict(d=HEM, a=WIDE, b=WIDE),
         lambda d, a, b: 2 * float(b) * math.sin(math.asin(float(d) / 2 / float(a))))
    rule("dart_shared({d}, darts: {n})", dict(d=HEM, n=FEW), lambda d, n: d / n)
    rule("cap_ease({a} + {s}, armhole: {a}).ease", dict(a=WIDE, s=SEAM), lambda a, s: s)
    rule("cap_length({a}, ease: {s})", dict(a=WIDE, s=SEAM), lambda a, s: a + s)
    rule("cuff({a}, depth: {d}, ease: 1 in, overlap: {s}, seam: {s}).across", dict(a=WIDE, d=HEM, s=SEAM), lambda a, d, s: a + 1 + 3 * s)
    rule("stand_collar({a}, height: {d}, overlap: {s}, seam: {s}).along", dict(a=WIDE, d=HEM, s=SEAM), lambda a, d, s: along(outline(a, d, s, s)))
    rule("upper_collar({a} by {d}, more: {s}).along", dict(a=WIDE, d=HEM, s=DEEP), lambda a, d, s: d + s)
    rule("waistband({a}, depth: {d}, ease: 1 in, overlap: {s}, seam: {s}).along", dict(a=WIDE, d=HEM, s=SEAM), lambda a, d, s: d + d + s + s)
    rule("tied_length({a}, hanging: {d}, knot: {s}, turns: 2)", dict(a=WIDE, d=HEM, s=SEAM), lambda a, d, s: d + a + a + s + d)
    rule("tie_each({a}, covered: {a} / 2, hanging: {d}, knot: {s})", dict(a=WIDE, d=HEM, s=SEAM), lambda a, d, s: solve(lambda x: 2 * x + sym(a) / 2 - sym(a) - 2 * sym(d) - sym(s)))
    rule("belt_length({a}, ease: {s}, overlap: {d})", dict(a=WIDE, s=SEAM, d=HEM), lambda a, s, d: a + s + d)
    rule("tie_cut({d})", dict(d=HEM), lambda d: d + d + d + d)
    rule("turned_tie_cut({d}, seam: {s})", dict(d=HEM, s=SEAM), lambda d, s: d + d + s + s)
    rule("elastic_length({a}, shorter: 15%, overlap: {s})", dict(a=WIDE, s=SEAM), lambda a, s: a * F(85, 100) + s)
    rule("stretched_length({a}, overlap: {s}, gives: 80%)", dict(a=WIDE, s=SEAM), lambda a, s: (a - s) + (a - s) * F(4, 5))
    rule("opens_to({a}, overlap: {s}, gives: 80%, over: 1 in)", dict(a=WIDE, s=SEAM), lambda a, s: (a - s) + (a - s) * F(4, 5))
    rule("casing({d}, ease: {s}, turn: {s})", dict(d=HEM, s=SEAM), lambda d, s: d + s + s)
    rule("casing_rows({n}, elastic: {d}, ease: {s}, turn: {s})", dict(n=FEW, d=HEM, s=SEAM), lambda n, d, s: sum([d, s] * n) + s)
    rule("drawstring_length({a}, child: no, ends: {d}, knot: {s})", dict(a=WIDE, d=HEM, s=SEAM), lambda a, d, s: s + d + a + d + s)
    rule("drawstring_length({a}, child: yes)", dict(a=WIDE), lambda a: a + 6)
    rule("cord_hangs({a} + 2 * {d}, channel: {a})", dict(a=WIDE, d=HEM), lambda a, d: d)
    rule("cord_limit(\"waist\", young: yes)", dict(), lambda: F(140) / F(254, 10), draws=1)
    rule("zip_tape({a}, beyond: {s}).tape", dict(a=WIDE, s=SEAM), lambda a, s: s + a + s)
    rule("zip_opening({a}, stop: {s})", dict(a=WIDE, s=SEAM), lambda a, s: across(outline(a, 1, -s, 0)))
    rule("zip_cut_off({a} + {d}, opening: {a})", dict(a=WIDE, d=HEM), lambda a, d: d)
    rule("lined_pouch({a} by 9 in, depth: {d}, shows: {s}, seam: {s}).panel.along", dict(a=WIDE, d=HEM, s=SEAM), lambda a, d, s: s + 9 - s / 2 + d / 2 + s)
    rule("lined_pouch({a} by 9 in, depth: {d}, stop: {s}, seam: {s}).tape", dict(a=WIDE, d=HEM, s=SEAM), lambda a, d, s: a + d - 2 * s + F(3, 2))
    rule("circle_skirt({a}, length: 24 in, part: 1/2, hem: {s}, seam: {s}).hem_round", dict(a=WIDE, s=SEAM), lambda a, s: PI * (a / PI + 24))
    rule("circle_skirt({a}, length: 24 in, panels: 1, seam: {s}).panel.across", dict(a=WIDE, s=SEAM), lambda a, s: across(Point(0, 0).buffer(float(a) / 2 / math.pi + 24, quad_segs=4)))
    tiers = "tiered_skirt({a}, tiers: {n}, depth: 9 in, hem: {d}, usable: 40 in, seam: {s})[{n}]"
    rule(tiers + ".cut", dict(a=WIDE, n=FEW, d=HEM, s=SEAM), lambda a, n, d, s: s + 9 + d)
    rule(tiers + ".strips", dict(a=WIDE, n=FEW, d=HEM, s=SEAM), lambda a, n, d, s: least_for(lambda k: k * (40 - 2 * s) >= a * F(3, 2)**n), "")


def house_and_bags():
    rule("tablecloth({a} by 60 in, drop: {d}, allowance: {s}).across", dict(a=WIDE, d=HEM, s=SEAM), lambda a, d, s: across(outline(a, 60, d + s, d)))
    rule("round_tablecloth({a}, drop: {d}, allowance: {s}, usable: 90 in, seam: {s}).cut", dict(a=WIDE, d=HEM, s=SEAM), lambda a, d, s: across(outline(a, 60, d + s, d)))
    rule("oval_tablecloth({a} by 80 in, drop: {d}, allowance: {s}).radius", dict(a=WIDE, d=HEM, s=SEAM), lambda a, d, s: across(outline(a, 60, d + s, d)) / 2)
    rule("napkins({n}, finished: {a} / 4 by 16 in, allowance: {s}, usable: 54 in).length", dict(n=FEW, a=WIDE, s=SEAM),
         lambda n, a, s: (16 + 2 * s) * least_for(lambda k: k * count_while(lambda m: m * (a / 4 + 2 * s) <= 54) >= n))
    rule("runner_size({a}, across: 14 in, drop: {d}).along", dict(a=WIDE, d=HEM), lambda a, d: d + a + d)
    rule("curtain_width({a}, fullness: 2, returns: {d}, overlap: {s}, side_hem: {s}, curtains: 2)", dict(a=WIDE, d=HEM, s=SEAM),
         lambda a, d, s: 2 * (s + (a / 2 + s / 2) * 2 + d + s))
    rule("curtains({a}, drop: 84 in, heading: 3 in, hem: 6 in, side_hem: {s}, usable: 52 in, repeat: 25 in, seam: {s}).length", dict(a=WIDE, s=SEAM),
         lambda a, s: 100 * max(2, least_for(lambda n: laid([F(52)] * n, [-2 * s] * (n - 1))[1] >= 2 * a + 4 * s)))
    rule("heading_pleats({n}, flat: {a} + 90 in, finished: {a}, ends: {d}, other: {s}).space", dict(n=FEW, a=WIDE, d=HEM, s=SEAM), lambda n, a, d, s: solve(lambda x: sym(d + s) + (n - 1) * x - sym(a)))
    rule("heading_pleats({n}, flat: {a} + 90 in, finished: {a}, ends: {d}).hooks", dict(n=FEW, a=WIDE, d=HEM), lambda n, a, d: len(["end", *range(n), "end"]), "")
    rule("heading_pleat_marks({n}, flat: {a} + 90 in, finished: {a}, ends: {d}, other: {s})[{n}].ends", dict(n=FEW, a=WIDE, d=HEM, s=SEAM), lambda n, a, d, s: a + 90 - s)
    rule("curtain_hooks({a}, target: 4 in).count", dict(a=WIDE), lambda a: max(1, math.floor(a / 4 + F(1, 2))) + 1, "")
    rule("bed_cover({a} by 75 in, sides: {d}, at_foot: {s}, pillows: 9 in, hem: {s}).cut.along", dict(a=WIDE, d=HEM, s=SEAM), lambda a, d, s: s + 75 + s + 9 + s)
    rule("bed_cut_out({a}, along: 20 in, hem: {d}, edge: {s}).across", dict(a=WIDE, d=HEM, s=SEAM), lambda a, d, s: solve(lambda x: x + sym(s) - sym(a) - sym(d)))
    rule("cushion_front({a} by {a}, snug: {d}, seam: {s}).across", dict(a=WIDE, d=HEM, s=SEAM), lambda a, d, s: a - d + s + s)
    # both backs laid on the front, their hems over each other, must reach from seam to seam
    rule("flap_cushion({a} by {a}, overlap: 4 in, hem: {d}, seam: {s}).back.along", dict(a=WIDE, d=HEM, s=SEAM), lambda a, d, s: solve(lambda x: 2 * (x - sym(d) - sym(s)) - 4 - sym(a)))
    rule("zip_cushion({a} by {a}, zip_seam: {d}, seam: {s}).back.along", dict(a=WIDE, d=HEM, s=SEAM), lambda a, d, s: a / 2 + d + s)
    rule("boxed_cushion({a} by 20 in, depth: {d}, pieces: {n}, seam: {s}).band.along", dict(a=WIDE, d=HEM, n=FEW, s=SEAM), lambda a, d, n, s: box(0, 0, float(a), 20).length + float(2 * n * s))
    rule("gusset_bag({a}, height: 10 in, depth: {d}, top: {s}, seam: {s}, pieces: {n}).gusset.along", dict(a=WIDE, d=HEM, s=SEAM, n=FEW),
         lambda a, d, s, n: s + 10 + a + 10 + s + sum([2 * s] * (n - 1)))
    rule("round_bag({a}, height: 10 in, top: {s}, seam: {s}, pieces: {n}).side.across", dict(a=WIDE, s=SEAM, n=FEW), lambda a, s, n: PI * a / n + 2 * s)
    rule("base_for_side({a}, pieces: {n}, seam: {s})", dict(a=WIDE, n=FEW, s=SEAM), lambda a, n, s: n * (a - 2 * s) / PI + 2 * s)
    rule("straps({d}, length: {a}, into: {s}).cut.along", dict(d=HEM, a=WIDE, s=SEAM), lambda d, a, s: s + a + s)
    rule("strap_places({a}, apart: {d})[2]", dict(a=WIDE, d=HEM), lambda a, d: a / 2 + d / 2)
    rule("bag_holds({a}, height: {d}, depth: {d})", dict(a=WIDE, d=HEM), lambda a, d: a * d * d, "in^3")
    rule("boxed_corner({d}, seam: {s}, folded: yes).along", dict(d=(q(2), q(3)), s=SEAM), lambda d, s: d / 2 - s)
    rule("lining_size({a} by {a}, less: {s}).across", dict(a=WIDE, s=DEEP), lambda a, s: across(outline(a, 1, -s, 0)))
    rule("lining_length({a}, shorter: {d})", dict(a=WIDE, d=HEM), lambda a, d: a - d)
    rule("interfacing_size({a} by {a}, seam: {s}, into: 1/8 in).across", dict(a=WIDE, s=SEAM), lambda a, s: across(outline(a, 1, F(1, 8) - s, 0)))
    rule("facing_width({d}, seam: {s}, finish: {s})", dict(d=HEM, s=SEAM), lambda d, s: s + d + s)
    rule("piece_counts(2 * {n}, pair: yes).turned_over", dict(n=FEW), lambda n: n, "")
    rule("enlarged({a} by {a}, times: 3/2, seam: {s}).across", dict(a=WIDE, s=SEAM), lambda a, s: (a - 2 * s) * 3 / 2 + 2 * s)
    rule("scaled_piece({a} by {a}, times: 3/2, seam: {s}).across", dict(a=WIDE, s=SEAM), lambda a, s: a * 3 / 2 + 2 * s)
    rule("scaled_area({a} * 9 in, times: 7/4)", dict(a=WIDE), lambda a: a * 9 * F(49, 16), "in^2")
    rule("copier_percent({a}, target: {b}) * 1 in", dict(a=WIDE, b=WIDE), lambda a, b: b / a)
    rule("copier_in_two({a}, target: {b}) * 1 in", dict(a=WIDE, b=WIDE), lambda a, b: solve(lambda x: sym(a) * x * x - sym(b)))
    rule("true_scale({a}, meant: {b}) * 1 in", dict(a=WIDE, b=WIDE), lambda a, b: a / b)
    rule("print_again_at({a}, meant: {b}) * 1 in", dict(a=WIDE, b=WIDE), lambda a, b: b / a)
    rule("meant_length({a}, square: {d}, meant: 4 in)", dict(a=WIDE, d=(q(3), q(5))), lambda a, d: a / d * 4)
    rule("grid_square({d}, times: 7/4)", dict(d=HEM), lambda d: d + d / 2 + d / 4)
    pages = lambda a, sheet, s: least_for(lambda n: laid([F(sheet)] * n, [-s] * (n - 1))[1] >= a)
    rule("pattern_sheets({a} by 30 in, sheet: 8 in by 10 in, overlap: {s}).sheets", dict(a=WIDE, s=SEAM), lambda a, s: pages(a, 8, s) * pages(F(30), 10, s), "")
    rule("edges_match({a} + {s}, other: {a}, ease: 1 in)", dict(a=WIDE, s=SEAM), lambda a, s: s)
    rule("round_end({a}, seam: {s}).cut", dict(a=WIDE, s=SEAM), lambda a, s: a / PI + 2 * s)
    rule("gore_marks({a}, gores: {n}, steps: 6)[3].half", dict(a=WIDE, n=(4, 9)), lambda a, n: float(PI * a / n / 2) * math.cos(math.pi / 6))
    rule("ball_gores({a}, gores: {n}, age: 4, seam: {s}).wide", dict(a=WIDE, n=(4, 9), s=SEAM), lambda a, n, s: PI * a / n)


def trims_and_cloth():
    rule("per_stitch({a}, stitches: {n}, start: {s}, finish: {s})", dict(a=WIDE, n=FEW, s=SEAM), lambda a, n, s: solve(lambda x: n * x + 2 * sym(s) - sym(a)))
    rule("stitches_in_length(12 in, stitch: {d}, start: {s}, finish: {s})", dict(d=HEM, s=SEAM), lambda d, s: count_while(lambda n: s + n * d + s <= 12), "")
    rule("ribbon_needed({n} * 9, stitch: {d}, start: {s}, finish: {s}).lengths", dict(n=FEW, d=HEM, s=SEAM),
         lambda n, d, s: least_for(lambda k: k * count_while(lambda m: s + m * d + s <= 12) >= 9 * n), "")
    rule("ribbon_swatch({a}, stitches: {n}, start: {s}, finish: {s}).stitch", dict(a=WIDE, n=FEW, s=SEAM), lambda a, n, s: (a - s - s) / n)
    rule("seam_thread({a}, ratio: 7/2, seams: {n}, ends: {s})", dict(a=WIDE, n=FEW, s=SEAM), lambda a, n, s: a * F(7, 2) + sum([s, s] * n))
    rule("thread_ratio({a}, sewn: {b}) * 1 in", dict(a=WIDE, b=WIDE), lambda a, b: a / b)
    rule("thread_swatch({a}, sewn: {b}).ratio * 1 in", dict(a=WIDE, b=WIDE), lambda a, b: a / b)
    row('stitch_ratio("504") - stitch_ratio("503")', 2)
    rule("trim_run({a}, width: {d}, corners: {n}, join: {s})", dict(a=WIDE, d=HEM, n=FEW, s=SEAM), lambda a, d, n, s: a + 2 * n * d + s)
    rule("inside_trim({a} by {a}, width: {d}).across", dict(a=WIDE, d=HEM), lambda a, d: across(outline(a, 1, -d, 0)))
    rule("insertion_frame({a} by {a}, inset: 3 in, insertion: {d}, turn: {s}, edge: {s}).middle.across", dict(a=WIDE, d=HEM, s=SEAM), lambda a, d, s: across(outline(a, 1, s - 3 - d, 0)))
    rule("beside_insertion({a}, insertion: {d}, turn: {s}, edge: {s})", dict(a=WIDE, d=HEM, s=SEAM), lambda a, d, s: solve(lambda x: 2 * (x - 2 * sym(s)) + sym(d) - sym(a)))
    rule("point_angle({n}) / (1 deg)", dict(n=FEW), lambda n: F(360, n), "")
    rule("stitches_round({a}, target: {d}).repeat", dict(a=WIDE, d=HEM), lambda a, d: 2 * PI * a / max(1, math.floor(2 * PI * a / d + F(1, 2))))
    rule("rose_spokes(5, radius: {a})[2].across", dict(a=WIDE), lambda a: float(a) * math.cos(math.radians(18)))
    rule("motif_rings(3, points: 6, apart: {a})[3][1].up", dict(a=WIDE), lambda a: 3 * a)
    row("motif_order(12)[6]", [place for quarter in range(4) for place in range(12) if place // 3 == quarter and place % 3][1] + 1)
    rule("usable_width({a}, selvage: {s}, shrink: 4%)", dict(a=WIDE, s=SEAM), lambda a, s: (a - s - s) * F(96, 100))
    rule("cloth(\"linen\", width: {a}, selvage: {s}, shrink: 4%).usable", dict(a=WIDE, s=SEAM), lambda a, s: (a - s - s) * F(96, 100))
    rule("shrinkage(before: {a} + {s}, after: {a}) * 1 in", dict(a=WIDE, s=SEAM), lambda a, s: s / (a + s))
    row("kept_in_the_wash(3.5%)", F(965, 1000))
    rule("length_before_wash({a}, shrink: 4%)", dict(a=WIDE), lambda a: solve(lambda x: x - x * F(4, 100) - sym(a)))
    rule("length_to_buy({a}, shrink: 4%, step: 1/8 yd)", dict(a=WIDE), lambda a: F(9, 2) * least_for(lambda n: n * F(9, 2) * F(96, 100) >= a))
    # a print: every panel begins at the same place of its repeat, or half a repeat on in turn
    first = lambda p, r, shift: next(x for x in (r * k + shift for k in range(99)) if x >= p)
    rule("matched_length({n}, panel: {a}, repeat: {b})", dict(n=FEW, a=WIDE, b=(q(5), q(30))), lambda n, a, b: n * first(a, b, 0))
    rule("matched_length({n}, panel: {a}, repeat: {b}, one_more: yes)", dict(n=FEW, a=WIDE, b=(q(5), q(30))), lambda n, a, b: n * a + n * b)
    rule("matched_length({n}, panel: {a}, repeat: {b}, half_drop: yes)", dict(n=FEW, a=WIDE, b=(q(5), q(30))),
         lambda n, a, b: min(n * first(a, b, b / 2), n * first(a, b, 0) + b / 2))
    # cut with one more repeat, a panel holds the place where its print begins wherever the last one ended
    rule("matched_length({n}, panel: {a}, repeat: {b}, one_more: yes, half_drop: yes)", dict(n=FEW, a=WIDE, b=(q(5), q(30))), lambda n, a, b: n * a + n * b)
    grid = lambda w, h, W, H: count_while(lambda n: n * w <= W) * count_while(lambda n: n * h <= H)
    rule("rows_and_columns({d}, 4 in, hand: {a} by 22 in)", dict(d=HEM, a=WIDE), lambda d, a: grid(d, F(4), a, F(22)), "")
    rule("pieces_in_hand({d} by 4 in, hand: {a} by 22 in)", dict(d=HEM, a=WIDE), lambda d, a: max(grid(d, F(4), a, F(22)), grid(F(4), d, a, F(22))), "")
    rule("enough_in_hand(200, piece: {d} by 4 in, hand: {a} by 22 in, hands: 2).short", dict(d=HEM, a=WIDE), lambda d, a: max(0, 200 - 2 * max(grid(d, F(4), a, F(22)), grid(F(4), d, a, F(22)))), "")
    rule("short_of({a} + {d}, hand: {a})", dict(a=WIDE, d=HEM), lambda a, d: d)
    rule("other_width_estimate({a}, width: 45 in, other: {b})", dict(a=WIDE, b=WIDE), lambda a, b: solve(lambda x: x * sym(b) - 45 * sym(a)))
    rule("piece_weight({a} by 1 m, weight: 150 g/m^2) / (1 g)", dict(a=WIDE), lambda a: a * F(254, 10000) * 150, "")
    rule("weight_by_length(1 m, width: {a}, weight: 150 g/m^2) / (1 g)", dict(a=WIDE), lambda a: a * F(254, 10000) * 150, "")
    rule("wash_swatch({a} by 20 in, after: {a} by 19 in).shrink * 1 in", dict(a=WIDE), lambda a: F(1, 20))
    rule("tuck_swatch({a} + {n} * {d}, after: {a}, tucks: {n}).take_up", dict(a=WIDE, n=FEW, d=DEEP), lambda a, n, d: d)
    rule("gather_swatch({a}, after: {b}).fullness * 1 in", dict(a=WIDE, b=WIDE), lambda a, b: a / b)
    rule("drawn_swatch({a} + {d} by 9 in, after: {a} by 9 in).kept_across * 1 in", dict(a=WIDE, d=HEM), lambda a, d: a / (a + d))
    rule("cut_from_swatch({b} by 9 in, swatch: drawn_swatch({a} + {d} by 9 in, after: {a} by 9 in), more: {s}).across", dict(a=WIDE, d=HEM, b=WIDE, s=SEAM),
         lambda a, d, b, s: solve(lambda x: (x - 2 * sym(s)) * sym(a) - sym(b) * sym(a + d)))


def shapes():
    """By shapely: areas and sizes of outlines, and of what is cut outside them."""
    area = lambda corners: sum(corners[k - 1][0] * corners[k][1] - corners[k][0] * corners[k - 1][1] for k in range(len(corners))) / 2
    NECK, LOW = (q(5), q(12)), (q(6), q(11))
    bib = lambda b, w, l, d: [((w - b) / 2, 0), ((w + b) / 2, 0), (w, d), (w, l), (0, l), (0, d)]
    APRON = dict(b=NECK, w=(q(20), q(28)), l=(q(30), q(40)), d=LOW)
    rule("apron({b}, width: {w}, length: {l}, drop: {d}, top: 1 in, side: 1 in, hem: 2 in).armhole", APRON, lambda b, w, l, d: root(((w - b) / 2) ** 2 + d**2))
    rule("apron({b}, width: {w}, length: {l}, drop: {d}, top: 1 in, side: 1 in, hem: 2 in).outline.area / (1 in)", APRON, lambda b, w, l, d: area(bib(b, w, l, d)))
    rule("boxed_outline({w} by {l}, corner: 2 in by 1 in).area / (1 in)", dict(w=(q(9), q(20)), l=(q(9), q(20))), lambda w, l: F(str(box(0, 0, float(w), float(l)).difference(box(0, float(l) - 1, 2, 99)).difference(box(float(w) - 2, float(l) - 1, 99, 99)).area)))
    rule("dart({a}, long: {b}).leg", dict(a=(q(1), q(4)), b=(q(3), q(9))), lambda a, b: root(a**2 / 4 + b**2))
    rule("mitred_outline({l}, border: {b}, seam: 0 in).area / (1 in)", dict(l=(q(20), q(40)), b=(q(1), q(6))), lambda l, b: area([(0, 0), (l, 0), (l - b, b), (b, b)]))
    rule("mitred_outline({l}, border: {b}, seam: {s}).cut.along", dict(l=(q(20), q(40)), b=(q(1), q(6)), s=SEAM), lambda l, b, s: b + 2 * s)
    rule("skirt_outline(outer: {o}, inner: {i}, angle: 180 deg, hem: 0 in, seam: 0 in).area / (1 in)", dict(o=(q(20), q(40)), i=(q(4), q(9))), lambda o, i: PI * (o**2 - i**2) / 2)
    rule("skirt_outline(outer: {o}, inner: {i}, angle: 90 deg, hem: 0 in, seam: 0 in).across", dict(o=(q(20), q(40)), i=(q(4), q(9))), lambda o, i: o * root(F(2)))
    rule("gore_outline({d}, gores: {n}, seam: 0 in).along", dict(d=(q(3), q(9)), n=(4, 12)), lambda d, n: PI * d / 2)
    rule("gore_outline({d}, gores: {n}, seam: 0 in).across", dict(d=(q(3), q(9)), n=(4, 12)), lambda d, n: PI * d / n)
    rule("diagonal_of({a} by {b})", dict(a=WIDE, b=WIDE), lambda a, b: root(a**2 + b**2))
    rule("stitch_length({n}, over: {a})", dict(n=FEW, a=WIDE), lambda n, a: a / n)
    rule("stitches_over({d}, over: {a})", dict(d=DEEP, a=WIDE), lambda d, a: a / d, "")
    rule("beside_insertion({a}, insertion: {d}, turn: {s}, edge: {s}, rows: {n})", dict(a=WIDE, d=HEM, s=SEAM, n=FEW), lambda a, d, s, n: solve(lambda x: 2 * (x - 2 * sym(s)) + sum([sym(d)] * n) - sym(a)))


def classes():
    row("work_time(30, sample: 13 min, units: 4, set_up: 7 min) / (1 min)", 7 + 30 * F(13, 4))
    row("units_in_class(3 h, sample: 13 min, units: 4, talk: 25 min)", count_while(lambda n: n * F(13, 4) <= 155))
    row("packs(641 m, pack: 200 m)", 4)
    row("packs_cost(17, pack: 5, price: 2.35 EUR).cost / (1 EUR)", F(94, 10))
    row("packs_cost(17, pack: 5, price: 2.35 EUR).left", 3)
    row("cost_per_kit(93.50 EUR, kits: 11) / (1 EUR)", F(85, 10))
    row("made_price(17.30 EUR, work: 100 min, wage: 21 EUR/h, on_top: 12%) / (1 EUR)", (F(1730, 100) + 35) * F(112, 100))
    row("scaled_amount(7 m, written_for: 3, needed: 11) / (1 m)", F(77, 3))
    row("cost_of_length(1.3 m, price: 14.30 EUR/m) / (1 EUR)", F(1859, 100))
    row("scaled_filling(131 g, times: 3/2, age: 4) / (1 g)", F(131 * 27, 8))
    row("two_to_one_units(11, finished: 4 in, seam: 1/4 in).spare", 1)


def bows_and_blinds():
    rule("bow({a}, tail: {d}, loops: 3, middle: {s})", dict(a=WIDE, d=HEM, s=SEAM), lambda a, d, s: d + sum(2 * [a] + 2 * [a] + 2 * [a]) + s + d)
    rule("hem_left({a} + {d}, longer: {d})", dict(a=WIDE, d=HEM), lambda a, d: a)
    rule("gore({a}, hip: {a} + {d}, round: {a} + {a}, gores: {n}, ease: 1 in, seam: {s}).hip", dict(a=WIDE, d=HEM, s=SEAM, n=(4, 9)),
         lambda a, d, s, n: solve(lambda x: n * (x - 2 * sym(s)) - sym(a) - sym(d) - 1))
    rule("blind_rods({a} + {s}, rods: {n}, top: {s}).from[2]", dict(a=WIDE, s=SEAM, n=(4, 9)),
         lambda a, s, n: solve(lambda x: 2 * n * (x / 3) + x / 3 - sym(a)))
    rule("insertion_bands({a}, insertion: {d}, rows: {n}, turn: {s}, edge: {d}).inner", dict(a=WIDE, d=HEM, s=SEAM, n=FEW),
         lambda a, d, s, n: solve(lambda x: (n + 1) * (x - 2 * sym(s)) + sum([sym(d)] * n) - sym(a)))
    rule("insertion_bands({a}, insertion: {d}, rows: {n}, turn: {s}, edge: {d}).outer", dict(a=WIDE, d=HEM, s=SEAM, n=FEW),
         lambda a, d, s, n: solve(lambda x: (n + 1) * (x - sym(s) - sym(d)) + sum([sym(d)] * n) - sym(a)))


for work in [seams_and_hems, strips, binding_and_bias, tucks_and_pleats, gathers_and_spacing, tops, garments, house_and_bags, trims_and_cloth, shapes, classes, bows_and_blinds]:
    work()

with open(Path(__file__).with_name("rules_expected.csv"), "w", newline="") as out:
    table = csv.writer(out, lineterminator="\n")
    table.writerow(["what", "scant", "expected", "unit"])
    table.writerows(ROWS)
print(len(ROWS), "rows,", len({name for _, call, _, _ in ROWS for name in re.findall(r"([a-z_]+)\(", call)}), "rules")
