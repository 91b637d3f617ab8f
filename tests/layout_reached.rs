//! The kept table of what plans reach (`SCANT_RENEW=1 cargo bench -- plans` writes it): it holds
//! what is promised, and comes out again.
#![allow(clippy::unwrap_used, clippy::panic)] // a plan that is wrong is a test that fails

#[path = "outside/jobs.rs"]
mod jobs;

use scant::layout::{Budget, Kind, check, plan};

const KINDS: [Kind; 3] = [Kind::Strips, Kind::EdgeToEdge, Kind::Any];

/// A row of the table.
struct Reached {
    instance: String,
    kind: String,
    budget: String,
    length: i128,
    bound: i128,
    proved: bool,
}

fn reached() -> Vec<Reached> {
    let text = std::fs::read_to_string(jobs::own().join("reached.csv")).unwrap();
    let rows =
        csv::Reader::from_reader(text.as_bytes()).into_records().map(Result::unwrap).collect::<Vec<_>>();
    rows.iter()
        .map(|row| Reached {
            instance: row[0].to_owned(),
            kind: row[1].to_owned(),
            budget: row[2].to_owned(),
            length: row[3].parse().unwrap(),
            bound: row[4].parse().unwrap(),
            proved: row[5].parse().unwrap(),
        })
        .collect()
}

/// Mean gap to the larger bound, in hundredths of a percent; how many are longer and shorter than the
/// best known before; how many are proved.
fn sum(kind: Kind, budget: &str) -> (i128, usize, usize, usize) {
    let known = jobs::known(&jobs::own(), "best-known.csv", jobs::discipline(kind));
    let rows: Vec<Reached> = reached()
        .into_iter()
        .filter(|row| row.kind == jobs::discipline(kind) && row.budget == budget)
        .collect();
    assert_eq!(rows.len(), 19);
    let gap = |row: &Reached| {
        let bound = row.bound.max(known[&row.instance].bound);
        (row.length - bound) * 1_000_000 / bound
    };
    let against = |longer: bool| {
        let best =
            |row: &&Reached| (row.length - known[&row.instance].best) * if longer { 1 } else { -1 } > 0;
        rows.iter().filter(best).count()
    };
    let mean = rows.iter().map(gap).sum::<i128>() / 19 / 100;
    (mean, against(true), against(false), rows.iter().filter(|row| row.proved).count())
}

#[test]
fn strips_are_all_proved_best_in_a_tenth_of_a_second() {
    assert_eq!(sum(Kind::Strips, "usual"), (0, 0, 0, 19));
}

#[test]
fn cuts_edge_to_edge_are_as_short_as_any_known() {
    let (gap, longer, shorter, _) = sum(Kind::EdgeToEdge, "thorough");
    assert!(gap < 90 && longer == 0 && shorter >= 2, "{gap} {longer} {shorter}");
    let (gap, ..) = sum(Kind::EdgeToEdge, "usual");
    assert!(gap < 150, "{gap}");
}

#[test]
fn layouts_of_any_kind_are_as_short_as_any_known() {
    let (gap, longer, shorter, _) = sum(Kind::Any, "thorough");
    assert!(gap < 80 && longer == 0 && shorter >= 2, "{gap} {longer} {shorter}");
    let (gap, ..) = sum(Kind::Any, "usual");
    assert!(gap < 150, "{gap}");
}

#[test]
fn the_table_comes_out_again() {
    let jobs = jobs::jobs(&jobs::own(), "strip", false);
    for row in reached().iter().filter(|row| row.budget == "quick") {
        let named = jobs.iter().find(|named| named.id == row.instance).unwrap();
        let kind = KINDS.into_iter().find(|kind| jobs::discipline(*kind) == row.kind).unwrap();
        let made = plan(&named.job, kind, Budget::QUICK).unwrap();
        check(&named.job, &made).unwrap();
        assert_eq!(
            (made.length, made.bound, made.proved),
            (row.length, row.bound, row.proved),
            "{}",
            row.instance
        );
    }
}
