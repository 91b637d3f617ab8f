//! The cautions once more, in small letters above a drawing whose page has no warning: a sheet with a drawing is often
//! taken from the others.

use super::{Flow, Kind, LINE, SIDE, TOP};
use crate::drawing::lines::broken;
use crate::report::pages::{Block, Style};

/// Letters in mm, before they are enlarged.
const SIZE: f64 = 2.8;
/// They take no more of a page than this.
const MOST: f64 = 0.3;
const MORE: &str = "There are more cautions in the docket: read them first.";

/// How high the cautions stand above a drawing on a page of this style.
pub(in super::super) fn reminder_height(cautions: &[String], style: Style) -> f64 {
    let (width, height) = style.paper.size();
    let size = SIZE * style.enlarged();
    let lines = lines(cautions, size, (width - 2.0 * SIDE, height - TOP - super::BOTTOM));
    high(lines.len(), size)
}

fn high(lines: usize, size: f64) -> f64 {
    if lines == 0 { 0.0 } else { lines as f64 * size * LINE + size }
}

fn lines(cautions: &[String], size: f64, (width, height): (f64, f64)) -> Vec<String> {
    let most = ((height * MOST / (size * LINE)) as usize).max(2);
    let mut lines: Vec<String> = Vec::new();
    for caution in cautions {
        let more = broken(caution, size, width, true);
        if lines.len() + more.len() >= most {
            lines.push(MORE.to_owned());
            break;
        }
        lines.extend(more);
    }
    lines
}

impl Flow<'_> {
    /// What is needed above a drawing that would be on this page.
    pub(super) fn reminded(&self, cautions: &[String]) -> f64 {
        if self.is_warned() { 0.0 } else { high(self.lines_of(cautions).len(), SIZE * self.enlarged) }
    }

    fn lines_of(&self, cautions: &[String]) -> Vec<String> {
        lines(cautions, SIZE * self.enlarged, (self.width, self.bottom - TOP))
    }

    /// Whether all warnings stand on this page.
    fn is_warned(&self) -> bool {
        self.warned == Some(self.pages.len())
    }

    /// A warning begins on this page.
    pub(super) fn warns(&mut self) {
        let page = self.pages.len();
        // Where they are on two pages, no page has them all.
        self.warned = Some(if self.warned.is_none_or(|before| before == page) { page } else { 0 });
    }

    pub(super) fn reminder(&mut self, cautions: &[String], rest: &[Block]) {
        self.need((self.reminded(cautions) + self.keeps_with(rest)).min(self.bottom - TOP));
        if self.is_warned() {
            return;
        }
        let size = SIZE * self.enlarged;
        let part = self.part(Kind::Paragraph, 0);
        for line in self.lines_of(cautions) {
            self.words(part, &line, (self.left, self.width), (size, true));
        }
        self.y += size;
        self.warned = Some(self.pages.len());
    }
}
