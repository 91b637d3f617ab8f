//! A search over a range without steps.

use std::rc::Rc;

use crate::ask::find::answer::Answer;
use crate::ask::find::line::{Bracket, Even, halfway};
use crate::ask::find::point::{Probe, Side};
use crate::ask::find::simple::simplest;
use crate::docket::{Figure, Outcome};
use crate::eval::machine::Halt;
use crate::fault::{Code as FaultCode, Fault};
use crate::measure::Exact;
use crate::syntax::tree::{CompareOp, End};

/// Searches a range.
pub(crate) fn search(
    probe: &mut Probe<'_, '_>,
    lo: &Exact,
    hi: &Exact,
    end: Option<End>,
) -> Result<Answer, Halt> {
    let span = probe.question.act.condition.span;
    let Some(op) = probe.comparison().map(|(_, link)| link.op) else {
        let message = "over a range without steps, compare one value with one other";
        let fault = Fault::new(FaultCode::BadLine, span, message);
        return Err(fault
            .hint("write `so that … is 60 in`, or name the marks to search: `on 1/8 in`")
            .into());
    };
    if op == CompareOp::IsNot || op != CompareOp::Is && end.is_none() {
        let message = "this may be true for more than one value: say which one you need";
        let fault = Fault::new(FaultCode::BadLine, span, message);
        return Err(fault.hint("write `find least …` or `find most …`, or `so that … is …`").into());
    }
    // What does not go together is reported before anything is searched.
    let first = probe.at(lo)?;
    if first.sizes && op == CompareOp::Is {
        return sizes(probe, lo, hi, end);
    }
    if first.holds.is_some() && first.sides.is_none() {
        let message = "over a range without steps, only measures can be compared";
        return Err(Fault::new(FaultCode::WrongKind, span, message)
            .hint("name the marks to search: `on 1/8 in`")
            .into());
    }
    let even = probe.even(lo, hi, op != CompareOp::Is)?;
    match end.filter(|_| op != CompareOp::Is) {
        Some(end) => boundary(probe, lo, hi, end, &even),
        None => chosen(probe, lo, hi, end, &even),
    }
}

/// Of the values at which both sides are even, those that are asked for.
fn chosen(
    probe: &mut Probe<'_, '_>,
    lo: &Exact,
    hi: &Exact,
    end: Option<End>,
    even: &Even,
) -> Result<Answer, Halt> {
    let spots = ordered(even);
    match end {
        None => all(probe, lo, hi, even, &spots),
        Some(end) => outermost(probe, lo, hi, end, even, &spots),
    }
}

/// Two sizes are even where both of their sides are.
fn sizes(probe: &mut Probe<'_, '_>, lo: &Exact, hi: &Exact, end: Option<End>) -> Result<Answer, Halt> {
    probe.side = Some(Side::Along);
    let along = probe.even(lo, hi, false)?;
    probe.side = Some(Side::Across);
    let across = probe.even(lo, hi, false)?;
    let everywhere = |even: &Even| even.zones.iter().any(|zone| zone.0 == *lo && zone.1 == *hi);
    if everywhere(&along) {
        return chosen(probe, lo, hi, end, &across);
    }
    if everywhere(&across) {
        probe.side = Some(Side::Along);
        return chosen(probe, lo, hi, end, &along);
    }
    let exact = |even: &Even| {
        let spots = even.spots.iter().all(|spot| spot.0 == spot.1);
        spots && even.zones.is_empty() && even.unsure.is_empty()
    };
    let mut both = Even::default();
    if exact(&across) {
        for spot in &across.spots {
            if probe.at(&spot.0)?.holds == Some(true) {
                both.spots.push(spot.clone());
            }
        }
    } else {
        both.unsure.push((lo.clone(), hi.clone()));
    }
    let answer = chosen(probe, lo, hi, end, &both)?;
    let told = matches!(answer.outcome, Outcome::None);
    let mut answer = answer;
    for (word, even) in [("across", &across), ("along", &along)].into_iter().filter(|_| told) {
        let spots = ordered(even);
        let words: Vec<String> = spots.iter().take(3).map(|spot| short(probe, &spot.0.0)).collect();
        answer = answer.note(match words.is_empty() {
            true => format!("{word} it is never true"),
            false => format!("{word} it is true at {}", words.join(", ")),
        });
    }
    Ok(answer)
}

/// Single values and ranges, in order.
fn ordered(even: &Even) -> Vec<(Bracket, bool)> {
    let spots = even.spots.iter().map(|spot| (spot.clone(), false));
    let mut all: Vec<(Bracket, bool)> =
        spots.chain(even.zones.iter().map(|zone| (zone.clone(), true))).collect();
    all.sort_by(|x, y| x.0.0.cmp(&y.0.0));
    all
}

fn figures(probe: &Probe<'_, '_>, spots: &[(Bracket, bool)]) -> Vec<(Figure, Option<Figure>)> {
    let figure = |(bracket, zone): &(Bracket, bool)| match zone {
        true => (probe.number(&bracket.0), Some(probe.number(&bracket.1))),
        false => (probe.spot(bracket), None),
    };
    spots.iter().map(figure).collect()
}

