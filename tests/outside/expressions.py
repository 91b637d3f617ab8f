"""Random expressions and their values by Python's `fractions`: an independent oracle for the arithmetic.

`python3 tests/outside/expressions.py > tests/outside/expressions.csv` makes the cases anew; the seed is fixed.
Each row holds an expression, the kind of its value (number, length or area) and the value as a fraction, lengths in
millimetres. What divides by 0 is left out.
"""

import math
import random
from fractions import Fraction

ROWS = 2000
# Exact by definition: the international yard of 1959, 0.9144 m.
UNITS = {"mm": Fraction(1), "cm": Fraction(10), "m": Fraction(1000), "in": Fraction(254, 10),
         "ft": Fraction(3048, 10), "yd": Fraction(9144, 10)}
chance = random.Random(20261128)


class Zero(Exception):
    pass


def figure():
    """A number as people write it, and its value."""
    shape = chance.randrange(5)
    whole = chance.choice([0, 1, 2, 3, 7, 12, 45, 999, 100003, 4294967296, 9223372036854775807])
    if shape == 0:
        return str(whole), Fraction(whole)
    if shape == 1:
        places = chance.choice([1, 2, 5, 18])
        part = chance.randrange(10**places)
        return f"{whole}.{part:0{places}}", whole + Fraction(part, 10**places)
    below = chance.choice([2, 3, 4, 7, 8, 16, 64, 1000003])
    above = chance.randrange(1, below)
    if shape == 2:
        return f"{above}/{below}", Fraction(above, below)
    return f"{whole} {above}/{below}", whole + Fraction(above, below)


def number(depth):
    if depth == 0:
        return figure()
    way = chance.randrange(9)
    if way < 4:
        return joined(number(depth - 1), chance.choice("+-*/"), number(depth - 1))
    if way == 4:
        text, value = number(depth - 1)
        return f"(-({text}))", -value
    if way == 5:
        power = chance.choice([0, 1, 2, 3, -1, -2])
        text, value = number(depth - 1)
        if value == 0 and power < 0:
            raise Zero
        return f"(({text}) ^ ({power}))", value**power
    if way == 6:
        return ratio(length(depth - 1), length(depth - 1))
    if way == 7:
        text, value = number(depth - 1)
        name, by = chance.choice([("floor", math.floor), ("ceil", math.ceil)])
        return f"{name}({text})", Fraction(by(value))
    parts = [number(depth - 1) for _ in range(chance.randrange(1, 4))]
    return f"sum([{', '.join(text for text, _ in parts)}])", sum((value for _, value in parts), Fraction(0))


def ratio(left, right):
    return joined(left, "/", right)


def joined(left, sign, right):
    (a, x), (b, y) = left, right
    text = f"(({a}) {sign} ({b}))"
    if sign == "/":
        if y == 0:
            raise Zero
        return text, x / y
    return text, {"+": x + y, "-": x - y, "*": x * y}[sign]


def length(depth):
    if depth == 0:
        text, value = figure()
        unit = chance.choice(list(UNITS))
        return f"{text} {unit}", value * UNITS[unit]
    way = chance.randrange(6)
    if way < 2:
        return joined(length(depth - 1), chance.choice("+-"), length(depth - 1))
    if way == 2:
        return joined(number(depth - 1), "*", length(depth - 1))
    if way == 3:
        return joined(length(depth - 1), "/", number(depth - 1))
    if way == 4:
        return rounded(length(depth - 1))
    (a, x), (b, y) = length(depth - 1), length(depth - 1)
    name, of = chance.choice([("largest", max), ("smallest", min)])
    return f"{name}({a}, {b})", of(x, y)


def rounded(inner):
    """To a step: down is never more, up never less, a tie of nearest goes away from zero."""
    text, value = inner
    steps = chance.choice([Fraction(1, 8), Fraction(1, 3), Fraction(5, 2), Fraction(1, 64)])
    step = steps * UNITS["in"]
    way = chance.choice(["up", "down", "nearest"])
    count = value / step
    whole = math.floor(abs(count) + Fraction(1, 2)) * (-1 if count < 0 else 1)
    turned = {"up": math.ceil(count), "down": math.floor(count), "nearest": whole}[way]
    return f"(({text}) {way} ({steps.numerator} / {steps.denominator} * 1 in))", turned * step


def area(depth):
    return joined(length(depth - 1), "*", length(depth - 1))


print("expression,kind,value")
for _ in range(ROWS):
    kind, make = chance.choice([("number", number), ("length", length), ("area", area)])
    state = chance.getstate()
    depth = chance.randrange(1, 6)
    try:
        text, value = make(depth)
    except Zero:
        continue
    if len(text) < 400 and value.numerator.bit_length() + value.denominator.bit_length() < 3000:
        print(f'"{text}",{kind},{value.numerator}/{value.denominator}')
