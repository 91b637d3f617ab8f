//! Everything that a line says: its expressions and its texts.

use super::tree::{Bounds, Check, Expr, Line, LineKind, PlanWay, Show, Text, TextPart};

/// Calls `visit` on each expression of a line, those in its texts too, not on what is inside them.
pub fn exprs<'a>(line: &'a Line, visit: &mut dyn FnMut(&'a Expr)) {
    for example in line.doc.iter().flat_map(|doc| &doc.examples) {
        visit(&example.tried);
        visit(&example.expected);
    }
    of_kind(&line.kind, visit);
}

/// As [`exprs`], without those of its documentation.
pub fn of_kind<'a>(kind: &'a LineKind, visit: &mut dyn FnMut(&'a Expr)) {
    match kind {
        LineKind::Words(words) => filled(&words.text, visit),
        LineKind::Given(given) => {
            visit(&given.default);
            match &given.bounds {
                Bounds::Any => {}
                Bounds::FromTo(low, high) => [low, high].into_iter().for_each(visit),
                Bounds::OneOf(choices) => choices.iter().for_each(visit),
            }
        }
        LineKind::Name(name) => visit(&name.value),
        LineKind::Work(work) => visit(&work.value),
        LineKind::Set(set) => visit(&set.value),
        LineKind::Measured(measured) => {
            visit(&measured.value);
            measured.cut.iter().for_each(|text| filled(text, visit));
        }
        LineKind::Rule(rule) => {
            rule.params.iter().filter_map(|param| param.default.as_ref()).for_each(&mut *visit);
            visit(&rule.body);
        }
        LineKind::Cut(cut) => {
            [&cut.count, &cut.cloth, &cut.size].into_iter().for_each(&mut *visit);
            filled(&cut.label, visit);
        }
        LineKind::Have(have) => {
            [&have.count, &have.cloth, &have.size].into_iter().for_each(&mut *visit);
            have.price.iter().for_each(visit);
        }
        LineKind::Plan(plan) => {
            visit(&plan.cloth);
            for (way, _) in &plan.ways {
                match way {
                    PlanWay::Kits(value) | PlanWay::On(value) => visit(value),
                    PlanWay::More(text) => filled(text, visit),
                    PlanWay::Strips | PlanWay::EdgeToEdge | PlanWay::AnyWay => {}
                    PlanWay::Folded | PlanWay::FromHand => {}
                }
            }
        }
        LineKind::Buy(buy) => {
            visit(&buy.quantity);
            filled(&buy.label, visit);
            buy.price.iter().for_each(visit);
        }
        LineKind::Show(Show { label, value }) => {
            label.iter().for_each(|text| filled(text, visit));
            visit(value);
        }
        LineKind::Check(Check { condition, message }) => {
            visit(condition);
            message.iter().for_each(|text| filled(text, visit));
        }
        LineKind::Sizes(sizes) => {
            sizes.rows.iter().flat_map(|row| &row.values).for_each(|(_, value)| visit(value))
        }
        LineKind::Why(why) => why.asked.iter().for_each(visit),
        LineKind::Find(find) => {
            [&find.low, &find.high, &find.condition].into_iter().for_each(&mut *visit);
            find.on.iter().for_each(visit);
        }
        LineKind::Tool(_) | LineKind::Use(_) => {}
    }
}

fn filled<'a>(text: &'a Text, visit: &mut dyn FnMut(&'a Expr)) {
    for part in &text.parts {
        if let TextPart::Filled(expr) = part {
            visit(expr);
        }
    }
}

/// Calls `visit` on an expression and all that is inside it.
pub fn within<'a>(expr: &'a Expr, visit: &mut dyn FnMut(&'a Expr)) {
    let mut open = vec![expr];
    while let Some(expr) = open.pop() {
        visit(expr);
        expr.children(&mut |child| open.push(child));
    }
}
