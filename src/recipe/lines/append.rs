//! Lines added to a recipe: their names are declared, then their formulas compiled, from the top down.

use std::rc::Rc;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use crate::code::{Compiler, Mention, Names, Node, Scope};
use crate::fault::{Code, Fault, File, Files, Span};
use crate::limits::RULES;
use crate::recipe::dependence::{Dependence, Reader};
use crate::recipe::lines::{Act, Compiled, Given, Size, UsedAct, meaning};
use crate::recipe::used::Gathered;
use crate::syntax::tree::{Ident, Line, Rule};

/// The lines of a recipe, compiled.
#[derive(Debug, Default)]
pub struct Body {
    /// Its givens, in order.
    pub givens: Vec<Rc<Given>>,
    /// Its own sizes.
    pub sizes: Vec<Rc<Size>>,
    /// Examples in the documentation of its rules and givens.
    pub(crate) examples: Vec<Example>,
    pub(crate) lines: Vec<Compiled>,
    pub(crate) dependence: Dependence,
    pub(crate) place: Place,
    /// Whether names may be given again, as at the prompt.
    pub(crate) grows: bool,
}

/// An example in documentation: what to work, what must come out, where, and the slots of its frame.
pub(crate) type Example = (Node, Node, Span, u32);

/// What stands where, so far.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Place {
    /// The recipe's title.
    pub title: Option<Span>,
    /// Its `sizes` line.
    pub sizes: Option<Span>,
    /// Whether rows of sizes may follow.
    pub in_sizes: bool,
    /// The first line and the first size of the recipe that was loaded last; what stands before belongs to
    /// another.
    pub begun: (usize, usize),
}

/// That the work was stopped at a line.
pub(crate) fn stopped_at(span: Span) -> Fault {
    Fault::new(Code::Stopped, span, "stopped")
}

/// Compiles lines one by one.
pub(crate) struct Builder<'a> {
    pub compiler: Compiler<'a>,
    pub body: &'a mut Body,
    /// Whether the lines are those of a file that is loaded, not entered at the prompt.
    pub loaded: bool,
    /// Set from outside to stop the work.
    pub stop: Arc<AtomicBool>,
    /// Whether the line at hand stands in a used file.
    foreign: bool,
    /// Names that are new.
    fresh: Vec<Ident>,
    /// Rules to be compiled.
    rules: Vec<u32>,
    /// Rules that were compiled again, for something that they speak of was given again.
    renewed: Vec<u32>,
}

