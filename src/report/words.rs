//! The words for how cloth is cut and how pieces lie.

use crate::docket::{Lies, Tool};
use crate::layout::Kind;

/// A kind of cuts.
pub(super) fn kind_name(kind: Kind) -> &'static str {
    match kind {
        Kind::Strips => "strips",
        Kind::EdgeToEdge => "edge to edge",
        Kind::Any => "any way",
    }
}

/// How a piece may lie.
pub(super) fn lies_name(lies: Lies) -> &'static str {
    match lies {
        Lies::AnyWay => "any way",
        Lies::OnGrain => "on grain",
        Lies::AlongSelvage => "along selvage",
    }
}

/// A tool.
pub(super) fn tool_name(tool: Tool) -> &'static str {
    match tool {
        Tool::Rotary => "rotary",
        Tool::Scissors => "scissors",
    }
}

/// `1 kit`, `12 kits`
pub(super) fn kits_words(kits: u64) -> String {
    if kits == 1 { "1 kit".into() } else { format!("{kits} kits") }
}
