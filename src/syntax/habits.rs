//! What people write from habit, and what it is here: conversions, sizes, packs.

use super::refuse;
use super::stopped::Found;
use super::words::{LINE_WORDS, first_word};
use crate::fault::{Code, Fault, Span};
use crate::measure::is_unit;

/// What was meant, where it is known.
pub(super) fn slip(found: &Found<'_>, token: &str, span: Span) -> Option<Fault> {
    other_words(found, token, span)
        .or_else(|| packs(found, token, span))
        .or_else(|| convert(found, span))
        .or_else(|| multiple(found, span))
        .or_else(|| near(found, token, span))
        .or_else(|| each(found, token, span))
        .or_else(|| argument(found, token, span))
        .or_else(|| number(found, token, span))
}

/// `convert 10 in to cm`
fn convert(found: &Found<'_>, span: Span) -> Option<Fault> {
    if found.before().rsplit(|c: char| !c.is_alphanumeric()).next() != Some("convert") {
        return None;
    }
    let (value, unit) = found.rest().rsplit_once(' ')?;
    let joins = [" to", " into", " in"].iter().find_map(|word| value.trim_end().strip_suffix(word));
    let value = joins.unwrap_or(value).trim();
    (is_unit(unit) && !value.is_empty()).then(|| refuse::shown_in(span, value, unit))
}

/// `9 in near 1/8 in`
fn near(found: &Found<'_>, token: &str, span: Span) -> Option<Fault> {
    let step = found.rest().strip_prefix("near")?.trim_start();
    (token == "near" && step.starts_with(|c: char| c.is_ascii_digit())).then(|| {
        Fault::new(Code::Syntax, span, "to round, write `nearest`, `up` or `down`")
            .hint(format!("write `nearest {}`", step.trim_end()))
    })
}

/// `[w + 1 in for w in [28 in, 30 in]]`
fn each(found: &Found<'_>, token: &str, span: Span) -> Option<Fault> {
    let (name, list) = found.rest().strip_prefix("for ")?.split_once(" in ")?;
    (token == "for" && name.trim().chars().all(|c| c.is_alphanumeric() || c == '_') && !list.is_empty()).then(
        || {
            Fault::new(Code::Syntax, span, "a list with one value for each item begins with `each`")
                .hint("such a list looks like this: `each w in [28 in, 30 in]: w + 1 in`")
        },
    )
}

/// `twice 3 in`
fn multiple(found: &Found<'_>, span: Span) -> Option<Fault> {
    let word = found.before().rsplit(|c: char| !c.is_alphanumeric()).next()?;
    let instead = match word {
        "twice" | "double" => "2 * ",
        "half" => "1/2 * ",
        _ => return None,
    };
    found.rest().starts_with(|c: char| c.is_ascii_digit()).then(|| {
        Fault::new(Code::Syntax, span, "a product is written with a sign")
            .hint(format!("write `{instead}{}`", found.rest().trim()))
    })
}

/// `seamed(20 in, seam = 1/4 in)`, `seamed(20 in; seam: 1/4 in)`
fn argument(found: &Found<'_>, token: &str, span: Span) -> Option<Fault> {
    if !matches!(token, "=" | ";") || !in_call(found.before()) {
        return None;
    }
    if token == ";" {
        let fault = Fault::new(Code::Syntax, span, "`;` has no use here");
        return Some(fault.hint("write `,` between the values in brackets"));
    }
    let name = found.before().rsplit(|c: char| !(c.is_alphanumeric() || c == '_')).next()?;
    let value = found.rest().get(1..)?.split([',', ')']).next()?.trim();
    let fault = Fault::new(Code::Syntax, span, "an argument has `:` after its name");
    Some(fault.hint(format!("write `{name}: {value}`")))
}

/// Whether the end of a text is in the brackets of a rule.
fn in_call(before: &str) -> bool {
    let mut depth = 0usize;
    for (at, c) in before.char_indices().rev() {
        match c {
            ')' => depth = depth.saturating_add(1),
            '(' if depth == 0 => {
                return before
                    .get(..at)
                    .is_some_and(|name| name.ends_with(|c: char| c.is_alphanumeric() || c == '_'));
            }
            '(' => depth = depth.saturating_sub(1),
            _ => {}
        }
    }
    false
}

