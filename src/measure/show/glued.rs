//! Texts in words, where a measure is one word.

use std::borrow::Cow;

use crate::measure::unit::is_unit;

/// The words of a text, those of one measure as one, with one blank between its parts.
pub(crate) fn glued(text: &str) -> Vec<Cow<'_, str>> {
    let mut words: Vec<Cow<'_, str>> = Vec::new();
    // Where the next part begins, and where the last word ends.
    let (mut at, mut end) = (0_usize, 0_usize);
    for part in text.split_inclusive(char::is_whitespace) {
        let (start, word) = (at, part.trim_end());
        at = at.saturating_add(part.len());
        if word.is_empty() {
            continue;
        }
        let between = end..start;
        end = start.saturating_add(word.len());
        match words.last_mut() {
            Some(last) if last.len() < 40 && belongs_to(last, word) => {
                let from = between.start.checked_sub(last.len());
                let written =
                    from.and_then(|from| text.get(from..end)).filter(|_| text.get(between) == Some(" "));
                // Over other blanks the words before were put together anew.
                *last = match written.filter(|written| written.starts_with(&**last)) {
                    Some(written) => Cow::Borrowed(written),
                    None => Cow::Owned(format!("{last} {word}")),
                };
            }
            _ => words.push(Cow::Borrowed(word)),
        }
    }
    words
}

/// The unit that a word begins with, without the signs after it: `cm).cut`, `EUR/m`.
fn unit_of(word: &str) -> &str {
    word.split([',', '.', ';', ':', ')', ']', '}', '/']).next().unwrap_or(word)
}

/// Whether `next` goes on with the measure that `last` ends in, or `last` only leads up to it.
fn belongs_to(last: &str, next: &str) -> bool {
    let digit = |c: char| c.is_ascii_digit();
    let number = next.trim_start_matches(['(', '[', '-']).starts_with(digit);
    let leads = matches!(last, "scant" | "generous" | "(scant" | "(generous" | "about" | "(about");
    (leads || last.ends_with(digit)) && number && (leads || next.contains('/'))
        || last.ends_with(digit) && is_unit(unit_of(next))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_unit_before_other_signs_stays_with_its_number() {
        assert_eq!(glued("into: 2 cm).cut is 7 cm by"), ["into:", "2 cm).cut", "is", "7 cm", "by"]);
        assert_eq!(glued("at 9.60 EUR/m, sold by 10 cm"), ["at", "9.60 EUR/m,", "sold", "by", "10 cm"]);
        assert_eq!(glued("cut 2 pieces"), ["cut", "2", "pieces"]);
        assert_eq!(glued(" about  1\u{a0}3/4 in \n wide"), ["about 1 3/4 in", "wide"]);
    }
}
