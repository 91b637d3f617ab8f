//! Nothing below nothing: whatever a rule is asked, it gives no length, count or area below 0 without a caution.
#![allow(clippy::unwrap_used, clippy::panic)] // what is wrong here is a test that fails

#[path = "common/calls.rs"]
mod calls;

use calls::{Draws, call, heading};
use scant::docket::FigureValue;
use scant::eval::limits::Limits;
use scant::library;
use scant::recipe::used::NoFiles;
use scant::session::entry::Answer;
use scant::session::entry::Session;

/// Rules whose measures have a direction, left and right, up and down.
const SIGNED: &[&str] = &["motif_points", "motif_rings", "rose_spokes"];

/// Anything from a 64th to some feet, whatever it is called.
fn wild(_: &str) -> (u64, u64) {
    (1, 3200)
}

/// Now and then a small one, so that seams and hems are met by pieces smaller than they are.
fn small(_: &str) -> (u64, u64) {
    (1, 64)
}

fn below_nothing(value: &FigureValue) -> bool {
    match value {
        FigureValue::Measure(x) => x.is_negative(),
        FigureValue::Size(size) => size.0.is_negative() || size.1.is_negative(),
        FigureValue::List(items) => items.iter().any(below_nothing),
        FigureValue::Record(parts) => parts.iter().any(|(_, part)| below_nothing(part)),
        _ => false,
    }
}

/// Nothing at all, and less than nothing, are answered or refused: no rule panics.
#[test]
fn nothing_and_less_than_nothing_are_answered_or_refused() {
    let mut answered = 0;
    for (name, entry) in library::index() {
        let mut draws = Draws(5);
        let Some([written, _]) = call(name, heading(entry), &mut draws, |_| (0, 0)) else { continue };
        let Some([some, _]) = call(name, heading(entry), &mut draws, small) else { continue };
        let counts_of_none = |c: char| if c.is_ascii_digit() && c != '6' && c != '4' { '0' } else { c };
        for call in [written.clone(), some.replace("(", "(-"), written.chars().map(counts_of_none).collect()]
        {
            let mut session = Session::new(Limits::default());
            session.enter("seam 0 in", &NoFiles);
            let entered = session.enter(&call, &NoFiles);
            answered += usize::from(!entered.answers.is_empty() || !entered.faults.is_empty());
        }
    }
    assert!(answered > 700, "{answered} calls");
}

#[test]
fn no_rule_gives_less_than_nothing_in_silence() {
    let mut wrong = Vec::new();
    for (name, entry) in library::index().iter().filter(|(name, _)| !SIGNED.contains(name)) {
        let mut draws = Draws(11);
        for at in 0..40 {
            let usual = if at % 3 == 0 { small } else { wild };
            let Some([written, _]) = call(name, heading(entry), &mut draws, usual) else { break };
            let mut session = Session::new(Limits::default());
            session.enter("seam 1/4 in", &NoFiles);
            session.enter("shop 1/8 yd", &NoFiles);
            let entered = session.enter(&written, &NoFiles);
            let cautioned = entered.answers.iter().any(|said| matches!(said, Answer::Caution(_)));
            let below = |said: &Answer| matches!(said, Answer::Value(figure) if below_nothing(&figure.value));
            if !cautioned && entered.answers.iter().any(below) {
                wrong.push(written);
                break;
            }
        }
    }
    assert!(wrong.is_empty(), "{} rules:\n{}", wrong.len(), wrong.join("\n"));
}
