//! Units after a number, compound ones too.

use super::ReadFault;
use super::fault;
use crate::measure::{Trouble, UnitExpr, UnitId};

/// The unit that begins at that byte, and the byte after it; none where no word begins there.
pub(in crate::measure) fn unit_at(text: &str, at: usize) -> Result<Option<(UnitExpr, usize)>, ReadFault> {
    let rest = text.get(at..).unwrap_or("");
    let name = name_of(rest);
    if name.is_empty() {
        return Ok(None);
    }
    if name.len() == rest.len()
        && let Some(unit) = UnitId::find(name)
    {
        return Ok(Some((UnitExpr::one(unit), text.len())));
    }
    let first = part(text, at)?;
    match first {
        Part { unit, power: 1, end, .. } if joint(text, end).is_none() => {
            Ok(Some((UnitExpr::one(unit), end)))
        }
        _ => compound(text, at, first).map(Some),
    }
}

/// The name at the start: a word, or one sign.
fn name_of(rest: &str) -> &str {
    let word = rest.find(|c: char| !(c.is_alphabetic() || c == '_')).unwrap_or(rest.len());
    let sign = || rest.chars().next().filter(|c| is_sign(*c)).map_or(0, char::len_utf8);
    rest.get(..if word > 0 { word } else { sign() }).unwrap_or("")
}

fn is_sign(c: char) -> bool {
    matches!(c, '%' | '°' | '€' | '£' | '$') || is_mark(c)
}

/// The marks of inches and feet.
pub(super) fn is_mark(c: char) -> bool {
    matches!(c, '"' | '\'' | '″' | '′' | '”' | '“' | '’' | '‘')
}

/// A unit and its power, and the byte after both.
struct Part {
    unit: UnitId,
    power: i8,
    end: usize,
}

/// `in`, `in^2`, `m²`, `m2`, `sq in`
fn part(text: &str, start: usize) -> Result<Part, ReadFault> {
    let rest = text.get(start..).unwrap_or("");
    let name = name_of(rest);
    let square = ["sq", "square"].contains(&name).then(|| {
        let behind = rest.get(name.len()..).unwrap_or("");
        text.len().saturating_sub(behind.trim_start_matches('.').trim_start().len())
    });
    if let Some(at) = square.filter(|at| UnitId::find(name_of(text.get(*at..).unwrap_or(""))).is_some()) {
        let (unit, end) = named(text, at)?;
        return Ok(Part { unit, power: 2, end });
    }
    let (unit, end) = named(text, start)?;
    let (power, end) = power_at(text, end, !name.starts_with(is_sign))?;
    Ok(Part { unit, power, end })
}

/// The unit of a name and the byte after it; `in.` keeps its point.
fn named(text: &str, at: usize) -> Result<(UnitId, usize), ReadFault> {
    let rest = text.get(at..).unwrap_or("");
    let name = match name_of(rest) {
        "in" => rest.get(..3).filter(|name| *name == "in.").unwrap_or("in"),
        name => name,
    };
    let end = at.saturating_add(name.len());
    match UnitId::find(name) {
        Some(unit) => Ok((unit, end)),
        None if name == "$" => Err(fault::which_dollar(text, at)),
        None if matches!(name, "x" | "X")
            && super::signs::starts_figure(text.get(end..).unwrap_or("").trim_start()) =>
        {
            Err(fault::size_or_area(text, at..end))
        }
        None => Err(fault::unknown_unit(at..end, name)),
    }
}

/// The sign that joins a further unit, and the byte where that begins. With spaces round it a sign joins
/// only what is a unit.
fn joint(text: &str, at: usize) -> Option<(char, usize)> {
    let rest = text.get(at..)?;
    let sign = rest.trim_start();
    let joint = sign.chars().next().filter(|c| matches!(c, '*' | '·' | '/' | '⁄'))?;
    let behind = sign.get(joint.len_utf8()..)?;
    let next = behind.trim_start();
    let tight = sign.len() == rest.len() && next.len() == behind.len();
    let joins = match tight {
        true => next.starts_with(|c: char| c.is_alphabetic() || is_sign(c)),
        false => joint == '/' && part(next, 0).is_ok(),
    };
    joins.then(|| (joint, text.len().saturating_sub(next.len())))
}

fn compound(text: &str, start: usize, first: Part) -> Result<(UnitExpr, usize), ReadFault> {
    let mut at = first.end;
    let mut parts: Vec<(UnitId, i8)> = vec![(first.unit, first.power)];
    while let Some((joint, next)) = joint(text, at) {
        let Part { unit, power, end } = part(text, next)?;
        parts.push((unit, if matches!(joint, '/' | '⁄') { power.saturating_neg() } else { power }));
        at = end;
    }
    if text.get(at..).is_some_and(|rest| rest.starts_with(['^', '²', '³'])) {
        return Err(ReadFault::syntax(at..text.len(), "a unit has one power only"));
    }
    if parts.iter().any(|(unit, _)| *unit == UnitId::PERCENT) {
        return Err(ReadFault::syntax(start..at, "`%` cannot be part of a longer unit"));
    }
    let refused = |trouble| {
        let message = match trouble {
            Trouble::MoneyMix => "money can be in a unit only once, and not squared",
            _ => "this unit has too many parts or too high a power",
        };
        ReadFault::syntax(start..at, message)
    };
    UnitExpr::of(&parts).map(|unit| (unit, at)).map_err(refused)
}

/// The power after a unit, 1 where there is none, and the byte after it. A bare digit is one after a
/// word, where no figure goes on: `m2`, but not `6ft2in`.
fn power_at(text: &str, at: usize, word: bool) -> Result<(i8, usize), ReadFault> {
    let rest = text.get(at..).unwrap_or("");
    let behind = |len: usize| at.saturating_add(len);
    match rest.chars().next() {
        Some('²') => return Ok((2, behind('²'.len_utf8()))),
        Some('³') => return Ok((3, behind('³'.len_utf8()))),
        Some('^') => {}
        Some(digit @ ('2' | '3')) if word => {
            let next = rest.get(1..).unwrap_or("").trim_start();
            let ends = next.is_empty() || joint(text, behind(1)).is_some();
            return Ok(if ends { (if digit == '2' { 2 } else { 3 }, behind(1)) } else { (1, at) });
        }
        _ => return Ok((1, at)),
    }
    let power = rest.get(1..).unwrap_or("");
    let sign = usize::from(power.starts_with('-'));
    let digits = power.get(sign..).and_then(|digits| digits.find(|c: char| !c.is_ascii_digit()));
    let power = power.get(..digits.map_or(power.len(), |digits| digits.saturating_add(sign))).unwrap_or("");
    match power.parse::<i8>() {
        Ok(n) if n != 0 && n != i8::MIN => Ok((n, behind(power.len().saturating_add(1)))),
        _ => Err(ReadFault::syntax(
            at..text.len(),
            "a unit's power is a whole number from 1 to 127, as in `in^2`",
        )),
    }
}

impl UnitExpr {
    /// Reads a unit; the whole text must be one.
    pub fn parse(text: &str) -> Result<UnitExpr, ReadFault> {
        let start = text.len().saturating_sub(text.trim_start().len());
        match unit_at(text, start)? {
            Some((unit, end)) if text.trim_end().len() == end => Ok(unit),
            Some((_, end)) => Err(ReadFault::syntax(end..text.len(), "a unit ends before this")),
            None => Err(ReadFault::syntax(0..text.len(), "write a unit here")),
        }
    }
}
