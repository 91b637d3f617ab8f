//! What does not hang on a loop's name is worked once for the whole loop.
//!
//! `each k from 1 to n: first + (k - 1) * (gap + 2 * depth)` works `gap + 2 * depth` at the first
//! pass and reads it afterwards. It is worked when first reached, not before, so that a branch
//! never taken still costs nothing and a fault is told where it is met.

use crate::code::node::{Code, Node, Piece};
use crate::code::scope::Scope;

/// Wraps the largest parts of `body` that read no slot from `first` on; gives their new slots.
pub fn hoist(body: &mut Node, first: u32, scope: &mut Scope) -> Vec<u32> {
    let mut once = Vec::new();
    if varies(body, first) {
        children(body, &mut |child| wrap(child, first, scope, &mut once));
    }
    once
}

fn wrap(node: &mut Node, first: u32, scope: &mut Scope, once: &mut Vec<u32>) {
    if node.is_leaf() || matches!(node.code, Code::Once(..) | Code::Broken | Code::That | Code::Setting(_)) {
        return;
    }
    if varies(node, first) {
        children(node, &mut |child| wrap(child, first, scope, once));
        return;
    }
    let slot = scope.fresh();
    let inner = Node { code: std::mem::replace(&mut node.code, Code::Broken), span: node.span };
    node.code = Code::Once(slot, Box::new(inner));
    once.push(slot);
}

/// Whether a node reads or fills a slot from `first` on.
fn varies(node: &mut Node, first: u32) -> bool {
    let own = match &node.code {
        Code::Local(slot) | Code::Once(slot, _) => *slot >= first,
        // A slack is a source of its own at each turn.
        Code::Block(..) | Code::Each(_) | Code::Slack(_) | Code::Separate(_) => true,
        _ => false,
    };
    if own {
        return true;
    }
    let mut found = false;
    children(node, &mut |child| found = found || varies(child, first));
    found
}

/// Calls `visit` on each node right below.
fn children(node: &mut Node, visit: &mut dyn FnMut(&mut Node)) {
    match &mut node.code {
        Code::Const(_) | Code::Local(_) | Code::Global(_) | Code::Setting(_) | Code::That | Code::Broken => {}
        Code::Text(pieces) => {
            for piece in pieces {
                if let Piece::Filled(node) = piece {
                    visit(node);
                }
            }
        }
        Code::List(nodes) | Code::Record(_, nodes) | Code::Builtin(_, nodes) => {
            nodes.iter_mut().for_each(visit)
        }
        Code::Block(names, value) => {
            names.iter_mut().for_each(|(_, node)| visit(node));
            visit(value);
        }
        Code::Unary(_, node)
        | Code::ShownInUnit(node, _)
        | Code::WithUnit(node, _)
        | Code::Part(node, ..)
        | Code::Once(_, node) => visit(node),
        Code::Binary(binary) => {
            visit(&mut binary.left);
            visit(&mut binary.right);
        }
        Code::Compare(first, links) => {
            visit(first);
            links.iter_mut().for_each(|link| visit(&mut link.operand));
        }
        Code::Slack(slack) => {
            visit(&mut slack.middle);
            visit(&mut slack.amount);
        }
        Code::Separate(separate) => {
            visit(&mut separate.count);
            visit(&mut separate.each);
        }
        Code::Size(pair)
        | Code::Round(_, pair)
        | Code::ShownInStep(pair)
        | Code::Index(pair)
        | Code::HowMany(pair) => {
            visit(&mut pair.0);
            visit(&mut pair.1);
        }
        Code::Call(call) => call.args.iter_mut().for_each(|(_, node)| visit(node)),
        Code::If(parts) => {
            visit(&mut parts.0);
            visit(&mut parts.1);
            visit(&mut parts.2);
        }
        Code::Each(each) => {
            visit(&mut each.source);
            visit(&mut each.body);
        }
        Code::Range(range) => {
            visit(&mut range.from);
            visit(&mut range.to);
            if let Some(every) = &mut range.every {
                visit(every);
            }
        }
    }
}
