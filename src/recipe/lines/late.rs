//! Lines that speak of `total`: they are evaluated last, when all that is bought is known, and what they make
//! is in their places.

use std::rc::Rc;

use crate::docket::{Buy, Docket, Figure};
use crate::measure::Quantity;
use crate::recipe::lines::maker::{Late, Maker, Run};

/// What is said where sizes are bought together, so that none has a total of its own.
const WITHOUT_TOTAL: &str = "Lines with `total` are left out: all sizes are bought together.";

/// How many values, steps, checks and cautions a docket holds.
fn made(docket: &Docket) -> [usize; 4] {
    [docket.shows.len(), docket.steps.len(), docket.checks.len(), docket.cautions.len()]
}

/// Moves what was made since `before` to its place; `more` items were put in above it already.
fn settle<T>(list: &mut [T], (place, before): (usize, usize), more: &mut usize) {
    let new = list.len().saturating_sub(before);
    let part = list.get_mut(place.saturating_add(*more)..).filter(|part| new <= part.len());
    part.into_iter().for_each(|part| part.rotate_right(new));
    *more = more.saturating_add(new);
}

impl Maker<'_> {
    /// A line is left to be evaluated last.
    pub(super) fn postpone(&mut self, at: usize) {
        let settings = (self.machine.settings.clone(), self.outer.clone());
        self.late.push(Late { at, settings, place: made(&self.run.docket) });
    }

    /// Works what was left, where all is laid out and bought.
    pub(super) fn work_late(&mut self) {
        if self.run.faults.is_empty() && !self.late.is_empty() {
            let totals = self.run.docket.totals.clone();
            self.work_for(&totals);
        }
    }

    /// Says that some lines are left out, where no size is laid out by itself.
    pub(super) fn leave_out_late(&mut self) {
        if !self.late.is_empty() {
            self.run.docket.notes.push(WITHOUT_TOTAL.into());
        }
    }

    /// As [`Maker::work_late`], at the prompt: with all cloth cut so far, and all that was bought before.
    pub fn work_late_live(&mut self, bought: &[Buy]) {
        if self.late.is_empty() || !self.run.faults.is_empty() {
            return;
        }
        let mut whole = Run::default();
        whole.docket.buys.extend(bought.iter().chain(&self.run.docket.buys).cloned());
        whole.plan(&self.cutting, &self.effort);
        match whole.faults.is_empty() {
            true => self.work_for(&whole.docket.totals),
            false => self.run.faults.extend(whole.faults),
        }
    }

    /// Runs the lines that were left; what they make is in their places.
    fn work_for(&mut self, totals: &[Figure]) {
        let total: Rc<[Quantity]> =
            totals.iter().filter_map(|total| total.value.as_measure().cloned()).collect();
        let here = (self.machine.settings.clone(), self.outer.clone());
        let mut more = [0; 4];
        for Late { at, settings, place } in std::mem::take(&mut self.late) {
            let Some(line) = self.lines.get(at) else { continue };
            (self.machine.settings, self.outer) = settings;
            self.machine.settings.total = Some(total.clone());
            self.machine.line_now = line.line;
            self.at = at;
            let before = made(&self.run.docket);
            if !self.make(at, line) {
                break;
            }
            let Docket { shows, steps, checks, cautions, .. } = &mut self.run.docket;
            let ([a, b, c, d], [w, x, y, z]) = (place, before);
            settle(shows, (a, w), &mut more[0]);
            settle(steps, (b, x), &mut more[1]);
            settle(checks, (c, y), &mut more[2]);
            settle(cautions, (d, z), &mut more[3]);
        }
        (self.machine.settings, self.outer) = here;
        self.machine.settings.total = Some(total);
    }
}
