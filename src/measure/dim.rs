//! Dimensions: what a number measures.

use super::{Currency, Trouble};

/// What a number measures: powers of length, weight, time, angle and one currency.
///
/// Kept as one machine word, so that two are compared at once: a byte each for the powers, and
/// three for the currency's code.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Dim(u64);

impl Dim {
    /// A bare number.
    pub const NONE: Dim = Dim(0);
    /// A length.
    pub const LENGTH: Dim = Dim::of([1, 0, 0, 0]);
    /// An area.
    pub const AREA: Dim = Dim::of([2, 0, 0, 0]);
    /// A volume.
    pub const VOLUME: Dim = Dim::of([3, 0, 0, 0]);
    /// A weight, as the trade calls a mass.
    pub const MASS: Dim = Dim::of([0, 1, 0, 0]);
    /// A time.
    pub const TIME: Dim = Dim::of([0, 0, 1, 0]);
    /// An angle.
    pub const ANGLE: Dim = Dim::of([0, 0, 0, 1]);

    /// A weight of cloth.
    pub(super) const MASS_PER_AREA: Dim = Dim::of([-2, 1, 0, 0]);

    const fn of(powers: [i8; 4]) -> Dim {
        let [l, m, t, a] = powers;
        Dim::pack([l, m, t, a, 0], [0; 3])
    }

    const fn pack([l, m, t, a, p]: [i8; 5], [x, y, z]: [u8; 3]) -> Dim {
        let [l, m, t] = [l.cast_unsigned(), m.cast_unsigned(), t.cast_unsigned()];
        Dim(u64::from_le_bytes([l, m, t, a.cast_unsigned(), p.cast_unsigned(), x, y, z]))
    }

    /// A sum of money.
    pub const fn money(currency: Currency) -> Dim {
        Dim::pack([0, 0, 0, 0, 1], currency.code())
    }

    fn powers(self) -> [i8; 5] {
        let [l, m, t, a, p, ..] = self.0.to_le_bytes();
        [l, m, t, a, p].map(u8::cast_signed)
    }

    fn code(self) -> [u8; 3] {
        let [.., x, y, z] = self.0.to_le_bytes();
        [x, y, z]
    }

    /// Without money there is no currency, so that equal dimensions are equal words.
    fn new(powers: [i8; 5], code: [u8; 3]) -> Dim {
        Dim::pack(powers, if powers[4] == 0 { [0; 3] } else { code })
    }

    /// The power of length.
    pub fn length(self) -> i8 {
        self.powers()[0]
    }

    /// The power of weight.
    pub fn mass(self) -> i8 {
        self.powers()[1]
    }

    /// The power of time.
    pub fn time(self) -> i8 {
        self.powers()[2]
    }

    /// The power of angle.
    pub fn angle(self) -> i8 {
        self.powers()[3]
    }

    /// The power of money: -1, 0 or 1.
    pub fn money_power(self) -> i8 {
        self.powers()[4]
    }

    /// Its currency, where money is part of it.
    pub fn currency(self) -> Option<Currency> {
        if self.money_power() == 0 { None } else { Currency::find_bytes(self.code()) }
    }

    /// Whether it is a sum of money, or a price of something.
    pub fn is_money(self) -> bool {
        self.money_power() == 1
    }

    /// Whether inches or centimetres, ounces or grams make a difference to it.
    #[inline]
    pub(super) fn has_system(self) -> bool {
        self.0 & 0xFFFF != 0
    }

    /// Whether it can be read in more units than one: a length, a weight or a time is part of it.
    #[inline]
    pub(super) fn has_units(self) -> bool {
        self.0 & 0xFF_FFFF != 0
    }

    /// The power, where it is one of length alone.
    #[inline]
    pub(super) fn length_alone(self) -> Option<i8> {
        (self.0 != 0 && self.0 <= 0xFF).then(|| self.length())
    }

    /// The dimension of a product.
    #[inline]
    pub fn times(self, other: Dim) -> Result<Dim, Trouble> {
        if other.0 == 0 {
            return Ok(self);
        }
        if self.0 == 0 {
            return Ok(other);
        }
        self.combine(other, i8::checked_add)
    }

    /// The dimension of a quotient.
    #[inline]
    pub fn over(self, other: Dim) -> Result<Dim, Trouble> {
        if other.0 == 0 {
            return Ok(self);
        }
        if other.0 == self.0 {
            return Ok(Dim::NONE);
        }
        self.combine(other, i8::checked_sub)
    }

