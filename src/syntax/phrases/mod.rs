//! What people say where the language has a sign or another order of words: `half of 2 yd`, `2 m at 3 EUR/m`.
//! A line that cannot be read is compared with such phrases, and the fault shows it as it must be written.

mod lines;
mod pattern;
mod sums;
mod tokens;

use std::ops::Range;

use pattern::{fill, matches, plain};
use tokens::{Token, segment, tokens};

use super::words::{LINE_WORDS, first_word, is_word};
use crate::fault::closest;
use crate::measure::{is_unit, unit_names};

/// How something is said. In `pattern`, `V` is a value, `M` an amount of money, `N` a count, `B` a bare number, `P` a
/// percentage, `F` a fraction in words, `U` a unit, `W` a word, `T` a text, `D` up or down, `L` a single measure,
/// `Q` a value that ends in a unit or a name, `X` words without quotes, `C` a call and `G` what is in brackets;
/// `a|b` is one of these, and `?` follows what may be missing.
struct Phrase {
    pattern: &'static str,
    /// What is wrong.
    wrong: &'static str,
    write: Write,
}

enum Write {
    /// The words again, as they must be written.
    Line(&'static str),
    /// What to write, for what cannot be told from the words.
    Say(&'static str),
}

const fn line(pattern: &'static str, wrong: &'static str, write: &'static str) -> Phrase {
    Phrase { pattern, wrong, write: Write::Line(write) }
}

const fn say(pattern: &'static str, wrong: &'static str, write: &'static str) -> Phrase {
    Phrase { pattern, wrong, write: Write::Say(write) }
}

/// Signs and words between two values.
const AMOUNT: &[&str] = &["+", "-", "*", "/", "×", "÷", "±", "by", "up", "down", "nearest", "shown"];

/// After these a phrase may begin, too.
const JOINS: &[&str] = &["<", ">", "<=", ">=", "is", "and", "or", "then", "else", "from", "to", "of", "at"];

/// Lines with a shape of their own: a word that does not fit there is no slip of a sum.
const SHAPED: &[&str] = &["measured", "plan", "have", "tool", "use", "find", "why", "cut", "buy", "given"];

/// Lines of more words than this are no phrases.
const LONGEST: usize = 30;

/// And lines of more letters.
const LETTERS: usize = 1000;

/// Ways in which the words of a line are looked at as phrases: a line of values has very many.
const WAYS: usize = 20_000;

/// A line that is told in another way.
pub(super) struct Mended {
    /// What is wrong, and which part of the line that is, where it is not the place at which the reader stopped.
    pub(super) wrong: String,
    pub(super) place: Option<Range<usize>>,
    pub(super) hints: Vec<String>,
    /// Whether it only adds to what the reader says.
    pub(super) remark: bool,
}

/// Why a line could not be read.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Trouble {
    /// A word that is no unit follows a number.
    Unit,
    /// What stands there is wrong in itself, and the fault says why.
    Known,
    /// Something stands where it does not belong.
    Misplaced,
}

/// What a line that could not be read was to say. `row` is whether it is one below `sizes`, `sound` whether a line
/// can be read.
pub(super) fn mended(
    source: &str,
    stop: usize,
    trouble: Trouble,
    row: bool,
    sound: &mut dyn FnMut(&str) -> bool,
) -> Option<Mended> {
    if source.len() > LETTERS {
        return None;
    }
    let all = tokens(source);
    if all.len() > LONGEST {
        return None;
    }
    let whole = 0..source.len();
    let mut left = WAYS;
    let known = if row { lines::ROWS } else { lines::LINES };
    let exact = |phrase: &&Phrase| trouble != Trouble::Unit || matches!(phrase.write, Write::Line(_));
    let known: Vec<&Phrase> = known.iter().filter(exact).collect();
    if let Some(found) = matching((&known, true, &mut left), source, &whole, &all, sound) {
        return Some(found);
    }
    if let Some(found) = name(source, &all, sound) {
        return Some(found);
    }
    let value = segment(source, stop)?;
    let within = |token: &&Token<'_>| value.contains(&token.at);
    let words: Vec<Token<'_>> = match value.start {
        0 => all.iter().filter(within).copied().collect(),
        start => {
            let mut words = tokens(source.get(value.clone())?);
            words.iter_mut().for_each(|token| token.at = token.at.saturating_add(start));
            words
        }
    };
    if words.len() > LONGEST {
        return None;
    }
    let sums: Vec<&Phrase> = sums::SUMS.iter().collect();
    let found = matching((&sums, false, &mut left), source, &value, &words, sound);
    if trouble == Trouble::Known {
        return found;
    }
    let found = found.or_else(|| behind_measure(source, trouble, &value, &words, sound));
    if trouble == Trouble::Unit || SHAPED.contains(&first_word(source)) {
        return found;
    }
    found.or_else(|| named(source, &words, sound)).or_else(|| apart(&words))
}

