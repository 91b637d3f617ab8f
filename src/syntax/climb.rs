//! From the grammar's flat runs to the tree, by how tightly each operator binds.

mod operand;

use std::iter::Peekable;

use pest::iterators::{Pair, Pairs};

use super::operators::{Infix, bind};
use super::refuse;
use super::tree::{
    Binary, BinaryOp, CompareOp, Comparison, Expr, ExprKind, Ident, Range, Separate, Shown, Text, UnaryOp,
};
use super::words::is_word;
use crate::fault::{Fault, FileId, Span};
use crate::measure::{self, UnitExpr, read};

#[allow(missing_docs)] // the derived rules carry their words in the grammar
mod grammar {
    /// The parser that pest makes of the grammar.
    #[derive(pest_derive::Parser)]
    #[grammar = "grammar/scant.pest"]
    pub struct Grammar;
}
pub use grammar::{Grammar, Rule};

type Run<'i> = Peekable<Pairs<'i, Rule>>;

/// Builds the tree of one logical line; faults are gathered, and `None` stands for what they spoil.
pub struct Climber<'a> {
    /// The file.
    pub file: FileId,
    /// The whole text of the file.
    pub text: &'a str,
    /// Where the line begins in it.
    pub base: usize,
    /// Faults so far.
    pub faults: &'a mut Vec<Fault>,
}