impl<'a> Builder<'a> {
    /// A builder that goes on where a recipe stands.
    pub fn new(body: &'a mut Body, names: &'a mut Names, files: &'a mut Files) -> Builder<'a> {
        let mut compiler = Compiler::new(names, files);
        compiler.numbered = !body.grows;
        let (loaded, foreign) = (false, false);
        let (fresh, rules, renewed) = (Vec::new(), Vec::new(), Vec::new());
        Builder { compiler, body, loaded, stop: Arc::default(), foreign, fresh, rules, renewed }
    }

    /// Adds lines: rules may stand in any order, so all names are known before any formula is compiled.
    pub fn add(&mut self, gathered: &[Gathered]) {
        for one in gathered {
            if self.stopped_in(one) {
                return;
            }
            if let Gathered::Line(line, foreign) = one {
                self.foreign = *foreign;
                meaning(&line.kind).declare(self);
            }
        }
        for name in std::mem::take(&mut self.fresh) {
            self.compiler.refuse_new_meaning(&name);
        }
        self.compile_rules();
        for one in gathered {
            if self.stopped_in(one) {
                return;
            }
            match one {
                Gathered::Line(line, foreign) => self.line(line, *foreign),
                Gathered::Begins(span, inside) => {
                    self.foreign = *inside;
                    self.push(Box::new(UsedAct::Begins), *span, Scope::line());
                }
                Gathered::Ends(span) => self.push(Box::new(UsedAct::Ends), *span, Scope::line()),
            }
        }
    }

    /// Whether the work is to stop, which is told at this line.
    fn stopped_in(&mut self, one: &Gathered) -> bool {
        let stop = self.stop.load(Ordering::Relaxed);
        if stop {
            let (Gathered::Line(Line { span, .. }, _) | Gathered::Begins(span, _) | Gathered::Ends(span)) =
                one;
            self.compiler.faults.push(stopped_at(*span));
        }
        stop
    }

    /// A name that a line gives a value.
    pub fn declare_name(&mut self, ident: &Ident) {
        let names = &mut self.compiler.names;
        let known = names.slots.get(&ident.name).and_then(|slot| names.globals.get(*slot as usize));
        let rule = names.own_rules.get(&ident.name).and_then(|id| names.rules.get(*id as usize));
        if let Some(rule) = rule {
            let first = rule.tree.name.span;
            return self.named_twice(ident, first);
        }
        if let Some(known) = known {
            let (both, first) = (self.foreign && known.foreign, known.span);
            if !self.body.grows || both && !self.is_read_again(first, ident.span) {
                self.named_twice(ident, first);
            }
            return;
        }
        let slot = names.global(&ident.name, ident.span);
        if let Some(entry) = names.globals.get_mut(slot as usize) {
            entry.foreign = self.foreign;
        }
        self.fresh.push(ident.clone());
        // Naming a value like a unit is allowed, and a trap.
        if crate::measure::is_unit(&ident.name) {
            let message = format!("`{}` is also a unit", ident.name);
            let fault = Fault::advice(Code::Advice, ident.span, message);
            self.compiler
                .faults
                .push(fault.hint("choose another name, so that it is not confused with the unit"));
        }
    }

    /// A name that a line gives a value unless it has one.
    pub fn declare_wanted(&mut self, ident: &Ident) {
        if !self.compiler.names.slots.contains_key(&ident.name) {
            self.declare_name(ident);
        }
    }

    /// A rule, known before its line is reached.
    pub fn declare_rule(&mut self, rule: &Rc<Rule>) {
        let names = &self.compiler.names;
        let value = names.slots.get(&rule.name.name).and_then(|slot| names.globals.get(*slot as usize));
        if let Some(value) = value {
            let first = value.span;
            return self.named_twice(&rule.name, first);
        }
        let known = names.own_rules.get(&rule.name.name).copied();
        if let Some((id, entry)) = known.and_then(|id| Some((id, names.rules.get(id as usize)?))) {
            let (both, first) = (self.foreign && entry.foreign, entry.tree.name.span);
            if !self.body.grows || both && !self.is_read_again(first, rule.name.span) {
                return self.named_twice(&rule.name, first);
            }
            // Given twice in these lines: its second line gives it.
            if self.rules.contains(&id) {
                return;
            }
        }
        self.add_rule(rule.clone());
    }

    /// Whether these are places in one used file, which was read twice.
    fn is_read_again(&self, first: Span, now: Span) -> bool {
        let name = |span: Span| self.compiler.files.get(span.file).map(File::name);
        first.file != now.file && name(first) == name(now)
    }

    fn named_twice(&mut self, ident: &Ident, first: Span) {
        let message = format!("`{}` is named twice", ident.name);
        let fault = Fault::new(Code::NameTwice, ident.span, message)
            .other(first, "it is named here first")
            .hint("a recipe gives each name only once: choose another name for one of them");
        self.compiler.faults.push(fault);
    }

    /// From here on the name of a rule means this one, for the rules that call it too.
    fn add_rule(&mut self, rule: Rc<Rule>) {
        let span = rule.name.span;
        let id = self.compiler.names.add_own(rule);
        let mut before = None;
        if let Some(entry) = self.compiler.names.rules.get_mut(id as usize) {
            entry.foreign = self.foreign;
            before = entry.before;
        }
        self.rules.push(id);
        if let Some(before) = before {
            self.renew(Mention::Rule(before), span);
        }
    }

    /// Rules that speak of what is given again speak of the new one from here on.
    fn renew(&mut self, of: Mention, span: Span) {
        for id in self.body.dependence.rules(of) {
            if self.compiler.names.rules.len() >= RULES {
                return self.too_many_rules(span);
            }
            let names = &mut self.compiler.names;
            let Some(entry) = names.rules.get(id as usize).cloned() else { continue };
            if names.own_rules.get(&entry.tree.name.name) != Some(&id) {
                continue;
            }
            let again = names.add_own(entry.tree);
            if let Some(place) = names.rules.get_mut(again as usize) {
                (place.written, place.before, place.foreign) = (entry.written, None, entry.foreign);
            }
            self.rules.push(again);
            self.renewed.push(again);
        }
    }

    fn too_many_rules(&mut self, span: Span) {
        if self.compiler.faults.iter().any(|fault| fault.code == Code::TooMuch) {
            return;
        }
        let message = format!("too many rules use this: a prompt keeps at most {RULES}");
        let fault = Fault::new(Code::TooMuch, span, message);
        self.compiler.faults.push(fault.hint(
            "when a name is given again, the rules that use it are kept in the old and in the new version: \
             `save` what you entered, and `load` it at a new prompt",
        ));
    }

    fn compile_rules(&mut self) {
        for id in std::mem::take(&mut self.rules) {
            if self.stop.load(Ordering::Relaxed) {
                break;
            }
            self.compiler.rule(id);
            if let Some(entry) = self.compiler.names.rules.get(id as usize) {
                self.body.dependence.add(Reader::Rule(id), &entry.mentions);
            }
        }
    }

    fn line(&mut self, line: &Line, foreign: bool) {
        let meaning = meaning(&line.kind);
        if foreign && !meaning.may_be_used() {
            let message = "a file for `use` may have only names and rules";
            self.compiler.faults.push(Fault::new(Code::BadLine, line.span, message));
            return;
        }
        self.foreign = foreign;
        let examples = self.examples(line);
        let mut scope = Scope::line();
        if let Some(act) = meaning.compile(line, self, &mut scope) {
            self.push(act, line.span, scope);
            if let Some(compiled) = self.body.lines.last_mut() {
                compiled.examples = examples;
            }
        }
        self.compiler.pending();
    }

    fn push(&mut self, act: Box<dyn Act>, span: Span, scope: Scope) {
        let file = self.compiler.files.get(span.file).filter(|_| !self.body.grows);
        let line = file.map(|file| file.place(span.start as usize).line);
        let (slots, mentions) = (scope.slots(), scope.mentions);
        self.body.dependence.add(Reader::Line(self.body.lines.len()), &mentions);
        let (foreign, loaded, examples) = (self.foreign, self.loaded, Vec::new());
        let last = mentions.iter().any(|(_, mention)| *mention == Mention::Total);
        let line = Compiled { act, span, slots, line, mentions, last, examples, foreign, loaded };
        self.body.lines.push(line);
    }

    /// The slot of a name that has its value from here on.
    pub fn give(&mut self, name: &Ident) -> u32 {
        let names = &mut self.compiler.names;
        let known = names.slots.get(&name.name).copied();
        let passed = |slot: u32| names.globals.get(slot as usize).is_some_and(|entry| entry.passed);
        let again = known.filter(|slot| self.body.grows && passed(*slot));
        let slot = match again {
            Some(_) => names.again(&name.name, name.span),
            None => names.global(&name.name, name.span),
        };
        if let Some(entry) = names.globals.get_mut(slot as usize) {
            (entry.passed, entry.foreign) = (true, self.foreign);
        }
        if let Some(before) = again {
            self.renew(Mention::Name(before), name.span);
            self.compile_rules();
        }
        slot
    }

    /// The number of the rule that a line gives.
    pub fn give_rule(&mut self, rule: &Rc<Rule>) -> u32 {
        let known = |builder: &Self| {
            let names = &builder.compiler.names;
            let entry = names.rules.get(*names.own_rules.get(&rule.name.name)? as usize)?;
            Rc::ptr_eq(&entry.tree, rule).then_some(entry.written)
        };
        if known(self).is_none() && self.body.grows {
            self.add_rule(rule.clone());
            self.compile_rules();
        }
        known(self).unwrap_or(u32::MAX)
    }

    /// The examples in a line's documentation; gives where they speak of names and rules.
    fn examples(&mut self, line: &Line) -> Vec<(Span, Mention)> {
        let mut mentions = Vec::new();
        let Some(doc) = &line.doc else { return mentions };
        for example in &doc.examples {
            let mut scope = Scope::example();
            let tried = self.compiler.expr(&example.tried, &mut scope);
            let expected = self.compiler.expr(&example.expected, &mut scope);
            self.body.examples.push((tried, expected, example.span, scope.slots()));
            mentions.append(&mut scope.mentions);
        }
        mentions
    }

    /// What was found wrong, and the rules that were compiled again.
    pub fn done(self) -> (Vec<Fault>, Vec<u32>) {
        (self.compiler.faults, self.renewed)
    }
}
