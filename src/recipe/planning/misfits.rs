//! What does not fit on its cloth, with the reason.

use crate::fault::{Code as FaultCode, Fault};
use crate::layout::Misfit;
use crate::measure::show_size;
use crate::recipe::cutting::Cut;
use crate::recipe::planning::Laying;

/// A fault for each piece that no cloth of the lot can hold, however few are cut.
pub(crate) fn too_large(laying: &Laying<'_>) -> Vec<Fault> {
    let job = &laying.job;
    let fits = |piece: &crate::layout::Piece| {
        let turns = [Some(false), piece.may_turn.then_some(true)];
        turns.into_iter().flatten().any(|turned| {
            let (across, along) = piece.lies(turned);
            let on_sheet = |sheet: &crate::layout::Sheet| {
                sheet.count > 0 && across <= sheet.across && along <= sheet.along
            };
            job.roll.is_some_and(|width| across <= width) || job.sheets.iter().any(on_sheet)
        })
    };
    let unfit =
        job.pieces.iter().zip(&laying.lot.pieces).filter(|(piece, _)| piece.count > 0 && !fits(piece));
    unfit.map(|(_, cut)| does_not_fit(laying, cut)).collect()
}

fn does_not_fit(laying: &Laying<'_>, cut: &Cut) -> Fault {
    let cloth = &laying.lot.cloth;
    let manner = &cloth.settings.manner;
    let (label, name) = (&cut.label, &cloth.name);
    if laying.job.roll.is_none() {
        let message = format!(
            "\"{label}\" does not fit: it is {}, and that is larger than any \"{name}\" in hand",
            show_size(&cut.across, &cut.along, manner),
        );
        let fault = Fault::new(FaultCode::DoesNotFit, cut.span, message);
        return fault.hint("join it from smaller pieces, or buy cloth: leave out `from cloth in hand`");
    }
    let folded = laying.lot.wish.as_ref().is_some_and(|wish| wish.folded);
    let usable = cloth.usable.show(manner);
    let has = match folded {
        true => format!("{name}, {usable} usable, is half as wide when folded"),
        false => format!("{name} has {usable} of usable width"),
    };
    let message = format!("\"{label}\" does not fit: it is {} across, and {has}", cut.across.show(manner));
    let unfolded = if folded { "lay the cloth out single, or " } else { "" };
    Fault::new(FaultCode::DoesNotFit, cut.span, message)
        .hint(format!("{unfolded}join it from narrower pieces, or choose a wider cloth"))
}

/// What stopped a planner.
pub(crate) fn faults(laying: &Laying<'_>, misfit: &Misfit) -> Vec<Fault> {
    let Some(cut) = laying.lot.pieces.get(misfit.piece()) else {
        let message = "there are too many pieces to lay out";
        return vec![Fault::new(FaultCode::TooMuch, laying.lot.cloth.span, message)];
    };
    match misfit {
        Misfit::TooWide { .. } => vec![does_not_fit(laying, cut)],
        Misfit::TooMuch { .. } => {
            let message = format!("\"{}\" is too much to lay out: too many or too large", cut.label);
            vec![Fault::new(FaultCode::TooMuch, cut.span, message)]
        }
        Misfit::NoRoom { left } => left
            .iter()
            .filter_map(|(at, left)| Some(left_over(laying, laying.lot.pieces.get(*at)?, *left)))
            .collect(),
    }
}

/// A piece for which there is no cloth left.
fn left_over(laying: &Laying<'_>, cut: &Cut, left: u64) -> Fault {
    let (label, name) = (&cut.label, &laying.lot.cloth.name);
    let fit = if left == 1 { "does" } else { "do" };
    let message = format!("not enough {name} in hand: {left} of \"{label}\" {fit} not fit");
    let fault = Fault::new(FaultCode::DoesNotFit, cut.span, message);
    fault.hint("buy cloth: leave out `from cloth in hand`")
}
