//! Units behind a number, compound ones too.

use super::fault;
use super::{ReadFault, ReadKind};
use crate::measure::trouble::Trouble;
use crate::measure::unit::UnitId;
use crate::measure::unit_expr::UnitExpr;

/// The unit that begins at that byte, and the byte behind it; none where no word begins there.
pub(in crate::measure) fn unit_at(text: &str, at: usize) -> Result<Option<(UnitExpr, usize)>, ReadFault> {
    let end = name_end(text, at);
    if end == text.len()
        && let Some(unit) = text.get(at..).and_then(UnitId::find)
    {
        return Ok(Some((UnitExpr::one(unit), end)));
    }
    let Some(name) = text.get(at..end).filter(|name| !name.is_empty()) else {
        return Ok(None);
    };
    let (unit, end) = named(text, name, at, end)?;
    if goes_on(text, end) {
        return compound(text, at).map(Some);
    }
    Ok(Some((UnitExpr::one(unit), end)))
}

/// The byte behind the name that begins at `at`: a word, or one sign.
fn name_end(text: &str, at: usize) -> usize {
    let rest = text.get(at..).unwrap_or("");
    let letters = rest.bytes().take_while(u8::is_ascii_alphabetic).count();
    if letters > 0 && rest.as_bytes().get(letters).is_none_or(|byte| byte.is_ascii() && *byte != b'_') {
        return at + letters;
    }
    let word: usize = rest.chars().take_while(|c| c.is_alphabetic() || *c == '_').map(char::len_utf8).sum();
    let sign = || rest.chars().next().filter(|c| is_sign(*c)).map_or(0, char::len_utf8);
    at + if word > 0 { word } else { sign() }
}

fn is_sign(c: char) -> bool {
    matches!(c, '"' | '\'' | '″' | '′' | '”' | '’' | '%' | '°' | '€' | '£' | '$')
}

/// The unit of a name; `in.` keeps its point.
fn named(text: &str, name: &str, at: usize, end: usize) -> Result<(UnitId, usize), ReadFault> {
    let end =
        if name == "in" && text.get(end..).is_some_and(|rest| rest.starts_with('.')) { end + 1 } else { end };
    if name == "$" {
        return Err(fault::which_dollar(text, at));
    }
    match UnitId::find(name) {
        Some(unit) => Ok((unit, end)),
        None => Err(fault::unknown_unit(at..end, name)),
    }
}

fn is_joint(c: char) -> bool {
    matches!(c, '*' | '·' | '/' | '⁄')
}

/// Whether a power, or a further unit, stands at `at`.
fn goes_on(text: &str, at: usize) -> bool {
    let Some(&byte) = text.as_bytes().get(at) else { return false };
    if byte == b' ' {
        return false;
    }
    let mut rest = text.get(at..).unwrap_or("").chars();
    match (rest.next(), rest.next()) {
        (Some('^' | '²' | '³'), _) => true,
        (Some(joint), Some(next)) if is_joint(joint) => next.is_alphabetic() || is_sign(next),
        _ => false,
    }
}

fn compound(text: &str, start: usize) -> Result<(UnitExpr, usize), ReadFault> {
    let (mut at, mut below) = (start, false);
    let (mut parts, mut names): (Vec<(UnitId, i8)>, Vec<Box<str>>) = (Vec::new(), Vec::new());
    loop {
        let end = name_end(text, at);
        let name = text.get(at..end).unwrap_or("");
        let (unit, end) = named(text, name, at, end)?;
        let (power, end) = power_at(text, end)?;
        parts.push((unit, if below { -power } else { power }));
        names.push(name.into());
        at = end;
        if !goes_on(text, at) {
            break;
        }
        let joint = text.get(at..).and_then(|rest| rest.chars().next()).filter(|c| is_joint(*c));
        let Some(joint) = joint else {
            return Err(ReadFault::syntax(at..text.len(), "a unit has one power only"));
        };
        below = matches!(joint, '/' | '⁄');
        at += joint.len_utf8();
    }
    let percent =
        parts.iter().any(|(unit, power)| *unit == UnitId::PERCENT && (parts.len() > 1 || *power != 1));
    if percent {
        return Err(ReadFault::syntax(start..at, "`%` stands alone, not within a unit"));
    }
    match UnitExpr::of(&parts) {
        Ok(unit) => Ok((unit.named(if parts.len() > 1 { names } else { Vec::new() }), at)),
        Err(trouble) => Err(refused(trouble, start..at)),
    }
}

fn refused(trouble: Trouble, range: std::ops::Range<usize>) -> ReadFault {
    let message = match trouble {
        Trouble::MoneyMix => "money stands once in a unit, and never squared",
        _ => "this unit is made of more than anyone can measure",
    };
    ReadFault::new(ReadKind::Syntax, range, message)
}

/// The power behind a unit, 1 where there is none.
fn power_at(text: &str, at: usize) -> Result<(i8, usize), ReadFault> {
    let rest = text.get(at..).unwrap_or("");
    match rest.chars().next() {
        Some('²') => return Ok((2, at + '²'.len_utf8())),
        Some('³') => return Ok((3, at + '³'.len_utf8())),
        Some('^') => {}
        _ => return Ok((1, at)),
    }
    let behind = rest.get(1..).unwrap_or("");
    let sign = usize::from(behind.starts_with('-'));
    let digits = behind.bytes().skip(sign).take_while(u8::is_ascii_digit).count();
    let power = behind.get(..sign + digits).and_then(|power| power.parse::<i8>().ok());
    match power {
        Some(power) if power != 0 && power.unsigned_abs() <= 9 => Ok((power, at + 1 + sign + digits)),
        _ => Err(ReadFault::syntax(
            at..text.len(),
            "a unit's power is a whole number from 1 to 9, as in `in^2`",
        )),
    }
}
