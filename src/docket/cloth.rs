//! What is cut from a cloth, and how it is laid out.

use std::rc::Rc;

use serde::{Serialize, Serializer};

use super::Figure;
use crate::docket::json_picture::shapes;
use crate::layout::{Kind, Plan};
use crate::shape::Outline;

/// All that is cut from one cloth, and what to buy of it.
#[derive(Clone, Debug)]
pub struct ClothPlan {
    /// The cloth's name.
    pub cloth: Rc<str>,
    /// Usable width, after selvages and shrinkage.
    pub usable: Figure,
    /// The pieces, in order of the recipe.
    pub pieces: Vec<Piece>,
    /// Cloth of a fixed size: in hand, or sold by the piece.
    pub hands: Vec<Hand>,
    /// The strips to cut across the cloth, in order of cutting; none where it is cut otherwise.
    pub strips: Vec<Strip>,
    /// What is where, in grid units; its pieces are those of the cut list, its sheets the cloth in hand.
    pub plan: Plan,
    /// How long one grid unit is.
    pub unit: Figure,
    /// Whether the cloth is folded lengthwise, so that each piece laid out is cut twice.
    pub folded: bool,
    /// The length that the plan takes of the cloth to buy, after washing where it is washed.
    pub length: Figure,
    /// The length to buy: shrinkage put back, then up to the shop's step.
    pub buy: Figure,
    /// The shop's step, where there is one.
    pub step: Option<Figure>,
    /// The price of a length, where known.
    pub price: Option<Figure>,
    /// The cost of the line, rounded to the currency's minor unit.
    pub cost: Option<Figure>,
    /// What cloth in hand would cost, where the roll is cheaper.
    pub in_hand_costs_more: Option<InHandCosts>,
    /// What a `plan` line asked for.
    pub planned: Option<Planned>,
    /// Whether the cloth shrinks, so that it is washed before it is cut.
    pub washed: bool,
    /// Whether it has one way up, or a nap: its pieces all lie one way.
    pub directional: bool,
    /// The first line that cuts from it.
    pub line: usize,
}

/// Cloth in hand that costs more than what is bought by length.
#[derive(Clone, Debug, Serialize)]
pub struct InHandCosts {
    /// What all pieces would cost, cut from the cloth in hand alone.
    pub in_hand: Figure,
    /// What they cost as planned.
    pub planned: Figure,
}

/// A piece of the cut list.
#[derive(Clone, Debug, Serialize)]
pub struct Piece {
    /// What it is called.
    pub label: Rc<str>,
    /// What one of them is called, where that is another word.
    #[serde(skip)]
    pub alone: Option<Rc<str>>,
    /// How many.
    pub count: u64,
    /// Cut size across the cloth, as written.
    pub across: Figure,
    /// Cut size along the cloth, as written.
    pub along: Figure,
    /// How it is placed.
    pub direction: Direction,
    /// Whether half of them are the mirror of the other half.
    pub mirrored: bool,
    /// How many more are cut than wanted: the second of an odd pair on folded cloth.
    pub spare: u64,
    /// Its `cut` line.
    pub line: usize,
    /// What is cut from the rectangle of its size, in it: nothing where that is the rectangle itself, two
    /// outlines where two lie head to tail.
    #[serde(skip_serializing_if = "Vec::is_empty", serialize_with = "shapes")]
    pub outlines: Vec<Outline>,
}

/// How a piece may be placed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub enum Direction {
    /// As written, or turned a quarter.
    #[default]
    #[serde(rename = "any way")]
    AnyWay,
    /// As written.
    #[serde(rename = "on grain")]
    OnGrain,
    /// As written, and off the selvage before the cloth is cut across.
    #[serde(rename = "along selvage")]
    AlongSelvage,
}

