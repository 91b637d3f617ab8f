//! The examples together use every area of the library, each in three sizes or more, in inches and in metric.
#![allow(clippy::unwrap_used, clippy::panic)] // what is wrong here is a test that fails

#[path = "common/examples.rs"]
mod examples;

use std::collections::BTreeMap;
use std::fs;

use examples::examples;
use scant::eval::limits::Limits;
use scant::fault::{self, File, Files};
use scant::library;
use scant::recipe::build::compile;
use scant::recipe::used::NoFiles;
use scant::syntax::{self, tree::ExprKind, tree::LineKind, visit};

/// The areas that the calls in a recipe come from.
fn areas(text: &str) -> Vec<&'static str> {
    let mut files = Files::new();
    let id = files.add(File::new("recipe", text));
    let read = syntax::read(id, text);
    assert!(read.faults.is_empty());
    let mut areas = Vec::new();
    for line in &read.tree.lines {
        let draws = matches!(line.kind, LineKind::Draw(_));
        visit::exprs(line, &mut |expr| {
            visit::within(expr, &mut |part| {
                if let ExprKind::Call(call) = &part.kind
                    && let Some(entry) = library::index().get(&*call.rule.name)
                {
                    areas.push(library::FILES.get(entry.file).unwrap().0);
                    // A rule that draws is used where what it draws is.
                    let drawn = entry.text().split_once(" drawn ").filter(|_| draws);
                    let by = drawn.and_then(|(_, rest)| library::index().get(rest.split(' ').next()?));
                    areas.extend(by.map(|by| library::FILES.get(by.file).unwrap().0));
                }
            });
        });
    }
    areas
}

#[test]
fn every_area_is_used_by_an_example() {
    let mut used: BTreeMap<&str, usize> = library::FILES.iter().map(|(name, _)| (*name, 0)).collect();
    for path in examples() {
        for area in areas(&fs::read_to_string(path).unwrap()) {
            *used.get_mut(area).unwrap() += 1;
        }
    }
    let unused: Vec<&str> = used.iter().filter(|(_, calls)| **calls == 0).map(|(name, _)| *name).collect();
    assert!(unused.is_empty(), "no example uses {unused:?}");
}

#[test]
fn every_example_has_three_sizes_or_more() {
    for path in examples() {
        let text = fs::read_to_string(&path).unwrap();
        let table = path.with_extension("csv");
        let sizes = match fs::read_to_string(&table) {
            Ok(rows) => rows.lines().count() - 1,
            Err(_) => {
                let mut files = Files::new();
                compile("example", &text, &mut files, &NoFiles, &Limits::default())
                    .unwrap_or_else(|faults| panic!("{}", fault::plain(&faults, &files)))
                    .sizes
                    .len()
            }
        };
        assert!(sizes >= 3, "{}: {sizes} sizes", path.display());
    }
}

#[test]
fn the_examples_are_written_in_both_systems() {
    let ruled = |inch: bool| {
        let texts = examples().into_iter().map(|path| fs::read_to_string(path).unwrap());
        let marks = texts.filter(|text| {
            let ruler = text.lines().find(|line| line.starts_with("ruler "));
            ruler.is_some_and(|ruler| ruler.ends_with(" in") == inch)
        });
        marks.count()
    };
    assert!(ruled(true) >= 6 && ruled(false) >= 6, "{} in inches, {} in metric", ruled(true), ruled(false));
}

/// Elastic that does not go over the hip is told by the recipe's own check, and the docket stands: the check once asked
/// a rule that refuses such elastic, so that it never printed and the row was lost.
#[test]
fn elastic_that_is_too_short_fails_a_check_and_keeps_its_docket() {
    let path = examples().into_iter().find(|path| path.ends_with("deck_skirt.scant")).unwrap();
    let text = fs::read_to_string(path).unwrap();
    let text = text
        .replace("given waist = 28 in", "given waist = 20 in")
        .replace("given hip = 38 in", "given hip = 60 in");
    let mut files = Files::new();
    let mut recipe = compile("deck_skirt", &text, &mut files, &NoFiles, &Limits::default())
        .unwrap_or_else(|faults| panic!("{}", fault::plain(&faults, &files)));
    let run = recipe.run(&[], None);
    assert!(run.faults.is_empty(), "{}", fault::plain(&run.faults, &files));
    let failed: Vec<&str> =
        run.docket.checks.iter().filter(|check| !check.passed).map(|check| &*check.message).collect();
    assert_eq!(failed, ["the elastic does not go over the hip"]);
}
