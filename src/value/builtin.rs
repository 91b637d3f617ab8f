//! The built-ins, a row each: the few words that the library cannot say, roots, angles, folds.

use crate::value::cause::{Slip, Want};
use crate::value::data::Value;

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
    /// A shape, or a size: a rectangle.
    Shape,
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
            Ask::List => Want {
                words: "a list",
                slip: Slip::Write("a list is written with square brackets: `[3 in, 4 in]`"),
            },
            Ask::Lists => "a list of lists".into(),
            Ask::Measures => Want::MEASURE,
            Ask::Text => "text".into(),
            Ask::Shape => Want {
                words: "a shape or a size",
                slip: Slip::Write(
                    "make one: `polygon([…])`, `circle(10 in)`, or the part `.outline` of a rule",
                ),
            },
            Ask::Anything => "a value".into(),
        }
    }
}

/// Each row: the constant, its name, least and most arguments, what the first of them must be, how it is
/// called, what it does, and an example with its answer.
macro_rules! builtins {
    ($($builtin:ident $name:literal $least:literal..=$most:literal $ask:ident $heading:literal
        $words:literal $example:literal = $answer:literal;)+) => {
        /// A built-in.
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub enum Builtin {
            $(#[doc = concat!("`", $heading, "`: ", $words)] $builtin),+
        }

        /// All built-ins, in the order of help.
        pub const ALL: &[About] = &[$(About {
            builtin: Builtin::$builtin,
            name: $name,
            heading: $heading,
            words: $words,
            example: ($example, $answer),
            takes: ($least, $most),
            ask: Ask::$ask,
        }),+];
    };
}

builtins! {
    Sqrt "sqrt" 1..=1 Measure "sqrt(x)"
        "the square root: exact where possible, otherwise approximate"
        "sqrt(16 in^2)" = "4 in";
    Abs "abs" 1..=1 Measure "abs(x)"
        "the same measure without its minus sign"
        "abs(2 in - 5 in)" = "3 in";
    Sin "sin" 1..=1 Angle "sin(angle)"
        "the sine of an angle"
        "sin(30 deg)" = "1/2";
    Cos "cos" 1..=1 Angle "cos(angle)"
        "the cosine of an angle"
        "cos(60 deg)" = "1/2";
    Tan "tan" 1..=1 Angle "tan(angle)"
        "the tangent of an angle"
        "tan(45 deg)" = "1";
    Floor "floor" 1..=1 Number "floor(x)"
        "the whole number at or below a number without a unit"
        "floor(-3 / 2)" = "-2";
    Ceil "ceil" 1..=1 Number "ceil(x)"
        "the whole number at or above a number without a unit"
        "ceil(7 / 2)" = "4";
    Round "round" 1..=1 Number "round(x)"
        "the nearest whole number, halves away from zero; for a measure use `nearest`"
        "round(5 / 2)" = "3";
    Sum "sum" 1..=1 List "sum(list)"
        "all items of a list added up; an empty list gives 0"
        "sum([1 in, 2 in])" = "3 in";
    Count "count" 1..=1 List "count(list)"
        "how many items a list has"
        "count([1 in, 2 in])" = "2";
    Largest "largest" 1..=64 Measures "largest(list) or largest(a, b, …)"
        "the largest of several measures of one kind"
        "largest(3 in, 8 cm)" = "8 cm";
    Smallest "smallest" 1..=64 Measures "smallest(list) or smallest(a, b, …)"
        "the smallest of several measures of one kind"
        "smallest(3 in, 8 cm)" = "3 in";
    Joined "joined" 1..=1 Lists "joined(lists)"
        "one list of all the items of several lists"
        "count(joined([[1, 2], [3]]))" = "3";
    CutLengths "cut_lengths" 2..=4 Length "cut_lengths(strip, lengths) or cut_lengths(strip, lengths, loss, shortest)"
        "the fewest strips that give all lengths, and how each is cut; joined where a join takes `loss` and \
         no joined piece is shorter than `shortest`. A length is written alone, or with its count"
        "cut_lengths(42 in, [{length: 20 in, count: 3}, {length: 10 in, count: 2}]).strips" = "2";
    Polygon "polygon" 1..=2 List "polygon(corners) or polygon(corners, names)"
        "a shape with straight edges; each corner is a size: how far across and along it is. \
         The names are those of the edges, each from its corner to the next"
        "polygon([3 in by 0 in, 6 in by 8 in, 0 in by 8 in]).area" = "24 in^2";
    Regular "regular" 2..=2 Number "regular(sides, side)"
        "a shape with this number of equal edges, at equal angles"
        "regular(4, 5 in).size" = "5 in by 5 in";
    Circle "circle" 1..=1 Length "circle(diameter)"
        "a round shape"
        "circle(10 in).across" = "10 in";
    Ring "ring" 2..=2 Length "ring(outer, inner)"
        "a round shape with a round hole in its middle; both are diameters"
        "ring(10 in, 4 in).along" = "10 in";
    Sector "sector" 2..=3 Length "sector(radius, angle) or sector(radius, angle, inner)"
        "a part of a circle, less what is inside an inner radius; its edges are `outer`, `left`, `inner` and `right`"
        "sector(10 in, 180 deg).size" = "20 in by 10 in";
    Rectangle "rectangle" 1..=1 Shape "rectangle(size)"
        "a size as a shape; its edges are `top`, `right`, `bottom` and `left`"
        "rectangle(4 in by 6 in).perimeter" = "20 in";
    Moved "moved" 2..=2 Shape "moved(shape, by)"
        "the shape farther across and along by the two sides of a size"
        "moved(4 in by 6 in, 1 in by 2 in).corners[1]" = "1 in by 2 in";
    Turned "turned" 2..=2 Shape "turned(shape, angle)"
        "the shape turned as a clock's hands turn"
        "turned(4 in by 6 in, 90 deg).size" = "6 in by 4 in";
    Mirrored "mirrored" 1..=1 Shape "mirrored(shape)"
        "the shape with left and right exchanged"
        "mirrored(4 in by 6 in).size" = "4 in by 6 in";
    Unfolded "unfolded" 2..=2 Shape "unfolded(shape, edge)"
        "the shape opened at a straight edge that is on the fold"
        "unfolded(4 in by 6 in, \"left\").size" = "8 in by 6 in";
    Attached "attached" 4..=4 Shape "attached(shape, edge, other, its_edge)"
        "the shape with another one beside it, joined at two straight edges of one length"
        "attached(4 in by 6 in, \"right\", 6 in by 3 in, \"top\").size" = "7 in by 6 in";
    Edged "edged" 3..=4 Shape "edged(shape, edges, finish) or edged(shape, edges, finish, allowance)"
        "the shape with a finish on one edge, on each of a list, or on `\"all\"`: raw, seamed, hemmed, bound, fold \
         or selvage, with what is cut outside it"
        "edged(4 in by 6 in, \"all\", \"seamed\", 1/4 in).cut.size" = "4 1/2 in by 6 1/2 in";
    Notched "notched" 3..=3 Shape "notched(shape, edge, at)"
        "the shape with a notch at a distance along an edge"
        "notched(4 in by 6 in, \"top\", 2 in).size" = "4 in by 6 in";
    Creased "creased" 3..=3 Shape "creased(shape, from, to)"
        "the shape with a fold line between two places"
        "creased(4 in by 6 in, 0 in by 3 in, 4 in by 3 in).size" = "4 in by 6 in";
    Grained "grained" 2..=2 Shape "grained(shape, angle)"
        "the shape with an arrow for the grain: along the shape at 0 deg, and turned as a clock's hands turn"
        "grained(4 in by 6 in, 45 deg).size" = "4 in by 6 in";
    Refuse "refuse" 1..=1 Text "refuse(\"reason\")"
        "stops with a reason in words, where no number would be right"
        "if 1 < 2 then 5 in else refuse(\"too narrow to turn\")" = "5 in";
    WithCaution "with_caution" 2..=3 Anything "with_caution(x, \"words\") or with_caution(x, \"words\", when)"
        "x itself; the words become a caution on the docket, always or only where `when` is yes"
        "with_caution(5 in, \"do not pull\", 1 > 2)" = "5 in";
}

impl Builtin {
    /// Its row.
    pub fn about(self) -> Option<&'static About> {
        ALL.iter().find(|about| about.builtin == self)
    }

    /// Whether it makes a shape.
    pub fn makes_shape(self) -> bool {
        matches!(
            self,
            Builtin::Polygon | Builtin::Regular | Builtin::Circle | Builtin::Ring | Builtin::Sector
        ) || self.ask() == Ask::Shape
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
