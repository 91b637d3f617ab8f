//! From the grammar's flat runs to the tree, by how tightly each operator binds.

use std::iter::Peekable;

use pest::iterators::{Pair, Pairs};

use super::operators::{Infix, bind};
use super::refuse;
use super::tree::{
    Arg, Binary, BinaryOp, Block, Call, CompareOp, Comparison, Each, Expr, ExprKind, Ident, Range, Separate,
    Shown, Text, TextPart, UnaryOp,
};
use super::words::is_word;
use crate::fault::{Code, Fault, FileId, Span, closest};
use crate::measure::{self, Quantity, UnitExpr, read};

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
            BinaryOp::Divide => refuse::divide_by_fraction(&left, &right, self.text),
            BinaryOp::Power => refuse::power(&left, &right, self.text),
            BinaryOp::Of => refuse::count_of(&left, &right, self.text),
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

    /// An operand and what hangs on it: parts, items, arguments.
    fn operand(&mut self, run: &mut Run<'_>) -> Option<Expr> {
        let core = run.next()?;
        let mut value = match self.spaced_rate(&core, run) {
            Some(measure) => measure,
            None => self.core(core)?,
        };
        while let Some(next) = run.peek() {
            let span = value.span.to(self.span(next));
            let kind = match next.as_rule() {
                Rule::part => {
                    let place = self.span(next);
                    let name = next.as_str().trim_start_matches('.').into();
                    let ident = Ident { name, span: Span { start: place.start.saturating_add(1), ..place } };
                    run.next();
                    ExprKind::Part(Box::new(value), ident)
                }
                Rule::index => {
                    let index = run.next()?.into_inner().next()?;
                    ExprKind::Index(Box::new((value, self.expr(index)?)))
                }
                Rule::args => {
                    let args = run.next()?;
                    self.call(value, args)?
                }
                Rule::raised => {
                    let place = self.span(next);
                    let power = if next.as_str() == "\u{B2}" { 2 } else { 3 };
                    run.next();
                    let right = Expr { kind: ExprKind::Measure(Quantity::whole(power)), span: place };
                    self.binary(value, BinaryOp::Power, place, right)?.kind
                }
                _ => break,
            };
            value = Expr { kind, span };
        }
        Some(value)
    }

    /// `7 1/2 oz / yd^2`: with spaces too, a unit behind the line belongs to the measure. Where a name is
    /// spelled like that unit, names are settled later and refuse it.
    fn spaced_rate(&self, literal: &Pair<'_, Rule>, run: &mut Run<'_>) -> Option<Expr> {
        if literal.as_rule() != Rule::literal || run.peek()?.as_str() != "/" {
            return None;
        }
        let mut behind = run.clone();
        let unit = behind.nth(1).filter(|unit| unit.as_rule() == Rule::word)?;
        let (mut end, mut taken) = (unit.as_span().end(), 2);
        match behind.next() {
            Some(raised) if raised.as_rule() == Rule::raised => {
                (end, taken) = (raised.as_span().end(), 3);
            }
            Some(sign) if sign.as_str() == "^" => {
                let power =
                    behind.next().filter(|power| power.as_str().bytes().all(|b| b.is_ascii_digit()))?;
                (end, taken) = (power.as_span().end(), 4);
            }
            Some(more) if more.as_rule() != Rule::infix => return None,
            _ => {}
        }
        let start = self.span(literal);
        let span = Span::new(self.file, start.start as usize, self.base.saturating_add(end));
        let quantity = read::literal(self.under(span)).ok()?;
        if read::literal(literal.as_str()).ok()?.dim == measure::Dim::NONE {
            return None;
        }
        run.by_ref().take(taken).for_each(drop);
        Some(Expr { kind: ExprKind::Measure(quantity), span })
    }

    fn call(&mut self, callee: Expr, pair: Pair<'_, Rule>) -> Option<ExprKind> {
        let ExprKind::Name(name) = callee.kind else {
            self.faults.push(refuse::not_callable(callee.span, self.under(callee.span)));
            return None;
        };
        let mut args: Vec<Arg> = Vec::new();
        let mut named: Option<Ident> = None;
        for inner in pair.into_inner() {
            if inner.as_rule() == Rule::arg_name {
                named = Some(self.key(&inner));
                continue;
            }
            let value = self.expr(inner)?;
            let name = named.take();
            if name.is_none() && args.iter().any(|arg| arg.name.is_some()) {
                self.faults.push(refuse::positional_after_named(value.span));
                return None;
            }
            args.push(Arg { name, value });
        }
        Some(ExprKind::Call(Box::new(Call { rule: Ident { name, span: callee.span }, args })))
    }

    fn core(&mut self, pair: Pair<'_, Rule>) -> Option<Expr> {
        let span = self.span(&pair);
        let kind = match pair.as_rule() {
            Rule::word => return self.word(pair.as_str(), span),
            Rule::literal => return self.literal(&pair),
            Rule::text => ExprKind::Text(self.quoted(pair)?),
            Rule::bracket => return self.bracket(pair, span),
            Rule::list => {
                ExprKind::List(pair.into_inner().map(|item| self.expr(item)).collect::<Option<Vec<_>>>()?)
            }
            Rule::record => ExprKind::Record(self.record(pair)?),
            Rule::block => ExprKind::Block(Box::new(self.block(pair)?)),
            Rule::choice => {
                let mut parts = pair.into_inner();
                let mut next = || self.next(&mut parts);
                ExprKind::If(Box::new((next()?, next()?, next()?)))
            }
            Rule::each => ExprKind::Each(Box::new(self.each(pair)?)),
            Rule::how_many => {
                let mut parts = pair.into_inner();
                let mut next = || self.next(&mut parts);
                ExprKind::HowMany(Box::new((next()?, next()?)))
            }
            _ => return None,
        };
        Some(Expr { kind, span })
    }

    fn word(&mut self, word: &str, span: Span) -> Option<Expr> {
        let kind = match word {
            "yes" => ExprKind::YesNo(true),
            "no" => ExprKind::YesNo(false),
            "that" => ExprKind::That,
            _ if is_word(word) => return self.blame(refuse::word_for_value(word, span)),
            _ => ExprKind::Name(word.into()),
        };
        Some(Expr { kind, span })
    }

    /// A measure, read by the measure room.
    fn literal(&mut self, pair: &Pair<'_, Rule>) -> Option<Expr> {
        let span = self.span(pair);
        match read::literal(pair.as_str()) {
            Ok(quantity) => Some(Expr { kind: ExprKind::Measure(quantity), span }),
            Err(fault) => {
                self.read_fault(fault, pair.as_str(), span);
                None
            }
        }
    }

    fn read_fault(&mut self, fault: read::ReadFault, text: &str, span: Span) {
        let code = match fault.kind {
            read::ReadKind::Ambiguous => Code::Ambiguous,
            read::ReadKind::BadNumber => Code::BadNumber,
            read::ReadKind::UnknownUnit => Code::UnknownUnit,
            read::ReadKind::Syntax => Code::Syntax,
        };
        let at = |place: usize| (span.start as usize).saturating_add(place);
        let place = Span::new(self.file, at(fault.range.start), at(fault.range.end));
        let mut told = Fault::new(code, place, fault.message);
        if code == Code::UnknownUnit {
            let word = text.get(fault.range.clone()).unwrap_or("");
            // The code of a currency is meant only by a word that begins with it.
            let close = closest(word, measure::unit_names());
            let code = |name: &str| name.len() == 3 && name.bytes().all(|byte| byte.is_ascii_uppercase());
            let begun = |name: &str| word.get(..3).is_some_and(|three| three.eq_ignore_ascii_case(name));
            told = told.did_you_mean(close.filter(|name| !code(name) || begun(name)));
            let before = text.get(..fault.range.start).unwrap_or("").trim_end();
            if matches!(word, "percent" | "pct") {
                told = told.hint(format!("write `{before}%`"));
            } else if before.ends_with(|c: char| c.is_ascii_digit()) && fault.range.end == text.len() {
                told = told.hint(format!("if `{word}` is a name, write `{before} * {word}`"));
            }
        }
        told.hints.extend(fault.hints);
        self.faults.push(told);
    }

    fn bracket(&mut self, pair: Pair<'_, Rule>, span: Span) -> Option<Expr> {
        let mut parts = pair.into_inner();
        let inner = self.next(&mut parts)?;
        let Some(unit) = parts.next() else {
            return Some(Expr { kind: ExprKind::Bracket(Box::new(inner)), span });
        };
        let unit_span = self.span(&unit);
        let unit = self.unit(unit.as_str(), unit_span)?;
        Some(Expr { kind: ExprKind::WithUnit(Box::new(inner), unit), span })
    }

    fn record(&mut self, pair: Pair<'_, Rule>) -> Option<Vec<(Ident, Expr)>> {
        let mut parts = Vec::new();
        let mut inner = pair.into_inner();
        while let (Some(name), Some(value)) = (inner.next(), inner.next()) {
            let name = self.key(&name);
            parts.push((name, self.expr(value)?));
        }
        Some(parts)
    }

    fn block(&mut self, pair: Pair<'_, Rule>) -> Option<Block> {
        let mut names = Vec::new();
        let mut inner = pair.into_inner();
        while let Some(next) = inner.next() {
            if next.as_rule() != Rule::block_name {
                return Some(Block { names, value: self.expr(next)? });
            }
            let name = self.key(&next);
            if is_word(&name.name) {
                self.faults.push(refuse::reserved(&name.name, name.span));
                return None;
            }
            let value = self.next(&mut inner)?;
            names.push((name, value));
        }
        None
    }

    fn each(&mut self, pair: Pair<'_, Rule>) -> Option<Each> {
        let mut parts = pair.into_inner();
        let name = self.next_name(&mut parts)?;
        let source = parts.next()?;
        let span = self.span(&source);
        let source = if source.as_rule() == Rule::steps {
            let mut ends = source.into_inner().filter(|end| end.as_rule() == Rule::bound);
            let from = self.next(&mut ends)?;
            let to = self.next(&mut ends)?;
            let every = self.next_maybe(&mut ends)?;
            Expr { kind: ExprKind::Range(Box::new(Range { from, to, every })), span }
        } else {
            self.next(&mut source.into_inner())?
        };
        let body = self.next(&mut parts)?;
        Some(Each { name, source, body })
    }

    /// A text in quotes.
    pub fn quoted(&mut self, pair: Pair<'_, Rule>) -> Option<Text> {
        let span = self.span(&pair);
        let mut parts = Vec::new();
        for part in pair.into_inner() {
            parts.push(match part.as_rule() {
                Rule::plain | Rule::curly => TextPart::Plain(unescaped(part.as_str())),
                _ => TextPart::Filled(self.next(&mut part.into_inner())?),
            });
        }
        Some(Text { parts, span })
    }
}

/// A run of text with `{{`, `}}` and `\"` resolved.
fn unescaped(text: &str) -> String {
    if !text.contains(['\\', '{', '}']) {
        return text.into();
    }
    let mut out = String::with_capacity(text.len());
    let mut chars = text.chars().peekable();
    while let Some(c) = chars.next() {
        match c {
            '\\' => match chars.next() {
                Some('n') => out.push('\n'),
                Some(other) => out.push(other),
                None => {}
            },
            '{' | '}' => {
                if chars.peek() == Some(&c) {
                    chars.next();
                }
                out.push(c);
            }
            _ => out.push(c),
        }
    }
    out
}
