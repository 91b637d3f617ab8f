//! What was really sewn in place of what was planned: in a recipe, from outside, and at the prompt.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)] // a test that fails panics

use std::fmt::Write;
use std::rc::Rc;

use proptest::prelude::*;
use scant::docket::{Docket, Measured};
use scant::eval::limits::Limits;
use scant::fault::Files;
use scant::recipe::build::Recipe;
use scant::recipe::build::compile;
use scant::recipe::inputs::read_value;
use scant::recipe::make::Run;
use scant::recipe::used::NoFiles;
use scant::report::figure_text;
use scant::session::entry::Answer;
use scant::session::entry::Session;

fn recipe(text: &str) -> Recipe {
    let mut files = Files::new();
    compile("top.scant", text, &mut files, &NoFiles, &Limits::default())
        .unwrap_or_else(|faults| panic!("{text}\n{faults:?}"))
}

fn run(text: &str, measured: &[(&str, &str)], cut: &[&str]) -> Run {
    let mut recipe = recipe(text);
    let made =
        measured.iter().map(|(name, value)| ((*name).into(), read_value(value, false).unwrap())).collect();
    recipe.measure(made, cut.iter().map(|label| (*label).into()).collect()).expect("the names are known");
    recipe.run(&[], None)
}

fn made(text: &str, measured: &[(&str, &str)], cut: &[&str]) -> Docket {
    let run = run(text, measured, cut);
    assert!(run.faults.is_empty(), "{text}\n{:?}", run.faults);
    run.docket
}

fn shows(docket: &Docket) -> Vec<(Rc<str>, String)> {
    docket.shows.iter().map(|shown| (shown.label.clone(), figure_text(&shown.value))).collect()
}

fn changes(measured: &Measured) -> Vec<(String, String, String)> {
    let change = |change: &scant::docket::Change| {
        (change.what.to_string(), figure_text(&change.before), figure_text(&change.after))
    };
    measured.changes.iter().map(change).collect()
}

const THROW: &str = r#"
seam 1/4 in
given border = 3 in
top = 60 in by 72 in
side = top.along
red = cloth("red cotton", width: 42 in, selvage: 0 in)
step "The top is {top}."
show "before": top.across
cut 2 "side border" from red: border by side
"#;
const MEASURED: &str = "measured top = 59 5/8 in by 71 3/4 in\n";
const AFTER: &str = r#"
long = top.across + 2 * border
cut 2 "top border" from red: border by long
show "after": side
step "Cut the side borders {side} long."
"#;

#[test]
fn lines_before_keep_what_was_planned_and_lines_after_follow_what_was_made() {
    let docket = made(&[THROW, MEASURED, AFTER].concat(), &[], &[]);
    assert_eq!(shows(&docket), [("before".into(), "60 in".into()), ("after".into(), "71 3/4 in".into())]);
    assert_eq!(&*docket.steps[0], "The top is 60 in by 72 in.");
    assert_eq!(&*docket.steps[1], "Cut the side borders 71 3/4 in long.");
    let measured = docket.measured.expect("it is told");
    assert_eq!(
        changes(&measured),
        [
            ("side".into(), "72 in".into(), "71 3/4 in".into()),
            ("long".into(), "66 in".into(), "65 5/8 in".into()),
            ("top border, cut size".into(), "3 in by 66 in".into(), "3 in by 65 5/8 in".into()),
        ]
    );
    assert_eq!(measured.steps, [2]);
    // The line that cuts the side borders stands above: they are cut to the old number.
    assert_eq!(measured.cut.len(), 1);
    let cut = &measured.cut[0];
    assert_eq!(
        (&*cut.label, figure_text(&cut.cut), figure_text(&cut.now)),
        ("side border", "3 in by 72 in".into(), "3 in by 71 3/4 in".into())
    );
    assert_eq!(&*cut.corrections[0], "along: 1/4 in too long: trim 1/4 in off, or ease it in by 1/4 in");
    assert_eq!(
        &*measured.made[0].corrections[0],
        "across: 3/8 in too short: a border 3/16 in wider at each end brings it back, or ease what is sewn to it in by 3/8 in"
    );
}

#[test]
fn from_outside_it_counts_from_the_name_s_own_line() {
    let text = [THROW, AFTER].concat();
    let docket = made(&text, &[("top", "59 5/8 in by 71 3/4 in")], &[]);
    assert_eq!(shows(&docket), [("before".into(), "59 5/8 in".into()), ("after".into(), "71 3/4 in".into())]);
    let measured = docket.measured.expect("it is told");
    assert!(measured.cut.is_empty(), "nothing is cut yet");
    assert!(changes(&measured).iter().any(|(what, ..)| what == "side border, cut size"));
    // Pieces that are named as cut keep the old size.
    let docket = made(&text, &[("top", "59 5/8 in by 71 3/4 in")], &["side border"]);
    let pieces: Vec<String> = docket.cloths[0].pieces.iter().map(|piece| figure_text(&piece.along)).collect();
    assert_eq!(pieces, ["72 in", "65 5/8 in"]);
    assert_eq!(docket.measured.expect("it is told").cut.len(), 1);
}

