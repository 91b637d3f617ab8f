//! `given depth = 1/8 in from 1/16 in to 1/2 in`: a name whose value may come from outside.

use std::rc::Rc;

use crate::ask::why::Origin;
use crate::check::Infer;
use crate::check::operate::Quant;
use crate::check::types::{Shape, Type};
use crate::check::words;
use crate::code::node::{Code, Node};
use crate::code::scope::Scope;
use crate::docket::{self, StepKind};
use crate::eval::machine::Halt;
use crate::fault::{Code as FaultCode, Fault, Span};
use crate::recipe::build::Builder;
use crate::recipe::inputs::given_value;
use crate::recipe::lines::{Act, Compiled, Meaning};
use crate::recipe::make::Maker;
use crate::syntax::tree::{self, Bounds, Line};
use crate::value::data::Value;

/// A given of a recipe.
#[derive(Debug)]
pub struct Given {
    /// Its name.
    pub name: Rc<str>,
    /// The `##` words above it.
    pub words: Option<Rc<str>>,
    /// Where it is named.
    pub span: Span,
    pub(crate) slot: u32,
    pub(crate) slots: u32,
    pub(crate) default: Node,
    pub(crate) bounds: GivenBounds,
}

/// What a given may be.
#[derive(Debug)]
pub(crate) enum GivenBounds {
    Any,
    FromTo(Node, Node),
    OneOf(Vec<Node>),
}

#[derive(Debug)]
struct GivenAct {
    /// Its place among the givens.
    index: usize,
    given: Rc<Given>,
}

impl Meaning for tree::Given {
    fn compile(&self, line: &Line, builder: &mut Builder<'_>, scope: &mut Scope) -> Option<Box<dyn Act>> {
        let compiler = &mut builder.compiler;
        let default = compiler.named(&self.name.name, &self.default, scope);
        let bounds = match &self.bounds {
            Bounds::Any => GivenBounds::Any,
            Bounds::FromTo(low, high) => {
                GivenBounds::FromTo(compiler.expr(low, scope), compiler.expr(high, scope))
            }
            Bounds::OneOf(choices) => {
                GivenBounds::OneOf(choices.iter().map(|choice| compiler.expr(choice, scope)).collect())
            }
        };
        let words = line.doc.as_ref().map(|doc| doc.words.trim()).filter(|words| !words.is_empty());
        let given = Rc::new(Given {
            name: self.name.name.clone(),
            words: words.map(Into::into),
            span: self.name.span,
            slot: builder.give(&self.name),
            slots: scope.slots(),
            default,
            bounds,
        });
        builder.given_at.insert(given.name.clone(), builder.givens.len());
        builder.givens.push(given.clone());
        Some(Box::new(GivenAct { index: builder.givens.len().saturating_sub(1), given }))
    }
}

impl Act for GivenAct {
    fn check(&self, infer: &mut Infer<'_>) {
        infer.name(self.given.slot, |infer| self.given.check(infer));
    }

    fn make(&self, line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
        let given = &self.given;
        let set = maker.set_for(self.index);
        let value = given_value(maker.machine, given, set)?;
        let set = set.is_some();
        let (name, words) = (given.name.clone(), given.words.clone());
        let value_figure = maker.figure(&value);
        maker.run.docket.givens.push(docket::Given {
            name,
            words,
            value: value_figure,
            set,
            line: line.row(),
        });
        maker.give(given.slot, value);
        Ok(())
    }

    fn again(&self, _line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
        let set = maker.set_for(self.index);
        let value = given_value(maker.machine, &self.given, set)?;
        maker.put(self.given.slot, value);
        Ok(())
    }

    fn gives(&self) -> Option<u32> {
        Some(self.given.slot)
    }

    fn given(&self) -> Option<usize> {
        Some(self.index)
    }

    fn explain<'a>(&'a self, set: bool, origin: &mut Origin<'a>) {
        let given = &self.given;
        origin.kind = if set { StepKind::Set } else { StepKind::Given };
        origin.words = given.words.clone();
        origin.node = (!set && !matches!(given.default.code, Code::Const(_))).then_some(&given.default);
    }
}

impl Given {
    fn check(&self, infer: &mut Infer<'_>) -> Type {
        let ty = infer.expr(&self.default);
        match &self.bounds {
            GivenBounds::Any => {}
            GivenBounds::FromTo(low, high) => {
                let _ = self.bound(infer, &ty, low) && self.bound(infer, &ty, high);
            }
            GivenBounds::OneOf(choices) => {
                for choice in choices {
                    let kind = infer.expr(choice);
                    if infer.store.unify(&ty, &kind).is_err() {
                        let (a, b) = (words::name(infer, &ty), words::name(infer, &kind));
                        let message = format!("`{}` is {a}, and this choice is {b}", self.name);
                        let fault = Fault::advice(FaultCode::Advice, choice.span, message);
                        infer.tell(fault.other(self.default.span, format!("this is {a}")));
                    }
                }
            }
        }
        match ty {
            Type::No => Type::YesNo,
            // Another size may hold a part of one.
            Type::Quant(dims, Shape::Count) if !self.counted() => Type::Quant(dims, Shape::One),
            ty => ty,
        }
    }

    /// A bound must be of the default's kind.
    fn bound(&self, infer: &mut Infer<'_>, ty: &Type, bound: &Node) -> bool {
        let kind = infer.expr(bound);
        let measured = match (infer.quant(ty), infer.quant(&kind)) {
            (Quant::Not, _) | (_, Quant::Not) => false,
            _ => infer.store.unify(ty, &kind).is_ok(),
        };
        if measured {
            return true;
        }
        let name = &self.name;
        let (a, b) = (words::name(infer, ty), words::name(infer, &kind));
        let held = matches!(infer.quant(ty), Quant::Is(..));
        let message = match held {
            true => format!("`{name}` is {a}, and this bound is {b}"),
            false => format!("`{name}` is {a}, and only measures and sizes have bounds"),
        };
        let this = words::operand(infer, ty, &self.default);
        let fault = Fault::new(FaultCode::UnitMix, bound.span, message).other(self.default.span, this);
        infer.tell(match held {
            true => fault.hint("write the bounds as the value is written"),
            false => fault.hint("list its choices instead: `one of …, …`"),
        });
        false
    }

    /// Whether it takes whole numbers only.
    fn counted(&self) -> bool {
        let whole =
            |node: &Node| matches!(&node.code, Code::Const(Value::Measure(x)) if x.whole_count().is_some());
        matches!(&self.bounds, GivenBounds::FromTo(low, high) if whole(&self.default) && whole(low) && whole(high))
    }
}
