//! As text and from text: `127/5000`, `-3`.

use std::fmt;
use std::str::FromStr;

use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::Zero;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::Exact;
use super::Repr::{Big, Small};

/// The longest numerator or denominator that is read.
const MOST_DIGITS: usize = 5_000;

/// A text that is not a whole number or a fraction of two.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NotExact;

impl fmt::Display for NotExact {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("not a whole number or a fraction such as 127/5000")
    }
}

impl std::error::Error for NotExact {}

impl fmt::Display for Exact {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.reduced().0 {
            Small(n, 1) => write!(f, "{n}"),
            Small(n, d) => write!(f, "{n}/{d}"),
            Big(big) => write!(f, "{big}"),
        }
    }
}

fn integer(text: &str, signed: bool) -> Result<BigInt, NotExact> {
    let digits = if signed { text.strip_prefix('-').unwrap_or(text) } else { text };
    let sound =
        !digits.is_empty() && digits.len() <= MOST_DIGITS && digits.bytes().all(|b| b.is_ascii_digit());
    if !sound {
        return Err(NotExact);
    }
    text.parse().map_err(|_| NotExact)
}

impl FromStr for Exact {
    type Err = NotExact;

    fn from_str(text: &str) -> Result<Exact, NotExact> {
        let (n, d) = text.split_once('/').unwrap_or((text, "1"));
        let (n, d) = (integer(n, true)?, integer(d, false)?);
        if d.is_zero() {
            return Err(NotExact);
        }
        Ok(Exact::from_big(BigRational::new(n, d)))
    }
}

impl Serialize for Exact {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Exact {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Exact, D::Error> {
        let text = String::deserialize(deserializer)?;
        text.parse().map_err(serde::de::Error::custom)
    }
}
