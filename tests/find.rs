//! Formulas run backwards: what is found, put back, gives the target; what is not there is not found.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // a test that fails panics

use proptest::prelude::*;
use scant::docket::{FigureValue, Found, Outcome};
use scant::eval::limits::Limits;
use scant::fault::Files;
use scant::measure::Quantity;
use scant::recipe::build::compile;
use scant::recipe::used::NoFiles;
use scant::report::{figure_text, found_text, working_text};
use scant::session::entry::Answer;
use scant::session::entry::Entered;
use scant::session::entry::Session;

fn enter(session: &mut Session, entry: &str) -> Entered {
    session.enter(entry, &NoFiles)
}

/// What the prompt says of entries; the last is told, faults too.
fn prompt(entries: &[&str]) -> String {
    let mut session = Session::new(Limits::default());
    let mut last = String::new();
    for entry in entries {
        last.clear();
        let entered = enter(&mut session, entry);
        for fault in &entered.faults {
            last.push_str(&format!("{}: {}\n", fault.code.as_str(), fault.message));
            fault.hints.iter().for_each(|hint| last.push_str(&format!("  {hint}\n")));
        }
        for said in &entered.answers {
            match said {
                Answer::Value(figure) => last.push_str(&figure_text(figure)),
                Answer::Found(found) => last.push_str(&found_text(found)),
                Answer::Working(working) => last.push_str(&working_text(working)),
                Answer::Words(words) => last.push_str(words),
                other => panic!("{other:?}"),
            }
        }
    }
    last
}

/// What is found of a question asked of a name that stands already, so that nothing is a fault.
fn asked(question: &str) -> Found {
    let mut session = Session::new(Limits::default());
    assert!(enter(&mut session, "x = 1 in").faults.is_empty());
    let entered = enter(&mut session, question);
    assert!(entered.faults.is_empty(), "{question}: {:?}", entered.faults);
    match entered.answers.into_iter().next() {
        Some(Answer::Found(found)) => found,
        other => panic!("{question}: {other:?}"),
    }
}

fn one(found: &Found) -> Quantity {
    match &found.outcome {
        Outcome::One(figure) => match &figure.value {
            FigureValue::Measure(quantity) => quantity.clone(),
            other => panic!("{other:?}"),
        },
        other => panic!("{other:?}\n{found:?}"),
    }
}

fn value(session: &mut Session, sum: &str) -> Quantity {
    match enter(session, sum).answers.first() {
        Some(Answer::Value(figure)) => match &figure.value {
            FigureValue::Measure(quantity) => quantity.clone(),
            other => panic!("{sum}: {other:?}"),
        },
        other => panic!("{sum}: {other:?}"),
    }
}

#[test]
fn a_straight_line_is_solved_exactly() {
    let told = prompt(&["find sashing from 1/2 in to 4 in so that 5 * 9 in + 6 * sashing is 60 in"]);
    assert!(told.starts_with("sashing = 2 1/2 in\n  exact: it changes in a straight line"), "{told}");
    let told = prompt(&["find s from 0 in to 4 in so that 7 * s is 10 in", "s"]);
    assert_eq!(told, "generous 1 7/16 in (1 3/7 in)".to_owned().replace("generous 1 7/16", "scant 1 7/16"));
    // Through rules, sizes, lists and choices that do not change.
    let told = prompt(&[
        "rule side(x: length, n: count = 3) = { gap = x / 2\n n * x + gap }",
        "find x from 1 in to 20 in so that (side(x) by 2 in).across + sum([x, 1 in]) is 10 in",
    ]);
    assert!(told.starts_with("x = 2 in\n  exact: it changes in a straight line"), "{told}");
}

#[test]
fn what_hangs_on_a_name_is_worked_anew() {
    let entries = ["depth = 1/8 in", "flat = 14 in + 10 * depth"];
    let told = prompt(&[entries[0], entries[1], "find depth from 1/16 in to 1 in so that flat is 16 in"]);
    assert!(told.starts_with("depth = generous 3/16 in (0.2 in)"), "{told}");
    assert!(told.contains("(0.2 in)") && told.contains("is not changed"), "{told}");
    let told =
        prompt(&[entries[0], entries[1], "find depth from 1/16 in to 1 in so that flat is 16 in", "flat"]);
    assert_eq!(told, "15 1/4 in");
}

