//! The whole-recipe check: mistakes found before anything is worked, and no false alarm.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // a test that fails panics

use proptest::prelude::*;
use scant::engine::{Limits, NoFiles, compile};
use scant::fault::{Code, Fault, Files};

fn check(text: &str) -> Vec<Fault> {
    compile("a.scant", text, &mut Files::new(), &NoFiles, &Limits::default()).err().unwrap_or_default()
}

fn codes(text: &str) -> Vec<Code> {
    check(text).iter().map(|fault| fault.code).collect()
}

#[test]
fn a_sound_recipe_is_passed_without_a_word() {
    let sound = [
        "rule twice(x) = 2 * x\na = twice(3 in) + 1 in\nb = twice(3 in by 4 in).across + 1 in",
        "rule area(a, b) = a * b\na = area(2 in, 3 in) + 1 in^2\nb = area(2, 3 in) + 1 in",
        "rule scale(s, k) = s * k\na = scale(2 in by 3 in, 2).along + 1 in\nb = scale(2, 2 in) + 1 in",
        "rule pick(c, x, y) = if c then x else y\na = pick(yes, 2 in, 3 in^2)\nb = pick(no, 2 in, 3 in) + 1 in",
        "rule side(a) = sqrt(a)\na = side(4 in^2) + 1 in\nb = side(9) + 1",
        "rule fill(w, gap = no) = if gap is no then w else w + gap\na = fill(2 in) + fill(2 in, gap: 1 in)",
        "rule tri(n) = if n > 0 then n + tri(n - 1) else 0\na = tri(3) + 1",
        "rule wide(s) = s.across\na = wide(2 in by 3 in) + wide({across: 4 in})",
        "xs = each k from 1 to 3: {at: k * 1 in, n: k}\na = xs[2].at + 1 in\nb = sum(each x in xs: x.n) + 1",
        "a = if 1 < 2 then 5 in else refuse(\"never\")\nb = a + 1 in",
        "given price = 2 EUR\na = 3 * price + 1 EUR",
        "a = 2 in^2 / 1 in + (16 in^4)^(1/2) / 2 in",
        "rule pow(x, n) = x^n\na = pow(2, 3) + 1\nb = pow(2 in, 2)",
        "a = largest([1 in, 2 in]) + smallest(3 cm, 1 in)\nb = (how many 5 in from 42 in).left + 1 in",
    ];
    for text in sound {
        let faults = check(text);
        assert!(faults.is_empty(), "{text}\n{faults:?}");
    }
}

#[test]
fn each_kind_of_mistake_is_found() {
    let wrong = [
        ("a = 2 in\nb = if a > 1 in then a else a + 2", Code::UnitMix),
        ("rule area(a, b) = a * b\na = area(2 in, 3 in) + 1 in", Code::UnitMix),
        ("rule total(a, b) = a + b\na = total(2 in, 3 in^2)", Code::WrongKind),
        ("rule side(a) = sqrt(a)\na = side(3 in)", Code::WrongKind),
        ("rule scale(s, k) = s * k\na = scale(2 in by 3 in, 2 in)", Code::UnitMix),
        ("rule wide(s) = s.across\na = wide(3 in)", Code::UnknownPart),
        ("rule bad(x: length): area = x + x", Code::WrongKind),
        ("rule never(x: length) = x + x * x", Code::UnitMix),
        ("a = {b: 1 in}.c", Code::UnknownPart),
        ("xs = each k from 1 to 3: k * 1 in\na = sum(xs) + 1", Code::UnitMix),
        ("a = 1 EUR + 1 USD", Code::MoneyMix),
        ("given w = 3 in\nsizes\n  \"s\" w = 4", Code::WrongKind),
        ("given w = 3 in from 1 to 2 in", Code::UnitMix),
        ("a = (2 in)^3 - 1 in^2", Code::UnitMix),
        ("check 3 in", Code::WrongKind),
        ("a = double_binding_cut(3 in^2)", Code::WrongKind),
        ("a = tucks_take(2.5, depth: 1/8 in)", Code::WrongKind),
        ("a = whole_repeats(9 in, wished: 2 in).repeats", Code::UnknownPart),
    ];
    for (text, code) in wrong {
        assert_eq!(codes(text), [code], "{text}\n{:?}", check(text));
    }
}

#[test]
fn all_mistakes_are_told_at_once_and_what_follows_is_silent() {
    let found = codes("a = 1 in + 2\nb = a + 3 in^2\nc = b * 2 + 1 kg\nd = nowhere + 1 in\ne = 2 EUR < 1 in");
    assert_eq!(found, [Code::UnitMix, Code::UnknownName, Code::UnitMix]);
}

/// A formula of small parts, well-formed or not.
fn formula() -> impl Strategy<Value = String> {
    let leaf = prop_oneof![
        Just("2".to_owned()),
        Just("3 in".to_owned()),
        Just("5 in^2".to_owned()),
        Just("4 kg".to_owned()),
        Just("(2 in by 3 in)".to_owned()),
        Just("w".to_owned()),
        Just("n".to_owned()),
    ];
    leaf.prop_recursive(4, 24, 3, |inner| {
        let pair = (inner.clone(), inner.clone());
        prop_oneof![
            pair.clone().prop_map(|(a, b)| format!("({a} + {b})")),
            pair.clone().prop_map(|(a, b)| format!("({a} * {b})")),
            pair.clone().prop_map(|(a, b)| format!("({a} / {b})")),
            pair.clone().prop_map(|(a, b)| format!("(if {a} < {b} then {a} else {b})")),
            pair.clone().prop_map(|(a, b)| format!("largest({a}, {b})")),
            pair.clone().prop_map(|(a, b)| format!("sum([{a}, {b}])")),
            pair.clone().prop_map(|(a, b)| format!("both({a}, {b})")),
            pair.prop_map(|(a, b)| format!("times({a}, {b})")),
            inner.clone().prop_map(|a| format!("{a}.across")),
            inner.clone().prop_map(|a| format!("sqrt({a} * {a})")),
            inner.clone().prop_map(|a| format!("(each k from 1 to 2: {a} * k)[2]")),
            inner.prop_map(|a| format!("{{p: {a}}}.p")),
        ]
    })
}

const DIMENSIONS: &[Code] = &[Code::UnitMix, Code::MoneyMix, Code::WrongKind, Code::UnknownPart];

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    /// What passes the check never fails on dimensions; what the run refuses on its first line, the
    /// check refused too.
    #[test]
    fn what_passes_never_fails_on_dimensions(a in formula(), b in formula()) {
        let text = format!(
            "rule both(x, y) = x + y\nrule times(x, y) = x * y\ngiven w = 7 in\ngiven n = 3\na = {a}\nb = {b}\nshow a\nshow b"
        );
        let mut files = Files::new();
        if let Ok(mut recipe) = compile("a.scant", &text, &mut files, &NoFiles, &Limits::default())
            && recipe.notes.is_empty()
        {
            let run = recipe.run(&[], None);
            let failed: Vec<&Fault> =
                run.faults.iter().filter(|fault| DIMENSIONS.contains(&fault.code)).collect();
            prop_assert!(failed.is_empty(), "{}\n{:?}", text, failed);
        }
    }
}
