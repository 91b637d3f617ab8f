//! The fuzz targets on the kept corpus and on mutations of it with a fixed seed: a bounded smoke run.
#![allow(clippy::unwrap_used, clippy::panic)] // a helper that finds nothing is a test that fails

#[path = "fuzz/harness.rs"]
mod harness;

use std::fs;
use std::panic::catch_unwind;

/// Mutations of each kept text.
const TURNS: u64 = 6;

/// The corpus of a target: its own texts and, where texts are recipes, the hostile ones.
fn corpus(name: &str) -> Vec<Vec<u8>> {
    let within = |folder: &str| {
        let root = format!("{}/{folder}", env!("CARGO_MANIFEST_DIR"));
        fs::read_dir(root).unwrap().flatten().map(|entry| entry.path()).collect::<Vec<_>>()
    };
    let mut paths = within(&format!("tests/fuzz/corpus/{name}"));
    if matches!(name, "reader" | "pipeline") {
        paths.extend(within("examples"));
        paths.extend(within("tests/hostile"));
        paths.retain(|path| path.extension().is_none_or(|kind| kind == "scant"));
    }
    paths.sort();
    paths.iter().map(|path| fs::read(path).unwrap()).collect()
}

/// A generator of George Marsaglia's xorshift family ("Xorshift RNGs", Journal of Statistical Software 8, 2003).
struct Chance(u64);

impl Chance {
    fn below(&mut self, most: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % most.max(1) as u64) as usize
    }
}

/// Texts that a fault is often found with.
const PIECES: &[&str] = &[
    "\"",
    "{",
    "}",
    "(",
    ")",
    "[",
    "]",
    ",",
    ";",
    "\n",
    " by ",
    " in",
    "±",
    "1/0",
    "9999999999999999999",
    "-",
    "\u{1b}",
    "\u{9b}",
    "\u{202e}",
    "½",
    "=",
    ":",
    "#",
    "##",
    "''",
    "e9",
    "\\ud800",
    "each k from 1 to 9: ",
];

fn mutated(text: &[u8], other: &[u8], chance: &mut Chance) -> Vec<u8> {
    let mut made = text.to_vec();
    for _ in 0..=chance.below(4) {
        let at = chance.below(made.len() + 1);
        let end = (at + chance.below(12)).min(made.len());
        match chance.below(5) {
            0 => drop(made.drain(at..end)),
            1 => drop(made.splice(at..at, PIECES[chance.below(PIECES.len())].bytes())),
            2 => made.extend_from_within(at..end),
            3 => {
                let from = chance.below(other.len() + 1);
                let to = (from + chance.below(40)).min(other.len());
                drop(made.splice(at..end, other[from..to].iter().copied()));
            }
            _ => {
                if let Some(byte) = made.get_mut(at) {
                    *byte ^= 1 << chance.below(8);
                }
            }
        }
    }
    made
}

fn smoke(name: &str) {
    let (_, target) = harness::ALL.iter().find(|(known, _)| *known == name).unwrap();
    let corpus = corpus(name);
    assert!(corpus.len() >= 3, "{name} has a corpus");
    let mut chance = Chance(0x5ca1_ab1e_0000_0001);
    for text in &corpus {
        target(text);
        for _ in 0..TURNS {
            let other = &corpus[chance.below(corpus.len())];
            let made = mutated(text, other, &mut chance);
            let ended = catch_unwind(|| target(&made));
            assert!(ended.is_ok(), "{name}: {:?}", String::from_utf8_lossy(&made));
        }
    }
}

#[test]
fn reader() {
    smoke("reader");
}

#[test]
fn pipeline() {
    smoke("pipeline");
}

#[test]
fn tables() {
    smoke("tables");
}

#[test]
fn numbers() {
    smoke("numbers");
}

#[test]
fn planner() {
    smoke("planner");
}

#[test]
fn prompt() {
    smoke("prompt");
}