#[test]
fn a_recipe_names_what_it_finds() {
    let recipe = "given flag = 9 in\nfind sashing from 1/2 in to 4 in so that 5 * flag + 6 * sashing is 60 in\ntop = 5 * flag + 6 * sashing\nshow top\nfind flag from 5 in to 12 in so that top is 75 in\n";
    let mut files = Files::new();
    let mut made = compile("r.scant", recipe, &mut files, &NoFiles, &Limits::default()).unwrap();
    let run = made.run(&[], None);
    assert!(run.faults.is_empty(), "{:?}", run.faults);
    assert_eq!(figure_text(&run.docket.shows[0].value), "60 in");
    assert_eq!(one(&run.docket.finds[0]).exact_text(), "2 1/2 in");
    // What was found stays what it is while `flag` is tried: the line is worked once.
    assert_eq!(one(&run.docket.finds[1]).exact_text(), "12 in");
}

#[test]
fn the_largest_count_shows_its_neighbour() {
    let told =
        prompt(&["depth = 1/8 in", "find most tucks from 1 to 40 so that 2 * depth * tucks <= 3 3/8 in"]);
    assert_eq!(
        told,
        "tucks = 13\n  the most from 1 to 40\n  at 13 it is 3 1/4 in: yes\n  at 14 it is 3 1/2 in: no\n"
    );
    let told = prompt(&["find most n from 1 to 5 so that n * 1 in <= 9 in"]);
    assert!(told.contains("n = 5") && told.contains("range ends there"), "{told}");
    let told = prompt(&["find least n from 1 to 1000000000 so that n * 1 in >= 12345 yd"]);
    assert!(told.starts_with("n = 444420\n"), "{told}");
}

#[test]
fn the_marks_of_a_ruler_are_searched() {
    let told = prompt(&["find hem from 1/2 in to 3 in on 1/8 in so that 4 * hem is 5 1/2 in"]);
    assert!(told.starts_with("hem = 1 3/8 in\n"), "{told}");
    let told = prompt(&["find hem from 1/2 in to 3 in on 1/8 in so that 3 * hem is 4 in"]);
    assert!(told.starts_with("not-found: no value of `hem` in this range makes this true"), "{told}");
    assert!(told.contains("at 1 1/4 in it is 3 3/4 in, at 1 3/8 in it is 4 1/8 in"), "{told}");
    let told = prompt(&["find least hem from 1/2 in to 3 in on 1/8 in so that 3 * hem >= 4 in"]);
    assert!(told.starts_with("hem = 1 3/8 in\n"), "{told}");
}

#[test]
fn the_largest_whole_numbers_are_searched_too() {
    for (question, told) in [
        ("find most n from -9000000000000000000 to 9000000000000000000 so that n * 1 in <= 5 in", "n = 5"),
        (
            "find n from 9223372036854775806 to 9223372036854775807 so that n >= 9223372036854775807",
            "n = 9223372036854775807",
        ),
        (
            "find least n from -9223372036854775808 to -9223372036854775806 so that n <= 0",
            "n = -9223372036854775808",
        ),
        (
            "find n from -9223372036854775808 to 9223372036854775807 so that n is 1/2",
            "no value of `n` in this range",
        ),
    ] {
        let said = prompt(&[question]);
        assert!(said.contains(told), "{question}: {said}");
    }
}

#[test]
fn what_does_not_hold_all_along_is_told() {
    let told = prompt(&["find most n from 1 to 12 so that (n - 3) * (n - 6) * (n - 9) <= 0"]);
    assert!(told.contains("n = 9") && told.contains("not at 4 to 5"), "{told}");
    let told = prompt(&["find n from 1 to 12 so that (n - 3) * (n - 6) is 0"]);
    assert!(told.starts_with("several-found: more than one value of `n` makes this true: 3, 6"), "{told}");
}

#[test]
fn curves_are_bracketed_and_proved() {
    let root = one(&asked("find x from 0 in to 4 in so that x * x is 2 in^2"));
    assert!(!root.is_exact());
    let square = root.mul(&root).unwrap();
    assert!(square.number.lower() < square.number.upper());
    assert!(figure_text_of(&root).contains("about 1.414 in"), "{}", figure_text_of(&root));
    // A curve whose value is a simple number is found as that.
    assert_eq!(one(&asked("find x from 0 in to 5 in so that x * x is 6 1/4 in^2")).exact_text(), "2 1/2 in");
    assert_eq!(one(&asked("find x from 1 in to 50 in so that 12 in^2 / x is 3 in")).exact_text(), "4 in");
    assert_eq!(one(&asked("find x from 0 in to 50 in so that sqrt(x * 4 in) is 6 in")).exact_text(), "9 in");
    let angle = asked("find a from 0 deg to 90 deg so that sin(a) is 1/2");
    assert_eq!(one(&angle).exact_text(), "30 deg");
}

