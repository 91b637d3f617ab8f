//! What a slack comes from, in words.

use crate::docket::{Figure, FigureValue, Share, Slack};
use crate::measure::{Manner, write_amount};

/// So many of the largest shares are told one by one.
const MOST_TOLD: usize = 6;

/// Who brought how much of a slack, a line each, the most first; nothing where it comes from one
/// place, or from nowhere that has a name.
pub fn slack_lines(figure: &Figure) -> Vec<String> {
    match &figure.value {
        FigureValue::Slack(slack) => lines(slack, "", &figure.manner),
        FigureValue::SlackSize(size) => {
            let mut all = lines(&size.0, " across", &figure.manner);
            all.extend(lines(&size.1, " along", &figure.manner));
            all
        }
        _ => Vec::new(),
    }
}

fn lines(slack: &Slack, side: &str, manner: &Manner) -> Vec<String> {
    if slack.shares.len() < 2 {
        return Vec::new();
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
    let words = super::escape::harmless(&share.words);
    match share.line {
        Some(line) => format!("{amount} of it{side} from {words}, line {line}"),
        None => format!("{amount} of it{side} from {words}"),
    }
}
