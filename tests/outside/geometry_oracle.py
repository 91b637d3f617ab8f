"""Works the library's geometry a second time, by another way, and writes geometry_expected.csv.

A cut shape is what shapely's mitred buffer makes of the finished one; triangles are cut out of squares with straight
lines; strips on the bias are polygons laid on the piece; exact figures come from sympy. Needs shapely and sympy:
python3 -m venv VENV && VENV/bin/pip install shapely==2.2.0 sympy==1.14.0 && VENV/bin/python geometry_oracle.py
"""

import csv
import math
from pathlib import Path

import sympy
from shapely.affinity import affine_transform, rotate, translate
from shapely.geometry import LineString, Point, Polygon, box
from shapely.ops import split, unary_union

ROWS = []
SEAMS = [0.25, 0.375, 0.75]


def row(name, expression, value, unit="in"):
    ROWS.append([name, expression, f"{float(value):.9f}", unit])


def grown(points, seam):
    """The shape with a seam all round, its corners left sharp."""
    return Polygon(points).buffer(seam, join_style="mitre", mitre_limit=100)


def edges(polygon):
    ring = list(polygon.exterior.coords)
    return [math.dist(a, b) for a, b in zip(ring, ring[1:])]


def width(polygon):
    west, _, east, _ = polygon.bounds
    return east - west


def height(polygon):
    _, south, _, north = polygon.bounds
    return north - south


def regular(sides, side):
    radius = side / (2 * math.sin(math.pi / sides))
    return [
        (radius * math.sin(2 * math.pi * k / sides), radius * math.cos(2 * math.pi * k / sides))
        for k in range(sides)
    ]


def triangles():
    for seam in SEAMS:
        for f in [1.5, 3, 4.25]:
            half = grown([(0, 0), (f, 0), (0, f)], seam)
            row("half square", f"half_square_cut({f} in, seam: {seam} in)", width(half))
            quarter = grown([(0, 0), (f, 0), (f / 2, f / 2)], seam)
            row("quarter square", f"quarter_square_cut({f} in, seam: {seam} in)", width(quarter))
            row("two to one, large", f"two_to_one_units(4, finished: {f} in, seam: {seam} in).large", width(quarter))
            small = grown([(0, 0), (f / 2, 0), (0, f / 2)], seam)
            row("two to one, small", f"two_to_one_units(4, finished: {f} in, seam: {seam} in).small", width(small))
            side = grown([(0, 0), (f * math.sqrt(2), 0), (f / math.sqrt(2), f / math.sqrt(2))], seam)
            row("side triangle", f"side_triangle_cut({f} in, seam: {seam} in)", width(side))
            leg = f / math.sqrt(2)
            corner = grown([(0, 0), (leg, 0), (0, leg)], seam)
            row("corner triangle", f"corner_triangle_cut({f} in, seam: {seam} in)", width(corner))
            row("four at once", f"four_at_once_cut({f} in, seam: {seam} in)", four_at_once(f, seam))


def four_at_once(finished, seam):
    """Two squares sewn all round, cut on both diagonals: a quarter opens to a square of half squares. The side that
    makes the finished one is found by halving."""
    low, high = 0.0, 10 * finished
    for _ in range(200):
        side = (low + high) / 2
        square = box(0, 0, side, side)
        diagonal = LineString([(-1, -1), (side + 1, side + 1)])
        other = LineString([(-1, side + 1), (side + 1, -1)])
        quarter = split(split(square, diagonal).geoms[0], other).geoms[0]
        # the seam line lies `seam` inside the outer edge; the opened square has it as its diagonal
        inner = quarter.intersection(box(seam, seam, side - seam, side - seam))
        line = max(edges(inner))
        if line / math.sqrt(2) - 2 * seam < finished:
            low = side
        else:
            high = side
    return low


