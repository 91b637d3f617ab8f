//! The working behind values: every step put back into the language gives the same value.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // a test that fails panics

use proptest::prelude::*;
use scant::docket::{FigureValue, StepKind, WorkStep, Working};
use scant::eval::limits::Limits;
use scant::fault::Files;
use scant::measure::{Exact, Number};
use scant::recipe::build::compile;
use scant::recipe::used::NoFiles;
use scant::recipe::working::Tell;
use scant::report::{figure_text, working_json, working_text};
use scant::session::entry::Answer;
use scant::session::entry::Session;

/// How the share of slack is told that has no source.
const REMAINDER: &str = "rounding, and slack combined with slack";

/// The working of everything in a recipe.
fn all(recipe: &str) -> (Working, Files) {
    let mut files = Files::new();
    let mut made = compile("recipe.scant", recipe, &mut files, &NoFiles, &Limits::default())
        .unwrap_or_else(|faults| panic!("{recipe}\n{faults:?}"));
    let run = made.run_with_working(&[], None, &files, Tell::All);
    assert!(run.faults.is_empty(), "{recipe}\n{:?}", run.faults);
    (run.docket.working.unwrap(), files)
}

/// What the prompt says of entries; the last is told.
fn prompt(entries: &[&str]) -> String {
    let mut session = Session::new(Limits::default());
    let mut last = String::new();
    for entry in entries {
        let entered = session.enter(entry, &NoFiles);
        assert!(entered.faults.is_empty(), "{entry}: {:?}", entered.faults);
        last.clear();
        for said in &entered.answers {
            match said {
                Answer::Value(figure) => last.push_str(&figure_text(figure)),
                Answer::Working(working) => last.push_str(&working_text(working)),
                Answer::Words(words) => last.push_str(words),
                Answer::Changed(change) => last.push_str(&change.what),
                Answer::Caution(_) => {}
                other => panic!("{other:?}"),
            }
        }
    }
    last
}

/// Whether a value is known exactly all through.
fn exact(value: &FigureValue) -> bool {
    match value {
        FigureValue::Measure(quantity) => quantity.is_exact(),
        FigureValue::Size(size) => size.0.is_exact() && size.1.is_exact(),
        FigureValue::YesNo(_) | FigureValue::Text(_) => true,
        FigureValue::List(items) => items.iter().all(exact),
        FigureValue::Record(parts) => parts.iter().all(|(_, value)| exact(value)),
        FigureValue::Slack(slack) => slack.middle.is_exact(),
        _ => false,
    }
}

/// Works the text of a step once more, and says what comes out.
fn again(step: &WorkStep, own_rules: &str) -> Option<Result<bool, String>> {
    let text = step.filled.as_ref().or(step.formula.as_ref())?;
    if text.contains(['…']) || text.contains("about") {
        return None;
    }
    let mut session = Session::new(Limits::default());
    let rules = session.enter(own_rules, &NoFiles);
    assert!(rules.faults.is_empty(), "{:?}", rules.faults);
    let entered = session.enter(text, &NoFiles);
    let alone = step.because.iter().all(|because| !because.starts_with("the slack of "));
    if let Some(fault) = entered.faults.first() {
        // What is the same slack each time may leave open what it decides.
        if !alone && fault.message.contains("slack") {
            return None;
        }
        return Some(Err(format!("`{text}`: {}", fault.message)));
    }
    let Some(Answer::Value(figure)) = entered.answers.first() else { return Some(Err(text.to_string())) };
    // A rounding of what has slack lies between two marks, and `abs` of what may be on either side of 0 is folded there:
    // how far off they may be depends on how wide that is, not in proportion.
    let rounds = [" up ", "largest", "abs("].iter().any(|word| text.contains(word));
    let slack = |value: &FigureValue| matches!(value, FigureValue::Slack(_));
    if rounds && (slack(&step.value.value) || slack(&figure.value)) {
        return None;
    }
    let straight = !text.contains(['^', '/']) && !rounds;
    let value = &step.value.value;
    let told = if step.is_call { traced(value) } else { value.clone() };
    // Where the same slack counts more than once in a power or a quotient, the middle may be another one too.
    let holds = if alone || straight { same(&figure.value, &told) } else { holds(&figure.value, &told) };
    Some(Ok(holds && (!(straight && alone) || same(value, &figure.value))))
}

