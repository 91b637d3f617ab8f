//! What is wrong with a line that the grammar does not take, in plain words.

use std::ops::Range;

use pest::error::{Error, ErrorVariant, InputLocation};

use super::climb::Rule;
use super::habits;
use super::lacking::lacking;
use super::phrases::Trouble;
use super::refuse::word_for_value;
use super::scan::Flaw;
use super::stopped::Found;
use super::words::{LINE_WORDS, first_word, is_word};
use crate::fault::{Code, Fault, FileId, Span};
use crate::limits::{CHAIN, LINE, NESTING};

/// What the scan found wrong with brackets and texts.
pub fn flaw(flaw: Flaw, line: Range<usize>, file: FileId, text: &str) -> Fault {
    let sign = |byte: usize| text.get(byte..).and_then(|rest| rest.chars().next()).unwrap_or('(');
    let at = |byte: usize| Span::new(file, byte, byte.saturating_add(sign(byte).len_utf8()).min(text.len()));
    match flaw {
        Flaw::Unclosed(byte) => {
            let message = format!("this `{}` is never closed", sign(byte));
            Fault::new(Code::Unfinished, at(byte), message)
        }
        Flaw::OpenText(byte) => {
            let fault = Fault::new(Code::Unfinished, at(byte), "this text has no closing quote on its row");
            let before = text.get(line.start..byte).unwrap_or("");
            match inch_mark_before(before) {
                Some(mark) => {
                    let mark = line.start.saturating_add(mark);
                    fault
                        .other(at(mark), "an inch mark here ended a text early")
                        .hint("inside a text write `in`, or `\\\"` for the mark")
                }
                None => fault,
            }
        }
        Flaw::OpenFill(opener, byte) => {
            let brace = text
                .get(opener..byte)
                .and_then(|part| part.rfind('{'))
                .map_or(opener, |n| opener.saturating_add(n));
            Fault::new(Code::Unfinished, at(brace), "this `{` is never closed in its text")
                .hint("braces hold a value, `{width}`; for a brace itself write `{{`")
        }
        Flaw::Stray(byte) => {
            Fault::new(Code::Syntax, at(byte), format!("this `{}` closes nothing", sign(byte)))
        }
        Flaw::Mismatch(byte, opener) => {
            let message = format!("this `{}` does not close the `{}` before it", sign(byte), sign(opener));
            Fault::new(Code::Syntax, at(byte), message).other(at(opener), "opened here")
        }
        Flaw::TooDeep(byte) => {
            Fault::new(Code::TooDeep, at(byte), format!("brackets are nested more than {NESTING} deep here"))
                .hint("give a part of it a name on a line above")
        }
        Flaw::TooLong(byte) => {
            let message = format!("this sum is more than {CHAIN} steps long");
            Fault::new(Code::TooDeep, at(byte), message)
                .hint("give a part of it a name on a line above, or add up a list with `sum(…)`")
        }
        Flaw::HugeLine(byte) => {
            let message = format!("this line is longer than {LINE} letters");
            Fault::new(Code::TooDeep, at(byte), message).hint("split it, with several names")
        }
    }
}

/// A quote that ends a text right behind a digit.
fn inch_mark_before(text: &str) -> Option<usize> {
    let bytes = text.as_bytes();
    let mut inside = false;
    let mut found = None;
    for (at, byte) in bytes.iter().enumerate() {
        if *byte == b'"' {
            let behind_digit = at.checked_sub(1).and_then(|n| bytes.get(n)).is_some_and(u8::is_ascii_digit);
            if inside {
                found = behind_digit.then_some(at);
                inside = false;
            } else if !behind_digit {
                inside = true;
            }
        }
    }
    found
}

/// An expression was wanted, and a line of a recipe stands here.
pub fn not_an_expression(span: Span) -> Fault {
    Fault::new(Code::Syntax, span, "write one sum here, such as `6 * 3/4 in`")
}

fn within(file: FileId, start: usize, length: usize) -> Span {
    Span::new(file, start, start.saturating_add(length))
}