#[test]
fn pieces_named_in_the_line_keep_their_planned_size() {
    let named = "measured top = 59 5/8 in by 71 3/4 in, already cut \"top border\", \"side border\"\n";
    let docket = made(&[THROW, named, AFTER].concat(), &[], &[]);
    let pieces: Vec<String> = docket.cloths[0].pieces.iter().map(|piece| figure_text(&piece.along)).collect();
    assert_eq!(pieces, ["72 in", "66 in"]);
    assert_eq!(docket.measured.expect("it is told").cut.len(), 2);
}

#[test]
fn the_value_from_outside_takes_the_place_of_the_line_s_own() {
    let text = [THROW, MEASURED, AFTER].concat();
    let docket = made(&text, &[("top", "59 in by 70 in")], &[]);
    assert_eq!(shows(&docket)[0].1, "60 in", "the line stands where it stood");
    assert_eq!(shows(&docket)[1].1, "70 in");
}

#[test]
fn settings_of_the_lines_between_hold_when_they_are_worked_anew() {
    let text = "row = 10 in\nseam 1/4 in\ncut_row = row + 2 * seam\nseam 1/2 in\nmeasured row = 9 in\nshow cut_row\nshow seam";
    let docket = made(text, &[], &[]);
    assert_eq!(shows(&docket)[0].1, "9 1/2 in");
    assert_eq!(shows(&docket)[1].1, "1/2 in");
}

#[test]
fn two_things_are_measured_one_after_the_other() {
    let text =
        "a = 10 in\nb = a + 2 in\nc = a + b\nmeasured a = 9 in\nmeasured b = 12 in\nshow c\nd = b\nshow d";
    let docket = made(text, &[], &[]);
    assert_eq!(shows(&docket), [("c".into(), "21 in".into()), ("d".into(), "12 in".into())]);
    let measured = docket.measured.expect("it is told");
    // What was planned for `b` once `a` was known.
    assert_eq!(figure_text(&measured.made[1].planned), "11 in");
}

#[test]
fn a_given_can_be_measured_and_a_slack_too() {
    let docket =
        made("given x = 8 in from 7 in to 9 in\nmeasured x = 6 in ± 1/8 in\ny = 2 * x\nshow y", &[], &[]);
    assert_eq!(shows(&docket)[0].1, "12 in ± 1/4 in");
}

#[test]
fn what_cannot_be_measured_is_told() {
    let message = |text: &str, name: &str, value: &str| {
        let run = run(text, &[(name, value)], &[]);
        run.faults.first().map_or_else(String::new, |fault| fault.message.clone())
    };
    let kind = message("top = 60 in by 72 in", "top", "59 in");
    assert_eq!(kind, "`top` was planned as a size, 60 in by 72 in, and this is a length, 59 in");
    let mut known = recipe("top = 60 in");
    let faults = known.measure(vec![("topp".into(), read_value("59 in", false).unwrap())], Vec::new());
    assert_eq!(faults.unwrap_err()[0].hints, ["did you mean `top`?"]);
    let run = run("top = 60 in", &[("top", "59 in")], &["panel"]);
    assert_eq!(run.faults[0].message, "no `cut` line has a piece called \"panel\"");
}

#[test]
fn a_plan_that_fails_does_not_hide_what_was_made() {
    let text = "top = 60 in\nrest = if top > 59 in then refuse(\"too large\") else 60 in - top\nshow rest";
    let docket = made(text, &[("top", "58 in")], &[]);
    assert_eq!(shows(&docket)[0].1, "2 in");
}

// ---- the same as a fresh run -----------------------------------------------------------------

/// A line: a name from others, in words.
#[derive(Clone, Debug)]
struct Line {
    first: usize,
    second: usize,
    factor: i64,
    inches: i64,
}

fn line() -> impl Strategy<Value = Line> {
    (any::<usize>(), any::<usize>(), -3i64..4, 1i64..40).prop_map(|(first, second, factor, inches)| Line {
        first,
        second,
        factor,
        inches,
    })
}

impl Line {
    fn formula(&self, at: usize) -> String {
        match at {
            0 => format!("{} in", self.inches),
            at => format!(
                "{} * n{} + n{} + {}/8 in",
                self.factor,
                self.first % at,
                self.second % at,
                self.inches
            ),
        }
    }
}

