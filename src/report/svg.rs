//! One drawing as one SVG element, in mm, black on white.

use std::fmt::Write as _;

use super::direction::isolated;
use super::escape::xml_text;
use crate::drawing::{Anchor, Drawing, Fill, Mark, Pen, Place, Step, Words};

/// One drawing as an SVG element that stands by itself or on a page. Its identifiers begin with
/// `d` and the number, so that several may stand on one page.
pub fn svg(drawing: &Drawing, number: usize) -> String {
    let mut out = Writer { text: String::new(), number, clips: 0 };
    let (width, height) = (decimal(drawing.width), decimal(drawing.height));
    out.put(format_args!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height}mm\" \
         viewBox=\"0 0 {width} {height}\" role=\"img\" aria-labelledby=\"d{number}-title d{number}-desc\" \
         font-family=\"sans-serif\" fill=\"none\" stroke=\"#000\" stroke-linejoin=\"round\">\n"
    ));
    let (title, description) = (xml_text(&drawing.title), xml_text(&drawing.description));
    out.put(format_args!("<title id=\"d{number}-title\">{title}</title>\n"));
    out.put(format_args!("<desc id=\"d{number}-desc\">{description}</desc>\n"));
    out.patterns(&drawing.marks);
    out.put(format_args!("<rect width=\"{width}\" height=\"{height}\" fill=\"#fff\" stroke=\"none\"/>\n"));
    out.marks(&drawing.marks);
    out.put(format_args!("</svg>\n"));
    out.text
}

/// The drawings as one SVG document: one as it is, several below each other.
pub fn svg_document(drawings: &[Drawing]) -> String {
    if let [only] = drawings {
        return svg(only, 1);
    }
    const APART: f64 = 10.0;
    let width = drawings.iter().map(|drawing| drawing.width).fold(10.0, f64::max);
    let height: f64 = drawings.iter().map(|drawing| drawing.height + APART).sum();
    let (wide, high) = (decimal(width), decimal((height - APART).max(10.0)));
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{wide}mm\" height=\"{high}mm\" viewBox=\"0 0 {wide} {high}\">\n"
    );
    let mut y = 0.0;
    for (number, drawing) in (1..).zip(drawings) {
        let _ = writeln!(out, "<g transform=\"translate(0 {})\">", decimal(y));
        // Within another, an element has its size in the units of the outer one.
        out.push_str(&svg(drawing, number).replacen("mm\"", "\"", 2));
        out.push_str("</g>\n");
        y += drawing.height + APART;
    }
    out.push_str("</svg>\n");
    out
}

struct Writer {
    text: String,
    number: usize,
    clips: usize,
}

impl Writer {
    fn put(&mut self, text: std::fmt::Arguments<'_>) {
        // Writing to a text cannot fail.
        let _ = self.text.write_fmt(text);
    }

    /// The patterns that some area is filled with.
    fn patterns(&mut self, marks: &[Mark]) {
        let number = self.number;
        if filled(marks, Fill::Hatched) {
            self.put(format_args!(
                "<defs><pattern id=\"d{number}-hatched\" width=\"1.8\" height=\"1.8\" patternUnits=\"userSpaceOnUse\" \
                 patternTransform=\"rotate(45)\"><path d=\"M0 0V1.8\" stroke=\"#000\" stroke-width=\".2\"/></pattern></defs>\n"
            ));
        }
        if filled(marks, Fill::Dotted) {
            self.put(format_args!(
                "<defs><pattern id=\"d{number}-dotted\" width=\"1.6\" height=\"1.6\" patternUnits=\"userSpaceOnUse\" \
                 patternTransform=\"rotate(45)\"><circle cx=\".8\" cy=\".8\" r=\".18\" fill=\"#000\" stroke=\"none\"/></pattern></defs>\n"
            ));
        }
    }

    fn marks(&mut self, marks: &[Mark]) {
        for mark in marks {
            match mark {
                Mark::Path { steps, pen, fill } => self.path(steps, *pen, *fill),
                Mark::Words(words) => self.words(words),
                Mark::Clipped([left, top, width, height], inner) => {
                    self.clips = self.clips.saturating_add(1);
                    let (number, clip) = (self.number, self.clips);
                    let [x, y, w, h] = [left, top, width, height].map(|value| decimal(*value));
                    self.put(format_args!(
                        "<clipPath id=\"d{number}-clip{clip}\"><rect x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\"/></clipPath>\n\
                         <g clip-path=\"url(#d{number}-clip{clip})\">\n"
                    ));
                    self.marks(inner);
                    self.put(format_args!("</g>\n"));
                }
            }
        }
    }

