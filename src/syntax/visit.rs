//! Everything that a line says: its expressions and its texts.

use super::tree::{Expr, Line};

/// Calls `visit` on each expression of a line, those in its texts too, not on what is inside them.
pub fn exprs<'a>(line: &'a Line, visit: &mut dyn FnMut(&'a Expr)) {
    for example in line.doc.iter().flat_map(|doc| &doc.examples) {
        visit(&example.tried);
        visit(&example.expected);
    }
    line.kind.exprs(visit);
}

/// Calls `visit` on an expression and all that is inside it.
pub fn within<'a>(expr: &'a Expr, visit: &mut dyn FnMut(&'a Expr)) {
    let mut open = vec![expr];
    while let Some(expr) = open.pop() {
        visit(expr);
        expr.children(&mut |child| open.push(child));
    }
}
