//! Approximate numbers: their bounds hold the truth, and they stay narrow.
#![allow(clippy::panic)] // what cannot be read is a test that fails

use num_rational::BigRational;
use proptest::prelude::*;
use scant::measure::{Exact, Manner, Number, Quantity, Trouble, Way, literal};

/// A decimal of many digits as a fraction.
fn digits(text: &str) -> Exact {
    let (whole, behind) = text.split_once('.').unwrap_or((text, ""));
    let ten = Exact::whole(10).powi(behind.len() as i32).unwrap_or(Exact::ONE);
    format!("{whole}{behind}").parse::<Exact>().ok().and_then(|n| n.checked_div(&ten)).unwrap_or(Exact::ZERO)
}

/// The bounds hold the number whose first digits are given, and are not `1e-places` apart.
fn holds(number: &Number, first_digits: &str, places: i32) {
    let low = digits(first_digits);
    let behind = first_digits.split_once('.').map_or(0, |(_, behind)| behind.len() as i32);
    let last = Exact::whole(10).powi(-behind).unwrap_or(Exact::ONE);
    let (below, above) =
        if low.is_negative() { (&low - &last, low.clone()) } else { (low.clone(), &low + &last) };
    assert!(number.lower() <= &below && &above <= number.upper(), "{first_digits} in {number:?}");
    let width = number.upper() - number.lower();
    assert!(width < Exact::whole(10).powi(-places).unwrap_or(Exact::ONE), "{first_digits}: too wide");
}

fn sine(n: i64, d: i64) -> Number {
    let angle = Exact::ratio(n, d).map(Number::Exact).unwrap_or(Number::pi());
    angle.sin_deg().unwrap_or(Number::whole(99))
}

/// Digits from the On-Line Encyclopedia of Integer Sequences, number beside each, from memory; those
/// of the sines worked anew with a series in 60 digits.
#[test]
fn known_digits() {
    holds(&Number::pi(), "3.14159265358979323846264338327950288", 17); // A000796
    let root = |n: i64| Number::whole(n).sqrt().unwrap_or(Number::whole(99));
    holds(&root(2), "1.41421356237309504880168872420969807", 17); // A002193
    holds(&root(3), "1.73205080756887729352744634150587236", 17); // A002194
    holds(&root(5), "2.23606797749978969640917366873127623", 17); // A002163
    holds(&sine(1, 1), "0.01745240643728351281941897851631619", 16); // A019810
    holds(&sine(45, 1), "0.70710678118654752440084436210484903", 16); // A010503
    holds(&sine(60, 1), "0.86602540378443864676372317075293618", 16); // A010527
    holds(&sine(-60, 1), "-0.86602540378443864676372317075293618", 16);
    holds(&sine(420, 1), "0.86602540378443864676372317075293618", 16);
    holds(&sine(18, 1), "0.30901699437494742410229341718281905", 16); // A019827
    let tangent = Number::whole(60).tan_deg().unwrap_or(Number::whole(99));
    holds(&tangent, "1.73205080756887729352744634150587236", 15);
}

#[test]
fn angles_that_come_out_are_exact() {
    let exact =
        |number: Result<Number, Trouble>| number.ok().and_then(|n| n.exact().map(ToString::to_string));
    for (angle, sin, cos) in [
        (0, "0", "1"),
        (30, "1/2", ""),
        (60, "", "1/2"),
        (90, "1", "0"),
        (150, "1/2", ""),
        (180, "0", "-1"),
        (210, "-1/2", ""),
        (270, "-1", "0"),
        (-30, "-1/2", ""),
        (360, "0", "1"),
        (390, "1/2", ""),
    ] {
        let angle = Number::whole(angle);
        assert_eq!(exact(angle.sin_deg()).unwrap_or_default(), sin, "sine of {angle:?}");
        assert_eq!(exact(angle.cos_deg()).unwrap_or_default(), cos, "cosine of {angle:?}");
    }
    for (angle, tan) in [(0, "0"), (45, "1"), (135, "-1"), (225, "1"), (-45, "-1"), (180, "0")] {
        assert_eq!(exact(Number::whole(angle).tan_deg()).as_deref(), Some(tan), "tangent of {angle}");
    }
    assert_eq!(Number::whole(90).tan_deg().err(), Some(Trouble::NoSuchNumber));
    assert_eq!(Number::whole(-270).tan_deg().err(), Some(Trouble::NoSuchNumber));
}

fn q(text: &str) -> Quantity {
    literal(text).unwrap_or_else(|fault| panic!("{text}: {fault:?}"))
}

