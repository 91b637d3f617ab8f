//! The lines about cloth: what is cut, what is in hand, how it is laid out.

use super::{Expr, Text};
use crate::fault::Span;
use crate::syntax::signs::written;

/// `cut COUNT "LABEL" from CLOTH: SIZE`, and how the piece lies.
#[derive(Clone, Debug)]
pub struct Cut {
    /// How many.
    pub count: Expr,
    /// What the piece is called.
    pub label: Text,
    /// Which cloth.
    pub cloth: Expr,
    /// Its cut size.
    pub size: Expr,
    /// How it lies, and where that is written.
    pub ways: Vec<(CutWay, Span)>,
}

written! {
    /// How a piece lies on its cloth: as written and never turned, also where the cloth has one way up, off the
    /// selvage first and lengthwise, or in pairs, left and right.
    CutWay: OnGrain = "on grain", MayTurn = "may turn", AlongSelvage = "along selvage", Mirrored = "mirrored"
}

/// `have COUNT of CLOTH: SIZE`, with `at PRICE` where each is paid for.
#[derive(Clone, Debug)]
pub struct Have {
    /// How many.
    pub count: Expr,
    /// Of which cloth.
    pub cloth: Expr,
    /// The size of each, across by along.
    pub size: Expr,
    /// The price of one, where it is bought.
    pub price: Option<Expr>,
}

/// `plan CLOTH`, and how it is laid out.
#[derive(Clone, Debug)]
pub struct PlanLine {
    /// Which cloth.
    pub cloth: Expr,
    /// How, and where that is written.
    pub ways: Vec<(PlanWay, Span)>,
}

/// How a cloth is laid out.
#[derive(Clone, Debug)]
pub enum PlanWay {
    /// `in strips`
    Strips,
    /// `edge to edge`
    EdgeToEdge,
    /// `any way`
    AnyWay,
    /// `folded`
    Folded,
    /// `from cloth in hand`
    FromHand,
    /// `for 12 kits`
    Kits(Expr),
    /// `on 2 1/2 yd`
    On(Expr),
    /// `more "napkin"`
    More(Text),
}

impl PlanWay {
    /// Its words, without what goes with them.
    pub fn words(&self) -> &'static str {
        match self {
            PlanWay::Strips => "in strips",
            PlanWay::EdgeToEdge => "edge to edge",
            PlanWay::AnyWay => "any way",
            PlanWay::Folded => "folded",
            PlanWay::FromHand => "from cloth in hand",
            PlanWay::Kits(_) => "for … kits",
            PlanWay::On(_) => "on …",
            PlanWay::More(_) => "more …",
        }
    }

    /// Whether it says by which kind of cuts.
    pub fn is_kind(&self) -> bool {
        matches!(self, PlanWay::Strips | PlanWay::EdgeToEdge | PlanWay::AnyWay)
    }
}

/// What the cloth is cut with.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Tool {
    /// A rotary cutter with a ruler: every cut runs from edge to edge.
    #[default]
    Rotary,
    /// Scissors: any way.
    Scissors,
}
