//! What `uom` asks of a storage type.

use std::iter::Sum;
use std::ops::{AddAssign, Div, DivAssign, MulAssign, Rem, RemAssign, SubAssign};

use num_traits::{Num, One, Zero};

use super::Exact;
use super::text::NotExact;

impl Zero for Exact {
    fn zero() -> Exact {
        Exact::ZERO
    }
    fn is_zero(&self) -> bool {
        Exact::is_zero(self)
    }
}

impl One for Exact {
    fn one() -> Exact {
        Exact::ONE
    }
}

/// Only for `uom`, which needs the operator. Like the machine's own division it refuses 0 with a
/// panic, so nothing that a recipe can reach uses it: [`Exact::checked_div`] is there for that.
impl Div for Exact {
    type Output = Exact;
    #[expect(clippy::panic, reason = "the operator has no other way to refuse; callers use checked_div")]
    fn div(self, other: Exact) -> Exact {
        match self.checked_div(&other) {
            Some(made) => made,
            None => panic!("division by zero"),
        }
    }
}

/// What is left after taking the whole multiples away; like [`Div`], only for `uom`.
impl Rem for Exact {
    type Output = Exact;
    fn rem(self, other: Exact) -> Exact {
        let ratio = self.clone() / other.clone();
        let whole = if ratio.is_negative() { ratio.ceil() } else { ratio.floor() };
        self - whole * other
    }
}

/// The assigning shape of an operator.
macro_rules! assign {
    ($name:ident, $method:ident, $op:tt) => {
        impl $name for Exact {
            fn $method(&mut self, other: Exact) {
                *self = self.clone() $op other;
            }
        }
    };
}

assign!(AddAssign, add_assign, +);
assign!(SubAssign, sub_assign, -);
assign!(MulAssign, mul_assign, *);
assign!(DivAssign, div_assign, /);
assign!(RemAssign, rem_assign, %);

impl Num for Exact {
    type FromStrRadixErr = NotExact;

    fn from_str_radix(text: &str, radix: u32) -> Result<Exact, NotExact> {
        if radix == 10 { text.parse() } else { Err(NotExact) }
    }
}

impl Sum for Exact {
    fn sum<I: Iterator<Item = Exact>>(parts: I) -> Exact {
        parts.fold(Exact::ZERO, |sum, part| sum + part)
    }
}

impl<'a> Sum<&'a Exact> for Exact {
    fn sum<I: Iterator<Item = &'a Exact>>(parts: I) -> Exact {
        parts.fold(Exact::ZERO, |sum, part| sum + part)
    }
}
