//! Whether words are a phrase, and what stands in its open places.

use super::{AMOUNT, Phrase};
use crate::measure::is_unit;
use crate::syntax::numbers;
use crate::syntax::words::is_word;

/// What stands in the open places of a phrase, in order.
pub(super) type Taken = Vec<String>;

/// Finds a way in which all of `words` are a phrase, and which is accepted; gives which of the words is the first
/// that the phrase itself has.
/// One way that is looked at takes a step of `left`; where none is left, nothing is found.
pub(super) fn matches(
    phrase: &Phrase,
    words: &[&str],
    left: &mut usize,
    accept: &mut dyn FnMut(&Taken) -> bool,
) -> Option<Option<usize>> {
    let parts: Vec<&str> = phrase.pattern.split(' ').collect();
    let mut open = Open { words, taken: Vec::new(), own: None, left, accept };
    open.rest(&parts, 0).then_some(open.own)
}

struct Open<'a> {
    words: &'a [&'a str],
    taken: Taken,
    own: Option<usize>,
    left: &'a mut usize,
    accept: &'a mut dyn FnMut(&Taken) -> bool,
}

impl Open<'_> {
    /// Whether the words from `at` on are the parts.
    fn rest(&mut self, parts: &[&str], at: usize) -> bool {
        *self.left = self.left.saturating_sub(1);
        if *self.left == 0 {
            return false;
        }
        let Some((part, behind)) = parts.split_first() else {
            return at == self.words.len() && (self.accept)(&self.taken);
        };
        let kept = (self.taken.len(), self.own);
        let may_lack = part.len() > 1 && part.ends_with('?');
        let part = if may_lack { part.trim_end_matches('?') } else { part };
        if self.part(part, behind, at) {
            return true;
        }
        self.taken.truncate(kept.0);
        self.own = kept.1;
        let open = part.len() == 1 && part.bytes().all(|byte| byte.is_ascii_uppercase());
        may_lack && if open { self.take(String::new(), behind, at) } else { self.rest(behind, at) }
    }

    fn part(&mut self, part: &str, behind: &[&str], at: usize) -> bool {
        let words = self.words.get(at..).unwrap_or(&[]);
        let Some(first) = words.first() else { return false };
        let next = at.saturating_add(1);
        let one = match part {
            "V" => return self.value(behind, at, |_| true),
            "Q" => {
                let ends = |last: &&str| !last.ends_with(|c: char| c.is_ascii_digit());
                return self.value(behind, at, |words| words.last().is_some_and(ends));
            }
            "L" => return self.value(behind, at, is_measure),
            "X" => {
                let quoted = |word: &&str| word.starts_with(['"', '\'', '\u{201C}', '\u{201D}']);
                return self.value(behind, at, |words| !words.iter().any(quoted));
            }
            "M" => return self.value(behind, at, |value| value.iter().any(|word| is_money(word))),
            "F" => {
                let Some((fraction, long)) = numbers::fraction(words) else { return false };
                self.own.get_or_insert(at);
                return self.take(fraction, behind, at.saturating_add(long));
            }
            "N" => return numbers::count(first).is_some_and(|count| self.take(count, behind, next)),
            "U" => return self.unit(words, behind, at),
            "B" => first.bytes().all(|b| b.is_ascii_digit() || matches!(b, b'.' | b'/')),
            "P" => first.ends_with('%') && first.len() > 1,
            "T" => first.starts_with(['"', '\u{201C}']),
            "D" => matches!(*first, "up" | "down"),
            "C" => first.ends_with(')') && first.starts_with(char::is_alphabetic),
            "G" => first.starts_with('('),
            "W" => plain(first),
            _ => {
                let same = part.split('|').any(|word| word.eq_ignore_ascii_case(first));
                if same {
                    self.own.get_or_insert(at);
                }
                return same && self.rest(behind, next);
            }
        };
        one && self.take((*first).to_owned(), behind, next)
    }

    fn take(&mut self, words: String, behind: &[&str], at: usize) -> bool {
        self.taken.push(words);
        self.rest(behind, at)
    }

    /// `yd`, `sq yd`
    fn unit(&mut self, words: &[&str], behind: &[&str], at: usize) -> bool {
        let (first, second) = (words.first().copied().unwrap_or(""), words.get(1).copied().unwrap_or(""));
        if matches!(first, "sq" | "square") && is_unit(second) {
            return self.take(format!("sq {second}"), behind, at.saturating_add(2));
        }
        let letters = first.starts_with(char::is_alphabetic);
        letters && is_unit(first) && self.take(first.to_owned(), behind, at.saturating_add(1))
    }

    /// As few words as make a value and let the rest match.
    fn value(&mut self, behind: &[&str], at: usize, fits: impl Fn(&[&str]) -> bool) -> bool {
        let kept = (self.taken.len(), self.own);
        for end in at.saturating_add(1)..=self.words.len() {
            let value = self.words.get(at..end).unwrap_or(&[]);
            if fits(value) && self.take(value.join(" ").replace(" ,", ",").replace(" :", ":"), behind, end) {
                return true;
            }
            self.taken.truncate(kept.0);
            self.own = kept.1;
        }
        false
    }
}

