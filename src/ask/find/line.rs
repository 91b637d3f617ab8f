//! Where a condition comes out even, over a whole range: the range is halved until each piece is proved
//! to hold no such value, or exactly one, or nothing but such values. No piece is left to chance.

use crate::ask::find::Follow;
use crate::ask::find::interval::Interval;
use crate::ask::find::intervals::{Intervals, Stop};
use crate::ask::find::point::{Probe, Side, Tried};
use crate::ask::find::simple::simplest;
use crate::eval::machine::Halt;
use crate::measure::{Exact, Number};
use crate::syntax::tree::CompareOp;
use crate::value::sides::Sides;

/// So many pieces are looked at before the rest is reported as not settled.
const MOST_PIECES: usize = 6_000;
/// A piece is not halved below this part of the range: 2^-40.
const FINEST: i64 = 1 << 40;
/// How often a bracket is halved around one value.
const HALVINGS: usize = 56;

/// From one number to another; both the same for one exact number.
pub(crate) type Bracket = (Exact, Exact);

/// What was found over a range.
#[derive(Debug, Default)]
pub(crate) struct Even {
    /// Single values, each exact or in a narrow bracket.
    pub spots: Vec<Bracket>,
    /// Ranges all of whose values come out even.
    pub zones: Vec<Bracket>,
    /// Places where it jumps over.
    pub jumps: Vec<Bracket>,
    /// Where a rule begins to refuse, or ceases to.
    pub borders: Vec<Bracket>,
    /// Places that could not be settled.
    pub unsure: Vec<Bracket>,
    /// Whether the whole range is one straight line, proved; then its slope and the gap at the start.
    pub straight: Option<(Number, Number)>,
}

impl Probe<'_, '_> {
    /// The gap between both sides over a span.
    fn over(&mut self, lo: &Exact, hi: &Exact) -> Result<Interval, Stop> {
        let question = self.question;
        let slots = question.act.slots;
        let Some((first, link)) = self.comparison() else { return Err(Stop::Open) };
        let kept = self.machine.settings.clone();
        let mut span = Intervals::new(self.machine);
        span.set_global(question.act.slot, Interval::sought(&self.like, lo, hi).into());
        for Follow { slot, node, slots, settings } in &question.follows {
            span.machine.settings = settings.clone();
            let made = span.line(node, *slots);
            span.machine.settings = kept.clone();
            span.set_global(*slot, made?);
        }
        let (left, right) = (span.line(first, slots)?, span.line(&link.operand, slots)?);
        if left.has_slack() || right.has_slack() {
            let (Some(x), Some(y)) = (left.slack(), right.slack()) else { return Err(Stop::Open) };
            let (least, most) = x.sub(&y)?.least_and_most()?;
            // It must hold whatever the slack does.
            return match link.op {
                CompareOp::Less | CompareOp::AtMost => Ok(most),
                CompareOp::More | CompareOp::AtLeast => Ok(least),
                CompareOp::Is | CompareOp::IsNot => Err(Stop::Open),
            };
        }
        match (left.sides(), right.sides(), self.side) {
            (Some(Sides::One(x)), Some(Sides::One(y)), _) => Ok(x.sub(&y)?),
            (Some(Sides::Two(x, _)), Some(Sides::Two(y, _)), Some(Side::Across)) => Ok(x.sub(&y)?),
            (Some(Sides::Two(_, x)), Some(Sides::Two(_, y)), Some(Side::Along)) => Ok(x.sub(&y)?),
            _ => Err(Stop::Open),
        }
    }

    /// Whether the gap runs one way all over a span, proved: its direction.
    pub fn direction(&mut self, lo: &Exact, hi: &Exact) -> Result<Option<i32>, Halt> {
        match self.over(lo, hi) {
            Ok(Interval { slope: Some(slope), jumps: false, .. }) => Ok(way(&slope)),
            Err(Stop::Halt(halt)) => Err(halt),
            _ => Ok(None),
        }
    }

