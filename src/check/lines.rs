//! The lines of a recipe, from the top down.

use crate::ask::act::AskAct;
use crate::check::Infer;
use crate::check::Known;
use crate::check::dims::Dims;
use crate::check::operate::{Quant, Step};
use crate::check::rules::never_a_count;
use crate::check::types::{Shape, Type};
use crate::check::words;
use crate::code::node::{Code, Node};
use crate::fault::{Code as FaultCode, Fault};
use crate::measure::{Dim, Exact, Quantity};
use crate::recipe::build::{Act, ActKind, Given, GivenBounds, Label, Size};
use crate::recipe::cloth_acts::ClothAct;
use crate::syntax::tree::BinaryOp;
use crate::value::data::Value;

impl<'a> Infer<'a> {
    /// Looks at every rule, line, size and example.
    pub fn recipe(
        mut self,
        sizes: &[Size],
        examples: &[(Node, Node, crate::fault::Span, u32)],
    ) -> crate::check::Found {
        self.look_at_own();
        for act in 0..self.acts.len() {
            self.act(act);
        }
        for (given, value, _) in sizes.iter().flat_map(|size| &size.values) {
            if let Some(given) = self.givens.get(*given) {
                self.framed(|infer| infer.size_value(given, value));
            }
        }
        for (tried, expected, ..) in examples {
            self.framed(|infer| {
                let (a, b) = (infer.expr(tried), infer.expr(expected));
                if infer.store.unify(&a, &b).is_err() && !infer.maybe_alike(&a, &b) {
                    let fault = words::comparison(infer, (&a, tried), (&b, expected));
                    infer.tell(fault);
                }
            });
        }
        self.found()
    }

    fn look_at_own(&mut self) {
        for rule in 0..self.names.rules.len() {
            let own = self.names.rules.get(rule).is_some_and(|entry| !entry.library);
            if let (true, Ok(rule)) = (own, u32::try_from(rule)) {
                self.scheme(rule);
            }
        }
    }

    /// Looks at the rules of a session, whose names may yet be given anew.
    pub fn own_rules(mut self) -> Vec<Fault> {
        self.look_at_own();
        self.faults
    }

    /// Looks at every rule, the library's too.
    pub fn every_rule(mut self) -> Vec<Fault> {
        self.all = true;
        for rule in 0..self.names.rules.len() {
            if let Ok(rule) = u32::try_from(rule) {
                self.scheme(rule);
            }
        }
        self.faults.into_iter().chain(self.notes).collect()
    }

    /// Lists and records are told apart only when they are worked.
    fn maybe_alike(&self, a: &Type, b: &Type) -> bool {
        let held = |ty: &Type| matches!(self.store.shallow(ty), Type::List(_) | Type::Record(_));
        held(a) && held(b)
    }

    /// Looks at something in a frame of its own.
    fn framed(&mut self, look: impl FnOnce(&mut Self)) {
        let outer = std::mem::take(&mut self.locals);
        let needs = self.needs.len();
        look(self);
        self.settle(needs);
        self.needs.truncate(needs);
        self.locals = outer;
    }

    /// Looks at a line, unless it was looked at already because a rule reads its name.
    pub(crate) fn act(&mut self, at: usize) {
        let acts: &'a [Act] = self.acts;
        let Some(act) = acts.get(at) else { return };
        let givens: &'a [Given] = self.givens;
        match &act.kind {
            ActKind::Name { slot, value } => self.named(*slot, |infer| infer.expr(value)),
            ActKind::Given(index) => {
                if let Some(given) = givens.get(*index) {
                    self.named(given.slot, |infer| infer.given(given));
                }
            }
            ActKind::Ask(AskAct::Find { find, .. }) if find.names => {
                self.named(find.slot, |infer| infer.find(find));
            }
            _ => self.framed(|infer| infer.line(act)),
        }
    }

