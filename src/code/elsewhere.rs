//! Names that people know from elsewhere.

use std::borrow::Cow;

use crate::syntax::numbers;

/// What people call some built-ins, and what to write.
const NAMED_ELSEWHERE: &[(&str, &str)] = &[
    ("max", "`largest(a, b)`, or `largest(list)`"),
    ("maximum", "`largest(a, b)`, or `largest(list)`"),
    ("min", "`smallest(a, b)`, or `smallest(list)`"),
    ("minimum", "`smallest(a, b)`, or `smallest(list)`"),
    ("average", "`sum(list) / count(list)`"),
    ("mean", "`sum(list) / count(list)`"),
    ("area", "`12 in * 14 in`, or for a shape its part `.area`"),
    ("circumference", "`pi * 12 in`"),
    ("remainder", "`left_over(42 in, part: 5 in)`"),
    ("what", "only the sum, without a question"),
    ("the", "the line without this word; to round write `x nearest 1/8 in`"),
    ("strips", "`how many 2 1/2 in from 1 yd` to count strips"),
    ("metric", "`ruler 1 mm` for metric rulers, and `1/8 in` for inches"),
    ("twice", "`2 * 3 in`, or `2 * x`"),
];

/// What to write for a name that people use elsewhere.
pub(super) fn named_elsewhere(name: &str) -> Option<Cow<'static, str>> {
    let known = NAMED_ELSEWHERE.iter().find(|(other, _)| *other == name);
    let in_figures = || match numbers::fraction(&[name]) {
        Some((fraction, _)) => Some(format!("the fraction in figures: `{fraction} of …`")),
        None => Some(format!("numbers in figures, such as `{}`", numbers::count(name)?)),
    };
    known.map(|(_, ours)| Cow::Borrowed(*ours)).or_else(|| in_figures().map(Cow::Owned))
}
