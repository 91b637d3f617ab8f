//! Why a shape cannot be made, in words.

use crate::fault::{Code, Fault, Span, closest, listed};
use crate::limits::CORNERS;
use crate::shape::Wrong;
use crate::value::cause::{At, Cause};

/// The fault of a shape that cannot be made.
pub(crate) fn wrong_shape(wrong: &Wrong, span: Span) -> Fault {
    let here = |message: String| Fault::new(Code::WrongShape, span, message);
    match wrong {
        Wrong::Number(trouble) => Cause::At(At::Number(*trouble), span).into(),
        Wrong::Few => here("a shape needs at least three corners".into()),
        Wrong::Many => Fault::new(Code::TooMuch, span, format!("a shape has at most {CORNERS} corners")),
        Wrong::NoEdge => here("two corners of this shape that follow each other are one place".into()),
        Wrong::NoArea => here("this shape would have no area".into())
            .hint("check that no length is 0 and that an inner part is smaller than the outer one"),
        Wrong::Crosses => here("the edges of this shape cross each other".into())
            .hint("give the corners in order, once round the shape"),
        Wrong::Allowance(edge) => {
            here(format!("the allowance of the edge `{edge}` is too large for this shape"))
                .hint("make the allowance smaller, or the edges beside it longer")
        }
        Wrong::Unknown(name, known) => {
            Fault::new(Code::UnknownPart, span, format!("this shape has no edge called `{name}`"))
                .did_you_mean(closest(name, known.iter().map(String::as_str)))
                .hint(format!("its edges are {}", quoted(known)))
        }
        Wrong::Curved(edge) => {
            here(format!("the edge `{edge}` is curved, and a straight edge is needed here"))
        }
        Wrong::Beyond(edge) => here(format!("this place is beyond the end of the edge `{edge}`")),
        Wrong::Lengths(edge, other) => {
            here(format!("the edges `{edge}` and `{other}` are not of one length, and cannot be joined"))
        }
    }
}

fn quoted(names: &[String]) -> String {
    listed(&names.iter().map(|name| format!("`{name}`")).collect::<Vec<_>>())
}
