//! What a session's values hang on, and which still stand for an old value.

use std::collections::BTreeSet;

use crate::session::entry::{Entered, Said, Session};

/// What the value of a name hangs on.
#[derive(Clone, Debug, Default)]
pub(crate) struct Trace {
    pub reads: BTreeSet<u32>,
    pub calls: BTreeSet<u32>,
}

impl Session {
    /// Names what was worked from an old value and still stands.
    pub(crate) fn tell_stale(
        &self,
        changed: impl Fn(&Trace) -> bool,
        own: Option<u32>,
        entered: &mut Entered,
    ) {
        let stale = self.stale(changed, own);
        self.say_stale(&stale, entered);
    }

    /// The slots of what was worked from an old value and still stands.
    pub(crate) fn stale(&self, changed: impl Fn(&Trace) -> bool, own: Option<u32>) -> BTreeSet<u32> {
        let mut stale: BTreeSet<u32> = BTreeSet::new();
        loop {
            let found = self.traces.iter().find(|(slot, trace)| {
                !stale.contains(*slot) && Some(**slot) != own && {
                    let whole = self.whole_trace(trace);
                    changed(&whole) || !whole.reads.is_disjoint(&stale)
                }
            });
            match found {
                Some((slot, _)) => stale.insert(*slot),
                None => return stale,
            };
        }
    }

    /// Names what still stands for an old value.
    pub(crate) fn say_stale(&self, stale: &BTreeSet<u32>, entered: &mut Entered) {
        let name = |slot: &u32| {
            let entry = self.names.globals.get(*slot as usize)?;
            (self.names.slots.get(&entry.name) == Some(slot)).then(|| format!("`{}`", entry.name))
        };
        let stale: Vec<String> = stale.iter().filter_map(name).collect();
        if !stale.is_empty() {
            let verb = if stale.len() == 1 {
                "was worked from the old value and still stands"
            } else {
                "were worked from the old value and still stand"
            };
            entered.said.push(Said::Words(format!("{} {verb}", stale.join(", "))));
        }
    }

    /// What a value hangs on, through the rules that it called.
    pub(crate) fn whole_trace(&self, trace: &Trace) -> Trace {
        let mut whole = trace.clone();
        let mut open: Vec<u32> = trace.calls.iter().copied().collect();
        while let Some(rule) = open.pop() {
            let Some(entry) = self.names.rules.get(rule as usize) else { continue };
            whole.reads.extend(entry.reads.iter());
            for call in entry.calls.iter() {
                if whole.calls.insert(*call) {
                    open.push(*call);
                }
            }
        }
        whole
    }
}
