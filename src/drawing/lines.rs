//! Lines of words that fit a width on a page.

use super::letters::width;
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

/// The words in at most so many lines that fit the room, a measure on one line; what is too much ends in `…`.
pub(super) fn wrapped(words: &str, size: f64, bold: bool, room: f64, most: usize) -> Vec<String> {
    // No more is looked at than could ever fit.
    let letters = ((room / size).max(1.0) * 8.0) as usize;
    let most_letters = letters.saturating_mul(most.max(1));
    let words = harmless(words);
    let end = words.char_indices().nth(most_letters).map_or(words.len(), |(at, _)| at);
    let cut = end < words.len();
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    let mut rest = false;
    for word in glued(words.get(..end).unwrap_or_default()) {
        let longer = if line.is_empty() { word.clone() } else { format!("{line} {word}") };
        if width(&longer, size, bold) <= room {
            line = longer;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        line = shortened(&word, size, bold, room);
        if lines.len() >= most {
            rest = true;
            break;
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    if lines.len() > most || cut || rest {
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
}
