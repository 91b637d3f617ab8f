//! `cut`, `have` and `plan` lines: compiled, and worked into the [`Cutting`] of a run.

use crate::code::compile::Compiler;
use crate::code::node::{Node, Piece};
use crate::code::scope::Scope;
use crate::docket::{Lies, Tool};
use crate::eval::machine::{Halt, Machine};
use crate::eval::words::Operand;
use crate::fault::{Code as FaultCode, Fault, Span};
use crate::layout::Kind;
use crate::recipe::cutting::{Cutting, Ways, Wish, length_on};
use crate::recipe::make::{filled, whole_count};
use crate::recipe::measured::Follow;
use crate::syntax::tree::{self, CutWay, LineKind, PlanWay};

/// What a line about cloth does.
#[derive(Debug)]
pub(crate) enum ClothAct {
    Cut { count: Node, label: Vec<Piece>, cloth: Node, size: Node, ways: Ways },
    Have { count: Node, cloth: Node, size: Node, price: Option<Node> },
    Plan(Box<PlanAct>),
}

/// A `plan` line.
#[derive(Debug)]
pub(crate) struct PlanAct {
    cloth: Node,
    kind: Option<Kind>,
    folded: bool,
    from_hand: bool,
    kits: Option<Node>,
    on: Option<Node>,
    more: Vec<(Vec<Piece>, Span)>,
    line: usize,
}

impl ClothAct {
    /// The act of a line, where it is one about cloth.
    pub fn compile(
        kind: &LineKind,
        span: Span,
        compiler: &mut Compiler<'_>,
        scope: &mut Scope,
    ) -> Option<Self> {
        Some(match kind {
            LineKind::Cut(cut) => ClothAct::Cut {
                count: compiler.expr(&cut.count, scope),
                label: compiler.pieces(&cut.label, scope),
                cloth: compiler.expr(&cut.cloth, scope),
                size: compiler.expr(&cut.size, scope),
                ways: ways(&cut.ways),
            },
            LineKind::Have(have) => ClothAct::Have {
                count: compiler.expr(&have.count, scope),
                cloth: compiler.expr(&have.cloth, scope),
                size: compiler.expr(&have.size, scope),
                price: have.price.as_ref().map(|price| compiler.expr(price, scope)),
            },
            LineKind::Plan(plan) => ClothAct::Plan(Box::new(plan_act(plan, span, compiler, scope))),
            _ => return None,
        })
    }

    /// Works the line, whose frame needs `slots`.
    pub fn work(
        &self,
        span: Span,
        slots: u32,
        machine: &mut Machine,
        cutting: &mut Cutting,
        follow: Option<&mut Follow>,
    ) -> Result<(), Halt> {
        match self {
            ClothAct::Cut { count, label, cloth, size, ways } => {
                let counted = machine.line(count, slots)?;
                let label = filled(machine, label, span, slots)?;
                let from = machine.line(cloth, slots)?;
                let sized = machine.line(size, slots)?;
                let (counted, sized) = match follow {
                    Some(follow) => follow.cut(span, &label, counted, sized, machine.settings.manner),
                    None => (counted, sized),
                };
                cutting.cut(
                    Operand::new(&counted, count.span),
                    label,
                    Operand::new(&from, cloth.span),
                    Operand::new(&sized, size.span),
                    *ways,
                    &machine.settings,
                )
            }
            ClothAct::Have { count, cloth, size, price } => {
                let counted = machine.line(count, slots)?;
                let of = machine.line(cloth, slots)?;
                let sized = machine.line(size, slots)?;
                let paid = price.as_ref().map(|price| machine.line(price, slots)).transpose()?;
                let price =
                    paid.as_ref().zip(price.as_ref()).map(|(paid, node)| Operand::new(paid, node.span));
                cutting.have(
                    Operand::new(&counted, count.span),
                    Operand::new(&of, cloth.span),
                    Operand::new(&sized, size.span),
                    price,
                    &machine.settings,
                )
            }
            ClothAct::Plan(plan) => plan.work(span, slots, machine, cutting),
        }
    }
}

/// What a `plan` line works: the cloth, the kits, the piece it lies on, labels of what may go in too.
type PlanNodes<'a> = (&'a Node, Option<&'a Node>, Option<&'a Node>, Vec<&'a [Piece]>);

impl PlanAct {
    /// What it works.
    pub fn nodes(&self) -> PlanNodes<'_> {
        let more = self.more.iter().map(|(pieces, _)| pieces.as_slice()).collect();
        (&self.cloth, self.kits.as_ref(), self.on.as_ref(), more)
    }

    fn work(&self, span: Span, slots: u32, machine: &mut Machine, cutting: &mut Cutting) -> Result<(), Halt> {
        let cloth = machine.line(&self.cloth, slots)?;
        let kits = match &self.kits {
            Some(node) => {
                let kits = machine.line(node, slots)?;
                let kits = whole_count(Operand::new(&kits, node.span), "a count of kits")?;
                if kits == 0 {
                    return Err(
                        Fault::new(FaultCode::WrongKind, node.span, "there is no plan for 0 kits").into()
                    );
                }
                Some(kits)
            }
            None => None,
        };
        let on = match &self.on {
            Some(node) => {
                let on = machine.line(node, slots)?;
                Some(length_on(Operand::new(&on, node.span))?)
            }
            None => None,
        };
        let mut more = Vec::with_capacity(self.more.len());
        for (label, place) in &self.more {
            more.push((filled(machine, label, span, slots)?, *place));
        }
        let wish = Wish {
            tool: machine.settings.tool,
            kind: self.kind,
            folded: self.folded,
            from_hand: self.from_hand,
            kits,
            on,
            more,
            span,
            line: self.line,
        };
        cutting.plan(Operand::new(&cloth, self.cloth.span), wish, &machine.settings)
    }
}

fn ways(said: &[(CutWay, Span)]) -> Ways {
    let mut ways = Ways::default();
    for (way, _) in said {
        match way {
            CutWay::OnGrain => ways.lies = Some(Lies::OnGrain),
            CutWay::MayTurn => ways.lies = Some(Lies::AnyWay),
            CutWay::AlongSelvage => ways.lies = Some(Lies::AlongSelvage),
            CutWay::Mirrored => ways.mirrored = true,
        }
    }
    ways
}

fn plan_act(plan: &tree::PlanLine, span: Span, compiler: &mut Compiler<'_>, scope: &mut Scope) -> PlanAct {
    let file = compiler.files.get(span.file);
    let mut act = PlanAct {
        line: file.map_or(0, |file| file.place(span.start as usize).line),
        cloth: compiler.expr(&plan.cloth, scope),
        kind: None,
        folded: false,
        from_hand: false,
        kits: None,
        on: None,
        more: Vec::new(),
    };
    for (way, at) in &plan.ways {
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
    act
}

/// The tool of a `tool` line.
pub(crate) fn tool(tool: tree::Tool) -> Tool {
    match tool {
        tree::Tool::Rotary => Tool::Rotary,
        tree::Tool::Scissors => Tool::Scissors,
    }
}
