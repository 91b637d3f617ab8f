//! `ruler 1/16 in`, `shop 1/8 yd`, `seam 1/4 in`: from here on it holds.

use super::*;
use crate::check::dims::Dims;
use crate::eval::machine::{Halt, Settings};
use crate::eval::words;
use crate::fault::{Code, Fault, Span};
use crate::measure::{Dim, Manner, Ruler};
use crate::syntax::tree::{Set, Setting};
use crate::value::data::Value;

#[derive(Debug)]
struct SetAct {
    setting: Setting,
    value: Node,
}

impl Meaning for Set {
    fn compile(&self, _line: &Line, builder: &mut Builder<'_>, scope: &mut Scope) -> Option<Box<dyn Act>> {
        Some(Box::new(SetAct { setting: self.setting, value: builder.compiler.expr(&self.value, scope) }))
    }

    fn may_be_used(&self) -> bool {
        true
    }
}

impl Act for SetAct {
    fn check(&self, infer: &mut Infer<'_>) {
        infer.wants(&self.value, wanted(self.setting), &Dims::LENGTH);
    }

    fn make(&self, line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
        let value = self.set(line, maker)?;
        let words = format!("{} {} from here on", self.setting.words(), value.show(&Manner::default()));
        maker.answer(Answer::Words(words));
        Ok(())
    }

    fn sets(&self) -> bool {
        true
    }

    fn again(&self, line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
        self.set(line, maker).map(drop)
    }
}

impl SetAct {
    fn set(&self, line: &Compiled, maker: &mut Maker<'_>) -> Result<Value, Halt> {
        let value = maker.eval(&self.value, line)?;
        set(&mut maker.machine.settings, self.setting, &value, self.value.span)?;
        Ok(value)
    }
}

/// What a setting's line takes.
fn wanted(setting: Setting) -> &'static str {
    match setting {
        Setting::Ruler => "a ruler's step such as `1/16 in`",
        Setting::Shop => "a shop's step such as `1/8 yd`",
        Setting::Seam => "a seam allowance such as `1/4 in`",
    }
}

/// Sets it from here on.
fn set(settings: &mut Settings, setting: Setting, value: &Value, span: Span) -> Result<(), Halt> {
    let what = wanted(setting);
    let quantity = match value {
        Value::Measure(quantity) if quantity.dim == Dim::LENGTH => quantity,
        other => return Err(words::wanted(what, other, span).into()),
    };
    let bad = |message: &str| Halt::from(Fault::new(Code::BadSetting, span, message));
    if quantity.is_negative() || (quantity.is_zero() && setting != Setting::Seam) {
        let most = if setting == Setting::Seam { "cannot be less than 0" } else { "must be more than 0" };
        return Err(bad(&format!("{what} {most}")));
    }
    match setting {
        Setting::Ruler => {
            let Some(ruler) = Ruler::from_step(quantity) else {
                return Err(bad(
                    "this is not a mark of a ruler: write one such as `1/16 in`, `1 mm` or `0.5 cm`",
                ));
            };
            settings.manner.ruler = Some(ruler);
            settings.ruler = Some(quantity.clone());
        }
        Setting::Shop => settings.shop = Some(quantity.clone()),
        Setting::Seam => {
            settings.seam = Some(quantity.clone());
            settings.seam_at = Some(span);
        }
    }
    Ok(())
}
