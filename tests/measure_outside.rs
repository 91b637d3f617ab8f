//! Units against published factors, and against the definitions of `uom`.
#![allow(clippy::panic)] // what cannot be read is a test that fails

use scant::measure::typed::{Area, Length};
use scant::measure::{
    Currency, Exact, Manner, Quantity, Trouble, UnitExpr, UnitId, Way, is_unit, literal, unit_names, units,
};
use uom::Conversion;
use uom::si::{area, length, mass, ratio, time};

fn decimal(text: &str) -> Exact {
    let (digits, power) = text.split_once(" E").unwrap_or((text, "0"));
    let (whole, behind) = digits.split_once('.').unwrap_or((digits, ""));
    let power: i32 = power.trim_start_matches('+').parse().unwrap_or(i32::MAX);
    let number: Exact = format!("{whole}{behind}").parse().unwrap_or(Exact::ZERO);
    number * Exact::whole(10).powi(power - behind.len() as i32).unwrap_or(Exact::ZERO)
}

fn factor(unit: &str) -> Exact {
    // The language has no second; the published speeds and times are per second.
    let sixty = Exact::ratio(1, 60).unwrap_or(Exact::ZERO);
    match unit {
        "s" => sixty,
        "number" => Exact::ONE,
        "m/s" => factor("m").checked_div(&sixty).unwrap_or(Exact::ZERO),
        unit => UnitExpr::parse(unit).map_or(Exact::ZERO, |unit| unit.factor().clone()),
    }
}

#[test]
fn published_factors() {
    let mut rows = std::collections::BTreeSet::new();
    let mut reader =
        csv::Reader::from_path("tests/outside/nist_units.csv").unwrap_or_else(|error| panic!("{error}"));
    for row in reader.records() {
        let row = row.unwrap_or_else(|error| panic!("{error}"));
        let cell = |n: usize| row.get(n).unwrap_or("");
        let ours = factor(cell(0)).checked_div(&factor(cell(2))).unwrap_or(Exact::ZERO);
        let off = (&ours - decimal(cell(1))).abs();
        assert!(off <= decimal(cell(3)), "{} is {ours} {}, published {}", cell(0), cell(2), cell(1));
        rows.insert(cell(0).to_string());
    }
    // Each unit has its published row; a second, of which a minute is 60, is no unit of the language.
    for unit in units() {
        assert!(rows.contains(&unit.symbol()), "{unit:?}, {}", unit.source());
    }
}

/// The coefficients of `uom`, in metres, kilograms and seconds. Its ounce and pound are rounded to seven
/// digits.
#[test]
fn the_rows_agree_with_uom() {
    fn ratio<U: Conversion<num_rational::Rational64, T = num_rational::Rational64>>() -> Exact {
        let coefficient = U::coefficient();
        Exact::ratio(*coefficient.numer(), *coefficient.denom()).unwrap_or(Exact::ZERO)
    }
    let (metre, kilogram) = (factor("m"), factor("kg"));
    let second = factor("s");
    for (unit, coefficient, base) in [
        ("in", ratio::<length::inch>(), &metre),
        ("ft", ratio::<length::foot>(), &metre),
        ("yd", ratio::<length::yard>(), &metre),
        ("mm", ratio::<length::millimeter>(), &metre),
        ("cm", ratio::<length::centimeter>(), &metre),
        ("m", ratio::<length::meter>(), &metre),
        ("in^2", ratio::<area::square_inch>() * &metre, &metre),
        ("yd^2", ratio::<area::square_yard>() * &metre, &metre),
        ("cm^2", ratio::<area::square_centimeter>() * &metre, &metre),
        ("g", ratio::<mass::gram>(), &kilogram),
        ("kg", ratio::<mass::kilogram>(), &kilogram),
        ("min", ratio::<time::minute>(), &second),
        ("h", ratio::<time::hour>(), &second),
        ("%", ratio::<ratio::percent>(), &Exact::ONE),
    ] {
        assert_eq!(factor(unit), coefficient * base, "{unit}");
    }
    for (unit, coefficient) in [("lb", ratio::<mass::pound>()), ("oz", ratio::<mass::ounce>())] {
        let ours = factor(unit).checked_div(&kilogram).unwrap_or(Exact::ZERO);
        assert!((&ours - &coefficient).abs() <= &coefficient * decimal("5 E-07"), "{unit}");
    }
    assert_eq!(Exact::whole(16) * factor("oz"), factor("lb"));
}

fn q(text: &str) -> Quantity {
    literal(text).unwrap_or_else(|fault| panic!("{text}: {fault:?}"))
}

