//! What does not depend on a loop's name is evaluated once for the whole loop.
//!
//! `each k from 1 to n: first + (k - 1) * (gap + 2 * depth)` works `gap + 2 * depth` at the first
//! pass and reads it afterwards. It is evaluated when first reached, not before, so that a branch
//! never taken still costs nothing and a fault is reported where it is met.

use crate::code::node::{Code, Node, Op};
use crate::code::scope::Scope;

/// Wraps the largest parts of `body` that read no slot from `first` on; gives their new slots.
pub fn hoist(body: &mut Node, first: u32, scope: &mut Scope) -> Vec<u32> {
    let mut once = Vec::new();
    if varies(body, first) {
        body.children_mut(&mut |child| wrap(child, first, scope, &mut once));
    }
    once
}

fn wrap(node: &mut Node, first: u32, scope: &mut Scope, once: &mut Vec<u32>) {
    if node.is_leaf()
        || matches!(node.code, Code::Once(..) | Code::Broken | Code::That | Code::Total | Code::Setting(_))
    {
        return;
    }
    if varies(node, first) {
        node.children_mut(&mut |child| wrap(child, first, scope, once));
        return;
    }
    let slot = scope.fresh();
    let inner = Node { code: std::mem::replace(&mut node.code, Code::Broken), span: node.span };
    node.code = Code::Once(slot, Box::new(inner));
    once.push(slot);
}

/// Whether a node reads or fills a slot from `first` on.
fn varies(node: &Node, first: u32) -> bool {
    let own = match &node.code {
        Code::Local(slot) | Code::Once(slot, _) => *slot >= first,
        // A slack is a source of its own at each turn.
        Code::Block(..) | Code::Each(_) | Code::Apply(Op::Slack(_) | Op::Separate(_), _) => true,
        _ => false,
    };
    if own {
        return true;
    }
    let mut found = false;
    node.children(&mut |child| found = found || varies(child, first));
    found
}
