//! How an answer reads: each clause by itself, and that a reading gives the value back or says that it
//! does not.
#![allow(clippy::panic)] // a literal that cannot be read is a test that fails

use proptest::prelude::*;
use scant::measure::{
    Exact, Manner, Number, Quantity, Reading, Ruler, System, Trouble, UnitExpr, UnitId, Units, Way,
    common_units, literal, mark_size, show_size, size, write_slack,
};

fn q(text: &str) -> Quantity {
    literal(text).unwrap_or_else(|fault| panic!("{text}: {fault:?}"))
}

fn unit(text: &str) -> UnitExpr {
    UnitExpr::parse(text).unwrap_or_else(|fault| panic!("{text}: {fault:?}"))
}

fn ok(result: Result<Quantity, Trouble>) -> Quantity {
    result.unwrap_or_else(|trouble| panic!("{trouble:?}"))
}

/// A value worked out: half of twice the literal.
fn worked(text: &str) -> Quantity {
    ok(ok(q(text).mul(&Quantity::whole(2))).div(&Quantity::whole(2)))
}

fn no_ruler(quantity: &Quantity) -> String {
    quantity.show(&Manner::default())
}

fn ruler(step: &str) -> Manner {
    let ruler = Ruler::from_step(&q(step));
    assert!(ruler.is_some(), "{step}");
    Manner { ruler, both: false }
}

fn all(manner: &Manner, cases: &[(&str, &str)]) {
    for (text, want) in cases {
        assert_eq!(worked(text).show(manner), *want, "{text}");
    }
}

#[test]
fn the_ruler_decides_the_system_else_the_leftmost_term() {
    assert_eq!(no_ruler(&ok(q("12 in").add(&q("2.54 cm")))), "13 in");
    assert_eq!(no_ruler(&ok(q("2.54 cm").add(&q("12 in")))), "33.02 cm");
    assert_eq!(no_ruler(&ok(q("1 m").add(&q("20 cm")))), "1.2 m");
    assert_eq!(no_ruler(&ok(q("20 cm").add(&q("1 m")))), "120 cm");
    assert_eq!(worked("10 in").show(&ruler("1 mm")), "25.4 cm");
    assert_eq!(worked("25.4 mm").show(&ruler("1/8 in")), "1 in");
    assert_eq!(ok(q("10 in").shown_in(&unit("mm"))).show(&ruler("1/8 in")), "254 mm");
    let both = Manner { ruler: None, both: true };
    assert_eq!(q("4 1/2 in").show(&both), "4 1/2 in / 11.43 cm");
    assert_eq!(q("10 cm").show(&both), "10 cm / scant 3 15/16 in");
    assert_eq!(q("5 EUR").show(&both), "5.00 EUR");
}

#[test]
fn metres_rounded_to_a_metric_step_stay_metres() {
    let up = |text: &str, step: &str| no_ruler(&ok(q(text).round_to(&q(step), Way::Up)));
    assert_eq!(up("2.34 m", "10 cm"), "2.4 m");
    assert_eq!(up("0.94 m", "1 cm"), "94 cm");
    assert_eq!(up("234 cm", "10 cm"), "240 cm");
    assert_eq!(up("2 m", "1/8 yd"), "2 1/4 yd");
}

#[test]
fn metric_units_move_to_where_the_number_is_from_1_to_below_1000() {
    let cases = [
        ("3 m", "3 m"),
        ("997.92 m", "997.92 m"),
        ("1500 m", "1500 m"),
        ("1.2 mm", "1.2 mm"),
        ("860 mm", "860 mm"),
        ("999 mm", "999 mm"),
        ("1000 mm", "100 cm"),
        ("3000 mm", "3 m"),
        ("299 cm", "299 cm"),
        ("300 cm", "3 m"),
        ("0.5 cm", "5 mm"),
        ("0.5 m", "50 cm"),
        ("0.005 m", "5 mm"),
        ("0 m", "0 m"),
        ("0 cm", "0 cm"),
        ("0.3 mm", "0.3 mm"),
        ("-0.5 m", "-50 cm"),
    ];
    all(&Manner::default(), &cases);
    all(&ruler("1 mm"), &cases);
    // A given keeps what was typed.
    assert_eq!(no_ruler(&q("1500 mm").as_typed()), "1500 mm");
    assert_eq!(no_ruler(&q("0.5 m").as_typed()), "0.5 m");
    assert_eq!(no_ruler(&q("0.25 mm").as_typed()), "0.25 mm");
    assert_eq!(q("1/64 in").as_typed().show(&ruler("1/8 in")), "1/64 in");
    assert_eq!(q("4 13/64 in").as_typed().show(&ruler("1 mm")), "4 13/64 in");
    assert_eq!(no_ruler(&q("1/3 yd").as_typed()), "1/3 yd");
    assert_eq!(no_ruler(&q("2 1/3 oz").as_typed()), "about 2.33 oz");
}

