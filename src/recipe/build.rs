//! A recipe: its lines compiled, ready to be made in any size.

use std::collections::{HashMap, HashSet};
use std::rc::Rc;

use crate::check::{Infer, Lines};
use crate::code::compile::Compiler;
use crate::code::names::Names;
use crate::code::node::Node;
use crate::code::scope::Scope;
use crate::eval::limits::Limits;
use crate::eval::machine::Machine;
use crate::fault::{Code as FaultCode, Fault, Files, Level, Span};
use crate::recipe::lines::used::UsedAct;
use crate::recipe::lines::{Act, Compiled, meaning};
pub use crate::recipe::lines::{Given, Size, unknown_given};
use crate::recipe::planning::Effort;
use crate::recipe::together::Together;
use crate::recipe::used::{self, Host};
use crate::syntax::tree::{Ident, Line, LineKind};
use crate::value::data::Value;

/// A recipe, compiled.
#[derive(Debug)]
pub struct Recipe {
    /// Its givens, in order.
    pub givens: Vec<Rc<Given>>,
    /// Its own sizes.
    pub sizes: Vec<Rc<Size>>,
    /// Advice found while compiling.
    pub advice: Vec<Fault>,
    /// Examples in the documentation of its rules and givens: what to work, what must come out.
    pub(crate) examples: Vec<(Node, Node, Span, u32)>,
    pub(crate) lines: Vec<Compiled>,
    pub(crate) machine: Machine,
    pub(crate) both: bool,
    pub(crate) effort: Effort,
    /// Sizes held to be laid out together.
    pub(crate) together: Option<Together>,
    /// Whether a run notes what its lines gave, and what it noted.
    pub(crate) noting: bool,
    pub(crate) noted: Vec<crate::recipe::make::Noted>,
    /// The names of its values, by slot.
    pub(crate) names: Vec<Rc<str>>,
    /// What was measured, from outside.
    pub(crate) outside: crate::recipe::measured::Outside,
    /// What the check could not tell before anything is worked.
    pub notes: Vec<Fault>,
    gathered: Vec<used::Gathered>,
}

impl Recipe {
    /// Advice on what is sound and deserves a second look.
    pub fn second_look(&self, files: &Files) -> Vec<Fault> {
        crate::recipe::advice::advice(&self.gathered, files)
    }
}

/// Reads and compiles a recipe; gives all its faults where it has any.
pub fn compile(
    name: &str,
    text: &str,
    files: &mut Files,
    host: &dyn Host,
    limits: &Limits,
) -> Result<Recipe, Vec<Fault>> {
    let mut faults = Vec::new();
    let gathered = used::gather(name, text, files, host, &mut faults);
    let mut names = Names::default();
    names.spoiled.extend(gathered.iter().filter_map(used::Gathered::spoiled));
    declare(&gathered, &mut names, &mut faults);
    let mut builder = Builder::new(&mut names, files);
    builder.rules();
    for gathered in &gathered {
        match gathered {
            used::Gathered::Line(line, foreign) => builder.line(line, *foreign),
            used::Gathered::Spoiled(_) => {}
            used::Gathered::Begins(span) => builder.mark(UsedAct::Begins, *span),
            used::Gathered::Ends(span) => builder.mark(UsedAct::Ends, *span),
        }
    }
    let Builder { compiler, givens, sizes, lines, examples, .. } = builder;
    faults.extend(compiler.faults);
    let by_slot = BySlot::new(&lines, names.globals.len());
    let mut infer = Infer::new(&names, files, &by_slot);
    infer.own_rules();
    lines.iter().for_each(|line| line.act.check(&mut infer));
    examples.iter().for_each(|(tried, expected, ..)| infer.example(tried, expected));
    let found = infer.found();
    faults.extend(found.faults);
    let (advice, mut errors): (Vec<_>, Vec<_>) =
        faults.into_iter().partition(|fault| fault.level == Level::Advice);
    if !errors.is_empty() {
        errors.sort_by_key(|fault| fault.span());
        return Err(errors);
    }
    let mut machine = Machine::new(limits.clone());
    machine.rules = names.rules.iter().map(|entry| entry.code.clone()).collect();
    machine.globals = vec![Value::Unset; names.globals.len()];
    let names = names.globals.iter().map(|entry| entry.name.clone()).collect();
    Ok(Recipe {
        givens,
        sizes,
        advice,
        examples,
        lines,
        machine,
        both: false,
        effort: Effort::of(limits, false),
        together: None,
        noting: false,
        noted: Vec::new(),
        names,
        outside: crate::recipe::measured::Outside::default(),
        notes: found.notes,
        gathered,
    })
}

/// Which line gives each slot its value.
struct BySlot<'a> {
    lines: &'a [Compiled],
    given_by: Vec<Option<usize>>,
}

impl<'a> BySlot<'a> {
    fn new(lines: &'a [Compiled], slots: usize) -> BySlot<'a> {
        let mut given_by = vec![None; slots];
        for (at, line) in lines.iter().enumerate() {
            if let Some(place) = line.act.gives().and_then(|slot| given_by.get_mut(slot as usize)) {
                *place = Some(at);
            }
        }
        BySlot { lines, given_by }
    }
}

impl Lines for BySlot<'_> {
    fn look_at(&self, slot: u32, infer: &mut Infer<'_>) {
        let at = self.given_by.get(slot as usize).copied().flatten();
        if let Some(line) = at.and_then(|at| self.lines.get(at)) {
            line.act.check(infer);
        }
    }
}

