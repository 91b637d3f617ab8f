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

/// Whether `next` goes on with the measure that `last` ends in, or `last` only leads up to it.
fn belongs_to(last: &str, next: &str) -> bool {
    let digit = |c: char| c.is_ascii_digit();
    let number = next.trim_start_matches(['(', '[', '-']).starts_with(digit);
    let leads = matches!(last, "scant" | "generous" | "(scant" | "(generous" | "about" | "(about");
    (leads || last.ends_with(digit)) && number && (leads || next.contains('/'))
        || last.ends_with(digit) && is_unit(next.trim_end_matches([',', '.', ';', ':', ')', ']', '}']))
}