#[test]
fn inches_stay_inches() {
    all(&Manner::default(), &[("3000 in", "3000 in"), ("2 yd", "72 in"), ("3 ft", "36 in")]);
    for (text, want) in
        [("2 yd", "2 yd"), ("5/8 yd", "5/8 yd"), ("1/3 yd", "12 in"), ("4 1/2 ft", "4 1/2 ft")]
    {
        assert_eq!(no_ruler(&q(text)), want);
    }
    assert_eq!(no_ruler(&ok(q("2 yd").add(&q("1 in")))), "73 in");
    assert_eq!(no_ruler(&ok(q("21 in").round_to(&q("1/8 yd"), Way::Up))), "5/8 yd");
    let sides = size("1 yd by 2 yd").unwrap_or_else(|fault| panic!("{fault:?}"));
    assert_eq!(show_size(&sides.0, &sides.1, &Manner::default()), "36 in by 72 in");
}

#[test]
fn a_list_a_column_and_a_size_read_in_one_unit() {
    let in_one = |texts: &[&str]| {
        let values: Vec<Quantity> = texts.iter().map(|text| worked(text)).collect();
        let units = common_units(&values, &Manner::default());
        values
            .iter()
            .map(|value| units.map_or(value.clone(), |units| value.in_units(units)))
            .map(|value| no_ruler(&value))
            .collect::<Vec<_>>()
            .join(", ")
    };
    assert_eq!(in_one(&["3 m", "150 cm"]), "3 m, 1.5 m");
    assert_eq!(in_one(&["3 m", "50 cm"]), "300 cm, 50 cm");
    assert_eq!(in_one(&["0 cm", "3 m"]), "0 m, 3 m");
    assert_eq!(in_one(&["12 cm", "5 mm"]), "120 mm, 5 mm");
    assert_eq!(in_one(&["2 yd", "9 in"]), "72 in, 9 in");
    assert_eq!(in_one(&["2.5 m^2", "400 cm^2"]), "25000 cm^2, 400 cm^2");
    assert_eq!(in_one(&["2.5 kg", "400 g"]), "2500 g, 400 g");
    assert_eq!(in_one(&["2.5 kg", "1400 g"]), "2.5 kg, 1.4 kg");
    assert_eq!(in_one(&["3 m", "5 EUR"]), "3 m, 5.00 EUR");
    let typed = [q("3/4 yd"), q("1 1/2 yd")];
    assert_eq!(common_units(&typed, &Manner::default()), Some(Units::one(UnitId::YD)));
    let asked = [q("3 m"), ok(q("50 cm").shown_in(&unit("mm")))];
    assert_eq!(common_units(&asked, &Manner::default()), None);
    for (text, want) in [
        ("40 cm by 1.5 m", "40 cm by 150 cm"),
        ("1.2 m by 1.5 m", "1.2 m by 1.5 m"),
        ("5 cm by 12.5 m", "5 cm by 12.5 m"),
        ("12 by 36 in", "12 in by 36 in"),
        ("5 mm by 80 cm", "5 mm by 800 mm"),
    ] {
        let (across, along) = size(text).unwrap_or_else(|fault| panic!("{fault:?}"));
        assert_eq!(show_size(&across, &along, &Manner::default()), want);
        assert_eq!(mark_size(&across, &along, &Manner::default()), want);
    }
    let (across, along) = size("4 1/2 in by 10 in").unwrap_or_else(|fault| panic!("{fault:?}"));
    let both = Manner { ruler: None, both: true };
    assert_eq!(show_size(&across, &along, &both), "4 1/2 in by 10 in / 11.43 cm by 25.4 cm");
}