/// Takes in the names of all rules and lines before any formula is compiled.
fn declare(gathered: &[used::Gathered], names: &mut Names, faults: &mut Vec<Fault>) {
    let mut seen: HashMap<Rc<str>, Span> = HashMap::new();
    for line in gathered.iter().filter_map(used::Gathered::line) {
        let ident = match &line.kind {
            LineKind::Rule(rule) => &rule.name,
            LineKind::Name(line) => &line.name,
            LineKind::Given(given) => &given.name,
            // A name that stands already is only asked about.
            LineKind::Find(find) if !seen.contains_key(&find.name.name) => &find.name,
            _ => continue,
        };
        if let Some(first) = seen.insert(ident.name.clone(), ident.span) {
            let message = format!("`{}` is named twice", ident.name);
            let fault = Fault::new(FaultCode::NameTwice, ident.span, message)
                .other(first, "it is named here first")
                .hint("a recipe names a thing once: choose another name for one of them");
            faults.push(fault);
            continue;
        }
        match &line.kind {
            LineKind::Rule(rule) => {
                let id = names.add_rule(rule.clone(), false);
                names.own_rules.insert(rule.name.name.clone(), id);
            }
            _ => {
                names.global(&ident.name, ident.span);
                unit_advice(ident, faults);
            }
        }
    }
}

/// Naming a value like a unit is allowed, and a trap.
pub(crate) fn unit_advice(ident: &Ident, faults: &mut Vec<Fault>) {
    if crate::measure::is_unit(&ident.name) {
        let message = format!("`{}` is also a unit", ident.name);
        let fault = Fault::advice(FaultCode::Advice, ident.span, message);
        faults.push(fault.hint("another name keeps the two apart"));
    }
}

/// Compiles a recipe's lines one by one.
pub(crate) struct Builder<'a> {
    pub compiler: Compiler<'a>,
    pub givens: Vec<Rc<Given>>,
    /// The last given of each name.
    pub given_at: HashMap<Rc<str>, usize>,
    pub sizes: Vec<Rc<Size>>,
    pub size_labels: HashSet<Rc<str>>,
    pub lines: Vec<Compiled>,
    examples: Vec<(Node, Node, Span, u32)>,
    /// Where the title stands, and the sizes.
    pub title: Option<Span>,
    pub sizes_at: Option<Span>,
}

impl<'a> Builder<'a> {
    pub fn new(names: &'a mut Names, files: &'a mut Files) -> Builder<'a> {
        Builder {
            compiler: Compiler::new(names, files),
            givens: Vec::new(),
            given_at: HashMap::new(),
            sizes: Vec::new(),
            size_labels: HashSet::new(),
            lines: Vec::new(),
            examples: Vec::new(),
            title: None,
            sizes_at: None,
        }
    }

    fn rules(&mut self) {
        let mut own: Vec<u32> = self.compiler.names.own_rules.values().copied().collect();
        own.sort_unstable();
        for id in own {
            self.compiler.rule(id);
        }
    }

    fn mark(&mut self, act: UsedAct, span: Span) {
        self.push(Box::new(act), span, Scope::line());
    }

    fn push(&mut self, act: Box<dyn Act>, span: Span, scope: Scope) {
        let files = &self.compiler.files;
        let row = files.get(span.file).map(|file| file.place(span.start as usize).line);
        let slots = scope.slots();
        let Scope { reads, calls, .. } = scope;
        self.lines.push(Compiled { act, span, slots, line: row, reads, calls });
    }

    fn line(&mut self, line: &Line, foreign: bool) {
        let meaning = meaning(&line.kind);
        if foreign && !meaning.may_be_used() {
            let message = "a file that is used may hold names and rules only";
            self.compiler.faults.push(Fault::new(FaultCode::BadLine, line.span, message));
            return;
        }
        self.examples(line);
        let mut scope = Scope::line();
        if let Some(act) = meaning.compile(line, self, &mut scope) {
            self.push(act, line.span, scope);
        }
        self.compiler.pending();
    }

    /// The slot of a name that has its value from here on.
    pub fn give(&mut self, name: &Ident) -> u32 {
        let slot = self.compiler.names.global(&name.name, name.span);
        if let Some(entry) = self.compiler.names.globals.get_mut(slot as usize) {
            entry.passed = true;
        }
        slot
    }

    fn examples(&mut self, line: &Line) {
        let Some(doc) = &line.doc else { return };
        for example in &doc.examples {
            let mut scope = Scope::example();
            let tried = self.compiler.expr(&example.tried, &mut scope);
            let expected = self.compiler.expr(&example.expected, &mut scope);
            self.examples.push((tried, expected, example.span, scope.slots()));
        }
    }
}

/// An expression's own text on one line.
pub(crate) fn own_words(files: &Files, span: Span) -> Rc<str> {
    let words: Vec<&str> = files.text(span).split_whitespace().collect();
    words.join(" ").into()
}