/// Whether a value that has slack, or could have it, holds all of another one.
fn holds(wide: &FigureValue, narrow: &FigureValue) -> bool {
    let is_loose = |value: &FigureValue| matches!(value, FigureValue::Slack(_) | FigureValue::Measure(_));
    if !(is_loose(wide) && is_loose(narrow)) {
        return same(wide, narrow);
    }
    let ((Some(middle), far), (Some(other), near)) = (loose(wide), loose(narrow)) else { return false };
    middle.clone() - far.clone() <= other.clone() - near.clone() && other + near <= middle + far
}

/// A value with that slack alone whose sources are known. A rule that is entered with an argument has one source
/// for all of its slack, which cancels where the rule uses the argument twice; of the argument itself, the
/// remainder (slack combined with slack) has no source and never cancels.
fn traced(value: &FigureValue) -> FigureValue {
    match value {
        FigureValue::Slack(slack) => {
            let mut slack = slack.clone();
            let without = slack.shares.iter().filter(|share| &*share.words == REMAINDER);
            let remainder = without.map(|share| share.amount.number.mid()).fold(Exact::ZERO, |a, b| a + b);
            slack.slack.number = Number::Exact(slack.slack.number.mid() - remainder);
            FigureValue::Slack(slack)
        }
        FigureValue::List(items) => FigureValue::List(items.iter().map(traced).collect()),
        FigureValue::Record(parts) => {
            FigureValue::Record(parts.iter().map(|(name, value)| (name.clone(), traced(value))).collect())
        }
        other => other.clone(),
    }
}

/// A middle, and how far off it may be.
fn loose(value: &FigureValue) -> (Option<Exact>, Exact) {
    match value {
        FigureValue::Slack(slack) => (slack.middle.number.exact().cloned(), slack.slack.number.mid()),
        FigureValue::Measure(quantity) => (quantity.number.exact().cloned(), Exact::ZERO),
        other => panic!("{other:?}"),
    }
}

fn same(a: &FigureValue, b: &FigureValue) -> bool {
    match (a, b) {
        (FigureValue::Measure(x), FigureValue::Measure(y)) => {
            x.dim == y.dim && x.number.exact().is_some() && x.number.exact() == y.number.exact()
        }
        (FigureValue::Size(x), FigureValue::Size(y)) => {
            x.0.number.exact() == y.0.number.exact() && x.1.number.exact() == y.1.number.exact()
        }
        (FigureValue::Slack(_), FigureValue::Slack(_) | FigureValue::Measure(_))
        | (FigureValue::Measure(_), FigureValue::Slack(_)) => {
            // What is put in cannot say which slacks are the same: it never comes out narrower.
            let (x, y) = (loose(a), loose(b));
            x.0 == y.0 && x.1 >= y.1
        }
        (FigureValue::YesNo(x), FigureValue::YesNo(y)) => x == y,
        (FigureValue::Text(x), FigureValue::Text(y)) => x == y,
        (FigureValue::List(x), FigureValue::List(y)) => {
            x.len() == y.len() && x.iter().zip(y).all(|(x, y)| same(x, y))
        }
        (FigureValue::Record(x), FigureValue::Record(y)) => {
            x.len() == y.len() && x.iter().zip(y).all(|(x, y)| x.0 == y.0 && same(&x.1, &y.1))
        }
        _ => false,
    }
}

/// Every step whose numbers can be entered gives its value again; how many were tried.
fn recompute(working: &Working, own_rules: &str) -> usize {
    let mut tried = 0;
    for step in &working.steps {
        // A loop is its rounds, and a text names what it fills in.
        let told = step.filled.as_deref().or(step.formula.as_deref()).unwrap_or("");
        let fills_in = told.contains("refuse(") || told.starts_with('"') && told.contains('{');
        if told.starts_with("each ") || fills_in || !exact(&step.value.value) {
            continue;
        }
        match again(step, own_rules) {
            None => {}
            Some(Ok(true)) => tried += 1,
            Some(Ok(false)) => panic!("{step:?}\ngives something else"),
            Some(Err(why)) => panic!("{why}\n{step:?}"),
        }
    }
    tried
}