fn unsure(probe: &Probe<'_, '_>, even: &Even, spots: &[(Bracket, bool)]) -> Option<Answer> {
    let (first, last) = (even.unsure.first()?, even.unsure.last()?);
    let (from, to) = (short(probe, &first.0), short(probe, &last.1));
    let where_ = if from == to { format!("near {from}") } else { format!("between {from} and {to}") };
    let note = format!("not decided {where_}: narrow the range, or name the marks to search, `on 1/8 in`");
    Some(Answer::new(Outcome::Unsure(figures(probe, spots))).note(note))
}

/// A number whose exact fraction nobody wants to read.
fn short(probe: &Probe<'_, '_>, exact: &Exact) -> String {
    let hair = exact.abs().checked_div(&Exact::whole(1_000_000)).unwrap_or(Exact::ZERO);
    let simple = simplest(&probe.like, &(exact - &hair), &(exact + &hair));
    probe.words(simple.first().unwrap_or(exact))
}

/// Every value at which both sides come out even.
fn all(
    probe: &mut Probe<'_, '_>,
    lo: &Exact,
    hi: &Exact,
    even: &Even,
    spots: &[(Bracket, bool)],
) -> Result<Answer, Halt> {
    if let Some(answer) = unsure(probe, even, spots) {
        return Ok(answer);
    }
    match spots {
        [] => none(probe, lo, hi, even),
        [(bracket, false)] => {
            let exact = bracket.0 == bracket.1;
            let note = match (exact, &even.straight) {
                (true, Some(_)) => "exact: it changes in a straight line, so there is no other value".into(),
                (true, None) => {
                    format!("exact; the only value from {} to {}", probe.words(lo), probe.words(hi))
                }
                (false, _) => {
                    format!(
                        "not a simple number; the only value from {} to {}",
                        probe.words(lo),
                        probe.words(hi)
                    )
                }
            };
            Ok(Answer::new(Outcome::One(probe.spot(bracket))).note(note))
        }
        [(bracket, true)] if bracket.0 == bracket.1 => {
            Ok(Answer::new(Outcome::One(probe.number(&bracket.0))))
        }
        several => {
            let mut notes = Vec::new();
            let mut closed = Vec::with_capacity(several.len());
            for (bracket, zone) in several {
                let mut bracket = bracket.clone();
                if *zone {
                    bracket.0 = edge(probe, &bracket.0, &mut notes)?;
                    bracket.1 = edge(probe, &bracket.1, &mut notes)?;
                }
                closed.push((bracket, *zone));
            }
            let answer = Answer::new(Outcome::Several(figures(probe, &closed)));
            Ok(notes.into_iter().fold(answer, Answer::note))
        }
    }
}

/// The end of a range that comes out even: where the range stops short of a simple number by a hair, that
/// number, and that it is left out.
fn edge(probe: &mut Probe<'_, '_>, at: &Exact, notes: &mut Vec<String>) -> Result<Exact, Halt> {
    let hair = at.abs().checked_div(&Exact::whole(1_000_000_000)).unwrap_or(Exact::ZERO);
    let simple = simplest(&probe.like, &(at - &hair), &(at + &hair));
    let Some(simple) = simple.first().filter(|simple| *simple != at) else { return Ok(at.clone()) };
    if probe.at(simple)?.holds != Some(true) {
        notes.push(format!("not at {} itself", probe.words(simple)));
    }
    Ok(simple.clone())
}

/// No value makes the condition true: reports the values beside it.
fn none(probe: &mut Probe<'_, '_>, lo: &Exact, hi: &Exact, even: &Even) -> Result<Answer, Halt> {
    let mut answer = Answer::new(Outcome::None);
    if let Some((slope, gap)) = &even.straight
        && let Some(on) = gap.exact().zip(slope.exact()).and_then(|(gap, slope)| gap.checked_div(slope))
    {
        let outside = (lo - &on).reduced();
        answer = answer.note(format!("it would be true at {}, outside the range", probe.words(&outside)));
    }
    let told: Vec<Exact> = match even.jumps.first() {
        Some(jump) => {
            answer = answer.note(format!("it jumps over this value at {}", short(probe, &jump.0)));
            vec![halfway(lo, &jump.0), halfway(&jump.1, hi)]
        }
        None if lo == hi => vec![lo.clone()],
        None => vec![lo.clone(), hi.clone()],
    };
    if even.jumps.is_empty() {
        for at in told {
            answer.near.push(probe.near_at(&at)?);
        }
    } else if let Some(jump) = even.jumps.first().cloned() {
        for (at, shown) in [(&jump.0, "below"), (&jump.1, "above")] {
            let tried = probe.at(at)?;
            if let Some((left, _)) = &tried.sides {
                let made = left.show(&probe.machine.settings.manner);
                answer = answer.note(format!("just {shown} that it is {made}"));
            }
        }
    }
    Ok(answer)
}

