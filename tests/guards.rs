//! Limits that stand in a rule's heading: what lies beyond them is refused in the rule's words, and ends a search.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // a test that fails panics

use scant::eval::limits::Limits;
use scant::fault::Files;
use scant::recipe::build::compile;
use scant::recipe::used::NoFiles;

const RULES: &str = "
rule strip(cut: length above 0 in) = cut
rule rows(n: count from 1 to 12) = n
rule point(corner: angle above 0 deg below 180 deg) = corner
rule eased(body: length, ease: signed length) = body + ease
rule spread(edge: length or no) = if edge is no then 1 in else edge
rule tape(price: money per length) = price * 2 m
rule framed(top: size) = top
rule plain(x) = x
";

/// The first fault of a recipe with the rules above and this line: its code, its words and what its labels say;
/// or the value shown.
fn came(line: &str) -> String {
    let mut files = Files::new();
    let text = format!("{RULES}{line}\n");
    let compiled = compile("guards", &text, &mut files, &NoFiles, &Limits::default());
    let fault = |fault: &scant::fault::Fault| format!("{}: {}", fault.code.as_str(), fault.message);
    let mut recipe = match compiled {
        Ok(recipe) => recipe,
        Err(faults) => return format!("check: {}", fault(&faults[0])),
    };
    let run = recipe.run(&[], None);
    match run.faults.first() {
        Some(first) => format!("run: {}", fault(first)),
        None => run.docket.shows.iter().map(|shown| scant::report::figure_text(&shown.value)).collect(),
    }
}

#[test]
fn what_lies_beyond_a_limit_is_refused_in_the_rules_words() {
    for (line, wanted) in [
        (
            "show strip(0 in)",
            "check: out-of-bounds: `cut` in `strip` must be more than 0 in, and this is a length, 0 in",
        ),
        ("show strip(1 in)", "1 in"),
        ("show rows(0)", "check: out-of-bounds: `n` in `rows` must be 1 or more, and this is a number, 0"),
        ("show rows(13)", "check: out-of-bounds: `n` in `rows` must be 12 at most, and this is a number, 13"),
        ("show rows(12)", "12"),
        (
            "show point(180 deg)",
            "check: out-of-bounds: `corner` in `point` must be less than 180 deg, and this is an angle, 180 deg",
        ),
        ("show point(90 deg)", "90 deg"),
        ("show eased(20 in, ease: -2 in)", "18 in"),
        (
            "show eased(-20 in, ease: 2 in)",
            "check: out-of-bounds: `body` in `eased` must be 0 or more, and this is a length, -20 in",
        ),
        ("show spread(no)", "1 in"),
        ("show spread(2 in)", "2 in"),
        ("show tape(3 EUR/m)", "6.00 EUR"),
        (
            "show framed(4 in by -3 in)",
            "run: out-of-bounds: `top` in `framed` must be 0 or more, and this is a size, 4 in by -3 in",
        ),
        ("show plain(-3 in)", "-3 in"),
    ] {
        assert_eq!(came(line), wanted, "{line}");
    }
}

/// A rule of the library and one line: the first fault with its first hint, or what is shown.
fn of_the_library(text: &str) -> String {
    let mut files = Files::new();
    let told = |fault: &scant::fault::Fault| format!("{} | {}", fault.message, fault.hints.join(" | "));
    match compile("guards", text, &mut files, &NoFiles, &Limits::default()) {
        Err(faults) => told(&faults[0]),
        Ok(mut recipe) => {
            let run = recipe.run(&[], None);
            let shown = || run.docket.shows.iter().map(|shown| scant::report::figure_text(&shown.value));
            run.faults.first().map_or_else(|| shown().collect(), told)
        }
    }
}

#[test]
fn a_bare_number_written_for_a_percentage_is_refused_and_a_calculated_ratio_passes() {
    let bare = |place: &str, number: &str, instead: &str| {
        format!("{place} must be a percentage, and this is a number, {number} | write {instead}")
    };
    let kept = "`shrink` in `kept_in_the_wash`";
    for (text, wanted) in [
        ("show kept_in_the_wash(5)", bare(kept, "5", "5%")),
        ("show kept_in_the_wash(0.05)", bare(kept, "0.05", "5%")),
        ("show kept_in_the_wash(1)", bare(kept, "1", "1% or 100%")),
        ("given shrink = 4\nshow kept_in_the_wash(shrink)", bare(kept, "4", "4%")),
        ("shrink = 4\nshow kept_in_the_wash(shrink)", bare(kept, "4", "4%")),
        ("given shrink = 4%\nsizes\n  \"small\" shrink = 6", bare("`shrink`", "6", "6%")),
        ("show kept_in_the_wash(5%)", "95%".into()),
        ("show kept_in_the_wash(1 / 20)", "95%".into()),
        ("show kept_in_the_wash(1 in / 20 in)", "95%".into()),
        ("rule left(part) = kept_in_the_wash(part)\nshow left(5%)", "95%".into()),
    ] {
        assert_eq!(of_the_library(text), wanted, "{text}");
    }
}

#[test]
fn a_bare_number_set_for_a_percentage_from_outside_is_refused() {
    let mut files = Files::new();
    let text = "given shrink = 4%\nshow kept_in_the_wash(shrink)";
    let mut recipe = compile("guards", text, &mut files, &NoFiles, &Limits::default()).unwrap();
    let mut run = |cell: &str| {
        let value = scant::recipe::inputs::read_value(cell, false).unwrap();
        recipe.run(&[scant::recipe::make::Set { given: 0, value, span: None }], None)
    };
    let faults = run("6").faults;
    assert_eq!(faults[0].message, "`shrink` must be a percentage, and this is a number, 6");
    assert_eq!(faults[0].hints, ["write 6%"]);
    assert!(run("6%").faults.is_empty());
}

