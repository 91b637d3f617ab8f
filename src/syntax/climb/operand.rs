//! What operators stand between: literals, names, brackets, texts, and what follows them.

use pest::iterators::Pair;

use super::{Climber, Rule, Run};
use crate::fault::{Code, Fault, Span, closest};
use crate::measure::{self, Quantity, read};
use crate::syntax::refuse;
use crate::syntax::tree::{Arg, BinaryOp, Block, Call, Each, Expr, ExprKind, Ident, Range, Text, TextPart};
use crate::syntax::words::is_word;

impl Climber<'_> {
    /// An operand and what hangs on it: parts, items, arguments.
    pub(super) fn operand(&mut self, run: &mut Run<'_>) -> Option<Expr> {
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
    pub(super) fn literal(&mut self, pair: &Pair<'_, Rule>) -> Option<Expr> {
        let span = self.span(pair);
        match read::literal(pair.as_str()) {
            Ok(quantity) => Some(Expr { kind: ExprKind::Measure(quantity), span }),
            Err(fault) => {
                self.read_fault(fault, pair.as_str(), span);
                None
            }
        }
    }

    pub(super) fn read_fault(&mut self, fault: read::ReadFault, text: &str, span: Span) {
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