#[test]
fn a_rule_is_looked_into() {
    let told = prompt(&["binding = 3/8 in", "strip = double_binding_cut(binding)", "why strip"]);
    for part in [
        "1. strip, entry 2, line 1",
        "  double_binding_cut(binding)",
        "= double_binding_cut(3/8 in)",
        "2. double_binding_cut(3/8 in), by the rule in stdlib/binding.scant",
        "  6 * finished + ease",
        "= 6 * 3/8 in + 0 in",
        "= 2 1/4 in",
        "source: common practice, no source",
        "3. binding = 3/8 in (entry 1, line 1)",
    ] {
        assert!(told.contains(part), "`{part}` in\n{told}");
    }
}

#[test]
fn briefly_is_one_line() {
    let told = prompt(&["binding = 3/8 in", "strip = double_binding_cut(binding)", "why strip briefly"]);
    assert_eq!(told, "strip = double_binding_cut(3/8 in) = 6 * 3/8 in + 0 in = 2 1/4 in\n");
    assert_eq!(prompt(&["6 * 3/4 in", "why briefly"]), "6 * 3/4 in = 4 1/2 in\n");
    assert_eq!(prompt(&["why 6 * 3/4 in briefly"]), "6 * 3/4 in = 4 1/2 in\n");
}

#[test]
fn an_old_value_is_told_as_it_was() {
    let told =
        prompt(&["hem = 1 in", "flat = 2 * hem", "hem = 3 in", "rule wide(x) = 2 * x", "why flat briefly"]);
    assert_eq!(told, "flat = 2 * 1 in = 2 in\n");
    let told =
        prompt(&["rule twice(x) = 2 * x", "pair = twice(3 in)", "rule twice(x) = 3 * x", "why pair briefly"]);
    assert_eq!(told, "pair = twice(3 in) = 2 * 3 in = 6 in\n");
    let told = prompt(&["2 in", "that + 1 in", "that * 2", "why that briefly"]);
    assert_eq!(told, "(3 in) * 2 = 6 in\n".replace("(3 in)", "3 in"));
}

#[test]
fn what_was_taken_back_is_forgotten() {
    let mut session = Session::new(Limits::default());
    session.enter("hem = 1 in", &NoFiles);
    session.enter("hem = 2 in", &NoFiles);
    session.undo();
    let entered = session.enter("why hem", &NoFiles);
    let Some(Answer::Working(working)) = entered.answers.first() else { panic!() };
    assert!(working_text(working).contains("hem = 1 in"));
}

#[test]
fn a_repeated_step_stands_once() {
    let recipe =
        "given depth = 1/8 in\ntake = 2 * depth\nflat = 5 in + take + take * 2\nagain = take + depth\n";
    let (working, _) = all(recipe);
    let of = |name: &str| working.steps.iter().filter(|step| step.label.as_deref() == Some(name)).count();
    assert_eq!((of("take"), of("depth"), of("flat")), (1, 1, 1));
    let told = working_text(&working);
    assert!(told.contains("take = 1/4 in: see 1") && told.contains("depth = 1/8 in: see 2"), "{told}");
}

#[test]
fn a_choice_says_which_way_it_went() {
    let told = prompt(&[
        "wide = 60 in",
        "limit = 54 in",
        "over = if wide > limit then wide - limit else 0 in",
        "why over",
    ]);
    assert!(told.contains("since 60 in > 54 in is yes") && told.contains("= 60 in - 54 in"), "{told}");
    assert!(!told.contains("else"), "{told}");
}

#[test]
fn a_part_of_a_record_is_told_alone() {
    let told = prompt(&["linen = cloth(\"linen\", width: 54 in, selvage: 1/2 in)", "why linen.usable"]);
    assert!(told.contains("(width - 2 * selvage) * kept_in_the_wash(shrink)"), "{told}");
    assert!(!told.contains("directional"), "{told}");
}

