//! What a slack comes from, in words.

use crate::docket::{Figure, FigureValue, Share, Slack};
use crate::measure::{Manner, write_amount};
use crate::text::harmless;

/// So many of the largest shares are reported one by one.
const MOST_TOLD: usize = 6;

/// Which source adds how much slack, a line each, the most first; nothing where it comes from one
/// place that has no line in a script.
pub fn slack_lines(figure: &Figure) -> Vec<String> {
    match &figure.value {
        FigureValue::Slack(slack) => lines(slack, "", &figure.manner),
        FigureValue::SlackSize(size) => {
            let across = lines(&size.0, " across", &figure.manner);
            across.into_iter().chain(lines(&size.1, " along", &figure.manner)).collect()
        }
        _ => Vec::new(),
    }
}

/// The same as a note of one line.
pub(super) fn slack_words(slack: &Slack, manner: &Manner) -> String {
    lines(slack, "", manner).join("; ")
}

fn lines(slack: &Slack, side: &str, manner: &Manner) -> Vec<String> {
    match slack.shares.as_slice() {
        [] => return Vec::new(),
        // Where the script has a line for it, even one source is worth naming.
        [one] => {
            let of_line = |line| format!("all of it{side} from {}, line {line}", harmless(&one.words));
            return one.line.map(of_line).into_iter().collect();
        }
        _ => {}
    }
    let mut lines: Vec<String> =
        slack.shares.iter().take(MOST_TOLD).map(|share| line(share, side, manner)).collect();
    match slack.shares.len().saturating_sub(MOST_TOLD) {
        0 => {}
        1 => lines.push("the rest from one more".into()),
        more => lines.push(format!("the rest from {more} more")),
    }
    lines
}

fn line(share: &Share, side: &str, manner: &Manner) -> String {
    let mut amount = String::new();
    write_amount(&share.amount, manner, &mut amount);
    let words = harmless(&share.words);
    match share.line {
        Some(line) => format!("{amount} of it{side} from {words}, line {line}"),
        None => format!("{amount} of it{side} from {words}"),
    }
}