/// The recipe, with a formula or a value for each name; what stands behind the line `cut_at` is
/// written after `between`.
fn written(lines: &[Line], fixed: Option<usize>, measured_behind: Option<(usize, usize)>) -> String {
    let mut text = String::from("shop 10 cm\n");
    for (at, line) in lines.iter().enumerate() {
        let formula = if fixed == Some(at) { "77 3/8 in".to_owned() } else { line.formula(at) };
        let _ = writeln!(text, "n{at} = {formula}\nshow \"s{at}\": n{at}\nstep \"{at}: {{n{at}}}\"");
        let _ = writeln!(text, "buy abs(n{at}) \"tape {at}\"\ncheck n{at} > 0 in");
        if let Some((_, name)) = measured_behind.filter(|(behind, _)| *behind == at) {
            let _ = writeln!(text, "measured n{name} = 77 3/8 in");
            for (at, _) in lines.iter().enumerate().take(at + 1) {
                let _ = writeln!(text, "show \"again {at}\": n{at}");
            }
        }
    }
    text
}

fn facts(docket: &Docket) -> Vec<String> {
    let shows = docket.shows.iter().map(|shown| format!("{} {}", shown.label, figure_text(&shown.value)));
    let buys = docket.buys.iter().map(|buy| format!("{} {}", buy.label, figure_text(&buy.buy)));
    let checks = docket.checks.iter().map(|check| format!("{} {}", check.message, check.passed));
    let steps = docket.steps.iter().map(|step| step.to_string());
    shows.chain(buys).chain(checks).chain(steps).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]

    /// Measured from outside, a name is as if its line had given that value.
    #[test]
    fn it_equals_a_fresh_run_with_that_value(lines in proptest::collection::vec(line(), 2..9), pick in any::<usize>()) {
        let name = pick % lines.len();
        let measured = made(&written(&lines, None, None), &[(&format!("n{name}"), "77 3/8 in")], &[]);
        let fresh = made(&written(&lines, Some(name), None), &[], &[]);
        prop_assert_eq!(facts(&measured), facts(&fresh));
        // Each number that changed is told, and no other.
        let plan = made(&written(&lines, None, None), &[], &[]);
        let told: Vec<String> = measured.measured.as_ref().unwrap().changes.iter().map(|change| change.what.to_string()).collect();
        for (at, (was, now)) in shows(&plan).iter().zip(shows(&measured)).enumerate().filter(|(at, _)| *at != name) {
            prop_assert_eq!(told.contains(&format!("n{at}")), *was != now, "{}: {:?} {:?}", at, was, told);
        }
    }

    /// Measured on a line further down, everything behind that line is as in a fresh run, and
    /// everything before it as planned.
    #[test]
    fn behind_its_line_it_equals_a_fresh_run(lines in proptest::collection::vec(line(), 2..9), pick in any::<usize>(), behind in any::<usize>()) {
        let name = pick % lines.len();
        let behind = name + behind % (lines.len() - name);
        let measured = made(&written(&lines, None, Some((behind, name))), &[], &[]);
        let fresh = made(&written(&lines, Some(name), None), &[], &[]);
        let plan = made(&written(&lines, None, None), &[], &[]);
        let now: std::collections::HashMap<_, _> = shows(&measured).into_iter().collect();
        for at in 0..lines.len() {
            let own = if at <= behind { &plan } else { &fresh };
            prop_assert_eq!(&now[&*format!("s{at}")], &figure_text(&own.shows[at].value));
            if at <= behind {
                prop_assert_eq!(&now[&*format!("again {at}")], &figure_text(&fresh.shows[at].value));
            }
            let step = if at <= behind { &plan.steps[at] } else { &fresh.steps[at] };
            prop_assert_eq!(&measured.steps[at].words, &step.words);
        }
    }

    /// At the prompt too, and the session saved runs to the same values.
    #[test]
    fn at_the_prompt_it_equals_a_fresh_run(lines in proptest::collection::vec(line(), 2..9), pick in any::<usize>()) {
        let name = pick % lines.len();
        let mut session = Session::new(Limits::default());
        for (at, line) in lines.iter().enumerate() {
            let entered = session.enter(&format!("n{at} = {}", line.formula(at)), &NoFiles);
            prop_assert!(entered.faults.is_empty());
        }
        let entered = session.enter(&format!("measured n{name} = 77 3/8 in"), &NoFiles);
        prop_assert!(entered.faults.is_empty());
        let fresh = made(&written(&lines, Some(name), None), &[], &[]);
        let values = |session: &Session| -> Vec<String> {
            let mut names = session.names();
            names.sort_by(|a, b| a.0.cmp(&b.0));
            names.iter().map(|(_, figure)| figure_text(figure)).collect()
        };
        let wanted: Vec<String> = shows(&fresh).into_iter().map(|(_, text)| text).collect();
        prop_assert_eq!(values(&session), wanted.clone());
        let shown: String = (0..lines.len()).map(|at| format!("\nshow n{at}")).collect();
        let saved = made(&(session.save() + &shown), &[], &[]);
        let saved: Vec<String> = shows(&saved).into_iter().map(|(_, text)| text).collect();
        prop_assert_eq!(saved, wanted);
        prop_assert!(session.undo().is_some());
        let plan = made(&written(&lines, None, None), &[], &[]);
        let planned: Vec<String> = shows(&plan).into_iter().map(|(_, text)| text).collect();
        prop_assert_eq!(values(&session), planned);
    }
}

