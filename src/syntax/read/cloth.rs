//! The lines about cloth, from the grammar's pairs to the tree.

use pest::iterators::Pair;

use super::Reader;
use crate::fault::{Code, Fault, Span};
use crate::syntax::climb::{Climber, Rule};
use crate::syntax::tree::{Cut, CutWay, Have, LineKind, PlanLine, PlanWay, Tool};

impl<'a> Reader<'a> {
    pub(super) fn cut_line(&mut self, source: &'a str, span: Span) -> Option<LineKind> {
        let (mut climber, mut parts) = self.parts(Rule::cut_line, source, span)?;
        let count = climber.next(&mut parts);
        let label = climber.next_text(&mut parts);
        let cloth = climber.next(&mut parts);
        let size = climber.next(&mut parts);
        let mut ways: Vec<(CutWay, Span)> = Vec::new();
        for part in parts.filter(|part| part.as_rule() == Rule::cut_way) {
            let at = climber.span(&part);
            let way = cut_way(part.as_str());
            let mirrored = |way| way == CutWay::Mirrored;
            let before = ways.iter().find(|(other, _)| mirrored(*other) == mirrored(way));
            both(&mut climber, before.map(|(other, first)| (other.words(), *first)), (way.words(), at))?;
            ways.push((way, at));
        }
        let cut = Cut { count: count?, label: label?, cloth: cloth?, size: size?, ways };
        Some(LineKind::Cut(Box::new(cut)))
    }

    pub(super) fn have_line(&mut self, source: &'a str, span: Span) -> Option<LineKind> {
        let (mut climber, mut parts) = self.parts(Rule::have_line, source, span)?;
        let count = climber.next(&mut parts);
        let cloth = climber.next(&mut parts);
        let size = climber.next(&mut parts);
        let price = climber.next_maybe(&mut parts)?;
        Some(LineKind::Have(Box::new(Have { count: count?, cloth: cloth?, size: size?, price })))
    }

    pub(super) fn plan_line(&mut self, source: &'a str, span: Span) -> Option<LineKind> {
        let (mut climber, mut parts) = self.parts(Rule::plan_line, source, span)?;
        let cloth = climber.next(&mut parts)?;
        let mut ways: Vec<(PlanWay, Span)> = Vec::new();
        for part in parts.filter(|part| part.as_rule() == Rule::plan_way) {
            let at = climber.span(&part);
            let way = plan_way(&mut climber, part.into_inner().next()?)?;
            let before = ways.iter().find(|(other, _)| contradicts(other, &way));
            both(&mut climber, before.map(|(other, first)| (other.words(), *first)), (way.words(), at))?;
            ways.push((way, at));
        }
        Some(LineKind::Plan(Box::new(PlanLine { cloth, ways })))
    }

    pub(super) fn tool_line(&mut self, source: &'a str, span: Span) -> Option<LineKind> {
        let line = self.parse(Rule::tool_line, source, span)?;
        let tool = line.into_inner().next()?;
        let scissors = tool.as_str() == "scissors";
        Some(LineKind::Tool(if scissors { Tool::Scissors } else { Tool::Rotary }))
    }
}

/// The first word decides.
fn cut_way(words: &str) -> CutWay {
    match words.split_whitespace().next() {
        Some("on") => CutWay::OnGrain,
        Some("may") => CutWay::MayTurn,
        Some("along") => CutWay::AlongSelvage,
        _ => CutWay::Mirrored,
    }
}

fn plan_way(climber: &mut Climber<'_>, pair: Pair<'_, Rule>) -> Option<PlanWay> {
    let rule = pair.as_rule();
    if rule == Rule::plain_way {
        return Some(match pair.as_str().split_whitespace().next() {
            Some("in") => PlanWay::Strips,
            Some("edge") => PlanWay::EdgeToEdge,
            Some("any") => PlanWay::AnyWay,
            Some("from") => PlanWay::FromHand,
            _ => PlanWay::Folded,
        });
    }
    let inner = pair.into_inner().next()?;
    match rule {
        Rule::kits => climber.expr(inner).map(PlanWay::Kits),
        Rule::enough => climber.expr(inner).map(PlanWay::On),
        _ => climber.quoted(inner).map(PlanWay::More),
    }
}

/// Whether two ways to lay out cannot be in one line; several pieces may be asked after.
fn contradicts(one: &PlanWay, other: &PlanWay) -> bool {
    let same = std::mem::discriminant(one) == std::mem::discriminant(other);
    let asks = matches!(one, PlanWay::More(_));
    one.is_kind() && other.is_kind() || same && !asks
}

/// A fault where a way was written before that this one cannot be used with.
fn both(climber: &mut Climber<'_>, before: Option<(&str, Span)>, (words, at): (&str, Span)) -> Option<()> {
    let Some((first_words, first)) = before else { return Some(()) };
    let message = match first_words == words {
        true => format!("`{words}` is written twice"),
        false => format!("`{words}` and `{first_words}` cannot be used together"),
    };
    let fault = Fault::new(Code::BadLine, at, message).other(first, "written here first");
    climber.faults.push(fault.hint("keep one of them"));
    None
}