#[test]
fn an_inch_value_reads_as_a_fraction_or_says_scant_or_generous() {
    all(
        &ruler("1/8 in"),
        &[
            ("1 13/16 in", "1 13/16 in"),
            ("4 1/8 in", "4 1/8 in"),
            ("4 15/128 in", "scant 4 1/8 in (about 4.117 in)"),
            ("4 9/64 in", "generous 4 1/8 in (4 9/64 in)"),
            // More than a hair from the mark: the nearest half mark.
            ("4 11/64 in", "scant 4 3/16 in (4 11/64 in)"),
            ("-4 11/64 in", "scant -4 3/16 in (-4 11/64 in)"),
        ],
    );
    all(
        &ruler("1/4 in"),
        &[
            ("4 13/64 in", "generous 4 3/16 in (4 13/64 in)"),
            ("4 15/64 in", "scant 4 1/4 in (4 15/64 in)"),
            ("4 9/32 in", "generous 4 1/4 in (4 9/32 in)"),
            ("4 1/8 in", "4 1/8 in"),
            ("-4 15/64 in", "scant -4 1/4 in (-4 15/64 in)"),
            ("1/16 in", "1/16 in"),
            ("10 cm", "scant 3 15/16 in (about 3.937 in)"),
        ],
    );
    all(&ruler("1/32 in"), &[("4 13/64 in", "4 13/64 in"), ("1/64 in", "1/64 in")]);
    all(
        &Manner::default(),
        &[
            ("1/32 in", "1/32 in"),
            ("3/64 in", "scant 1/16 in (3/64 in)"),
            ("1/64 in", "under 1/32 in (1/64 in)"),
            ("-1/64 in", "under 1/32 in (-1/64 in)"),
            ("0.7 in", "generous 11/16 in (0.7 in)"),
            ("1/3 in", "generous 5/16 in (1/3 in)"),
            ("2 1/7 in", "generous 2 1/8 in (2 1/7 in)"),
            ("2 1/13 in", "generous 2 1/16 in (about 2.077 in)"),
            ("0.0004 in", "under 1/32 in (about 0.0004 in)"),
        ],
    );
    // A step of the prompt holds the reading without its bracket.
    assert_eq!(q("1 13/16 in").mark(&ruler("1/8 in")), "1 13/16 in");
    assert_eq!(q("4 13/64 in").mark(&ruler("1/4 in")), "generous 4 3/16 in");
    assert!(q("1 13/16 in").is_between_marks(&ruler("1/8 in")));
    assert!(!q("1 7/8 in").is_between_marks(&ruler("1/8 in")));
    assert!(!q("4 13/64 in").is_between_marks(&ruler("1/8 in")), "it says generous");
}

#[test]
fn approximate_lengths_say_so() {
    let root = ok(q("18 in^2").sqrt());
    assert_eq!(root.show(&ruler("1/8 in")), "scant 4 1/4 in (about 4.243 in)");
    // Bounds that hold the mark leave it open on which side the value lies.
    let around = ok(ok(q("2 in^2").sqrt()).mul(&ok(q("2").sqrt())));
    assert_eq!(no_ruler(&around), "about 2 in");
    let around = ok(ok(q("2 cm^2").sqrt()).mul(&ok(q("2").sqrt())));
    assert_eq!(no_ruler(&around), "about 2 cm");
    assert_eq!(no_ruler(&Quantity::pi()), "about 3.1416");
}

#[test]
fn a_metric_value_reads_to_the_tenth_of_a_millimetre() {
    all(
        &Manner::default(),
        &[
            ("122.5 mm", "122.5 mm"),
            ("12.25 cm", "12.25 cm"),
            ("1.5875 mm", "scant 2 mm (about 1.588 mm)"),
            ("122.55 mm", "scant 123 mm (122.55 mm)"),
            ("33 1/3 cm", "generous 33.3 cm (about 33.3333 cm)"),
            ("1 1/3 m", "generous 1.333 m (about 1.333333 m)"),
            ("0.345 mm", "under 1 mm (0.345 mm)"),
            ("-0.345 mm", "under 1 mm (-0.345 mm)"),
            ("0.65 mm", "scant 1 mm (0.65 mm)"),
        ],
    );
    all(
        &ruler("5 mm"),
        &[
            ("121.3 mm", "121.3 mm"),
            ("120.55 mm", "generous 120 mm (120.55 mm)"),
            ("121.35 mm", "generous 121 mm (121.35 mm)"),
        ],
    );
    assert_eq!(worked("4 1/2 in").show(&ruler("1 mm")), "11.43 cm");
    assert_eq!(worked("1/16 in").show(&ruler("1 mm")), "scant 2 mm (about 1.588 mm)");
}

