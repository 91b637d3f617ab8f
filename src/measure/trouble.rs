//! Why an operation has no result. The evaluator adds the place and the words.

/// Why an operation has no result. As wide as a word: beside a number, which a result holds in the same place, a
/// smaller one would make the number be moved in pieces.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[repr(u64)]
pub enum Trouble {
    /// Measures that do not go together: `2 in + 3 in^2`
    UnitMix,
    /// Two currencies, or a power of money: `2 EUR + 3 USD`, `(2 EUR)^2`
    MoneyMix,
    /// A division by nothing: `1 / 0`
    DivisionByZero,
    /// A number that does not exist: `sqrt(-1)`
    NoSuchNumber,
    /// Approximate values leave it open: `sqrt(2) * sqrt(2) < 2`
    TooClose,
    /// More digits than a recipe may take: `9^9^9`
    TooBig,
}