#[test]
fn a_loop_tells_its_first_rounds_and_its_last() {
    let told = prompt(&["gap = 3/4 in", "marks = each k from 1 to 9: 2 in + (k - 1) * gap", "why marks"]);
    for part in ["with k = 1", "with k = 2", "with k = 9", "= 2 in + (9 - 1) * 3/4 in", "= 8 in"] {
        assert!(told.contains(part), "`{part}` in\n{told}");
    }
    assert!(!told.contains("with k = 3"), "{told}");
}

#[test]
fn a_rule_without_end_is_cut_short() {
    let mut session = Session::new(Limits::default());
    session.enter("rule heap(n) = if n < 1 then 0 else heap(n - 1) + n", &NoFiles);
    let entered = session.enter("why heap(900)", &NoFiles);
    let Some(Answer::Working(working)) = entered.answers.first() else { panic!("{:?}", entered.faults) };
    assert!(working.cut_short && working.steps.len() <= 400);
    assert!(working_text(working).contains("There is more working"));
    assert_eq!(session.enter("heap(3)", &NoFiles).answers.len(), 1);
}

#[test]
fn a_measured_value_is_told_as_measured() {
    let (working, _) = all("top = 60 in\nmeasured top = 59 5/8 in\nback = top + 8 in\n");
    let told = working_text(&working);
    assert!(told.contains("59 5/8 in + 8 in") && told.contains("as measured"), "{told}");
}

#[test]
fn what_was_measured_at_the_prompt_stands_in_the_working() {
    let entries = ["flag = 9 in", "top = 5 * flag", "border = top + 8 in", "measured top = 44 5/8 in"];
    let asked = |question: &str| prompt(&[&entries[..], &[question]].concat());
    let told = asked("why border");
    assert!(told.contains("= 44 5/8 in + 8 in") && told.contains("= 52 5/8 in"), "{told}");
    assert!(told.contains("2. top = 44 5/8 in, as measured (entry 4, line 1); planned 45 in"), "{told}");
    assert_eq!(asked("why briefly"), "top = 44 5/8 in\n");
    // Taken back, the plan stands again.
    let mut session = Session::new(Limits::default());
    entries.iter().for_each(|entry| assert!(session.enter(entry, &NoFiles).faults.is_empty()));
    session.undo();
    let entered = session.enter("why border briefly", &NoFiles);
    let Some(Answer::Working(working)) = entered.answers.first() else { panic!("{:?}", entered.faults) };
    assert_eq!(working_text(working), "border = 45 in + 8 in = 53 in\n");
}

#[test]
fn a_sum_of_mere_numbers_is_told_with_its_formula() {
    assert_eq!(
        prompt(&["half = 3 in / 2", "why half"]),
        "1. half, entry 1, line 1\n     3 in / 2\n   = 1 1/2 in\n"
    );
    let told = prompt(&["how many 5 in from 42 in", "why"]);
    assert!(told.contains("     how many 5 in from 42 in\n   = {count: 8, left: 2 in}"), "{told}");
    assert_eq!(prompt(&["hem = 8.5 in", "why hem"]), "1. hem = 8 1/2 in (entry 1, line 1)\n");
    assert_eq!(
        prompt(&["cut = 8.5 in by 11 in", "why cut"]),
        "1. cut = 8 1/2 in by 11 in (entry 1, line 1)\n"
    );
    assert_eq!(
        prompt(&["off = 8.5 in ± 1/32 in", "why off"]),
        "1. off = 8 1/2 in ± 1/32 in (entry 1, line 1)\n"
    );
}

#[test]
fn a_text_depends_on_what_it_fills_in() {
    let told = prompt(&["n = 4", "words = \"cut {n} at {n * 2 in}\"", "why words"]);
    assert!(told.contains("= cut 4 at 8 in") && told.contains("2. n = 4 (entry 1, line 1)"), "{told}");
}