#[test]
fn areas_weights_times_and_rates() {
    all(
        &Manner::default(),
        &[
            ("5000 cm^2", "5000 cm^2"),
            ("10000 cm^2", "1 m^2"),
            ("0.5 m^2", "5000 cm^2"),
            ("25 mm^2", "0.25 cm^2"),
            ("1/3 m^2", "about 3333.33 cm^2"),
            ("0.004 cm^2", "0.004 cm^2"),
            ("56 1/4 in^2", "56.25 in^2"),
            ("2 yd^2", "2 yd^2"),
            ("2 ft^2", "2 ft^2"),
            ("0.5 kg", "500 g"),
            ("1200 g", "1.2 kg"),
            ("20 oz", "20 oz"),
            ("2 lb", "2 lb"),
            ("90 min", "90 min"),
            ("1 1/3 h", "about 1.33 h"),
            ("120 gsm", "120 gsm"),
            ("4 1/3 oz/yd^2", "about 4.3333 oz/yd^2"),
            ("14.5 EUR/m", "14.50 EUR/m"),
            ("1 1/3 EUR/m", "about 1.3333 EUR/m"),
            ("22 1/2 deg", "22.5 deg"),
        ],
    );
    // Yards typed as lengths make square inches.
    assert_eq!(no_ruler(&ok(q("1 yd").mul(&q("2 yd")))), "2592 in^2");
    assert_eq!(no_ruler(&ok(q("5 oz/yd^2").mul(&q("2 yd^2")))), "10 oz");
    assert_eq!(no_ruler(&ok(q("2 yd^2").mul(&q("5 oz/yd^2")))), "10 oz");
    assert_eq!(no_ruler(&ok(q("20 min").add(&q("1 h")))), "80 min");
    assert_eq!(no_ruler(&ok(q("6 m").div(&q("2 m/h")))), "3 h");
}

#[test]
fn percent_and_plain_numbers() {
    all(
        &Manner::default(),
        &[
            ("12", "12"),
            ("3/4", "3/4"),
            ("2 5/16", "2 5/16"),
            ("1/3", "1/3"),
            ("2 1/6", "2 1/6"),
            ("0.2", "0.2"),
            ("1/7", "about 0.1429"),
            ("2 1/7", "about 2.1429"),
            ("1/32", "0.03125"),
            ("0.001234", "0.001234"),
            ("1/1700", "about 0.0005882"),
        ],
    );
    assert_eq!(no_ruler(&worked("1/64")), "about 0.01563");
    let percent = |text: &str| no_ruler(&q(text));
    assert_eq!(percent("4.5%"), "4.5%");
    assert_eq!(percent("33 1/3%"), "about 33.33%");
    let five = q("5%");
    assert_eq!(no_ruler(&ok(q("100%").add(&five))), "105%");
    assert_eq!(no_ruler(&ok(five.mul(&Quantity::whole(3)))), "15%");
    assert_eq!(no_ruler(&ok(five.div(&Quantity::whole(2)))), "2.5%");
    // So much of a number is a number.
    assert_eq!(no_ruler(&ok(Quantity::whole(20).mul(&q("110%")))), "22");
    assert_eq!(no_ruler(&ok(q("50%").div(&q("20%")))), "2 1/2");
    assert_eq!(no_ruler(&ok(q("50%").mul(&q("2 m")))), "1 m");
}

#[test]
fn money_reads_in_its_minor_unit() {
    all(
        &Manner::default(),
        &[
            ("7.9 EUR", "7.90 EUR"),
            ("7.905 EUR", "7.91 EUR (7.905 EUR)"),
            ("1 1/3 EUR", "1.33 EUR (about 1.3333 EUR)"),
            ("0.001 EUR", "under 0.01 EUR (0.001 EUR)"),
            ("1200 JPY", "1200 JPY"),
            ("0.5 JPY", "1 JPY (0.5 JPY)"),
        ],
    );
    assert_eq!(worked("7.905 EUR").mark(&Manner::default()), "about 7.91 EUR");
}

