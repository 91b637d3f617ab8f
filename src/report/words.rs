//! Words that several writers say.

/// `1 kit`, `12 kits`
pub(super) fn kits_words(kits: u64) -> String {
    if kits == 1 { "1 kit".into() } else { format!("{kits} kits") }
}