#[test]
fn a_price_is_of_what_its_heading_says() {
    for (text, wanted) in [
        (
            "show cost_of_length(2 m, price: 14.50 EUR)",
            "`price` in `cost_of_length` must be money for a length, and this is a sum of money in EUR, 14.50 EUR | write the price of a length, such as `14.50 EUR/m` or `12 USD/yd`",
        ),
        (
            "show made_price(30 EUR, work: 2 h, wage: 20 EUR)",
            "`wage` in `made_price` must be money for a time, and this is a sum of money in EUR, 20.00 EUR | ",
        ),
        ("show piece_weight(1 m by 50 cm, weight: 120 g/m^2)", "60 g"),
        (
            "show piece_weight(1 m by 50 cm, weight: 120 g)",
            "`weight` in `piece_weight` must be a weight per area, and this is a weight, 120 g | ",
        ),
    ] {
        assert_eq!(of_the_library(text), wanted, "{text}");
    }
}

#[test]
fn what_a_rule_of_the_library_gives_is_not_less_than_0_unless_it_says_signed() {
    let radius = "show circle_skirt_radius(20 in, ease: -22 in)";
    let told = of_the_library(radius);
    assert!(
        told.starts_with("`circle_skirt_radius` gives less than 0 with these values: a length"),
        "{told}"
    );
    assert!(of_the_library("show tuck_gap(1/4 in, depth: 1/2 in)").starts_with("-1/4 in"));
    assert_eq!(of_the_library("rule less(x: length) = x - 2 in\nshow less(1 in)"), "-1 in");
}

#[test]
fn a_division_by_0_in_the_library_is_told_as_the_rules() {
    let told = of_the_library(
        "rule none(x: length) = x\nshow cut_from_swatch(6 in by 6 in, swatch: {kept_across: 0%, kept_along: 90%})",
    );
    assert!(told.starts_with("`cut_from_swatch` would divide by 0 with these values"), "{told}");
}

#[test]
fn what_is_calculated_is_refused_when_it_is_evaluated() {
    let line = "given wide = 3 in\nshow strip(wide - 3 in)";
    assert_eq!(
        came(line),
        "run: out-of-bounds: `cut` in `strip` must be more than 0 in, and this is a length, 0 in"
    );
}

#[test]
fn a_branch_that_is_never_taken_is_looked_at_too() {
    let line = "show if 1 < 2 then 3 in else strip(0 in)";
    assert!(came(line).starts_with("check: out-of-bounds"), "{}", came(line));
}

#[test]
fn a_default_is_held_to_its_limits() {
    let rule = "rule turned(x: length, left: length from 1/8 in = 1/16 in) = x + left\nshow turned(2 in)";
    assert!(came(rule).contains("`left` in `turned` must be 1/8 in or more"), "{}", came(rule));
}

#[test]
fn slack_across_a_limit_passes_and_beyond_it_does_not() {
    assert!(came("show strip(1/16 in ± 1/8 in)").contains('±'));
    assert!(came("show strip((1/16 in ± 1/32 in) - 1/4 in)").contains("must be more than 0 in"));
}

#[test]
fn a_limit_ends_a_search() {
    for (line, wanted) in [
        ("find least f from 0 to 3 so that gathered_width(10 in, fullness: f) >= 0 in", "1"),
        ("find most x from 0 in to 40 in so that circle_skirt_radius(20 in, ease: -x) < 4 in", "x = 20 in"),
        ("find n from 0 to 20 so that rows(n) is 12", "n = 12"),
        ("find most n from 0 to 20 so that rows(n) <= 99", "12"),
        (
            "find most x from 0 in to 20 in so that point(x * 20 deg / 1 in) <= 400 deg",
            "it is true up to 9 in",
        ),
    ] {
        let mut session = scant::session::entry::Session::new(Limits::default());
        for rule in RULES.lines().filter(|rule| !rule.is_empty()) {
            assert!(session.enter(rule, &NoFiles).faults.is_empty(), "{rule}");
        }
        let entered = session.enter(line, &NoFiles);
        let said = format!("{:?}{:?}", entered.faults, entered.answers);
        let said = match &entered.answers[..] {
            [scant::recipe::answer::Answer::Found(found)] => scant::report::found_text(found),
            _ => said,
        };
        assert!(said.contains(wanted), "{line}: {said}");
    }
}

#[test]
fn a_limit_of_another_kind_is_told_at_the_heading() {
    let mut files = Files::new();
    let text = "rule strip(cut: length above 0 kg) = cut\nshow strip(1 in)\n";
    let faults = compile("guards", text, &mut files, &NoFiles, &Limits::default()).unwrap_err();
    assert_eq!(faults[0].message, "a limit of `cut` must be a length, or 0");
}

#[test]
fn a_rule_of_the_recipe_that_gives_less_than_nothing_draws_advice_once() {
    use scant::eval::limits::Limits;
    use scant::recipe::used::NoFiles;
    let mut session = scant::session::entry::Session::new(Limits::default());
    session.enter("rule short(x: length): length = x - 5 in", &NoFiles);
    session.enter("rule below(x: length): signed length = x - 5 in", &NoFiles);
    let entered = session.enter("[short(2 in), short(1 in), below(2 in), short(9 in)]", &NoFiles);
    assert!(entered.faults.is_empty());
    let told: Vec<&str> = entered.advice.iter().map(|fault| fault.message.as_str()).collect();
    assert_eq!(told, ["`short` gives -3 in, less than nothing"]);
    assert!(entered.advice[0].hints[0].contains("`: signed length`"));
}
