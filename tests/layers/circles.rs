//! No file depends on itself by way of others: arrows between files point one way.

use std::collections::{BTreeMap, BTreeSet};

use super::paths::{Names, module_of};
use super::{report, sources};

/// Files that name each other in a circle, each circle in order.
fn circles() -> Vec<Vec<String>> {
    let sources = sources();
    let names = Names::of(&sources);
    let mut arrows: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    for source in &sources {
        let own = module_of(&source.name);
        let others = names.named_by(source).into_iter().filter(|other| !related(&own, &module_of(other)));
        arrows.insert(&source.name, others.collect());
    }
    let reach: BTreeMap<&str, BTreeSet<&str>> =
        arrows.keys().map(|from| (*from, reachable(from, &arrows))).collect();
    let mut seen = BTreeSet::new();
    let mut found = Vec::new();
    for (from, to) in &reach {
        if !to.contains(from) || seen.contains(from) {
            continue;
        }
        let circle: Vec<&str> = to
            .iter()
            .copied()
            .filter(|other| reach.get(other).is_some_and(|back| back.contains(from)))
            .collect();
        seen.extend(circle.iter().copied());
        found.push(circle.into_iter().map(str::to_owned).collect());
    }
    found
}

/// A file and its own children may know each other.
fn related(one: &[String], other: &[String]) -> bool {
    one.starts_with(other) || other.starts_with(one)
}

fn reachable<'a>(from: &str, arrows: &BTreeMap<&'a str, BTreeSet<&'a str>>) -> BTreeSet<&'a str> {
    let mut found = BTreeSet::new();
    let mut open: Vec<&str> = arrows.get(from).into_iter().flatten().copied().collect();
    while let Some(next) = open.pop() {
        if found.insert(next) {
            open.extend(arrows.get(next).into_iter().flatten().copied());
        }
    }
    found
}

#[test]
fn no_files_name_each_other_in_a_circle() {
    let told: Vec<String> = circles()
        .into_iter()
        .map(|circle| format!("{} files in a circle: {}", circle.len(), circle.join(", ")))
        .collect();
    report(&told);
}
