//! What a drawing is made of: lines, areas and words at places in mm. Every surface (SVG, PDF) draws
//! these and nothing else, so that a picture is the same wherever it goes.

/// A place on the page, in mm: to the right and down from the upper left corner.
pub type Place = (f64, f64);

/// A drawing of a size of its own.
#[derive(Clone, Debug, Default)]
pub struct Drawing {
    /// Its width in mm.
    pub width: f64,
    /// Its height in mm.
    pub height: f64,
    /// What it shows, in a few words.
    pub title: String,
    /// The same for those who cannot see it: all that it says, in sentences.
    pub description: String,
    /// Where it has a list: its description in parts, for a page without pictures.
    pub list: Option<List>,
    /// What is drawn, in order; what comes later is on top.
    pub marks: Vec<Mark>,
}

/// A description that ends in a list. That of a drawing that only goes on with a list is empty.
#[derive(Clone, Debug, Default)]
pub struct List {
    /// What stands above the list, in sentences.
    pub above: String,
    /// Its rows.
    pub rows: Vec<Listed>,
}

/// A row of a list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Listed {
    /// Its number, if it has one.
    pub number: Option<usize>,
    /// How many steps it is set in.
    pub depth: usize,
    /// Its words.
    pub words: String,
}

/// Something drawn.
#[derive(Clone, Debug)]
pub enum Mark {
    /// Lines and areas.
    Path {
        /// How the outline runs.
        steps: Vec<Step>,
        /// What draws it; nothing for an area without a line.
        pen: Option<Pen>,
        /// What fills it.
        fill: Fill,
    },
    /// Words on one line.
    Words(Words),
    /// What is drawn inside a rectangle only: left, top, width, height.
    Clipped([f64; 4], Vec<Mark>),
}

/// A step of an outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Step {
    /// Begin here.
    Move(Place),
    /// A straight line to here.
    Line(Place),
    /// Part of a circle to here.
    Arc {
        /// Its radius.
        radius: f64,
        /// Whether it is the longer way round.
        large: bool,
        /// Whether it turns as a clock's hands do.
        clockwise: bool,
        /// Where it ends.
        to: Place,
    },
    /// Back to the last beginning.
    Close,
}

/// What draws a line: always black.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pen {
    /// Its width in mm.
    pub width: f64,
    /// Its kind.
    pub stroke: Stroke,
}

/// Kinds of line. Those of a guide with several sizes have their numbers from ISO 128-2.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Stroke {
    /// Continuous: edges, dimension lines.
    #[default]
    Solid,
    /// Dashed: stitches, hidden edges.
    Dashed,
    /// Long dash and dot: folds, centre lines.
    DashDot,
    /// Dotted: breaks.
    Dotted,
    /// 02, dashed.
    Iso02,
    /// 03, dashed with wide gaps.
    Iso03,
    /// 04, long dash, dot.
    Iso04,
    /// 05, long dash, two dots.
    Iso05,
    /// 06, long dash, three dots.
    Iso06,
    /// 07, dotted.
    Iso07,
    /// 08, long dash, short dash.
    Iso08,
    /// 09, long dash, two short dashes.
    Iso09,
    /// 10, dash, dot.
    Iso10,
    /// 11, two dashes, dot.
    Iso11,
    /// 12, dash, two dots.
    Iso12,
    /// 13, two dashes, two dots.
    Iso13,
    /// 14, dash, three dots.
    Iso14,
    /// 15, two dashes, three dots.
    Iso15,
}

impl Step {
    /// The outline through these corners.
    pub(crate) fn closed(corners: &[Place]) -> Vec<Step> {
        let begin = corners.iter().take(1).copied().map(Step::Move);
        begin.chain(corners.iter().skip(1).copied().map(Step::Line)).chain([Step::Close]).collect()
    }

    /// The step with its place elsewhere, and its arc so many times its size.
    pub(super) fn moved(self, place: impl Fn(Place) -> Place, scale: f64) -> Step {
        match self {
            Step::Move(to) => Step::Move(place(to)),
            Step::Line(to) => Step::Line(place(to)),
            Step::Arc { radius, large, clockwise, to } => {
                Step::Arc { radius: radius * scale, large, clockwise, to: place(to) }
            }
            Step::Close => Step::Close,
        }
    }
}

impl Mark {
    /// A straight line.
    pub(crate) fn line(from: Place, to: Place, pen: Pen) -> Mark {
        Mark::Path { steps: vec![Step::Move(from), Step::Line(to)], pen: Some(pen), fill: Fill::None }
    }
}

impl Stroke {
    /// Its dashes and gaps in mm, in turn; none where it is continuous. Those of ISO 128-2 are for a line of 0.35 mm.
    pub fn dashes(self) -> &'static [f64] {
        const GAP: f64 = 1.05;
        const WIDE: f64 = 6.3;
        const DOT: f64 = 0.2;
        const SHORT: f64 = 2.1;
        const DASH: f64 = 4.2;
        const LONG: f64 = 8.4;
        match self {
            Stroke::Solid => &[],
            Stroke::Dashed => &[2.0, 1.0],
            Stroke::DashDot => &[4.0, 1.0, 0.5, 1.0],
            Stroke::Dotted => &[0.5, 1.0],
            Stroke::Iso02 => &[DASH, GAP],
            Stroke::Iso03 => &[DASH, WIDE],
            Stroke::Iso04 => &[LONG, GAP, DOT, GAP],
            Stroke::Iso05 => &[LONG, GAP, DOT, GAP, DOT, GAP],
            Stroke::Iso06 => &[LONG, GAP, DOT, GAP, DOT, GAP, DOT, GAP],
            Stroke::Iso07 => &[DOT, GAP],
            Stroke::Iso08 => &[LONG, GAP, SHORT, GAP],
            Stroke::Iso09 => &[LONG, GAP, SHORT, GAP, SHORT, GAP],
            Stroke::Iso10 => &[DASH, GAP, DOT, GAP],
            Stroke::Iso11 => &[DASH, GAP, DASH, GAP, DOT, GAP],
            Stroke::Iso12 => &[DASH, GAP, DOT, GAP, DOT, GAP],
            Stroke::Iso13 => &[DASH, GAP, DASH, GAP, DOT, GAP, DOT, GAP],
            Stroke::Iso14 => &[DASH, GAP, DOT, GAP, DOT, GAP, DOT, GAP],
            Stroke::Iso15 => &[DASH, GAP, DASH, GAP, DOT, GAP, DOT, GAP, DOT, GAP],
        }
    }
}

/// What fills an area.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Fill {
    /// Nothing.
    #[default]
    None,
    /// White.
    White,
    /// Black.
    Black,
    /// Oblique lines.
    Hatched,
    /// Dots.
    Dotted,
}

/// Words on one line.
#[derive(Clone, Debug, Default)]
pub struct Words {
    /// Where they are anchored, on the base line.
    pub at: Place,
    /// The words, already harmless; a surface escapes them for its format.
    pub text: String,
    /// The size of the letters in mm, as a font's size.
    pub size: f64,
    /// Which end of them is at the place.
    pub anchor: Anchor,
    /// Turned by so many degrees round the place, clockwise.
    pub turned: f64,
    /// Whether a white edge keeps them apart from lines below.
    pub halo: bool,
    /// Whether they are bold.
    pub bold: bool,
}

/// Which part of a line of words is at its place.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Anchor {
    /// Its beginning.
    #[default]
    Start,
    /// Its middle.
    Middle,
    /// Its end.
    End,
}
