//! `have 1 of linen: 18 in by 22 in at 4 EUR`

use super::*;
use crate::eval::words::Operand;
use crate::measure::Manner;
use crate::syntax::tree::Have;
use crate::value::data::Value;

#[derive(Debug)]
struct HaveAct {
    count: Node,
    cloth: Node,
    size: Node,
    price: Option<Node>,
}

impl Meaning for Have {
    fn compile(&self, _line: &Line, builder: &mut Builder<'_>, scope: &mut Scope) -> Option<Box<dyn Act>> {
        let compiler = &mut builder.compiler;
        Some(Box::new(HaveAct {
            count: compiler.expr(&self.count, scope),
            cloth: compiler.expr(&self.cloth, scope),
            size: compiler.expr(&self.size, scope),
            price: self.price.as_ref().map(|price| compiler.expr(price, scope)),
        }))
    }

    fn makes(&self) -> bool {
        true
    }
}

impl Act for HaveAct {
    fn check(&self, infer: &mut Infer<'_>) {
        infer.whole(&self.count, "a count of cloths in hand");
        infer.cloth(&self.cloth);
        infer.size(&self.size, "a piece of cloth");
        if let Some(price) = &self.price {
            infer.expr(price);
        }
    }

    fn make(&self, line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
        let counted = maker.eval(&self.count, line)?;
        let cloth = maker.eval(&self.cloth, line)?;
        let size = maker.eval(&self.size, line)?;
        let paid = self.price.as_ref().map(|price| maker.eval(price, line)).transpose()?;
        let price = paid.as_ref().zip(self.price.as_ref()).map(|(paid, node)| Operand::new(paid, node.span));
        maker.cutting.line = line.row();
        maker.cutting.have(
            Operand::new(&counted, self.count.span),
            Operand::new(&cloth, self.cloth.span),
            Operand::new(&size, self.size.span),
            price,
            &maker.machine.settings,
        )?;
        if let (true, Value::Record(cloth)) = (maker.live.is_some(), &cloth) {
            let name = cloth.part("name").map(|name| name.show(&Manner::default())).unwrap_or_default();
            let words = format!("have {} of {name}", counted.show(&maker.machine.settings.manner));
            maker.answer_size(&words, &size);
        }
        Ok(())
    }
}
