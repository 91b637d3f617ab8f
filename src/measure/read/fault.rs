//! What is wrong with a literal, in words.

use std::ops::Range;

use crate::measure::show::mixed_text;
use crate::measure::{Exact, unit_symbols};

/// The kinds of fault in a literal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReadKind {
    /// It could be read two ways.
    Ambiguous,
    /// A number that cannot be.
    BadNumber,
    /// A word that is no unit.
    UnknownUnit,
    /// Something that cannot be there.
    Syntax,
}

/// What is wrong with a literal, and how to correct it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadFault {
    /// The kind of fault.
    pub kind: ReadKind,
    /// Its bytes in the text.
    pub range: Range<usize>,
    /// What is wrong.
    pub message: String,
    /// How to correct it; both readings where there are two.
    pub hints: Vec<String>,
}

impl ReadFault {
    pub(crate) fn new(kind: ReadKind, range: Range<usize>, message: impl Into<String>) -> ReadFault {
        ReadFault { kind, range, message: message.into(), hints: Vec::new() }
    }

    pub(crate) fn syntax(range: Range<usize>, message: impl Into<String>) -> ReadFault {
        ReadFault::new(ReadKind::Syntax, range, message)
    }

    #[must_use]
    pub(crate) fn hint(mut self, hint: impl Into<String>) -> ReadFault {
        self.hints.push(hint.into());
        self
    }

    /// The same fault, so many bytes further on.
    #[must_use]
    pub(crate) fn moved(mut self, by: usize) -> ReadFault {
        self.range = self.range.start.saturating_add(by)..self.range.end.saturating_add(by);
        self
    }
}

fn ambiguous(range: Range<usize>, message: &str) -> ReadFault {
    ReadFault::new(ReadKind::Ambiguous, range, message)
}

fn bad_number(range: Range<usize>, message: &str) -> ReadFault {
    ReadFault::new(ReadKind::BadNumber, range, message)
}

pub(super) fn too_long(range: Range<usize>) -> ReadFault {
    bad_number(range, "a number has at most 1000 digits")
}

pub(super) fn zero_below(range: Range<usize>) -> ReadFault {
    bad_number(range, "the lower number of a fraction cannot be 0").hint("it is 1 or more, as in `2 1/8 in`")
}

pub(super) fn comma(range: Range<usize>, before: &str, behind: &str) -> ReadFault {
    let fault = ambiguous(range, "a comma between digits could be a decimal point, or part two values")
        .hint(format!("for the decimal write `{before}.{behind}`"))
        .hint(format!("for two values write `{before}, {behind}`"));
    if behind.len() == 3 { fault.hint(format!("for thousands write `{before}{behind}`")) } else { fault }
}

pub(super) fn twice_divided(range: Range<usize>, a: &Exact, b: &Exact, c: &Exact) -> ReadFault {
    let left = format!("({a}/{b}) / {c}");
    let right = format!("{a} / ({b}/{c})");
    ambiguous(range, "two slashes in one number could be read two ways")
        .hint(format!("write `{left}` to divide the fraction"))
        .hint(format!("write `{right}` to divide by a fraction"))
}

pub(super) fn hyphened(range: Range<usize>, mixed: &Exact, apart: &Exact) -> ReadFault {
    let parts = |value: &Exact| mixed_text(value);
    ambiguous(range, "without a unit this could be a mixed number or a subtraction")
        .hint(format!("for the mixed number write `{}`", parts(mixed)))
        .hint(format!("for the subtraction put spaces round the `-`: the result is {}", parts(apart)))
}

pub(super) fn minus_apart(range: Range<usize>, whole: &Exact, part: &Exact) -> ReadFault {
    ambiguous(range, "this could be a mixed number or a subtraction")
        .hint(format!("for the mixed number write `{whole} {part}`"))
        .hint(format!("for the subtraction write `{whole} - {part}`"))
}

