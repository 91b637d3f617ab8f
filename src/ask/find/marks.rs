//! A search over whole numbers, or over the marks of a step: each is tried, so nothing is missed.

use crate::ask::find::answer::Answer;
use crate::ask::find::point::{Probe, Tried};
use crate::docket::Outcome;
use crate::eval::machine::Halt;
use crate::fault::{Code as FaultCode, Fault};
use crate::measure::Exact;
use crate::syntax::tree::End;

/// So many marks are tried one by one; beyond, only what is proved to run one way is searched.
const MOST_MARKS: i64 = 20_000;

/// Marks that were tried, in order; where some are left out, those between two are as both are.
struct Marks {
    step: Exact,
    first: i64,
    last: i64,
    tried: Vec<(i64, Tried)>,
}

/// A run of marks at which the condition holds.
type Run = (i64, i64);

impl Marks {
    fn at(&self, mark: i64) -> Exact {
        &self.step * &Exact::whole(mark)
    }

    fn runs(&self) -> Vec<Run> {
        let mut runs: Vec<Run> = Vec::new();
        let mut before = false;
        for (mark, tried) in &self.tried {
            let holds = tried.holds == Some(true);
            match runs.last_mut() {
                Some(run) if holds && before => run.1 = *mark,
                _ if holds => runs.push((*mark, *mark)),
                _ => {}
            }
            before = holds;
        }
        runs
    }
}

/// Searches the marks of a step.
pub(crate) fn search(
    probe: &mut Probe<'_, '_>,
    lo: &Exact,
    hi: &Exact,
    step: &Exact,
    end: Option<End>,
) -> Result<Answer, Halt> {
    let marks = tried(probe, lo, hi, step)?;
    let unsure = marks.tried.iter().filter(|(_, tried)| tried.holds.is_none() && tried.sides.is_some());
    let unsure: Vec<i64> = unsure.map(|(mark, _)| *mark).collect();
    let runs = marks.runs();
    let spans = |probe: &Probe<'_, '_>| {
        let ends = |run: &Run| {
            let last = (run.0 != run.1).then(|| probe.number(&marks.at(run.1)));
            (probe.number(&marks.at(run.0)), last)
        };
        runs.iter().map(ends).collect::<Vec<_>>()
    };
    if let Some(mark) = unsure.first() {
        let note =
            format!("at {} it is too close to tell: round both sides first", probe.words(&marks.at(*mark)));
        return Ok(Answer::new(Outcome::Unsure(spans(probe))).note(note));
    }
    let chosen = match (end, runs.first(), runs.last()) {
        (Some(End::Least), Some(first), _) => first.0,
        (Some(End::Most), _, Some(last)) => last.1,
        (None, Some(first), Some(last)) if first.0 == last.1 => first.0,
        (None, Some(_), _) => return Ok(Answer::new(Outcome::Several(spans(probe)))),
        _ => return none(probe, &marks),
    };
    let mut answer = Answer::new(Outcome::One(probe.number(&marks.at(chosen))));
    let ends = match end {
        Some(End::Least) => chosen == marks.first,
        Some(End::Most) => chosen == marks.last,
        None => false,
    };
    answer = match end {
        _ if ends => answer.note("the range ends there: beyond it there may be more"),
        Some(End::Least) => answer.note(format!("the least from {} to {}", probe.words(lo), probe.words(hi))),
        Some(End::Most) => answer.note(format!("the most from {} to {}", probe.words(lo), probe.words(hi))),
        None => answer.note(format!("the only value from {} to {}", probe.words(lo), probe.words(hi))),
    };
    let gaps = runs
        .iter()
        .zip(runs.iter().skip(1))
        .map(|(run, next)| (run.1.saturating_add(1), next.0.saturating_sub(1)));
    for (from, to) in gaps.take(3).filter(|_| end.is_some()) {
        let from_words = probe.words(&marks.at(from));
        let span =
            if from == to { from_words } else { format!("{from_words} to {}", probe.words(&marks.at(to))) };
        answer = answer.note(format!("it is not true everywhere: not at {span}"));
    }
    let (before, behind) = (chosen.checked_sub(1), chosen.checked_add(1));
    let neighbours = match end {
        Some(End::Least) => [before, Some(chosen), None],
        Some(End::Most) => [Some(chosen), behind, None],
        None => [before, Some(chosen), behind],
    };
    for mark in neighbours.into_iter().flatten().filter(|mark| (marks.first..=marks.last).contains(mark)) {
        answer.near.push(probe.near_at(&marks.at(mark))?);
    }
    Ok(answer)
}