#[test]
fn amounts_of_slack_round_up() {
    let slack = |middle: &str, off: &str, manner: &Manner| {
        let mut out = String::new();
        write_slack(&worked(middle), q(off).number.upper(), manner, &mut out);
        out
    };
    let none = Manner::default();
    assert_eq!(slack("96 in", "11/16 in", &none), "96 in ± 11/16 in");
    assert_eq!(slack("3 m", "2 mm", &none), "3 m ± 2 mm");
    assert_eq!(slack("10 cm", "1/3 mm", &none), "10 cm ± about 0.334 mm");
    assert_eq!(slack("20", "1/7", &none), "20 ± 1/7");
    assert_eq!(slack("2.05", "1/10", &none), "2.05 ± 0.1");
}

/// Measures of every sort, worked out, typed and asked for in units of their own.
fn measure() -> impl Strategy<Value = Quantity> {
    let units = vec![
        "in", "cm", "mm", "yd", "ft", "m", "in^2", "cm^2", "yd^2", "m^2", "g", "kg", "oz", "oz/yd^2",
        "EUR/m", "EUR", "JPY", "deg", "h", "min", "%", "gsm", "in^3", "m/min",
    ];
    let den = prop_oneof![prop::sample::select(vec![1i64, 2, 4, 8, 10, 16, 32, 64, 100, 1000]), 1i64..2_000];
    (-200_000i64..200_000, den, prop::sample::select(units), 0usize..3).prop_map(|(n, d, name, how)| {
        let typed = unit(name).apply(&Number::Exact(Exact::ratio(n, d).unwrap_or(Exact::ONE)));
        match how {
            0 => typed,
            1 => typed.shown_in(&unit(name)).unwrap_or(typed),
            _ => typed.mul(&Quantity::whole(1)).unwrap_or(typed),
        }
    })
}

fn manner() -> impl Strategy<Value = Manner> {
    let step = prop::sample::select(vec![
        "1/16 in", "1/8 in", "1/32 in", "1 in", "1 mm", "1/2 cm", "0.1 cm", "1 cm", "1/8 yd", "1/4 in",
        "0.5 m",
    ]);
    prop::option::of(step).prop_map(|step| {
        let ruler = step.and_then(|step| Ruler::from_step(&literal(step).unwrap_or(Quantity::whole(0))));
        Manner { ruler, both: false }
    })
}

/// Without `±` and the like: a reading with its word, if it has one.
fn word_of(reading: &str) -> (&str, &str) {
    let words = ["scant ", "generous ", "under ", "about "];
    words.iter().find_map(|word| Some((*word, reading.strip_prefix(word)?))).unwrap_or(("", reading))
}