    /// All values of a range at which both sides are even; where `edges` count, also where a rule begins to
    /// refuse.
    pub fn even(&mut self, lo: &Exact, hi: &Exact, edges: bool) -> Result<Even, Halt> {
        let mut even = Even::default();
        let finest = (hi - lo).checked_div(&Exact::whole(FINEST)).unwrap_or(Exact::ZERO);
        let mut open = vec![(lo.clone(), hi.clone())];
        let mut looked = 0usize;
        while let Some((a, b)) = open.pop() {
            looked = looked.saturating_add(1);
            if looked > MOST_PIECES {
                even.unsure.push((a, b));
                even.unsure.append(&mut open);
                break;
            }
            let narrow = &b - &a <= finest;
            let settled = match self.over(&a, &b) {
                Err(Stop::Halt(halt)) => return Err(halt),
                Err(Stop::Refused) => {
                    even.borders.push((a.clone(), b.clone()));
                    true
                }
                Err(Stop::Open) => {
                    if narrow {
                        self.narrow(&a, &b, true, &mut even)?;
                    }
                    narrow
                }
                Ok(gap) => {
                    if looked == 1 {
                        even.straight = self.straight_all_over(&a, &gap)?;
                    }
                    match apart(&gap.at.number) {
                        true if gap.holes && edges => {
                            if narrow {
                                even.borders.push((a.clone(), b.clone()));
                            }
                            narrow
                        }
                        true => true,
                        false => self.settle(&a, &b, &gap, narrow, &mut even)?,
                    }
                }
            };
            if !settled {
                let middle = halfway(&a, &b);
                open.push((middle.clone(), b));
                open.push((a, middle));
            }
        }
        even.tidy();
        // Of what is refused only the edges count.
        let hair = &finest + &finest;
        let edges = std::mem::take(&mut even.borders);
        let around = |at: Exact| ((&at - &hair).max(lo.clone()), (&at + &hair).min(hi.clone()));
        even.borders = edges.into_iter().flat_map(|(a, b)| [around(a), around(b)]).collect();
        Ok(even)
    }

    /// The slope and the gap at the start, where the whole range is one straight line.
    fn straight_all_over(&mut self, a: &Exact, gap: &Interval) -> Result<Option<(Number, Number)>, Halt> {
        match &gap.slope {
            Some(slope) if slope.is_exact() && !gap.jumps => {
                let slope = slope.clone();
                Ok(self.at(a)?.gap().map(|gap| (slope, gap)))
            }
            _ => Ok(None),
        }
    }

    /// Settles a piece where the gap may be nothing; `false` where it must be halved.
    fn settle(
        &mut self,
        a: &Exact,
        b: &Exact,
        gap: &Interval,
        narrow: bool,
        even: &mut Even,
    ) -> Result<bool, Halt> {
        if let (false, Some(slope)) = (gap.jumps, &gap.slope) {
            if let Some(exact) = slope.exact().cloned() {
                if self.straight(a, b, &exact, even)? {
                    return Ok(true);
                }
            } else if way(slope).is_some() {
                return self.one_way(a, b, even).map(|()| true);
            }
        }
        if narrow {
            self.narrow(a, b, gap.jumps, even)?;
        }
        Ok(narrow)
    }

    /// A straight piece: its value is worked out, not searched for.
    fn straight(&mut self, a: &Exact, b: &Exact, slope: &Exact, even: &mut Even) -> Result<bool, Halt> {
        let tried = self.at(a)?;
        let Some(gap) = tried.gap() else { return Ok(false) };
        let Some(exact) = gap.exact() else {
            if slope.is_zero() {
                return Ok(tried.sign().is_some_and(|sign| sign != 0));
            }
            self.one_way(a, b, even)?;
            return Ok(true);
        };
        if slope.is_zero() {
            if exact.is_zero() {
                even.zones.push((a.clone(), b.clone()));
            }
            return Ok(true);
        }
        let Some(on) = exact.checked_div(slope) else { return Ok(false) };
        let spot = (a - &on).reduced();
        if *a <= spot && spot <= *b {
            even.spots.push((spot.clone(), spot));
        }
        Ok(true)
    }

    /// A piece that runs one way holds one value at most: where the ends are on both sides of it.
    fn one_way(&mut self, a: &Exact, b: &Exact, even: &mut Even) -> Result<(), Halt> {
        let (left, right) = (self.at(a)?.sign(), self.at(b)?.sign());
        match (left, right) {
            (Some(0), _) => even.spots.push((a.clone(), a.clone())),
            (_, Some(0)) => even.spots.push((b.clone(), b.clone())),
            (Some(x), Some(y)) if x == y => {}
            (Some(x), Some(_)) => {
                let spot = self.bracket(a.clone(), b.clone(), x)?;
                even.spots.push(spot);
            }
            _ => even.unsure.push((a.clone(), b.clone())),
        }
        Ok(())
    }

