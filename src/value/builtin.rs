//! The built-ins, a row each: the few words that the library cannot say, roots, angles, folds.

use crate::value::cause::Want;
use crate::value::data::Value;

/// A built-in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Builtin {
    /// `sqrt(x)`: exact where it comes out.
    Sqrt,
    /// `abs(x)`
    Abs,
    /// `sin(angle)`
    Sin,
    /// `cos(angle)`
    Cos,
    /// `tan(angle)`
    Tan,
    /// `floor(x)` of a number without a unit.
    Floor,
    /// `ceil(x)` of a number without a unit.
    Ceil,
    /// `round(x)` of a number without a unit, halves away from zero.
    Round,
    /// `sum(xs)`
    Sum,
    /// `count(xs)`
    Count,
    /// `largest(xs)` or `largest(a, b, …)`
    Largest,
    /// `smallest(xs)` or `smallest(a, b, …)`
    Smallest,
    /// `joined(lists)`: one list of all their items.
    Joined,
    /// `cut_lengths(strip, lengths)`, and with joins `cut_lengths(strip, lengths, loss, shortest)`
    CutLengths,
    /// `refuse("…")`: stops with words, for what must never be a silent number.
    Refuse,
    /// `with_caution(x, "…")` or `with_caution(x, "…", when)`: the value, and words for the docket.
    WithCaution,
}

/// What help says of a built-in.
#[derive(Debug)]
pub struct About {
    /// The built-in.
    pub builtin: Builtin,
    /// Its name.
    pub name: &'static str,
    /// How it is called.
    pub heading: &'static str,
    /// What it does.
    pub words: &'static str,
    /// An example and its answer.
    pub example: (&'static str, &'static str),
    /// Least and most arguments.
    pub takes: (usize, usize),
    /// What the first of them must be.
    pub ask: Ask,
}

/// What a built-in asks of its first argument.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ask {
    /// A measure of anything.
    Measure,
    /// An angle.
    Angle,
    /// A number without a unit.
    Number,
    /// A length.
    Length,
    /// A list.
    List,
    /// A list of lists.
    Lists,
    /// A list of measures, or several of them.
    Measures,
    /// Words.
    Text,
    /// Anything.
    Anything,
}

impl Ask {
    /// How a fault says it.
    pub fn want(self) -> Want<'static> {
        match self {
            Ask::Measure => Want::NUMBER,
            Ask::Angle => "an angle such as `45 deg`".into(),
            Ask::Number => Want::PLAIN_NUMBER,
            Ask::Length => Want::length("the length of a strip"),
            Ask::List => "a list".into(),
            Ask::Lists => "a list of lists".into(),
            Ask::Measures => Want::MEASURE,
            Ask::Text => "text".into(),
            Ask::Anything => "a value".into(),
        }
    }
}