    fn named(&mut self, slot: u32, look: impl FnOnce(&mut Self) -> Type) {
        let place = |infer: &mut Self, known| {
            if let Some(place) = infer.globals.get_mut(slot as usize) {
                *place = known;
            }
        };
        if !matches!(self.globals.get(slot as usize), Some(Known::Waiting)) {
            return;
        }
        place(self, Known::Busy);
        let quiet = std::mem::take(&mut self.quiet);
        let mut told = Type::Unsure;
        self.framed(|infer| told = look(infer));
        self.quiet = quiet;
        place(self, Known::Told(told));
    }

    fn line(&mut self, act: &Act) {
        match &act.kind {
            ActKind::Recipe(pieces)
            | ActKind::Note(pieces)
            | ActKind::Step(pieces)
            | ActKind::Caution(pieces) => {
                self.pieces(pieces);
            }
            ActKind::Cloth(cloth) => self.cloth_act(cloth),
            ActKind::Buy { quantity, label, price } => {
                self.pieces(label);
                self.buy(quantity, price.as_ref());
            }
            ActKind::Show { label, value } => {
                if let Label::Words(pieces) = label {
                    self.pieces(pieces);
                }
                self.expr(value);
            }
            ActKind::Check { condition, message, .. } => {
                self.condition(condition);
                self.pieces(message.as_deref().unwrap_or(&[]));
            }
            ActKind::Measured { slot, value, cut } => {
                self.measured(*slot, value);
                for pieces in cut {
                    self.pieces(pieces);
                }
            }
            ActKind::Set(setting, node) => {
                let what = crate::recipe::make::setting_words(*setting);
                self.wants(node, what, &Dims::LENGTH);
            }
            ActKind::Work(node) => {
                self.expr(node);
            }
            ActKind::Ask(ask) => self.asked(ask),
            ActKind::Tool(_) | ActKind::UseBegins | ActKind::UseEnds => {}
            // Looked at by their names.
            ActKind::Name { .. } | ActKind::Given(_) => {}
        }
    }

    fn given(&mut self, given: &Given) -> Type {
        let ty = self.expr(&given.default);
        match &given.bounds {
            GivenBounds::Any => {}
            GivenBounds::FromTo(low, high) => {
                let _ = self.bound(given, &ty, low) && self.bound(given, &ty, high);
            }
            GivenBounds::OneOf(choices) => {
                for choice in choices {
                    let kind = self.expr(choice);
                    if self.store.unify(&ty, &kind).is_err() {
                        let (a, b) = (words::name(self, &ty), words::name(self, &kind));
                        let message = format!("`{}` is {a}, and this choice is {b}", given.name);
                        let fault = Fault::advice(FaultCode::Advice, choice.span, message);
                        self.tell(fault.other(given.default.span, format!("this is {a}")));
                    }
                }
            }
        }
        match ty {
            Type::No => Type::YesNo,
            // Another size may hold a part of one.
            Type::Quant(dims, Shape::Count) if !counted(given) => Type::Quant(dims, Shape::One),
            ty => ty,
        }
    }

    /// What was made must be of the kind that was planned.
    fn measured(&mut self, slot: u32, value: &Node) {
        let made = self.expr(value);
        let Some(Known::Told(planned)) = self.globals.get(slot as usize).cloned() else { return };
        if self.store.unify(&planned, &made).is_ok() {
            return;
        }
        let Some(entry) = self.names.globals.get(slot as usize) else { return };
        let (a, b) = (words::name(self, &planned), words::described(self, &made, value));
        let (name, span) = (entry.name.clone(), entry.span);
        let size = matches!(planned, Type::Quant(_, Shape::Size));
        let (message, hint) = match &planned {
            Type::Quant(..) | Type::List(_) if size => (
                format!("`{name}` was planned as {a}, and this is {b}"),
                "measure it both ways: `59 5/8 in by 71 3/4 in`",
            ),
            Type::Quant(..) | Type::List(_) => (
                format!("`{name}` was planned as {a}, and this is {b}"),
                "write it as it was planned, with its unit",
            ),
            _ => (
                format!("`{name}` is {a}, which cannot be measured"),
                "measure a length, a size or a list of such",
            ),
        };
        self.tell(words::kind(value.span, message).other(span, "it is planned here").hint(hint));
    }

