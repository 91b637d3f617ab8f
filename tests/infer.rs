//! The whole-recipe check: mistakes found before anything is worked, and no false alarm.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // a test that fails panics

use proptest::prelude::*;
use scant::eval::limits::Limits;
use scant::fault::{Code, Fault, Files};
use scant::recipe::build::compile;
use scant::recipe::used::NoFiles;

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
        ("a = whole_repeats(9 in, target: 2 in).repeats", Code::UnknownPart),
    ];
    for (text, code) in wrong {
        assert_eq!(codes(text), [code], "{text}\n{:?}", check(text));
    }
}

#[test]
fn all_mistakes_are_told_at_once_and_what_follows_is_silent() {
    let found = codes("a = 1 in + 2\nb = a + 3 in^2\nc = a * 2 + 1 kg\nd = nowhere + 1 in\ne = 2 EUR < 1 in");
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

/// What a well-formed formula measures.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Made {
    Number,
    Length,
    Area,
    Size,
}

/// A formula that measures this, by rules that are generic, lists, records, choices and sums.
fn sound(made: Made, depth: u32) -> BoxedStrategy<String> {
    let leaf = match made {
        Made::Number => {
            prop_oneof![Just("2".to_owned()), Just("n".to_owned()), Just("1/2".to_owned())].boxed()
        }
        Made::Length => {
            prop_oneof![Just("3 in".to_owned()), Just("w".to_owned()), Just("2 cm".to_owned())].boxed()
        }
        Made::Area => prop_oneof![Just("5 in^2".to_owned()), Just("w * w".to_owned())].boxed(),
        Made::Size => prop_oneof![Just("(2 in by 3 in)".to_owned()), Just("s".to_owned())].boxed(),
    };
    if depth == 0 {
        return leaf;
    }
    let one = sound(made, depth - 1);
    let two = (sound(made, depth - 1), sound(made, depth - 1));
    let number = sound(Made::Number, depth - 1);
    let mut ways = vec![
        leaf,
        two.clone().prop_map(|(a, b)| format!("(({a}) + ({b}))")).boxed(),
        two.clone().prop_map(|(a, b)| format!("both({a}, {b})")).boxed(),
        two.clone().prop_map(|(a, b)| format!("sum([{a}, {b}])")).boxed(),
        two.clone().prop_map(|(a, b)| format!("(if n < 9 then {a} else {b})")).boxed(),
        two.clone().prop_map(|(a, b)| format!("perhaps({a}, more: {b})")).boxed(),
        one.clone().prop_map(|a| format!("perhaps({a})")).boxed(),
        one.clone().prop_map(|a| format!("{{p: {a}, q: 1}}.p")).boxed(),
        one.clone().prop_map(move |a| format!("(each k{depth} from 1 to 2: k{depth} * ({a}))[2]")).boxed(),
        (number, one.clone()).prop_map(|(n, a)| format!("times({n}, {a})")).boxed(),
        one.prop_map(|a| format!("held({{v: {a}}})")).boxed(),
    ];
    let length = || sound(Made::Length, depth - 1);
    match made {
        Made::Number => {
            ways.push((length(), length()).prop_map(|(a, b)| format!("(({a}) / (1 in + abs({b})))")).boxed())
        }
        Made::Length => {
            ways.push(sound(Made::Size, depth - 1).prop_map(|s| format!("({s}).across")).boxed());
            ways.push(sound(Made::Area, depth - 1).prop_map(|a| format!("sqrt(abs({a}))")).boxed());
            ways.push((length(), length()).prop_map(|(a, b)| format!("largest({a}, {b})")).boxed());
        }
        Made::Area => ways.push((length(), length()).prop_map(|(a, b)| format!("times({a}, {b})")).boxed()),
        Made::Size => ways.push((length(), length()).prop_map(|(a, b)| format!("(({a}) by ({b}))")).boxed()),
    }
    proptest::strategy::Union::new(ways).boxed()
}

fn recipe_of(a: &str, b: &str) -> String {
    format!(
        "rule both(x, y) = x + y\nrule times(x, y) = x * y\n\
         rule perhaps(x, more = no) = if more is no then x else x + more\nrule held(r) = r.v\n\
         given w = 7 in\ngiven n = 3\ngiven s = 4 in by 5 in\na = {a}\nb = {b}\nshow a\nshow b"
    )
}

/// Runs what passes the check; the faults that are about dimensions.
fn failed_on_dimensions(text: &str) -> Option<Vec<Fault>> {
    let mut recipe = compile("a.scant", text, &mut Files::new(), &NoFiles, &Limits::default()).ok()?;
    if !recipe.notes.is_empty() {
        return None;
    }
    let faults = recipe.run(&[], None).faults;
    Some(faults.into_iter().filter(|fault| DIMENSIONS.contains(&fault.code)).collect())
}

/// The text with one place changed as a slip of the hand would.
fn slipped(text: &str, at: usize, slip: usize) -> String {
    let slips = [
        (" in^2", " in"),
        (" in", " in^2"),
        (" in", ""),
        (" in", " kg"),
        ("w", "n"),
        ("n", "w"),
        (".across", ""),
        ("times", "both"),
        (" + ", " * "),
        (" by ", " * "),
    ];
    let (from, to) = slips[slip % slips.len()];
    let body = text.find("a = ").unwrap_or(0);
    let places: Vec<usize> =
        text.match_indices(from).map(|(place, _)| place).filter(|place| *place > body).collect();
    match places.get(at % places.len().max(1)) {
        Some(place) => format!("{}{to}{}", &text[..*place], &text[place + from.len()..]),
        None => text.to_owned(),
    }
}