#[test]
fn slack_is_told_with_who_brings_it() {
    let told =
        prompt(&["one = 1/4 in ± 1/32 in", "row = 60 in ± 1/16 in - 12 separate seams of one", "why row"]);
    for part in [
        "= 60 in ± 1/16 in - 12 separate seams of (1/4 in ± 1/32 in)",
        "= 57 in ± 7/16 in",
        "3/8 in of it from 12 seams",
    ] {
        assert!(told.contains(part), "`{part}` in\n{told}");
    }
    let told = prompt(&["one = 1/4 in ± 1/32 in", "none = one - one", "why none"]);
    assert!(told.contains("since the slack of one") && told.contains("= 0 in"), "{told}");
}

#[test]
fn slack_without_a_source_does_not_cancel_where_a_rule_uses_it_twice() {
    // The square holds 529/1024 in to 625/1024 in, so less / 2 is off by 49/2048 in at most. A number with that
    // slack gives this; the square itself is off by 46/1024 in for `off` and by 3/1024 in without a source.
    let rule = "rule left(less: length) = 1 in - less + less / 2";
    let square = "square = off^2 / 1 in";
    let given = ["off = 3/4 in ± 1/32 in", square, rule];
    assert_eq!(prompt(&[&given[..], &["square"]].concat()), "9/16 in ± about 0.0479 in");
    let told = prompt(&[&given[..], &["why left(square)"]].concat());
    for part in
        ["= left(9/16 in ± 49/1024 in)", "about 0.0225 in of it from off", "about 0.00342 in of it from"]
    {
        assert!(told.contains(part), "`{part}` in\n{told}");
    }
    let (narrow, wide) = (Exact::ratio(49, 2048).unwrap(), Exact::ratio(53, 2048).unwrap());
    let slack = |entries: &[&str]| {
        let mut session = Session::new(Limits::default());
        let entered = entries.iter().map(|entry| session.enter(entry, &NoFiles)).last().unwrap();
        let Some(Answer::Value(figure)) = entered.answers.first() else { panic!("{:?}", entered.faults) };
        loose(&figure.value).1
    };
    let inch = Exact::from(127);
    assert_eq!(slack(&[rule, "left(9/16 in ± 49/1024 in)"]), narrow * inch.clone());
    assert_eq!(slack(&[&given[..], &["left(square)"]].concat()), wide * inch);
}

#[test]
fn every_step_of_the_examples_gives_its_value_again() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let mut tried = 0;
    for entry in std::fs::read_dir(folder).unwrap().flatten() {
        let path = entry.path();
        let text = std::fs::read_to_string(&path).unwrap_or_default();
        if path.extension().is_none_or(|kind| kind != "scant") || text.contains("\nuse ") {
            continue;
        }
        let (working, _) = all(&text);
        let rules: Vec<&str> = text.lines().filter(|line| line.starts_with("rule ")).collect();
        // A rule of several rows cannot be told apart by its first row alone.
        let one_row = rules.iter().all(|rule| !rule.trim_end().ends_with(['=', '{', '(', ',']));
        let settings = text
            .lines()
            .filter(|line| ["seam ", "shop ", "ruler "].iter().any(|word| line.starts_with(word)));
        let own: Vec<&str> = settings.chain(rules).collect();
        if one_row {
            tried += recompute(&working, &own.join("\n"));
        }
        assert!(serde_json::from_str::<serde_json::Value>(&working_json(&working)).is_ok());
        assert!(working_text(&working).lines().all(|line| line.chars().count() <= 80), "{path:?}");
    }
    assert!(tried > 100, "{tried}");
}

#[test]
fn nothing_is_noted_unasked() {
    let mut files = Files::new();
    let recipe = "given a = 1 in\nb = 2 * a\nshow b\n";
    let mut made = compile("r.scant", recipe, &mut files, &NoFiles, &Limits::default()).unwrap();
    assert!(made.run(&[], None).docket.working.is_none());
    let run = made.run_with_working(&[], None, &files, Tell::Name("b", false));
    let working = run.docket.working.unwrap();
    assert_eq!(
        working.steps.iter().map(|step| step.kind).collect::<Vec<_>>(),
        [StepKind::Name, StepKind::Given]
    );
}

