"""Works further parts of the records that rules give, on odd inputs, and writes parts_expected.csv.

rules_oracle.py has at least one number of every rule; here are the others of those that give many. Widths are joined one
after the other, cut edges are those of a shape that shapely grows by its seam, and rounds are areas or outlines of circles.
"""

import csv
import math
import random
from fractions import Fraction as F
from pathlib import Path

from shapely.geometry import Point, Polygon, box

ROWS = []
DRAW = random.Random(31)


def draw(low, high):
    return F(low) + F(high - low) * F(DRAW.randint(1, 90), 91)


def inches(value):
    return f"({value.numerator} / {value.denominator}) in"


def millimetres(value):
    value *= F(254, 10)
    return f"({value.numerator} / {value.denominator}) mm"


def dot(part):
    part = part.rstrip("#")
    return part if part.startswith("[") else "." + part


def record(template, ranges, expected, unit="in"):
    """Each part that `expected` gives, in inches and in millimetres; a part named with `#` is a count."""
    for write in [inches, millimetres]:
        values = {name: draw(*bounds) for name, bounds in ranges.items()}
        call = template.format(**{name: write(value) for name, value in values.items()})
        for part, value in expected(**values).items():
            counted = part.endswith("#")
            ROWS.append([template.split("(")[0], f"{call}{dot(part)}", f"{float(value):.9f}", "" if counted else unit])


def joined(needed, strip, loss):
    """Strips sewn on one by one until they reach."""
    strips, made = 1, strip
    while made < needed:
        strips, made = strips + 1, made + strip - loss
    return strips, made


def ring(needed, strip, loss):
    strips = 1
    while strips * (strip - loss) < needed:
        strips += 1
    return strips


def up(value, step):
    count = 0
    while count * step < value:
        count += 1
    return count * step


def edges(points, seam):
    """The cut edges of a finished shape, and its size, with a seam all round."""
    shape = Polygon([(float(x), float(y)) for x, y in points]).buffer(float(seam), join_style="mitre", mitre_limit=100)
    corners = list(shape.exterior.coords)
    return [math.dist(a, b) for a, b in zip(corners, corners[1:])], shape.bounds


def backings(a, b, u, s):
    x, y = a + 8, b + 8
    lengthwise, crosswise = joined(x, u, 2 * s)[0] * y, joined(y, u, 2 * s)[0] * x
    return {"needed.across": x, "needed.along": y, "lengthwise.length": lengthwise, "crosswise.length": crosswise,
            "length": min(lengthwise, crosswise), "more": abs(lengthwise - crosswise)}


def bound(a, w, u):
    strips, made = joined(a + 12, u, w)
    return {"strips#": strips, "joins#": strips - 1, "needed": a + 12, "length": made, "spare": made - a - 12,
            "least#": joined(a + 10, u, w)[0], "most#": joined(a + 20, u, w)[0]}


def drapes(a, d, h, u, s, r, v):
    flat = 2 * (a + 4) + 2 * v + 4 * h
    widths = max(2, joined(flat, u, 2 * s)[0])
    drop = up(d + 3 + 6, r)
    return {"flat": flat, "widths#": widths, "per_curtain#": F(widths, 2), "drop": drop, "wasted": drop - d - 9, "length": widths * drop}


def middle_panels(x, y, u, s):
    """Whole panels from the middle outwards, until the rest at each side fits a panel."""
    if x <= u:
        return {"panels#": 1, "whole#": 1, "side": 0, "length": y}
    whole = 1
    while True:
        side = (x - whole * (u - 2 * s)) / 2 + s
        if side <= u:
            panels = whole + (1 if 2 * side <= u else 2)
            return {"panels#": panels, "whole#": whole, "side": side, "length": panels * y}
        whole += 2


def round_cloth(d, p, h, u, s):
    cut = d + 2 * p + 2 * h
    parts = middle_panels(cut, cut, u, s)
    return parts | {"finished": d + 2 * p, "cut": cut, "round": 2 * math.pi * float(d / 2 + p)}


def skirt(w, l, h, s):
    """Half circles: the outline of the grown sector, and lengths of circles."""
    radius = float(w) / (2 * math.pi)
    inner, outer = radius - float(s), radius + float(l + h)
    disc = Point(0, 0).buffer(outer, quad_segs=4096).intersection(box(-99, 0, 99, 99))
    return {"radius": radius, "cut_waist": inner, "cut_hem": outer, "hem_round": 2 * math.pi * (radius + float(l)),
            "panel.across": disc.bounds[2] - disc.bounds[0], "panel.along": outer + float(s), "square": 2 * outer}


def tiers(w, d, h, u, s):
    first, second = w * F(3, 2), w * F(9, 4)
    return {"[1].flat": first, "[2].flat": second, "[1].strips#": ring(first, u, 2 * s), "[2].strips#": ring(second, u, 2 * s),
            "[1].cut": d + 2 * s, "[2].cut": d + s + h}


