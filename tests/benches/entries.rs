//! What an entry at the prompt costs when much was entered before it.

use std::time::Duration;

use scant::eval::limits::Limits;
use scant::recipe::used::NoFiles;
use scant::session::entry::Session;

use super::clock::{Whose, taken};

/// Entries as they are made at the prompt, ten at a time.
fn entry(at: usize) -> String {
    let n = at / 10;
    match at % 10 {
        0 => format!("width{n} = {} in", 10 + n % 30),
        1 => format!("piece{n} = width{n} by 2 * width{n}"),
        2 => format!("hem = {}/8 in", 1 + n % 7),
        3 => format!("round{n} = perimeter(piece{n}) + 2 * hem"),
        4 => "that / 2".to_owned(),
        5 => format!("folds{n} = each k from 1 to 5: k * width{n} / 6"),
        6 => format!("cut 2 \"panel {n}\" from linen: piece{n}"),
        7 => format!("check piece{n}.across < linen.usable"),
        8 => format!("step \"Cut {{piece{n}}} and turn {{hem}}.\""),
        _ => format!("measured width{n} = {} in", 11 + n % 30),
    }
}

/// Processor time of a hundred entries behind so many.
fn behind(before: usize) -> Duration {
    let mut session = Session::new(Limits::default());
    let enter = |session: &mut Session, text: &str| {
        let entered = session.enter(text, &NoFiles);
        assert!(entered.faults.is_empty(), "{text}: {:?}", entered.faults);
    };
    enter(&mut session, "linen = cloth(\"linen\", width: 54 in, selvage: 0 in)");
    (0..before).for_each(|at| enter(&mut session, &entry(at)));
    let start = taken(Whose::Own);
    (before..before + 100).for_each(|at| enter(&mut session, &entry(at)));
    taken(Whose::Own) - start
}

pub fn task() {
    let (mut few, mut many) = (Duration::MAX, Duration::MAX);
    for _ in 0..7 {
        few = few.min(behind(20));
        many = many.min(behind(2_000));
    }
    println!(
        "entries               a hundred behind 20 take {:.2} ms, behind 2,000 {:.2} ms: {:.2} times",
        few.as_secs_f64() * 1e3,
        many.as_secs_f64() * 1e3,
        many.as_secs_f64() / few.as_secs_f64(),
    );
}