#[test]
fn typed_quantities_go_there_and_back() {
    let width = Length::try_from(&q("1 yd"));
    let inches = width.as_ref().map(|width| width.get::<length::inch>());
    assert_eq!(inches, Ok(Exact::whole(36)));
    let made = Length::new::<length::inch>(Exact::whole(36));
    assert_eq!(width.as_ref(), Ok(&made));
    assert_eq!(
        Length::new::<length::millimeter>(Exact::whole(2540)),
        Length::new::<length::inch>(Exact::whole(100))
    );
    assert_eq!(Quantity::from(&made).show(&Manner::default()), "36 in");
    assert_eq!(Length::try_from(&q("1 in^2")).err(), Some(Trouble::UnitMix));
    assert_eq!(Length::try_from(&q("2 in^2").sqrt().unwrap_or(q("1"))).err(), Some(Trouble::TooClose));
    let area: Area = made.clone() * made;
    assert_eq!(Quantity::from(&area).compare(&q("1 yd^2")), Ok(std::cmp::Ordering::Equal));
    assert_eq!(Area::try_from(&q("1 yd^2")), Ok(area));
}

/// The rows UC, YF and FM of trade_checks.csv.
#[test]
fn published_conversions() {
    for (from, to, value, tolerance) in [
        ("1 yd", "m", "0.9144", "0"),
        ("1 in", "mm", "25.4", "0"),
        ("5/8 in", "mm", "15.875", "0"),
        ("1/4 in", "mm", "6.35", "0"),
        ("1/16 in", "mm", "1.5875", "0"),
        ("3 1/3 yd", "m", "3.048", "0"),
        ("0.75 cm", "in", "0.295276", "5 E-07"),
        ("1 yd^2", "in^2", "1296", "0"),
        ("150 g/m^2", "oz/yd^2", "4.424", "1 E-04"),
    ] {
        let ours = q(from).number.mid().checked_div(&factor(to)).unwrap_or(Exact::ZERO);
        assert!((&ours - decimal(value)).abs() <= decimal(tolerance), "{from} is {ours} {to}");
    }
    let up = q("21 in").round_to(&q("1/8 yd"), Way::Up);
    assert_eq!(up.map(|up| up.show(&Manner::default())).as_deref(), Ok("5/8 yd"));
}

#[test]
fn money_by_its_code() {
    assert_eq!(Currency::codes().count(), Currency::codes().collect::<std::collections::BTreeSet<_>>().len());
    // Minor units as ISO 4217 lists them, from memory.
    for (code, digits) in [("EUR", 2), ("JPY", 0), ("KWD", 3), ("CLF", 4), ("USD", 2), ("KRW", 0), ("BHD", 3)]
    {
        assert_eq!(Currency::find(code).map(Currency::digits), Some(digits), "{code}");
    }
    assert_eq!(Currency::find("eur"), None);
    assert_eq!(Currency::find("XYZ"), None);
    for (text, want) in [
        ("7.905 EUR", "7.91 EUR"),
        ("-7.905 EUR", "-7.91 EUR"),
        ("7.904 EUR", "7.90 EUR"),
        ("0.5 JPY", "1 JPY"),
        ("1.2345 KWD", "1.235 KWD"),
    ] {
        let rounded = q(text).to_minor_unit().map(|sum| sum.show(&Manner::default()));
        assert_eq!(rounded.as_deref(), Some(want), "{text}");
    }
    assert!(q("5 EUR/m").to_minor_unit().is_none());
    assert_eq!(q("1 EUR").add(&q("1 USD")).err(), Some(Trouble::MoneyMix));
    assert_eq!(q("1 EUR").mul(&q("1 EUR")).err(), Some(Trouble::MoneyMix));
    assert_eq!(q("1 EUR").mul(&q("1 USD")).err(), Some(Trouble::MoneyMix));
    assert_eq!(q("1 EUR").pow(&q("2")).err(), Some(Trouble::MoneyMix));
    assert_eq!(q("1 EUR").add(&q("1 in")).err(), Some(Trouble::UnitMix));
    assert!(q("6 EUR").div(&q("2 EUR")).is_ok_and(|three| three.whole_count() == Some(3)));
}

#[test]
fn every_unit_name_is_found_and_printed_names_read_back() {
    for name in unit_names() {
        assert!(is_unit(name), "{name}");
        let symbol = UnitId::find(name).map(UnitId::symbol).unwrap_or_default();
        assert_eq!(UnitId::find(&symbol), UnitId::find(name), "{name}");
    }
    assert!(!is_unit("€uro") && !is_unit("") && !is_unit("inn"));
}

#[test]
fn dimensions_have_names_in_the_trades_words() {
    for (text, name) in [
        ("2 in", "a length"),
        ("2 in^2", "an area"),
        ("2 in^3", "a volume"),
        ("2", "a number"),
        ("5%", "a number"),
        ("2 g", "a weight"),
        ("2 min", "a time"),
        ("2 deg", "an angle"),
        ("2 EUR", "a sum of money in EUR"),
        ("2 EUR/m", "a price in EUR per length"),
        ("2 gsm", "a weight per area"),
        ("2 m/min", "a length per time"),
        ("2 in^4", "a length to the power of 4"),
    ] {
        assert_eq!(q(text).dim.trade_name(), name, "{text}");
    }
}
