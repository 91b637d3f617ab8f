//! What can go wrong when a formula is checked or evaluated, as data; [`crate::value::words`] says it.

use std::rc::Rc;

use crate::fault::Span;
use crate::measure::{Dim, Exact, Quantity, Trouble};
use crate::shape::Wrong;
use crate::syntax::tree::BinaryOp;
use crate::value::describe::{Describe, Facts};
use crate::value::kind::Kind;

/// What a place takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Want<'a> {
    /// `a length`, `a yes or no`.
    pub words: &'a str,
    /// What corrects the commonest slip.
    pub slip: Slip,
}

/// The commonest slip at a place, for a hint.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Slip {
    /// None in particular.
    None,
    /// A measure where something is to be asked of it.
    Unasked,
    /// A number without its unit.
    Bare,
    /// Another slip: what to write instead.
    Write(&'static str),
}

impl<'a> From<&'a str> for Want<'a> {
    fn from(words: &'a str) -> Want<'a> {
        Want { words, slip: Slip::None }
    }
}

impl<'a> Want<'a> {
    /// A yes or no.
    pub const YES_NO: Want<'static> = Want { words: "a comparison (yes or no)", slip: Slip::Unasked };
    /// A length.
    pub const LENGTH: Want<'static> = Want::length("a length");
    /// A measure of anything.
    pub const MEASURE: Want<'static> = Want { words: "a measure", slip: Slip::None };
    /// A measure of anything, a bare number too.
    pub const NUMBER: Want<'static> = Want { words: "a measure or a number", slip: Slip::None };
    /// What `how many` cuts, and what it cuts from.
    pub const COUNTED: Want<'static> = Want {
        words: "a length or another single measure",
        slip: Slip::Write(
            "for pieces with two sides write `pieces_in_hand(5 in by 5 in, hand: 42 in by 36 in)`",
        ),
    };
    /// A list to go through.
    pub const LOOP: Want<'static> = Want {
        words: "a list",
        slip: Slip::Write("write `each k from 1 to n: …` for a range, or `[a, b]` for a list"),
    };
    /// What a unit can be put after.
    pub const BEFORE_UNIT: Want<'static> = Want {
        words: "a plain number before the unit",
        slip: Slip::Write("the brackets already hold a unit: leave this one out"),
    };
    /// What can be rounded to a whole number.
    pub const PLAIN_NUMBER: Want<'static> = Want {
        words: "a number without a unit",
        slip: Slip::Write("to round a measure write `x up 1/8 in`, `x down …` or `x nearest …`"),
    };
    /// What a measure is rounded to.
    pub const STEP: Want<'static> = Want { words: "a step such as `1/8 in`", slip: Slip::None };
    /// What a measure is read by.
    pub const READING: Want<'static> = Want { words: "a unit or a step such as `1/16 in`", slip: Slip::None };

    /// A length, reported as what it is for.
    pub const fn length(words: &'a str) -> Want<'a> {
        Want { words, slip: Slip::Bare }
    }
}

/// What went wrong, with its places and what stood there.
#[derive(Debug)]
pub enum Cause {
    /// Two operands that do not go together.
    Pair(Pair, Facts, Facts),
    /// An operand that does not serve.
    One(One, Facts),
    /// Something wrong at a place.
    At(At, Span),
}

/// What is wrong with two operands.
#[derive(Debug)]
pub enum Pair {
    /// An operator does not go between them.
    Operation(BinaryOp),
    /// A percentage, as it reads, is added to or taken from something else.
    Percent(BinaryOp, String),
    /// They cannot be compared.
    Comparison,
    /// The ends of a range are of two kinds.
    Ends,
    /// They are too close together to compare.
    TooClose,
    /// A step of another kind than what is rounded to it.
    Step,
    /// How far off a measure may be, of another kind than the measure.
    OffBy,
    /// A piece that is no part of what it is cut from, in all of `how many … from …`.
    NotCutFrom(Span),
    /// Slack leaves open how many come out: the least and the most.
    OpenHowMany(Quantity, Quantity, Span),
}

