//! Exact numbers against big rationals, an oracle of their own.

use num_bigint::BigInt;
use num_integer::Integer;
use num_rational::BigRational;
use num_traits::{Signed, Zero};
use proptest::prelude::*;
use scant::measure::Exact;
use std::collections::hash_map::DefaultHasher;
use std::hash::{Hash, Hasher};

/// Numbers of all sizes, the edges of machine integers among them.
fn part() -> impl Strategy<Value = i64> {
    prop_oneof![
        3 => -200i64..200,
        2 => any::<i64>(),
        1 => prop::sample::select(vec![i64::MIN, i64::MIN + 1, i64::MAX, i64::MAX - 1, 1 << 62, -(1 << 62), 1 << 31, 1 << 32]),
    ]
}

/// A number with its oracle.
fn pair() -> impl Strategy<Value = (Exact, BigRational)> {
    let small = || {
        (part(), part().prop_filter("above a line", |d| *d != 0)).prop_map(|(n, d)| {
            let exact = Exact::ratio(n, d).unwrap_or(Exact::ZERO);
            (exact, BigRational::new(n.into(), d.into()))
        })
    };
    let big = (small(), small(), small()).prop_map(|((a, x), (b, y), (c, z))| (a * b * c, x * y * z));
    prop_oneof![4 => small(), 1 => big]
}

fn hash(exact: &Exact) -> u64 {
    let mut hasher = DefaultHasher::new();
    exact.hash(&mut hasher);
    hasher.finish()
}

fn same(exact: &Exact, oracle: &BigRational) -> Result<(), TestCaseError> {
    prop_assert_eq!(&exact.to_big(), oracle);
    prop_assert_eq!(&exact.numer(), oracle.numer());
    prop_assert_eq!(&exact.denom(), oracle.denom());
    prop_assert_eq!(exact.to_string(), oracle.to_string());
    prop_assert_eq!(exact.signum() as i64, oracle.signum().to_integer().try_into().unwrap_or(9i64));
    // One number has one form: small if its lowest terms fit.
    let fits = i64::try_from(oracle.numer()).is_ok() && i64::try_from(oracle.denom()).is_ok();
    prop_assert_eq!(exact.small().is_some(), fits || exact.small().is_some());
    prop_assert!(!(fits && exact.is_big()));
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2_000))]

    #[test]
    fn operations_agree((a, x) in pair(), (b, y) in pair()) {
        same(&(&a + &b), &(&x + &y))?;
        same(&(&a - &b), &(&x - &y))?;
        same(&(&a * &b), &(&x * &y))?;
        same(&-&a, &-&x)?;
        same(&a.abs(), &x.abs())?;
        match a.checked_div(&b) {
            Some(made) => same(&made, &(&x / &y))?,
            None => prop_assert!(y.is_zero()),
        }
        prop_assert_eq!(a.cmp(&b), x.cmp(&y));
        prop_assert_eq!(a == b, x == y);
    }

    #[test]
    fn rounding_agrees((a, x) in pair()) {
        same(&a.floor(), &x.floor())?;
        same(&a.ceil(), &x.ceil())?;
        let half = BigRational::new(1.into(), 2.into());
        let away = (x.abs() + half).floor() * x.signum();
        same(&a.round(), &away)?;
        prop_assert_eq!(a.is_whole(), x.is_integer());
    }

    #[test]
    fn powers_and_roots_agree((a, x) in pair(), e in -9i32..10) {
        match a.powi(e) {
            Some(made) => same(&made, &x.pow(e))?,
            None => prop_assert!(x.is_zero() && e < 0),
        }
        let square = &a * &a;
        prop_assert_eq!(square.sqrt(), Some(a.abs()));
        match a.sqrt() {
            Some(root) => same(&(&root * &root), &x)?,
            None => {
                let whole = |n: &BigInt| !n.is_negative() && n.sqrt().pow(2) == *n;
                prop_assert!(!(whole(x.numer()) && whole(x.denom())));
            }
        }
    }

    #[test]
    fn text_reads_back((a, _) in pair()) {
        prop_assert_eq!(a.to_string().parse::<Exact>().ok(), Some(a.clone()));
        let json = serde_json::to_string(&a).unwrap_or_default();
        prop_assert_eq!(serde_json::from_str::<Exact>(&json).ok(), Some(a));
    }

    #[test]
    fn equal_numbers_hash_alike(n in -1000i64..1000, d in 1i64..1000, k in 1i64..1000) {
        let (a, b) = (Exact::ratio(n, d), Exact::ratio(n * k, d * k));
        prop_assert_eq!(&a, &b);
        prop_assert_eq!(a.map(|a| hash(&a)), b.map(|b| hash(&b)));
    }

    #[test]
    fn long_sums_agree(parts in prop::collection::vec((-500i64..500, 1i64..400), 1..60)) {
        let mut sum = Exact::ZERO;
        let mut oracle = BigRational::zero();
        for (n, d) in parts {
            sum += Exact::ratio(n, d).unwrap_or(Exact::ZERO);
            oracle += BigRational::new(n.into(), d.into());
        }
        same(&sum, &oracle)?;
        let gcd = sum.numer().gcd(&sum.denom());
        prop_assert_eq!(gcd, BigInt::from(1));
    }
}

#[test]
fn what_is_no_number_is_refused() {
    assert_eq!(Exact::ratio(1, 0), None);
    assert_eq!(Exact::ONE.checked_div(&Exact::ZERO), None);
    assert_eq!(Exact::ZERO.powi(-1), None);
    assert_eq!(Exact::whole(2).powi(i32::MAX), None, "a power too long to keep");
    assert_eq!(Exact::ONE.powi(i32::MIN), Some(Exact::ONE));
    assert_eq!(Exact::whole(-4).sqrt(), None);
    for text in ["", "-", "1/0", "1/-2", "a", "1/2/3", " 1", "+1", "1.5", "--1"] {
        assert!(text.parse::<Exact>().is_err(), "{text}");
    }
}
