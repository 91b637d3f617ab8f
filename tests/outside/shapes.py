"""Makes tests/outside/shapes.csv: areas, perimeters, sizes and cut outlines of random shapes, by shapely.

    python3 -m venv /tmp/shapes && /tmp/shapes/bin/pip install shapely==2.2.0
    /tmp/shapes/bin/python tests/outside/shapes.py > tests/outside/shapes.csv

Shapes are polygons whose corners lie on eighths of an inch, and sectors and rings whose arcs shapely draws with
4,096 parts a quarter, so that its numbers are true to 1e-6. A cut outline has one allowance all round. Shapely's
mitre limit 2 would cut a long point at another place than we do, so that polygons have no corner below 60 degrees.
"""

import csv
import math
import random
import sys

from shapely import affinity
from shapely.geometry import Point, Polygon

QUARTER = 4096


def corners(shape):
    ring = list(shape.exterior.coords)[:-1]
    return [(ring[at - 1], ring[at], ring[(at + 1) % len(ring)]) for at in range(len(ring))]


def blunt(shape):
    """Whether each corner is at least 60 degrees, and no edge is short."""
    for before, at, after in corners(shape):
        a = (before[0] - at[0], before[1] - at[1])
        b = (after[0] - at[0], after[1] - at[1])
        if min(math.hypot(*a), math.hypot(*b)) < 2:
            return False
        cos = (a[0] * b[0] + a[1] * b[1]) / math.hypot(*a) / math.hypot(*b)
        if cos > 0.49:
            return False
    return True


def polygon(rng):
    while True:
        count = rng.randint(3, 8)
        angles = sorted(rng.uniform(0, 2 * math.pi) for _ in range(count))
        places = [
            (round(8 * (20 + rng.uniform(6, 18) * math.cos(t))), round(8 * (20 + rng.uniform(6, 18) * math.sin(t))))
            for t in angles
        ]
        shape = Polygon([(x / 8, y / 8) for x, y in places])
        if shape.is_valid and shape.area > 20 and blunt(shape):
            text = ", ".join(f"{x}/8 in by {y}/8 in" for x, y in places)
            return f"polygon([{text}])", shape


def wedge(outer, inner, degrees):
    half = math.radians(degrees) / 2
    parts = int(QUARTER * degrees / 90) + 1
    arc = [-half + 2 * half * k / parts for k in range(parts + 1)]
    ring = [(outer * math.sin(t), outer * math.cos(t)) for t in arc]
    ring += [(inner * math.sin(t), inner * math.cos(t)) for t in reversed(arc)] if inner else [(0, 0)]
    return Polygon(ring)


def sector(rng):
    outer, degrees = rng.randint(16, 120) / 4, rng.choice([45, 60, 75, 90, 120, 150, 180, 200, 270, 300])
    inner = rng.choice([0, round(outer * rng.uniform(0.2, 0.7) * 4) / 4])
    return f"sector({outer} in, {degrees} deg, {inner} in)", wedge(outer, inner, degrees)


def ring(rng):
    outer = rng.randint(40, 200) / 4
    inner = round(outer * rng.uniform(0.2, 0.7) * 4) / 4
    shape = Point(0, 0).buffer(outer / 2, QUARTER).difference(Point(0, 0).buffer(inner / 2, QUARTER))
    return f"ring({outer} in, {inner} in)", shape


def regular(rng):
    sides, side = rng.randint(3, 12), rng.randint(8, 60) / 4
    radius = side / 2 / math.sin(math.pi / sides)
    turn = math.pi / 2 + math.pi / sides
    ring = [(radius * math.cos(turn + 2 * math.pi * k / sides), radius * math.sin(turn + 2 * math.pi * k / sides)) for k in range(sides)]
    return f"regular({sides}, {side} in)", Polygon(ring)


def main():
    rng = random.Random(20260117)
    out = csv.writer(sys.stdout, lineterminator="\n")
    out.writerow(["shape", "turned by, deg", "area", "perimeter", "across", "along", "allowance", "cut area", "cut across"])
    for make in [polygon] * 60 + [regular] * 10 + [sector] * 30 + [ring] * 10:
        text, shape = make(rng)
        turn = rng.choice([0, 0, 15, 30, 45, 90, 210])
        # Along falls down the page: clockwise there is against the clock here.
        flipped = affinity.scale(shape, 1, -1, origin=(0, 0))
        turned = affinity.rotate(flipped, -turn, origin=(0, 0))
        left, low, right, high = turned.bounds
        allowance = rng.choice([1, 2, 3, 4, 5]) / 8
        cut_area = cut_across = ""
        if make is not sector:
            cut = turned.buffer(allowance, join_style="mitre", mitre_limit=4, quad_segs=QUARTER)
            cut_area, cut_across = f"{cut.area:.7f}", f"{cut.bounds[2] - cut.bounds[0]:.7f}"
        out.writerow([text, turn, f"{turned.area:.7f}", f"{turned.length:.7f}", f"{right - left:.7f}", f"{high - low:.7f}", allowance, cut_area, cut_across])


if __name__ == "__main__":
    main()
