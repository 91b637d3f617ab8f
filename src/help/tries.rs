//! The examples in the library's documentation, evaluated.

use crate::code::{Compiler, Names, Scope};
use crate::eval::limits::Limits;
use crate::eval::machine::Machine;
use crate::fault::{Code as FaultCode, Fault, File, Files};
use crate::library;
use crate::recipe::make::try_example;
use crate::syntax::{self, tree::LineKind};
use crate::value::builtin;

/// How the library's examples came out.
#[derive(Debug, Default)]
pub struct Tried {
    /// How many rules the library has.
    pub rules: usize,
    /// How many examples were evaluated.
    pub examples: usize,
    /// Rules without an example or without a source, and examples that do not come out.
    pub faults: Vec<Fault>,
}

/// Compiles every rule of the library and works every example in it.
pub fn try_library(files: &mut Files, limits: &Limits) -> Tried {
    let mut tried = Tried::default();
    for (file_name, text) in library::FILES {
        let id = files.add(File::library(format!("stdlib/{file_name}"), *text));
        let read = syntax::read(id, text);
        tried.faults.extend(read.faults);
        for line in &read.tree.lines {
            let LineKind::Rule(rule) = &line.kind else {
                let message = "the library holds rules only";
                tried.faults.push(Fault::new(FaultCode::BadLine, line.span, message));
                continue;
            };
            tried.rules = tried.rules.saturating_add(1);
            match &line.doc {
                Some(doc) if !doc.words.is_empty() && !doc.sources.is_empty() && !doc.examples.is_empty() => {
                    for example in &doc.examples {
                        tried.examples = tried.examples.saturating_add(1);
                        tried.faults.extend(one(example, files, limits));
                    }
                }
                _ => {
                    let message =
                        format!("`{}` needs words, a source and an example above it", rule.name.name);
                    tried.faults.push(Fault::new(FaultCode::BadLine, rule.name.span, message));
                }
            }
            if builtin::find(&rule.name.name).is_some() {
                let message = format!("`{}` is a built-in already", rule.name.name);
                tried.faults.push(Fault::new(FaultCode::NameTwice, rule.name.span, message));
            }
        }
    }
    tried.faults.extend(crate::check::library_faults(files));
    tried
}

fn one(example: &syntax::tree::Example, files: &mut Files, limits: &Limits) -> Vec<Fault> {
    let mut names = Names::default();
    let mut compiler = Compiler::new(&mut names, files);
    let mut scope = Scope::line();
    let tried = compiler.expr(&example.tried, &mut scope);
    let expected = compiler.expr(&example.expected, &mut scope);
    compiler.pending();
    if !compiler.faults.is_empty() {
        return compiler.faults;
    }
    let mut machine = Machine::new(limits.clone());
    machine.rules = names.rules.iter().map(|entry| entry.code.clone()).collect();
    try_example(&mut machine, &tried, &expected, example.span, scope.slots()).into_iter().collect()
}