/// A formula over three lengths, two numbers and two rules.
fn length(depth: u32, third: &'static str) -> BoxedStrategy<String> {
    let leaf = prop_oneof![
        Just("a".to_owned()),
        Just("b".to_owned()),
        Just(third.to_owned()),
        Just("off".to_owned()),
        (1..40u32, 1..8u32).prop_map(|(n, d)| format!("{n}/{} in", d * 2 + 1)),
    ];
    leaf.prop_recursive(depth, 24, 3, |inner| {
        let pair = (inner.clone(), inner.clone());
        prop_oneof![
            pair.clone().prop_map(|(x, y)| format!("({x} + {y})")),
            pair.clone().prop_map(|(x, y)| format!("({x} - {y})")),
            inner.clone().prop_map(|x| format!("n * {x}")),
            inner.clone().prop_map(|x| format!("({x}) / m")),
            inner.clone().prop_map(|x| format!("twice({x})")),
            pair.clone().prop_map(|(x, y)| format!("span({x}, less: {y})")),
            pair.clone().prop_map(|(x, y)| format!("largest({x}, {y})")),
            pair.clone().prop_map(|(x, y)| format!("(if {x} < {y} then {x} else {y} + a)")),
            inner.clone().prop_map(|x| format!("(({x}) up 1/8 in)")),
            inner.clone().prop_map(|x| format!("(({x}) * ({x}) / (1 in + abs({x})))")),
            inner.clone().prop_map(|x| {
                // A number in front of a size can be read two ways.
                let plain = x.starts_with(|c: char| c.is_ascii_digit());
                if plain { format!("(({x}) by a).across") } else { format!("({x} by a).across") }
            }),
            inner.clone().prop_map(|x| format!("[{x}, b][1]")),
            inner.clone().prop_map(|x| format!("{{depth: {x}, note: \"nap up\"}}.depth")),
            inner.clone().prop_map(|x| {
                // A loop in a loop needs a name of its own.
                let name = "k".repeat(1 + x.matches("each ").count());
                format!("sum(each {name} from 1 to 3: {name} * {x})")
            }),
            inner.clone().prop_map(|x| format!("({x})^2 / 1 in")),
            inner.clone().prop_map(|x| format!("25% of {x}")),
        ]
    })
    .boxed()
}

const RULES: &str = "rule twice(x: length) = 2 * x
rule span(x: length, less: length = 1 in) = { rest = x - less
 if rest < 0 in then -rest else rest + less / 2 }";

/// What is nothing by itself is something when it is entered again with its numbers.
#[test]
fn a_difference_of_the_same_slack_is_held_by_what_its_numbers_give() {
    let recipe = "given off = 3/4 in ± 1/32 in\ntop = ((off - off))^2 / 1 in\n";
    let mut files = Files::new();
    let mut made = compile("recipe.scant", recipe, &mut files, &NoFiles, &Limits::default()).unwrap();
    let working = made.run_with_working(&[], None, &files, Tell::All).docket.working.unwrap();
    assert!(recompute(&working, RULES) > 0);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    /// Every step, entered by itself with its numbers, gives the value that the working tells.
    #[test]
    fn each_step_worked_again_gives_its_value(
        top in length(4, "c"), middle in length(3, "b"), a in 1..90u32, b in 1..90u32, n in 2..9u32, m in 2..9u32,
    ) {
        let recipe = format!(
            "given a = {a}/7 in\ngiven b = -{b}/8 in\ngiven off = 3/4 in ± 1/32 in\ngiven n = {n}\ngiven m = {n} / {m}\n{RULES}\nc = {middle}\ntop = {top}\n"
        );
        let mut files = Files::new();
        let mut made = compile("recipe.scant", &recipe, &mut files, &NoFiles, &Limits::default())
            .map_err(|faults| TestCaseError::fail(format!("{recipe}\n{faults:?}")))?;
        let run = made.run_with_working(&[], None, &files, Tell::All);
        prop_assume!(run.faults.is_empty());
        let working = run.docket.working.unwrap();
        prop_assert!(recompute(&working, RULES) > 0);
        // The result of the recipe is the result of its first step.
        let root = &working.steps[working.roots.last().unwrap().step];
        prop_assert_eq!(root.label.as_deref(), Some("top"));
    }
}