fn figure_text_of(quantity: &Quantity) -> String {
    quantity.show(&scant::measure::Manner::default())
}

#[test]
fn several_are_told_and_least_and_most_choose() {
    let question = "x from 0 in to 10 in so that (x - 2 in) * (x - 5 in) is 0 in^2";
    let Outcome::Several(all) = asked(&format!("find {question}")).outcome else { panic!() };
    assert_eq!(all.iter().map(|(from, _)| figure_text(from)).collect::<Vec<_>>(), ["2 in", "5 in"]);
    assert_eq!(one(&asked(&format!("find least {question}"))).exact_text(), "2 in");
    assert_eq!(one(&asked(&format!("find most {question}"))).exact_text(), "5 in");
}

#[test]
fn a_stair_gives_a_range_or_a_jump() {
    let found = asked("find x from 1 in to 40 in so that (x up 4 in) is 12 in");
    let Outcome::Several(all) = &found.outcome else { panic!("{found:?}") };
    assert_eq!(all.len(), 1, "{found:?}");
    assert_eq!(figure_text(all[0].1.as_ref().unwrap()), "12 in", "{found:?}");
    let found = asked("find x from 1 in to 40 in so that (x up 4 in) is 13 in");
    assert!(matches!(found.outcome, Outcome::None), "{found:?}");
    assert!(found_text(&found).contains("jumps over this value at 12 in"), "{}", found_text(&found));
}

#[test]
fn boundaries_of_a_range_without_steps() {
    let most = one(&asked("find most x from 0 in to 40 in so that 3 * x + 1 in <= 10 in"));
    assert_eq!(most.exact_text(), "3 in");
    let least = one(&asked("find least x from 0 in to 40 in so that 3 * x + 1 in >= 10 in"));
    assert_eq!(least.exact_text(), "3 in");
    let open = asked("find most x from 0 in to 40 in so that 3 * x < 9 in");
    assert!(
        matches!(open.outcome, Outcome::None) && found_text(&open).contains("true up to 3 in"),
        "{open:?}"
    );
    let stair = one(&asked("find most x from 0 in to 40 in so that (x up 4 in) <= 12 in"));
    assert_eq!(stair.exact_text(), "12 in");
    let refused = one(&asked(
        "find most x from 0 in to 40 in so that (if x > 5 in then refuse(\"too deep\") else x) <= 9 in",
    ));
    assert_eq!(refused.exact_text(), "5 in");
}

#[test]
fn slack_must_hold_whatever_it_does() {
    let found = asked("find most x from 1 in to 4 in so that 12 * (x + (1/4 in ± 1/32 in)) <= 30 in");
    assert_eq!(one(&found).exact_text(), "2 7/32 in");
    assert!(found_text(&found).contains("for sure: true at every value within the slack"), "{found:?}");
    let found = asked("find least x from 1 in to 4 in so that 12 separate seams of (x ± 1%) >= 30 in");
    assert_eq!(one(&found).exact_text(), "2 52/99 in");
    let told = prompt(&["find most n from 1 to 40 so that n * (1/4 in ± 1/32 in) <= 5 in"]);
    assert!(told.starts_with("n = 17\n"), "{told}");
    assert!(told.contains("at 18 it is 4 1/2 in ± 9/16 in: not sure, with the slack"), "{told}");
    // One source that comes in twice is the same each time.
    let entries =
        ["off = 1/4 in ± 1/32 in", "find x from 1 in to 4 in so that (x + off - off).middle is 2 in"];
    assert!(prompt(&entries).starts_with("x = 2 in\n"));
    let entries = ["off = 1/4 in ± 1/32 in", "find most x from 1 in to 4 in so that x + off <= 2 in + off"];
    assert!(prompt(&entries).starts_with("x = 2 in\n"), "{}", prompt(&entries));
    let told = prompt(&["find x from 1 in to 4 in so that x + 1/4 in ± 1/32 in is 2 in"]);
    assert!(told.starts_with("too-close: the result has slack"), "{told}");
}

