//! Several sizes cut and bought together: one plan for each cloth, one line for each thing to buy.

use std::rc::Rc;

use crate::docket::{Buy, Check, Docket, Figure, FigureValue, Words};
use crate::eval::machine::{Halt, Settings};
use crate::eval::words::Operand;
use crate::fault::{Fault, FileId, Span};
use crate::measure::{Exact, Number, Quantity};
use crate::recipe::bill;
use crate::recipe::cutting::Cutting;
use crate::recipe::lines::maker::Run;
use crate::recipe::planning;
use crate::value::{Slack, Source, Value};

/// What the sizes made so far ask for.
#[derive(Debug, Default)]
pub(crate) struct Together {
    cutting: Cutting,
    docket: Docket,
    sizes: Vec<Rc<str>>,
    /// Sizes that could not be made, or that a check forbids.
    left_out: Vec<Rc<str>>,
    faults: Vec<Fault>,
    settings: Settings,
}

impl Together {
    /// Takes in one size; its pieces carry its name.
    pub fn take(&mut self, run: &Run, size: &str, settings: &Settings) {
        if !run.no_check_fails() {
            return self.leave_out(size);
        }
        let docket = &run.docket;
        if self.sizes.is_empty() {
            self.docket.recipe.clone_from(&docket.recipe);
            self.docket.kits = docket.kits;
            self.settings = settings.clone();
        }
        for (all, these) in
            [(&mut self.docket.notes, &docket.notes), (&mut self.docket.cautions, &docket.cautions)]
        {
            let known = |text: &Words| all.iter().any(|known| known.words == text.words);
            let new = these.iter().filter(|text| !known(text)).cloned().collect::<Vec<_>>();
            all.extend(new);
        }
        let named =
            |check: &Check| Check { message: format!("{size}: {}", check.message).into(), ..check.clone() };
        self.docket.checks.extend(docket.checks.iter().map(named));
        for buy in &docket.buys {
            self.buy(buy);
        }
        // One reason is enough: a table of a million sizes would give a million.
        if self.faults.is_empty()
            && let Err(Halt::Fault(fault)) = self.cutting.join(&run.cutting, size)
        {
            self.faults.push(*fault);
        }
        self.sizes.push(size.into());
    }

    /// A size that is not cut with the others.
    pub fn leave_out(&mut self, size: &str) {
        self.left_out.push(size.into());
    }

    /// One more of a line that is there already, or a line of its own.
    fn buy(&mut self, more: &Buy) {
        let measure = |figure: &Figure| figure.value.as_measure().cloned();
        let price = |buy: &Buy| buy.price.as_ref().and_then(measure);
        let alike = |one: &Option<Quantity>, other: &Option<Quantity>| match (one, other) {
            (Some(one), Some(other)) => one.compare(other) == Ok(std::cmp::Ordering::Equal),
            (None, None) => true,
            _ => false,
        };
        let pack = |buy: &Buy| buy.packs.as_ref().and_then(|packs| measure(&packs.of));
        let (each, holds) = (price(more), pack(more));
        for line in self.docket.buys.iter_mut().filter(|line| line.label == more.label) {
            let Some(sum) = sum_of(&line.needed.value, &more.needed.value) else { continue };
            if !alike(&price(line), &each) || !alike(&pack(line), &holds) {
                continue;
            }
            // The sum goes up to the shop's step or to whole packs once, not size by size.
            let nowhere = Span::new(FileId(0), 0, 0);
            let (each, holds) = (each.clone().map(Value::Measure), holds.clone().map(Value::Measure));
            let sold = bill::Sold {
                pack: holds.as_ref().map(|pack| Operand::new(pack, nowhere)),
                price: each.as_ref().map(|each| Operand::new(each, nowhere)),
            };
            let sum = Operand::new(&sum, nowhere);
            if let Ok(joined) = bill::buy(sum, more.label.clone(), sold, &self.settings) {
                *line = Buy { line: line.line, ..joined };
                return;
            }
        }
        self.docket.buys.push(more.clone());
    }

    /// The docket of all of them.
    pub fn made(mut self, effort: &planning::Effort) -> Run {
        for (what, sizes) in [("Cut and bought together", &self.sizes), ("Left out", &self.left_out)] {
            if !sizes.is_empty() {
                self.docket.notes.push(format!("{what}: {}.", sizes.join(", ")).as_str().into());
            }
        }
        let mut run = Run { docket: self.docket, faults: self.faults, ..Run::default() };
        if run.faults.is_empty() {
            run.plan(&self.cutting, effort);
        }
        run
    }
}

/// What two lines need together; two sizes are off each by its own, so that their slacks add up.
fn sum_of(one: &FigureValue, other: &FigureValue) -> Option<Value> {
    if let (FigureValue::Measure(one), FigureValue::Measure(other)) = (one, other) {
        return one.add(other).ok().map(Value::Measure);
    }
    slack_of(one)?.add(&slack_of(other)?).ok().map(Value::from)
}

/// A measure with the sources of its slack, apart from those of any other size.
fn slack_of(value: &FigureValue) -> Option<Slack> {
    let given = match value {
        FigureValue::Measure(quantity) => return Some(Slack::plain(quantity)),
        FigureValue::Slack(given) => given,
        _ => return None,
    };
    let none = Quantity { number: Number::Exact(Exact::ZERO), ..given.middle.clone() };
    let mut sum = Slack::plain(&given.middle);
    let mut left = given.slack.number.upper().clone();
    for share in &given.shares {
        let part = share.amount.number.upper();
        left = &left - part;
        sum = sum.add(&Slack::new(&none, part, Source::new(share.words.clone(), share.line))).ok()?;
    }
    // What no source is named for counts all the same.
    if left.signum() > 0 {
        sum = sum.add(&Slack::between(&-&left, &left, &none)).ok()?;
    }
    Some(sum)
}
