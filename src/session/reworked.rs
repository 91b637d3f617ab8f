//! `measured` at the prompt: the name has what was really made, and what hangs on it is worked anew.

use std::collections::BTreeSet;

use crate::code::node::Setting;
use crate::docket::{Change, Figure, StepKind};
use crate::eval::machine::Halt;
use crate::fault::{Code as FaultCode, Fault};
use crate::recipe::lines::{planned, same_kind, set_setting};
use crate::recipe::measured::{cut_pieces, mended};
use crate::session::entry::{Entered, Said, Session};
use crate::syntax::tree::{Expr, LineKind, Measured, Name};
use crate::value::data::Value;

impl Session {
    /// A `measured` line.
    pub(crate) fn measured(&mut self, measured: &Measured, entered: &mut Entered) -> Result<(), Halt> {
        let name = &measured.name;
        let slot = match planned(&self.names, name) {
            Ok(slot) => slot,
            Err(Some(fault)) => return Err(fault.into()),
            Err(None) => return Err(Halt::Silent),
        };
        let was = self.machine.globals.get(slot as usize).cloned().unwrap_or(Value::Unset);
        let (made, _) = self.eval_named(&name.name, &measured.value, entered)?;
        same_kind(&name.name, &was, &made, Some(measured.value.span))?;
        let formula = self.last.clone();
        let mut labels = Vec::with_capacity(measured.cut.len());
        for label in &measured.cut {
            labels.push((self.text(label, entered)?, label.span));
        }
        let cuts = self.cut_sizes(entered);
        for (label, span) in &labels {
            if !cuts.iter().any(|(_, known, _)| known == label) {
                let message = format!("no `cut` line has a piece called \"{label}\"");
                return Err(Fault::new(FaultCode::UnknownName, *span, message).into());
            }
        }
        if let Some(place) = self.machine.globals.get_mut(slot as usize) {
            *place = made.clone();
        }
        self.say(&made, entered);
        self.last = formula;
        self.note(StepKind::Measured, Some((slot, &name.name)), name.span.to(measured.value.span), &made);
        let settings = self.machine.settings.clone();
        let mends = mended(&was, &made, &settings);
        entered.said.extend(mends.iter().map(|mend| Said::Words(format!("  {mend}"))));
        self.rework(slot, entered)?;
        self.tell_cuts(&cuts, entered);
        self.machine.that = Some(made);
        Ok(())
    }

    /// The sizes of all `cut` lines so far.
    fn cut_sizes(&mut self, entered: &mut Entered) -> Vec<(usize, std::rc::Rc<str>, Value)> {
        let mut sizes = Vec::new();
        for at in 0..self.kept.len() {
            let Some(line) = self.kept.get(at).map(|kept| kept.line.clone()) else { continue };
            let LineKind::Cut(cut) = &line.kind else { continue };
            let mut unheard = Entered::default();
            let label = self.text(&cut.label, &mut unheard);
            let size = self.eval(&cut.size, &mut unheard);
            if let (Ok(label), Ok((size, _))) = (label, size) {
                sizes.push((at, label, size));
            }
        }
        let _ = entered;
        sizes
    }

    /// Which `cut` lines come out otherwise now.
    fn tell_cuts(&mut self, before: &[(usize, std::rc::Rc<str>, Value)], entered: &mut Entered) {
        let manner = self.machine.settings.manner;
        let settings = self.machine.settings.clone();
        for ((_, label, was), (_, _, now)) in before.iter().zip(self.cut_sizes(entered)) {
            let (old, new) = (was.show(&manner), now.show(&manner));
            if old == new {
                continue;
            }
            entered.said.push(Said::Words(format!("already cut? {label} was {old}, by this it is {new}")));
            let mends = cut_pieces(was, &now, &settings);
            entered.said.extend(mends.iter().map(|mend| Said::Words(format!("  {mend}"))));
        }
    }

    /// Works anew what hangs on a name, in the order of entering and under the settings of its time.
    fn rework(&mut self, slot: u32, entered: &mut Entered) -> Result<(), Halt> {
        let stale = self.stale(|trace| trace.reads.contains(&slot), Some(slot));
        let settings = self.machine.settings.clone();
        let manner = settings.manner;
        self.machine.settings = crate::eval::machine::Settings::default();
        self.machine.settings.manner.both = manner.both;
        let mut left: BTreeSet<u32> = stale.clone();
        let mut changes: Vec<Change> = Vec::new();
        let mut fault = None;
        for at in 0..self.kept.len() {
            let Some(line) = self.kept.get(at).map(|kept| kept.line.clone()) else { continue };
            if let Err(halt) = self.again(&line.kind, at, &stale, &mut left, &mut changes, entered) {
                fault = Some(halt);
                break;
            }
        }
        self.machine.settings = settings;
        if let Some(halt) = fault {
            return Err(halt);
        }
        for change in changes {
            entered.said.push(Said::Changed(Change {
                before: Figure { manner, ..change.before },
                after: Figure { manner, ..change.after },
                ..change
            }));
        }
        self.say_stale(&left, entered);
        Ok(())
    }

    fn again(
        &mut self,
        kind: &LineKind,
        at: usize,
        stale: &BTreeSet<u32>,
        left: &mut BTreeSet<u32>,
        changes: &mut Vec<Change>,
        entered: &mut Entered,
    ) -> Result<(), Halt> {
        let mut set = |setting: Setting, expr: &Expr| {
            let (value, _) = self.eval(expr, entered)?;
            set_setting(&mut self.machine.settings, setting, &value, expr.span)
        };
        match kind {
            LineKind::Set(line) => set(line.setting, &line.value),
            LineKind::Name(Name { name, value }) => {
                let Some(slot) = self.names.slots.get(&name.name).copied() else { return Ok(()) };
                // A name that was given anew has its last line; one that speaks of itself stays.
                let later = self.kept.iter().skip(at + 1).any(|kept| match &kept.line.kind {
                    LineKind::Name(other) => other.name.name == name.name,
                    LineKind::Given(given) => given.name.name == name.name,
                    LineKind::Measured(measured) => measured.name.name == name.name,
                    _ => false,
                });
                let itself = self.traces.get(&slot).is_some_and(|trace| trace.reads.contains(&slot));
                if !stale.contains(&slot) || later || itself {
                    return Ok(());
                }
                let span = name.span.to(value.span);
                let (value, _) = self.eval_named(&name.name, value, entered)?;
                self.note_anew(slot, &name.name, span, &value);
                left.remove(&slot);
                let manner = self.machine.settings.manner;
                if let Some(place) = self.machine.globals.get_mut(slot as usize) {
                    crate::recipe::measured::changed(
                        &name.name,
                        &place.to_figure(),
                        &value.to_figure(),
                        &manner,
                        changes,
                    );
                    *place = value;
                }
                Ok(())
            }
            _ => Ok(()),
        }
    }
}