def slants(l, w, s):
    """A flat piece with one end at 60 deg, grown by its seam."""
    short = float(l) - float(w) / math.sqrt(3)
    cut, _ = edges([(0, 0), (l, 0), (short, w), (0, w)], s)
    cut_long, cut_short = max(cut), sorted(cut)[-2]
    return {"short": short, "cut_long": cut_long, "cut_short": cut_short, "width": w + 2 * s, "pair": 2 * cut_long, "two_alike": cut_long + cut_short}


def frame(a, b, w, s):
    """The trapezoid of one side, grown by its seam: its longest edge, and 1 in more at each end."""
    def strip(side):
        return max(edges([(0, 0), (side + 2 * w, 0), (side + w, w), (w, w)], s)[0])
    return {"side.across": w + 2 * s, "side.along": strip(b) + 2, "end.along": strip(a) + 2, "finished.across": a + 2 * w,
            "finished.along": b + 2 * w, "mitre": math.hypot(w, w)}


def pleats(f, o, e, r):
    """Thirteen pleats and their spaces, one after the other, from edge to edge of the flat cloth."""
    flat = 2 * f + o
    each, space = (flat - f) / 13, (f - e - r) / 12
    assert e + 13 * each + 12 * space + r == flat
    return {"each_one": each, "space": space, "hooks#": 15}


def flounce(t, m, d, s):
    """The cone that the flounce is cut from: its radii are as its edges."""
    bottom = t + m
    radius = t * d / (bottom - t)
    assert abs((radius + d) / radius - bottom / t) == 0
    return {"radius": radius, "outer_radius": radius + d, "cut_inner": radius - s, "cut_outer": radius + d + s, "rings#": t / (2 * F(math.pi) * radius)}


def grid(k, h, g, s):
    across, along = 3 * k + 2 * g, 4 * h + 3 * g
    return {"finished.across": across, "finished.along": along, "blocks#": 12, "short_sashes#": 8, "long_sashes#": 3, "cornerstones#": 0,
            "block.across": k + 2 * s, "short_sash.along": h + 2 * s, "long_sash.along": across + 2 * s, "cornerstone": g + 2 * s, "row": across + 2 * s}


