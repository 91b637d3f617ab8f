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
    /// What is drawn, in order; what comes later is on top.
    pub marks: Vec<Mark>,
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

/// Kinds of line, after ISO 128.
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
#[derive(Clone, Debug)]
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
