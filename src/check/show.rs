//! The signature of a rule as help shows it: `area(a: a measure, b: a measure) gives a measure`.

use std::collections::BTreeMap;

use crate::check::Infer;
use crate::check::dims::Dims;
use crate::check::scheme::Scheme;
use crate::check::types::{Shape, Type};
use crate::code::{Names, RuleCode};
use crate::fault::Files;
use crate::measure::Dim;
use crate::value::kind::Kind;

/// What a rule takes and gives, a row each, as the check infers it; `None` where its heading
/// says all of it.
pub fn signature(names: &Names, files: &Files, rule: u32) -> Option<String> {
    let mut infer = Infer::new(names, files, &());
    infer.quiet = 1;
    let code = infer.code(rule)?;
    let told = |kind: Kind| !matches!(kind, Kind::Any | Kind::List | Kind::Record | Kind::Money);
    if told(code.gives) && code.params.iter().all(|param| told(param.kind)) {
        return None;
    }
    let scheme = infer.scheme(rule)?;
    Some(written(&code, &scheme))
}

fn written(code: &RuleCode, scheme: &Scheme) -> String {
    let mut letters = Letters::default();
    let mut out = String::from("takes\n");
    for (param, ty) in code.params.iter().zip(&scheme.params) {
        let left_out = if param.default.is_some() { ", may be left out" } else { "" };
        let words = letters.declared(param.kind, ty);
        out.push_str(&format!("  {}: {words}{left_out}\n", param.name));
    }
    if code.params.is_empty() {
        out.push_str("  nothing\n");
    }
    let gives = letters.declared(code.gives, &scheme.result);
    out.push_str(&format!("gives\n  {gives}\n"));
    out
}

/// Names for what is open: the first of them is A.
#[derive(Default)]
struct Letters {
    dims: BTreeMap<u32, usize>,
    kinds: BTreeMap<u32, usize>,
}

fn letter(at: usize) -> String {
    match u8::try_from(at).ok().filter(|at| *at < 26) {
        Some(at) => char::from(b'A'.saturating_add(at)).to_string(),
        None => format!("A{at}"),
    }
}

impl Letters {
    /// What the heading says, where it says more than what the check infers.
    fn declared(&mut self, kind: Kind, ty: &Type) -> String {
        match kind {
            Kind::Any | Kind::List | Kind::Record => self.words(ty, 0),
            kind if matches!(ty, Type::Maybe(_)) => format!("{}, or no", kind.trade_name()),
            kind => kind.trade_name(),
        }
    }

    fn words(&mut self, ty: &Type, depth: u32) -> String {
        if depth > 4 {
            return "more of the same".into();
        }
        match ty {
            Type::Unsure | Type::Mixed(_) => "anything".into(),
            Type::Never => "nothing: it always refuses".into(),
            Type::Var(var) => {
                let next = self.kinds.len().saturating_add(1);
                match *self.kinds.entry(*var).or_insert(next) {
                    1 => "anything".into(),
                    at => format!("anything ({at})"),
                }
            }
            Type::Quant(dims, shape) => self.quantity(dims, *shape),
            Type::Text => "text".into(),
            Type::Outline => "a shape".into(),
            Type::YesNo => "yes or no".into(),
            Type::No => "no".into(),
            Type::Maybe(inner) => format!("{}, or no", self.words(inner, depth.saturating_add(1))),
            Type::List(item) => format!("a list; each item: {}", self.words(item, depth.saturating_add(1))),
            Type::Record(record) => {
                let mut parts: Vec<String> = record
                    .parts
                    .iter()
                    .map(|(name, part)| format!("{name}: {}", self.words(part, depth.saturating_add(1))))
                    .collect();
                if record.more {
                    parts.push("…".into());
                }
                format!("a record {{{}}}", parts.join(", "))
            }
        }
    }

    fn quantity(&mut self, dims: &Dims, shape: Shape) -> String {
        match (dims, shape) {
            (_, Shape::Size) => "a size".into(),
            (Dims::Known(Dim::NONE), Shape::Count) => "a count".into(),
            (Dims::Known(dim), Shape::Var(_)) if *dim == Dim::LENGTH => "a length or a size".into(),
            (Dims::Known(dim), _) => dim.trade_name(),
            (Dims::Open(open), shape) => {
                let known = (open.known != Dim::NONE).then(|| open.known.trade_name());
                let parts = open.vars.iter().map(|(var, power)| self.power(*var, *power));
                let parts: Vec<String> = parts.chain(known).collect();
                let size = if matches!(shape, Shape::Var(_)) { ", or a size" } else { "" };
                match (open.vars.as_slice(), open.known) {
                    ([(_, 1)], Dim::NONE) => format!("any measure {}{size}", parts.join("")),
                    _ => format!("a measure of {}{size}", parts.join(" times ")),
                }
            }
        }
    }

    fn power(&mut self, var: u32, power: i32) -> String {
        let next = self.dims.len();
        let name = letter(*self.dims.entry(var).or_insert(next));
        match power {
            1 => name,
            power => format!("{name}^{power}"),
        }
    }
}