def checkers(q, u, s):
    """Nine columns and three rows, cut one by one: two kinds of set, or one kind with a column more."""
    cut, per = q + 2 * s, int(u // (q + 2 * s))
    need = lambda n: -(-n // per)
    two = need(2) * 5 + need(1) * 4, need(2) * 4 + need(1) * 5
    one = need(3) * 5, need(3) * 5
    first, second = min(two, one, key=sum)
    return {"cut": cut, "segments#": 3, "first#": first, "second#": second, "finished.across": 9 * q, "finished.along": 3 * q}


SEAM, HEM = (F(1, 4), F(5, 8)), (F(1, 2), F(2))
record("backing({a} by {b}, usable: {u}, seam: {s})", dict(a=(30, 90), b=(30, 90), u=(38, 56), s=SEAM), backings)
record("binding_run({a}, cut: {w}, usable: {u})", dict(a=(60, 400), w=(2, 3), u=(38, 56)), bound)
record("curtains({a}, drop: {d}, heading: 3 in, hem: 6 in, side_hem: {h}, usable: {u}, seam: {s}, repeat: {r}, returns: {v}, overlap: 4 in)",
       dict(a=(40, 160), d=(40, 100), h=HEM, u=(38, 56), s=SEAM, r=(5, 30), v=(1, 5)), drapes)
record("panels_from_middle({x} by {y}, usable: {u}, seam: {s})", dict(x=(60, 260), y=(60, 160), u=(38, 56), s=SEAM), middle_panels)
record("panels_from_middle({x} by {y}, usable: {u}, seam: {s})", dict(x=(20, 60), y=(60, 160), u=(38, 56), s=SEAM), middle_panels)
record("round_tablecloth({d}, drop: {p}, allowance: {h}, usable: {u}, seam: {s})", dict(d=(30, 90), p=(5, 30), h=HEM, u=(38, 56), s=SEAM), round_cloth)
record("circle_skirt({w}, length: {l}, hem: {h}, seam: {s})", dict(w=(20, 50), l=(15, 40), h=HEM, s=SEAM), skirt)
record("tiered_skirt({w}, tiers: 2, depth: {d}, hem: {h}, usable: {u}, seam: {s})", dict(w=(20, 50), d=(4, 12), h=HEM, u=(38, 56), s=SEAM), tiers)
record("slanted_pair({l}, width: {w}, corner: 60 deg, seam: {s})", dict(l=(12, 40), w=(1, 5), s=SEAM), slants)
record("mitred_border({a} by {b}, border: {w}, seam: {s})", dict(a=(30, 90), b=(30, 90), w=(2, 8), s=SEAM), frame)
record("heading_pleats(13, flat: 2 * {f} + {o}, finished: {f}, ends: {e}, other: {r})", dict(f=(30, 80), o=(1, 9), e=(1, 5), r=(1, 5)), pleats)
record("circular_flounce(top: {t}, bottom: {t} + {m}, depth: {d}, seam: {s}, hem: {s})", dict(t=(30, 90), m=(20, 60), d=(5, 15), s=SEAM), flounce)
record("sashed_grid(3, rows: 4, block: {k} by {h}, sashing: {g}, seam: {s})", dict(k=(4, 14), h=(4, 14), g=(1, 3), s=SEAM), grid)
record("checkerboard(9, rows: 3, square: {q}, usable: {u}, seam: {s})", dict(q=(1, 12), u=(38, 56), s=SEAM), checkers)
record("gathered_strip({a}, usable: {u}, seam: {s})", dict(a=(30, 160), u=(38, 56), s=SEAM),
       lambda a, u, s: {"flat": 2 * a, "needed": 2 * a + 2 * s, "strips#": joined(2 * a + 2 * s, u, 2 * s)[0], "length": joined(2 * a + 2 * s, u, 2 * s)[1]})
record("flap_cushion({a} by {b}, overlap: {o}, hem: {h}, snug: {s}, seam: {s})", dict(a=(12, 30), b=(12, 30), o=(3, 6), h=HEM, s=SEAM),
       lambda a, b, o, h, s: {"front.across": a + s, "front.along": b + s, "back.across": a + s, "back.along": (b - s + o) / 2 + s + h})
record("zip_cushion({a} by {b}, zip_seam: {h}, stop: {o}, seam: {s})", dict(a=(12, 30), b=(12, 30), o=(F(1, 2), 2), h=HEM, s=SEAM),
       lambda a, b, o, h, s: {"front.along": b + 2 * s, "back.along": b / 2 + s + h, "zip.teeth": a - 2 * o, "zip.tape": a - 2 * o + F(3, 2)})
record("boxed_cushion({a} by {b}, depth: {d}, pieces: 3, seam: {s})", dict(a=(12, 30), b=(12, 30), d=(1, 6), s=SEAM),
       lambda a, b, d, s: {"face.across": a + 2 * s, "band.across": d + 2 * s, "band.along": 2 * a + 2 * b + 6 * s, "piping": 4 * a + 4 * b + 2})
record("lined_pouch({a} by {b}, depth: {d}, shows: {h}, seam: {s})", dict(a=(6, 14), b=(4, 12), d=(1, 4), h=(F(1, 8), F(1, 2)), s=SEAM),
       lambda a, b, d, h, s: {"panel.across": a + d + 2 * s, "panel.along": b + d / 2 - h / 2 + 2 * s, "opening": a + d - 1, "tape": a + d + F(1, 2), "corner.across": d / 2})
record("boxed_bag({a}, height: {b}, depth: {d}, top: {h}, seam: {s}, folded: yes)", dict(a=(8, 20), b=(8, 20), d=(1, 6), h=HEM, s=SEAM),
       lambda a, b, d, h, s: {"panels#": 1, "panel.across": a + d + 2 * s, "panel.along": 2 * b + d + 2 * h, "corner.along": d / 2 - s} if d / 2 > s else {})
record("crossed_tucks({a} by {b}, in_width: 4, in_length: 3, depth: {d}, margin: {h}, edge: {s})", dict(a=(12, 30), b=(12, 30), d=(F(1, 8), F(1, 2)), h=(1, 3), s=SEAM),
       lambda a, b, d, h, s: {"flat.across": a + 8 * d, "cut.along": b + 6 * d + 2 * s, "across_apart": (a - 2 * h) / 3, "along_apart": (b - 2 * h) / 2,
                              "across[4].stitch_to": s + a + 8 * d - h, "crossings#": 12})
record("on_point_setting(4, rows: 5, block: {k}, seam: {s})", dict(k=(4, 14), s=SEAM),
       lambda k, s: {"blocks#": 20, "square": k + 2 * s, "side_squares#": 4, "corner_squares#": 2, "finished.across": 4 * math.hypot(k, k), "finished.along": 5 * math.hypot(k, k),
                     "side_cut": max(edges([(0, 0), (math.hypot(k, k), 0), (math.hypot(k, k) / 2, math.hypot(k, k) / 2)], s)[0]),
                     "corner_cut": min(edges([(0, 0), (math.hypot(k, k) / 2, 0), (0, math.hypot(k, k) / 2)], s)[0])})

with open(Path(__file__).with_name("parts_expected.csv"), "w", newline="") as out:
    table = csv.writer(out, lineterminator="\n")
    table.writerow(["what", "scant", "expected", "unit"])
    table.writerows(ROWS)
print(len(ROWS), "rows")