/// Tries all marks, or the ones that decide for the rest.
fn tried(probe: &mut Probe<'_, '_>, lo: &Exact, hi: &Exact, step: &Exact) -> Result<Marks, Halt> {
    let whole = |exact: &Exact| exact.to_i64();
    let first = lo.checked_div(step).and_then(|n| whole(&n.ceil()));
    let last = hi.checked_div(step).and_then(|n| whole(&n.floor()));
    let act = probe.question.act;
    let span = act.low.span.to(act.high.span);
    let (Some(first), Some(last)) = (first, last) else {
        return Err(
            Fault::new(FaultCode::TooMuch, span, "this range has more marks than can be searched").into()
        );
    };
    if first > last {
        let message = "there is no mark of this step in the range";
        return Err(Fault::new(FaultCode::BadRange, span, message)
            .hint("widen the range, or take a finer step")
            .into());
    }
    let mut marks = Marks { step: step.clone(), first, last, tried: Vec::new() };
    let many = last.checked_sub(first).is_none_or(|count| count >= MOST_MARKS);
    if many && probe.direction(&marks.at(first), &marks.at(last))?.is_none() {
        let message = format!("this range has more than {MOST_MARKS} marks, too many to try one by one");
        return Err(Fault::new(FaultCode::TooMuch, span, message).hint("narrow the range").into());
    }
    let all: Vec<i64> = if many { around_the_change(probe, &marks)? } else { (first..=last).collect() };
    for mark in all {
        let tried = probe.at(&marks.at(mark))?;
        marks.tried.push((mark, tried));
    }
    Ok(marks)
}

/// Where both sides run one way against each other: the ends, and the marks around the place where they meet.
fn around_the_change(probe: &mut Probe<'_, '_>, marks: &Marks) -> Result<Vec<i64>, Halt> {
    let start = probe.at(&marks.at(marks.first))?.sign();
    let (mut low, mut high) = (marks.first, marks.last);
    while low < high {
        let middle = low.saturating_add_unsigned(low.abs_diff(high) / 2);
        let before = probe.at(&marks.at(middle))?.sign() == start;
        (low, high) = if before { (middle.saturating_add(1), high) } else { (low, middle) };
    }
    let mut all = vec![marks.first, marks.last];
    let around = low.saturating_sub(2).max(marks.first)..=low.saturating_add(2).min(marks.last);
    all.extend(around);
    all.sort_unstable();
    all.dedup();
    Ok(all)
}

/// Nothing holds: the marks nearest to it are reported.
fn none(probe: &Probe<'_, '_>, marks: &Marks) -> Result<Answer, Halt> {
    let mut answer = Answer::new(Outcome::None);
    let crosses = |pair: &&[(i64, Tried)]| match pair {
        [(_, low), (_, high)] => low.sign().zip(high.sign()).is_some_and(|(x, y)| x.saturating_mul(y) < 0),
        _ => false,
    };
    let nearest = || {
        let gap = |mark: &(i64, Tried)| mark.1.gap().map(|gap| gap.mid().abs());
        let gaps = marks.tried.iter().filter_map(|mark| Some((gap(mark)?, std::slice::from_ref(mark))));
        gaps.min_by(|a, b| a.0.cmp(&b.0)).map(|(_, mark)| mark)
    };
    for (mark, tried) in marks.tried.windows(2).find(crosses).or_else(nearest).unwrap_or(&[]) {
        answer.near.push(probe.near(&marks.at(*mark), tried));
    }
    if answer.near.is_empty() {
        return Ok(answer.note("each of them is refused, or has nothing to compare"));
    }
    Ok(answer)
}