#[test]
fn a_size_is_a_target_too() {
    assert_eq!(
        one(&asked("find x from 1 in to 9 in so that x by 3 in is 4 in by 3 in")).exact_text(),
        "4 in"
    );
    let question = "find x from 1 in to 9 in so that grown(x by x + 1 in, each_edge: 1/4 in) is 4 in by 5 in";
    assert_eq!(one(&asked(question)).exact_text(), "3 1/2 in");
    let none = asked("find x from 1 in to 9 in so that x by x + 1 in is 4 in by 6 in");
    assert!(matches!(none.outcome, Outcome::None), "{none:?}");
    let told = found_text(&none);
    assert!(
        told.contains("across it is true at 4 in") && told.contains("along it is true at 5 in"),
        "{told}"
    );
}

#[test]
fn money_is_a_target_too() {
    let metres = one(&asked("find x from 1 m to 9 m so that x * 14.50 EUR/m is 60 EUR"));
    assert_eq!(
        metres.number.exact(),
        one(&asked("find x from 1 m to 9 m so that x * 29 is 120 m")).number.exact()
    );
    let told = prompt(&["find most x from 1 m to 9 m on 10 cm so that x * 14.50 EUR/m <= 60 EUR"]);
    assert!(told.contains("at 4.1 m it is 59.45 EUR: yes"), "{told}");
}

#[test]
fn a_count_that_changes_goes_through_rules() {
    let strips = "binding_run(4 * w, cut: 2 1/4 in, usable: 50 in).strips";
    let told = prompt(&["w = 1 in", &format!("find most w from 10 in to 100 in so that {strips} <= 5")]);
    assert!(told.starts_with("w = 57 1/4 in\n"), "{told}");
    let told = prompt(&["w = 1 in", &format!("find w from 10 in to 100 in so that {strips} is 5")]);
    assert!(told.contains("45 5/16 in to 57 1/4 in") && told.contains("not at 45 5/16 in itself"), "{told}");
}

#[test]
fn a_recipe_is_checked_through_its_questions() {
    let check = |recipe: &str| {
        let mut files = Files::new();
        compile("r.scant", recipe, &mut files, &NoFiles, &Limits::default()).map(drop).unwrap_err()
    };
    for (recipe, wanted) in [
        (
            "find x from 1 in to 4 in so that 2 * x is 4 kg\nshow x\n",
            "a length cannot be compared with a weight",
        ),
        (
            "find x from 1 in to 4 kg so that 2 * x is 4 in\nshow x\n",
            "a length cannot be compared with a weight",
        ),
        (
            "find x from 1 in to 4 in on 1 kg so that x is 4 in\nshow x\n",
            "a length cannot be compared with a weight",
        ),
        (
            "find x from 1 in to 4 in so that 2 * x is 4 in\nshow x + 3 kg\n",
            "a length and a weight cannot be added",
        ),
        (
            "given x = 1 in\nfind x from 1 kg to 4 kg so that 2 * x is 4 in\nshow x\n",
            "`x` is a length, and the range begins at a weight",
        ),
        ("given x = 1 in\nwhy x + 3 kg\n", "a length and a weight cannot be added"),
    ] {
        let faults = check(recipe);
        assert!(faults.iter().any(|fault| fault.message == wanted), "{recipe}\n{faults:?}");
        assert_eq!(faults.len(), 1, "{recipe}\n{faults:?}");
    }
}

#[test]
fn what_is_found_is_found_anew_for_what_was_measured() {
    let recipe = "flag = 9 in\nfind s from 1/2 in to 4 in so that 5 * flag + 6 * s is 60 in\nmeasured flag = 8 3/4 in\nshow s\n";
    let mut files = Files::new();
    let mut made = compile("r.scant", recipe, &mut files, &NoFiles, &Limits::default()).unwrap();
    let run = made.run(&[], None);
    assert!(run.faults.is_empty(), "{:?}", run.faults);
    // The line stands above `measured`, so that it keeps what it found as planned; `show` stands below.
    assert_eq!(one(&run.docket.finds[0]).exact_text(), "2 1/2 in");
    assert_eq!(run.docket.finds.len(), 1);
    assert_eq!(figure_text(&run.docket.shows[0].value), "generous 2 11/16 in (about 2.708 in)");
    let changes = &run.docket.measured.as_ref().unwrap().changes;
    assert!(changes.iter().any(|change| &*change.what == "s"), "{changes:?}");
}

