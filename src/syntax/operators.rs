//! The operators between two operands, and the one table of how tightly each binds.

use super::tree::{BinaryOp, CompareOp, Way};

/// How tightly operators bind, loosest first. `shown in` and `to` are outside this table: they
/// are looser than all of it.
pub(super) mod bind {
    pub(in crate::syntax) const OR: u8 = 1;
    pub(in crate::syntax) const AND: u8 = 2;
    pub(in crate::syntax) const NOT: u8 = 3;
    pub(in crate::syntax) const COMPARE: u8 = 4;
    pub(in crate::syntax) const ROUND: u8 = 5;
    pub(in crate::syntax) const BY: u8 = 6;
    pub(in crate::syntax) const ADD: u8 = 7;
    pub(in crate::syntax) const MULTIPLY: u8 = 8;
    pub(in crate::syntax) const MINUS: u8 = 9;
    pub(in crate::syntax) const POWER: u8 = 10;
    pub(in crate::syntax) const SLACK: u8 = 11;
}

/// What an infix means.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Infix {
    Plain(BinaryOp),
    /// `×`, which people also write between the sides of a size.
    Times,
    Compare(CompareOp),
    Round(Way),
    By,
    /// `±`, which belongs to what is right before it.
    Slack,
    /// `separate seams of`
    Separate,
}

impl Infix {
    /// The operator that is written so.
    pub(super) fn of(text: &str) -> Infix {
        match text {
            "+" => Infix::Plain(BinaryOp::Add),
            "-" | "\u{2212}" => Infix::Plain(BinaryOp::Subtract),
            "*" | "\u{B7}" => Infix::Plain(BinaryOp::Multiply),
            "/" | "\u{F7}" => Infix::Plain(BinaryOp::Divide),
            "^" => Infix::Plain(BinaryOp::Power),
            "\u{D7}" => Infix::Times,
            "<" => Infix::Compare(CompareOp::Less),
            ">" => Infix::Compare(CompareOp::More),
            "<=" | "\u{2264}" => Infix::Compare(CompareOp::AtMost),
            ">=" | "\u{2265}" => Infix::Compare(CompareOp::AtLeast),
            "by" => Infix::By,
            "\u{B1}" | "+-" => Infix::Slack,
            "of" => Infix::Plain(BinaryOp::Of),
            "and" => Infix::Plain(BinaryOp::And),
            "or" => Infix::Plain(BinaryOp::Or),
            "nearest" => Infix::Round(Way::Nearest),
            "up" => Infix::Round(Way::Up),
            "down" => Infix::Round(Way::Down),
            "is" => Infix::Compare(CompareOp::Is),
            separate if separate.starts_with("separate") => Infix::Separate,
            _ => Infix::Compare(CompareOp::IsNot),
        }
    }

    /// How tightly it binds.
    pub(super) fn binds(self) -> u8 {
        match self {
            Infix::Plain(BinaryOp::Or) => bind::OR,
            Infix::Plain(BinaryOp::And) => bind::AND,
            Infix::Compare(_) => bind::COMPARE,
            Infix::Round(_) => bind::ROUND,
            Infix::By => bind::BY,
            Infix::Slack => bind::SLACK,
            Infix::Plain(BinaryOp::Add | BinaryOp::Subtract) => bind::ADD,
            Infix::Plain(BinaryOp::Power) => bind::POWER,
            Infix::Plain(_) | Infix::Times | Infix::Separate => bind::MULTIPLY,
        }
    }
}