def slanted():
    for seam in SEAMS:
        for f in [2, 4]:
            triangle = grown(regular(3, f), seam)
            row("60 deg, strip", f"triangle_strip(triangle_height({f} in), seam: {seam} in)", height(triangle))
            row("60 deg, side", f"triangle_cut_side({f} in, seam: {seam} in)", edges(triangle)[0])
            hexagon = grown(regular(6, f), seam)
            row("hexagon, side", f"hexagon_cut_side({f} in, seam: {seam} in)", edges(hexagon)[0])
            row("hexagon, strip", f"hexagon({f} in, seam: {seam} in).strip", width(hexagon))
            row("hexagon, points", f"hexagon({f} in, seam: {seam} in).points", height(hexagon))
            for angle in [45, 60, 72]:
                a = math.radians(angle)
                shape = [(0, 0), (f, 0), (f + f * math.cos(a), f * math.sin(a)), (f * math.cos(a), f * math.sin(a))]
                cut = grown(shape, seam)
                row("diamond, strip", f"diamond({f} in, corner: {angle} deg, seam: {seam} in).strip", height(cut))
                row("diamond, along", f"diamond({f} in, corner: {angle} deg, seam: {seam} in).along", edges(cut)[0])
        for a, b in [(3, 4), (5, 12), (2, 7)]:
            cut = grown([(0, 0), (a, 0), (0, b)], seam)
            row("right triangle", f"right_triangle({a} in by {b} in, seam: {seam} in).across", width(cut))
            row("right triangle", f"right_triangle({a} in by {b} in, seam: {seam} in).along", height(cut))
            flag = grown([(-a / 2, 0), (a / 2, 0), (0, -b)], seam)
            row("pennant", f"pennant({a} in by {b} in, seam: {seam} in).across", width(flag))
            row("pennant", f"pennant({a} in by {b} in, seam: {seam} in).along", height(flag))


def tie():
    for angle in [30, 45, 60]:
        for seam in SEAMS:
            run = 2 / math.tan(math.radians(angle))
            cut = grown([(0, 0), (20, 0), (20 - run, 2), (0, 2)], seam)
            lengths = sorted(edges(cut))
            call = f"slanted_pair(20 in, width: 2 in, corner: {angle} deg, seam: {seam} in)"
            row("slanted end, long", f"{call}.cut_long", lengths[-1])
            row("slanted end, short", f"{call}.cut_short", lengths[-2])


def hexagons_in_rows():
    for columns, rows in [(3, 1), (4, 5), (6, 4)]:
        flats = 2 * math.sqrt(3)
        laid = [
            (column * flats + (flats / 2 if r % 2 else 0) + x, r * 3 + y)
            for r in range(rows)
            for column in range(columns)
            for x, y in regular(6, 2)
        ]
        hull = Polygon(laid).envelope if len(laid) < 3 else LineString(laid).envelope
        call = f"hexagon_rows({columns}, rows: {rows}, side: 2 in)"
        row("hexagons in rows", f"{call}.across", width(hull))
        row("hexagons in rows", f"{call}.along", height(hull))


def sectors():
    for outer, inner, angle in [(30, 5, 90), (24, 4, 120), (28, 6, 180), (20, 8, 60), (26, 5, 240), (22, 6, 300)]:
        seam = 0.5
        half = math.radians(angle / 2)
        ring = Point(0, 0).buffer(outer, quad_segs=20000)
        hole = Point(0, 0).buffer(inner, quad_segs=20000)
        far = 4 * outer
        rim = [(far * math.sin(t * half / 8), far * math.cos(t * half / 8)) for t in range(-8, 9)]
        wedge = Polygon([(0, 0), *rim])
        piece = ring.intersection(wedge).difference(hole)
        # straight edges moved out by a seam, square to themselves
        moved = []
        for sign in (-1, 1):
            direction = (sign * math.sin(half), math.cos(half))
            out = (sign * math.cos(half), -math.sin(half))
            moved += [(r * direction[0] + seam * out[0], r * direction[1] + seam * out[1]) for r in (inner, outer)]
        west = min(x for x, _ in moved)
        south = min(y for _, y in moved)
        call = f"sector_size(outer: {outer} in, inner: {inner} in, angle: {angle} deg, seam: {seam} in)"
        row("sector", f"{call}.across", max(-2 * west, width(piece)))
        row("sector", f"{call}.along", piece.bounds[3] - south)


def bias():
    for across, along, cut, shortest in [(20, 20, 2.5, 10), (42, 18, 2, 8), (30, 45, 3, 12)]:
        piece = box(0, 0, across, along)
        step = cut * math.sqrt(2)
        at = shortest / math.sqrt(2)
        lengths = []
        while at + step <= across + along - shortest / math.sqrt(2) + 1e-9:
            edge_lengths = []
            for t in (at, at + step):
                line = LineString([(-200, t + 200), (t + 200, -200)])
                edge_lengths.append(piece.intersection(line).length)
            lengths.append(min(edge_lengths))
            at += step
        call = f"bias_in_strips({across} in by {along} in, cut: {cut} in, shortest: {shortest} in, seam: 0.25 in)"
        row("bias in strips, count", f"{call}.strips", len(lengths), "")
        total = sum(lengths) - (len(lengths) - 1) * 0.5 * math.sqrt(2)
        row("bias in strips, length", f"{call}.length", total)
    square = rotate(box(0, 0, 36, 36), 45, origin=(0, 0))
    row("longest bias strip", "longest_bias_strip(36 in)", height(square))