/// What is wrong with an operand.
#[derive(Debug)]
pub enum One {
    /// It is of another kind than its place takes.
    Wanted(String, Slip),
    /// It may be 0 within its slack; what would be divided by it.
    MayBeZero(Span),
    /// A minus before it, there.
    Minus(Span),
    /// It cannot be read as one of these.
    Shown(Dim),
    /// It has no items.
    NotAList,
    /// It has no part of this name, written there.
    NoPart(Rc<str>, Span),
    /// Slack leaves open which whole number it is: the least and the most.
    OpenCount(Quantity, Quantity),
    /// It has no square root.
    NoRoot,
    /// It may be less than 0 and then has no square root.
    MaybeNoRoot,
    /// It is no argument for a parameter.
    Argument {
        /// The parameter.
        param: Rc<str>,
        /// The rule.
        rule: Rc<str>,
        /// What the heading states.
        kind: Kind,
        /// Where it is stated.
        declared: Span,
    },
    /// It is beyond a limit of a parameter.
    Beyond {
        /// The parameter.
        param: Rc<str>,
        /// The rule.
        rule: Rc<str>,
        /// `0 in or more`.
        limit: String,
        /// Where it is stated.
        declared: Span,
    },
    /// A rule of this name gives it, and states another kind.
    Result(Rc<str>, Kind),
    /// A rule of this name gives it, and it is less than 0.
    Negative(Rc<str>),
    /// A bare number stands for a percentage.
    BarePercent {
        /// What takes it: `shrink` of `cloth`.
        place: String,
        /// What to write instead: `10%`.
        instead: String,
    },
}

/// What is wrong at a place.
#[derive(Debug)]
pub enum At {
    /// A divisor is 0; what would be divided.
    ZeroDivisor(Span),
    /// An exponent that a measure with slack cannot be raised to.
    SlackExponent,
    /// A yes or no that slack leaves open: both sides in words.
    NotSure(Rc<str>),
    /// A number that cannot be made.
    Number(Trouble),
    /// A step, reported as what it is for, that is not more than 0.
    NoStep(&'static str),
    /// How far off a measure may be is less than 0.
    OffBelow,
    /// A range of measures without its step.
    NoEvery,
    /// A range that runs down: its ends as they read.
    RunsDown(String, String),
    /// An item that a list does not have: which, of how many.
    NoItem(String, usize),
    /// A piece that is not more than 0; how it reads, where it has slack.
    NoPiece(Option<String>),
    /// A root of less than 0.
    NegativeRoot,
    /// A tangent of a right angle.
    NoTangent,
    /// A list that does not add up: the names of two of its items.
    MixedList(String, String),
    /// A shape that cannot be made.
    Shape(Wrong),
    /// The largest of nothing.
    EmptyList,
    /// A number that is no count: what is counted, how the number reads.
    Count(String, Uncounted, String),
}

/// Why a number is no count.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Uncounted {
    /// It is less than 0.
    Below,
    /// It is a fraction.
    Part,
    /// It is more than can be counted.
    TooMany,
}

impl Uncounted {
    /// Why a number is no count.
    pub fn of(number: &Quantity) -> Uncounted {
        match number.number.exact().is_some_and(Exact::is_whole) {
            _ if number.is_negative() => Uncounted::Below,
            true => Uncounted::TooMany,
            false => Uncounted::Part,
        }
    }
}

impl Cause {
    /// Two operands that do not go together.
    pub fn pair(pair: Pair, left: &impl Describe, right: &impl Describe) -> Cause {
        Cause::Pair(pair, left.facts(), right.facts())
    }

    /// An operand that does not serve.
    pub fn one(one: One, found: &impl Describe) -> Cause {
        Cause::One(one, found.facts())
    }

    /// Something of the wrong kind for its place.
    pub fn wanted<'w>(want: impl Into<Want<'w>>, found: &impl Describe) -> Cause {
        let want = want.into();
        Cause::One(One::Wanted(want.words.to_owned(), want.slip), found.facts())
    }

    /// Why an operation came to nothing.
    pub fn operation(trouble: Trouble, op: BinaryOp, left: &impl Describe, right: &impl Describe) -> Cause {
        Cause::of_two(trouble, Pair::Operation(op), left, right)
    }

    /// Why a comparison came to nothing.
    pub fn comparison(trouble: Trouble, left: &impl Describe, right: &impl Describe) -> Cause {
        let pair = if trouble == Trouble::TooClose { Pair::TooClose } else { Pair::Comparison };
        let trouble = if trouble == Trouble::TooClose { Trouble::UnitMix } else { trouble };
        Cause::of_two(trouble, pair, left, right)
    }

    /// Why two came to nothing: `pair` where they do not go together.
    pub fn of_two(trouble: Trouble, pair: Pair, left: &impl Describe, right: &impl Describe) -> Cause {
        let (left, right) = (left.facts(), right.facts());
        match trouble {
            Trouble::UnitMix | Trouble::MoneyMix => Cause::Pair(pair, left, right),
            Trouble::DivisionByZero => Cause::At(At::ZeroDivisor(left.span), right.span),
            other => Cause::At(At::Number(other), left.span.to(right.span)),
        }
    }
}
