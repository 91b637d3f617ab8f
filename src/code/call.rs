//! Calls compiled: whose rule it is, and which argument goes to which parameter.

use crate::code::compile::Compiler;
use crate::code::elsewhere::named_elsewhere;
use crate::code::node::{CallNode, CautionNode, Code, Op};
use crate::code::scope::{Mention, Scope};
use crate::fault::{Code as FaultCode, Fault, File, Span, closest, listed};
use crate::limits::FAULTS;
use crate::syntax::tree;
use crate::value::builtin::{self, About, Builtin};

impl Compiler<'_> {
    pub(crate) fn call(&mut self, call: &tree::Call, span: Span, scope: &mut Scope) -> Code {
        let name = &call.rule;
        let own = if scope.library { None } else { self.names.own_rules.get(&name.name).copied() };
        if own.is_none()
            && let Some(about) = builtin::find(&name.name)
        {
            return self.builtin(about, call, span, scope);
        }
        let Some(rule) = self.rule_named(name, scope.library) else {
            self.unknown_rule(call, scope);
            for arg in &call.args {
                self.expr(&arg.value, scope);
            }
            return Code::Broken;
        };
        if own.is_some() {
            scope.mentions.push((name.span, Mention::Rule(rule)));
        }
        self.arguments(rule, call, span, scope)
    }

    /// A call of the rule that draws what another rule gives: the result comes first, then each argument that
    /// both have by name. Nothing where the other rule does not say how it is drawn.
    pub(crate) fn drawn(&mut self, call: &tree::Call, scope: &mut Scope) -> Option<Box<CallNode>> {
        let rule = self.rule_named(&call.rule, scope.library)?;
        let entry = self.names.rules.get(rule as usize)?;
        let (heading, library) = (entry.tree.clone(), entry.library);
        let by = self.rule_named(heading.drawn.as_ref()?, library)?;
        let drawing = self.names.rules.get(by as usize)?.tree.clone();
        let mut args = Vec::new();
        for (place, arg) in call.args.iter().enumerate() {
            let param = match &arg.name {
                Some(name) => heading.params.iter().find(|param| param.name.name == name.name),
                None => heading.params.get(place),
            };
            let at = param.and_then(|param| {
                drawing.params.iter().skip(1).position(|own| own.name.name == param.name.name)
            });
            if let Some(at) = at.and_then(|at| u32::try_from(at).ok()) {
                args.push((at.saturating_add(1), self.expr(&arg.value, scope)));
            }
        }
        Some(Box::new(CallNode { rule: by, args }))
    }

    /// The rule of this name that a rule of the recipe, or of the library, speaks of.
    pub(crate) fn rule_named(&mut self, name: &tree::Ident, library: bool) -> Option<u32> {
        let own = if library { None } else { self.names.own_rules.get(&name.name).copied() };
        own.or_else(|| {
            let loaded = self.names.library_rules.contains_key(&*name.name);
            let id = self.names.library_rule(&name.name, self.files)?;
            if !loaded {
                self.pending.push(id);
            }
            Some(id)
        })
    }

    fn unknown_rule(&mut self, call: &tree::Call, scope: &Scope) {
        let name = &call.rule.name;
        if !scope.library && self.names.spoiled.contains(name) {
            return;
        }
        let value = scope.find(name).map(|(_, span)| span).or_else(|| {
            let slot = self.names.slots.get(name)?;
            self.names.globals.get(*slot as usize).map(|entry| entry.span)
        });
        let fault = match value {
            Some(first) => {
                Fault::new(FaultCode::NotARule, call.rule.span, format!("`{name}` is a value, not a rule"))
                    .other(first, "it is named here")
                    .hint(format!("to multiply write `{name} * (…)`"))
            }
            None => {
                let mut known: Vec<&str> = Vec::new();
                if self.faults.len() < FAULTS {
                    known.extend(self.names.callable());
                    known.sort_unstable();
                }
                let message = format!("there is no rule called `{name}`");
                let fault = Fault::new(FaultCode::UnknownName, call.rule.span, message);
                match named_elsewhere(name) {
                    Some(ours) => fault.hint(format!("write {ours}")),
                    None => fault.did_you_mean(closest(name, known)),
                }
            }
        };
        self.faults.push(fault);
    }

    fn builtin(&mut self, about: &'static About, call: &tree::Call, span: Span, scope: &mut Scope) -> Code {
        for name in call.args.iter().filter_map(|arg| arg.name.as_ref()) {
            let message = format!("`{}` uses its values without names", about.name);
            let fault = Fault::new(FaultCode::UnknownArgument, name.span, message);
            self.faults.push(fault.hint(shape(about)));
        }
        let (least, most) = about.takes;
        if call.args.len() < least {
            let message = match least {
                1 => format!("`{}` needs something in its brackets", about.name),
                _ => format!("`{}` needs at least {}", about.name, counted(least, "value")),
            };
            let fault = Fault::new(FaultCode::MissingArgument, span, message);
            self.faults.push(fault.hint(shape(about)));
        } else if let Some(extra) = call.args.get(most) {
            let message = format!("`{}` takes at most {}", about.name, counted(most, "value"));
            let fault = Fault::new(FaultCode::ExtraArgument, extra.value.span, message);
            self.faults.push(fault.hint(shape(about)));
        }
        let mut args: Vec<_> = call.args.iter().map(|arg| self.expr(&arg.value, scope)).collect();
        if about.builtin != Builtin::WithCaution {
            return Code::Apply(Op::Builtin(about.builtin), args);
        }
        let when = args.drain(2.min(args.len())..).next();
        match (args.pop(), args.pop()) {
            (Some(words), Some(value)) => Code::Caution(Box::new(CautionNode { value, words, when })),
            _ => Code::Broken,
        }
    }

    /// Puts the arguments to the rule's parameters.
    fn arguments(&mut self, rule: u32, call: &tree::Call, span: Span, scope: &mut Scope) -> Code {
        let Some(entry) = self.names.rules.get(rule as usize) else { return Code::Broken };
        let heading = entry.tree.clone();
        let mut taken: Vec<Option<Span>> = vec![None; heading.params.len()];
        let mut args = Vec::with_capacity(call.args.len());
        let mut twice = false;
        for (place, arg) in call.args.iter().enumerate() {
            let value = self.expr(&arg.value, scope);
            let found = match &arg.name {
                Some(name) => heading.params.iter().position(|param| param.name.name == name.name),
                None => (place < heading.params.len()).then_some(place),
            };
            let Some(at) = found else {
                self.strange_argument(arg, &heading);
                continue;
            };
            let arg_span = arg.name.as_ref().map_or(arg.value.span, |name| name.span);
            if let Some(first) = taken.get_mut(at).and_then(|slot| slot.replace(arg_span)) {
                let param = heading.params.get(at).map_or("", |param| &param.name.name);
                let message = format!("`{param}` is given twice to `{}`", heading.name.name);
                let fault = Fault::new(FaultCode::ExtraArgument, arg_span, message);
                let unnamed =
                    call.args.get(at).is_some_and(|arg| arg.name.is_none() && arg.value.span == first);
                let place = if unnamed {
                    "this value without a name is given to it"
                } else {
                    "it is given here first"
                };
                self.faults.push(fault.other(first, place).hint(as_written(&heading)));
                twice = true;
            }
            args.push((u32::try_from(at).unwrap_or(u32::MAX), value));
        }
        // What is given twice is meant for the one that is missing.
        if !twice {
            self.missing_arguments(&heading, &taken, call, span);
        }
        Code::Call(Box::new(CallNode { rule, args }))
    }

    fn strange_argument(&mut self, arg: &tree::Arg, heading: &tree::Rule) {
        let rule = &heading.name.name;
        let fault = match &arg.name {
            Some(name) => {
                let known = heading.params.iter().map(|param| &*param.name.name);
                let message = format!("`{rule}` has no argument called `{}`", name.name);
                let close = closest(&name.name, known);
                let is_library = self.files.get(heading.name.span.file).is_some_and(File::is_library);
                let fault = Fault::new(FaultCode::UnknownArgument, name.span, message)
                    .did_you_mean(close)
                    .hint(as_written(heading));
                match is_library && close.is_none() {
                    true => fault.hint(format!("`help {rule}` explains each of them")),
                    false => fault,
                }
            }
            None => {
                let message = format!("`{rule}` takes at most {}", counted(heading.params.len(), "value"));
                Fault::new(FaultCode::ExtraArgument, arg.value.span, message).hint(as_written(heading))
            }
        };
        self.faults.push(fault);
    }

    fn missing_arguments(
        &mut self,
        heading: &tree::Rule,
        taken: &[Option<Span>],
        call: &tree::Call,
        span: Span,
    ) {
        let missing: Vec<String> = heading
            .params
            .iter()
            .zip(taken)
            .filter(|(param, taken)| taken.is_none() && param.default.is_none())
            .map(|(param, _)| format!("`{}`", param.name.name))
            .collect();
        // An argument under a wrong name explains the missing one well enough.
        let strange = call.args.iter().filter_map(|arg| arg.name.as_ref());
        let mut strange =
            strange.filter(|name| heading.params.iter().all(|param| param.name.name != name.name));
        if missing.is_empty() || strange.next().is_some() {
            return;
        }
        let message = format!("`{}` still needs {}", heading.name.name, listed(&missing));
        let fault = Fault::new(FaultCode::MissingArgument, span, message);
        self.faults.push(fault.hint(as_written(heading)));
    }
}

/// `1 value`, `2 values`.
pub fn counted(n: usize, what: &str) -> String {
    if n == 1 { format!("1 {what}") } else { format!("{n} {what}s") }
}

/// How a rule is written: what it needs, and what may be added.
fn as_written(rule: &tree::Rule) -> String {
    let optional = |param: &&tree::Param| param.default.is_some();
    // After one that may be left out, a value needs its name.
    let named = rule.params.iter().position(|param| param.default.is_some()).unwrap_or(rule.params.len());
    let needed = rule.params.iter().enumerate().filter(|(_, param)| !optional(param));
    let needed: Vec<String> = needed
        .map(|(at, param)| match at < named {
            true => param.name.name.to_string(),
            false => format!("{}: …", param.name.name),
        })
        .collect();
    let added: Vec<String> =
        rule.params.iter().filter(optional).map(|param| format!("`{}: …`", param.name.name)).collect();
    let written = format!("write `{}({})`", rule.name.name, needed.join(", "));
    match added.is_empty() {
        true => written,
        false => format!("{written}; {} may be added", listed(&added)),
    }
}

/// How a built-in is called; one that is called in two ways has both in its heading.
fn shape(about: &About) -> String {
    format!("write `{}`", about.heading.replace(" or ", "` or `"))
}
