//! The tree to code: names become slots, faults of naming are gathered, all of them.

use std::collections::BTreeSet;
use std::rc::Rc;

use crate::code::elsewhere::named_elsewhere;
use crate::code::hoist;
use crate::code::names::Names;
use crate::code::node::{BinaryNode, Code, EachNode, Link, Node, Op, Piece, Setting, SlackName};
use crate::code::scope::{Mention, Scope};
use crate::fault::{Code as FaultCode, Fault, Files, Span, closest};
use crate::limits::FAULTS;
use crate::measure::Reading;
use crate::syntax::tree::{self, BinaryOp, Expr, ExprKind, Ident, Shown, TextPart, UnaryOp};
use crate::value::{Value, builtin};

/// The deepest expression; the reader's own bound on nesting is far below.
const DEEPEST: u32 = 4_000;

/// Compiles expressions and rules against what names mean.
pub struct Compiler<'a> {
    /// What names mean.
    pub names: &'a mut Names,
    /// The texts, for literals and labels.
    pub files: &'a mut Files,
    /// Faults found so far.
    pub faults: Vec<Fault>,
    /// Rules whose formulas are still to be compiled.
    pub(crate) pending: Vec<u32>,
    /// The name whose line is being compiled: what a slack in it is called.
    pub naming: Option<Rc<str>>,
    /// Whether the lines have numbers that mean something, as in a script and not at the prompt.
    pub numbered: bool,
}

