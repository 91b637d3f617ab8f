//! `cut 2 "panel" from linen: flat, on grain`

use super::*;
use crate::docket::Direction;
use crate::eval::words::Operand;
use crate::fault::Span;
use crate::measure::{Dim, Quantity};
use crate::recipe::cutting::Ways;
use crate::shape::Outline;
use crate::syntax::tree::{Cut, CutWay};
use crate::value::{At, Cause, Value};

#[derive(Debug)]
struct CutAct {
    count: Node,
    label: Vec<Piece>,
    cloth: Node,
    size: Node,
    ways: Ways,
}

impl Meaning for Cut {
    fn compile(&self, _line: &Line, builder: &mut Builder<'_>, scope: &mut Scope) -> Option<Box<dyn Act>> {
        let compiler = &mut builder.compiler;
        Some(Box::new(CutAct {
            count: compiler.expr(&self.count, scope),
            label: compiler.pieces(&self.label, scope),
            cloth: compiler.expr(&self.cloth, scope),
            size: compiler.expr(&self.size, scope),
            ways: ways(&self.ways),
        }))
    }

    fn makes(&self) -> bool {
        true
    }

    fn advise(&self, look: &mut Look<'_>) {
        look.unbounded(&self.count, "a count of pieces must be whole and 0 or more");
    }
}

fn ways(said: &[(CutWay, Span)]) -> Ways {
    let mut ways = Ways::default();
    for (way, _) in said {
        match way {
            CutWay::OnGrain => ways.direction = Some(Direction::OnGrain),
            CutWay::MayTurn => ways.direction = Some(Direction::AnyWay),
            CutWay::AlongSelvage => ways.direction = Some(Direction::AlongSelvage),
            CutWay::Mirrored => ways.mirrored = true,
        }
    }
    ways
}

impl CutAct {
    /// The size of a piece; of a shape that of the rectangle that its cut outline fits in, and the outline.
    fn piece(
        &self,
        value: Value,
        line: &Compiled,
        maker: &mut Maker<'_>,
    ) -> Result<(Value, Option<Outline>), Halt> {
        let shape = match &value {
            Value::Shape(outline) => outline.clone(),
            Value::Record(record) => match record.part("outline") {
                Some(Value::Shape(outline)) => outline.clone(),
                _ => return Ok((value, None)),
            },
            _ => return Ok((value, None)),
        };
        maker.machine.spend(shape.weight().saturating_mul(100), line.span)?;
        let wrong = |wrong| Halt::from(Cause::At(At::Shape(wrong), self.size.span));
        let cut = shape.cut().and_then(|cut| cut.to_origin()).map_err(wrong)?;
        let size = cut.size().map_err(wrong)?;
        let length = |number| Quantity { number, dim: Dim::LENGTH, reading: cut.reading };
        Ok((Value::size(length(size.across), length(size.along)), Some(cut)))
    }
}

impl Act for CutAct {
    fn check(&self, infer: &mut Infer<'_>) {
        infer.whole(&self.count, "a count of pieces");
        infer.pieces(&self.label);
        infer.cloth(&self.cloth);
        infer.piece(&self.size);
    }

    fn make(&self, line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
        let counted = maker.eval(&self.count, line)?;
        let label = maker.text(&self.label, line)?;
        let cloth = maker.eval(&self.cloth, line)?;
        let (size, outline) = self.piece(maker.eval(&self.size, line)?, line, maker)?;
        let planned = size.clone();
        let (counted, size) = maker.cut_as(line, &label, counted, size);
        // What is cut already was cut in another size.
        let outline = outline.filter(|_| size.exact_text() == planned.exact_text());
        maker.cutting.line = line.row();
        maker.cutting.cut(
            Operand::new(&counted, self.count.span),
            label.clone(),
            Operand::new(&cloth, self.cloth.span),
            Operand::new(&size, self.size.span),
            (self.ways, outline),
            &maker.machine.settings,
        )?;
        if maker.live.is_some() {
            let words = format!("cut {} {label}", counted.show(&maker.machine.settings.manner));
            maker.answer_size(&words, &size);
        }
        Ok(())
    }

    /// What is cut already stays; how large it would be now is reported.
    fn again(&self, line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
        let (now, _) = self.piece(maker.eval(&self.size, line)?, line, maker)?;
        maker.would_cut(line, now);
        Ok(())
    }
}