pub(super) fn not_below_one(
    range: Range<usize>,
    (whole, above, below): (&Exact, &Exact, &Exact),
    sum: &Exact,
) -> ReadFault {
    bad_number(range, "the fraction after a whole number must be below 1")
        .hint(format!("for {whole} and {above}/{below} together write `{}`", mixed_text(sum)))
        .hint(format!("for only the fraction write `{whole}{above}/{below}`"))
}

pub(super) fn which_dollar(text: &str, at: usize) -> ReadFault {
    let before = text.get(..at).unwrap_or("").trim();
    let sum = if before.is_empty() { "7.90" } else { before };
    ambiguous(at..at.saturating_add(1), "`$` is the sign of several currencies")
        .hint(format!("write which: `{sum} USD`, `{sum} CAD`, `{sum} AUD`"))
}

pub(super) fn unknown_unit(range: Range<usize>, name: &str) -> ReadFault {
    ReadFault::new(ReadKind::UnknownUnit, range, format!("`{name}` is not a unit"))
        .hint(format!("units are {}, and currency codes such as EUR", unit_symbols()))
}

/// `8 in x 11 in`, the sign at that place.
pub(super) fn size_or_area(text: &str, sign: Range<usize>) -> ReadFault {
    let side = |range: Option<&str>| range.unwrap_or("").trim().to_string();
    let (left, right) = (side(text.get(..sign.start)), side(text.get(sign.end..)));
    let number = |side: &str| side.bytes().all(|byte| byte.is_ascii_digit() || matches!(byte, b'.' | b'/'));
    let bare = number(&left) || number(&right);
    let product = if bare { "a product" } else { "an area" };
    ReadFault::new(ReadKind::Ambiguous, sign.start..text.len(), format!("this could be a size or {product}"))
        .hint(format!("a size is written with `by`: `{left} by {right}`"))
        .hint(format!("{product} with `*`: `{left} * {right}`"))
}

pub(super) fn mark_apart(range: Range<usize>) -> ReadFault {
    ReadFault::syntax(range, "an inch or foot mark must be right after its number")
        .hint("write `2\"` or `2 in`")
}

pub(super) fn not_smaller(range: Range<usize>) -> ReadFault {
    ReadFault::syntax(range, "what follows a measure must be in a smaller unit of the same kind")
        .hint("one measure is written `6' 2\"` or `1 yd 9 in`, a size `14 in by 48 in`")
}

/// No figure where one must begin.
pub(super) fn no_figure(text: &str, at: usize) -> ReadFault {
    let range = at..text.len();
    match next(text, at) {
        None => {
            ReadFault::syntax(range, "nothing is written here").hint("write a measure such as `2 1/2 in`")
        }
        Some('$') => which_dollar("", 0).moved(at),
        Some(sign @ ('€' | '£')) => {
            let code = if sign == '€' { "EUR" } else { "GBP" };
            ReadFault::syntax(range, "a unit must be after its number")
                .hint(format!("write it as `7.90 {code}`"))
        }
        Some(_) => ReadFault::syntax(range, "a measure begins with a number").hint("write it as `2 1/2 in`"),
    }
}

/// Something after a whole measure.
pub(super) fn trailing(text: &str, at: usize, start: usize, has_unit: bool) -> ReadFault {
    let range = at..text.len();
    match next(text, at) {
        Some(sign @ ('×' | 'x' | 'X')) => size_or_area(text, at..at.saturating_add(sign.len_utf8())),
        Some('0'..='9') if !has_unit => {
            ReadFault::syntax(start..text.len(), "there are two numbers side by side")
                .hint("a mixed number has a fraction without spaces: `2 1/2`")
        }
        Some('"' | '\'') => ReadFault::syntax(range, "one mark is enough"),
        _ => {
            ReadFault::syntax(range, "one measure ends before this").hint("write one measure here, not a sum")
        }
    }
}

/// The character at a place.
fn next(text: &str, at: usize) -> Option<char> {
    text.get(at..)?.chars().next()
}