impl<'a> Compiler<'a> {
    /// A compiler with no faults yet.
    pub fn new(names: &'a mut Names, files: &'a mut Files) -> Compiler<'a> {
        Compiler { names, files, faults: Vec::new(), pending: Vec::new(), naming: None, numbered: true }
    }

    /// Compiles an expression in a frame.
    pub fn expr(&mut self, expr: &Expr, scope: &mut Scope) -> Node {
        let depth = scope.down();
        let code = if depth > DEEPEST {
            self.faults.push(Fault::new(FaultCode::TooDeep, expr.span, "this expression is nested too deep"));
            Code::Broken
        } else if depth.is_multiple_of(64) {
            stacker::maybe_grow(256 << 10, 4 << 20, || self.code(expr, scope))
        } else {
            self.code(expr, scope)
        };
        scope.up();
        Node { code, span: expr.span }
    }

    /// Compiles the value of a name; a slack in it is called by that name.
    pub fn named(&mut self, name: &Rc<str>, expr: &Expr, scope: &mut Scope) -> Node {
        let outer = self.naming.replace(name.clone());
        let node = self.expr(expr, scope);
        self.naming = outer;
        node
    }

    fn boxed(&mut self, expr: &Expr, scope: &mut Scope) -> Box<Node> {
        Box::new(self.expr(expr, scope))
    }

    fn pair(&mut self, pair: &(Expr, Expr), scope: &mut Scope) -> Vec<Node> {
        vec![self.expr(&pair.0, scope), self.expr(&pair.1, scope)]
    }

    fn code(&mut self, expr: &Expr, scope: &mut Scope) -> Code {
        match &expr.kind {
            ExprKind::Measure(quantity) => {
                self.refuse_unit_of_name(expr.span, scope);
                Code::Const(Value::Measure(quantity.clone()))
            }
            ExprKind::WithUnit(value, unit) => {
                Code::Apply(Op::WithUnit(unit.clone()), vec![self.expr(value, scope)])
            }
            ExprKind::Text(text) => self.text(text, scope),
            ExprKind::YesNo(yes) => Code::Const(Value::YesNo(*yes)),
            ExprKind::Name(name) => self.name(name, expr.span, scope),
            ExprKind::That => {
                scope.mentions.push((expr.span, Mention::That));
                Code::That
            }
            ExprKind::Bracket(inner) => self.expr(inner, scope).code,
            ExprKind::List(items) => {
                Code::Apply(Op::List, items.iter().map(|item| self.expr(item, scope)).collect())
            }
            ExprKind::Record(parts) => self.record(parts, scope),
            ExprKind::Block(block) => self.block(block, scope),
            ExprKind::Unary(UnaryOp::Minus, value) => Code::Apply(Op::Minus, vec![self.expr(value, scope)]),
            ExprKind::Unary(UnaryOp::Not, value) => Code::Not(self.boxed(value, scope)),
            ExprKind::Binary(binary) => self.binary(binary, scope),
            ExprKind::Compare(first, rest) => {
                let first = self.boxed(first, scope);
                let link = |link: &tree::Comparison| Link {
                    op: link.op,
                    op_span: link.op_span,
                    operand: self.expr(&link.operand, scope),
                };
                Code::Compare(first, rest.iter().map(link).collect())
            }
            ExprKind::Size(pair) => Code::Apply(Op::Size, self.pair(pair, scope)),
            ExprKind::Slack(pair) => self.slack(pair, expr.span, scope),
            ExprKind::Separate(separate) => {
                let name = SlackName { words: separate.noun.clone(), line: self.line_of(expr.span, scope) };
                let operands = vec![self.expr(&separate.count, scope), self.expr(&separate.each, scope)];
                Code::Apply(Op::Separate(name.into()), operands)
            }
            ExprKind::Round { way, operands } => Code::Apply(Op::Round(*way), self.pair(operands, scope)),
            ExprKind::ShownIn(value, shown) => match &**shown {
                Shown::Unit(unit, _) => {
                    Code::Apply(Op::ShownInUnit(unit.clone()), vec![self.expr(value, scope)])
                }
                Shown::Step(step) => {
                    Code::Apply(Op::ShownInStep, vec![self.expr(value, scope), self.expr(step, scope)])
                }
            },
            ExprKind::Call(call) => self.call(call, expr.span, scope),
            ExprKind::Part(of, part) => {
                Code::Apply(Op::Part(part.name.clone(), part.span), vec![self.expr(of, scope)])
            }
            ExprKind::Index(pair) => Code::Apply(Op::Index, self.pair(pair, scope)),
            ExprKind::If(parts) => Code::If(Box::new((
                self.expr(&parts.0, scope),
                self.expr(&parts.1, scope),
                self.expr(&parts.2, scope),
            ))),
            ExprKind::Each(each) => self.each(each, scope),
            ExprKind::Range(range) => self.range(range, false, scope),
            ExprKind::HowMany(pair) => Code::Apply(Op::HowMany, self.pair(pair, scope)),
        }
    }

    /// `8 in ± 1/32 in`, named for the line that it is in.
    fn slack(&mut self, pair: &(Expr, Expr), span: Span, scope: &mut Scope) -> Code {
        let own = || self.files.one_row(span).into();
        let words = self.naming.clone().filter(|_| !scope.deferred).unwrap_or_else(own);
        let name = SlackName { words, line: self.line_of(span, scope) };
        Code::Apply(Op::Slack(name.into()), self.pair(pair, scope))
    }

    /// The line of the script; what is in the library is given by the line that calls it.
    fn line_of(&self, span: Span, scope: &Scope) -> Option<usize> {
        let file = self.files.get(span.file).filter(|_| !scope.library && self.numbered)?;
        Some(file.place(span.start as usize).line)
    }

    /// `60 in/m` after `m = 4`: one reads a unit, the other a division by `m`.
    fn refuse_unit_of_name(&mut self, span: Span, scope: &Scope) {
        let text = self.files.text(span);
        let Some((_, below)) = text.rsplit_once('/') else { return };
        let unit = below.trim_start().split(|c: char| !c.is_alphabetic()).next().unwrap_or("");
        if unit.is_empty() {
            return;
        }
        if scope.find(unit).is_some() || !scope.library && self.names.unit_like.contains(unit) {
            let unit = unit.to_owned();
            self.refuse_two_ways(&unit, span);
        } else if !scope.library {
            self.names.note_below(unit, span);
        }
    }

    /// A measure that can be read two ways because of a name.
    fn refuse_two_ways(&mut self, name: &str, span: Span) {
        let text = self.files.text(span);
        let message = format!(
            "`{text}` can be read two ways, because `{name}` is a name in this recipe and also a unit"
        );
        let (above, _) = text.rsplit_once('/').unwrap_or((text, ""));
        let fault = Fault::new(FaultCode::Ambiguous, span, message)
            .hint(format!("for the division write `({}) / {name}`", above.trim_end()))
            .hint(format!("for the unit give `{name}` another name"));
        self.faults.push(fault);
    }

    /// A name that is new in a recipe must not change what a line above says.
    pub(crate) fn refuse_new_meaning(&mut self, name: &Ident) {
        if let Some(span) = self.names.inner.get(&name.name).copied() {
            if &*name.name == "total" {
                let message = "`total` has another meaning on a line above, so it cannot be a name";
                let fault = Fault::new(FaultCode::NameTwice, name.span, message);
                self.faults.push(fault.other(span, "it is used here").hint("choose another name"));
                return;
            }
            self.refuse_second(&Ident { name: name.name.clone(), span }, name.span);
        }
        if crate::measure::is_unit(&name.name)
            && let Some(span) = self.names.below.get(&name.name).copied()
        {
            self.refuse_two_ways(&name.name, span);
        }
    }

    fn name(&mut self, name: &Rc<str>, span: Span, scope: &mut Scope) -> Code {
        if let Some((slot, _)) = scope.find(name) {
            return Code::Local(slot);
        }
        if !scope.library
            && let Some(slot) = self.names.slots.get(name).copied()
        {
            return self.global(slot, name, span, scope);
        }
        match &**name {
            "seam" => return Code::Setting(Setting::Seam),
            "ruler" => return Code::Setting(Setting::Ruler),
            "shop" => return Code::Setting(Setting::Shop),
            "total" => return self.total(span, scope),
            "pi" => return Code::Const(Value::Measure(crate::measure::Quantity::pi())),
            _ => {}
        }
        self.unknown_name(name, span, scope);
        Code::Broken
    }

    fn global(&mut self, slot: u32, name: &Rc<str>, span: Span, scope: &mut Scope) -> Code {
        scope.mentions.push((span, Mention::Name(slot)));
        let Some(entry) = self.names.globals.get(slot as usize) else { return Code::Broken };
        if !entry.passed && !scope.deferred {
            let message = format!("`{name}` is used here, but its own line is below");
            let fault = Fault::new(FaultCode::TooEarly, span, message)
                .other(entry.span, "it is named here")
                .hint("a recipe is calculated from the top down: move this line below that one");
            self.faults.push(fault);
            return Code::Broken;
        }
        Code::Global(slot)
    }

    /// What all that is bought costs: known only when everything else is evaluated.
    fn total(&mut self, span: Span, scope: &mut Scope) -> Code {
        if scope.total {
            scope.mentions.push((span, Mention::Total));
            self.names.note_inner(&"total".into(), span);
            return Code::Total;
        }
        let message =
            "`total`, the cost of all that is bought, can be used in `show`, `step` and `check` only";
        let fault = Fault::new(FaultCode::TooEarly, span, message);
        self.faults.push(match scope.deferred {
            true => fault.hint("give it to the rule in a `show` line: `show share(total)`"),
            false => fault.hint("if it is a name of your own, give it a value on a line above: `total = …`"),
        });
        Code::Broken
    }

    fn unknown_name(&mut self, name: &Rc<str>, span: Span, scope: &Scope) {
        if !scope.library && self.names.spoiled.contains(name) {
            return;
        }
        let is_rule = self.names.own_rules.contains_key(name) && !scope.library
            || crate::library::index().contains_key(&**name)
            || builtin::find(name).is_some();
        if is_rule {
            let fault =
                Fault::new(FaultCode::NotARule, span, format!("`{name}` is a rule and needs brackets"))
                    .hint(format!("write `{name}(…)`; `help {name}` shows what it needs"));
            self.faults.push(fault);
            return;
        }
        let mut known: Vec<&str> = Vec::new();
        // Later ones are not reported, and to look through all names for each would take the square of them.
        if self.faults.len() < FAULTS {
            known.extend(scope.in_sight());
            known.extend(self.names.slots.keys().map(|name| &**name));
            known.sort_unstable();
        }
        let close =
            closest(name, known).or_else(|| closest(name, ["yes", "no", "seam", "pi", "that", "total"]));
        let fault = Fault::new(FaultCode::UnknownName, span, format!("nothing here is called `{name}`"));
        let fault = match (close, crate::measure::is_unit(name)) {
            (Some(close), _) => fault.did_you_mean(Some(close)),
            // `9 in to cm`
            (None, true) if self.follows_to(span) => {
                fault.hint(format!("to show a measure in it write `… shown in {name}`"))
            }
            (None, true) => fault
                .hint(format!("write a unit right after its number: `3 {name}`"))
                .hint(format!("to show a measure in it write `… shown in {name}`")),
            (None, false) => match named_elsewhere(name) {
                Some(instead) => fault.hint(format!("write {instead}")),
                None => fault.hint(format!("give it a value on a line above: `{name} = …`")),
            },
        };
        self.faults.push(fault);
    }

    /// Whether a name stands after `to`.
    fn follows_to(&self, span: Span) -> bool {
        let file = self.files.get(span.file);
        let before = file.and_then(|file| file.text().get(..span.start as usize));
        before.is_some_and(|before| before.trim_end().ends_with(" to"))
    }

    /// A text without anything filled in is a constant.
    pub fn text(&mut self, text: &tree::Text, scope: &mut Scope) -> Code {
        if let Some(plain) = text.plain() {
            return Code::Const(Value::Text(plain.into()));
        }
        Code::Text(self.pieces(text, scope))
    }

    /// The parts of a text.
    pub fn pieces(&mut self, text: &tree::Text, scope: &mut Scope) -> Vec<Piece> {
        let piece = |part: &TextPart| match part {
            TextPart::Plain(plain) => Piece::Plain(plain.as_str().into()),
            TextPart::Filled(expr) => Piece::Filled(self.expr(expr, scope)),
        };
        text.parts.iter().map(piece).collect()
    }

    fn record(&mut self, parts: &[(Ident, Expr)], scope: &mut Scope) -> Code {
        let mut seen: BTreeSet<&str> = BTreeSet::new();
        for (name, _) in parts {
            if !seen.insert(&name.name) {
                let message = format!("this record has two parts called `{}`", name.name);
                self.faults.push(Fault::new(FaultCode::NameTwice, name.span, message));
            }
        }
        let names: Rc<[Rc<str>]> = parts.iter().map(|(name, _)| name.name.clone()).collect();
        Code::Apply(Op::Record(names), parts.iter().map(|(_, value)| self.expr(value, scope)).collect())
    }

    fn block(&mut self, block: &tree::Block, scope: &mut Scope) -> Code {
        let mark = scope.mark();
        let mut names = Vec::with_capacity(block.names.len());
        for (name, value) in &block.names {
            let value = self.expr(value, scope);
            self.refuse_shadow(name, scope);
            names.push((scope.enter(&name.name, name.span), value));
        }
        let value = self.boxed(&block.value, scope);
        scope.leave(mark);
        Code::Block(names, value)
    }

    /// A block's or a loop's name may not hide another.
    fn refuse_shadow(&mut self, name: &Ident, scope: &Scope) {
        let global = || {
            let slot = self.names.slots.get(&name.name).filter(|_| !scope.library)?;
            self.names.globals.get(*slot as usize).map(|entry| entry.span)
        };
        match scope.find(&name.name).map(|(_, span)| span).or_else(global) {
            Some(first) => self.refuse_second(name, first),
            None if !scope.library => self.names.note_inner(&name.name, name.span),
            None => {}
        }
    }

    fn refuse_second(&mut self, name: &Ident, first: Span) {
        let fault = Fault::new(
            FaultCode::NameTwice,
            name.span,
            format!("`{}` is a name here already", name.name),
        )
        .other(first, "it is named here first")
        .hint(
            "choose another name: a name from outside the braces or the `each` cannot be given again inside",
        );
        self.faults.push(fault);
    }

    fn binary(&mut self, binary: &tree::Binary, scope: &mut Scope) -> Code {
        let additive = matches!(binary.op, BinaryOp::Add | BinaryOp::Subtract);
        Code::Binary(Box::new(BinaryNode {
            op: binary.op,
            op_span: binary.op_span,
            left: self.expr(&binary.left, scope),
            right: self.expr(&binary.right, scope),
            percent: additive && is_percent(&binary.right),
        }))
    }

    fn range(&mut self, range: &tree::Range, in_loop: bool, scope: &mut Scope) -> Code {
        let parts = [Some(&range.from), Some(&range.to), range.every.as_ref()];
        let operands = parts.into_iter().flatten().map(|part| self.expr(part, scope)).collect();
        Code::Apply(Op::Range { in_loop }, operands)
    }

    fn each(&mut self, each: &tree::Each, scope: &mut Scope) -> Code {
        let source = match &each.source.kind {
            ExprKind::Range(range) => Node { code: self.range(range, true, scope), span: each.source.span },
            _ => self.expr(&each.source, scope),
        };
        let mark = scope.mark();
        self.refuse_shadow(&each.name, scope);
        let slot = scope.enter(&each.name.name, each.name.span);
        let mut body = self.expr(&each.body, scope);
        scope.leave(mark);
        let once = hoist::hoist(&mut body, slot, scope);
        Code::Each(Box::new(EachNode { slot, once, source, body }))
    }
}

/// Whether an expression is a percentage as written.
fn is_percent(expr: &Expr) -> bool {
    match &expr.kind {
        ExprKind::Measure(quantity) => quantity.reading == Reading::Percent,
        ExprKind::Bracket(inner) => is_percent(inner),
        _ => false,
    }
}
