//! The lines of a recipe, one file a kind: how a line compiles, what the check knows of it, what it makes.

pub(crate) mod advice;
pub(crate) mod append;
mod blade;
mod bounds;
mod buy;
mod check;
mod cloth;
mod cut;
mod draw;
mod find;
mod given;
mod have;
mod late;
pub(crate) mod maker;
mod measured;
mod name;
mod plan;
mod rule;
mod set;
mod show;
mod sizes;
mod tool;
mod used;
mod why;
mod words;
mod work;

use std::fmt::Debug;
use std::rc::Rc;

use crate::ask::why::{Asked, Origin};
use crate::check::Infer;
use crate::code::{Mention, Node, Piece, Scope};
use crate::eval::machine::Halt;
use crate::fault::{Files, Span};
use crate::recipe::answer::Answer;
use crate::recipe::lines::advice::Look;
use crate::recipe::lines::append::Builder;
use crate::recipe::lines::maker::Maker;
use crate::syntax::tree::{Line, LineKind};
pub use bounds::Given;
pub use sizes::{Size, unknown_given};
use used::UsedAct;

/// The list of all lines.
pub(crate) fn meaning(kind: &LineKind) -> &dyn Meaning {
    match kind {
        LineKind::Words(line) => line,
        LineKind::Given(line) => &**line,
        LineKind::Name(line) => line,
        LineKind::Measured(line) => &**line,
        LineKind::Rule(line) => line,
        LineKind::Cut(line) => &**line,
        LineKind::Have(line) => &**line,
        LineKind::Plan(line) => &**line,
        LineKind::Buy(line) => &**line,
        LineKind::Show(line) => line,
        LineKind::Draw(line) => line,
        LineKind::Check(line) => line,
        LineKind::Set(line) => line,
        LineKind::Tool(line) => line,
        LineKind::Sizes(line) => line,
        LineKind::Use(line) => line,
        LineKind::Work(line) => line,
        LineKind::Why(line) => line,
        LineKind::Find(line) => &**line,
    }
}

/// What a line means, told by its tree.
pub(crate) trait Meaning {
    /// Compiles the line; nothing where it is not worked by itself, or has a fault.
    fn compile(&self, line: &Line, builder: &mut Builder<'_>, scope: &mut Scope) -> Option<Box<dyn Act>>;

    /// Declares the names that it gives, before any line is compiled.
    fn declare(&self, _builder: &mut Builder<'_>) {}

    /// Whether it may stand in a file that is used.
    fn may_be_used(&self) -> bool {
        false
    }

    /// Whether it makes something: a file of names and rules alone is there to be used.
    fn makes(&self) -> bool {
        false
    }

    /// A second look at the line where it is sound.
    fn advise(&self, _look: &mut Look<'_>) {}
}

/// What a line does, compiled.
pub(crate) trait Act: Debug {
    /// What the check knows of it.
    fn check(&self, infer: &mut Infer<'_>);

    /// Works it.
    fn make(&self, line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt>;

    /// Works it once more, for something above it was measured.
    fn again(&self, _line: &Compiled, _maker: &mut Maker<'_>) -> Result<(), Halt> {
        Ok(())
    }

    /// What it writes for the name that it gives.
    fn written(&self) -> Option<&Node> {
        None
    }

    /// How the name that it gives is drawn, where it is the call of a rule that says so.
    fn drawing(&self) -> Option<&Node> {
        None
    }

    /// The slot of the name that it gives its value.
    fn gives(&self) -> Option<u32> {
        None
    }

    /// Its place among the givens, where it is one.
    fn given(&self) -> Option<usize> {
        None
    }

    /// The slot of the name that it measures.
    fn measures(&self) -> Option<u32> {
        None
    }

    /// The formula to be evaluated again where a name that it reads is only tried.
    fn follows(&self) -> Option<&Node> {
        None
    }

    /// The slot of the name that it shows, and whether a part of it alone.
    fn shows(&self) -> Option<(u32, bool)> {
        None
    }

    /// The rule that it gives.
    fn rule(&self) -> Option<u32> {
        None
    }

    /// Whether it sets what later lines read without naming it.
    fn sets(&self) -> bool {
        false
    }

    /// Whether it became the last answer, for `that` at the prompt.
    fn answers(&self) -> bool {
        self.gives().or(self.measures()).is_some()
    }

    /// Whether rows of a later entry may belong to it.
    fn has_rows(&self) -> bool {
        false
    }

    /// How a session writes it into a recipe.
    fn save(&self) -> Save {
        let holds_on = self.gives().is_some() || self.rule().is_some() || self.sets();
        match self.only_asks() {
            _ if holds_on => Save::Always,
            true => Save::Never,
            false => Save::Line,
        }
    }

    /// Whether it needs what earlier lines made.
    fn looks_back(&self) -> bool {
        false
    }

    /// Whether it only asks: what rules caution of then is not made.
    fn only_asks(&self) -> bool {
        false
    }

    /// Whether it only asks or works a sum: nothing that stands in the recipe comes of it.
    fn is_sum(&self) -> bool {
        self.only_asks() && self.gives().is_none()
    }

    /// What `why` tells of a value that the line gave.
    fn explain<'a>(&'a self, _set: bool, _origin: &mut Origin<'a>) {}

    /// What the line asks the working of, or with `all` what the working of the whole recipe tells of it,
    /// and whether briefly.
    fn asked<'a>(&'a self, _line: &Compiled, _all: Option<&[Origin<'a>]>) -> Option<(Asked<'a>, bool)> {
        None
    }
}

/// How a session writes a line into a recipe.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub(crate) enum Save {
    /// As it stands, and not into another recipe.
    Line,
    /// As `Line`; of several with one key the last one counts.
    Last(Rc<str>),
    /// As it stands, into any recipe: what it gives or sets holds from here on.
    Always,
    /// A value without a name: `show` before it, or a name where a later line speaks of it as `that`.
    Answer,
    /// As `use` and the name of a file.
    Use,
    /// Not at all; its value by itself where a later line speaks of it as `that`.
    Never,
}

/// A compiled line.
#[derive(Debug)]
pub(crate) struct Compiled {
    pub act: Box<dyn Act>,
    pub span: Span,
    /// How many slots its frame needs.
    pub slots: u32,
    /// Its row in the script.
    pub line: Option<usize>,
    /// Where it speaks of the recipe's names and rules.
    pub mentions: Vec<(Span, Mention)>,
    /// Whether it is worked last: it speaks of what all that is bought costs.
    pub last: bool,
    /// Where the examples in its documentation do.
    pub examples: Vec<(Span, Mention)>,
    /// Whether it stands in a used file.
    pub foreign: bool,
    /// Whether it was loaded from a file, not entered at the prompt.
    pub loaded: bool,
}

impl Compiled {
    /// Its row in the script, 0 where it has none.
    pub fn row(&self) -> usize {
        self.line.unwrap_or(0)
    }
}

/// The working of a name's last value, for a line that gives one.
fn last_origin<'a>(slot: u32, all: Option<&[Origin<'a>]>) -> Option<(Asked<'a>, bool)> {
    let last = all?.iter().rposition(|origin| origin.slot == Some(slot))?;
    Some((Asked::Origin(last, Vec::new()), false))
}

/// An expression's own text on one line.
pub(crate) fn own_words(files: &Files, span: Span) -> Rc<str> {
    files.one_row(span).into()
}
