//! What a run made, as plain data. Every report is written from a [`Docket`] and from nothing else.

mod cloth;
mod found;
mod json;
mod json_object;
mod json_picture;
mod json_plan;
mod measured;
mod picture;
mod reading;
mod table;
mod working;

use std::rc::Rc;

use serde::Serialize;

use crate::measure::{Manner, Quantity};
use crate::shape::Outline;
use crate::text::clean;

pub use cloth::{
    ClothPlan, Direction, Hand, Held, InHandCosts, More, Nearer, OnHand, Piece, Planned, Strip, Tool, Way,
    kind_name,
};
pub use found::{Found, Near, Outcome};
pub use json::FigureJson;
pub use measured::{AlreadyCut, Change, Made, Measured};
pub use picture::{Fill, Line, Part, Picture};
pub(crate) use reading::push_value;
pub use reading::{figure_text, shape_text, value_text};
pub use table::Table;
pub use working::{Place, Root, StepKind, WorkStep, Working};

/// What one run of a recipe made.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Docket {
    /// The recipe's name.
    pub recipe: Option<Rc<str>>,
    /// The size it was made in, when graded.
    pub size: Option<Rc<str>>,
    /// How many kits are cut and bought for, where that was asked for.
    pub kits: Option<u64>,
    /// Its notes.
    pub notes: Vec<Words>,
    /// Its givens, in order.
    pub givens: Vec<Given>,
    /// What it shows, in order.
    pub shows: Vec<Shown>,
    /// The cut list and the plan, one a cloth, in the order in which the cloths are first cut.
    pub cloths: Vec<ClothPlan>,
    /// What else to buy.
    pub buys: Vec<Buy>,
    /// What it all costs: one sum a currency, of rounded lines.
    pub totals: Vec<Figure>,
    /// The steps, numbers filled in.
    pub steps: Vec<Words>,
    /// The checks and how they came out.
    pub checks: Vec<Check>,
    /// The cautions.
    pub cautions: Vec<Words>,
    /// What was really made, and what that changed.
    pub measured: Option<Box<Measured>>,
    /// What it draws, in order.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub pictures: Vec<Picture>,
    /// What `find` lines found, in order.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub finds: Vec<Found>,
    /// The working of values, where it was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub working: Option<Working>,
}

impl Docket {
    /// The recipe's name, its size, for how many kits; nothing for a docket without a name.
    pub fn title(&self) -> String {
        let size = self.size.as_ref().map(|size| format!("size {size}"));
        let kits = self.kits.map(|kits| format!("for {}", kits_words(kits)));
        let parts = self.recipe.as_deref().into_iter().chain(size.as_deref()).chain(kits.as_deref());
        clean(&parts.collect::<Vec<_>>().join(", "))
    }
}

/// `1 kit`, `12 kits`
pub fn kits_words(kits: u64) -> String {
    if kits == 1 { "1 kit".into() } else { format!("{kits} kits") }
}

/// A value and the manner in which it is read.
#[derive(Clone, Debug)]
pub struct Figure {
    /// The value.
    pub value: FigureValue,
    /// The ruler in force where it was made.
    pub manner: Manner,
}

/// The kinds of value that a docket holds.
#[derive(Clone, Debug)]
pub enum FigureValue {
    /// A measure, a count, a sum of money.
    Measure(Quantity),
    /// A size: across, along.
    Size(Box<(Quantity, Quantity)>),
    /// A measure that is known give or take.
    Slack(Box<Slack>),
    /// A size whose sides are known give or take.
    SlackSize(Box<(Slack, Slack)>),
    /// Words.
    Text(Rc<str>),
    /// Yes or no.
    YesNo(bool),
    /// Several values.
    List(Vec<FigureValue>),
    /// Named parts, in order.
    Record(Vec<(Rc<str>, FigureValue)>),
    /// An outline.
    Shape(Rc<Outline>),
}

impl Figure {
    /// Whether it is a measure of nothing.
    pub fn is_zero(&self) -> bool {
        self.value.as_measure().is_some_and(Quantity::is_zero)
    }
}

impl FigureValue {
    /// The measure, where it is one.
    pub fn as_measure(&self) -> Option<&Quantity> {
        if let FigureValue::Measure(quantity) = self { Some(quantity) } else { None }
    }