def hems():
    for a, b, m in [(1, 1, 0.25), (3, 4, 0.5), (1.25, 2, 0.25), (3, 1, 0.25)]:
        # the mitre runs from (x, 0) to (0, y): folded up about the height b and in about a, its ends must meet
        x, y = sympy.symbols("x y", positive=True)
        up, inward = (x, 2 * b - 0), (2 * a - 0, y)
        found = sympy.solve([up[0] - inward[0], up[1] - inward[1]], [x, y])
        sewing = LineString([(float(found[x]), 0), (0, float(found[y]))])
        for side in ("left", "right"):
            cut = sewing.offset_curve(m if side == "left" else -m)
            if cut.distance(Point(0, 0)) < sewing.distance(Point(0, 0)):
                break
        (x1, y1), (x2, y2) = cut.coords[0], cut.coords[-1]
        crossing = x1 - y1 * (x2 - x1) / (y2 - y1)
        # the lower edge has the allowance b, the edge beside it a
        call = f"mitred_hem_corner({b} in, other: {a} in, seam: {m} in)"
        row("mitred hem, line", f"{call}.line", sewing.length)
        row("mitred hem, sewing line", f"{call}.sewing_line", found[x])
        row("mitred hem, sewing line beside", f"{call}.other_sewing_line", found[y])
        row("mitred hem, cut line", f"{call}.cut_line", crossing)


def rounds():
    for n in [5, 8, 12]:
        for k, point in enumerate(regular(n, 2 * 3 * math.sin(math.pi / n)), start=1):
            row("motif point", f"motif_points({n}, radius: 3 in)[{k}].across", point[0])
            row("motif point", f"motif_points({n}, radius: 3 in)[{k}].up", point[1])
        ring = Polygon(regular(n, 2 * 3 * math.sin(math.pi / n)))
        row("point distance", f"point_distance({n}, radius: 3 in)", edges(ring)[0])
        inside = 3 - ring.exterior.distance(Point(0, 0))
        row("inside the circle", f"inside_circle({n}, radius: 3 in)", inside)
    x = sympy.symbols("x", positive=True)
    for chord, depth in [(6, 1), (5, 2), (4, 0.5)]:
        radius = sympy.solve((x - sympy.Rational(depth)) ** 2 + sympy.Rational(chord, 2) ** 2 - x**2, x)[0]
        row("scallop", f"scallops({chord * 8} in, target: {chord} in, depth: {depth} in).radius", radius)
    for waist, part in [(28, "1"), (30, "1/2"), (26, "3/4")]:
        radius = sympy.solve(2 * sympy.pi * x * sympy.Rational(part) - waist, x)[0].evalf(30)
        row("circle skirt", f"circle_skirt_radius({waist} in, part: {part})", radius)


def boxes():
    """A boxed corner folded up: what is left of the raw panel once both seams are off must be the bag."""
    for w, h, d, s in [(12, 10, 4, 0.5), (9, 7, 3, 0.25)]:
        net = Polygon([(0, 0), (w, 0), (w, d / 2), (w + d / 2, d / 2), (w + d / 2, d / 2 + h), (-d / 2, d / 2 + h),
                       (-d / 2, d / 2), (0, d / 2)])
        cut = net.buffer(s, join_style="mitre", mitre_limit=100)
        call = f"boxed_bag({w} in, height: {h} in, depth: {d} in, seam: {s} in, top: {s} in)"
        row("boxed bag", f"{call}.panel.across", width(cut))
        row("boxed bag", f"{call}.panel.along", height(cut))
        missing = cut.envelope.difference(cut)
        part = missing.geoms[0]
        row("boxed corner", f"{call}.corner.across", width(part))
        row("boxed corner", f"{call}.corner.along", height(part))


def joins():
    """Strips laid over each other, sewn, and opened out: the second is mirrored about the seam."""
    for w, long in [(2.25, 42), (2.5, 40), (6, 60)]:
        first = box(0, 0, long, w)
        second = box(long - w, w - long, long, w)
        # about the line from (long - w, w) to (long, 0): x and y change places and signs
        opened = affine_transform(second, [0, -1, -1, 0, long, long])
        row("diagonal join", f"joined_length(2, strip: {long} in, loss: diagonal_join({w} in))", width(unary_union([first, opened])))
    for seam in SEAMS:
        end = LineString([(-50, -50), (50, 50)])
        sewn = end.offset_curve(-seam)
        level = LineString([(-60, 0), (60, 0)])
        row("join on the grain", f"bias_join({seam} in)", 2 * level.intersection(sewn).x)


