//! Texts in words, where a measure is one word.

use crate::measure::unit::is_unit;

/// The words of a text, those of one measure as one.
pub(crate) fn glued(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match words.last_mut() {
            Some(last) if last.len() < 40 && belongs_to(last, word) => {
                last.push(' ');
                last.push_str(word);
            }
            _ => words.push(word.to_owned()),
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
    }
}