/// All built-ins, in the order of help.
pub const ALL: &[About] = &[
    about(
        Builtin::Sqrt,
        "sqrt",
        "sqrt(x)",
        "the square root: exact where possible, otherwise approximate",
        ("sqrt(16 in^2)", "4 in"),
        (1, 1),
        Ask::Measure,
    ),
    about(
        Builtin::Abs,
        "abs",
        "abs(x)",
        "the same measure without its minus sign",
        ("abs(2 in - 5 in)", "3 in"),
        (1, 1),
        Ask::Measure,
    ),
    about(
        Builtin::Sin,
        "sin",
        "sin(angle)",
        "the sine of an angle",
        ("sin(30 deg)", "1/2"),
        (1, 1),
        Ask::Angle,
    ),
    about(
        Builtin::Cos,
        "cos",
        "cos(angle)",
        "the cosine of an angle",
        ("cos(60 deg)", "1/2"),
        (1, 1),
        Ask::Angle,
    ),
    about(
        Builtin::Tan,
        "tan",
        "tan(angle)",
        "the tangent of an angle",
        ("tan(45 deg)", "1"),
        (1, 1),
        Ask::Angle,
    ),
    about(
        Builtin::Floor,
        "floor",
        "floor(x)",
        "the whole number at or below a number without a unit",
        ("floor(-3 / 2)", "-2"),
        (1, 1),
        Ask::Number,
    ),
    about(
        Builtin::Ceil,
        "ceil",
        "ceil(x)",
        "the whole number at or above a number without a unit",
        ("ceil(7 / 2)", "4"),
        (1, 1),
        Ask::Number,
    ),
    about(
        Builtin::Round,
        "round",
        "round(x)",
        "the nearest whole number, halves away from zero; for a measure use `nearest`",
        ("round(5 / 2)", "3"),
        (1, 1),
        Ask::Number,
    ),
    about(
        Builtin::Sum,
        "sum",
        "sum(list)",
        "all items of a list added up; an empty list gives 0",
        ("sum([1 in, 2 in])", "3 in"),
        (1, 1),
        Ask::List,
    ),
    about(
        Builtin::Count,
        "count",
        "count(list)",
        "how many items a list has",
        ("count([1 in, 2 in])", "2"),
        (1, 1),
        Ask::List,
    ),
    about(
        Builtin::Largest,
        "largest",
        "largest(list) or largest(a, b, …)",
        "the largest of several measures of one kind",
        ("largest(3 in, 8 cm)", "8 cm"),
        (1, 64),
        Ask::Measures,
    ),
    about(
        Builtin::Smallest,
        "smallest",
        "smallest(list) or smallest(a, b, …)",
        "the smallest of several measures of one kind",
        ("smallest(3 in, 8 cm)", "3 in"),
        (1, 64),
        Ask::Measures,
    ),
    about(
        Builtin::Joined,
        "joined",
        "joined(lists)",
        "one list of all the items of several lists",
        ("count(joined([[1, 2], [3]]))", "3"),
        (1, 1),
        Ask::Lists,
    ),
    about(
        Builtin::CutLengths,
        "cut_lengths",
        "cut_lengths(strip, lengths) or cut_lengths(strip, lengths, loss, shortest)",
        "the fewest strips that give all lengths, and how each is cut; joined where a join takes `loss` and \
         no joined piece is shorter than `shortest`. A length is written alone, or with its count",
        ("cut_lengths(42 in, [{length: 20 in, count: 3}, {length: 10 in, count: 2}]).strips", "2"),
        (2, 4),
        Ask::Length,
    ),
    about(
        Builtin::Refuse,
        "refuse",
        "refuse(\"reason\")",
        "stops with a reason in words, where no number would be right",
        ("if 1 < 2 then 5 in else refuse(\"too narrow to turn\")", "5 in"),
        (1, 1),
        Ask::Text,
    ),
    about(
        Builtin::WithCaution,
        "with_caution",
        "with_caution(x, \"words\") or with_caution(x, \"words\", when)",
        "x itself; the words become a caution on the docket, always or only where `when` is yes",
        ("with_caution(5 in, \"do not pull\", 1 > 2)", "5 in"),
        (2, 3),
        Ask::Anything,
    ),
];

const fn about(
    builtin: Builtin,
    name: &'static str,
    heading: &'static str,
    words: &'static str,
    example: (&'static str, &'static str),
    takes: (usize, usize),
    ask: Ask,
) -> About {
    About { builtin, name, heading, words, example, takes, ask }
}

impl Builtin {
    /// Its row.
    pub fn about(self) -> Option<&'static About> {
        ALL.iter().find(|about| about.builtin == self)
    }

    /// What it asks of its first argument.
    pub fn ask(self) -> Ask {
        self.about().map_or(Ask::Anything, |about| about.ask)
    }
}

/// The built-in of this name.
pub fn find(name: &str) -> Option<&'static About> {
    ALL.iter().find(|about| about.name == name)
}

/// The names, for suggestions.
pub fn names() -> impl Iterator<Item = &'static str> {
    ALL.iter().map(|about| about.name)
}

/// The items that a fold works on: those of the one list, or the arguments themselves.
pub fn items(args: &[Value]) -> &[Value] {
    match args {
        [Value::List(list)] => &list.items,
        several => several,
    }
}