    fn path(&mut self, steps: &[Step], pen: Option<Pen>, fill: Fill) {
        let mut d = String::new();
        for step in steps {
            let _ = match step {
                Step::Move(to) => write!(d, "M{}", place(*to)),
                Step::Line(to) => write!(d, "L{}", place(*to)),
                Step::Arc { radius, large, clockwise, to } => {
                    let radius = decimal(*radius);
                    let (large, sweep) = (u8::from(*large), u8::from(*clockwise));
                    write!(d, "A{radius} {radius} 0 {large} {sweep} {}", place(*to))
                }
                Step::Close => write!(d, "Z"),
            };
        }
        self.put(format_args!("<path d=\"{d}\""));
        let number = self.number;
        match fill {
            Fill::None => {}
            Fill::White => self.put(format_args!(" fill=\"#fff\"")),
            Fill::Black => self.put(format_args!(" fill=\"#000\"")),
            Fill::Hatched => self.put(format_args!(" fill=\"url(#d{number}-hatched)\"")),
            Fill::Dotted => self.put(format_args!(" fill=\"url(#d{number}-dotted)\"")),
        }
        match pen {
            None => self.put(format_args!(" stroke=\"none\"")),
            Some(Pen { width, stroke }) => {
                self.put(format_args!(" stroke-width=\"{}\"", decimal(width)));
                if !stroke.dashes().is_empty() {
                    let dash = |dash: &f64| match decimal(*dash) {
                        text if text.starts_with("0.") => text.replacen("0.", ".", 1),
                        text => text,
                    };
                    let dashes = stroke.dashes().iter().map(dash).collect::<Vec<_>>().join(" ");
                    self.put(format_args!(" stroke-dasharray=\"{dashes}\""));
                }
            }
        }
        self.put(format_args!("/>\n"));
    }

    fn words(&mut self, words: &Words) {
        if words.halo {
            let width = decimal(words.size * 0.4);
            self.line_of_words(
                words,
                &format!("aria-hidden=\"true\" fill=\"#fff\" stroke=\"#fff\" stroke-width=\"{width}\""),
            );
        }
        self.line_of_words(words, "fill=\"#000\" stroke=\"none\"");
    }

    fn line_of_words(&mut self, words: &Words, ink: &str) {
        let (x, y) = (decimal(words.at.0), decimal(words.at.1));
        self.put(format_args!("<text x=\"{x}\" y=\"{y}\" font-size=\"{}\"", decimal(words.size)));
        match words.anchor {
            Anchor::Start => {}
            Anchor::Middle => self.put(format_args!(" text-anchor=\"middle\"")),
            Anchor::End => self.put(format_args!(" text-anchor=\"end\"")),
        }
        if words.bold {
            self.put(format_args!(" font-weight=\"bold\""));
        }
        if words.turned != 0.0 {
            self.put(format_args!(" transform=\"rotate({} {x} {y})\"", decimal(words.turned)));
        }
        self.put(format_args!(" {ink}>{}</text>\n", isolated(&xml_text(&words.text))));
    }
}

/// Whether some area has this filling.
fn filled(marks: &[Mark], with: Fill) -> bool {
    marks.iter().any(|mark| match mark {
        Mark::Path { fill, .. } => *fill == with,
        Mark::Words(_) => false,
        Mark::Clipped(_, inner) => filled(inner, with),
    })
}

fn place((x, y): Place) -> String {
    format!("{} {}", decimal(x), decimal(y))
}

/// A number of mm to a thousandth, without zeros at its end.
fn decimal(value: f64) -> String {
    let value = if value.is_finite() { value } else { 0.0 };
    let text = format!("{value:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_no_more_digits_than_they_need() {
        assert_eq!([1.0, 0.5, -0.0001, 12.3456, f64::NAN].map(decimal), ["1", "0.5", "0", "12.346", "0"]);
    }
}
