//! What could be read two ways is refused, with both readings in the writer's own words.

use super::tree::{BinaryOp, Expr, ExprKind};
use crate::fault::{Code, Fault, Span};
use crate::measure::{Dim, UnitId, is_unit};

fn under(text: &str, expr: &Expr) -> String {
    text.get(expr.span.range()).unwrap_or("").to_owned()
}

fn two_ways(span: Span, written: &str, first: String, second: String) -> Fault {
    Fault::new(Code::Ambiguous, span, format!("`{written}` can be read two ways"))
        .hint(format!("write `{first}` or `{second}`"))
}

/// A literal without a unit that is written as a tight fraction.
fn bare_fraction<'a>(expr: &Expr, text: &'a str) -> Option<(&'a str, &'a str)> {
    match &expr.kind {
        ExprKind::Measure(quantity) if quantity.dim == Dim::NONE => {
            let written = text.get(expr.span.range())?;
            written
                .split_once('/')
                .filter(|(above, _)| !above.contains([' ', '-', '%']) && !written.contains('%'))
        }
        _ => None,
    }
}

fn literal_with_unit(expr: &Expr) -> bool {
    matches!(&expr.kind, ExprKind::Measure(quantity) if quantity.dim != Dim::NONE)
}

/// `a / 1/2`: by a half, or by one and then by two?
pub fn divide_by_fraction(left: &Expr, right: &Expr, text: &str) -> Option<Fault> {
    let (above, below) = bare_fraction(right, text)?;
    let left_text = under(text, left);
    let span = left.span.to(right.span);
    let written = text.get(span.range()).unwrap_or("");
    let fraction = format!("{left_text} / ({above}/{below})");
    Some(two_ways(span, written, fraction, format!("({left_text} / {above}) / {below}")))
}

/// `2in3/8`: a fraction of an inch, or of cubic inches?
pub fn fraction_after_unit(left: &Expr, right: &Expr, text: &str) -> Option<Fault> {
    let span = left.span.to(right.span);
    let (written, before, below) = (text.get(span.range())?, under(text, left), under(text, right));
    let base = before.strip_suffix(['2', '3'])?;
    let above = before.get(base.len()..)?;
    let unit = base.trim_start_matches(|c: char| c.is_ascii_digit() || c.is_whitespace());
    let number = base.get(..base.len().checked_sub(unit.len())?)?.trim_end();
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    let marks = ["4", "8", "16", "32", "64"].contains(&below.as_str());
    let inches = UnitId::find(unit).is_some_and(|unit| [UnitId::IN, UnitId::FT, UnitId::YD].contains(&unit));
    if !(inches && marks && digits(number) && written == format!("{before}/{below}")) {
        return None;
    }
    let whole = format!("{number} {above}/{below} {unit}");
    Some(two_ways(span, written, whole, format!("{number} {unit}^{above} / {below}")))
}

/// `2^1/2`, `3 in ^ 2`
pub fn power(left: &Expr, right: &Expr, text: &str) -> Option<Fault> {
    let span = left.span.to(right.span);
    let written = text.get(span.range()).unwrap_or("");
    let (left_text, right_text) = (under(text, left), under(text, right));
    if let Some((above, below)) = bare_fraction(right, text) {
        let whole = format!("{left_text}^({above}/{below})");
        return Some(two_ways(span, written, whole, format!("({left_text}^{above}) / {below}")));
    }
    if literal_with_unit(left) {
        let unit = format!("{left_text}^{right_text}");
        return Some(two_ways(span, written, format!("({left_text})^{right_text}"), unit));
    }
    None
}

/// `-2^2`
pub fn minus_power(span: Span, base: &str, exponent: &str) -> Fault {
    two_ways(
        span,
        &format!("-{base}^{exponent}"),
        format!("-({base}^{exponent})"),
        format!("(-{base})^{exponent}"),
    )
}

/// A number written without a unit.
fn bare(expr: &Expr) -> bool {
    matches!(&expr.kind, ExprKind::Measure(quantity) if quantity.dim == Dim::NONE)
}

/// `8 in × 11 in`: a size, or an area?
pub fn times_between_lengths(left: &Expr, right: &Expr, text: &str) -> Option<Fault> {
    if !literal_with_unit(left) && !literal_with_unit(right) || bare(left) || bare(right) {
        return None;
    }
    let span = left.span.to(right.span);
    let written = text.get(span.range()).unwrap_or("");
    let (a, b) = (under(text, left), under(text, right));
    let fault = Fault::new(Code::Ambiguous, span, format!("`{written}` can be read two ways"));
    Some(fault.hint(format!("for a size write `{a} by {b}`, for a product `{a} * {b}`")))
}

