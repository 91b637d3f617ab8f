//! Counts and fractions in words: `two`, `half`, `three quarters`.

const COUNTS: &[&str] =
    &["one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];

const PARTS: &[(&str, u8)] = &[
    ("half", 2),
    ("halves", 2),
    ("third", 3),
    ("quarter", 4),
    ("fourth", 4),
    ("fifth", 5),
    ("sixth", 6),
    ("eighth", 8),
    ("tenth", 10),
    ("sixteenth", 16),
];

/// A whole count, in figures or in words.
pub fn count(word: &str) -> Option<String> {
    if !word.is_empty() && word.bytes().all(|byte| byte.is_ascii_digit()) {
        return Some(word.to_owned());
    }
    let at = COUNTS.iter().position(|known| *known == word)?;
    Some(at.saturating_add(1).to_string())
}

/// What a part is called: `third` and `thirds` are 3.
fn part(word: &str) -> Option<u8> {
    let one = PARTS.iter().find(|(known, _)| *known == word);
    let several = || PARTS.iter().find(|(known, _)| word.strip_suffix('s') == Some(known));
    one.or_else(several).map(|(_, below)| *below)
}

/// `half`, `a third`, `two thirds`: the fraction, and how many words it takes.
pub fn fraction(words: &[&str]) -> Option<(String, usize)> {
    let (first, second) = (words.first()?, words.get(1));
    if let Some(below) = part(first) {
        return Some((format!("1/{below}"), 1));
    }
    let below = part(second?)?;
    let above = if matches!(*first, "a" | "an") { "1".to_owned() } else { count(first)? };
    Some((format!("{above}/{below}"), 2))
}
