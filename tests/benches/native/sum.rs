//! One sum, read and worked by hand.

use super::length::{Length, push_mixed};
use super::parse;
use super::ratio::Ratio;
use super::token::Scanner;
use super::tree::{Expr, ExprKind, Op};

enum Value {
    Number(Ratio),
    Length(Length),
}

/// The answer to a sum of numbers and lengths.
pub fn answer(sum: &str) -> Option<String> {
    let mut scanner = Scanner { text: sum, at: 0 };
    let expr = parse::expr(&mut scanner)?;
    if scanner.at < sum.len() {
        return None;
    }
    let mut out = String::new();
    match work(&expr)? {
        Value::Number(number) => push_mixed(number, &mut out),
        Value::Length(length) => length.push(&mut out),
    }
    Some(out)
}

fn work(expr: &Expr) -> Option<Value> {
    use Value::{Length as L, Number as N};
    Some(match &expr.kind {
        ExprKind::Number(number) => N(*number),
        ExprKind::Length(length) => L(*length),
        ExprKind::Bracket(inner) => work(inner)?,
        ExprKind::Binary(parts) => {
            let (op, left, right) = &**parts;
            match (op, work(left)?, work(right)?) {
                (Op::Add, N(a), N(b)) => N(a + b),
                (Op::Add, L(a), L(b)) => L(a + b),
                (Op::Subtract, N(a), N(b)) => N(a - b),
                (Op::Subtract, L(a), L(b)) => L(a - b),
                (Op::Multiply, N(a), N(b)) => N(a * b),
                (Op::Multiply, N(a), L(b)) | (Op::Multiply, L(b), N(a)) => L(b * a),
                (Op::Divide, N(a), N(b)) if b.n != 0 => N(a / b),
                (Op::Divide, L(a), N(b)) if b.n != 0 => L(a * (Ratio::whole(1) / b)),
                _ => return None,
            }
        }
        _ => return None,
    })
}