// ---- at the prompt ---------------------------------------------------------------------------

fn said(session: &mut Session, text: &str) -> Vec<String> {
    let entered = session.enter(text, &NoFiles);
    assert!(entered.faults.is_empty(), "{text}: {:?}", entered.faults);
    let words = |said: Answer| match said {
        Answer::Value(figure) => figure_text(&figure),
        Answer::Changed(change) => {
            format!("{} {} to {}", change.what, figure_text(&change.before), figure_text(&change.after))
        }
        Answer::Words(words) => words,
        Answer::Working(_) | Answer::Found(_) | Answer::Docket(_) | Answer::Caution(_) => String::new(),
    };
    entered.answers.into_iter().map(words).collect()
}

#[test]
fn the_prompt_tells_what_changed_and_what_was_cut() {
    let mut session = Session::new(Limits::default());
    said(
        &mut session,
        "linen = cloth(\"linen\", width: 54 in, selvage: 0 in)\ntop = 60 in\nside = top + 1 in\nfree = 3 in",
    );
    said(&mut session, "cut 2 \"side border\" from linen: 3 in by side");
    assert_eq!(
        said(&mut session, "measured top = 59 5/8 in"),
        [
            "59 5/8 in",
            "  3/8 in too short: a border 3/16 in wider at each end brings it back, or ease what is sewn to it in by 3/8 in",
            "side 61 in to 60 5/8 in",
            "already cut? side border was 3 in by 61 in; now it must be 3 in by 60 5/8 in",
            "  along: 3/8 in too long: trim 3/8 in off, or ease it in by 3/8 in",
        ]
    );
    assert_eq!(said(&mut session, "side"), ["60 5/8 in"]);
    assert_eq!(said(&mut session, "that + 0 in"), ["60 5/8 in"]);
    // Measured once more, the last one counts.
    said(&mut session, "measured top = 59 3/4 in");
    assert_eq!(said(&mut session, "side"), ["60 3/4 in"]);
    let saved = session.save();
    assert!(!saved.contains("59 5/8 in") && saved.contains("measured top = 59 3/4 in"), "{saved}");
    recipe(&saved);
}

#[test]
fn a_name_that_speaks_of_its_older_value_is_worked_anew() {
    let mut session = Session::new(Limits::default());
    said(&mut session, "top = 60 in\nside = top\nside = side + 1 in");
    let told = said(&mut session, "measured top = 59 in");
    assert_eq!(told.last().map(String::as_str), Some("side 61 in to 60 in"));
}

#[test]
fn what_is_cut_already_keeps_its_planned_size_where_its_line_comes_later_at_the_prompt_too() {
    let named = "measured top = 59 5/8 in by 71 3/4 in, already cut \"top border\"\n";
    let text = [THROW, named, AFTER].concat();
    let docket = made(&text, &[], &[]);
    let sizes = |docket: &Docket| -> Vec<(String, String)> {
        let pieces = docket.cloths[0].pieces.iter();
        pieces.map(|piece| (piece.label.to_string(), figure_text(&piece.along))).collect()
    };
    assert!(sizes(&docket).contains(&("top border".into(), "66 in".into())));
    let mut session = Session::new(Limits::default());
    said(&mut session, &text);
    let entered = session.enter("plan red", &NoFiles);
    let planned = entered.answers.into_iter().find_map(|answer| match answer {
        Answer::Docket(docket) => Some(*docket),
        _ => None,
    });
    assert_eq!(sizes(&planned.expect("a plan")), sizes(&docket));
    // A piece that no line of the entry cuts is told, and nothing of the entry stays.
    let refused = session.enter("measured top = 59 in by 71 in, already cut \"pannel\"", &NoFiles);
    assert_eq!(refused.faults[0].message, "no `cut` line has a piece called \"pannel\"");
}