def corners():
    for angle, sides in [(60, 3), (90, 4), (108, 5), (120, 6)]:
        for w in [0.375, 1.5]:
            shape = Polygon(regular(sides, 10))
            inside = shape.buffer(-w, join_style="mitre", mitre_limit=100)
            lost = (shape.length - inside.length) / sides / 2
            row("binding corner", f"corner_stop({w} in, corner: {angle} deg)", lost)
            trim = shape.buffer(w, join_style="mitre", mitre_limit=100)
            gained = (trim.length - shape.length) / sides
            row("trim corner", f"trim_corner({w} in, corner: {angle} deg)", gained)
    for top, border in [((40, 50), 3), ((30, 30), 4.5)]:
        inner, outer = box(0, 0, *top), box(-border, -border, top[0] + border, top[1] + border)
        mitre = Point(inner.exterior.coords[0]).distance(Point(outer.exterior.coords[0]))
        row("mitred border", f"mitred_border({top[0]} in by {top[1]} in, border: {border} in, seam: 0.25 in).mitre", mitre)
        # the strip as it is cut: its finished outline, a seam all round
        strip = grown([(-border, 0), (top[0] + border, 0), (top[0], border), (0, border)], 0.25)
        call = f"mitred_border({top[0]} in by {top[1]} in, border: {border} in, spare: 0 in, seam: 0.25 in)"
        row("mitred border, strip", f"{call}.end.along", width(strip))
        row("mitred border, strip", f"{call}.end.across", height(strip))


def cloths():
    for across, along, drop in [(40, 70, 10), (30, 45, 8)]:
        line = LineString([(0, 0), (along - across, 0)])
        oval = line.buffer(across / 2 + drop, quad_segs=200000)
        row("oval cloth", f"oval_tablecloth({across} in by {along} in, drop: {drop} in, allowance: 1 in).round", oval.length)
    for blocks, side in [(5, 6), (3, 8.5)]:
        one = rotate(box(0, 0, side, side), 45)
        step = width(one)
        row_of = unary_union([translate(one, step * k) for k in range(blocks)])
        row("on point", f"on_point_width({blocks}, block: {side} in)", width(row_of))
    radius, turn = sympy.symbols("radius turn", positive=True)
    for top, bottom, depth in [(72, 112, 12), (120, 240, 8), (90, 100, 20)]:
        found = sympy.solve([radius * turn - top, (radius + depth) * turn - bottom], [radius, turn], dict=True)[0]
        call = f"circular_flounce(top: {top} in, bottom: {bottom} in, depth: {depth} in, seam: 0.5 in)"
        row("flounce", f"{call}.radius", found[radius])
        row("flounce", f"{call}.rings", (found[turn] / (2 * sympy.pi)).evalf(30), "")
        # rings laid one after the other, each a seam short at both slits, and closed
        each = 2 * math.pi * float(found[radius]) - 1
        row("flounce", f"{call}.whole_rings", next(n for n in range(1, 99) if n * each >= top), "")
    for across, usable, seam in [(90, 52, 0.5), (120, 52, 0.5), (60, 44, 0.25), (40, 44, 0.5), (140, 54, 0.5), (200, 54, 0.5), (310, 54, 0.25)]:
        call = f"panels_from_middle({across} in by 80 in, usable: {usable} in, seam: {seam} in)"
        if across <= usable:
            row("panels", f"{call}.panels", 1, "")
            continue
        # panels are laid from the middle outwards, first a whole one, then one more at both sides, the last cut off
        covered, whole = usable - 2 * seam, 1
        while covered + 2 * (usable - seam) < across:
            covered, whole = covered + 2 * (usable - 2 * seam), whole + 2
        side = (across - covered) / 2 + seam
        row("panels", f"{call}.whole", whole, "")
        row("panels", f"{call}.side", side)
        row("panels", f"{call}.panels", whole + (1 if 2 * side <= usable else 2), "")


def gores():
    for diameter, count, seam in [(4, 6, 0.25), (10, 8, 0.375)]:
        long, wide, steps = math.pi * diameter / 2, math.pi * diameter / count, 40000
        right = [(wide / 2 * math.sin(math.pi * k / steps), long * k / steps) for k in range(steps + 1)]
        left = [(-x, y) for x, y in reversed(right[1:-1])]
        cut = grown(right + left, seam)
        call = f"ball_gores({diameter} in, gores: {count}, age: 4, seam: {seam} in).cut"
        row("gore", f"{call}.across", width(cut))
        row("gore", f"{call}.along", height(cut))


for work in [triangles, slanted, tie, hexagons_in_rows, sectors, bias, hems, rounds, boxes, joins, corners, cloths, gores]:
    work()

with open(Path(__file__).with_name("geometry_expected.csv"), "w", newline="") as out:
    table = csv.writer(out, lineterminator="\n")
    table.writerow(["what", "scant", "expected", "unit"])
    table.writerows(ROWS)
print(len(ROWS), "rows")
