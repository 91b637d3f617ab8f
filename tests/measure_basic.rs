//! Measures: reading, arithmetic and printing, case by case.
#![allow(clippy::panic)] // a literal that cannot be read is a test that fails

use scant::measure::{Exact, Manner, Number, Quantity, Reading, Ruler, Way, literal, show_size, size};

fn q(text: &str) -> Quantity {
    literal(text).unwrap_or_else(|fault| panic!("{text}: {fault:?}"))
}

fn shown(text: &str) -> String {
    q(text).show(&Manner::default())
}

fn ruler(step: &str) -> Manner {
    let ruler = Ruler::from_step(&q(step));
    assert!(ruler.is_some(), "{step}");
    Manner { ruler, both: false }
}

#[test]
fn sizes_in_memory() {
    assert_eq!(size_of::<Exact>(), 24);
    assert_eq!(size_of::<Number>(), 24);
    assert_eq!(size_of::<Reading>(), 8);
    assert_eq!(size_of::<Quantity>(), 40);
}

#[test]
fn literals_read_and_print() {
    for (text, want) in [
        ("2 1/2 in", "2 1/2 in"),
        ("2-1/2\"", "2 1/2 in"),
        ("2½\"", "2 1/2 in"),
        ("2 ½ in", "2 1/2 in"),
        ("3/4 yd", "3/4 yd"),
        ("7/16 yd", "15 3/4 in"),
        ("6 ft", "6 ft"),
        ("6' 2 1/2\"", "74 1/2 in"),
        ("6′2½″", "74 1/2 in"),
        ("1 yd 9 in", "45 in"),
        ("1 yd 1 ft 1 in", "49 in"),
        ("1.5 cm", "1.5 cm"),
        ("12 mm", "12 mm"),
        ("137 cm", "137 cm"),
        ("45 deg", "45 deg"),
        ("45°", "45 deg"),
        ("22.5 deg", "22.5 deg"),
        ("120 g/m^2", "120 g/m^2"),
        ("120 gsm", "120 gsm"),
        ("4 1/2 oz/yd^2", "4.5 oz/yd^2"),
        ("7 1/2 oz / yd^2", "7.5 oz/yd^2"),
        ("7 1/2 oz/sq yd", "7.5 oz/yd^2"),
        ("120 g / m²", "120 g/m^2"),
        ("120 g/m2", "120 g/m^2"),
        ("7.90 EUR/m", "7.90 EUR/m"),
        ("7.90 €", "7.90 EUR"),
        ("7.905 EUR", "7.91 EUR (7.905 EUR)"),
        ("1200 JPY", "1200 JPY"),
        ("5%", "5%"),
        ("4.5 %", "4.5%"),
        ("33 1/3%", "about 33.33%"),
        ("-2 1/2 in", "-2 1/2 in"),
        ("−2 1/2 in", "-2 1/2 in"),
        ("5", "5"),
        ("2 1/2", "2 1/2"),
        ("0.123456", "about 0.1235"),
        (" 54\u{a0}1/2 in ", "54 1/2 in"),
        ("3 in.", "3 in"),
        ("2 yds", "2 yd"),
        ("90 min", "90 min"),
        ("1 1/2 h", "1.5 h"),
        ("1.5 kg", "1.5 kg"),
        ("8 in^2", "8 in^2"),
        ("8 in²", "8 in^2"),
        ("8 sq in", "8 in^2"),
        ("8 sq. in", "8 in^2"),
        ("8 square inches", "8 in^2"),
        ("3 sq yd", "3 yd^2"),
        ("3 yd2", "3 yd^2"),
        ("3 m2", "3 m^2"),
        ("3 m²", "3 m^2"),
        ("3 m³", "3 m^3"),
        ("6ft2in", "74 in"),
        ("6ft2 in", "74 in"),
        ("2 metres", "2 m"),
        ("1 meter", "1 m"),
        ("12 centimetres", "12 cm"),
        ("12 centimeters", "12 cm"),
        ("12 millimetres", "12 mm"),
        ("5 inches", "5 in"),
        ("5 feet 2 inches", "62 in"),
        ("1 foot", "1 ft"),
        ("2 yards", "2 yd"),
        ("250 grams", "250 g"),
        ("2 kilograms", "2 kg"),
        ("5 ounces", "5 oz"),
        ("2 pounds", "2 lb"),
        ("90 minutes", "90 min"),
        ("2 hours", "2 h"),
        ("45 degrees", "45 deg"),
        ("6’ 2½”", "74 1/2 in"),
        ("2½“", "2 1/2 in"),
        ("2‑1/2 in", "2 1/2 in"),
        ("2\u{202f}1/2\u{a0}in", "2 1/2 in"),
        ("1⁄2 in", "1/2 in"),
        (".5 in", "1/2 in"),
        ("0 in", "0 in"),
        ("1/64 in", "under 1/32 in (1/64 in)"),
        ("4 13/64 in", "generous 4 3/16 in (4 13/64 in)"),
    ] {
        assert_eq!(shown(text), want, "{text}");
    }
}

#[test]
fn arithmetic_follows_the_leftmost() {
    let manner = Manner::default();
    let sum = q("12 in").add(&q("25.4 mm")).map(|sum| sum.show(&manner));
    assert_eq!(sum.as_deref(), Ok("13 in"));
    let sum = q("2.54 cm").add(&q("1 in")).map(|sum| sum.show(&manner));
    assert_eq!(sum.as_deref(), Ok("5.08 cm"));
    let cost = q("14.50 EUR/m").mul(&q("3 m")).map(|sum| sum.show(&manner));
    assert_eq!(cost.as_deref(), Ok("43.50 EUR"));
    let up = q("21 in").round_to(&q("1/8 yd"), Way::Up).map(|up| up.show(&manner));
    assert_eq!(up.as_deref(), Ok("5/8 yd"));
    let root = q("18 in^2").sqrt().map(|root| root.show(&ruler("1/8 in")));
    assert_eq!(root.as_deref(), Ok("scant 4 1/4 in (about 4.243 in)"));
    let root = q("16 in^2").sqrt().map(|root| root.show(&manner));
    assert_eq!(root.as_deref(), Ok("4 in"));
    assert_eq!(q("2 in").mul(&q("2 in")).map(|a| a.show(&manner)).as_deref(), Ok("4 in^2"));
    assert_eq!(Quantity::pi().show(&manner), "about 3.1416");
}

#[test]
fn sizes_read_and_print() {
    for (text, want) in [
        ("16 in by 60 in", "16 in by 60 in"),
        ("12 by 36 in", "12 in by 36 in"),
        ("12 in by 36", "12 in by 36 in"),
        ("15 1/4\" by 50-1/2\"", "15 1/4 in by 50 1/2 in"),
    ] {
        let shown = size(text).map(|(across, along)| show_size(&across, &along, &Manner::default()));
        assert_eq!(shown.as_deref(), Ok(want), "{text}");
    }
    assert!(size("12 by 36").is_err());
    assert!(size("12 in by").is_err());
    assert!(size("12 in by 3 EUR").is_err());
}
