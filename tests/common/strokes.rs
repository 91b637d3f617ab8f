//! The straight lines of a PDF's pages, read back by another library, in points from the lower left corner.

use lopdf::content::Content;

pub type Place = (f64, f64);

/// A straight line that is drawn.
#[derive(Clone, Debug)]
pub struct Stroke {
    pub from: Place,
    pub to: Place,
    /// The rectangle that it is seen in.
    pub clip: [f64; 4],
    /// Its dashes and gaps in points.
    pub dashes: Vec<f64>,
}

impl Stroke {
    pub fn length(&self) -> f64 {
        (self.to.0 - self.from.0).hypot(self.to.1 - self.from.1)
    }

    /// What is seen of it.
    pub fn seen(&self) -> Option<(Place, Place)> {
        let [left, bottom, right, top] = self.clip;
        let (dx, dy) = (self.to.0 - self.from.0, self.to.1 - self.from.1);
        let (mut enters, mut leaves) = (0.0_f64, 1.0_f64);
        for (step, room) in [
            (-dx, self.from.0 - left),
            (dx, right - self.from.0),
            (-dy, self.from.1 - bottom),
            (dy, top - self.from.1),
        ] {
            if step.abs() < 1e-12 {
                if room < -1e-3 {
                    return None;
                }
            } else if step < 0.0 {
                enters = enters.max(room / step);
            } else {
                leaves = leaves.min(room / step);
            }
        }
        let at = |share: f64| (self.from.0 + dx * share, self.from.1 + dy * share);
        (enters < leaves).then(|| (at(enters), at(leaves)))
    }
}

#[derive(Clone)]
struct State {
    matrix: [f64; 6],
    clip: [f64; 4],
    dashes: Vec<f64>,
}

/// All straight lines of each page.
pub fn strokes(bytes: &[u8]) -> Vec<Vec<Stroke>> {
    let pdf = lopdf::Document::load_mem(bytes).unwrap();
    pdf.get_pages().values().map(|page| page_strokes(&pdf.get_page_content(*page))).collect()
}

fn page_strokes(content: &[u8]) -> Vec<Stroke> {
    let content = Content::decode(content).unwrap();
    let everywhere = [-1e9, -1e9, 1e9, 1e9];
    let mut state = State { matrix: [1.0, 0.0, 0.0, 1.0, 0.0, 0.0], clip: everywhere, dashes: Vec::new() };
    let mut kept = Vec::new();
    let (mut lines, mut points): (Vec<(Place, Place)>, Vec<Place>) = (Vec::new(), Vec::new());
    let (mut begin, mut here) = ((0.0, 0.0), (0.0, 0.0));
    let mut clipping = false;
    let mut found = Vec::new();
    for operation in &content.operations {
        let number = |n: usize| f64::from(operation.operands[n].as_float().unwrap());
        let place = |state: &State, n: usize| {
            let [a, b, c, d, e, f] = state.matrix;
            let (x, y) = (number(n), number(n + 1));
            (a * x + c * y + e, b * x + d * y + f)
        };
        match operation.operator.as_str() {
            "q" => kept.push(state.clone()),
            "Q" => state = kept.pop().unwrap(),
            "cm" => {
                let [a, b, c, d, e, f] = state.matrix;
                let [g, h, i, j, k, l] = std::array::from_fn(number);
                state.matrix = [
                    g * a + h * c,
                    g * b + h * d,
                    i * a + j * c,
                    i * b + j * d,
                    k * a + l * c + e,
                    k * b + l * d + f,
                ];
            }
            "d" => {
                let scale = state.matrix[0].abs();
                let array = operation.operands[0].as_array().unwrap();
                state.dashes = array.iter().map(|n| f64::from(n.as_float().unwrap()) * scale).collect();
            }
            "m" => {
                here = place(&state, 0);
                begin = here;
                points.push(here);
            }
            "l" => {
                let to = place(&state, 0);
                lines.push((here, to));
                points.push(to);
                here = to;
            }
            "c" => {
                here = place(&state, 4);
                points.push(here);
            }
            "h" => {
                lines.push((here, begin));
                here = begin;
            }
            "W" | "W*" => clipping = true,
            "S" | "s" | "B" | "b" | "n" | "f" | "B*" | "f*" => {
                if clipping {
                    let least =
                        |pick: fn(&Place) -> f64| points.iter().map(pick).fold(f64::INFINITY, f64::min);
                    let most =
                        |pick: fn(&Place) -> f64| points.iter().map(pick).fold(f64::NEG_INFINITY, f64::max);
                    let old = state.clip;
                    state.clip = [
                        old[0].max(least(|at| at.0)),
                        old[1].max(least(|at| at.1)),
                        old[2].min(most(|at| at.0)),
                        old[3].min(most(|at| at.1)),
                    ];
                } else if matches!(operation.operator.as_str(), "S" | "s" | "B" | "b" | "B*") {
                    let stroke = |(from, to): (Place, Place)| Stroke {
                        from,
                        to,
                        clip: state.clip,
                        dashes: state.dashes.clone(),
                    };
                    found.extend(lines.iter().copied().map(stroke));
                }
                lines.clear();
                points.clear();
                clipping = false;
            }
            _ => {}
        }
    }
    found
}