/// `5 of strips`: five times it, or the fifth?
pub fn count_of(left: &Expr, right: &Expr, text: &str) -> Option<Fault> {
    let (count, name) = (under(text, left), under(text, right));
    let whole = bare(left) && count.bytes().all(|byte| byte.is_ascii_digit());
    if !whole || !matches!(right.kind, ExprKind::Name(_)) {
        return None;
    }
    let span = left.span.to(right.span);
    let fault = Fault::new(Code::Ambiguous, span, format!("`{count} of {name}` can be read two ways"));
    Some(fault.hint(format!(
        "for {count} times it write `{count} * {name}`, for an item of a list `{name}[{count}]`"
    )))
}

/// `5 yd of 1 1/2 in`: a strip, and no part of it.
pub fn measure_of(left: &Expr, right: &Expr, text: &str) -> Option<Fault> {
    if !(literal_with_unit(left) && literal_with_unit(right)) {
        return None;
    }
    let (first, second) = (under(text, left), under(text, right));
    let span = left.span.to(right.span);
    let fault =
        Fault::new(Code::Ambiguous, span, format!("`{first}` is a measure, and no part of `{second}`"));
    Some(fault.hint("`of` goes after a part: `1/2 of 3 in`, `5% of 4 yd`").hint(format!(
        "for a strip write its size, `{second} by {first}`, or its area, `{second} * {first}`"
    )))
}

/// `3 yards and 6 inches`
pub fn and_of_measures(left: &Expr, right: &Expr, text: &str) -> Option<Fault> {
    if !literal_with_unit(left) || !literal_with_unit(right) {
        return None;
    }
    let fault =
        Fault::new(Code::Syntax, left.span.to(right.span), "`and` joins two comparisons, not two measures");
    Some(fault.hint(format!("to add them write `{} + {}`", under(text, left), under(text, right))))
}

/// `"left" or "right"`
pub fn or_of_texts(left: &Expr, right: &Expr, text: &str) -> Option<Fault> {
    if !matches!((&left.kind, &right.kind), (ExprKind::Text(_), ExprKind::Text(_))) {
        return None;
    }
    let (one, other) = (under(text, left), under(text, right));
    let fault =
        Fault::new(Code::Syntax, left.span.to(right.span), "`or` joins two comparisons, not two texts");
    Some(fault.hint(format!("choices of a given are written `given side = {one} one of {one}, {other}`")))
}

/// `10 in to cm`
pub fn to_unit(from: &Expr, to: &Expr, text: &str) -> Option<Fault> {
    let ExprKind::Name(name) = &to.kind else { return None };
    (literal_with_unit(from) && is_unit(name))
        .then(|| shown_in(from.span.to(to.span), &under(text, from), name))
}

/// A conversion in other words than those of the language.
pub fn shown_in(span: Span, value: &str, unit: &str) -> Fault {
    Fault::new(Code::Syntax, span, "a measure in another unit is written with `shown in`")
        .hint(format!("write `{value} shown in {unit}`"))
}

/// `2 * 12 in by 36 in`: twice the size, or twice its width?
pub fn times_by(left: &Expr, right: &Expr, text: &str) -> Option<Fault> {
    let ExprKind::Binary(binary) = &left.kind else { return None };
    if !matches!(binary.op, BinaryOp::Multiply | BinaryOp::Of) || !bare(&binary.left) {
        return None;
    }
    let span = left.span.to(right.span);
    let written = text.get(span.range()).unwrap_or("");
    let sign = text.get(binary.op_span.range()).unwrap_or("*");
    let (n, across, along) = (under(text, &binary.left), under(text, &binary.right), under(text, right));
    let whole = format!("{n} {sign} ({across} by {along})");
    Some(two_ways(span, written, whole, format!("({n} {sign} {across}) by {along}")))
}

/// `8 in ± 1/16 in ± 1/32 in`
pub fn slack_of_slack(sign: Span) -> Fault {
    Fault::new(Code::Syntax, sign, "one measure can have only one `±`")
        .hint("add the two after it: `8 in ± (1/16 in + 1/32 in)`")
}

/// A word of the language where a name is wanted.
pub fn reserved(word: &str, span: Span) -> Fault {
    Fault::new(Code::ReservedWord, span, format!("`{word}` is a word of the language and cannot be a name"))
        .hint("choose another name, such as two words joined by `_`")
}

/// A word of the language where a value is wanted.
pub fn word_for_value(word: &str, span: Span) -> Fault {
    Fault::new(Code::Syntax, span, format!("write a value here; `{word}` is a word of the language"))
}

/// `(a + b)(c)`, `3(c)`
pub fn not_callable(span: Span, written: &str) -> Fault {
    Fault::new(Code::Syntax, span, "only a rule's name can have brackets right after it")
        .hint(format!("to multiply write `{written} * (…)`"))
}

/// `f(seam: 1/4 in, 3 in)`
pub fn positional_after_named(span: Span) -> Fault {
    Fault::new(Code::Syntax, span, "a value without a name must come before those with a name")
        .hint("move it to the front, or write its name before it")
}
