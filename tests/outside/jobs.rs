//! Cutting jobs and the figures known for them, for the tests and the bench of plans.
#![allow(clippy::unwrap_used, clippy::panic, dead_code)] // data of the project's own; not every user needs all

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use scant::layout::{Job, Kind, Piece, Sheet};
use serde_json::Value;

/// A job with a name.
pub struct Named {
    pub id: String,
    /// The set that it belongs to.
    pub set: String,
    pub job: Job,
}

/// What is known of a job by one kind of plan.
#[derive(Clone, Copy)]
pub struct Known {
    pub bound: i128,
    pub best: i128,
    pub proved: bool,
}

/// The folder of the project's own jobs.
pub fn own() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/outside/cutting")
}

/// The folder of the public sets, which are read where they stand and not copied.
pub fn public() -> Option<PathBuf> {
    std::env::var_os("SCANT_OUTSIDE_DATA").map(|folder| PathBuf::from(folder).join("cutting"))
}

/// The name that the tables of known figures have for a kind of plan.
pub fn discipline(kind: Kind) -> &'static str {
    match kind {
        Kind::Strips => "two-stage",
        Kind::EdgeToEdge => "guillotine",
        Kind::Any => "free",
    }
}

/// All jobs of one sort (`strip` for a roll, `sheets`) in a folder; pieces that do not say whether
/// they turn do as `turn` says.
pub fn jobs(folder: &Path, sort: &str, turn: bool) -> Vec<Named> {
    let each = entries(folder).into_iter().filter(|entry| entry["kind"] == sort);
    each.map(|entry| Named {
        id: entry["id"].as_str().unwrap().to_owned(),
        set: entry["set"].as_str().unwrap_or("own").to_owned(),
        job: Job {
            roll: entry["width"].as_i64().map(i128::from),
            sheets: list(&entry["stock"]).iter().map(sheet).collect(),
            pieces: list(&entry["pieces"]).iter().map(|piece| self::piece(piece, turn)).collect(),
        },
    })
    .collect()
}

/// So many parts of a grid unit make up the sides of [`finer`].
pub const FINER: i128 = 7 * 9 * 11 * 13 * 17 * 127;

/// The job in finer units, each side of each piece less 1/7, 1/9, 1/11, 1/13 or 1/17 mm, where a grid unit is 1/8 in.
pub fn finer(job: &Job) -> Job {
    // A millimetre is 40/127 of 1/8 in.
    let hair = |at: usize| FINER / 127 * 40 / [7, 9, 11, 13, 17][at % 5];
    let piece = |(at, piece): (usize, &Piece)| Piece {
        across: piece.across * FINER - hair(at),
        along: piece.along * FINER - hair(at + 1),
        ..*piece
    };
    Job {
        roll: job.roll.map(|width| width * FINER),
        sheets: Vec::new(),
        pieces: job.pieces.iter().enumerate().map(piece).collect(),
    }
}

/// All entries of the data files of a folder, in order of their names.
pub fn entries(folder: &Path) -> Vec<Value> {
    let mut paths: Vec<PathBuf> = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.retain(|path| path.extension().is_some_and(|kind| kind == "json"));
    paths.sort();
    let read = |path: &PathBuf| serde_json::from_str(&fs::read_to_string(path).unwrap()).unwrap();
    paths
        .iter()
        .flat_map(|path| match read(path) {
            Value::Array(entries) => entries,
            entry => vec![entry],
        })
        .collect()
}

fn list(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

fn piece(value: &Value, turn: bool) -> Piece {
    Piece {
        count: value["n"].as_u64().unwrap(),
        across: value["w"].as_i64().unwrap().into(),
        along: value["h"].as_i64().unwrap().into(),
        may_turn: value["rot"].as_bool().unwrap_or(turn),
        by_selvage: false,
    }
}

fn sheet(value: &Value) -> Sheet {
    Sheet {
        count: value["n"].as_u64().unwrap_or(u64::MAX),
        across: value["w"].as_i64().unwrap().into(),
        along: value["h"].as_i64().unwrap().into(),
        cost: value["cost"].as_i64().unwrap(),
    }
}

/// The figures of one of the project's tables for a discipline, by job.
pub fn known(folder: &Path, table: &str, discipline: &str) -> BTreeMap<String, Known> {
    let mut known = BTreeMap::new();
    let text = fs::read_to_string(folder.join(table)).unwrap();
    for row in csv::Reader::from_reader(text.as_bytes()).records() {
        let row = row.unwrap();
        let figure = |at: usize| row[at].parse::<i128>().ok();
        if &row[3] == discipline
            && let Some(best) = figure(7)
        {
            let bound = figure(5).unwrap_or(0);
            known.insert(row[0].to_owned(), Known { bound, best, proved: figure(6).is_some() });
        }
    }
    known
}

/// The best length known for any layout of the public roll jobs.
pub fn public_best(folder: &Path) -> BTreeMap<String, i128> {
    public_figures(folder, "strip, any non-overlap")
}

/// The best figures known for the public jobs of a discipline.
pub fn public_figures(folder: &Path, discipline: &str) -> BTreeMap<String, i128> {
    let text = fs::read_to_string(folder.join("best-known.csv")).unwrap();
    let mut best = BTreeMap::new();
    for row in csv::Reader::from_reader(text.as_bytes()).records() {
        let row = row.unwrap();
        if &row[3] == discipline
            && let Ok(figure) = row[5].parse()
        {
            best.insert(row[1].to_owned(), figure);
        }
    }
    best
}
