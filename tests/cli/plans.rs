//! Cutting plans as they are told and drawn: `tests/plans` keeps the whole texts, `SCANT_RENEW=1 cargo test`
//! writes them anew; read them, and open the drawings, then.

use std::path::PathBuf;

use crate::bench::{compare, scant, tests, verdict};
use crate::schema::{problem, schema};

fn plans() -> PathBuf {
    tests().join("plans")
}

fn kept(faults: &mut Vec<String>, file: &str, args: &[&str]) -> String {
    let done = scant(&plans(), args);
    if done.status != 0 || !done.err.is_empty() {
        faults.push(format!("{args:?}: status {}\n{}", done.status, done.err));
    }
    faults.extend(compare(&plans().join(file), &done.out).err());
    done.out
}

#[test]
fn plans_are_told_and_drawn() {
    let mut faults = Vec::new();
    for name in ["loft_order", "long_cloth", "dear_squares"] {
        let recipe = format!("{name}.scant");
        let text = kept(&mut faults, &format!("{name}.txt"), &["run", &recipe]);
        let wide: Vec<&str> = text.lines().filter(|line| line.chars().count() > 80).collect();
        if !wide.is_empty() {
            faults.push(format!("{name}: more than 80 columns: {wide:?}"));
        }
        kept(&mut faults, &format!("{name}.svg"), &["run", &recipe, "--as", "svg"]);
        kept(&mut faults, &format!("{name}.csv"), &["run", &recipe, "--as", "csv"]);
        let json = serde_json::from_str(&scant(&plans(), &["run", &recipe, "--as", "json"]).out).unwrap();
        faults.extend(problem(&schema(), &schema(), &json, name));
    }
    verdict(faults);
}

#[test]
fn sizes_are_cut_together() {
    let mut faults = Vec::new();
    let args = ["grade", "../../examples/loft_apron.scant", "--together"];
    let text = kept(&mut faults, "together.txt", &args);
    assert!(text.contains("tie (slight)") && text.contains("tie (broad)"), "{text}");
    verdict(faults);
}

/// The figure that stands in a row of the CSV form.
fn figure(csv: &str, section: &str, label: &str) -> String {
    let row = csv.lines().find(|row| row.starts_with(&format!("{section},{label},")));
    row.and_then(|row| row.split(',').nth(3)).unwrap_or("").to_owned()
}

#[test]
fn so_many_kits_need_so_many_pieces() {
    let run = |more: &[&str]| {
        let done =
            scant(&plans(), &[&["run", "../../examples/quay_skirt.scant", "--as", "csv"], more].concat());
        assert_eq!((done.status, done.err.as_str()), (0, ""));
        done.out
    };
    let (one, twelve) = (run(&[]), run(&["--kits", "12"]));
    assert!(one.contains("cut,waistband.across,1,") && twelve.contains("cut,waistband.across,12,"));
    assert_ne!(figure(&one, "buy", "printed cotton"), figure(&twelve, "buy", "printed cotton"));
    let thorough = run(&["--thorough"]);
    assert_eq!(figure(&one, "buy", "printed cotton"), figure(&thorough, "buy", "printed cotton"));
}

fn told(recipe: &str) -> String {
    let done = scant(&plans(), &["run", recipe]);
    assert_eq!((done.status, done.err.as_str()), (0, ""));
    done.out
}

#[test]
fn strips_as_wide_as_the_cloth_lie_beside_a_hexagon() {
    let text = told("hexagon.scant");
    assert!(text.contains("linen  5/8 yd") && !text.contains("is shorter"), "{text}");
}

#[test]
fn cloth_sold_by_the_metre_is_read_in_metric_whatever_its_first_piece_is_typed_in() {
    let text = told("metric_cloth.scant");
    let sold = text.lines().find(|line| line.contains("sold by")).unwrap();
    assert!(sold.contains(" cm") && !sold.contains(" in"), "{text}");
}

#[test]
fn a_bound_of_nothing_is_not_told() {
    let text = told("square_in_hand.scant");
    assert!(text.contains("for 11 in") && !text.contains("under 0"), "{text}");
}
