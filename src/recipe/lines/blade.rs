//! What is cut with a blade cautions of it by itself, in the library's words.

use super::*;
use crate::docket::Tool;
use crate::recipe::lines::Compiled;
use crate::syntax::tree::{Call, Ident};
use crate::value::data::Value;

/// The library's rule that has the words.
const RULE: &str = "blade_caution";

/// The call of the rule; one of the recipe that has its name is not meant.
pub(super) fn caution(line: &Line, builder: &mut Builder<'_>) -> Node {
    let rule = Ident { name: RULE.into(), span: line.span };
    let mut library = Scope::rule(true);
    let code = builder.compiler.call(&Call { rule, args: Vec::new() }, line.span, &mut library);
    Node { code, span: line.span }
}

/// Cautions of the blade where the tool in force has one.
pub(super) fn say(caution: &Node, line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
    if maker.machine.settings.tool == Tool::Rotary
        && let Value::Text(words) = maker.eval(caution, line)?
    {
        maker.machine.cautions.push(words);
    }
    Ok(())
}
