//! `plan linen edge to edge, on 2 1/2 yd`

use super::*;
use crate::check::dims::Dims;
use crate::eval::words::{Operand, whole_count};
use crate::fault::{Code, Fault, Span};
use crate::layout::Kind;
use crate::recipe::cutting::{Wish, length_on};
use crate::syntax::tree::{PlanLine, PlanWay};

#[derive(Debug)]
struct PlanAct {
    cloth: Node,
    kind: Option<Kind>,
    folded: bool,
    from_hand: bool,
    kits: Option<Node>,
    on: Option<Node>,
    more: Vec<(Vec<Piece>, Span)>,
    /// The cloth's own text.
    words: Rc<str>,
    blade: Node,
}

impl Meaning for PlanLine {
    fn compile(&self, line: &Line, builder: &mut Builder<'_>, scope: &mut Scope) -> Option<Box<dyn Act>> {
        let blade = blade::caution(line, builder);
        let compiler = &mut builder.compiler;
        let mut act = PlanAct {
            cloth: compiler.expr(&self.cloth, scope),
            kind: None,
            folded: false,
            from_hand: false,
            kits: None,
            on: None,
            more: Vec::new(),
            words: own_words(compiler.files, self.cloth.span),
            blade,
        };
        for (way, at) in &self.ways {
            match way {
                PlanWay::Strips => act.kind = Some(Kind::Strips),
                PlanWay::EdgeToEdge => act.kind = Some(Kind::EdgeToEdge),
                PlanWay::AnyWay => act.kind = Some(Kind::Any),
                PlanWay::Folded => act.folded = true,
                PlanWay::FromHand => act.from_hand = true,
                PlanWay::Kits(kits) => act.kits = Some(compiler.expr(kits, scope)),
                PlanWay::On(length) => act.on = Some(compiler.expr(length, scope)),
                PlanWay::More(label) => act.more.push((compiler.pieces(label, scope), *at)),
            }
        }
        Some(Box::new(act))
    }

    fn makes(&self) -> bool {
        true
    }
}

impl Act for PlanAct {
    fn check(&self, infer: &mut Infer<'_>) {
        infer.cloth(&self.cloth);
        if let Some(kits) = &self.kits {
            infer.whole(kits, "a count of kits");
        }
        if let Some(on) = &self.on {
            infer.wants(on, "a length of cloth", &Dims::LENGTH);
        }
        for (pieces, _) in &self.more {
            infer.pieces(pieces);
        }
    }

    fn save(&self) -> Save {
        Save::Last(format!("plan {}", self.words).into())
    }

    fn make(&self, line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
        let cloth = maker.eval(&self.cloth, line)?;
        let mut kits = |node: &Node| {
            let kits = whole_count(Operand::new(&maker.eval(node, line)?, node.span), "a count of kits")?;
            let none = || Fault::new(Code::WrongKind, node.span, "a plan needs at least 1 kit");
            if kits == 0 { Err(Halt::from(none())) } else { Ok(kits) }
        };
        let kits = self.kits.as_ref().map(&mut kits).transpose()?;
        let mut on = |node: &Node| length_on(Operand::new(&maker.eval(node, line)?, node.span));
        let on = self.on.as_ref().map(&mut on).transpose()?;
        let more = self.more.iter().map(|(label, place)| Ok((maker.text(label, line)?, *place)));
        let more = more.collect::<Result<_, Halt>>()?;
        let wish = Wish {
            tool: maker.machine.settings.tool,
            kind: self.kind,
            folded: self.folded,
            from_hand: self.from_hand,
            kits,
            on,
            more,
            span: line.span,
            line: line.row(),
        };
        blade::say(&self.blade, line, maker)?;
        let again = maker.live.is_some();
        maker.cutting.plan(Operand::new(&cloth, self.cloth.span), wish, again, &maker.machine.settings)
    }
}
