//! `buy 3 m "cotton tape" at 1.20 EUR/m`

use super::*;
use crate::check::operate::Step;
use crate::check::types::{Shape, Type};
use crate::check::words;
use crate::docket;
use crate::eval::words::Operand;
use crate::fault::{Code, Fault};
use crate::measure::Dim;
use crate::recipe::bill;
use crate::syntax::tree::{BinaryOp, Buy};

#[derive(Debug)]
struct BuyAct {
    quantity: Node,
    label: Vec<Piece>,
    price: Option<Node>,
}

impl Meaning for Buy {
    fn compile(&self, _line: &Line, builder: &mut Builder<'_>, scope: &mut Scope) -> Option<Box<dyn Act>> {
        let compiler = &mut builder.compiler;
        Some(Box::new(BuyAct {
            quantity: compiler.expr(&self.quantity, scope),
            label: compiler.pieces(&self.label, scope),
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
        self.check_price(infer);
    }

    fn make(&self, line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
        let needed = maker.eval(&self.quantity, line)?;
        let label = maker.text(&self.label, line)?;
        let price = self.price.as_ref().map(|price| Ok::<_, Halt>((maker.eval(price, line)?, price.span)));
        let price = price.transpose()?;
        let price = price.as_ref().map(|(value, span)| Operand::new(value, *span));
        if maker.live.is_some() {
            let shown = needed.show(&maker.machine.settings.manner);
            maker.answer(Answer::Words(format!("buy {shown} {label} (kept for the recipe)")));
        }
        let needed = bill::for_kits(needed, maker.effort.kits, self.quantity.span)?;
        let needed = Operand::new(&needed, self.quantity.span);
        let bought = bill::buy(needed, label, price, &maker.machine.settings)?;
        maker.run.docket.buys.push(docket::Buy { line: line.row(), ..bought });
        Ok(())
    }
}

impl BuyAct {
    /// The price must be one of what is bought.
    fn check_price(&self, infer: &mut Infer<'_>) {
        let ty = infer.expr(&self.quantity);
        let needed = infer.one(&ty, &self.quantity, "how much or how many to buy");
        let Some(price) = &self.price else { return };
        let each = infer.expr(price);
        if matches!(infer.store.shallow(&each), Type::No) {
            return;
        }
        let Some(paid) = infer.one(&each, price, "a price such as `1.20 EUR/m`") else { return };
        let Some(needed) = needed else { return };
        let (a, b) = (Type::Quant(needed, Shape::One), Type::Quant(paid, Shape::One));
        let sum = match infer.times(BinaryOp::Multiply, &a, &b) {
            Step::Gives(ty) => ty,
            Step::Wrong => Type::NUMBER,
            Step::Waits => return,
        };
        let Type::Quant(dims, _) = &sum else { return };
        let Some(dim) = dims.known() else { return };
        if dim.is_money() && dim.currency().is_some_and(|currency| Dim::money(currency) == dim) {
            return;
        }
        let fault = Fault::new(Code::UnitMix, price.span, bill::PRICE_OF_ANOTHER);
        let fault = words::both(infer, fault, (&ty, &self.quantity), (&each, price));
        infer.tell(fault.hint(bill::PRICES));
    }
}
