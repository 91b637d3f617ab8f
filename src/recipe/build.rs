//! A recipe: its lines compiled, ready to be made in any size.

use std::collections::BTreeSet;
use std::collections::{HashMap, HashSet};
use std::rc::Rc;

use crate::ask::act::AskAct;
use crate::check::Infer;
use crate::code::compile::Compiler;
use crate::code::names::Names;
use crate::code::node::{Node, Piece};
use crate::code::scope::Scope;
use crate::eval::limits::Limits;
use crate::eval::machine::Machine;
use crate::fault::{Code as FaultCode, Fault, Files, Level, Span};
use crate::recipe::cloth_acts::{self, ClothAct};
use crate::recipe::planning::Effort;
use crate::recipe::together::Together;
use crate::recipe::used::{self, Host};
use crate::syntax::tree::{self, Bounds, Line, LineKind};

/// A line to be worked, and how many slots its frame needs.
#[derive(Debug)]
pub(crate) struct Act {
    pub kind: ActKind,
    pub span: Span,
    pub slots: u32,
    /// Its line in the script.
    pub line: Option<usize>,
    /// The recipe's names that it reads, and the rules that it calls.
    pub reads: BTreeSet<u32>,
    pub calls: BTreeSet<u32>,
}

/// What a line does.
#[derive(Debug)]
pub(crate) enum ActKind {
    Recipe(Vec<Piece>),
    Note(Vec<Piece>),
    Given(usize),
    Name {
        slot: u32,
        value: Node,
    },
    Cloth(ClothAct),
    Tool(crate::docket::Tool),
    Buy {
        quantity: Node,
        label: Vec<Piece>,
        price: Option<Node>,
    },
    Step(Vec<Piece>),
    Show {
        label: Label,
        value: Node,
    },
    Check {
        condition: Node,
        message: Option<Vec<Piece>>,
        words: Rc<str>,
        line: usize,
    },
    Caution(Vec<Piece>),
    /// What was really made in place of what was planned.
    Measured {
        slot: u32,
        value: Node,
        cut: Vec<Vec<Piece>>,
    },
    Set(crate::code::node::Setting, Node),
    /// A used file's settings stay in it.
    UseBegins,
    UseEnds,
    Work(Node),
    Ask(AskAct),
}

impl Act {
    /// The slot of the name that the line gives its value.
    pub fn slot(&self, givens: &[Given]) -> Option<u32> {
        match &self.kind {
            ActKind::Name { slot, .. } => Some(*slot),
            ActKind::Given(index) => givens.get(*index).map(|given| given.slot),
            ActKind::Ask(ask) => ask.slot(),
            _ => None,
        }
    }

    /// Whether working the line needs what earlier lines made.
    pub fn looks_back(&self) -> bool {
        matches!(&self.kind, ActKind::Ask(ask) if ask.looks_back())
    }
}

/// What stands before a shown value.
#[derive(Debug)]
pub(crate) enum Label {
    /// The expression's own text.
    Own(Rc<str>),
    /// Words of the recipe.
    Words(Vec<Piece>),
}

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

/// One of the recipe's own sizes.
#[derive(Debug)]
pub struct Size {
    /// Its name.
    pub label: Rc<str>,
    /// Index of the given, and its value.
    pub(crate) values: Vec<(usize, Node, u32)>,
}

/// A recipe, compiled.
#[derive(Debug)]
pub struct Recipe {
    /// Its givens, in order.
    pub givens: Vec<Given>,
    /// Its own sizes.
    pub sizes: Vec<Size>,
    /// Advice found while compiling.
    pub advice: Vec<Fault>,
    /// Examples in the documentation of its rules and givens: what to work, what must come out.
    pub(crate) examples: Vec<(Node, Node, Span, u32)>,
    pub(crate) acts: Vec<Act>,
    pub(crate) machine: Machine,
    pub(crate) both: bool,
    pub(crate) effort: Effort,
    /// Sizes held to be laid out together.
    pub(crate) together: Option<Together>,
    /// Whether a run notes what its lines put where, and what it noted.
    pub(crate) noting: bool,
    pub(crate) puts: Vec<crate::recipe::make::Put>,
    /// The names of its values, by slot.
    pub(crate) names: Vec<Rc<str>>,
    /// What was measured, from outside.
    pub(crate) outside: crate::recipe::measured::Outside,
    /// What the check could not tell before anything is worked.
    pub notes: Vec<Fault>,
    lines: Vec<used::Gathered>,
}

