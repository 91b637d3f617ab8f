//! Literals: what is refused and how, and that what was printed reads back the same.
#![allow(clippy::panic)] // what cannot be read is a test that fails

use proptest::prelude::*;
use scant::measure::{Dim, Exact, Manner, Number, Quantity, ReadKind, UnitExpr, literal, size};

/// A text, the kind of its fault, the bytes underlined, and a word that the hints must hold.
const REFUSED: &[(&str, ReadKind, &str, &str)] = &[
    ("1/2/3", ReadKind::Ambiguous, "1/2/3", "(1/2) / 3"),
    ("1/2/3", ReadKind::Ambiguous, "1/2/3", "1 / (2/3)"),
    ("2-1/2", ReadKind::Ambiguous, "2-1/2", "2 1/2"),
    ("2-1/2", ReadKind::Ambiguous, "2-1/2", "1 1/2"),
    ("2 -1/2 in", ReadKind::Ambiguous, "2 -1/2", "2 1/2"),
    ("2 -1/2 in", ReadKind::Ambiguous, "2 -1/2", "2 - 1/2"),
    ("2 3/2 in", ReadKind::BadNumber, "2 3/2", "3 1/2"),
    ("2 3/2 in", ReadKind::BadNumber, "2 3/2", "23/2"),
    ("2 5/4", ReadKind::BadNumber, "2 5/4", "3 1/4"),
    ("2 1/0", ReadKind::BadNumber, "2 1/0", "1 or more"),
    ("3/0 in", ReadKind::BadNumber, "3/0", "1 or more"),
    ("1,5", ReadKind::Ambiguous, "1,5", "1.5"),
    ("1,5", ReadKind::Ambiguous, "1,5", "1, 5"),
    ("1.5,5 cm", ReadKind::Ambiguous, "1.5,5", ""),
    ("7.90 $", ReadKind::Ambiguous, "$", "7.90 CAD"),
    ("$7.90", ReadKind::Ambiguous, "$", "USD"),
    ("7.90 $/m", ReadKind::Ambiguous, "$", "AUD"),
    ("€7.90", ReadKind::Syntax, "€7.90", "7.90 EUR"),
    ("2 1/2 inn", ReadKind::UnknownUnit, "inn", "in ft yd"),
    ("2 g/mm2x", ReadKind::Syntax, "2x", ""),
    ("8x11", ReadKind::Ambiguous, "x11", "`8 by 11`"),
    ("8 in x 11 in", ReadKind::Ambiguous, "x 11 in", "`8 in by 11 in`"),
    ("8 in x 11 in", ReadKind::Ambiguous, "x 11 in", "`8 in * 11 in`"),
    ("8 in X 11", ReadKind::Ambiguous, "X 11", "`8 in by 11`"),
    ("2 sq", ReadKind::UnknownUnit, "sq", ""),
    ("2 sq in^2", ReadKind::Syntax, "^2", ""),
    ("2 g/sm", ReadKind::UnknownUnit, "sm", ""),
    ("", ReadKind::Syntax, "", "2 1/2 in"),
    ("  ", ReadKind::Syntax, "", "2 1/2 in"),
    ("in", ReadKind::Syntax, "in", ""),
    ("2 3", ReadKind::Syntax, "2 3", "2 1/2"),
    ("2 in 3 in", ReadKind::Syntax, "3 in", "smaller"),
    ("2 in 3 ft", ReadKind::Syntax, "3 ft", ""),
    ("2 yd 3 cm", ReadKind::Syntax, "3 cm", ""),
    ("2 ft 3", ReadKind::Syntax, "3", ""),
    ("2 in + 3 in", ReadKind::Syntax, "+ 3 in", ""),
    ("8 in × 11 in", ReadKind::Ambiguous, "× 11 in", "by"),
    ("2 \"", ReadKind::Syntax, "\"", "2 in"),
    ("5 in^0", ReadKind::Syntax, "^0", ""),
    ("5 in^2^2", ReadKind::Syntax, "^2", ""),
    ("5 EUR^2", ReadKind::Syntax, "EUR^2", ""),
    ("5 EUR/USD", ReadKind::Syntax, "EUR/USD", ""),
    ("5 %/m", ReadKind::Syntax, "%/m", ""),
    ("3 / 4", ReadKind::Syntax, "/ 4", ""),
    ("- 2 in", ReadKind::Syntax, " 2 in", ""),
];

