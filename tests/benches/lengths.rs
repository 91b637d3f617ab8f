//! Lengths cut and joined from strips: how many jobs come out with as few strips as any known.

use std::collections::BTreeMap;
use std::path::Path;
use std::time::Duration;

use scant::layout::{Budget, Join, Length, Lengths, check_lengths, lengths};
use serde_json::Value;

use super::clock::{Whose, taken};
use super::jobs;

/// A second for the project's own jobs, two for the public ones.
const OWN: Budget = Budget(10_000_000);
const PUBLIC: Budget = Budget(25_000_000);

/// The project's own jobs, then the public ones, where the variable says that they are there.
pub fn task() {
    let own = jobs::own();
    for what in ["one-d lengths", "joined lengths"] {
        let known = jobs::known(&own, "best-known.csv", what);
        let best = known.iter().map(|(id, known)| (id.clone(), known.best)).collect();
        let sort = if what == "one-d lengths" { "one-d" } else { "one-d-join" };
        set(&format!("lengths, {what}"), &own, sort, &best, OWN);
    }
    match jobs::public() {
        Some(folder) => {
            let best = jobs::public_figures(&folder, "one-dimensional, fewest lengths");
            set("lengths, public sets", &folder, "one-d", &best, PUBLIC);
        }
        None => println!("public lengths skipped: SCANT_OUTSIDE_DATA is not set"),
    }
}

fn set(what: &str, folder: &Path, sort: &str, best: &BTreeMap<String, i128>, budget: Budget) {
    let (mut all, mut proved) = (0, 0);
    let mut times: Vec<Duration> = Vec::new();
    let mut more: Vec<String> = Vec::new();
    for entry in jobs::entries(folder).iter().filter(|entry| entry["kind"] == sort) {
        let id = entry["id"].as_str().unwrap();
        let Some(best) = best.get(id) else { continue };
        let job = job(entry);
        let start = taken(Whose::Own);
        let made = lengths(&job, budget).unwrap_or_else(|misfit| panic!("{id}: {misfit:?}"));
        times.push(taken(Whose::Own) - start);
        check_lengths(&job, &made).unwrap_or_else(|fault| panic!("{id}: {fault}"));
        all += 1;
        proved += usize::from(made.proved);
        if i128::from(made.strips) > *best {
            more.push(format!("{id} {} for {best}", made.strips));
        }
    }
    times.sort_unstable();
    println!(
        "{what:<34}{all:>5} jobs  {proved:>4} proved  {:>3} as few as known  median {:.1} ms, slowest {:.0} ms",
        all - more.len(),
        times.get(times.len() / 2).map_or(0.0, |time| time.as_secs_f64() * 1e3),
        times.last().map_or(0.0, |time| time.as_secs_f64() * 1e3),
    );
    if !more.is_empty() {
        println!("    more than known: {}", more.join(", "));
    }
}

fn job(entry: &Value) -> Lengths {
    let wanted = entry["items"].as_array().unwrap().iter();
    let wanted = wanted
        .map(|item| Length { count: item["n"].as_u64().unwrap(), length: item["l"].as_i64().unwrap() })
        .collect();
    let join = entry["join"]
        .as_i64()
        .map(|loss| Join { loss, shortest: entry["min_fragment"].as_i64().unwrap_or(0) });
    Lengths { strip: entry["length"].as_i64().unwrap(), hand: Vec::new(), wanted, join }
}