/// A line that the grammar does not take, and what kind of trouble that is.
pub fn grammar(error: &Error<Rule>, source: &str, line: Span) -> (Fault, Trouble) {
    let known = |fault: Fault| (fault, Trouble::Known);
    let at = match error.location {
        InputLocation::Pos(at) | InputLocation::Span((at, _)) => at.min(source.len()),
    };
    let wanted: &[Rule] = match &error.variant {
        ErrorVariant::ParsingError { positives, .. } => positives,
        ErrorVariant::CustomError { .. } => &[],
    };
    let found = Found::at(source, at);
    let at = found.at;
    let base = line.start as usize;
    let token = found.token().to_owned();
    let span = within(line.file, base.saturating_add(at), token.len());
    if let Some(fault) = known_slip(&found, &token, span) {
        return known(fault);
    }
    if let Some(words) = lacking(source) {
        return known(shaped(Fault::new(Code::Syntax, span, words), source, &found));
    }
    let value_wanted = wanted
        .iter()
        .any(|rule| matches!(rule, Rule::literal | Rule::bracket | Rule::list | Rule::expr | Rule::bound));
    if token.is_empty() {
        return known(ends_early(&found, wanted, value_wanted, span, source));
    }
    if is_word(&token) && value_wanted {
        return known(word_for_value(&token, span));
    }
    if at == 0 && LINE_WORDS.contains(&token.as_str()) {
        let fault = Fault::new(Code::Syntax, span, format!("this `{token}` line is incomplete"));
        return known(shaped(fault, source, &found));
    }
    let what = expected(wanted, value_wanted, first_word(source));
    let fault = Fault::new(Code::Syntax, span, format!("`{token}` does not belong here"));
    let fault = match what {
        Some("the end of the line") => fault.label("the line must end here"),
        Some(what) => fault.label(format!("write {what} here")),
        None => fault,
    };
    (shaped(fault, source, &found), Trouble::Misplaced)
}

/// The line ends where more is wanted.
fn ends_early(found: &Found<'_>, wanted: &[Rule], value_wanted: bool, span: Span, source: &str) -> Fault {
    let what =
        expected(wanted, value_wanted, first_word(source)).filter(|what| !what.ends_with("of the line"));
    let what = what.unwrap_or("more");
    let message = match found.before().split_whitespace().last() {
        Some(last) if last.len() < 30 => format!("the line ends after `{last}`, and {what} is missing"),
        _ => format!("the line ends here, and {what} is missing"),
    };
    shaped(Fault::new(Code::Syntax, span, message), source, found)
}

/// What the grammar would have taken, in plain words; the first that it would have taken is told.
const EXPECTED: &[(&[Rule], &str)] = &[
    (&[Rule::cut_way], "`on grain`, `may turn`, `along selvage` or `mirrored`"),
    (&[Rule::plan_way], "a way to lay it out, such as `in strips` or `folded`,"),
    (&[Rule::tool], "`rotary` or `scissors`"),
    (&[Rule::params], "the rule's brackets"),
    (&[Rule::word, Rule::arg_name, Rule::block_name, Rule::param], "a name"),
    (&[Rule::kind], "a kind of value, such as `length`,"),
    (&[Rule::unit_behind], "a unit"),
    (&[Rule::infix], "a sign such as `+`, or end the line"),
    (&[Rule::EOI], "the end of the line"),
];

fn expected(wanted: &[Rule], value_wanted: bool, line_word: &str) -> Option<&'static str> {
    let has = |rule: &Rule| wanted.contains(rule);
    if value_wanted {
        return Some("a value");
    }
    if has(&Rule::text) && matches!(line_word, "recipe" | "note" | "step" | "caution" | "use" | "cut" | "buy")
    {
        return Some("text in quotes");
    }
    EXPECTED.iter().find(|(rules, _)| rules.iter().any(has)).map(|(_, words)| *words)
}

