//! Exact numbers, dimensions, units, ruler marks, reading and printing of measures.
#![deny(clippy::float_arithmetic)]

mod currency;
mod dim;
mod exact;
mod number;
mod quantity;
pub mod read;
mod reading;
mod round;
mod ruler;
mod show;
mod trouble;
pub mod typed;
mod unit;
mod unit_expr;

pub use currency::Currency;
pub use dim::Dim;
pub use exact::Exact;
pub use number::{Enclosure, Number};
pub use quantity::Quantity;
pub use read::{ReadFault, ReadKind, literal, size};
pub use reading::{Reading, Units};
pub use round::Way;
pub use ruler::{Manner, Ruler};
pub(crate) use show::glued;
pub use show::{
    ToldIn, common_units, decimal_places, mark_size, push_decimal, show_size, side_by_side, write_amount,
    write_slack, write_slack_mark,
};
pub use trouble::Trouble;
pub use unit::{System, UnitId, is_unit, unit_names, unit_symbols, units};
pub use unit_expr::UnitExpr;
