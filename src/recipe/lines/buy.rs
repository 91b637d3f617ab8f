//! `buy 3 m "cotton tape" at 1.20 EUR/m`, `buy 30 "button" in packs of 12 at 2.80 EUR`

use super::*;
use crate::check::{Dims, Shape, Step, Type, words};
use crate::docket::{self, figure_text};
use crate::eval::words::Operand;
use crate::fault::{Code, Fault, Span};
use crate::measure::Dim;
use crate::recipe::bill;
use crate::syntax::tree::{BinaryOp, Buy};
use crate::value::data::Value;

#[derive(Debug)]
struct BuyAct {
    quantity: Node,
    label: Vec<Piece>,
    /// What a pack holds.
    pack: Option<Node>,
    price: Option<Node>,
}

impl Meaning for Buy {
    fn compile(&self, _line: &Line, builder: &mut Builder<'_>, scope: &mut Scope) -> Option<Box<dyn Act>> {
        let compiler = &mut builder.compiler;
        Some(Box::new(BuyAct {
            quantity: compiler.expr(&self.quantity, scope),
            label: compiler.pieces(&self.label, scope),
            pack: self.pack.as_ref().map(|pack| compiler.expr(pack, scope)),
            price: self.price.as_ref().map(|price| compiler.expr(price, scope)),
        }))
    }

    fn makes(&self) -> bool {
        true
    }
}

impl Act for BuyAct {
    fn check(&self, infer: &mut Infer<'_>) {
        infer.pieces(&self.label);
        let ty = infer.expr(&self.quantity);
        let needed = infer.one(&ty, &self.quantity, "how much or how many to buy");
        if let Some(pack) = &self.pack {
            self.check_pack(infer, pack, (&ty, needed.as_ref()));
        }
        self.check_price(infer, &ty, needed);
    }

    fn make(&self, line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
        let needed = maker.eval(&self.quantity, line)?;
        let label = maker.text(&self.label, line)?;
        let pack = part(self.pack.as_ref(), line, maker)?;
        let price = part(self.price.as_ref(), line, maker)?;
        let needed = bill::for_kits(needed, maker.effort.kits, self.quantity.span)?;
        let sold = bill::Sold {
            pack: pack.as_ref().map(|(value, span)| Operand::new(value, *span)),
            price: price.as_ref().map(|(value, span)| Operand::new(value, *span)),
        };
        let needed = Operand::new(&needed, self.quantity.span);
        let bought = bill::buy(needed, label, sold, &maker.machine.settings)?;
        if maker.live.is_some() {
            let shown = needed.value.show(&maker.machine.settings.manner);
            maker.answer(Answer::Words(line_words(&bought, &shown)));
        }
        maker.run.docket.buys.push(docket::Buy { line: line.row(), ..bought });
        Ok(())
    }
}

/// The value of a part of the line, and where it is.
fn part(node: Option<&Node>, line: &Compiled, maker: &mut Maker<'_>) -> Result<Option<(Value, Span)>, Halt> {
    node.map(|node| Ok((maker.eval(node, line)?, node.span))).transpose()
}

/// What the prompt answers: `buy 3 packs of 12 button, for 30`.
fn line_words(bought: &docket::Buy, needed: &str) -> String {
    let amount = match &bought.packs {
        Some(packs) => format!("{} of {}", packs.words(&figure_text(&packs.count)), figure_text(&packs.of)),
        None => figure_text(&bought.buy),
    };
    let because = if needed == amount { String::new() } else { format!(", for {needed}") };
    format!("buy {amount} {}{because} (kept for the recipe)", bought.label)
}

impl BuyAct {
    /// A pack holds the same kind of thing as is needed; things come in whole numbers.
    fn check_pack(&self, infer: &mut Infer<'_>, pack: &Node, (ty, needed): (&Type, Option<&Dims>)) {
        let each = infer.expr(pack);
        let Some(holds) = infer.one(&each, pack, bill::PACK) else { return };
        if holds.known() == Some(Dim::NONE) {
            infer.count(&each, pack, "how many a pack holds");
        }
        let clash = needed.is_some_and(|needed| {
            matches!((needed.known(), holds.known()), (Some(needed), Some(holds)) if needed != holds)
        });
        if clash {
            let fault =
                Fault::new(Code::UnitMix, pack.span, "a pack holds the same kind of thing as is needed");
            let fault = words::both(infer, fault, (ty, &self.quantity), (&each, pack));
            infer.tell(fault.hint(bill::PACKS));
        }
    }

    /// The price must be one of what is bought, or of a pack.
    fn check_price(&self, infer: &mut Infer<'_>, ty: &Type, needed: Option<Dims>) {
        let Some(price) = &self.price else { return };
        let each = infer.expr(price);
        if matches!(infer.store.shallow(&each), Type::No) {
            return;
        }
        let Some(paid) = infer.one(&each, price, "a price such as `1.20 EUR/m`") else { return };
        if self.pack.is_some() && paid.known().is_some_and(bill::is_sum) {
            return;
        }
        let Some(needed) = needed else { return };
        let (a, b) = (Type::Quant(needed, Shape::One), Type::Quant(paid, Shape::One));
        let sum = match infer.times(BinaryOp::Multiply, &a, &b) {
            Step::Gives(ty) => ty,
            Step::Wrong => Type::NUMBER,
            Step::Waits => return,
        };
        let Type::Quant(dims, _) = &sum else { return };
        let Some(dim) = dims.known() else { return };
        if bill::is_sum(dim) {
            return;
        }
        let fault = Fault::new(Code::UnitMix, price.span, bill::PRICE_OF_ANOTHER);
        let fault = words::both(infer, fault, (ty, &self.quantity), (&each, price));
        infer.tell(fault.hint(if self.pack.is_some() { bill::PACK_PRICES } else { bill::PRICES }));
    }
}