/// The least or the most of several values.
fn outermost(
    probe: &mut Probe<'_, '_>,
    lo: &Exact,
    hi: &Exact,
    end: End,
    even: &Even,
    spots: &[(Bracket, bool)],
) -> Result<Answer, Halt> {
    let chosen = match end {
        End::Least => spots.first(),
        End::Most => spots.last(),
    };
    let Some((bracket, zone)) = chosen else {
        return match unsure(probe, even, spots) {
            Some(answer) => Ok(answer),
            None => none(probe, lo, hi, even),
        };
    };
    let beyond = |place: &Bracket| match end {
        End::Least => place.0 < bracket.1,
        End::Most => place.1 > bracket.0,
    };
    if even.unsure.iter().any(beyond) {
        return Ok(unsure(probe, even, spots).unwrap_or_else(|| Answer::new(Outcome::Unsure(Vec::new()))));
    }
    let figure = match (zone, end) {
        (false, _) => probe.spot(bracket),
        (true, End::Least) => probe.number(&bracket.0),
        (true, End::Most) => probe.number(&bracket.1),
    };
    let word = if end == End::Least { "least" } else { "most" };
    let note = match spots.len() {
        1 if !zone => "the only value".into(),
        _ => format!("the {word} of several from {} to {}", probe.words(lo), probe.words(hi)),
    };
    Ok(Answer::new(Outcome::One(figure)).note(note))
}

/// Where a condition begins or ceases to hold, from the end that is asked for inwards.
fn boundary(
    probe: &mut Probe<'_, '_>,
    lo: &Exact,
    hi: &Exact,
    end: End,
    even: &Even,
) -> Result<Answer, Halt> {
    let most = end == End::Most;
    let (from, to) = if most { (hi, lo) } else { (lo, hi) };
    if probe.at(from)?.holds == Some(true) {
        let answer = Answer::new(Outcome::One(probe.number(from)));
        return Ok(answer.note("the range ends there: beyond it there may be more"));
    }
    let mut events: Vec<(&Bracket, Event)> = Vec::new();
    events.extend(even.spots.iter().map(|bracket| (bracket, Event::Meets)));
    events.extend(even.zones.iter().map(|bracket| (bracket, Event::Zone)));
    events.extend(even.jumps.iter().map(|bracket| (bracket, Event::Jumps)));
    events.extend(even.borders.iter().map(|bracket| (bracket, Event::Jumps)));
    events.extend(even.unsure.iter().map(|bracket| (bracket, Event::Unsure)));
    events.sort_by(|x, y| x.0.0.cmp(&y.0.0));
    if most {
        events.reverse();
    }
    let mut before = from.clone();
    for (bracket, event) in events {
        let (near, far) = if most { (&bracket.1, &bracket.0) } else { (&bracket.0, &bracket.1) };
        // Between two events the condition holds all along, or nowhere.
        if *near != before && probe.at(&halfway(near, &before))?.holds == Some(true) {
            return Ok(open_end(probe, &before));
        }
        if event == Event::Unsure {
            return Ok(unsure(probe, even, &ordered(even)).unwrap_or_else(|| Answer::new(Outcome::None)));
        }
        if let Some(figure) = probe.holding(bracket, near, event)? {
            return closed(probe, figure, (lo, hi), most);
        }
        before = far.clone();
    }
    if *to != before && probe.at(&halfway(to, &before))?.holds == Some(true) {
        return Ok(open_end(probe, &before));
    }
    if probe.at(to)?.holds == Some(true) {
        return closed(probe, probe.number(to), (lo, hi), most);
    }
    none(probe, lo, hi, even)
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Event {
    Meets,
    Zone,
    Jumps,
    Unsure,
}

impl Probe<'_, '_> {
    /// The value at an event where the condition holds.
    fn holding(&mut self, bracket: &Bracket, near: &Exact, event: Event) -> Result<Option<Figure>, Halt> {
        if bracket.0 == bracket.1 || event == Event::Zone {
            let holds = self.at(near)?.holds == Some(true);
            return Ok(holds.then(|| self.number(near)));
        }
        if event == Event::Meets {
            // Both sides are even somewhere in the bracket.
            let op = self.comparison().map(|(_, link)| link.op);
            let inclusive = matches!(op, Some(CompareOp::AtMost | CompareOp::AtLeast));
            return Ok(inclusive.then(|| self.spot(bracket)));
        }
        for candidate in simplest(&self.like, &bracket.0, &bracket.1) {
            if self.at(&candidate)?.holds == Some(true) {
                return Ok(Some(self.number(&candidate)));
            }
        }
        Ok(None)
    }
}

fn closed(probe: &Probe<'_, '_>, figure: Figure, ends: (&Exact, &Exact), most: bool) -> Result<Answer, Halt> {
    let word = if most { "most" } else { "least" };
    let note: Rc<str> = format!("the {word} from {} to {}", probe.words(ends.0), probe.words(ends.1)).into();
    Ok(Answer::new(Outcome::One(figure)).note(note))
}

/// The condition holds right up to a value, and not at it.
fn open_end(probe: &Probe<'_, '_>, at: &Exact) -> Answer {
    let note = format!(
        "it is true up to {}, but not there, so there is no last value: name the marks to search, `on 1/8 in`",
        short(probe, at)
    );
    Answer::new(Outcome::None).note(note)
}
