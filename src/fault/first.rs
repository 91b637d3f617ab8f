//! How many faults are reported: nobody reads the thousandth.

use std::collections::BTreeMap;

use super::{Code, Fault, Files, Level};
use crate::limits::FAULTS;

/// The first faults of each file, and after them how many more there are.
pub fn first(faults: &[Fault], files: &Files) -> Vec<Fault> {
    let mut counts = BTreeMap::new();
    let mut reported = Vec::with_capacity(faults.len().min(FAULTS));
    for fault in faults {
        let count = counts.entry((fault.span().map(|span| span.file), fault.level)).or_insert(0usize);
        *count = count.saturating_add(1);
        if *count <= FAULTS {
            reported.push(fault.clone());
        }
    }
    for ((file, level), count) in counts.into_iter().filter(|(_, count)| *count > FAULTS) {
        let of = file
            .and_then(|file| files.get(file))
            .map_or(String::new(), |file| format!(" of {}", file.name()));
        let more = count.saturating_sub(FAULTS);
        reported.push(match level {
            Level::Error => {
                Fault::nowhere(Code::TooMuch, format!("{more} more mistakes{of} are not shown here"))
            }
            Level::Advice => {
                let advice = Fault::nowhere(
                    Code::Advice,
                    format!("{more} more pieces of advice{of} are not shown here"),
                );
                Fault { level, ..advice }
            }
        });
    }
    reported
}
