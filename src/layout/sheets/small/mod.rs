//! Small jobs, exactly: what fits on each cloth is found out for all choices of pieces.

mod choice;
mod rows;
mod skyline;

use std::collections::HashMap;

use super::cost::Cost;
use super::task::{Found, Roll, Task, Use, laid_out};
use crate::layout::fronts::{Fronts, Limits, States};
use crate::layout::job::{Kind, Sheet};
use crate::layout::plan::{Lay, Part, Rect};
use crate::layout::work::Work;
use choice::{Chosen, Offer, cheapest};
use rows::Rows;
use skyline::Answer;

/// More choices of pieces than this are not gone through one by one.
const MOST_STATES: usize = 1 << 13;

/// So many pairs of choices are about one step of work.
const PAIRS: u64 = 4;

/// Steps for one look at whether pieces fit anyhow: first, and for one that matters; so many times as many
/// where these did not tell.
const GLANCE: u64 = 600;
const CLOSE: u64 = 60_000;
const CLOSER: u64 = 6;
const CLOSEST: u64 = 800_000;

/// Steps for a length of the roll that matters.
const LENGTH: u64 = 60_000;

/// Whether a choice fits on a cloth.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Fit {
    Yes,
    No,
    Open,
}

/// The lengths of the roll that a choice takes: no plan is shorter, and one is as long.
type Span = (i64, i64);

/// A small job on its way.
pub(super) struct Small<'a> {
    task: &'a Task,
    roll: Option<Roll<'a>>,
    states: States,
    /// Strips, by the width of the cloth.
    rows: HashMap<i64, Rows>,
    fronts: Option<Fronts>,
    /// What was found to fit anyhow on a cloth, or is laid on the roll.
    laid: HashMap<(Option<usize>, usize), Lay>,
    /// For each cloth, what fits.
    fits: Vec<Vec<Fit>>,
    /// For each choice, what it takes of the roll.
    spans: Vec<Span>,
}

