//! Help: every area and rule is told, the handbook holds them all, and words find the rule that is for them.
#![allow(clippy::unwrap_used, clippy::panic)] // what is wrong here is a test that fails

use scant::engine::handbook::{Pages, found, handbook};
use scant::engine::{help, library};

fn areas() -> impl Iterator<Item = &'static str> {
    library::FILES.iter().map(|(file, _)| file.strip_suffix(".scant").unwrap())
}

#[test]
fn the_overview_lists_every_area_in_80_columns() {
    let overview = help::overview();
    for area in areas() {
        assert!(overview.lines().any(|row| row.starts_with(&format!("{area} "))), "{area}");
    }
    let names = help::all_names();
    for name in library::index().keys() {
        assert!(names.contains(name), "{name}");
    }
    for row in overview.lines().chain(names.lines()) {
        assert!(row.chars().count() <= 80, "{row}");
    }
}

#[test]
fn every_area_begins_with_a_foreword_and_lists_its_rules() {
    for area in areas() {
        let told = help::about(area).unwrap();
        let page = handbook(Some(area), Pages::Markdown).unwrap();
        let rules = library::index()
            .iter()
            .filter(|(_, entry)| library::FILES[entry.file].0 == format!("{area}.scant"));
        for (name, _) in rules {
            assert!(told.contains(&format!("{name}(")), "{area}: {name}");
            assert!(page.contains(&format!("{name}(")), "{area}: {name}");
        }
    }
}

#[test]
fn the_handbook_holds_every_rule_with_its_source() {
    let markdown = handbook(None, Pages::Markdown).unwrap();
    let html = handbook(None, Pages::Html).unwrap();
    let rules = library::index().len();
    assert_eq!(markdown.lines().filter(|row| row.starts_with("### ")).count(), rules);
    assert_eq!(markdown.lines().filter(|row| row.starts_with("Source: ")).count(), rules);
    assert_eq!(html.matches("<h3 id=").count(), rules);
    for tag in ["p", "pre", "h2", "h3", "section", "code", "nav"] {
        let opened = html.matches(&format!("<{tag}>")).count() + html.matches(&format!("<{tag} ")).count();
        assert_eq!(opened, html.matches(&format!("</{tag}>")).count(), "<{tag}>");
    }
    assert!(!html.contains(" < ") && !html.contains("& "), "what the rules compare is written out for HTML");
    assert!(handbook(Some("sails"), Pages::Html).is_none());
}

#[test]
fn words_find_the_rule_that_is_for_them() {
    for (words, rule) in [
        ("how much bias for a curved edge", "bias_binding_run"),
        ("round tablecloth", "round_tablecloth"),
        ("how wide to cut elastic", "elastic_length"),
        ("filling for a bigger toy", "scaled_filling"),
        ("mitred hem corner", "mitred_hem_corner"),
        ("shrinkage from a swatch", "shrinkage"),
        ("setting triangles on point", "on_point_setting"),
        ("buttonhole length", "buttonhole"),
        ("backing joined from panels", "backing"),
        ("waist of a circle skirt", "circle_skirt"),
        ("how many strips to join", "strips_to_join"),
        ("gathering fullness", "gathered_width"),
    ] {
        let told = found(words).unwrap_or_default();
        assert!(told.lines().any(|row| row.starts_with(&format!("{rule}("))), "`{words}` finds:\n{told}");
    }
    assert!(found("the of a").is_none());
    assert!(found("").is_none());
    assert!(found("gearbox carburettor").is_none());
}
