//! True-size guides as PDF: a page in front that shows how the sheets join, then the sheets.

use std::borrow::Cow;
use std::fmt;
use std::io;

use super::pdf::with_sheets;
use super::{Block, Document, Style};
use crate::docket::{Line, Part};
use crate::drawing::{
    Drawing, Imprint, Layer, Mark, Paper, Pen, Place, SCALE, SIZE_LINES, Small, Stroke, Tiling, Words,
    as_one, guide as drawn, picture, shared,
};
use crate::text::clean;

/// The height in mm that a drawing of the page in front may take.
const HIGH: f64 = 105.0;

/// Pictures to print at true size.
#[derive(Clone, Debug, Default)]
pub struct Guides<'a> {
    /// The recipe.
    pub recipe: &'a str,
    /// What must be read first.
    pub cautions: Vec<&'a str>,
    /// Each guide: a picture, or the same picture of several sizes, which are drawn over each other.
    pub guides: Vec<Vec<Layer<'a>>>,
    /// The sheets of paper.
    pub paper: Paper,
    /// How many sheets there may be.
    pub most: usize,
}

/// Why there is no guide.
#[derive(Debug)]
pub enum NoGuide {
    /// It would take more sheets than there may be.
    TooMany,
    /// There is no line in any picture.
    Nothing,
    /// It cannot be written.
    Write(io::Error),
}

impl fmt::Display for NoGuide {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            NoGuide::TooMany => f.write_str("more sheets than there may be"),
            NoGuide::Nothing => f.write_str("nothing to draw"),
            NoGuide::Write(error) => error.fmt(f),
        }
    }
}

impl std::error::Error for NoGuide {}

/// A guide as it is drawn.
struct Drawn<'a> {
    layers: &'a [Layer<'a>],
    drawing: Drawing,
    /// Stands before its name, where there are several.
    number: Option<usize>,
    legend: Vec<(String, Stroke)>,
}

/// A guide, or small ones that share a sheet: as one drawing, and what stands at the foot of its sheets.
struct Laid<'a> {
    holds: Vec<&'a Drawn<'a>>,
    drawing: Cow<'a, Drawing>,
    imprint: Imprint,
}

/// The guides as one PDF.
pub fn guide(guides: &Guides<'_>) -> Result<Vec<u8>, NoGuide> {
    let filled =
        guides.guides.iter().filter_map(|layers| Some((layers.as_slice(), drawn(layers, guides.paper)?)));
    let filled: Vec<(&[Layer<'_>], Drawing)> = filled.collect();
    let several = filled.len() > 1;
    let drawn: Vec<Drawn<'_>> = (1..)
        .zip(filled)
        .map(|(number, (layers, drawing))| {
            let number = several.then_some(number);
            Drawn { layers, drawing, number, legend: kinds_of_line(layers) }
        })
        .collect();
    let laid = laid(guides, &drawn);
    let mut room = guides.most;
    let mut tilings = Vec::new();
    for laid in &laid {
        let tiling = Tiling::new(&laid.drawing, &laid.imprint, guides.paper, room).ok_or(NoGuide::TooMany)?;
        room = room.saturating_sub(tiling.count());
        tilings.push(tiling);
    }
    let count: usize = tilings.iter().map(Tiling::count).sum();
    if count == 0 {
        return Err(NoGuide::Nothing);
    }
    let mut parts: Vec<Told<'_>> = laid
        .iter()
        .zip(&tilings)
        .flat_map(|(laid, tiling)| {
            let shared = laid.holds.len() > 1;
            laid.holds.iter().map(move |drawn| (*drawn, tiling, shared))
        })
        .collect();
    parts.sort_by_key(|(drawn, ..)| drawn.number);
    let front = front(guides, &parts);
    let sheets = |before: usize| {
        let pages = before.saturating_add(count);
        let mut next = before.saturating_add(1);
        let mut sheets = Vec::new();
        for tiling in &tilings {
            sheets.extend(tiling.sheets(next, pages));
            next = next.saturating_add(tiling.count());
        }
        sheets
    };
    with_sheets(front, count, sheets).map_err(NoGuide::Write)
}

/// What goes on sheets of its own: large guides, and small ones several on a sheet.
fn laid<'a>(guides: &Guides<'_>, drawn: &'a [Drawn<'a>]) -> Vec<Laid<'a>> {
    let names: Vec<String> = drawn.iter().map(Drawn::heading).collect();
    let small: Vec<Small<'_>> = drawn
        .iter()
        .zip(&names)
        .map(|(drawn, name)| Small { drawing: &drawn.drawing, name, legend: &drawn.legend })
        .collect();
    let sheet = |places: &Vec<(usize, Place)>| {
        let holds: Vec<&Drawn<'_>> = places.iter().filter_map(|(at, _)| drawn.get(*at)).collect();
        let first = *holds.first()?;
        let alone = holds.len() == 1;
        let drawing = if alone { Cow::Borrowed(&first.drawing) } else { Cow::Owned(as_one(&small, places)) };
        let mut imprint = imprint(guides.recipe, first);
        if !alone {
            imprint.lines = vec![format!("{} guides on one sheet", holds.len())];
            imprint.lines.extend(sizes_words(first.layers));
        }
        Some(Laid { holds, drawing, imprint })
    };
    shared(&small, guides.paper).iter().filter_map(sheet).collect()
}

