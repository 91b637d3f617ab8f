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
    ("twice", "`2 * 3 in`, or `2 * x`"),
];

/// What to write for a name that people use elsewhere.
pub(super) fn named_elsewhere(name: &str) -> Option<&'static str> {
    NAMED_ELSEWHERE.iter().find(|(other, _)| *other == name).map(|(_, ours)| *ours)
}