    /// The sides of a size, each with its name.
    pub fn sides(&self) -> Option<[(&'static str, FigureValue); 2]> {
        let (across, along) = match self {
            FigureValue::Size(size) => {
                (FigureValue::Measure(size.0.clone()), FigureValue::Measure(size.1.clone()))
            }
            FigureValue::SlackSize(size) => {
                (FigureValue::Slack(Box::new(size.0.clone())), FigureValue::Slack(Box::new(size.1.clone())))
            }
            _ => return None,
        };
        Some([("across", across), ("along", along)])
    }
}

/// A measure that is known give or take, and what its slack comes from.
#[derive(Clone, Debug)]
pub struct Slack {
    /// Its middle.
    pub middle: Quantity,
    /// How far off it may be, either way.
    pub slack: Quantity,
    /// Which source adds how much, the most first.
    pub shares: Vec<Share>,
}

/// A part of a slack.
#[derive(Clone, Debug)]
pub struct Share {
    /// What it comes from: the name of a line, or the slack as it is written.
    pub words: Rc<str>,
    /// The line of the script, where there is one.
    pub line: Option<usize>,
    /// How much of the slack.
    pub amount: Quantity,
}

/// A given and its value.
#[derive(Clone, Debug, Serialize)]
pub struct Given {
    /// The name.
    pub name: Rc<str>,
    /// The `##` words above it.
    pub words: Option<Rc<str>>,
    /// What it was in this run.
    pub value: Figure,
    /// Whether it was set from outside, not left at its default.
    pub set: bool,
    /// Its line in the recipe.
    pub line: usize,
}

/// A `show` line.
#[derive(Clone, Debug, Serialize)]
pub struct Shown {
    /// Its words, or the expression's own text.
    pub label: Rc<str>,
    /// Its value.
    pub value: Figure,
    /// Its line in the recipe.
    pub line: usize,
}

/// A `buy` line, or cloth of a fixed size that is paid for.
#[derive(Clone, Debug, Serialize)]
pub struct Buy {
    /// What.
    pub label: Rc<str>,
    /// What the recipe needs.
    pub needed: Figure,
    /// What to buy: a length goes up to the shop's step, a count to a whole, what is in packs to whole packs.
    pub buy: Figure,
    /// The packs, where it is sold in packs.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub packs: Option<Packs>,
    /// The price of one, of a length or weight, or of a pack.
    pub price: Option<Figure>,
    /// The cost, rounded to the currency's minor unit.
    pub cost: Option<Figure>,
    /// Its line in the recipe.
    pub line: usize,
}

/// What is sold in packs.
#[derive(Clone, Debug, Serialize)]
pub struct Packs {
    /// How many packs.
    pub count: Figure,
    /// What one holds.
    pub of: Figure,
    /// What is left over of them.
    pub left: Figure,
    /// Whether the price is that of a pack.
    pub priced: bool,
}

impl Packs {
    /// `1 pack`, `3 packs`, by the count as it reads.
    pub fn words(&self, count: &str) -> String {
        if count == "1" { "1 pack".into() } else { format!("{count} packs") }
    }
}

/// A note, a step, a caution.
#[derive(Clone, Debug)]
pub struct Words {
    /// The words, their numbers filled in.
    pub words: Rc<str>,
    /// The line that says them, itself or by a rule that it calls; 0 for none.
    pub line: usize,
}

impl std::ops::Deref for Words {
    type Target = str;

    fn deref(&self) -> &str {
        &self.words
    }
}

impl From<&str> for Words {
    fn from(words: &str) -> Words {
        Words { words: words.into(), line: 0 }
    }
}

/// A `check` and how it came out.
#[derive(Clone, Debug, Serialize)]
pub struct Check {
    /// Whether it surely holds.
    pub passed: bool,
    /// Whether slack leaves it open: it is not sure that it holds, nor that it fails.
    pub open: bool,
    /// Its message, or the condition's own text.
    pub message: Rc<str>,
    /// The true values compared, where it failed: "31 in is more than 30 in".
    pub detail: Option<Rc<str>>,
    /// Its line in the recipe.
    pub line: usize,
}