    /// A bound must be of the default's kind.
    fn bound(&mut self, given: &Given, ty: &Type, bound: &Node) -> bool {
        let kind = self.expr(bound);
        let measured = match (self.quant(ty), self.quant(&kind)) {
            (Quant::Not, _) | (_, Quant::Not) => false,
            _ => self.store.unify(ty, &kind).is_ok(),
        };
        if measured {
            return true;
        }
        let name = &given.name;
        let (a, b) = (words::name(self, ty), words::name(self, &kind));
        let held = matches!(self.quant(ty), Quant::Is(..));
        let message = match held {
            true => format!("`{name}` is {a}, and this bound is {b}"),
            false => format!("`{name}` is {a}, and only measures and sizes have bounds"),
        };
        let this = words::operand(self, ty, &given.default);
        let fault = Fault::new(FaultCode::UnitMix, bound.span, message).other(given.default.span, this);
        self.tell(match held {
            true => fault.hint("write the bounds as the value is written"),
            false => fault.hint("list its choices instead: `one of …, …`"),
        });
        false
    }

    /// A value of one of the recipe's own sizes must be of its given's kind.
    fn size_value(&mut self, given: &Given, value: &Node) {
        let kind = self.expr(value);
        let ty = match self.globals.get(given.slot as usize) {
            Some(Known::Told(ty)) => ty.clone(),
            _ => return,
        };
        let money = |infer: &mut Self, ty: &Type| match infer.quant(ty) {
            Quant::Is(dims, _) => dims.known().is_some_and(Dim::is_money),
            _ => false,
        };
        if self.store.unify(&ty, &kind).is_ok() || money(self, &ty) && money(self, &kind) {
            return;
        }
        let (a, b) = (words::name(self, &ty), words::described(self, &kind, value));
        let message = format!("`{}` is {a}, and this is {b}", given.name);
        let fault = words::kind(value.span, message).other(given.span, "it is given here");
        let bare = matches!(self.quant(&kind), Quant::Is(dims, Shape::One | Shape::Count) if dims.known() == Some(Dim::NONE));
        self.tell(match self.store.shallow(&ty) {
            Type::Quant(_, Shape::Size) => fault.hint("write a size as `14 in by 48 in`"),
            Type::Quant(..) if bare => fault.hint("give the number its unit"),
            _ => fault,
        });
    }

    fn cloth_act(&mut self, act: &ClothAct) {
        match act {
            ClothAct::Cut { count, label, cloth, size, ways: _ } => {
                self.whole(count, "a count of pieces");
                self.pieces(label);
                self.cloth(cloth);
                self.size(
                    size,
                    "the size of a piece",
                    "write it as `14 in by 48 in`: across the cloth by along it",
                );
            }
            ClothAct::Have { count, cloth, size, price } => {
                self.whole(count, "a count of cloths in hand");
                self.cloth(cloth);
                self.size(
                    size,
                    "the size of a piece of cloth",
                    "write it as `14 in by 48 in`: across the cloth by along it",
                );
                if let Some(price) = price {
                    self.expr(price);
                }
            }
            ClothAct::Plan(plan) => {
                let (cloth, kits, on, more) = plan.nodes();
                self.cloth(cloth);
                if let Some(kits) = kits {
                    self.whole(kits, "a count of kits");
                }
                if let Some(on) = on {
                    self.wants(on, "a length of cloth", &Dims::LENGTH);
                }
                for pieces in more {
                    self.pieces(pieces);
                }
            }
        }
    }

