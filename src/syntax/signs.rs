//! Operators and signs as they are written, without operands.

use std::cmp::Ordering;

/// Operators before their operand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum UnaryOp {
    /// `-`
    Minus,
    /// `not`
    Not,
}

/// Things that are written in one way each.
macro_rules! written {
    ($(#[$doc:meta])+ $name:ident: $($thing:ident = $words:literal),+) => {
        $(#[$doc])+
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub enum $name {
            $(#[doc = concat!("`", $words, "`")] $thing),+
        }

        impl $name {
            /// As it is written.
            pub fn words(self) -> &'static str {
                match self {
                    $($name::$thing => $words),+
                }
            }
        }
    };
}
pub(super) use written;

written! {
    /// Operators between two operands. `of` is read as [`BinaryOp::Of`]: `5% of 4 yd`.
    BinaryOp: Add = "+", Subtract = "-", Multiply = "*", Divide = "/", Power = "^", Of = "of", And = "and", Or = "or"
}

/// Comparisons.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CompareOp {
    /// `is`
    Is,
    /// `is not`
    IsNot,
    /// `<`
    Less,
    /// `<=`
    AtMost,
    /// `>`
    More,
    /// `>=`
    AtLeast,
}

impl CompareOp {
    /// Whether it holds for two operands in this order.
    pub fn holds(self, order: Ordering) -> bool {
        match self {
            CompareOp::Is => order.is_eq(),
            CompareOp::IsNot => order.is_ne(),
            CompareOp::Less => order.is_lt(),
            CompareOp::AtMost => order.is_le(),
            CompareOp::More => order.is_gt(),
            CompareOp::AtLeast => order.is_ge(),
        }
    }
}

/// How a limit holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limit {
    /// `from`: that or more.
    From,
    /// `to`: that or less.
    To,
    /// `above`: more than that.
    Above,
    /// `below`: less than that.
    Below,
}