#[test]
fn what_is_not_there_is_not_found() {
    let told = prompt(&["find s from 1 in to 2 in so that 6 * s is 60 in"]);
    assert!(told.starts_with("not-found: no value of `s` in this range makes this true"), "{told}");
    assert!(told.contains("at 1 in it is 6 in, at 2 in it is 12 in"), "{told}");
    assert!(told.contains("it would be true at 10 in, outside the range"), "{told}");
    let touches = asked("find x from 0 in to 10 in so that (x - 2 in) * (x - 2 in) + 1 in^2 is 0 in^2");
    assert!(matches!(touches.outcome, Outcome::None), "{touches:?}");
}

#[test]
fn wrong_questions_are_told() {
    for (question, wanted) in [
        ("find x from 4 in to 1 in so that 2 * x is 4 in", "bad-range"),
        ("find x from 1 in to 4 in so that 2 * x is 4", "unit-mix"),
        ("find x from 1 in to 4 so that 2 * x is 4 in", "unit-mix"),
        ("find x from 1 in to 4 in so that 2 * x", "wrong-kind"),
        ("find x from 1 in to 4 in so that 2 * x <= 4 in", "bad-line"),
        ("find x from 1 in to 4 in on 0 in so that 2 * x is 4 in", "bad-range"),
        ("find x from 1 in to 4 in on 1 so that 2 * x is 4 in", "unit-mix"),
        ("find x from 1/16 in to 1/8 in on 1/4 in so that x is 4 in", "bad-range"),
        ("find x from 1 to 4 so that y is 4", "unknown-name"),
    ] {
        let told = prompt(&[question]);
        assert!(told.starts_with(&format!("{wanted}: ")), "{question}: {told}");
    }
}

#[test]
fn what_was_found_can_be_asked_why() {
    let told = prompt(&["find s from 1 in to 4 in so that 6 * s is 20 in", "flat = s + 1 in", "why flat"]);
    assert!(
        told.contains("6 * s is 20 in") && told.contains("  6 * 3 1/3 in is 20 in") && !told.contains("see"),
        "{told}"
    );
}

#[test]
fn a_value_that_was_only_tried_cautions_of_nothing() {
    let cautions = |limit: &str| {
        let rule = "rule fold(x) = with_caution(2 * x, \"thick: press it first\", x > 3 in)";
        let by_line = format!("find x from 1 in to 6 in so that fold(x) is {limit}");
        let by_count = format!("find n from 1 to 9 so that fold(n * 1 in) is {limit}");
        let text = format!("{rule}\n{by_line}\n{by_count}\nmade = fold(x)\n");
        let mut files = Files::new();
        let mut made = compile("r.scant", &text, &mut files, &NoFiles, &Limits::default()).unwrap();
        let run = made.run(&[], None);
        assert!(run.faults.is_empty(), "{:?}", run.faults);
        assert!(run.docket.finds.iter().all(|found| matches!(found.outcome, Outcome::One(_))));
        run.docket.cautions.len()
    };
    assert_eq!((cautions("4 in"), cautions("8 in")), (0, 1));
    let mut session = Session::new(Limits::default());
    let rule = "rule fold(x) = with_caution(2 * x, \"thick: press it first\", x > 3 in)";
    assert!(enter(&mut session, rule).faults.is_empty());
    let entered = enter(&mut session, "find x from 1 in to 6 in so that fold(x) is 4 in");
    assert_eq!(entered.answers.len(), 1, "{:?}", entered.answers);
}

#[test]
fn why_of_what_was_only_asked_puts_nothing_else_in() {
    let entries = ["depth = 1/8 in", "flat = 14 in + 10 * depth"];
    let told =
        prompt(&[entries[0], entries[1], "find depth from 1/16 in to 1 in so that flat is 16 in", "why"]);
    assert_eq!(told, "1. depth = generous 3/16 in (0.2 in), found in entry 3, line 1\n     flat is 16 in\n");
}

#[test]
fn a_found_name_is_saved() {
    let mut session = Session::new(Limits::default());
    for entry in
        ["flag = 9 in", "find s from 1 in to 4 in so that 5 * flag + 6 * s is 60 in", "s * 2", "why s"]
    {
        assert!(enter(&mut session, entry).faults.is_empty(), "{entry}");
    }
    let saved = session.save();
    assert!(saved.contains("find s from 1 in") && !saved.contains("why"), "{saved}");
    let mut files = Files::new();
    let mut made = compile("s.scant", &saved, &mut files, &NoFiles, &Limits::default()).unwrap();
    let run = made.run(&[], None);
    assert!(run.faults.is_empty() && figure_text(&run.docket.shows[0].value) == "5 in", "{saved}");
}

