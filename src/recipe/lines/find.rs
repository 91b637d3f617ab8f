//! `find sashing from 1/2 in to 4 in so that 5 * 9 in + 6 * sashing is 60 in`

use super::*;
use std::collections::BTreeSet;

use crate::ask::find::{self, FindAct, Question, unfound, value_of};
use crate::check::{Quant, Shape, Type, words};
use crate::docket::{Found, StepKind};
use crate::fault::{Code, Fault};
use crate::syntax::tree::Find;

/// A search, and the lines that are evaluated again for each value that is tried.
#[derive(Debug)]
struct Search {
    find: FindAct,
    follows: Vec<usize>,
}

impl Meaning for Find {
    fn compile(&self, line: &Line, builder: &mut Builder<'_>, scope: &mut Scope) -> Option<Box<dyn Act>> {
        let compiler = &mut builder.compiler;
        let known = compiler.names.slots.get(&self.name.name);
        let passed =
            |slot: &u32| compiler.names.globals.get(*slot as usize).is_some_and(|entry| entry.passed);
        let names = !known.is_some_and(passed);
        let find = FindAct::compile(self, line.span, names, compiler, scope);
        compiler.pending();
        let depend = match names {
            true => BTreeSet::new(),
            false => builder.body.dependence.lines(Mention::Name(find.slot), &builder.body.lines),
        };
        let follows =
            |at: &usize| builder.body.lines.get(*at).is_some_and(|line| line.act.follows().is_some());
        let follows = depend.into_iter().filter(follows).collect();
        Some(Box::new(Search { find, follows }))
    }

    fn declare(&self, builder: &mut Builder<'_>) {
        builder.declare_wanted(&self.name);
    }
}

impl Act for Search {
    fn check(&self, infer: &mut Infer<'_>) {
        match self.gives() {
            Some(slot) => infer.name(slot, |infer| self.check_range(infer)),
            None => drop(self.check_range(infer)),
        }
    }

    fn make(&self, _line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
        let find = &self.find;
        let mut found = self.search(maker)?;
        if find.names {
            match value_of(&found) {
                Some(value) => maker.put(find.slot, value),
                None => return Err(unfound(&found, find)),
            }
        } else if maker.live.is_none() {
            found.notes.push(format!("only a question: `{}` is not changed", find.name).into());
        }
        if maker.live.is_some() {
            return self.answer(found, maker);
        }
        // A line that is evaluated once more, for what was measured, keeps on the docket what it found as
        // planned; what it finds now is among the changes.
        let finds = &mut maker.run.docket.finds;
        if !finds.iter().any(|known| known.line == found.line && known.name == found.name) {
            finds.push(found);
        }
        Ok(())
    }

    fn again(&self, line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
        match (self.find.names, maker.live.is_some()) {
            (false, _) => Ok(()),
            (true, false) => self.make(line, maker),
            (true, true) => {
                let found = self.search(maker)?;
                let value = value_of(&found).ok_or_else(|| unfound(&found, &self.find))?;
                maker.put(self.find.slot, value);
                Ok(())
            }
        }
    }

    fn gives(&self) -> Option<u32> {
        self.find.names.then_some(self.find.slot)
    }

    fn answers(&self) -> bool {
        true
    }

    fn looks_back(&self) -> bool {
        !self.follows.is_empty()
    }

    fn only_asks(&self) -> bool {
        true
    }

    fn explain<'a>(&'a self, _set: bool, origin: &mut Origin<'a>) {
        origin.kind = StepKind::Found;
        origin.node = Some(self.find.condition());
        origin.name = Some(self.find.name.clone());
    }

    fn asked<'a>(&'a self, _line: &Compiled, all: Option<&[Origin<'a>]>) -> Option<(Asked<'a>, bool)> {
        last_origin(self.gives()?, all)
    }
}

impl Search {
    fn search(&self, maker: &mut Maker<'_>) -> Result<Found, Halt> {
        let follows = self.follows.iter().filter_map(|at| maker.follow(*at)).collect();
        find::find(maker.machine, &Question { act: &self.find, follows })
    }

    /// What was found, and that a name that was only asked about stays.
    fn answer(&self, found: Found, maker: &mut Maker<'_>) -> Result<(), Halt> {
        let find = &self.find;
        let value = value_of(&found);
        maker.answer(Answer::Found(found));
        let Some(value) = value else { return Ok(()) };
        if !find.names {
            let name = &find.name;
            let words = format!("`{name}` itself is not changed; write `{name} = that` to use this value");
            maker.answer(Answer::Words(words));
            maker.note(None, &value);
        }
        maker.machine.that = Some(value);
        Ok(())
    }

    /// What is looked for is of its range's kind, in the condition too.
    fn check_range(&self, infer: &mut Infer<'_>) -> Type {
        let (low, high, on, condition) = self.find.nodes();
        let ty = range(infer, low, high);
        if let Some(on) = on {
            let step = infer.expr(on);
            let what = "a step to search on, such as `1/8 in`,";
            if infer.one(&step, on, what).is_some() && infer.store.unify(&ty, &step).is_err() {
                let fault = words::comparison(infer, (&ty, low), (&step, on));
                infer.tell(fault.hint("the step must be of the same kind as the range"));
            }
        }
        let ty = match (on, ty) {
            (Some(_), Type::Quant(dims, _)) => Type::Quant(dims, Shape::One),
            (_, ty) => ty,
        };
        if self.find.names {
            infer.make_known(self.find.slot, ty.clone());
        } else if let Some(known) = infer.known(self.find.slot) {
            self.check_again(infer, &known, &ty, low);
        }
        infer.condition(condition);
        ty
    }

    /// A name that has its value already is looked for among values of its own kind.
    fn check_again(&self, infer: &mut Infer<'_>, known: &Type, ty: &Type, low: &Node) {
        if infer.store.unify(known, ty).is_ok() {
            return;
        }
        let (a, b) = (infer.kind_name(known), infer.kind_name(ty));
        let message = format!("`{}` is {a}, and the range begins at {b}", self.find.name);
        let fault = Fault::new(Code::UnitMix, low.span, message);
        let fault = match infer.names.globals.get(self.find.slot as usize) {
            Some(entry) => fault.other(entry.span, "its value is given here"),
            None => fault,
        };
        infer.tell(fault.hint("write the range in the same way as the value, or find another name"));
    }
}

fn range(infer: &mut Infer<'_>, low: &Node, high: &Node) -> Type {
    let (a, b) = (infer.expr(low), infer.expr(high));
    let what = "an end of the range, a measure or a number,";
    let (Some(_), Some(_)) = (infer.one(&a, low, what), infer.one(&b, high, what)) else {
        return Type::Unsure;
    };
    if infer.store.unify(&a, &b).is_err() {
        let fault = words::comparison(infer, (&a, low), (&b, high));
        infer.tell(fault);
        return Type::Unsure;
    }
    match (infer.quant(&a), infer.quant(&b)) {
        (Quant::Is(dims, Shape::Count), Quant::Is(_, Shape::Count)) => Type::Quant(dims, Shape::Count),
        (Quant::Is(dims, _), _) => Type::Quant(dims, Shape::One),
        _ => Type::Unsure,
    }
}