impl Climber<'_> {
    /// The place of a pair in the file.
    pub fn span(&self, pair: &Pair<'_, Rule>) -> Span {
        let span = pair.as_span();
        Span::new(self.file, self.base.saturating_add(span.start()), self.base.saturating_add(span.end()))
    }

    /// The text under a span.
    pub fn under(&self, span: Span) -> &str {
        self.text.get(span.range()).unwrap_or("")
    }

    fn blame(&mut self, fault: Fault) -> Option<Expr> {
        self.faults.push(fault);
        None
    }

    /// A name that is being given; words of the language are refused.
    pub fn ident(&mut self, pair: &Pair<'_, Rule>) -> Option<Ident> {
        let span = self.span(pair);
        let name = pair.as_str();
        if is_word(name) {
            self.faults.push(refuse::reserved(name, span));
            return None;
        }
        Some(Ident { name: name.into(), span })
    }

    /// A name before `:` or `=`, the sign cut off; words are allowed as names of arguments and parts.
    fn key(&self, pair: &Pair<'_, Rule>) -> Ident {
        let name = pair.as_str().trim_end_matches([':', '=']).trim_end();
        let start = self.span(pair).start as usize;
        Ident { name: name.into(), span: Span::new(self.file, start, start.saturating_add(name.len())) }
    }

    /// An `expr` or a `bound`.
    pub fn expr(&mut self, pair: Pair<'_, Rule>) -> Option<Expr> {
        let mut run = pair.into_inner().peekable();
        let mut value = self.climb(&mut run, 0)?;
        while let Some(next) = run.next() {
            value = match next.as_rule() {
                Rule::to => self.range(value, &mut run)?,
                Rule::shown => self.shown(value, next)?,
                _ => return None,
            };
        }
        Some(value)
    }

    /// The next part, an expression.
    pub fn next<'i>(&mut self, parts: &mut impl Iterator<Item = Pair<'i, Rule>>) -> Option<Expr> {
        parts.next().and_then(|part| self.expr(part))
    }

    /// The next part where it is an expression: nothing where there is none, `None` where it is spoiled.
    pub fn next_maybe<'i>(
        &mut self,
        parts: &mut impl Iterator<Item = Pair<'i, Rule>>,
    ) -> Option<Option<Expr>> {
        match parts.next().filter(|part| matches!(part.as_rule(), Rule::expr | Rule::bound)) {
            Some(part) => self.expr(part).map(Some),
            None => Some(None),
        }
    }

    /// The next part, a text in quotes.
    pub fn next_text<'i>(&mut self, parts: &mut impl Iterator<Item = Pair<'i, Rule>>) -> Option<Text> {
        parts.next().and_then(|part| self.quoted(part))
    }

    /// The next part, a name that is being given.
    pub fn next_name<'i>(&mut self, parts: &mut impl Iterator<Item = Pair<'i, Rule>>) -> Option<Ident> {
        parts.next().and_then(|part| self.ident(&part))
    }

    fn range(&mut self, from: Expr, run: &mut Run<'_>) -> Option<Expr> {
        let to = self.climb(run, 0)?;
        if let Some(fault) = refuse::to_unit(&from, &to, self.text).filter(|_| run.peek().is_none()) {
            return self.blame(fault);
        }
        let every = match run.peek().map(Pair::as_rule) {
            Some(Rule::every) => {
                run.next();
                Some(self.climb(run, 0)?)
            }
            _ => None,
        };
        let span = from.span.to(every.as_ref().map_or(to.span, |every| every.span));
        Some(Expr { kind: ExprKind::Range(Box::new(Range { from, to, every })), span })
    }

    fn shown(&mut self, value: Expr, pair: Pair<'_, Rule>) -> Option<Expr> {
        let span = value.span.to(self.span(&pair));
        let how = pair.into_inner().next()?;
        let how_span = self.span(&how);
        let shown = if how.as_rule() == Rule::literal {
            Shown::Step(self.literal(&how)?)
        } else {
            Shown::Unit(self.unit(how.as_str(), how_span)?, how_span)
        };
        Some(Expr { kind: ExprKind::ShownIn(Box::new(value), Box::new(shown)), span })
    }

    fn unit(&mut self, text: &str, span: Span) -> Option<UnitExpr> {
        match UnitExpr::parse(text) {
            Ok(unit) => Some(unit),
            Err(fault) => {
                self.read_fault(fault, text, span);
                None
            }
        }
    }

    /// The operator that comes next, and its place.
    fn infix(&self, run: &mut Run<'_>) -> Option<(Infix, Span)> {
        let next = run.peek().filter(|next| next.as_rule() == Rule::infix)?;
        Some((Infix::of(next.as_str()), self.span(next)))
    }

    /// Operators that bind at least as tightly as `least`.
    fn climb(&mut self, run: &mut Run<'_>, least: u8) -> Option<Expr> {
        let mut left = self.prefixed(run)?;
        while let Some((infix, op_span)) = self.infix(run) {
            if infix.binds() < least {
                break;
            }
            run.next();
            left = match infix {
                Infix::Compare(op) => self.comparison(left, op, op_span, run)?,
                Infix::Round(way) => {
                    let step = self.operand(run)?;
                    let span = left.span.to(step.span);
                    Expr { kind: ExprKind::Round { way, operands: Box::new((left, step)) }, span }
                }
                Infix::Slack => {
                    let right = self.operand(run)?;
                    self.slack(left, op_span, right)?
                }
                Infix::Separate => {
                    let each = self.climb(run, bind::MULTIPLY)?;
                    self.separate(left, op_span, each)
                }
                Infix::By => {
                    let right = self.climb(run, bind::BY.saturating_add(1))?;
                    self.size(left, right)?
                }
                Infix::Times => {
                    let right = self.climb(run, bind::MULTIPLY.saturating_add(1))?;
                    self.times(left, op_span, right)?
                }
                Infix::Plain(op) => {
                    let tighter =
                        if op == BinaryOp::Power { bind::MINUS } else { infix.binds().saturating_add(1) };
                    let right = self.climb(run, tighter)?;
                    self.binary(left, op, op_span, right)?
                }
            };
        }
        Some(left)
    }

    fn prefixed(&mut self, run: &mut Run<'_>) -> Option<Expr> {
        let next = run.peek()?;
        if next.as_rule() != Rule::prefix {
            return self.operand(run);
        }
        let start = self.span(next);
        let minus = !next.as_str().starts_with('n');
        run.next();
        if !minus {
            let value = self.climb(run, bind::NOT)?;
            let span = start.to(value.span);
            return Some(Expr { kind: ExprKind::Unary(UnaryOp::Not, Box::new(value)), span });
        }
        let value = self.climb(run, bind::MINUS)?;
        let span = start.to(value.span);
        if let ExprKind::Binary(binary) = &value.kind
            && binary.op == BinaryOp::Power
        {
            let fault =
                refuse::minus_power(span, self.under(binary.left.span), self.under(binary.right.span));
            return self.blame(fault);
        }
        if let ExprKind::Measure(quantity) = &value.kind {
            return Some(Expr { kind: ExprKind::Measure(quantity.neg()), span });
        }
        Some(Expr { kind: ExprKind::Unary(UnaryOp::Minus, Box::new(value)), span })
    }

    fn binary(&mut self, left: Expr, op: BinaryOp, op_span: Span, right: Expr) -> Option<Expr> {
        let span = left.span.to(right.span);
        let refused = match op {
            BinaryOp::Divide => refuse::divide_by_fraction(&left, &right, self.text)
                .or_else(|| refuse::fraction_after_unit(&left, &right, self.text)),
            BinaryOp::Power => refuse::power(&left, &right, self.text),
            BinaryOp::Of => refuse::count_of(&left, &right, self.text)
                .or_else(|| refuse::measure_of(&left, &right, self.text)),
            BinaryOp::And => refuse::and_of_measures(&left, &right, self.text),
            BinaryOp::Or => refuse::or_of_texts(&left, &right, self.text),
            _ => None,
        };
        if let Some(fault) = refused {
            return self.blame(fault);
        }
        Some(Expr { kind: ExprKind::Binary(Box::new(Binary { op, op_span, left, right })), span })
    }

    fn times(&mut self, left: Expr, op_span: Span, right: Expr) -> Option<Expr> {
        match refuse::times_between_lengths(&left, &right, self.text) {
            Some(fault) => self.blame(fault),
            None => self.binary(left, BinaryOp::Multiply, op_span, right),
        }
    }

    fn size(&mut self, mut left: Expr, mut right: Expr) -> Option<Expr> {
        let span = left.span.to(right.span);
        if let Some(fault) = refuse::times_by(&left, &right, self.text) {
            return self.blame(fault);
        }
        // `12 by 36 in`: a bare literal takes its partner's unit.
        if let (ExprKind::Measure(a), ExprKind::Measure(b)) = (&left.kind, &right.kind)
            && (a.dim == measure::Dim::NONE) != (b.dim == measure::Dim::NONE)
            && let Ok((across, along)) = read::size(self.under(span))
        {
            (left.kind, right.kind) = (ExprKind::Measure(across), ExprKind::Measure(along));
        }
        Some(Expr { kind: ExprKind::Size(Box::new((left, right))), span })
    }

    /// `8 in ± 1/32 in`; a bare literal takes the unit behind it.
    fn slack(&mut self, mut left: Expr, sign: Span, mut right: Expr) -> Option<Expr> {
        let span = left.span.to(right.span);
        if matches!(left.kind, ExprKind::Slack(_)) {
            return self.blame(refuse::slack_of_slack(sign));
        }
        if let (ExprKind::Measure(a), ExprKind::Measure(b)) = (&left.kind, &right.kind)
            && a.dim == measure::Dim::NONE
            && b.dim != measure::Dim::NONE
            && let Ok((middle, slack)) =
                read::size(&format!("{} by {}", self.under(left.span), self.under(right.span)))
        {
            (left.kind, right.kind) = (ExprKind::Measure(middle), ExprKind::Measure(slack));
        }
        Some(Expr { kind: ExprKind::Slack(Box::new((left, right))), span })
    }

    /// `12 separate seams of …`: the words between are what each is called.
    fn separate(&self, count: Expr, words: Span, each: Expr) -> Expr {
        let noun = self.under(words).trim_start_matches("separate").trim_end_matches("of");
        let noun = noun.split_whitespace().collect::<Vec<_>>().join(" ").into();
        let span = count.span.to(each.span);
        Expr { kind: ExprKind::Separate(Box::new(Separate { count, noun, each })), span }
    }

    fn comparison(&mut self, first: Expr, op: CompareOp, op_span: Span, run: &mut Run<'_>) -> Option<Expr> {
        let (mut links, mut sign) = (Vec::new(), (op, op_span));
        loop {
            let (op, op_span) = sign;
            links.push(Comparison {
                op,
                op_span,
                operand: self.climb(run, bind::COMPARE.saturating_add(1))?,
            });
            let Some((Infix::Compare(op), op_span)) = self.infix(run) else { break };
            run.next();
            sign = (op, op_span);
        }
        let span = links.last().map_or(first.span, |link| first.span.to(link.operand.span));
        Some(Expr { kind: ExprKind::Compare(Box::new(first), links), span })
    }
}