/// A fraction of an inch as it is written, in brackets.
fn inches() -> impl Strategy<Value = String> {
    (-400i32..400, 1..16i32).prop_map(|(n, d)| format!("({n} in / {d})"))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, ..ProptestConfig::default() })]

    /// A straight line is solved exactly, and the value put back gives the target.
    #[test]
    fn a_line_put_back_gives_the_target(
        times in prop_oneof![-40i32..-1, 1i32..40], over in 1..9i32, more in inches(), at in (-300i32..300, 1..9i32),
    ) {
        // Where x cancels out, every x does, and that is told.
        prop_assume!(7 * times != over);
        let formula = |x: &str| format!("{times} * {x} / {over} + {more} - {x} / 7");
        let root = format!("({} in / {})", at.0, at.1);
        let mut session = Session::new(Limits::default());
        enter(&mut session, &format!("wanted = {}", formula(&root)));
        let entered = enter(&mut session, &format!("find x from -400 in to 400 in so that {} is wanted", formula("x")));
        prop_assert!(entered.faults.is_empty(), "{:?}", entered.faults);
        let gap = value(&mut session, &format!("{} - wanted", formula("x")));
        prop_assert!(gap.is_zero(), "{gap:?}");
        let off = value(&mut session, &format!("x - {root}"));
        prop_assert!(off.is_zero(), "{:?}", off);
    }

    /// A curve that rises has its one value, proved; put back it gives the target.
    #[test]
    fn a_curve_put_back_gives_the_target(a in 1..30i32, b in 1..30i32, at in 1..4000i32) {
        let formula = |x: &str| format!("({x})^3 / 1 in^2 / {a} + {b} * {x} + sqrt({x} * 1 in)");
        let mut session = Session::new(Limits::default());
        enter(&mut session, &format!("target = ({}) nearest 1/64 in", formula(&format!("({at} in / 97)"))));
        let entered = enter(&mut session, &format!("find x from 0 in to 60 in so that {} is target", formula("x")));
        prop_assert!(entered.faults.is_empty(), "{:?}", entered.faults);
        let gap = value(&mut session, &format!("{} - target", formula("x")));
        prop_assert!(!gap.number.lower().abs().is_zero() || gap.is_exact());
        let tiny = scant::measure::Exact::ratio(1, 1_000_000).unwrap();
        prop_assert!(gap.number.lower().abs() < tiny && gap.number.upper().abs() < tiny, "{gap:?}");
        prop_assert!(gap.number.lower().signum() <= 0 && gap.number.upper().signum() >= 0, "{gap:?}");
    }

    /// Over whole numbers the answer is that of trying them all.
    #[test]
    fn whole_numbers_are_all_tried(p in 1..9i32, q in 1..40i32, limit in 1..200i32) {
        let value_at = |n: i32| (n * p) % q;
        let fits: Vec<i32> = (1..=50).filter(|n| value_at(*n) <= limit % q).collect();
        let mut session = Session::new(Limits::default());
        let question = format!("find most n from 1 to 50 so that n * {p} - {q} * floor(n * {p} / {q}) <= {}", limit % q);
        let entered = enter(&mut session, &question);
        match fits.last() {
            Some(most) => {
                prop_assert!(entered.faults.is_empty(), "{:?}", entered.faults);
                prop_assert_eq!(value(&mut session, "n").whole_count(), Some(i64::from(*most)));
            }
            None => prop_assert_eq!(entered.faults[0].code.as_str(), "not-found"),
        }
    }

    /// A stair over a ruler's marks: what is found is on a mark, and put back it does.
    #[test]
    fn marks_that_are_found_do(over in 1..9i32, target in 1..60i32) {
        let mut session = Session::new(Limits::default());
        let question = format!("find least x from 0 in to 20 in on 1/8 in so that x * {over} / 3 >= {target} in / 4");
        let entered = enter(&mut session, &question);
        prop_assume!(entered.faults.is_empty());
        let back = value(&mut session, &format!("x * {over} / 3 - {target} in / 4"));
        let below = value(&mut session, &format!("(x - 1/8 in) * {over} / 3 - {target} in / 4"));
        prop_assert!(!back.is_negative() && below.is_negative());
        prop_assert!(value(&mut session, "x / 1/8 in").whole_count().is_some());
    }
}