impl Drawn<'_> {
    /// Its title with its number, if it has one.
    fn heading(&self) -> String {
        let title = title(self.layers);
        self.number.map_or(title.clone(), |number| format!("{number}. {title}"))
    }
}

/// The kind of line of each size, where there are several.
fn kinds_of_line(layers: &[Layer<'_>]) -> Vec<(String, Stroke)> {
    match layers {
        [_] => Vec::new(),
        _ => layers.iter().zip(SIZE_LINES.iter().cycle()).map(named).collect(),
    }
}

/// The sizes of a guide in words: `size M`, `sizes S, M, L`.
fn sizes_words(layers: &[Layer<'_>]) -> Option<String> {
    let sizes: Vec<String> = layers.iter().filter_map(|layer| layer.size).map(clean).collect();
    match sizes.len() {
        0 => None,
        1 => Some(format!("size {}", sizes.join(""))),
        _ => Some(format!("sizes {}", sizes.join(", "))),
    }
}

fn title(layers: &[Layer<'_>]) -> String {
    layers.first().map_or_else(String::new, |layer| clean(&layer.picture.title))
}

/// What stands at the foot of each sheet: what is cut, as its shapes say, in which size.
fn imprint(recipe: &str, drawn: &Drawn<'_>) -> Imprint {
    let layers = drawn.layers;
    let mut lines = vec![title(layers)];
    lines.extend(sizes_words(layers));
    for part in layers.iter().take(1).flat_map(|layer| &layer.picture.parts) {
        if let Part::Shape { label: Some(label), line: Line::Cut, .. } = part
            && !lines.contains(&clean(label))
        {
            lines.push(clean(label));
        }
    }
    Imprint { recipe: clean(recipe), lines, legend: drawn.legend.clone(), number: drawn.number }
}

/// A size and its kind of line.
fn named((layer, (stroke, _)): (&Layer<'_>, &(Stroke, &str))) -> (String, Stroke) {
    (clean(layer.size.unwrap_or_default()), *stroke)
}

/// A guide, its sheets, whether it shares them.
type Told<'a> = (&'a Drawn<'a>, &'a Tiling<'a>, bool);

/// The page in front.
fn front(guides: &Guides<'_>, parts: &[Told<'_>]) -> Document {
    let name = if guides.recipe.trim().is_empty() { "Recipe" } else { guides.recipe };
    let style = Style { paper: guides.paper, ..Style::default() };
    let title_words = format!("{}: true-size guide", clean(name));
    let mut blocks = vec![Block::Heading(1, title_words.clone()), Block::Warning(SCALE.to_owned())];
    let cautions =
        guides.cautions.iter().map(|caution| Block::Warning(format!("Caution: {}", clean(caution))));
    blocks.extend(cautions);
    blocks.push(Block::Paragraph(
        "Each sheet has a square of 2 in and one of 5 cm. If a printed square is larger or smaller, print again \
         without fitting to the page."
            .to_owned(),
    ));
    if parts.iter().any(|(_, tiling, _)| tiling.count() > 1) {
        let items = [
            "Lay the sheets out as the picture below shows: a letter for each row, a number for each place in it.",
            "Where an edge says “cut here”, cut off the margin along the frame.",
            "Lay that edge on the dotted line of its neighbour, so that the halves of the diamonds meet. \
             The sheets overlap by 15 mm.",
            "Glue or tape. Measure a long line, if the guide has one whose length you know, before you cut cloth.",
        ];
        blocks.push(Block::List { numbered: true, items: items.map(str::to_owned).into() });
    }
    for (drawn, tiling, shared) in parts {
        let (layers, tiling) = (drawn.layers, *tiling);
        blocks.push(Block::Heading(2, drawn.heading()));
        let room = guides.paper.room();
        if layers.len() > 1 {
            blocks.push(Block::Figure(Box::new(legend(layers, room.0))));
        }
        if tiling.count() > 1 {
            blocks.push(Block::Figure(Box::new(tiling.overview((room.0, HIGH)))));
        }
        blocks.push(Block::Paragraph(sheets_words(layers, tiling, *shared)));
        if let [layer] = layers {
            // Beside the overview it has a page of its own.
            let high = match (tiling.count(), shared) {
                (1, true) => HIGH * 0.6,
                (1, false) => HIGH,
                _ => room.1 * 0.85,
            };
            blocks.push(Block::Figure(Box::new(picture(layer.picture, (room.0, high)))));
        }
    }
    Document { title: title_words, blocks, style }
}

fn sheets_words(layers: &[Layer<'_>], tiling: &Tiling<'_>, shared: bool) -> String {
    let sheets = match (tiling.count(), tiling.names()) {
        (1, Some((first, _))) if shared => format!("On sheet {first}, with others."),
        (1, Some((first, _))) => format!("1 sheet, {first}."),
        (count, Some((first, last))) => format!("{count} sheets, {first} to {last}."),
        (_, None) => "No sheet.".to_owned(),
    };
    match sizes_words(layers) {
        None => sheets,
        Some(sizes) if layers.len() == 1 => format!("For {sizes}. {sheets}"),
        Some(sizes) => format!(
            "For {sizes}, over each other. {sheets} Each size has its own kind of line; the thick lines are cut, \
             the thin ones are not."
        ),
    }
}

/// Which kind of line is which size.
fn legend(layers: &[Layer<'_>], width: f64) -> Drawing {
    const ROW: f64 = 6.0;
    const SAMPLE: f64 = 50.0;
    const SIZE: f64 = 3.2;
    let mut marks = Vec::new();
    let mut told = Vec::new();
    for (n, (layer, (stroke, kind))) in (0_u32..).zip(layers.iter().zip(SIZE_LINES.iter().cycle())) {
        let y = ROW * (f64::from(n) + 0.6);
        marks.push(Mark::line((0.0, y), (SAMPLE, y), Pen { width: 0.35, stroke: *stroke }));
        let size = clean(layer.size.unwrap_or_default());
        let words = format!("{size} ({kind})");
        let fitted = crate::drawing::lines::broken(&words, SIZE, width - SAMPLE - 4.0, false);
        let text = fitted.into_iter().next().unwrap_or_default();
        let at = (SAMPLE + 3.0, y + SIZE * 0.36);
        marks.push(Mark::Words(Words { at, text, size: SIZE, ..Words::default() }));
        told.push(words);
    }
    let title = "The kind of line of each size".to_owned();
    let description = format!("{title}: {}.", told.join("; "));
    Drawing { width, height: ROW * layers.len() as f64 + 2.0, title, description, list: None, marks }
}