/// Slips that have a better answer than "cannot stand here".
fn known_slip(found: &Found<'_>, token: &str, span: Span) -> Option<Fault> {
    let say = |message: &str, hint: &str| Some(Fault::new(Code::Syntax, span, message).hint(hint));
    let last = found.before().rsplit(|c: char| !(c.is_alphanumeric() || c == '_')).next().unwrap_or("");
    let start = (span.start as usize).saturating_sub(found.at);
    let start = start.saturating_add(found.before().len().saturating_sub(last.len()));
    let place = within(span.file, start, last.len());
    if matches!(last, "find" | "why") && found.before().contains('=') {
        let shape = match last {
            "find" => {
                "write `find sashing from 1/2 in to 4 in so that …`: this also gives the name its value"
            }
            _ => "write `why flat` on its own row",
        };
        let fault = Fault::new(Code::Syntax, place, format!("`{last}` must begin a line"));
        return Some(fault.hint(shape));
    }
    if let Some(fault) = habits::slip(found, token, span) {
        return Some(fault);
    }
    match token {
        "*" if found.before().ends_with('*') => {
            say("`**` is not a sign of the language", "for a power write `^`")
        }
        "==" => say("`==` is not a sign of the language", "to compare write `is`"),
        "!=" => say("`!=` is not a sign of the language", "to compare write `is not`"),
        "&&" => say("`&&` is not a sign of the language", "write `and`"),
        "||" => say("`||` is not a sign of the language", "write `or`"),
        "**" => say("`**` is not a sign of the language", "for a power write `^`"),
        "=" => say("`=` gives a value to a name at the start of a line", "to compare write `is`"),
        "\u{201C}" | "\u{201D}" | "\u{201E}" | "\u{AB}" | "\u{BB}" => {
            say("text must be in straight quotes", "write `\"` instead of the curly quote")
        }
        "'" | "\u{2018}" | "\u{2019}" => say("text must be in double quotes", "write `\"` instead of `'`"),
        "separate" => say(
            "`separate` needs a count, a name for the things, and the measure of each",
            "write it like `12 separate seams of 1/4 in ± 1/32 in`",
        ),
        "plus" => say("`plus` is not a word of the language", "write `+`"),
        "minus" => say("`minus` is not a word of the language", "write `-`"),
        "times" | "multiplied" => say("a product is written with a sign", "write `*`"),
        "divided" | "over" => say("a division is written with a sign", "write `/`"),
        "as" | "into" => {
            say("a measure in another unit is written with `shown in`", "write `10 in shown in cm`")
        }
        "less" => say("`less` is not a word of the language", "write `-`; 10% less is `* (100% - 10%)`"),
        "more" => say("`more` is not a word of the language", "write `+`; 10% more is `* (100% + 10%)`"),
        "so" if found.rest().starts_with("so that") => {
            let shape = "write `find sashing from 1/2 in to 4 in so that 5 * 9 in + 6 * sashing is 60 in`";
            say("`so that` belongs to a `find` line", shape)
        }
        "per" => say("`per` is not a word of the language", "write `/` without spaces: `14.50 EUR/m`"),
        "@" => say(
            "`@` is not a sign of the language",
            "write a price with `at`: `buy 3 m \"tape\" at 1.20 EUR/m`",
        ),
        ";" => say("`;` has no use here", "write each line of the recipe on its own row"),
        "$" => say(
            "`$` is the sign of many currencies",
            "write the currency code after the number, such as `5 USD`, `5 CAD` or `5 AUD`",
        ),
        "€" | "£" if !found.rest().is_empty() => {
            say("the sign of a currency must be after its number", "write `5 €`, or `5 EUR`")
        }
        "\"" if found.before().ends_with(|c: char| c.is_ascii_digit()) => None,
        "%" => say("`%` must be right after its number", "write `5%`"),
        _ => None,
    }
}

/// Adds the shape of the line, where its first word tells which is meant.
fn shaped(fault: Fault, source: &str, found: &Found<'_>) -> Fault {
    if let Some(mark) = inch_mark_before(found.before()) {
        let start = fault.span().map_or(0, |span| span.start as usize).saturating_sub(found.at);
        let file = fault.span().map_or(FileId(0), |span| span.file);
        return fault
            .other(within(file, start.saturating_add(mark), 1), "an inch mark here ended a text early")
            .hint("inside a text write `in`, or `\\\"` for the mark");
    }
    let shape = match first_word(source) {
        "recipe" => "recipe \"Harbour table runner\"",
        "note" => "note \"words\"",
        "step" => "step \"words, with {values} filled in\"",
        "caution" => "caution \"words\"",
        "use" => "use \"house.scant\"",
        "given" => "given depth = 1/8 in from 1/16 in to 1/2 in",
        "rule" => "rule twice(x: length) = 2 * x",
        "cut" => "cut 2 \"panel\" from linen: 14 in by 48 in",
        "have" => "have 1 of linen: 18 in by 22 in",
        "plan" => "plan linen edge to edge, for 12 kits",
        "tool" => "tool scissors",
        "why" => "why flat",
        "find" => "find sashing from 1/2 in to 4 in so that 5 * 9 in + 6 * sashing is 60 in",
        "buy" if source.contains("pack") => "buy 30 \"button\" in packs of 12 at 2.80 EUR",
        "buy" => "buy 3 m \"cotton tape\" at 1.20 EUR/m",
        "measured" => "measured top = 59 5/8 in by 71 3/4 in, already cut \"side border\"",
        "show" => "show \"cut size\": flat",
        "draw" => "draw \"the flap\": flap.outline",
        "check" => "check flat.across <= linen.usable: \"too wide\"",
        "if" => "if a < b then a else b",
        "each" => "each k from 1 to 9: k * 2 in",
        "seam" => "seam 1/4 in",
        "ruler" => "ruler 1/16 in",
        "shop" => "shop 1/8 yd",
        _ => return fault,
    };
    fault.hint(format!("such a line looks like this: `{shape}`"))
}
