"""Works the apron and the circle skirt over two published size tables, apart from Scant.

Fractions only; pi is a fraction good to 50 digits. Run it in this directory: it writes the
tables as a person would hand them over (`*_sizes.csv`) and what must come out (`*_expected.csv`).
A value that is no fraction is marked `about`.
"""

import csv
from fractions import Fraction as F
from math import isqrt

PI = F(314159265358979323846264338327950288419716939937510, 10**50)


def read(name):
    with open(name, newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def write(name, rows):
    with open(name, "w", newline="", encoding="utf-8") as file:
        csv.writer(file, lineterminator="\n").writerows(rows)


def nearest(x, step):
    """To the nearest step, halves up; all values here are positive."""
    return F((2 * x + step) // (2 * step) * step)


def up(x, step):
    return F(-(-x // step) * step)


def root(x):
    """The square root to 30 digits, and whether it came out."""
    scale = 10**60
    n = isqrt(x.numerator * scale // x.denominator)
    value = F(n, 10**30)
    exact = F(isqrt(x.numerator), isqrt(x.denominator))
    return (exact, True) if exact * exact == x else (value, False)


def line(size, result, value, unit, exact=True):
    if exact:
        return [size, result, str(value), unit, "exact"]
    whole, part = divmod(round(value * 10**12), 10**12)
    return [size, result, f"{whole}.{part:012}", unit, "about"]


def apron(size, bust, hip):
    """In cm, as examples/loft_apron.scant has it, everything but bust and hip at its default."""
    width = nearest(hip * F(2, 3), 1)
    in_from_side = nearest((width - bust / 3) / 2, F(1, 2))
    bib = width - 2 * in_from_side
    drop = nearest(in_from_side * F(4, 3), F(1, 2))
    armhole, exact = root(in_from_side**2 + drop**2)
    tucks, depth, margin, seam = 5, F(1, 2), 4, 1
    pocket = nearest(width / 2, 1)
    step = (pocket - 2 * margin) / (tucks - 1) + 2 * depth
    first = seam + margin + depth
    yield line(size, "finished width", width, "cm")
    yield line(size, "bib width", bib, "cm")
    yield line(size, "armhole edge, each", armhole, "cm", exact)
    yield line(size, "ties, each", up((hip + 15 - width) / 2 + 35, 5), "cm")
    for k in range(tucks):
        yield line(size, f"pocket fold lines {k + 1}", first + k * step, "cm")


def skirt(size, waist):
    """In inches, as examples/quay_skirt.scant has it, everything but the waist at its default."""
    ease, long, hem, seam, under, band = 1, 24, F(1, 2), F(1, 2), F(5, 4), F(5, 4)
    radius = (waist + ease) / (2 * PI)
    yield line(size, "radius", radius, "in", False)
    yield line(size, "waist to cut", radius - seam, "in", False)
    yield line(size, "hem to cut", radius + long + hem, "in", False)
    # Two half circles: the hem all round is the waist and one turn of the length.
    yield line(size, "hem all round", waist + ease + 2 * PI * long, "in", False)
    yield line(size, "panel across", 2 * (radius + long + hem), "in", False)
    yield line(size, "panel along", radius + long + hem + seam, "in", False)
    yield line(size, "waistband across", waist + ease + 2 * seam + under, "in")
    yield line(size, "waistband along", 2 * band + 2 * seam, "in")


HEAD = ["size", "result", "value", "unit", "kind"]


def main():
    women = read("women_jis_l4005.csv")
    sizes = [["size", "bust", "hip", "basis"]]
    expected = [HEAD]
    for row in women:
        size = row["size_number"] + row["build"]
        sizes.append([size, row["bust_cm"] + " cm", row["hip_cm"] + " cm", row["basis"]])
        expected.extend(apron(size, F(row["bust_cm"]), F(row["hip_cm"])))
    write("apron_sizes.csv", sizes)
    write("apron_expected.csv", expected)

    figures = read("women_us_figure_types.csv")
    sizes = [["size", "waist", "height_note"]]
    expected = [HEAD]
    for row in figures:
        size = row["figure_type"] + " " + row["size"]
        sizes.append([size, row["waist_in"] + " in", row["height_note"]])
        expected.extend(skirt(size, F(row["waist_in"])))
    write("skirt_sizes.csv", sizes)
    write("skirt_expected.csv", expected)


if __name__ == "__main__":
    main()
