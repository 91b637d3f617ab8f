//! What each column of a table is for.

use std::collections::{HashMap, HashSet};
use std::rc::Rc;

use super::rows::{self, bad_table};
use crate::fault::{Code, Fault, closest};
use crate::limits::FAULTS;
use crate::measure::UnitExpr;

/// The columns of a table by what they are for.
#[derive(Debug, Default)]
pub(super) struct Columns {
    /// The column that labels the rows.
    pub label: Option<usize>,
    /// Column and given, in order of the columns.
    pub givens: Vec<(usize, usize)>,
    /// The unit that each of these columns has in its heading.
    pub units: Vec<Option<String>>,
    /// Columns that pass through.
    pub passed: Vec<usize>,
}

/// Sorts the columns of a header; advice where one is nearly a given's name.
pub(super) fn sort(
    header: &[String],
    givens: &[Rc<str>],
    name: &str,
) -> Result<(Columns, Vec<Fault>), Fault> {
    let mut columns = Columns::default();
    let mut advice = Vec::new();
    let mut taken = HashSet::new();
    let named = by_name(givens);
    for (at, column) in header.iter().enumerate() {
        let (column, unit) = without_unit(column);
        match find(column, &named) {
            Some(given) if !taken.insert(given) => {
                let message = format!("two columns set `{}`", givens.get(given).map_or("", |name| name));
                return Err(bad_table(name, message).hint("a given has one column: remove one of them"));
            }
            Some(given) => {
                columns.givens.push((at, given));
                columns.units.push(unit.map(str::to_owned));
            }
            None => columns.passed.push(at),
        }
    }
    if columns.givens.is_empty() && !givens.is_empty() {
        let message =
            format!("no column has the name of a given of this recipe; the columns are {}", listed(header));
        let fault = bad_table(name, message).hint(format!("its givens are {}", listed(givens)));
        // The column that names the sizes is not meant for a given.
        let named = header.iter().filter(|column: &&String| !column.eq_ignore_ascii_case("size"));
        let near = named.take(FAULTS).find_map(|column| near(column, givens));
        return Err(fault.did_you_mean(near));
    }
    let labels = |at: &usize| header.get(*at).is_some_and(|column| column.eq_ignore_ascii_case("size"));
    columns.label = columns.passed.iter().find(|at| labels(at)).or(columns.passed.first()).copied();
    let free: Vec<&str> = (0..givens.len())
        .filter(|given| !taken.contains(given))
        .filter_map(|given| givens.get(given).map(|name| &**name))
        .collect();
    let mut passed = Vec::new();
    // To look for what is meant by each of thousands of columns would take the square of them.
    for at in columns.passed.iter().take(FAULTS) {
        let Some(column) = header.get(*at) else { continue };
        match closest(column, free.iter().copied()).filter(|_| !labels(at)) {
            Some(given) => {
                let message = format!("{name}: column `{column}` is not a given; it is copied to the result");
                advice.push(rows::advice(Code::UnknownGiven, message).did_you_mean(Some(given)));
            }
            None if Some(*at) != columns.label => passed.push(column.as_str()),
            // The column that names the rows.
            None => {}
        }
    }
    if !passed.is_empty() {
        let message = match passed.as_slice() {
            [one] => format!("{name}: column `{one}` is not a given; it is copied to the result"),
            all => format!("{name}: columns {} are not givens; they are copied to the result", listed(all)),
        };
        advice.push(rows::advice(Code::UnknownGiven, message));
    }
    if !free.is_empty() {
        let message =
            format!("{name}: no column sets {}: every size uses the value in the recipe", listed(&free));
        advice.push(rows::advice(Code::Advice, message));
    }
    columns.passed.retain(|at| Some(*at) != columns.label);
    Ok((columns, advice))
}

/// A name in small letters, with `_` for spaces.
fn plain(text: &str) -> String {
    text.to_lowercase().replace([' ', '-'], "_")
}

/// The givens by their names, as they are and plain; the first of two that are alike.
fn by_name(givens: &[Rc<str>]) -> HashMap<String, usize> {
    let mut named: HashMap<String, usize> =
        givens.iter().enumerate().map(|(at, given)| (given.to_string(), at)).collect();
    for (at, given) in givens.iter().enumerate() {
        named.entry(plain(given)).or_insert(at);
    }
    named
}

/// `waist (in)`: the unit that bare numbers below the heading have.
fn without_unit(column: &str) -> (&str, Option<&str>) {
    let parts = column.strip_suffix(')').and_then(|column| column.rsplit_once('('));
    match parts.filter(|(_, unit)| UnitExpr::parse(unit).is_ok()) {
        Some((name, unit)) => (name.trim_end(), Some(unit.trim())),
        None => (column, None),
    }
}

/// The given that a column is named for: as it is, or with spaces and capitals where the name has
/// `_` and small letters.
fn find(column: &str, named: &HashMap<String, usize>) -> Option<usize> {
    named.get(column).or_else(|| named.get(&plain(column))).copied()
}

fn near<'a>(column: &str, givens: &'a [Rc<str>]) -> Option<&'a str> {
    closest(column, givens.iter().map(|given| &**given))
}

fn listed(names: &[impl AsRef<str>]) -> String {
    let names: Vec<String> = names.iter().take(20).map(|name| format!("`{}`", name.as_ref())).collect();
    names.join(", ")
}