fn difference(a: &Quantity, b: &Quantity) -> Option<Exact> {
    Some(a.sub(b).ok()?.number.exact()?.clone())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(6_000))]

    /// What is printed reads back as the same value, or says scant, generous, under or about.
    #[test]
    fn a_reading_gives_the_value_back_or_says_that_it_does_not(q in measure(), manner in manner()) {
        let shown = q.show(&manner);
        let (reading, exact) = match shown.split_once(" (") {
            Some((reading, rest)) => (reading, rest.trim_end_matches(')')),
            None => (shown.as_str(), shown.as_str()),
        };
        let (word, plain) = word_of(exact);
        let back = literal(plain);
        prop_assert!(back.is_ok(), "{}", shown);
        let off = back.ok().and_then(|back| difference(&back, &q));
        prop_assert!(off.is_some(), "{}", shown);
        let off = off.unwrap_or_default().abs();
        match word {
            "" => prop_assert!(off.is_zero(), "{}", shown),
            // The last place is rounded.
            "about " => {
                prop_assert!(!off.is_zero(), "{}", shown);
                let places = plain.split_once('.').map_or(0, |(_, rest)| rest.chars().take_while(char::is_ascii_digit).count());
                let half = Exact::whole(10).powi(-(places as i32)).unwrap_or_default() * Exact::ratio(1, 2).unwrap_or_default();
                let name = plain.trim_start_matches(['-', '.', ' ', '0', '1', '2', '3', '4', '5', '6', '7', '8', '9']);
                let factor = if name.is_empty() { Exact::ONE } else { unit(name).factor().clone() };
                prop_assert!(off <= half * factor, "{}", shown);
            }
            _ => prop_assert!(false, "{}", shown),
        }
        let (word, plain) = word_of(reading);
        let mark = literal(plain);
        prop_assert!(mark.is_ok(), "{}", shown);
        let size = |n: &Quantity| n.number.mid().abs();
        let (mark, value) = (mark.as_ref().map(size).unwrap_or_default(), size(&q));
        match word {
            "scant " => prop_assert!(value < mark, "{}", shown),
            "generous " => prop_assert!(value > mark, "{}", shown),
            "under " => prop_assert!(value < mark, "{}", shown),
            _ => {}
        }
        // A hair is 1/32 in, or 1 mm.
        if matches!(word, "scant " | "generous ") {
            let hair = if plain.ends_with("in") || plain.ends_with("yd") || plain.ends_with("ft") { Exact::ratio(127, 32) } else { Exact::ratio(5, 1) };
            prop_assert!((value - mark).abs() <= hair.unwrap_or_default(), "{}", shown);
        }
        // Alone, it says no less.
        let alone = q.mark(&manner);
        let (word, plain) = word_of(&alone);
        let back = literal(plain).ok().and_then(|back| difference(&back, &q));
        prop_assert!(back.is_some(), "{}", alone);
        prop_assert!(!word.is_empty() || back.is_some_and(|off| off.is_zero()), "{}", alone);
    }

    /// A metric number is from 1 to below 1000, of centimetres below 300, unless nothing smaller or larger is left.
    #[test]
    fn metric_numbers_are_of_a_size(n in 1i64..20_000_000, d in 1i64..1_000, own in 0usize..3) {
        let own = *[UnitId::MM, UnitId::CM, UnitId::M].get(own).unwrap_or(&UnitId::M);
        let number = Number::Exact(Exact::ratio(n, d).unwrap_or_default());
        let q = Quantity { number, dim: UnitId::M.dim(), reading: Reading::Like(Units::one(own)) };
        let count = q.units().count(&q.number).mid();
        match q.units().symbol().as_str() {
            "mm" => prop_assert!(count < Exact::whole(1000), "{:?}", q),
            "cm" => prop_assert!(count >= Exact::ONE && count < Exact::whole(300), "{:?}", q),
            _ => prop_assert!(count >= Exact::ONE, "{:?}", q),
        }
    }

    /// Products of units of any powers, up to where a product is refused.
    #[test]
    fn powers_of_units_read_back(
        factors in prop::collection::vec((0usize..12, -60i8..60, 1i64..1_000), 1..7),
        over in prop::bool::ANY,
    ) {
        const UNITS: [&str; 12] = ["m", "cm", "in", "yd", "g", "gsm", "oz", "min", "h", "deg", "EUR", "m"];
        let mut product = Quantity::whole(1);
        for (name, power, count) in factors {
            let power = if name == 10 || power == 0 { 1 } else { power };
            let Ok(unit) = literal(&format!("{count} {}^{power}", UNITS[name])) else { continue };
            let made = if over { product.div(&unit) } else { product.mul(&unit) };
            product = made.unwrap_or(product);
        }
        let shown = no_ruler(&product);
        if !word_of(&shown).0.is_empty() || shown.contains(" (") {
            return Ok(());
        }
        let back = literal(&shown);
        prop_assert!(back.is_ok(), "{} {:?}", shown, back);
        prop_assert!(back.is_ok_and(|back| back.compare(&product).is_ok_and(|order| order.is_eq())), "{}", shown);
    }

    /// In one unit none but 0 is below 1, unless it is the smallest of them.
    #[test]
    fn a_column_has_one_unit(items in prop::collection::vec((1i64..2_000_000, 1i64..100), 1..8), metric in prop::bool::ANY) {
        let system = if metric { System::Metric } else { System::Inch };
        let of = |(n, d): (i64, i64)| {
            let number = Number::Exact(Exact::ratio(n, d).unwrap_or_default());
            Quantity { number, dim: UnitId::M.dim(), reading: system.into() }
        };
        let items: Vec<Quantity> = items.into_iter().map(of).collect();
        let units = common_units(&items, &Manner::default());
        prop_assert!(units.is_some());
        let smallest = items.iter().map(|q| q.number.mid()).min().unwrap_or_default();
        if let Some(unit) = units.and_then(Units::single) {
            prop_assert!(smallest >= *unit.factor() || unit == UnitId::MM || unit == UnitId::IN);
        }
    }
}
