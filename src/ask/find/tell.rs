//! A search that gives a name no value is reported as a fault, with all that it found.

use crate::ask::find::FindAct;
use crate::docket::{Figure, FigureValue, Found, Near, Outcome};
use crate::eval::machine::Halt;
use crate::fault::{Code as FaultCode, Fault};
use crate::measure::{show_size, write_slack};

fn words(figure: &Figure) -> String {
    match &figure.value {
        FigureValue::Measure(quantity) => quantity.show(&figure.manner),
        FigureValue::Size(size) => show_size(&size.0, &size.1, &figure.manner),
        FigureValue::Slack(slack) => {
            let mut out = String::new();
            write_slack(&slack.middle, slack.slack.number.lower(), &figure.manner, &mut out);
            out
        }
        _ => "as it is".into(),
    }
}

fn near_words(near: &Near) -> String {
    match &near.made {
        Some(made) => format!("at {} it is {}", words(&near.at), words(made)),
        None if near.open => format!("at {} it is not sure, with the slack", words(&near.at)),
        None => format!("at {} it is refused", words(&near.at)),
    }
}

/// The fault of a `find` line that found no single value for its name.
pub(crate) fn unfound(found: &Found, act: &FindAct) -> Halt {
    let name = &found.name;
    let listed = |several: &[(Figure, Option<Figure>)]| {
        let one = |(from, to): &(Figure, Option<Figure>)| match to {
            Some(to) => format!("{} to {}", words(from), words(to)),
            None => words(from),
        };
        let told: Vec<String> = several.iter().take(4).map(one).collect();
        let more = several.len().saturating_sub(4);
        let more = if more > 0 { format!(" and {more} more") } else { String::new() };
        format!("{}{more}", told.join(", "))
    };
    let span = act.name_span;
    let fault = match &found.outcome {
        Outcome::Several(several) => {
            let message = format!("more than one value of `{name}` makes this true: {}", listed(several));
            let hint = "say which: `find least …` or `find most …`, or narrow the range";
            Fault::new(FaultCode::Several, span, message).hint(hint)
        }
        Outcome::Unsure(some) => {
            let sure =
                if some.is_empty() { String::new() } else { format!("; found so far: {}", listed(some)) };
            Fault::new(
                FaultCode::Unsettled,
                span,
                format!("could not find which `{name}` makes this true{sure}"),
            )
        }
        _ => Fault::new(
            FaultCode::NotFound,
            span,
            format!("no value of `{name}` in this range makes this true"),
        ),
    };
    let mut fault = fault.other(act.condition.span, "this must be true");
    if !found.near.is_empty() {
        let near: Vec<String> = found.near.iter().map(near_words).collect();
        fault = fault.hint(near.join(", "));
    }
    for note in &found.notes {
        fault = fault.hint(&**note);
    }
    let apart = match &found.near[..] {
        [low, high] => match (&low.made, &high.made) {
            (Some(a), Some(b)) => matches!(a.value, FigureValue::Measure(_)) && words(a) != words(b),
            _ => false,
        },
        _ => false,
    };
    if matches!(found.outcome, Outcome::None) && apart && act.end.is_none() {
        fault =
            fault.hint(format!("for the largest that still fits write `find most {name} … so that … <= …`"));
    }
    fault.into()
}
