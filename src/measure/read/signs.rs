//! Characters that mean something in a measure.

/// Fractions that are one character, and what is above and below their lines.
pub(super) const VULGAR: &str = "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅐⅛⅜⅝⅞⅑⅒";
pub(super) const ABOVE: [i64; 18] = [1, 1, 2, 1, 3, 1, 2, 3, 4, 1, 5, 1, 1, 3, 5, 7, 1, 1];
pub(super) const BELOW: [i64; 18] = [2, 3, 3, 4, 4, 5, 5, 5, 5, 6, 6, 7, 8, 8, 8, 8, 9, 10];

/// Whether a figure begins there.
pub(super) fn starts_figure(rest: &str) -> bool {
    rest.starts_with(|c: char| c.is_ascii_digit() || c == '.' || VULGAR.contains(c))
}

/// A hyphen, the minus sign, or a hyphen of its own that may or may not break.
pub(super) fn is_minus(c: char) -> bool {
    matches!(c, '-' | '−' | '‑' | '‐')
}

/// A slash, or the slash of a fraction.
pub(super) fn is_slash(c: char) -> bool {
    matches!(c, '/' | '⁄' | '∕')
}
