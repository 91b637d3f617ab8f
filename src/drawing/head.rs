//! What stands above the first drawing of a docket: the recipe, and its cautions.

use super::clear::Sheet;
use super::lines::wrapped;
use crate::docket::Docket;
use crate::text::harmless;

/// Letters of the recipe's name, and of cautions.
const NAME: f64 = 4.4;
const WORDS: f64 = 2.8;

/// The cautions, for those who cannot see a drawing.
pub(super) fn cautions(docket: &Docket) -> String {
    docket.cautions.iter().map(|caution| format!("Caution: {} ", harmless(caution))).collect()
}

/// The recipe and what must be seen before the first cut; tells where the rest begins.
pub(super) fn head(docket: &Docket, sheet: &mut Sheet, (wide, high): (f64, f64)) -> f64 {
    let mut y = 0.0;
    for line in wrapped(&docket.title(), NAME, true, wide, 2) {
        y += NAME * 1.25;
        sheet.write((0.0, y - NAME * 0.25), &line, NAME, true);
    }
    let most = high * 0.3;
    for caution in &docket.cautions {
        let room = ((most - y) / (WORDS * 1.3)) as usize;
        if room < 2 {
            y += WORDS * 1.3;
            sheet.write((0.0, y), "There are more cautions in the docket: read them first.", WORDS, true);
            break;
        }
        for line in wrapped(&format!("Caution: {}", &**caution), WORDS, true, wide, room) {
            y += WORDS * 1.3;
            sheet.write((0.0, y), &line, WORDS, true);
        }
    }
    if y > 0.0 { y + 2.0 } else { y }
}