#[test]
fn what_the_bounds_leave_open_is_too_close() {
    let root = q("2").sqrt().unwrap_or(q("9"));
    let two = root.mul(&root).unwrap_or(q("9"));
    assert!(!two.is_exact());
    assert_eq!(two.compare(&q("2")), Err(Trouble::TooClose));
    assert_eq!(two.compare(&q("2.000001")), Ok(std::cmp::Ordering::Less));
    assert_eq!(two.round_to(&q("2"), Way::Up).err(), Some(Trouble::TooClose));
    let rounded = two.round_to(&q("1/8"), Way::Nearest);
    assert!(rounded.is_ok_and(|rounded| rounded.is_exact() && rounded.show(&Manner::default()) == "2"));
    assert_eq!(q("1").div(&two.sub(&q("2")).unwrap_or(q("9"))).err(), Some(Trouble::TooClose));
    assert!(two.mul(&q("0")).is_ok_and(|nothing| nothing.is_zero()));
}

/// A number between two fractions that is known: the middle of made-up bounds stands for the truth.
fn known() -> impl Strategy<Value = (Number, BigRational)> {
    (1i64..4_000_000, 1i64..5_000, 0i64..3, prop::bool::ANY).prop_map(|(n, d, kind, negative)| {
        let value = Exact::ratio(if negative { -n } else { n }, d).unwrap_or(Exact::ONE);
        let truth = value.to_big();
        // The root of a square that does not come out at once: v * sqrt(2) / sqrt(2).
        let root = Number::whole(2).sqrt().unwrap_or(Number::pi());
        let number = match kind {
            0 => Number::Exact(value),
            1 => Number::Exact(value).mul(&root).and_then(|n| n.div(&root)).unwrap_or(Number::pi()),
            _ => Number::Exact(value)
                .add(&Number::pi())
                .and_then(|n| n.sub(&Number::pi()))
                .unwrap_or(Number::pi()),
        };
        (number, truth)
    })
}

fn within(number: Result<Number, Trouble>, truth: &BigRational) -> Result<(), TestCaseError> {
    let truth = Exact::from_big(truth.clone());
    match number {
        Ok(number) => {
            prop_assert!(number.lower() <= &truth && &truth <= number.upper());
            let width = number.upper() - number.lower();
            let allowed = truth.abs().max(Exact::ONE) * Exact::whole(10).powi(-9).unwrap_or(Exact::ONE);
            prop_assert!(width <= allowed, "wide: {} about {}", width, truth);
            if !number.is_exact() {
                // Rounded outward, the bounds do not grow longer and longer.
                prop_assert!(number.lower().bits() < 400 && number.upper().bits() < 400);
            }
        }
        Err(trouble) => prop_assert_eq!(trouble, Trouble::TooClose),
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1_000))]

    #[test]
    fn the_truth_stays_within((a, x) in known(), (b, y) in known(), e in 0i32..5) {
        within(a.add(&b), &(&x + &y))?;
        within(a.sub(&b), &(&x - &y))?;
        within(a.mul(&b), &(&x * &y))?;
        within(a.div(&b), &(&x / &y))?;
        within(Ok(a.neg()), &-&x)?;
        let square = a.mul(&a).and_then(|square| square.sqrt());
        within(square, &num_traits::Signed::abs(&x))?;
        let power = a.powi(e);
        let truth = Exact::from_big(x.pow(e));
        prop_assert!(power.is_ok_and(|power| power.lower() <= &truth && &truth <= power.upper()));
    }

    #[test]
    fn squares_of_sine_and_cosine_make_one(n in -720_000i64..720_000, d in 1i64..1_000) {
        let angle = Number::Exact(Exact::ratio(n, d).unwrap_or(Exact::ZERO));
        let square = |n: Result<Number, Trouble>| n.and_then(|n| n.mul(&n));
        let sum = square(angle.sin_deg()).and_then(|s| s.add(&square(angle.cos_deg())?));
        within(sum, &BigRational::new(1.into(), 1.into()))?;
    }

    #[test]
    fn the_sine_of_a_range_holds_that_of_its_inside(n in -400i64..400, wide in 1i64..300, at in 0i64..100) {
        // lo + wide * sqrt(2)/100 …: a range a little over one turn wide at most, made from pi.
        let angle = Number::pi().mul(&Number::whole(n * wide)).unwrap_or(Number::pi());
        let inside = angle.lower() + (angle.upper() - angle.lower()) * Exact::ratio(at, 100).unwrap_or(Exact::ZERO);
        let (range, point) = (angle.sin_deg(), Number::Exact(inside).sin_deg());
        prop_assert!(range.is_ok_and(|r| point.is_ok_and(|p| r.lower() <= p.upper() && p.lower() <= r.upper())));
    }
}