const DIMENSIONS: &[Code] = &[Code::UnitMix, Code::MoneyMix, Code::WrongKind, Code::UnknownPart];

/// Texts of `tests/hostile`.
fn hostile(name: &str) -> String {
    std::fs::read_to_string(format!("{}/tests/hostile/{name}", env!("CARGO_MANIFEST_DIR"))).unwrap()
}

#[test]
fn a_rule_of_many_unknowns_is_checked_in_bounded_work_and_stack() {
    for name in ["stack_overflow.scant", "check_hangs.scant"] {
        assert!(check(&hostile(name)).is_empty(), "{name}");
    }
}

#[test]
fn what_the_check_leaves_to_the_run_is_said() {
    let params: Vec<String> = (0..130).map(|at| format!("p{at}")).collect();
    let text = format!(
        "rule f({}) = {} < {}\nx = 1 in\n",
        params.join(", "),
        params[..120].join(" * "),
        params[120..].join(" * ")
    );
    let recipe = compile("a.scant", &text, &mut Files::new(), &NoFiles, &Limits::default()).unwrap();
    let told: Vec<&str> = recipe.notes.iter().map(|fault| fault.message.as_str()).collect();
    assert_eq!(
        told,
        ["`f` has too many arguments and names without a kind: some are checked only when the recipe runs"]
    );
}

/// Products of parameters compared with each other, some of them given to the rule as measures.
fn compared() -> impl Strategy<Value = String> {
    let product = proptest::collection::vec(0..40usize, 1..7)
        .prop_map(|factors| factors.iter().map(|at| format!("p{at}")).collect::<Vec<_>>().join(" * "));
    proptest::collection::vec((product.clone(), product), 1..9).prop_map(|pairs| {
        let params: Vec<String> = (0..40).map(|at| format!("p{at}")).collect();
        let compared: Vec<String> = pairs.iter().map(|(a, b)| format!("{a} < {b}")).collect();
        let numbers = vec!["2"; 40].join(", ");
        format!("rule f({}) = [{}]\nx = f({numbers})\nshow x", params.join(", "), compared.join(", "))
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    /// Bare numbers satisfy every comparison of products, however many unknowns meet in it.
    #[test]
    fn comparisons_of_products_take_bare_numbers(text in compared()) {
        let refused = check(&text);
        prop_assert!(refused.is_empty(), "{}\n{:?}", text, refused);
    }

    /// A sound recipe is never refused, and does not fail on dimensions.
    #[test]
    fn a_well_formed_recipe_passes_and_runs(a in sound(Made::Length, 3), b in sound(Made::Size, 3)) {
        let text = recipe_of(&a, &b);
        let refused = check(&text);
        prop_assert!(refused.is_empty(), "{}\n{:?}", text, refused);
        let failed = failed_on_dimensions(&text);
        prop_assert!(failed.as_ref().is_some_and(Vec::is_empty), "{}\n{:?}", text, failed);
    }

    /// After a slip it is refused, or it does not fail on dimensions.
    #[test]
    fn a_slip_is_found_before_the_run(a in sound(Made::Area, 3), b in sound(Made::Length, 3), at in 0..40usize, slip in 0..10usize) {
        let text = slipped(&recipe_of(&a, &b), at, slip);
        let failed = failed_on_dimensions(&text).unwrap_or_default();
        prop_assert!(failed.is_empty(), "{}\n{:?}", text, failed);
    }

    /// The same for formulas that were never well-formed.
    #[test]
    fn what_passes_never_fails_on_dimensions(a in formula(), b in formula()) {
        let text = recipe_of(&a, &b);
        let failed = failed_on_dimensions(&text).unwrap_or_default();
        prop_assert!(failed.is_empty(), "{}\n{:?}", text, failed);
    }
}

#[test]
fn every_rule_of_the_library_is_sound_in_every_branch() {
    let tried = scant::help::tries::try_library(&mut Files::new(), &Limits::default());
    assert!(tried.faults.is_empty(), "{:?}", tried.faults);
}

#[test]
fn every_example_passes_without_a_word() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/examples");
    let mut seen = 0;
    for entry in std::fs::read_dir(folder).unwrap().flatten() {
        let path = entry.path();
        if path.extension().is_none_or(|kind| kind != "scant") {
            continue;
        }
        seen += 1;
        let mut files = Files::new();
        let text = std::fs::read_to_string(&path).unwrap();
        let recipe = compile("e.scant", &text, &mut files, &NoFiles, &Limits::default()).unwrap();
        let told: Vec<Fault> = recipe.notes.iter().cloned().chain(recipe.second_look(&files)).collect();
        assert!(told.is_empty(), "{path:?}\n{told:?}");
    }
    assert!(seen > 5);
}

#[test]
fn a_second_look_finds_what_is_idle() {
    let text = "given depth = 1 in from 1/2 in to 2 in\ngiven in_width = 3\ngiven n = 4\nidle = 2 in\n\
                check depth <= 2 in\ncheck 1 in < 2 in\nstep \"Mark in_width lines.\"\nshow depth / n";
    let mut files = Files::new();
    let recipe = compile("a.scant", text, &mut files, &NoFiles, &Limits::default()).unwrap();
    let told: Vec<String> = recipe.second_look(&files).into_iter().map(|fault| fault.message).collect();
    let wanted = [
        "the given `in_width` changes nothing: no line uses it",
        "`n` has no bounds, and a number cannot be divided by 0",
        "`idle` is calculated, and no line uses it",
        "this check can never fail: `depth` is always within its bounds",
        "nothing in this check changes: the answer is always the same",
        "this step prints the word `in_width`, not its value",
    ];
    assert_eq!(told, wanted);
}