impl<'a> Small<'a> {
    /// A job with so few pieces, and so much work, that all choices can be gone through.
    pub fn of(task: &'a Task, roll: Option<Roll<'a>>, work: u64) -> Option<Small<'a>> {
        let states = States::of(&task.counts(), MOST_STATES)?;
        if states.pairs() / PAIRS > work || task.by_selvage.contains(&true) {
            return None;
        }
        Some(Small {
            task,
            roll,
            rows: HashMap::new(),
            fronts: None,
            laid: HashMap::new(),
            fits: vec![vec![Fit::No; states.size()]; task.cloths.len()],
            spans: vec![(i64::MAX, i64::MAX); states.size()],
            states,
        })
    }

    /// The cheapest plan by cuts of a kind, the kinds asked in order; `None` where the work does not
    /// suffice.
    pub fn plan(&mut self, kind: Kind, work: &mut Work<'_>) -> Option<Found> {
        match kind {
            Kind::Strips => self.strips(work)?,
            Kind::EdgeToEdge => self.edges(work)?,
            Kind::Any => return self.anyhow(work),
        }
        let chosen = self.cheapest(false, work)?;
        let bound = chosen.cost.main;
        Some(self.found(chosen, bound))
    }

    /// What fits in strips.
    fn strips(&mut self, work: &mut Work<'_>) -> Option<()> {
        let widths = self.task.cloths.iter().map(|(_, sheet)| sheet.across);
        for width in widths.chain(self.roll.map(|roll| roll.width)) {
            if !self.rows.contains_key(&width) {
                self.rows.insert(width, Rows::of(&self.states, &self.task.items, width, work)?);
            }
        }
        let lengths = |width: i64| {
            let rows = self.rows.get(&width);
            let length = move |state| rows.and_then(|rows| rows.length(state));
            (0..self.states.size()).map(length).collect::<Vec<_>>()
        };
        let cloths = self.task.cloths.iter().map(|(_, sheet)| (lengths(sheet.across), sheet.along));
        let fits = cloths.map(|(lengths, along)| fitting(&lengths, along)).collect();
        let spans = self.roll.map(|roll| lengths(roll.width));
        self.fits = fits;
        self.keep(spans);
        Some(())
    }

    /// What fits by cuts from edge to edge.
    fn edges(&mut self, work: &mut Work<'_>) -> Option<()> {
        let cloths = self.task.cloths.iter().map(|(_, sheet)| (sheet.across, sheet.along));
        // Nothing longer than the longest strips is of use.
        let longest = self.spans.iter().map(|span| span.1).filter(|length| *length < i64::MAX).max();
        let roll = self.roll.map(|roll| (roll.width, longest.unwrap_or(0)));
        let most = cloths.chain(roll).fold((0, 0), |most, one| (most.0.max(one.0), most.1.max(one.1)));
        let limits = Limits { most, waste: i128::MAX / 2 };
        let fronts = Fronts::of(&self.states, &self.task.items, limits, work)?;
        let lengths =
            |width: i64| (0..self.states.size()).map(|state| fronts.length(state, width)).collect::<Vec<_>>();
        let cloths = self.task.cloths.iter().map(|(_, sheet)| (lengths(sheet.across), sheet.along));
        self.fits = cloths.map(|(lengths, along)| fitting(&lengths, along)).collect();
        let spans = self.roll.map(|roll| lengths(roll.width));
        self.keep(spans);
        self.fronts = Some(fronts);
        Some(())
    }

    fn keep(&mut self, lengths: Option<Vec<Option<i64>>>) {
        let lengths = lengths.into_iter().flatten().map(|length| length.unwrap_or(i64::MAX));
        for (span, length) in self.spans.iter_mut().zip(lengths) {
            *span = (length, length);
        }
    }

    /// What fits anyhow: at a glance for all, closely for what would be cheaper.
    fn anyhow(&mut self, work: &mut Work<'_>) -> Option<Found> {
        let mut best = self.cheapest(false, work)?;
        let mut glances = work.part(work.left() / 3);
        self.glance(&mut glances);
        work.back(glances);
        let (mut bound, mut close) = (0, CLOSE);
        while let Some(hoped) = self.cheapest(true, work) {
            bound = bound.max(hoped.cost.main);
            if bound >= best.cost.main {
                break;
            }
            let open = self.open(&hoped);
            if open.is_empty() {
                best = hoped;
                break;
            }
            if !self.settle(&open, close, work) {
                close *= CLOSER;
                if work.out() || close > work.left().min(CLOSEST) {
                    break;
                }
            }
        }
        if let Some(found) = self.cheapest(false, work)
            && found.cost < best.cost
        {
            best = found;
        }
        let bound = bound.min(best.cost.main);
        Some(self.found(best, bound))
    }

    /// Looks briefly at what does not fit edge to edge.
    fn glance(&mut self, work: &mut Work<'_>) {
        for cloth in 0..self.task.cloths.len() {
            for state in 1..self.states.size() {
                if self.fit(cloth, state) == Fit::Yes {
                    continue;
                }
                let never = self.states.fewer(state).any(|fewer| self.fit(cloth, fewer) == Fit::No);
                let fit = if never { Fit::No } else { self.look(cloth, state, GLANCE, work) };
                self.set(cloth, state, fit);
            }
        }
        let Some(roll) = self.roll else { return };
        let lies = |kind: usize| {
            let item = self.task.items.get(kind)?;
            item.ways(roll.width).map(|turned| item.lies(turned).1).min()
        };
        for state in 1..self.states.size() {
            let counts = self.states.counts(state);
            let held = || counts.iter().enumerate().filter(|(_, count)| **count > 0);
            let longest = held().filter_map(|(kind, _)| lies(kind)).max().unwrap_or(0);
            let area = self.task.area(&counts);
            let width = i128::from(roll.width.max(1));
            let by_area = i64::try_from(area / width + i128::from(area % width != 0)).unwrap_or(i64::MAX);
            if let Some(span) = self.spans.get_mut(state) {
                span.0 = longest.max(by_area).min(span.1);
            }
        }
    }

    fn fit(&self, cloth: usize, state: usize) -> Fit {
        self.fits.get(cloth).and_then(|fits| fits.get(state)).copied().unwrap_or(Fit::No)
    }

    fn set(&mut self, cloth: usize, state: usize, fit: Fit) {
        if let Some(one) = self.fits.get_mut(cloth).and_then(|fits| fits.get_mut(state)) {
            *one = fit;
        }
    }

    /// Whether a choice fits anyhow.
    fn look(&mut self, cloth: usize, state: usize, steps: u64, work: &mut Work<'_>) -> Fit {
        let Some((_, sheet)) = self.task.cloths.get(cloth) else { return Fit::No };
        let mut given = work.part(steps);
        let counts = self.states.counts(state);
        let answer = skyline::look(&self.task.items, &counts, (sheet.across, sheet.along), &mut given);
        work.back(given);
        work.spend(1);
        match answer {
            Answer::Fits(placed) => {
                let whole = Rect { x: 0, y: 0, across: sheet.across, along: sheet.along };
                self.laid.insert((Some(cloth), state), laid_out(whole, &placed));
                Fit::Yes
            }
            Answer::Never => Fit::No,
            Answer::Open => Fit::Open,
        }
    }

    /// What of a choice of cloths is not known to fit.
    fn open(&self, hoped: &Chosen) -> Vec<(Option<usize>, usize)> {
        let cloths = hoped.cloths.iter().filter(|(cloth, state)| self.fit(*cloth, *state) != Fit::Yes);
        let mut open: Vec<_> = cloths.map(|(cloth, state)| (Some(*cloth), *state)).collect();
        let span = self.spans.get(hoped.roll).copied().unwrap_or((0, 0));
        if let Some(roll) = self.roll
            && (roll.cost)(span.0) < (roll.cost)(span.1)
        {
            open.push((None, hoped.roll));
        }
        open
    }

    /// Finds out more about what matters; whether there was more to find out.
    fn settle(&mut self, open: &[(Option<usize>, usize)], close: u64, work: &mut Work<'_>) -> bool {
        let mut more = false;
        for (cloth, state) in open {
            match cloth {
                Some(cloth) => {
                    let fit = self.look(*cloth, *state, close, work);
                    more |= fit != Fit::Open;
                    self.set(*cloth, *state, fit);
                    if fit == Fit::No {
                        self.rule_out(*cloth, *state);
                    }
                }
                None => more |= self.measure(*state, work),
            }
        }
        more
    }

    /// What holds more than what does not fit does not fit either.
    fn rule_out(&mut self, cloth: usize, state: usize) {
        for more in state..self.states.size() {
            let within = |kind: usize| self.states.count(more, kind) >= self.states.count(state, kind);
            if (0..self.task.items.len()).all(within) {
                self.set(cloth, more, Fit::No);
            }
        }
    }

    /// Looks closely at what a choice takes of the roll.
    fn measure(&mut self, state: usize, work: &mut Work<'_>) -> bool {
        let Some(roll) = self.roll else { return false };
        let pieces = self.task.pieces(&self.states.counts(state));
        let Ok(laid) = (roll.plan)(roll.width, &pieces, Kind::Any, &mut work.part(LENGTH)) else {
            return false;
        };
        let Some(span) = self.spans.get_mut(state) else { return false };
        let before = *span;
        span.0 = span.0.max(laid.bound);
        if laid.length < span.1 {
            span.1 = laid.length;
            self.laid.insert((None, state), laid.lay);
        }
        *span != before
    }

    /// The cheapest cloths; `hoping` that all fits that is not known not to.
    fn cheapest(&self, hoping: bool, work: &mut Work<'_>) -> Option<Chosen> {
        let offer = |((_, sheet), fits): (&(usize, Sheet), &Vec<Fit>)| Offer {
            cost: self.task.cost(sheet),
            limit: i64::try_from(sheet.count).unwrap_or(i64::MAX),
            fits: fits.iter().map(|fit| *fit == Fit::Yes || hoping && *fit == Fit::Open).collect(),
        };
        let offers: Vec<Offer> = self.task.cloths.iter().zip(&self.fits).map(offer).collect();
        let area = |state: usize| self.task.area(&self.states.counts(state));
        let roll = self.roll.map(|roll| {
            let of = |span: &Span| {
                let length = if hoping { span.0 } else { span.1 };
                if length == i64::MAX { Cost::NEVER } else { (roll.cost)(length) }
            };
            self.spans.iter().map(of).collect::<Vec<Cost>>()
        });
        cheapest(&self.states, &offers, roll.as_deref(), &area, work)
    }

    /// A choice with its pieces laid out.
    fn found(&self, chosen: Chosen, bound: i64) -> Found {
        let mut uses: Vec<Use> = Vec::new();
        let (mut cloths, mut length) = (chosen.cloths.clone(), 0);
        cloths.sort_unstable();
        for (cloth, state) in cloths {
            let Some((_, sheet)) = self.task.cloths.get(cloth) else { continue };
            let lay = self.lay(Some(cloth), state, sheet.across, sheet.along);
            match uses.last_mut() {
                Some(last) if last.cloth == Some(cloth) && last.lay == lay => last.count += 1,
                _ => uses.push(Use { cloth: Some(cloth), count: 1, along: sheet.along, lay }),
            }
        }
        if let Some(roll) = self.roll.filter(|_| chosen.roll > 0) {
            length = self.spans.get(chosen.roll).map_or(0, |span| span.1);
            let lay = self.lay(None, chosen.roll, roll.width, length);
            uses.push(Use { cloth: None, count: 1, along: length, lay });
        }
        Found { uses, length, cost: chosen.cost, bound, left: self.states.counts(chosen.left) }
    }

    /// How pieces lie on a cloth, by the plainest cuts that do.
    fn lay(&self, cloth: Option<usize>, state: usize, across: i64, along: i64) -> Lay {
        let items = &self.task.items;
        let whole = Rect { x: 0, y: 0, across, along };
        let within = |length: Option<i64>| length.is_some_and(|length| length <= along);
        if let Some(rows) = self.rows.get(&across).filter(|rows| within(rows.length(state))) {
            return laid_out(whole, &rows.placed(&self.states, items, state));
        }
        let fronts = self.fronts.as_ref();
        if let Some(fronts) = fronts.filter(|fronts| within(fronts.length(state, across))) {
            return laid_out(whole, &fronts.placed(&self.states, items, state, across));
        }
        self.laid.get(&(cloth, state)).cloned().unwrap_or(Lay::Cut(Part::Left))
    }
}

fn fitting(lengths: &[Option<i64>], along: i64) -> Vec<Fit> {
    let fit = |length: &Option<i64>| match length {
        Some(length) if *length <= along => Fit::Yes,
        _ => Fit::No,
    };
    lengths.iter().map(fit).collect()
}