/// Whether a word is neither one of the language nor a unit, so that it could be a name.
pub(super) fn plain(word: &str) -> bool {
    let letters = word.chars().all(|c| c.is_alphanumeric() || c == '_')
        && !word.starts_with(|c: char| c.is_ascii_digit());
    letters && !is_word(word) && !is_unit(word) && !GLUE.contains(&word)
}

/// `3 1/2 in`: one measure and no sum.
fn is_measure(words: &[&str]) -> bool {
    let begins = words.first().is_some_and(|word| word.starts_with(|c: char| c.is_ascii_digit()));
    begins && !words.iter().any(|word| AMOUNT.contains(word) || plain(word))
}

/// Words that join others, and are no names.
const GLUE: &[&str] = &[
    "into",
    "per",
    "at",
    "on",
    "over",
    "with",
    "without",
    "than",
    "plus",
    "minus",
    "times",
    "less",
    "more",
    "for",
    "as",
    "between",
    "along",
    "across",
    "divided",
    "multiplied",
];

/// `EUR`, `3€`, `EUR/m`
fn is_money(word: &str) -> bool {
    let code = |part: &str| part.len() == 3 && part.bytes().all(|byte| byte.is_ascii_uppercase());
    word.contains(['€', '£', '$']) || word.split(|c: char| !c.is_alphabetic()).any(code)
}

/// Fills the open places: `{1}` as it is, `(1)` in brackets where it is itself a sum.
pub(super) fn fill(write: &str, taken: &Taken) -> String {
    let mut line = String::new();
    let mut rest = write;
    while let Some(at) = rest.find(['{', '(']) {
        let (before, place) = rest.split_at_checked(at).unwrap_or((rest, ""));
        line.push_str(before);
        let number = place.get(1..2).and_then(|number| number.parse::<usize>().ok());
        let words = number.and_then(|number| taken.get(number.checked_sub(1)?));
        match words.filter(|_| place.get(2..3).is_some_and(|end| "})".contains(end))) {
            Some(words) => {
                let sum = words.split_whitespace().any(|word| AMOUNT.contains(&word));
                let within = place.starts_with('(') && sum && !enclosed(words);
                line.push_str(&if within { format!("({words})") } else { words.clone() });
                rest = place.get(3..).unwrap_or("");
            }
            None => {
                line.push_str(place.get(..1).unwrap_or(""));
                rest = place.get(1..).unwrap_or("");
            }
        }
    }
    line + rest
}

/// Whether brackets already hold all of it.
fn enclosed(words: &str) -> bool {
    let mut depth = 0usize;
    let closes = words.char_indices().find(|(_, c)| {
        match c {
            '(' => depth = depth.saturating_add(1),
            ')' => depth = depth.saturating_sub(1),
            _ => {}
        }
        depth == 0
    });
    words.starts_with('(') && closes.is_some_and(|(at, _)| at.saturating_add(1) == words.len())
}