#[test]
fn refusals_say_where_and_how() {
    for (text, kind, place, hint) in REFUSED {
        let Err(fault) = literal(text) else { panic!("{text} was read") };
        assert_eq!(fault.kind, *kind, "{text}: {fault:?}");
        assert_eq!(text.get(fault.range.clone()), Some(*place), "{text}: {fault:?}");
        let told = format!("{} {}", fault.message, fault.hints.join(" "));
        assert!(told.contains(hint), "{text}: {told}");
        assert!(!fault.message.ends_with('.') && !fault.message.is_empty(), "{text}");
    }
}

#[test]
fn long_numbers_are_refused_and_a_thousand_digits_are_not() {
    let thousand = "7".repeat(1_000);
    assert!(literal(&thousand).is_ok());
    assert!(literal(&format!("0.{}", "7".repeat(999))).is_ok());
    for text in [
        "7".repeat(1_001),
        "7".repeat(1_000_000),
        format!("1/{}", "7".repeat(1_001)),
        format!("0.{}", "7".repeat(2_000)),
    ] {
        assert_eq!(literal(&text).err().map(|fault| fault.kind), Some(ReadKind::BadNumber));
    }
}

#[test]
fn units_are_parsed_alone() {
    for (text, dim) in [
        ("in", Dim::LENGTH),
        ("in^2", Dim::AREA),
        ("cm³", Dim::VOLUME),
        ("gsm", Dim::NONE),
        ("min", Dim::TIME),
    ] {
        let unit = UnitExpr::parse(text).unwrap_or_else(|fault| panic!("{text}: {fault:?}"));
        if text != "gsm" {
            assert_eq!(unit.dim(), dim, "{text}");
        }
    }
    assert!(UnitExpr::parse("in cm").is_err());
    assert!(UnitExpr::parse("inn").is_err());
    assert!(UnitExpr::parse("").is_err());
}

fn equal(a: &Quantity, b: &Quantity) -> bool {
    a.dim == b.dim && a.number.exact().is_some() && a.number.exact() == b.number.exact()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(3_000))]

    #[test]
    fn exact_texts_read_back(n in any::<i64>(), d in 1i64..100_000, dim in 0usize..12, shown in prop::bool::ANY) {
        let units = ["in", "cm", "mm", "yd", "in^2", "g", "oz/yd^2", "EUR/m", "deg", "h", "%", "EUR"];
        let unit = UnitExpr::parse(units.get(dim).unwrap_or(&"in")).unwrap_or(UnitExpr::parse("in").unwrap_or_else(|_| panic!("in")));
        let mut q = unit.apply(&Number::Exact(Exact::ratio(n, d).unwrap_or(Exact::ONE)));
        if shown {
            q = q.shown_in(&unit).unwrap_or(q);
        }
        let text = q.exact_text();
        prop_assert!(literal(&text).is_ok_and(|back| equal(&back, &q)), "{}", text);
        let doubled = q.add(&q).map(|sum| (sum.exact_text(), sum));
        prop_assert!(doubled.is_ok_and(|(text, sum)| literal(&text).is_ok_and(|back| equal(&back, &sum))), "{}", text);
    }

    #[test]
    fn no_text_makes_a_panic(text in "\\PC{0,40}") {
        let _ = (literal(&text), size(&text), UnitExpr::parse(&text));
    }

    #[test]
    fn no_jumble_makes_a_panic(text in "[0-9 ./,\\-½¾″'\"in cmydft^*%$€EURUSDgby−⁄²]{0,24}") {
        for read in [literal(&text), size(&text).map(|(across, _)| across)] {
            match read {
                Ok(q) => {
                    let _ = (q.show(&Manner { ruler: None, both: true }), q.exact_text());
                }
                Err(fault) => prop_assert!(text.get(fault.range.clone()).is_some(), "{:?} of {:?}", fault, text),
            }
        }
    }
}
