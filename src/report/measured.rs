//! What was measured, and what that changed, to be read.

use std::io;
use std::rc::Rc;

use super::figure::figure_text;
use super::text::Page;
use super::wrap::{column, pad};
use crate::docket::{AlreadyCut, Change, Docket, Figure, Made, Measured};
use crate::text::{clean, harmless};

/// What was measured, what that changed, and what was cut before: what, planned, now, and what to do about it.
pub(super) fn rows(measured: &Measured) -> Vec<(String, &Figure, &Figure, &[Rc<str>])> {
    let made = measured.made.iter();
    let made = made.map(|made| (clean(&made.name), &made.planned, &made.made, &made.corrections[..]));
    let changes = measured.changes.iter();
    let changes = changes.map(|change| (clean(&change.what), &change.before, &change.after, &[][..]));
    let cut = measured
        .cut
        .iter()
        .map(|cut| (format!("already cut: {}", clean(&cut.label)), &cut.cut, &cut.now, &cut.corrections[..]));
    made.chain(changes).chain(cut).collect()
}

impl Page<'_> {
    /// What was really sewn, each number that it changed, and what was cut too early.
    pub(super) fn measured(&mut self, docket: &Docket) -> io::Result<()> {
        let Some(measured) = docket.measured.as_deref() else { return Ok(()) };
        self.heading("MEASURED (in place of what was planned)")?;
        measured.made.iter().try_for_each(|made| self.made(made))?;
        measured.cut.iter().try_for_each(|cut| self.already_cut(cut))?;
        if measured.unplanned {
            let words = "The plan itself cannot be calculated, so no change can be shown.";
            return self.hanging("  ", words);
        }
        if measured.changes.is_empty() && measured.steps.is_empty() {
            return self.hanging("  ", "It changes no other number.");
        }
        self.changes(&measured.changes)?;
        let steps: Vec<String> = measured.steps.iter().map(usize::to_string).collect();
        match steps.as_slice() {
            [] => Ok(()),
            [one] => self.hanging("  ", &format!("Step {one} is different from the plan.")),
            [all @ .., last] => {
                let words = format!("Steps {} and {last} are different from the plan.", all.join(", "));
                self.hanging("  ", &words)
            }
        }
    }

    fn made(&mut self, made: &Made) -> io::Result<()> {
        let words = format!("{} (planned {})", figure_text(&made.made), figure_text(&made.planned));
        self.labelled(&format!("  {}  ", made.name), &words)?;
        made.corrections.iter().try_for_each(|words| self.hanging("    - ", words))
    }

    fn already_cut(&mut self, cut: &AlreadyCut) -> io::Result<()> {
        let words = format!(
            "{}, cut {}; with the measured size it is {}",
            harmless(&cut.label),
            figure_text(&cut.cut),
            figure_text(&cut.now)
        );
        self.hanging("  !! ALREADY CUT: ", &words)?;
        cut.corrections.iter().try_for_each(|words| self.hanging("    - ", words))
    }

    fn changes(&mut self, changes: &[Change]) -> io::Result<()> {
        if changes.is_empty() {
            return Ok(());
        }
        self.line("  This changes:")?;
        let labels: Vec<String> = changes.iter().map(|change| clean(&change.what)).collect();
        let longest = column(labels.iter().map(String::as_str), 32);
        for (change, label) in changes.iter().zip(&labels) {
            let words = format!("{}, planned {}", figure_text(&change.after), figure_text(&change.before));
            self.labelled(&format!("    {}  ", pad(label, longest)), &words)?;
        }
        Ok(())
    }
}