    /// A whole number, 0 or more.
    pub(crate) fn whole(&mut self, node: &Node, what: &str) {
        let ty = self.expr(node);
        if !self.fits(&ty, &Dims::NONE) {
            let fault = words::wanted(self, "a count", &ty, node);
            return self.tell(fault);
        }
        if !never_a_count(node) {
            return;
        }
        let below = match &node.code {
            Code::Const(Value::Measure(x)) => x.is_negative(),
            _ => true,
        };
        let range = if below { "0 or more" } else { "a whole number" };
        let number = match &node.code {
            Code::Const(value) => crate::eval::words::short(value),
            _ => self.files.text(node.span).to_owned(),
        };
        let whole = |x: &Quantity| x.number.exact().is_some_and(Exact::is_whole);
        if matches!(&node.code, Code::Const(Value::Measure(x)) if whole(x) && !below) {
            let message = format!("{what} is more than can be counted: {number}");
            return self.tell(Fault::new(FaultCode::TooMuch, node.span, message));
        }
        let fault = words::kind(node.span, format!("{what} is {range}, and this is {number}"));
        self.tell(if below { fault } else { fault.hint("round it: `x up 1`, `x down 1`") });
    }

    fn size(&mut self, node: &Node, what: &str, hint: &str) {
        let ty = self.expr(node);
        let fits = match self.quant(&ty) {
            Quant::Is(..) => self.store.unify(&ty, &Type::SIZE).is_ok(),
            Quant::Unsure => true,
            Quant::Not => false,
        };
        if !fits {
            let fault = words::wanted(self, what, &ty, node);
            self.tell(fault.hint(hint));
        }
    }

    fn cloth(&mut self, node: &Node) {
        let ty = self.expr(node);
        let bad = |message: &str| {
            words::kind(node.span, message.into())
                .hint("`cloth(…)` of the library makes one with all its parts")
        };
        let record = match self.store.shallow(&ty) {
            Type::Record(record) => record,
            Type::Unsure | Type::Never | Type::Mixed(_) | Type::Var(_) | Type::Maybe(_) => return,
            _ => {
                let fault = words::wanted(self, "a cloth", &ty, node);
                return self.tell(fault.hint("name one first: `linen = cloth(\"linen\", width: 54 in)`"));
            }
        };
        let part =
            |name: &str| record.parts.iter().find(|(known, _)| &**known == name).map(|(_, ty)| ty.clone());
        let named = match part("name") {
            Some(ty) => self.store.unify(&ty, &Type::Text).is_ok(),
            None => record.more,
        };
        let wide = match part("usable") {
            Some(ty) => self.fits(&ty, &Dims::LENGTH),
            None => record.more,
        };
        if !named {
            self.tell(bad("a cloth needs `.name`, in words"));
        } else if !wide {
            self.tell(bad("a cloth needs `.usable`, the width that can be cut"));
        }
    }

    fn buy(&mut self, quantity: &Node, price: Option<&Node>) {
        let ty = self.expr(quantity);
        let needed = self.one(&ty, quantity, "how much or how many to buy");
        let Some(price) = price else { return };
        let each = self.expr(price);
        if matches!(self.store.shallow(&each), Type::No) {
            return;
        }
        let Some(paid) = self.one(&each, price, "a price such as `1.20 EUR/m`") else { return };
        let Some(needed) = needed else { return };
        let sum = match self.times(
            BinaryOp::Multiply,
            &Type::Quant(needed, Shape::One),
            &Type::Quant(paid, Shape::One),
        ) {
            Step::Gives(ty) => ty,
            Step::Wrong => Type::NUMBER,
            Step::Waits => return,
        };
        let Type::Quant(dims, _) = &sum else { return };
        let Some(dim) = dims.known() else { return };
        if dim.is_money() && dim.currency().is_some_and(|currency| Dim::money(currency) == dim) {
            return;
        }
        let fault = Fault::new(FaultCode::UnitMix, price.span, crate::recipe::bill::PRICE_OF_ANOTHER);
        let fault = words::both(self, fault, (&ty, quantity), (&each, price));
        self.tell(fault.hint(
            "a length wants a price of a length, such as `1.20 EUR/m`; a count a price of one, `1.20 EUR`",
        ));
    }
}

/// Whether a given takes whole numbers only.
fn counted(given: &Given) -> bool {
    let whole =
        |node: &Node| matches!(&node.code, Code::Const(Value::Measure(x)) if x.whole_count().is_some());
    matches!(&given.bounds, GivenBounds::FromTo(low, high) if whole(&given.default) && whole(low) && whole(high))
}
