//! The lines of a recipe.

use std::rc::Rc;

use super::{Cut, Expr, Find, Have, Ident, Limit, PlanLine, PlanWay, Text, TextPart, Tool, Why};
use crate::fault::Span;
use crate::syntax::signs::written;

/// One line of a recipe, which may run over several rows of text.
#[derive(Clone, Debug)]
pub struct Line {
    /// What it says.
    pub kind: LineKind,
    /// From its first word to its last.
    pub span: Span,
    /// The `##` text above it.
    pub doc: Option<Rc<Doc>>,
}

/// The `##` text above a line.
#[derive(Clone, Debug, Default)]
pub struct Doc {
    /// The words, without examples and sources, line breaks kept.
    pub words: String,
    /// `try EXPRESSION is EXPRESSION`.
    pub examples: Vec<Example>,
    /// `source …`, as written.
    pub sources: Vec<String>,
}

/// A `try … is …` in documentation.
#[derive(Clone, Debug)]
pub struct Example {
    /// What to work.
    pub tried: Expr,
    /// What must come out.
    pub expected: Expr,
    /// The whole example.
    pub span: Span,
}

/// The kinds of line.
#[derive(Clone, Debug)]
pub enum LineKind {
    /// `recipe "Harbour table runner"`, `note "…"`, `step "…"`, `caution "…"`
    Words(Words),
    /// `given depth = 1/8 in from 1/16 in to 1/2 in`
    Given(Box<Given>),
    /// `strip = double_binding_cut(binding)`
    Name(Name),
    /// `measured top = 59 5/8 in by 71 3/4 in`
    Measured(Box<Measured>),
    /// `rule twice(x: length, seam: length = 1/4 in) = 2 * x`
    Rule(Rc<Rule>),
    /// `cut 2 "panel" from linen: flat`
    Cut(Box<Cut>),
    /// `have 1 of linen: 18 in by 22 in`
    Have(Box<Have>),
    /// `plan linen edge to edge`
    Plan(Box<PlanLine>),
    /// `buy 3 m "cotton tape" at 1.20 EUR/m`
    Buy(Box<Buy>),
    /// `show flat` or `show "cut size": flat`
    Show(Show),
    /// `draw VALUE`
    Draw(Draw),
    /// `check flat.across <= linen.usable: "too wide"`
    Check(Check),
    /// `ruler 1/16 in`, `shop 1/8 yd`, `seam 1/4 in`
    Set(Set),
    /// `tool scissors`
    Tool(Tool),
    /// `sizes` and the rows under it
    Sizes(Sizes),
    /// `use "house.scant"`
    Use(Use),
    /// An expression by itself, at the prompt.
    Work(Work),
    /// `why flat`, `why flat briefly`
    Why(Why),
    /// `find sashing from 1/2 in to 4 in so that 5 * 9 in + 6 * sashing is 60 in`
    Find(Box<Find>),
}

/// A line of mere words.
#[derive(Clone, Debug)]
pub struct Words {
    /// What the words are.
    pub what: WordsKind,
    /// The words.
    pub text: Text,
}

/// What a line of mere words is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WordsKind {
    /// `recipe "…"`: the title
    Recipe,
    /// `note "…"`
    Note,
    /// `step "Mark {n} fold lines."`
    Step,
    /// `caution "Close the rotary cutter."`
    Caution,
}

/// `NAME = VALUE`
#[derive(Clone, Debug)]
pub struct Name {
    /// The name given.
    pub name: Ident,
    /// Its value.
    pub value: Expr,
}

/// `show VALUE`, `show "LABEL": VALUE`
#[derive(Clone, Debug)]
pub struct Show {
    /// The words before it, where given; otherwise the expression's own text serves.
    pub label: Option<Text>,
    /// What to show.
    pub value: Expr,
}

/// `draw VALUE`, `draw "TITLE": VALUE`
#[derive(Clone, Debug)]
pub struct Draw {
    /// The words over it, where given; otherwise the expression's own text serves.
    pub label: Option<Text>,
    /// What to draw.
    pub value: Expr,
}

/// `check CONDITION: "MESSAGE"`
#[derive(Clone, Debug)]
pub struct Check {
    /// What must hold.
    pub condition: Expr,
    /// What to say when it does not.
    pub message: Option<Text>,
}

written! {
    /// A setting of the recipe, by the word of its line.
    Setting: Seam = "seam", Ruler = "ruler", Shop = "shop"
}

/// `seam WIDTH`, `ruler STEP`, `shop STEP`
#[derive(Clone, Debug)]
pub struct Set {
    /// What is set.
    pub setting: Setting,
    /// To what.
    pub value: Expr,
}

/// The recipe's own sizes, or a further row of them.
#[derive(Clone, Debug)]
pub struct Sizes {
    /// A row a size.
    pub rows: Vec<SizeRow>,
    /// Whether the word `sizes` stands in an entry before this one.
    pub further: bool,
}

/// `use "PATH"`
#[derive(Clone, Debug)]
pub struct Use {
    /// The path as written.
    pub path: String,
    /// Its place, quotes included.
    pub path_span: Span,
}

/// An expression by itself.
#[derive(Clone, Debug)]
pub struct Work {
    /// The expression.
    pub value: Expr,
}

/// `given NAME = DEFAULT from LOW to HIGH`, or `… one of A, B, C`.
#[derive(Clone, Debug)]
pub struct Given {
    /// The name.
    pub name: Ident,
    /// Its value where nothing else is said.
    pub default: Expr,
    /// What it may be.
    pub bounds: Bounds,
}

/// `measured NAME = VALUE, already cut "LABEL"`
#[derive(Clone, Debug)]
pub struct Measured {
    /// The name that was planned on a line above.
    pub name: Ident,
    /// What was really made.
    pub value: Expr,
    /// The pieces that were cut to the old number.
    pub cut: Vec<Text>,
}