    /// Halves a bracket around the one value in it; `left` is the sign at its lower end.
    fn bracket(&mut self, mut a: Exact, mut b: Exact, left: i32) -> Result<Bracket, Halt> {
        for _ in 0..HALVINGS {
            let middle = halfway(&a, &b);
            match self.at(&middle)?.sign() {
                Some(0) => return Ok((middle.clone(), middle)),
                Some(sign) if sign == left => a = middle,
                Some(_) => b = middle,
                // As near as the numbers of the formula themselves are known.
                None => break,
            }
        }
        self.exactly(a, b)
    }

    /// The simplest number of a bracket is often the value itself.
    fn exactly(&mut self, a: Exact, b: Exact) -> Result<Bracket, Halt> {
        for candidate in simplest(&self.like, &a, &b) {
            if self.at(&candidate)?.sign() == Some(0) {
                return Ok((candidate.clone(), candidate));
            }
        }
        Ok((a, b))
    }

    /// A piece too narrow to be halved again.
    fn narrow(&mut self, a: &Exact, b: &Exact, jumps: bool, even: &mut Even) -> Result<(), Halt> {
        let (left, right): (Tried, Tried) = (self.at(a)?, self.at(b)?);
        let spot = self.exactly(a.clone(), b.clone())?;
        if spot.0 == spot.1 {
            even.spots.push(spot);
            return Ok(());
        }
        match (left.sign(), right.sign()) {
            // The edge of a range that comes out even.
            (Some(0), _) => even.spots.push((a.clone(), a.clone())),
            (_, Some(0)) => even.spots.push((b.clone(), b.clone())),
            (Some(x), Some(y)) if x != y && jumps => even.jumps.push((a.clone(), b.clone())),
            _ if left.sides.is_none() || right.sides.is_none() => even.borders.push((a.clone(), b.clone())),
            _ => even.unsure.push((a.clone(), b.clone())),
        }
        Ok(())
    }
}

impl Even {
    /// Puts all in order; pieces that touch become one.
    fn tidy(&mut self) {
        for brackets in [&mut self.zones, &mut self.unsure, &mut self.jumps, &mut self.borders] {
            brackets.sort_by(|x, y| x.0.cmp(&y.0));
            let mut merged: Vec<Bracket> = Vec::with_capacity(brackets.len());
            for bracket in brackets.drain(..) {
                match merged.last_mut() {
                    Some(last) if last.1 >= bracket.0 => last.1 = bracket.1.max(last.1.clone()),
                    _ => merged.push(bracket),
                }
            }
            *brackets = merged;
        }
        let zones = std::mem::take(&mut self.zones);
        self.spots.retain(|spot| !zones.iter().any(|zone| zone.0 <= spot.0 && spot.1 <= zone.1));
        self.zones = zones;
        self.spots.sort_by(|x, y| x.0.cmp(&y.0));
        self.spots.dedup_by(|next, last| next.0 == last.0 && next.1 == last.1 || next.0 < last.1);
        // The open end of a range that comes out even, where the end itself does too.
        for zone in &mut self.zones {
            self.spots.retain(|spot| {
                let touches = spot.0 == spot.1 && (near(&spot.0, &zone.1) || near(&zone.0, &spot.0));
                if touches {
                    zone.0 = zone.0.clone().min(spot.0.clone());
                    zone.1 = zone.1.clone().max(spot.1.clone());
                }
                !touches
            });
        }
    }
}

/// Whether one number is a hair over another.
fn near(over: &Exact, under: &Exact) -> bool {
    let hair = Exact::ratio(1, 1 << 20).unwrap_or(Exact::ZERO);
    over >= under && over - under <= hair
}

/// Whether bounds leave nothing out of the question.
fn apart(gap: &Number) -> bool {
    gap.lower().signum().saturating_mul(gap.upper().signum()) > 0
}

/// The direction of a slope, where it is sure.
fn way(slope: &Number) -> Option<i32> {
    let (low, high) = (slope.lower().signum(), slope.upper().signum());
    (low == high && low != 0).then_some(low)
}

pub(crate) fn halfway(a: &Exact, b: &Exact) -> Exact {
    (a + b).checked_div(&Exact::whole(2)).unwrap_or_else(|| a.clone()).reduced()
}
