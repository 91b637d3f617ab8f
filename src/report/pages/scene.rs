//! A drawing on the surface of a page, in mm.

use krilla::color::rgb;
use krilla::geom::{Path, PathBuilder, Transform};
use krilla::num::NormalizedF32;
use krilla::paint::{Fill as Paint, FillRule, LineJoin, Stroke as Line, StrokeDash};
use krilla::surface::Surface;

use super::letters::{self, Fonts};
use crate::drawing::letters::width;
use crate::drawing::{Anchor, Drawing, Fill, Mark, Pen, Place, Step, Words, arc_turn, bounds};

/// Between the lines, and the dots, of a filled area.
const HATCH: f64 = 1.8;

pub(super) fn black() -> Paint {
    Paint { paint: rgb::Color::black().into(), opacity: NormalizedF32::ONE, rule: FillRule::NonZero }
}

fn white() -> Paint {
    Paint { paint: rgb::Color::white().into(), ..black() }
}

pub(super) fn line(width: f64, dash: &[f32]) -> Line {
    let dash = (!dash.is_empty()).then(|| StrokeDash { array: dash.to_vec(), offset: 0.0 });
    let line_join = LineJoin::Round;
    Line { paint: rgb::Color::black().into(), width: width as f32, line_join, dash, ..Line::default() }
}

fn pen(pen: Pen) -> Line {
    let dashes: Vec<f32> = pen.stroke.dashes().iter().map(|dash| *dash as f32).collect();
    line(pen.width, &dashes)
}

/// Draws a drawing with its upper left corner at a place, so many times as large.
pub(super) fn draw(surface: &mut Surface<'_>, drawing: &Drawing, at: Place, scale: f64, fonts: &Fonts) {
    let scale = scale as f32;
    surface.push_transform(&Transform::from_row(scale, 0.0, 0.0, scale, at.0 as f32, at.1 as f32));
    marks(surface, &drawing.marks, fonts, None);
    surface.pop();
}

/// Marks, of which no more is seen than a window: left, top, width, height.
fn marks(surface: &mut Surface<'_>, all: &[Mark], fonts: &Fonts, window: Option<[f64; 4]>) {
    for mark in all {
        match mark {
            Mark::Path { steps, pen, fill } => path(surface, steps, (*pen, *fill), window),
            Mark::Words(words) => words_on(surface, words, fonts),
            Mark::Clipped([x, y, wide, high], inner) => {
                let (right, bottom) = (x + wide, y + high);
                let steps = Step::closed(&[(*x, *y), (right, *y), (right, bottom), (*x, bottom)]);
                let Some(outline) = outline(&steps) else { continue };
                surface.push_clip_path(&outline, &FillRule::NonZero);
                marks(surface, inner, fonts, Some([*x, *y, *wide, *high]));
                surface.pop();
            }
        }
    }
}

fn path(
    surface: &mut Surface<'_>,
    steps: &[Step],
    (with, fill): (Option<Pen>, Fill),
    window: Option<[f64; 4]>,
) {
    let Some(outline) = outline(steps) else { return };
    if matches!(fill, Fill::Hatched | Fill::Dotted) {
        surface.push_clip_path(&outline, &FillRule::NonZero);
        filling(surface, steps, fill, window);
        surface.pop();
    }
    let paint = match fill {
        Fill::White => Some(white()),
        Fill::Black => Some(black()),
        Fill::None | Fill::Hatched | Fill::Dotted => None,
    };
    if paint.is_none() && with.is_none() {
        return;
    }
    surface.set_fill(paint);
    surface.set_stroke(with.map(pen));
    surface.draw_path(&outline);
}

/// Oblique lines, or dots, over all of an area that is seen; it is clipped.
fn filling(surface: &mut Surface<'_>, steps: &[Step], fill: Fill, window: Option<[f64; 4]>) {
    let [left, top, wide, high] = bounds(steps);
    let mut builder = PathBuilder::new();
    let reach = wide + high;
    let lines = (reach / HATCH).min(4_000.0) as usize;
    // All places of a line have the same sum across and down.
    let nth = |sum: f64| ((sum - left - top) / HATCH).max(0.0) as usize;
    let (first, last) = window.map_or((0, lines), |[x, y, wide, high]| {
        (nth(x + y), nth(x + wide + y + high).saturating_add(1).min(lines))
    });
    for n in first..=last {
        let along = n as f64 * HATCH;
        builder.move_to((left + along) as f32, top as f32);
        builder.line_to((left + along - high) as f32, (top + high) as f32);
    }
    let dash: &[f32] = if fill == Fill::Dotted { &[0.3, 1.5] } else { &[] };
    if let Some(lines) = builder.finish() {
        surface.set_fill(None);
        surface.set_stroke(Some(line(if fill == Fill::Dotted { 0.3 } else { 0.2 }, dash)));
        surface.draw_path(&lines);
    }
}

fn outline(steps: &[Step]) -> Option<Path> {
    let mut builder = PathBuilder::new();
    let (mut begin, mut here) = ((0.0, 0.0), (0.0, 0.0));
    for step in steps {
        match *step {
            Step::Move(to) => {
                builder.move_to(to.0 as f32, to.1 as f32);
                (begin, here) = (to, to);
            }
            Step::Line(to) => {
                builder.line_to(to.0 as f32, to.1 as f32);
                here = to;
            }
            Step::Arc { radius, large, clockwise, to } => {
                arc(&mut builder, here, (radius, large, clockwise), to);
                here = to;
            }
            Step::Close => {
                builder.close();
                here = begin;
            }
        }
    }
    builder.finish()
}

/// A part of a circle as cubic curves of at most a sixteenth of it each: less than a ten-millionth of the radius off.
fn arc(builder: &mut PathBuilder, from: Place, (radius, large, clockwise): (f64, bool, bool), to: Place) {
    let (centre, start, turn) = arc_turn(from, radius, large, clockwise, to);
    let radius = (from.0 - centre.0).hypot(from.1 - centre.1);
    let parts = (turn.abs() / std::f64::consts::FRAC_PI_8).ceil().max(1.0);
    let each = turn / parts;
    let reach = 4.0 / 3.0 * (each / 4.0).tan() * radius;
    let place = |angle: f64, off: f64| {
        let (sin, cos) = angle.sin_cos();
        (centre.0 + radius * cos - off * sin, centre.1 + radius * sin + off * cos)
    };
    for n in 0..parts as usize {
        let (first, last) = (start + each * n as f64, start + each * (n as f64 + 1.0));
        let (one, two, end) = (place(first, reach), place(last, -reach), place(last, 0.0));
        builder.cubic_to(one.0 as f32, one.1 as f32, two.0 as f32, two.1 as f32, end.0 as f32, end.1 as f32);
    }
}

fn words_on(surface: &mut Surface<'_>, words: &Words, fonts: &Fonts) {
    let wide = width(&words.text, words.size, words.bold);
    let (x, y) = words.at;
    let back = match words.anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => wide / 2.0,
        Anchor::End => wide,
    };
    surface.push_transform(&Transform::from_rotate_at(words.turned as f32, x as f32, y as f32));
    let (at, size) = ((x - back, y), (words.size, words.bold));
    if words.halo {
        surface.set_fill(Some(white()));
        surface.set_stroke(Some(Line { paint: rgb::Color::white().into(), ..line(1.0, &[]) }));
        letters::words(surface, at, &words.text, size, (fonts, true));
    }
    surface.set_fill(Some(black()));
    surface.set_stroke(None);
    letters::words(surface, at, &words.text, size, (fonts, false));
    surface.pop();
}
