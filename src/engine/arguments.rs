//! Calls compiled: whose rule it is, and which argument goes to which parameter.

use super::builtins::{self, About};
use super::code::{CallNode, Code};
use super::compile::Compiler;
use super::scope::Scope;
use crate::fault::{Code as FaultCode, Fault, Span, closest};
use crate::syntax::tree;

impl Compiler<'_> {
    pub(super) fn call(&mut self, call: &tree::Call, span: Span, scope: &mut Scope) -> Code {
        let name = &call.rule;
        let own = if scope.library { None } else { self.names.own_rules.get(&name.name).copied() };
        if own.is_none()
            && let Some(about) = builtins::find(&name.name)
        {
            return self.builtin(about, call, span, scope);
        }
        let rule = own.or_else(|| {
            let loaded = self.names.library_rules.contains_key(&*name.name);
            let id = self.names.library_rule(&name.name, self.files)?;
            if !loaded {
                self.pending.push(id);
            }
            Some(id)
        });
        let Some(rule) = rule else {
            self.unknown_rule(call, scope);
            for arg in &call.args {
                self.expr(&arg.value, scope);
            }
            return Code::Broken;
        };
        scope.calls.insert(rule);
        self.arguments(rule, call, span, scope)
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
                let mut known: Vec<&str> = self.names.callable().collect();
                known.sort_unstable();
                Fault::new(
                    FaultCode::UnknownName,
                    call.rule.span,
                    format!("there is no rule called `{name}`"),
                )
                .did_you_mean(closest(name, known))
            }
        };
        self.faults.push(fault);
    }

    fn builtin(&mut self, about: &'static About, call: &tree::Call, span: Span, scope: &mut Scope) -> Code {
        for name in call.args.iter().filter_map(|arg| arg.name.as_ref()) {
            let message = format!("`{}` takes its arguments without names", about.name);
            let fault = Fault::new(FaultCode::UnknownArgument, name.span, message);
            self.faults.push(fault.hint(format!("write `{}`", about.heading)));
        }
        let (least, most) = about.takes;
        if call.args.len() < least {
            let message = match least {
                1 => format!("`{}` needs an argument", about.name),
                _ => format!("`{}` needs {} at least", about.name, counted(least, "argument")),
            };
            let fault = Fault::new(FaultCode::MissingArgument, span, message);
            self.faults.push(fault.hint(format!("write `{}`", about.heading)));
        } else if let Some(extra) = call.args.get(most) {
            let message = format!("`{}` takes {} and no more", about.name, counted(most, "argument"));
            let fault = Fault::new(FaultCode::ExtraArgument, extra.value.span, message);
            self.faults.push(fault.hint(format!("write `{}`", about.heading)));
        }
        let args = call.args.iter().map(|arg| self.expr(&arg.value, scope)).collect();
        Code::Builtin(about.builtin, args)
    }

    /// Puts the arguments to the rule's parameters.
    fn arguments(&mut self, rule: u32, call: &tree::Call, span: Span, scope: &mut Scope) -> Code {
        let Some(entry) = self.names.rules.get(rule as usize) else { return Code::Broken };
        let heading = entry.tree.clone();
        let mut taken: Vec<Option<Span>> = vec![None; heading.params.len()];
        let mut args = Vec::with_capacity(call.args.len());
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
                self.faults.push(fault.other(first, "it is given here first"));
            }
            args.push((u32::try_from(at).unwrap_or(u32::MAX), value));
        }
        self.missing_arguments(&heading, &taken, call, span);
        Code::Call(Box::new(CallNode { rule, args }))
    }

    fn strange_argument(&mut self, arg: &tree::Arg, heading: &tree::Rule) {
        let rule = &heading.name.name;
        let fault = match &arg.name {
            Some(name) => {
                let known = heading.params.iter().map(|param| &*param.name.name);
                let message = format!("`{rule}` has no argument called `{}`", name.name);
                Fault::new(FaultCode::UnknownArgument, name.span, message)
                    .did_you_mean(closest(&name.name, known))
                    .hint(format!("its heading is `{}`", heading_words(heading)))
            }
            None => {
                let message =
                    format!("`{rule}` takes {} and no more", counted(heading.params.len(), "argument"));
                Fault::new(FaultCode::ExtraArgument, arg.value.span, message)
                    .hint(format!("its heading is `{}`", heading_words(heading)))
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
        let message = format!("`{}` still needs {}", heading.name.name, missing.join(" and "));
        let fault = Fault::new(FaultCode::MissingArgument, span, message);
        self.faults.push(fault.hint(format!("its heading is `{}`", heading_words(heading))));
    }
}

/// `1 argument`, `2 arguments`.
pub fn counted(n: usize, what: &str) -> String {
    if n == 1 { format!("1 {what}") } else { format!("{n} {what}s") }
}

/// A rule's heading in short: names, and those that have a default in square brackets.
fn heading_words(rule: &tree::Rule) -> String {
    let param = |param: &tree::Param| match param.default {
        Some(_) => format!("[{}]", param.name.name),
        None => param.name.name.to_string(),
    };
    let params: Vec<String> = rule.params.iter().map(param).collect();
    format!("{}({})", rule.name.name, params.join(", "))
}
