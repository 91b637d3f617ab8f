//! `sizes` and its rows: the recipe's own sizes, each a value for some of its givens.

use std::collections::{HashMap, HashSet};

use super::*;
use crate::check::{Quant, Shape, Type, words};
use crate::code::node::Code;
use crate::fault::{Code as FaultCode, Fault, Span, closest};
use crate::measure::Dim;
use crate::syntax::tree::{SizeRow, Sizes};

/// One of the recipe's own sizes.
#[derive(Debug)]
pub struct Size {
    /// Its name.
    pub label: Rc<str>,
    /// Index of the given, its value, and how many slots the value's frame needs.
    pub(crate) values: Vec<(usize, Node, u32)>,
}

/// The rows, and the givens that they speak of.
#[derive(Debug)]
struct SizesAct(Vec<(Rc<Size>, Vec<Rc<Given>>)>);

impl Meaning for Sizes {
    fn compile(&self, line: &Line, builder: &mut Builder<'_>, scope: &mut Scope) -> Option<Box<dyn Act>> {
        let first = if self.further { None } else { builder.body.place.sizes.replace(line.span) };
        if let Some(first) = first {
            let fault = Fault::new(FaultCode::BadLine, line.span, "a recipe can have only one list of sizes");
            builder.compiler.faults.push(fault.other(first, "they are listed here"));
            return None;
        }
        // The last of its name: at the prompt a given may be given again.
        let given_at: HashMap<Rc<str>, usize> =
            builder.body.givens.iter().enumerate().map(|(at, given)| (given.name.clone(), at)).collect();
        let mut labels: HashSet<Rc<str>> = builder
            .body
            .sizes
            .iter()
            .skip(builder.body.place.begun.1)
            .map(|size| size.label.clone())
            .collect();
        let size = |row| size(row, builder, scope, &given_at, &mut labels);
        Some(Box::new(SizesAct(self.rows.iter().map(size).collect())))
    }
}

/// Compiles a row.
fn size(
    row: &SizeRow,
    builder: &mut Builder<'_>,
    outer: &mut Scope,
    given_at: &HashMap<Rc<str>, usize>,
    labels: &mut HashSet<Rc<str>>,
) -> (Rc<Size>, Vec<Rc<Given>>) {
    let mut faults = Vec::new();
    if !labels.insert(row.label.as_str().into()) {
        let message = format!("two sizes are called \"{}\"", row.label);
        faults.push(Fault::new(FaultCode::NameTwice, row.label_span, message));
    }
    let mut values: Vec<(usize, Node, u32)> = Vec::with_capacity(row.values.len());
    let mut givens = Vec::with_capacity(row.values.len());
    for (ident, value) in &row.values {
        let mut scope = Scope::line();
        let node = builder.compiler.expr(value, &mut scope);
        let at = given_at.get(&ident.name).copied();
        match at.and_then(|at| Some((at, builder.body.givens.get(at)?))) {
            Some((at, _)) if values.iter().any(|(other, ..)| *other == at) => {
                let message = format!("`{}` is set twice in this size", ident.name);
                faults.push(Fault::new(FaultCode::NameTwice, ident.span, message));
            }
            Some((at, given)) => {
                values.push((at, node, scope.slots()));
                outer.mentions.push((ident.span, Mention::Name(given.slot)));
                givens.push(given.clone());
            }
            None if builder.compiler.names.spoiled.contains(&ident.name) => {}
            None => faults.push(unknown_given(&ident.name, &builder.body.givens, Some(ident.span))),
        }
        outer.mentions.append(&mut scope.mentions);
    }
    builder.compiler.faults.append(&mut faults);
    let size = Rc::new(Size { label: row.label.as_str().into(), values });
    builder.body.sizes.push(size.clone());
    (size, givens)
}

impl Act for SizesAct {
    fn check(&self, infer: &mut Infer<'_>) {
        for (size, givens) in &self.0 {
            for ((_, value, _), given) in size.values.iter().zip(givens) {
                infer.framed(|infer| check(infer, given, value));
            }
        }
    }

    fn has_rows(&self) -> bool {
        true
    }

    fn make(&self, _line: &Compiled, _maker: &mut Maker<'_>) -> Result<(), Halt> {
        Ok(())
    }
}

/// A value of a size must be of its given's kind.
fn check(infer: &mut Infer<'_>, given: &Given, value: &Node) {
    let kind = infer.expr(value);
    let Some(ty) = infer.known(given.slot) else { return };
    let money = |infer: &mut Infer<'_>, ty: &Type| match infer.quant(ty) {
        Quant::Is(dims, _) => dims.known().is_some_and(Dim::is_money),
        _ => false,
    };
    if let (Code::Const(default), Code::Const(written)) = (&given.default.code, &value.code)
        && let Some(bare) = given.bare_percent(default, written, value.span)
    {
        return infer.tell(bare);
    }
    if infer.store.unify(&ty, &kind).is_ok() || money(infer, &ty) && money(infer, &kind) {
        return;
    }
    let (a, b) = (infer.kind_name(&ty), words::described(infer, &kind, value));
    let bare = matches!(infer.quant(&kind), Quant::Is(dims, Shape::One | Shape::Count) if dims.known() == Some(Dim::NONE));
    let (is_size, is_quant) = match infer.store.shallow(&ty) {
        Type::Quant(_, shape) => (shape == Shape::Size, true),
        _ => (false, false),
    };
    let fault = given.misfit((&a, &b), is_size, bare && is_quant, value.span);
    infer.tell(fault.other(given.span, "it is given here"));
}

/// So many givens are listed in a fault.
const LISTED: usize = 20;

/// A `--set`, a column or a size that names no given.
pub fn unknown_given(name: &str, givens: &[Rc<Given>], span: Option<Span>) -> Fault {
    let known = || givens.iter().map(|given| &*given.name);
    let message = format!("this recipe has no given called `{name}`");
    let fault = match span {
        Some(span) => Fault::new(FaultCode::UnknownGiven, span, message),
        None => Fault::nowhere(FaultCode::UnknownGiven, message),
    };
    let fault = fault.did_you_mean(closest(name, known()));
    match givens.is_empty() {
        true => fault.hint("it has no givens at all"),
        false => {
            let listed = known().take(LISTED).collect::<Vec<_>>().join(", ");
            let more = givens.len().saturating_sub(LISTED);
            let more = if more > 0 { format!(" and {more} more") } else { String::new() };
            fault.hint(format!("its givens are {listed}{more}"))
        }
    }
}
