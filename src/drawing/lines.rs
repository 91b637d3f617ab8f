//! Lines of words that fit a width on a page.

use super::letters::{shares, width};
use crate::measure::glued;
use crate::text::harmless;

/// The words, harmless, as much of them as fits the room, with `…` where they are cut.
pub(super) fn shortened(words: &str, size: f64, bold: bool, room: f64) -> String {
    let words = harmless(words);
    if words.len() <= 60 && width(&words, size, bold) <= room {
        return words.into_owned();
    }
    let dots = width("…", size, bold);
    let (mut used, mut fits, mut whole) = (0.0, 0, true);
    for (at, letter) in words.char_indices() {
        if used + dots <= room {
            fits = at;
        }
        used += width(letter.encode_utf8(&mut [0; 4]), size, bold);
        if used > room {
            whole = false;
            break;
        }
    }
    if whole {
        return words.into_owned();
    }
    format!("{}…", words.get(..fits).unwrap_or_default().trim_end())
}

/// Lines that fit the room, a measure on one line; `long` makes lines of a word that fits none.
fn filled(
    words: &str,
    (size, bold, room): (f64, bool, f64),
    long: impl Fn(&str) -> Vec<String>,
) -> Vec<String> {
    let fits = |wide: f64| wide * size <= room;
    // Most texts are one line as they are.
    if fits(shares(0.0, words, bold)) && words.split(' ').all(is_word) {
        return vec![words.to_owned()];
    }
    let mut lines = Vec::new();
    // A line and its width, which grows with it: it is not measured again for each word.
    let (mut line, mut wide) = (String::new(), 0.0);
    for word in glued(words) {
        if !line.is_empty() {
            let longer = shares(shares(wide, " ", bold), &word, bold);
            if fits(longer) {
                line.push(' ');
                line.push_str(&word);
                wide = longer;
                continue;
            }
            lines.push(std::mem::take(&mut line));
        }
        wide = shares(0.0, &word, bold);
        line = word.into_owned();
        if !fits(wide) {
            lines.extend(long(&line));
            line = lines.pop().unwrap_or_default();
            wide = shares(0.0, &line, bold);
        }
    }
    lines.extend(Some(line).filter(|line| !line.is_empty()));
    lines
}

fn is_word(text: &str) -> bool {
    !text.is_empty() && !text.contains(char::is_whitespace)
}

/// All of the words in lines that fit the room; a measure that is too long is broken at its blanks, a word anywhere.
pub fn broken(words: &str, size: f64, room: f64, bold: bool) -> Vec<String> {
    let letters = |word: &str| {
        let mut parts: Vec<String> = Vec::new();
        let mut used = f64::INFINITY;
        for letter in word.chars() {
            let wide = width(letter.encode_utf8(&mut [0; 4]), size, bold);
            if used + wide > room {
                parts.push(String::new());
                used = 0.0;
            }
            used += wide;
            parts.last_mut().into_iter().for_each(|part| part.push(letter));
        }
        parts
    };
    let fits = |line: &str| width(line, size, bold) <= room;
    let measure = |measure: &str| {
        // What leads up to the number first, so that the number and its unit stay together.
        let (mut parts, mut rest) = (Vec::new(), measure);
        while let Some((first, more)) = rest.split_once(' ').filter(|_| !fits(rest)) {
            parts.extend(if fits(first) { vec![first.to_owned()] } else { letters(first) });
            rest = more;
        }
        parts.extend(if fits(rest) { vec![rest.to_owned()] } else { letters(rest) });
        parts
    };
    filled(words, (size, bold, room), measure)
}

/// The width of the longest of the words that no line may break: a measure is one word.
pub fn longest(words: &str, size: f64, bold: bool) -> f64 {
    glued(words).into_iter().map(|word| width(&word, size, bold)).fold(0.0, f64::max)
}

/// The words, harmless, in at most so many lines that fit the room; what is too much ends in `…`.
pub(super) fn wrapped(words: &str, size: f64, bold: bool, room: f64, most: usize) -> Vec<String> {
    // No more is looked at than could ever fit.
    let letters = ((room / size).max(1.0) * 8.0) as usize;
    let most_letters = letters.saturating_mul(most.max(1));
    let words = harmless(words);
    let end = words.char_indices().nth(most_letters).map_or(words.len(), |(at, _)| at);
    let long = |word: &str| vec![shortened(word, size, bold, room)];
    let seen = words.get(..end).unwrap_or_default();
    let mut lines = filled(seen, (size, bold, room), long);
    if lines.len() > most || end < words.len() {
        lines.truncate(most);
        if let Some(last) = lines.last_mut() {
            *last = shortened(&format!("{last} …"), size, bold, room);
            if !last.ends_with('…') {
                last.push('…');
            }
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_words_are_shortened_to_the_room() {
        let long = "x".repeat(10_000);
        let short = shortened(&long, 3.0, false, 60.0);
        assert!(short.ends_with('…') && width(&short, 3.0, false) <= 60.0);
        assert!(width(&short, 3.0, false) > 55.0);
        assert_eq!(shortened("short sash", 3.0, false, 60.0), "short sash");
    }

    #[test]
    fn lines_fit_the_room() {
        let words = "cut twelve strips two inches wide ".repeat(30);
        let lines = wrapped(&words, 3.0, false, 50.0, 4);
        assert_eq!(lines.len(), 4);
        assert!(lines.iter().all(|line| width(line, 3.0, false) <= 50.0), "{lines:?}");
        assert!(lines.last().is_some_and(|line| line.ends_with('…')));
        assert_eq!(wrapped("two words", 3.0, false, 50.0, 4), ["two words"]);
        // A line that ended in `15` with `1/4 in` below it would be read wrong.
        let lines = wrapped("left over: generous 39 7/8 in by 15 1/4 in", 3.0, false, 32.0, 4);
        assert_eq!(lines, ["left over:", "generous 39 7/8 in", "by 15 1/4 in"]);
    }

    #[test]
    fn lines_are_no_wider_than_their_room() {
        let lines = broken("Lay the dotted lines on each other", 3.0, 30.0, false);
        assert!(lines.len() > 1 && lines.iter().all(|line| width(line, 3.0, false) <= 30.0), "{lines:?}");
        assert_eq!(lines.join(" "), "Lay the dotted lines on each other");
        let long = broken(&"m".repeat(50), 3.0, 30.0, false);
        assert!(long.len() > 4 && long.iter().all(|line| width(line, 3.0, false) <= 30.0), "{long:?}");
        assert_eq!(long.concat(), "m".repeat(50));
        assert!(broken("", 3.0, 30.0, false).is_empty());
        assert_eq!(broken(" two\u{a0} words ", 3.0, 60.0, false), ["two words"]);
        // A measure that no line holds is broken between its words, never within its number.
        let narrow = broken("scant 12.35 cm (about 12.35 cm)", 3.0, 18.0, false);
        assert_eq!(narrow, ["scant", "12.35 cm", "(about", "12.35 cm)"]);
        let marks = broken("scant 17 9/16 in, 22 1/8 in", 3.0, 26.0, false);
        assert_eq!(marks, ["scant 17 9/16 in,", "22 1/8 in"]);
    }
}