impl Recipe {
    /// Advice on what is sound and deserves a second look.
    pub fn second_look(&self, files: &Files) -> Vec<Fault> {
        crate::check::advice(&self.lines, files)
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
    let lines = used::gather(name, text, files, host, &mut faults);
    let mut names = Names::default();
    names.spoiled.extend(lines.iter().filter_map(used::Gathered::spoiled));
    declare(&lines, &mut names, &mut faults);
    let mut builder = Builder::new(&mut names, files);
    builder.rules();
    for gathered in &lines {
        match gathered {
            used::Gathered::Line(line, foreign) => builder.line(line, *foreign),
            used::Gathered::Spoiled(_) => {}
            used::Gathered::Begins(span) => builder.mark(ActKind::UseBegins, *span),
            used::Gathered::Ends(span) => builder.mark(ActKind::UseEnds, *span),
        }
    }
    let Builder { compiler, givens, sizes, acts, examples, .. } = builder;
    faults.extend(compiler.faults);
    let found = Infer::new(&names, files, &acts, &givens).recipe(&sizes, &examples);
    faults.extend(found.faults);
    let (advice, mut errors): (Vec<_>, Vec<_>) =
        faults.into_iter().partition(|fault| fault.level == Level::Advice);
    if !errors.is_empty() {
        errors.sort_by_key(|fault| fault.span());
        return Err(errors);
    }
    let mut machine = Machine::new(limits.clone());
    machine.rules = names.rules.iter().map(|entry| entry.code.clone()).collect();
    machine.globals = vec![crate::value::data::Value::Unset; names.globals.len()];
    let names = names.globals.iter().map(|entry| entry.name.clone()).collect();
    Ok(Recipe {
        givens,
        sizes,
        advice,
        examples,
        acts,
        machine,
        both: false,
        effort: Effort::of(limits, false),
        together: None,
        noting: false,
        puts: Vec::new(),
        names,
        outside: crate::recipe::measured::Outside::default(),
        notes: found.notes,
        lines,
    })
}

/// Takes in the names of all rules and lines before any formula is compiled.
fn declare(lines: &[used::Gathered], names: &mut Names, faults: &mut Vec<Fault>) {
    let mut seen: HashMap<Rc<str>, Span> = HashMap::new();
    for line in lines.iter().filter_map(used::Gathered::line) {
        let ident = match &line.kind {
            LineKind::Rule(rule) => &rule.name,
            LineKind::Name { name, .. } => name,
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
pub(crate) fn unit_advice(ident: &tree::Ident, faults: &mut Vec<Fault>) {
    if crate::measure::is_unit(&ident.name) {
        let message = format!("`{}` is also a unit", ident.name);
        let fault = Fault::advice(FaultCode::Advice, ident.span, message);
        faults.push(fault.hint("another name keeps the two apart"));
    }
}

/// Compiles a recipe's lines one by one.
struct Builder<'a> {
    compiler: Compiler<'a>,
    givens: Vec<Given>,
    sizes: Vec<Size>,
    acts: Vec<Act>,
    examples: Vec<(Node, Node, Span, u32)>,
    title: Option<Span>,
    sizes_at: Option<Span>,
}

impl<'a> Builder<'a> {
    fn new(names: &'a mut Names, files: &'a mut Files) -> Builder<'a> {
        Builder {
            compiler: Compiler::new(names, files),
            givens: Vec::new(),
            sizes: Vec::new(),
            acts: Vec::new(),
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

    fn push(&mut self, kind: ActKind, line: &Line, scope: Scope) {
        let files = &self.compiler.files;
        let row = files.get(line.span.file).map(|file| file.place(line.span.start as usize).line);
        let slots = scope.slots();
        let Scope { reads, calls, .. } = scope;
        self.acts.push(Act { kind, span: line.span, slots, line: row, reads, calls });
    }

    fn mark(&mut self, kind: ActKind, span: Span) {
        let (reads, calls) = Default::default();
        self.acts.push(Act { kind, span, slots: 0, line: None, reads, calls });
    }

    fn line(&mut self, line: &Line, foreign: bool) {
        let mut scope = Scope::line();
        if foreign && !used::may_stand_in_used(&line.kind) {
            let message = "a file that is used may hold names and rules only";
            self.compiler.faults.push(Fault::new(FaultCode::BadLine, line.span, message));
            return;
        }
        self.examples(line);
        if let Some(kind) = self.kind(line, &mut scope) {
            self.push(kind, line, scope);
        }
        self.compiler.pending();
    }

    fn kind(&mut self, line: &Line, scope: &mut Scope) -> Option<ActKind> {
        let compiler = &mut self.compiler;
        Some(match &line.kind {
            LineKind::Recipe(text) => {
                if let Some(first) = self.title.replace(line.span) {
                    let fault = Fault::new(
                        FaultCode::BadLine,
                        line.span,
                        "a file holds one recipe, and this is the second",
                    );
                    self.compiler.faults.push(fault.other(first, "the first is here"));
                    return None;
                }
                ActKind::Recipe(compiler.pieces(text, scope))
            }
            LineKind::Note(text) => ActKind::Note(compiler.pieces(text, scope)),
            LineKind::Step(text) => ActKind::Step(compiler.pieces(text, scope)),
            LineKind::Caution(text) => ActKind::Caution(compiler.pieces(text, scope)),
            LineKind::Given(given) => return self.given(given, line, scope),
            LineKind::Measured(measured) => return self.measured(measured, scope),
            LineKind::Name { name, value } => {
                let value = compiler.named(&name.name, value, scope);
                let slot = compiler.names.global(&name.name, name.span);
                self.passed(slot);
                ActKind::Name { slot, value }
            }
            LineKind::Rule(_) => return None,
            LineKind::Cut(_) | LineKind::Have(_) | LineKind::Plan(_) => {
                ActKind::Cloth(ClothAct::compile(&line.kind, line.span, compiler, scope)?)
            }
            LineKind::Tool(tool) => ActKind::Tool(cloth_acts::tool(*tool)),
            LineKind::Buy(buy) => ActKind::Buy {
                quantity: compiler.expr(&buy.quantity, scope),
                label: compiler.pieces(&buy.label, scope),
                price: buy.price.as_ref().map(|price| compiler.expr(price, scope)),
            },
            LineKind::Show { label, value } => ActKind::Show {
                label: match label {
                    Some(text) => Label::Words(compiler.pieces(text, scope)),
                    None => Label::Own(own_words(compiler.files, value.span)),
                },
                value: compiler.expr(value, scope),
            },
            LineKind::Check { condition, message } => ActKind::Check {
                words: own_words(compiler.files, condition.span),
                line: compiler
                    .files
                    .get(line.span.file)
                    .map_or(0, |file| file.place(line.span.start as usize).line),
                condition: compiler.expr(condition, scope),
                message: message.as_ref().map(|text| compiler.pieces(text, scope)),
            },
            LineKind::Ruler(value) => {
                ActKind::Set(crate::code::node::Setting::Ruler, compiler.expr(value, scope))
            }
            LineKind::Shop(value) => {
                ActKind::Set(crate::code::node::Setting::Shop, compiler.expr(value, scope))
            }
            LineKind::Seam(value) => {
                ActKind::Set(crate::code::node::Setting::Seam, compiler.expr(value, scope))
            }
            LineKind::Sizes(rows) => {
                self.sizes(rows, line);
                return None;
            }
            // Its lines were gathered in its place.
            LineKind::Use { .. } => return None,
            LineKind::Work(value) => ActKind::Work(compiler.expr(value, scope)),
            LineKind::Why(why) => ActKind::Ask(AskAct::why(why, compiler, scope)),
            LineKind::Find(find) => {
                ActKind::Ask(AskAct::find(find, line.span, compiler, scope, (&self.acts, &self.givens)))
            }
        })
    }

    fn passed(&mut self, slot: u32) {
        if let Some(entry) = self.compiler.names.globals.get_mut(slot as usize) {
            entry.passed = true;
        }
    }

    fn given(&mut self, given: &tree::Given, line: &Line, scope: &mut Scope) -> Option<ActKind> {
        let compiler = &mut self.compiler;
        let default = compiler.named(&given.name.name, &given.default, scope);
        let bounds = match &given.bounds {
            Bounds::Any => GivenBounds::Any,
            Bounds::FromTo(low, high) => {
                GivenBounds::FromTo(compiler.expr(low, scope), compiler.expr(high, scope))
            }
            Bounds::OneOf(choices) => {
                GivenBounds::OneOf(choices.iter().map(|choice| compiler.expr(choice, scope)).collect())
            }
        };
        let slot = compiler.names.global(&given.name.name, given.name.span);
        self.passed(slot);
        let words = line.doc.as_ref().map(|doc| doc.words.trim()).filter(|words| !words.is_empty());
        self.givens.push(Given {
            name: given.name.name.clone(),
            words: words.map(Into::into),
            span: given.name.span,
            slot,
            slots: scope.slots(),
            default,
            bounds,
        });
        Some(ActKind::Given(self.givens.len() - 1))
    }

    /// What a name of a line above really came out as.
    fn measured(&mut self, measured: &tree::Measured, scope: &mut Scope) -> Option<ActKind> {
        let name = &measured.name;
        let compiler = &mut self.compiler;
        let value = compiler.named(&name.name, &measured.value, scope);
        let cut = measured.cut.iter().map(|label| compiler.pieces(label, scope)).collect();
        let slot = crate::recipe::measured::planned(compiler.names, name)
            .map_err(|fault| compiler.faults.extend(fault));
        let slot = slot.ok()?;
        let again =
            self.acts.iter().find(|act| matches!(act.kind, ActKind::Measured { slot: s, .. } if s == slot));
        if let Some(first) = again {
            let message = format!("`{}` is measured twice", name.name);
            let fault = Fault::new(FaultCode::NameTwice, name.span, message).other(first.span, "first here");
            self.compiler.faults.push(fault.hint("keep the line of the last measuring"));
            return None;
        }
        Some(ActKind::Measured { slot, value, cut })
    }

    fn sizes(&mut self, rows: &[tree::SizeRow], line: &Line) {
        if let Some(first) = self.sizes_at.replace(line.span) {
            let fault = Fault::new(FaultCode::BadLine, line.span, "a recipe lists its sizes once");
            self.compiler.faults.push(fault.other(first, "they are listed here"));
            return;
        }
        let given_at: HashMap<Rc<str>, usize> =
            self.givens.iter().enumerate().map(|(at, given)| (given.name.clone(), at)).collect();
        let mut labels = HashSet::new();
        for row in rows {
            if !labels.insert(&*row.label) {
                let message = format!("two sizes are called \"{}\"", row.label);
                self.compiler.faults.push(Fault::new(FaultCode::NameTwice, row.label_span, message));
            }
            let mut values: Vec<(usize, Node, u32)> = Vec::with_capacity(row.values.len());
            for (ident, value) in &row.values {
                let mut scope = Scope::line();
                let node = self.compiler.expr(value, &mut scope);
                match given_at.get(&ident.name).copied() {
                    Some(at) if values.iter().any(|(other, ..)| *other == at) => {
                        let message = format!("`{}` is set twice in this size", ident.name);
                        self.compiler.faults.push(Fault::new(FaultCode::NameTwice, ident.span, message));
                    }
                    Some(at) => values.push((at, node, scope.slots())),
                    None if self.compiler.names.spoiled.contains(&ident.name) => {}
                    None => {
                        self.compiler.faults.push(unknown_given(&ident.name, &self.givens, Some(ident.span)))
                    }
                }
            }
            self.sizes.push(Size { label: row.label.as_str().into(), values });
        }
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

/// So many givens are listed in a fault.
const LISTED: usize = 20;

/// A `--set`, a column or a size that names no given.
pub fn unknown_given(name: &str, givens: &[Given], span: Option<Span>) -> Fault {
    let known = || givens.iter().map(|given| &*given.name);
    let message = format!("this recipe has no given called `{name}`");
    let fault = match span {
        Some(span) => Fault::new(FaultCode::UnknownGiven, span, message),
        None => Fault::nowhere(FaultCode::UnknownGiven, message),
    };
    let fault = fault.did_you_mean(crate::fault::closest(name, known()));
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
