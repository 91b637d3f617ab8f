//! The words of the language.

/// Words that begin a line of a recipe; reserved at the start of a line only.
pub const LINE_WORDS: &[&str] = &[
    "recipe", "note", "given", "rule", "cut", "buy", "step", "show", "check", "caution", "ruler", "shop",
    "seam", "sizes", "use", "have", "plan", "tool", "measured", "why", "find", "draw",
];

/// Words inside expressions; no value can have one as its name.
pub const WORDS: &[&str] = &[
    "if", "then", "else", "and", "or", "not", "is", "yes", "no", "by", "of", "nearest", "up", "down",
    "shown", "each", "how", "to", "from", "every", "that", "separate",
];

/// Whether a word cannot be a name.
pub fn is_word(name: &str) -> bool {
    // Most names are not a word's length; a look at the first letter is cheap enough for the rest.
    name.len() <= 8 && WORDS.contains(&name)
}

/// The word that a line begins with, or nothing.
pub(super) fn first_word(source: &str) -> &str {
    let end = source.find(|c: char| !(c.is_alphanumeric() || c == '_')).unwrap_or(source.len());
    let word = source.get(..end).unwrap_or("");
    if word.starts_with(|c: char| c.is_ascii_digit()) { "" } else { word }
}