/// Cloth of a fixed size.
#[derive(Clone, Debug, Serialize)]
pub struct Hand {
    /// How many there are.
    pub count: u64,
    /// Size across.
    pub across: Figure,
    /// Size along.
    pub along: Figure,
    /// How many of them the plan uses.
    pub used: u64,
    /// Whether those used are paid for: a line of the bill, of the same line of the recipe.
    #[serde(skip)]
    pub paid: bool,
    /// Its `have` line.
    pub line: usize,
}

/// Equal strips cut across the whole cloth.
#[derive(Clone, Debug, Serialize)]
pub struct Strip {
    /// How many such strips.
    pub count: u64,
    /// How wide each is cut, along the cloth.
    pub width: Figure,
    /// What each is cut into: the index of the piece in the cut list, how many from one strip, and
    /// whether the piece is turned a quarter.
    pub holds: Vec<Held>,
}

/// Pieces of one kind in a strip.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Held {
    /// Index into [`ClothPlan::pieces`].
    pub piece: usize,
    /// How many from one strip.
    pub count: u64,
    /// Whether it is turned a quarter.
    pub turned: bool,
}

/// What the cloth is cut with.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Tool {
    /// A rotary cutter with a ruler.
    #[default]
    Rotary,
    /// Scissors.
    Scissors,
}

/// What a `plan` line asked for.
#[derive(Clone, Debug, Serialize)]
pub struct Planned {
    /// What the cloth is cut with.
    pub tool: Tool,
    /// How many kits the cut list holds.
    pub kits: u64,
    /// The ways to cut it that the tool allows, the plainest first.
    pub ways: Vec<Way>,
    /// How much shorter would do with the next step less, where there is one.
    pub nearer: Option<Nearer>,
    /// Whether a length is enough.
    pub on: Option<OnHand>,
    /// How many more of some pieces fit.
    pub more: Vec<More>,
}

/// One way to cut a cloth.
#[derive(Clone, Debug, Serialize)]
pub struct Way {
    /// By which kind of cuts.
    #[serde(serialize_with = "kind")]
    pub kind: Kind,
    /// The length it takes, after washing.
    pub length: Figure,
    /// What is bought for that.
    pub buy: Figure,
    /// What all cloth costs, where the plan goes by that and not by the length.
    pub cost: Option<Figure>,
    /// No plan of the kind takes less: money where there is a cost, else length.
    pub bound: Figure,
    /// Whether no plan of the kind takes less than this one.
    pub proved: bool,
    /// Whether no plan of the kind needs less to be bought.
    pub buys_least: bool,
    /// Whether this is the way taken.
    pub taken: bool,
}

/// The next step of the shop below what is bought.
#[derive(Clone, Debug, Serialize)]
pub struct Nearer {
    /// So much shorter, the plan would need only
    pub shorter: Figure,
    /// this length.
    pub buy: Figure,
    /// Whether it is proved that these pieces cannot be laid out so short by this kind of cuts.
    pub never: bool,
}

/// Whether a length, as bought, is enough.
#[derive(Clone, Debug, Serialize)]
pub struct OnHand {
    /// The length.
    pub length: Figure,
    /// Whether it is.
    pub enough: bool,
    /// What is over, or what is lacking.
    pub differs: Figure,
    /// Whether it is proved that no plan by these cuts would do, where it is not enough.
    pub never: bool,
}

/// How many more of a piece fit.
#[derive(Clone, Debug, Serialize)]
pub struct More {
    /// The piece.
    pub label: Rc<str>,
    /// So many more.
    pub count: u64,
    /// On this length, as bought, beside the cloth in hand; without one on the cloth in hand alone.
    pub length: Option<Figure>,
    /// Whether it is proved that one more does not fit.
    pub most: bool,
}

fn kind<S: Serializer>(kind: &Kind, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(kind_name(*kind))
}

/// A kind of cuts in words; they are in the JSON form too.
pub fn kind_name(kind: Kind) -> &'static str {
    match kind {
        Kind::Strips => "strips",
        Kind::EdgeToEdge => "edge to edge",
        Kind::Any => "any way",
    }
}
