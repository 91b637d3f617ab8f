//! Cloth at the prompt: pieces and cloth in hand are kept, and a `plan` line lays them out.

use crate::code::scope::Scope;
use crate::docket::Docket;
use crate::eval::machine::Halt;
use crate::recipe::build::Builder;
use crate::recipe::lines::{Compiled, meaning};
use crate::recipe::make::Maker;
use crate::recipe::planning::Effort;
use crate::recipe::used::Host;
use crate::session::entry::{Entered, Kept, Said, Session};
use crate::syntax::tree::{Line, LineKind};

/// The name of the text that a plan is made of, where a fault is told in it.
const SO_FAR: &str = "entered so far";

impl Session {
    /// A `cut`, `have` or `plan` line: worked once to see that it can be, and kept.
    pub(crate) fn cloth_line(&mut self, line: &Line, entered: &mut Entered) -> Result<(), Halt> {
        let mut scope = Scope::line();
        let mut builder = Builder::new(&mut self.names, &mut self.files);
        builder.compiler.numbered = false;
        let act = meaning(&line.kind).compile(line, &mut builder, &mut scope);
        builder.compiler.pending();
        if !builder.compiler.faults.is_empty() {
            entered.faults.append(&mut builder.compiler.faults);
            return Err(Halt::Silent);
        }
        self.link();
        let slots = scope.slots();
        let Scope { reads, calls, .. } = scope;
        let Some(act) = act else { return Ok(()) };
        let compiled = Compiled { act, span: line.span, slots, line: None, reads, calls };
        let effort = Effort::of(&self.limits, false);
        let mut maker = Maker::new(&[], &mut self.machine, effort);
        compiled.act.make(&compiled, &mut maker)?;
        let cutting = maker.cutting;
        let manner = &self.machine.settings.manner;
        for lot in &cutting.lots {
            let cuts = lot.pieces.iter().map(|cut| {
                let label = format!("cut {} {}", cut.count, cut.label);
                (label, &cut.across, &cut.along)
            });
            let hands = lot.hands.iter().map(|hand| {
                let label = format!("have {} of {}", hand.count, lot.cloth.name);
                (label, &hand.across, &hand.along)
            });
            for (label, across, along) in cuts.chain(hands) {
                let size = format!("{} by {}", across.show(manner), along.show(manner));
                let kept = "kept for a `plan` and for the recipe";
                entered.said.push(Said::Words(format!("{label}, {size} ({kept})")));
            }
        }
        Ok(())
    }

    /// The cloths of the `plan` lines among what was kept from `first` on, laid out. The lines so far
    /// are made as the recipe that `save` would write, so that each piece has the size that its line
    /// stood for, and a `plan` line may stand above its pieces.
    pub(crate) fn lay_out(
        &mut self,
        first: usize,
        host: &dyn Host,
        entered: &mut Entered,
    ) -> Result<(), Halt> {
        let is_plan = |kept: &Kept| matches!(kept.line.kind, LineKind::Plan(_));
        let (before, new) = self.kept.split_at(first.min(self.kept.len()));
        if !new.iter().any(is_plan) {
            return Ok(());
        }
        let before = before.iter().filter(|kept| !is_plan(kept));
        let kept: Vec<Kept> = before.chain(new).cloned().collect();
        let text = crate::session::save::recipe(&kept);
        let mut recipe =
            match crate::recipe::build::compile(SO_FAR, &text, &mut self.files, host, &self.limits) {
                Ok(recipe) => recipe,
                Err(faults) => {
                    entered.faults.extend(faults);
                    return Err(Halt::Silent);
                }
            };
        recipe.both(self.machine.settings.manner.both);
        let run = recipe.planned();
        if !run.faults.is_empty() {
            entered.faults.extend(run.faults);
            return Err(Halt::Silent);
        }
        let Docket { cloths, buys, checks, totals, .. } = run.docket;
        let docket = Docket { cloths, buys, checks, totals, ..Docket::default() };
        entered.said.push(Said::Docket(Box::new(docket)));
        Ok(())
    }
}
