//! Where a condition comes out even, over a whole range: the range is halved until each piece is proved
//! to hold no such value, or exactly one, or nothing but such values. No piece is left to chance.

use crate::ask::find::Follow;
use crate::ask::find::moving::{Moving, Sym};
use crate::ask::find::point::{Probe, Side, Tried};
use crate::ask::find::simple::simplest;
use crate::ask::find::slope::{Span, Stop};
use crate::eval::machine::Halt;
use crate::measure::{Exact, Number};
use crate::syntax::tree::CompareOp;
use crate::value::data::Value;

/// So many pieces are looked at before the rest is told as not settled.
const MOST_PIECES: usize = 6_000;
/// A piece is not halved below this part of the range: 2^-40.
const FINEST: i64 = 1 << 40;
/// How often a bracket is halved around one value.
const HALVINGS: usize = 56;

/// From one number to another; both the same for one exact number.
pub(crate) type Reach = (Exact, Exact);

/// What was found over a range.
#[derive(Debug, Default)]
pub(crate) struct Even {
    /// Single values, each exact or in a narrow bracket.
    pub spots: Vec<Reach>,
    /// Ranges all of whose values come out even.
    pub zones: Vec<Reach>,
    /// Places where it jumps over.
    pub jumps: Vec<Reach>,
    /// Where a rule begins to refuse, or ceases to.
    pub borders: Vec<Reach>,
    /// Places that could not be settled.
    pub unsure: Vec<Reach>,
    /// Whether the whole range is one straight line, proved; then its slope and the gap at the start.
    pub straight: Option<(Number, Number)>,
}

impl Probe<'_, '_> {
    /// The gap between both sides over a span.
    fn over(&mut self, lo: &Exact, hi: &Exact) -> Result<Moving, Stop> {
        let question = self.question;
        let slots = question.act.slots;
        let kept = self.machine.settings.clone();
        let mut span = Span {
            machine: self.machine,
            names: [(question.act.slot, Sym::Moving(Moving::sought(&self.like, lo, hi)))].into(),
            frame: Default::default(),
            depth: 0,
        };
        let spoil = |machine: &mut crate::eval::machine::Machine, slot: u32, value: Value| {
            if let Some(place) = machine.globals.get_mut(slot as usize) {
                *place = value;
            }
        };
        spoil(span.machine, question.act.slot, Value::Failed);
        for Follow { slot, node, slots, settings } in &question.follows {
            span.machine.settings = settings.clone();
            let made = span.line(node, *slots);
            span.machine.settings = kept.clone();
            match made? {
                Sym::Plain(value) => spoil(span.machine, *slot, value),
                moving => {
                    spoil(span.machine, *slot, Value::Failed);
                    span.names.insert(*slot, moving);
                }
            }
        }
        let (first, operand, op) = match &question.act.condition.code {
            crate::code::node::Code::Compare(first, links) => match &links[..] {
                [link] => (&**first, &link.operand, link.op),
                _ => return Err(Stop::Open),
            },
            _ => return Err(Stop::Open),
        };
        let (left, right) = (span.line(first, slots)?, span.line(operand, slots)?);
        if left.is_loose() || right.is_loose() {
            let (Some(x), Some(y)) = (left.loose(), right.loose()) else { return Err(Stop::Open) };
            let (least, most) = x.sub(&y)?.ends()?;
            // It must hold whatever the slack does.
            return match op {
                CompareOp::Less | CompareOp::AtMost => Ok(most),
                CompareOp::More | CompareOp::AtLeast => Ok(least),
                CompareOp::Is | CompareOp::IsNot => Err(Stop::Open),
            };
        }
        if let (Some(x), Some(y), Some(side)) = (left.size(), right.size(), self.side) {
            let (x, y) = if side == Side::Across { (x.0, y.0) } else { (x.1, y.1) };
            return Ok(x.sub(&y)?);
        }
        let (left, right) = (left.measure().ok_or(Stop::Open)?, right.measure().ok_or(Stop::Open)?);
        Ok(left.sub(&right)?)
    }

    /// Whether the gap runs one way all over a span, proved: its direction.
    pub fn direction(&mut self, lo: &Exact, hi: &Exact) -> Result<Option<i32>, Halt> {
        match self.over(lo, hi) {
            Ok(Moving { slope: Some(slope), jumps: false, .. }) => Ok(way(&slope)),
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
        let mut looked = 0;
        while let Some((a, b)) = open.pop() {
            looked += 1;
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
    fn straight_all_over(&mut self, a: &Exact, gap: &Moving) -> Result<Option<(Number, Number)>, Halt> {
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
        gap: &Moving,
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

    /// A piece that runs one way holds one value at most: where the ends lie on both sides of it.
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
    fn bracket(&mut self, mut a: Exact, mut b: Exact, left: i32) -> Result<Reach, Halt> {
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
    fn exactly(&mut self, a: Exact, b: Exact) -> Result<Reach, Halt> {
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
        for reaches in [&mut self.zones, &mut self.unsure, &mut self.jumps, &mut self.borders] {
            reaches.sort_by(|x, y| x.0.cmp(&y.0));
            let mut merged: Vec<Reach> = Vec::with_capacity(reaches.len());
            for reach in reaches.drain(..) {
                match merged.last_mut() {
                    Some(last) if last.1 >= reach.0 => last.1 = reach.1.max(last.1.clone()),
                    _ => merged.push(reach),
                }
            }
            *reaches = merged;
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
    gap.lower().signum() * gap.upper().signum() > 0
}

/// The direction of a slope, where it is sure.
fn way(slope: &Number) -> Option<i32> {
    let (low, high) = (slope.lower().signum(), slope.upper().signum());
    (low == high && low != 0).then_some(low)
}

pub(crate) fn halfway(a: &Exact, b: &Exact) -> Exact {
    (a + b).checked_div(&Exact::whole(2)).unwrap_or_else(|| a.clone()).reduced()
}
