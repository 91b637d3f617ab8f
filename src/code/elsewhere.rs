//! Names that people know from elsewhere.

/// What people call some built-ins, and what to write.
const NAMED_ELSEWHERE: &[(&str, &str)] = &[
    ("max", "`largest(a, b)`, or `largest(list)`"),
    ("maximum", "`largest(a, b)`, or `largest(list)`"),
    ("min", "`smallest(a, b)`, or `smallest(list)`"),
    ("minimum", "`smallest(a, b)`, or `smallest(list)`"),
    ("average", "`sum(list) / count(list)`"),
    ("mean", "`sum(list) / count(list)`"),
    ("half", "`1/2 of 3 in`, or `x / 2`"),
    ("third", "`1/3 of 3 in`, or `x / 3`"),
    ("quarter", "`1/4 of 3 in`, or `x / 4`"),
    ("area", "`12 in * 14 in`, or for a shape its part `.area`"),
    ("circumference", "`pi * 12 in`"),
    ("remainder", "`left_over(42 in, part: 5 in)`"),
    ("what", "only the sum, without a question"),
    ("the", "the line without this word; to round write `x nearest 1/8 in`"),
    ("one", "numbers in figures, such as `1`"),
    ("two", "numbers in figures, such as `2`"),
    ("three", "numbers in figures, such as `3`"),
    ("four", "numbers in figures, such as `4`"),
    ("six", "numbers in figures, such as `6`"),
    ("eight", "numbers in figures, such as `8`"),
    ("strips", "`how many 2 1/2 in from 1 yd` to count strips"),
    ("metric", "`ruler 1 mm` for metric rulers, and `1/8 in` for inches"),
    ("twice", "`2 * 3 in`, or `2 * x`"),
];

/// What to write for a name that people use elsewhere.
pub(super) fn named_elsewhere(name: &str) -> Option<&'static str> {
    NAMED_ELSEWHERE.iter().find(|(other, _)| *other == name).map(|(_, ours)| *ours)
}