/// What a given may be.
#[derive(Clone, Debug)]
pub enum Bounds {
    /// Anything of the default's kind.
    Any,
    /// From the first to the second, both included.
    FromTo(Expr, Expr),
    /// One of these.
    OneOf(Vec<Expr>),
}

/// `buy QUANTITY "WHAT"`, with `in packs of HOW MUCH` and `at PRICE` where known.
#[derive(Clone, Debug)]
pub struct Buy {
    /// How much or how many.
    pub quantity: Expr,
    /// What.
    pub label: Text,
    /// How much or how many a pack holds, where it is sold in packs.
    pub pack: Option<Expr>,
    /// The price of one, of a length or weight, or of a pack.
    pub price: Option<Expr>,
}

/// One size of a `sizes` block: `"small"  finished = 12 by 36 in, in_width = 4`
#[derive(Clone, Debug)]
pub struct SizeRow {
    /// The size's name.
    pub label: String,
    /// Its place, quotes included.
    pub label_span: Span,
    /// Givens and their values.
    pub values: Vec<(Ident, Expr)>,
}

/// A rule: a named formula.
#[derive(Clone, Debug)]
pub struct Rule {
    /// Its name.
    pub name: Ident,
    /// What it takes, in order.
    pub params: Vec<Param>,
    /// What it gives, where stated: `rule f(x: length): area = …`
    pub gives: Option<Ident>,
    /// Whether what it gives may be less than 0, as the heading says: `: signed length`
    pub signed: bool,
    /// The rule that makes a drawing of what this one gives: `drawn tucks_drawing`
    pub drawn: Option<Ident>,
    /// The formula.
    pub body: Expr,
    /// From `rule` to the closing bracket of the parameters, for "its heading".
    pub heading: Span,
}

/// One parameter of a rule.
#[derive(Clone, Debug)]
pub struct Param {
    /// Its name.
    pub name: Ident,
    /// Its kind, where stated: `length`, `count`, `text` …
    pub kind: Option<Ident>,
    /// What its heading says besides.
    pub guard: Guard,
    /// Its value when not given.
    pub default: Option<Expr>,
}

/// What a heading says of a parameter besides its kind.
#[derive(Clone, Debug, Default)]
pub struct Guard {
    /// `signed length`: it may be less than 0.
    pub signed: bool,
    /// `money per length`: what a price is of.
    pub per: Option<Ident>,
    /// `from 1`, `below 180 deg`: each how, and where it ends.
    pub limits: Vec<(Limit, Expr)>,
    /// `or no`: it may be `no` instead.
    pub or_no: bool,
}

impl LineKind {
    /// Calls `visit` on each of its expressions, those in its texts too.
    pub fn exprs<'a>(&'a self, visit: &mut dyn FnMut(&'a Expr)) {
        match self {
            LineKind::Words(words) => filled(&words.text, visit),
            LineKind::Given(given) => {
                visit(&given.default);
                match &given.bounds {
                    Bounds::Any => {}
                    Bounds::FromTo(low, high) => [low, high].into_iter().for_each(visit),
                    Bounds::OneOf(choices) => choices.iter().for_each(visit),
                }
            }
            LineKind::Name(name) => visit(&name.value),
            LineKind::Work(work) => visit(&work.value),
            LineKind::Set(set) => visit(&set.value),
            LineKind::Measured(measured) => {
                visit(&measured.value);
                measured.cut.iter().for_each(|text| filled(text, visit));
            }
            LineKind::Rule(rule) => {
                rule.params.iter().filter_map(|param| param.default.as_ref()).for_each(&mut *visit);
                visit(&rule.body);
            }
            LineKind::Cut(cut) => {
                [&cut.count, &cut.cloth, &cut.size].into_iter().for_each(&mut *visit);
                filled(&cut.label, visit);
            }
            LineKind::Have(have) => {
                [&have.count, &have.cloth, &have.size].into_iter().for_each(&mut *visit);
                have.price.iter().for_each(visit);
            }
            LineKind::Plan(plan) => {
                visit(&plan.cloth);
                for (way, _) in &plan.ways {
                    match way {
                        PlanWay::Kits(value) | PlanWay::On(value) => visit(value),
                        PlanWay::More(text) => filled(text, visit),
                        PlanWay::Strips | PlanWay::EdgeToEdge | PlanWay::AnyWay => {}
                        PlanWay::Folded | PlanWay::FromHand => {}
                    }
                }
            }
            LineKind::Buy(buy) => {
                visit(&buy.quantity);
                filled(&buy.label, visit);
                buy.pack.iter().chain(&buy.price).for_each(visit);
            }
            LineKind::Show(Show { label, value }) | LineKind::Draw(Draw { label, value }) => {
                label.iter().for_each(|text| filled(text, visit));
                visit(value);
            }
            LineKind::Check(Check { condition, message }) => {
                visit(condition);
                message.iter().for_each(|text| filled(text, visit));
            }
            LineKind::Sizes(sizes) => {
                sizes.rows.iter().flat_map(|row| &row.values).for_each(|(_, value)| visit(value))
            }
            LineKind::Why(why) => why.asked.iter().for_each(visit),
            LineKind::Find(find) => {
                [&find.low, &find.high, &find.condition].into_iter().for_each(&mut *visit);
                find.on.iter().for_each(visit);
            }
            LineKind::Tool(_) | LineKind::Use(_) => {}
        }
    }
}

fn filled<'a>(text: &'a Text, visit: &mut dyn FnMut(&'a Expr)) {
    for part in &text.parts {
        if let TextPart::Filled(expr) = part {
            visit(expr);
        }
    }
}