/// The first phrase that is all of the words, or (where not the `whole` line is a phrase) all behind a sign, and that
/// mends the line.
fn matching(
    (phrases, whole, left): (&[&Phrase], bool, &mut usize),
    source: &str,
    part: &Range<usize>,
    tokens: &[Token<'_>],
    sound: &mut dyn FnMut(&str) -> bool,
) -> Option<Mended> {
    let joins = |at: usize| {
        let before = at.checked_sub(1).and_then(|at| tokens.get(at));
        before.is_none_or(|token| AMOUNT.contains(&token.word) || JOINS.contains(&token.word))
    };
    // A line is told as a whole, a sum may begin behind a sign.
    let starts = if whole { 1 } else { tokens.len() };
    for start in (0..starts.min(tokens.len())).filter(|start| joins(*start)) {
        let tokens = tokens.get(start..)?;
        let mut words: Vec<&str> = tokens.iter().map(|token| token.word).collect();
        if let Some(last) = words.last_mut() {
            *last = last.trim_end_matches('?');
        }
        let from = tokens.first()?.at;
        for phrase in phrases {
            let mut hint = String::new();
            let own = matches(phrase, &words, left, &mut |taken| match phrase.write {
                Write::Say(words) => {
                    hint = fill(words, taken);
                    true
                }
                Write::Line(write) => {
                    let written = fill(write, taken);
                    let before = source.get(part.start..from).unwrap_or("").trim_start();
                    hint = format!("write `{before}{written}`");
                    let line = [source.get(..from), Some(&written), source.get(part.end..)]
                        .map(Option::unwrap_or_default);
                    sound(&line.concat())
                }
            });
            let Some(own) = own else { continue };
            #[cfg(test)]
            tests::found(phrase.pattern);
            // The word that a line of the language begins with is right; what is wrong comes after it.
            let own = own.and_then(|own| tokens.get(own)).filter(|token| !LINE_WORDS.contains(&token.word));
            let place = own.map(span);
            return Some(Mended { wrong: phrase.wrong.into(), place, hints: vec![hint], remark: false });
        }
    }
    None
}

fn span(token: &Token<'_>) -> Range<usize> {
    token.at..token.at.saturating_add(token.word.len())
}

/// `tuck depth = 1/4 in`, `strap-width = 3 in`
fn name(source: &str, tokens: &[Token<'_>], sound: &mut dyn FnMut(&str) -> bool) -> Option<Mended> {
    let sign = tokens.iter().position(|token| token.word == "=")?;
    let words = tokens.get(..sign)?;
    let (first, last) = (words.first()?, words.last()?);
    let letters = |word: &str| word.chars().all(|c| c.is_alphanumeric() || matches!(c, '_' | '-'));
    let name = |word: &str| letters(word) && !LINE_WORDS.contains(&word) && !is_word(word);
    if !words.iter().all(|token| name(token.word)) {
        return None;
    }
    let mut joined = words.iter().map(|token| token.word.replace('-', "_")).collect::<Vec<_>>().join("_");
    let digits = joined.trim_start_matches(|c: char| c.is_ascii_digit()).len();
    let wrong = if digits < joined.len() {
        let (figures, rest) = joined.split_at_checked(joined.len().saturating_sub(digits))?;
        let rest = rest.trim_matches('_');
        if rest.is_empty() {
            return None;
        }
        joined = format!("{rest}_{figures}");
        "a name begins with a letter"
    } else {
        "a name is one word: its parts are joined with `_`"
    };
    let place = Some(first.at..span(last).end);
    let line = [&joined, " ", source.get(tokens.get(sign)?.at..)?].concat();
    let fits = sound(&line);
    fits.then(|| Mended {
        wrong: wrong.into(),
        place,
        hints: vec![format!("write `{}`", line.trim_end())],
        remark: false,
    })
}

/// `28 in waist + 2 in ease`: words behind a measure.
fn behind_measure(
    source: &str,
    trouble: Trouble,
    part: &Range<usize>,
    tokens: &[Token<'_>],
    sound: &mut dyn FnMut(&str) -> bool,
) -> Option<Mended> {
    let mut kept: Vec<&str> = Vec::new();
    let mut dropped: Vec<&Token<'_>> = Vec::new();
    for token in tokens {
        match kept.last().is_some_and(|last| ends_measure(last, token.word)) && plain(token.word) {
            true => dropped.push(token),
            false => kept.push(token.word),
        }
    }
    let first = dropped.first()?;
    let sum = kept.join(" ");
    let gap = if part.start > 0 { " " } else { "" };
    let line = [source.get(..part.start)?.trim_end(), gap, &sum, source.get(part.end..)?].concat();
    if !sound(&line) {
        return None;
    }
    let mut hints = match trouble {
        Trouble::Unit => vec![format!("if `{}` is only a remark, leave it out: `{sum}`", first.word)],
        _ => vec![format!("leave it out: `{sum}`")],
    };
    if trouble != Trouble::Unit
        && dropped.len() == 1
        && source.len() == part.end
        && part.start == 0
        && tokens.len() <= 3
    {
        hints.push(format!("to give it a name write `{} = {sum}`", first.word));
    }
    let wrong = format!("`{}` is not part of a sum", first.word);
    Some(Mended { wrong, place: Some(span(first)), hints, remark: trouble == Trouble::Unit })
}

/// Whether a word can be no more than a remark behind `last`: a measure, or a count with a word that is no unit.
fn ends_measure(last: &str, word: &str) -> bool {
    let digits = |c: char| c.is_ascii_digit();
    let measure = is_unit(last) || last.ends_with(['"', '\'', '%', ')', '°', '″', '′']);
    let unit = last.starts_with(digits)
        && is_unit(last.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.'));
    let count = last.ends_with(digits) && word.len() > 3 && closest(word, unit_names()).is_none();
    measure || unit || count
}

/// `cut width`: two words without a sign.
fn apart(tokens: &[Token<'_>]) -> Option<Mended> {
    let both = tokens.windows(2).find_map(|pair| match pair {
        [first, second] if plain(first.word) && plain(second.word) => Some((first, second)),
        _ => None,
    });
    let (first, second) = both?;
    let wrong = format!("there is no sign between `{}` and `{}`", first.word, second.word);
    let hint = "if they are one name, join them with `_`".to_owned();
    Some(Mended { wrong, place: Some(span(second)), hints: vec![hint], remark: false })
}

/// `waist 28 in`: a word before a measure.
fn named(source: &str, tokens: &[Token<'_>], sound: &mut dyn FnMut(&str) -> bool) -> Option<Mended> {
    let at = tokens.iter().enumerate().position(|(at, token)| {
        let next = at.checked_add(1).and_then(|next| tokens.get(next)).map_or("", |next| next.word);
        plain(token.word) && !is_word(token.word) && next.starts_with(|c: char| c.is_ascii_digit())
    })?;
    let (word, value) = (tokens.get(at)?, tokens.get(at.checked_add(1)?)?);
    let rest = source.get(value.at..)?.trim_end();
    let line = format!("{} = {rest}", word.word);
    let wrong = format!("there is no sign between `{}` and its value", word.word);
    let mut hints = Vec::new();
    if at == 0 && word.at == 0 && sound(&line) {
        hints.push(format!("to give the value a name write `{line}`"));
        hints.push(format!("a rule has its values in brackets: `{}({rest})`", word.word));
    } else {
        hints.push(format!(
            "leave the word out, or give the value this name on a line above: `{} = …`",
            word.word
        ));
    }
    Some(Mended { wrong, place: Some(span(word)), hints, remark: false })
}

#[cfg(test)]
mod tests {
    use std::cell::RefCell;
    use std::collections::BTreeSet;
    use std::fs;
    use std::path::Path;

    use super::*;
    use crate::fault::FileId;
    use crate::syntax::read;

    thread_local! {
        /// The phrases that were found.
        static FOUND: RefCell<BTreeSet<&'static str>> = const { RefCell::new(BTreeSet::new()) };
    }

    pub(super) fn found(said: &'static str) {
        FOUND.with_borrow_mut(|found| found.insert(said));
    }

    /// A cloth whose width went on with a sum of hundreds of words once took a second.
    #[test]
    fn no_line_is_looked_at_for_long() {
        let line = include_str!("../../../tests/fuzz/corpus/reader/long_sum_in_a_cloth");
        for (stop, _) in line.match_indices([',', '+']) {
            let mut looks = 0;
            mended(line, stop, Trouble::Known, false, &mut |_| {
                looks += 1;
                false
            });
            assert!(looks <= WAYS, "{looks} looks at {stop}");
        }
    }

    /// Each phrase is said once in the gallery of errors, where its text is kept.
    #[test]
    fn every_phrase_is_in_the_gallery() {
        let gallery = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/gallery");
        for file in fs::read_dir(gallery).expect("the gallery is there").flatten() {
            if file.path().extension().is_some_and(|ending| ending == "scant") {
                let text = fs::read_to_string(file.path()).expect("a case can be read");
                read(FileId(0), &text);
            }
        }
        let all = [lines::LINES, lines::ROWS, sums::SUMS].into_iter().flatten().map(|row| row.pattern);
        let found = FOUND.with_borrow(Clone::clone);
        let missing: Vec<&str> = all.filter(|said| !found.contains(said)).collect();
        assert!(missing.is_empty(), "{missing:#?}");
    }
}