    fn combine(self, other: Dim, op: impl Fn(i8, i8) -> Option<i8>) -> Result<Dim, Trouble> {
        let code = match (self.money_power(), other.money_power()) {
            (0, _) => other.code(),
            (_, 0) => self.code(),
            _ if self.code() == other.code() => self.code(),
            _ => return Err(Trouble::MoneyMix),
        };
        let (mut powers, others) = (self.powers(), other.powers());
        for (power, other) in powers.iter_mut().zip(others) {
            *power = op(*power, other).ok_or(Trouble::UnitMix)?;
        }
        Dim::checked(powers, code)
    }

    /// Money squared is nothing, and each power has its opposite.
    fn checked(powers: [i8; 5], code: [u8; 3]) -> Result<Dim, Trouble> {
        match powers {
            [.., money] if money.unsigned_abs() > 1 => Err(Trouble::MoneyMix),
            powers if powers.contains(&i8::MIN) => Err(Trouble::UnitMix),
            powers => Ok(Dim::new(powers, code)),
        }
    }

    /// The dimension of a power.
    pub fn powi(self, exponent: i32) -> Result<Dim, Trouble> {
        let mut powers = self.powers();
        if powers[4] != 0 && !(-1..=1).contains(&exponent) {
            return Err(Trouble::MoneyMix);
        }
        for power in &mut powers {
            let raised = i32::from(*power).checked_mul(exponent);
            *power = raised.and_then(|raised| i8::try_from(raised).ok()).ok_or(Trouble::UnitMix)?;
        }
        Dim::checked(powers, self.code())
    }

    /// The dimension of a square root, where it has one.
    pub fn root2(self) -> Option<Dim> {
        let powers = self.powers();
        let even = powers.iter().all(|power| power % 2 == 0);
        even.then(|| Dim::new(powers.map(|power| power / 2), self.code()))
    }

    /// What two dimensions that do not go together are in trouble over.
    pub(super) fn mismatch(self, other: Dim) -> Trouble {
        let money = self.money_power() != 0 && other.money_power() != 0;
        if money && self.code() != other.code() { Trouble::MoneyMix } else { Trouble::UnitMix }
    }
}

impl std::fmt::Debug for Dim {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.trade_name())
    }
}

impl Dim {
    /// Its name in the trade's words, such as `a length` or `a weight per area`.
    pub fn trade_name(self) -> String {
        let [l, m, t, a, p] = self.powers();
        let code = self.currency().map_or(String::new(), |currency| currency.to_string());
        let powers = [l, m, t, a];
        let over = powers.map(|power| power.min(0).saturating_neg());
        let under = powers.map(|power| power.max(0));
        let top = match (p, under) {
            (0, under) => name_of(under),
            (1, [0, 0, 0, 0]) => format!("a sum of money in {code}"),
            (1, under) => format!("{} times a sum of money in {code}", name_of(under)),
            (_, under) => name_of(under),
        };
        let mut below = if over == [0; 4] { String::new() } else { bare(&name_of(over)) };
        if p < 0 {
            below = if below.is_empty() { code.clone() } else { format!("{below} and {code}") };
        }
        match (below.as_str(), p, under) {
            ("", _, _) => top,
            (below, 1, [0, 0, 0, 0]) => format!("a price in {code} per {below}"),
            (below, _, _) => format!("{top} per {below}"),
        }
    }
}

fn bare(name: &str) -> String {
    name.strip_prefix("a ").or_else(|| name.strip_prefix("an ")).unwrap_or(name).to_string()
}

/// The name of powers that are not below 0.
fn name_of(powers: [i8; 4]) -> String {
    let words = ["length", "weight", "time", "angle"];
    let part = |(word, power): (&&str, i8)| match (*word, power) {
        (word, 1) => word.to_string(),
        ("length", 2) => "area".to_string(),
        ("length", 3) => "volume".to_string(),
        (word, power) => format!("{word} to the power of {power}"),
    };
    let parts: Vec<String> = words.iter().zip(powers).filter(|(_, power)| *power > 0).map(part).collect();
    let name = if parts.is_empty() { "number".into() } else { parts.join(" times ") };
    format!("{} {name}", if name.starts_with('a') { "an" } else { "a" })
}
