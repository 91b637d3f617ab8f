//! The lines that ask, from the grammar's pairs to the tree.

use super::Reader;
use crate::fault::Span;
use crate::syntax::climb::Rule;
use crate::syntax::tree::{End, Find, LineKind, Why};

impl<'a> Reader<'a> {
    pub(super) fn why_line(&mut self, source: &'a str, span: Span) -> Option<LineKind> {
        let line = self.parse(Rule::why_line, source, span)?;
        let mut climber = self.climber(span);
        let mut why = Why { asked: None, briefly: false };
        for part in line.into_inner() {
            match part.as_rule() {
                Rule::expr => why.asked = Some(climber.expr(part)?),
                Rule::briefly => why.briefly = true,
                _ => {}
            }
        }
        Some(LineKind::Why(why))
    }

    pub(super) fn find_line(&mut self, source: &'a str, span: Span) -> Option<LineKind> {
        let (mut climber, parts) = self.parts(Rule::find_line, source, span)?;
        let mut parts = parts.peekable();
        let end = parts.next_if(|part| part.as_rule() == Rule::end);
        let end = end.map(|part| if part.as_str() == "most" { End::Most } else { End::Least });
        let name = climber.next_name(&mut parts);
        let mut parts = parts.filter(|part| part.as_rule() != Rule::to);
        let low = climber.next(&mut parts);
        let high = climber.next(&mut parts);
        let mut next = parts.next()?;
        let mut on = None;
        if next.as_rule() == Rule::on_marks {
            on = Some(climber.next(&mut next.into_inner())?);
            next = parts.next()?;
        }
        let condition = climber.expr(next);
        let find = Find { name: name?, end, low: low?, high: high?, on, condition: condition? };
        Some(LineKind::Find(Box::new(find)))
    }
}