/// `~5 in`, `1.000,50 EUR`
fn number(found: &Found<'_>, token: &str, span: Span) -> Option<Fault> {
    let digit = |c: char| c.is_ascii_digit();
    if token == "~" {
        return Some(Fault::new(Code::Syntax, span, "a measure is exact here").hint("leave out the `~`"));
    }
    let within = found.before().ends_with(digit) && found.rest().get(1..)?.starts_with(digit);
    (token == "," && within).then(|| {
        Fault::new(Code::Syntax, span, "a number has one decimal sign, a point, and no sign for thousands")
            .hint("write `1250.50`")
    })
}

/// What comes in packs, in other words or in another order.
fn packs(found: &Found<'_>, token: &str, span: Span) -> Option<Fault> {
    const SHAPE: &str = "`buy 30 \"button\" in packs of 12 at 2.80 EUR`";
    if first_word(found.source) != "buy" || !matches!(token, "in" | "a" | "per" | "each") {
        return None;
    }
    let behind = found.before().rsplit('"').next().unwrap_or("");
    let priced = behind.split_whitespace().any(|word| word == "at");
    let message = match (token, priced) {
        ("in", true) => "what a pack holds must be written before the price",
        ("in", false) => "a pack is written with `in packs of` and what it holds",
        (_, true) => "the price of a pack is written without `a pack`",
        (_, false) => {
            "a pack is written with `in packs of` and what it holds, whatever it is called in the shop"
        }
    };
    Some(Fault::new(Code::Syntax, span, message).hint(format!("such a line looks like this: {SHAPE}")))
}

/// `10 in in cm`, `10 in cm`, `8 in x 11 in`, behind a value.
fn other_words(found: &Found<'_>, token: &str, span: Span) -> Option<Fault> {
    let value = found.before().ends_with(|c: char| c.is_alphanumeric() || "\"')}]%°²³″′”’".contains(c));
    let value = value.then(|| found.before().rsplit(['=', ':', ',']).next().unwrap_or("").trim())?;
    let value = value
        .strip_prefix(first_word(value))
        .filter(|_| LINE_WORDS.contains(&first_word(value)))
        .unwrap_or(value)
        .trim();
    if value.is_empty() || found.before().starts_with("find ") {
        return None;
    }
    let joined = ["in ", "as ", "into ", "to "].iter().find_map(|word| found.rest().strip_prefix(word));
    let unit = joined.unwrap_or(found.rest()).trim();
    let size = |across: &str, along: &str| {
        let across = if across.contains('(') { across } else { last_term(across) };
        if across.contains(" by ") {
            let fault = Fault::new(Code::Syntax, span, "a product is written with `*`");
            return Some(fault.hint(format!("write `({across}) * {along}`")));
        }
        let number =
            |side: &str| side.trim().bytes().all(|b| b.is_ascii_digit() || matches!(b, b'.' | b'/' | b'%'));
        let product = if number(across) || number(along) { "a product" } else { "an area" };
        let fault = Fault::new(Code::Ambiguous, span, format!("this could be a size or {product}"))
            .hint(format!("a size is written with `by`: `{across} by {along}`"));
        Some(fault.hint(format!("{product} with `*`: `{across} * {along}`")))
    };
    let digit = |c: char| c.is_ascii_digit();
    if let Some((across, along)) = value.split_once(['x', 'X', '\u{D7}'])
        && across.ends_with(digit)
        && along.starts_with(digit)
    {
        return size(across, &format!("{along} {}", found.rest().trim()));
    }
    // Behind a number or a bracket the sign was taken for a unit.
    if let Some(across) = value.strip_suffix(" x").or_else(|| value.strip_suffix(" X")) {
        return size(across, found.rest().trim());
    }
    let measured = value.starts_with(digit) || unit.len() < found.rest().trim().len();
    if measured && unit.chars().all(char::is_alphabetic) && is_unit(unit) && !value.contains("shown") {
        return Some(refuse::shown_in(span, value, unit));
    }
    let other =
        found.rest().strip_prefix(['x', 'X', '\u{D7}']).filter(|_| token.chars().count() == 1)?.trim();
    if !other.starts_with(|c: char| c.is_alphanumeric() || c == '(') {
        return None;
    }
    size(value, other)
}

/// What comes after the last sign of a sum.
fn last_term(sum: &str) -> &str {
    sum.rsplit_once([" + ", " - "].into_iter().max_by_key(|sign| sum.rfind(sign)).unwrap_or(" + "))
        .map_or(sum, |(_, last)| last)
}
