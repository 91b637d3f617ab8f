//! A recursive descent over the everyday lines of a script.

use super::token::Scanner;
use super::tree::{Expr, ExprKind, Ident, Line, LineKind, Op, Rule, Text, TextPart};

/// Reads a script; none where a line cannot be read.
pub fn parse(text: &str) -> Option<Vec<Line>> {
    let mut scanner = Scanner { text, at: 0 };
    let mut lines = Vec::new();
    let mut doc: Option<String> = None;
    while scanner.at < text.len() {
        scanner.spaces();
        match scanner.peek() {
            None => break,
            Some(b'\n') => {
                scanner.at += 1;
                doc = None;
            }
            Some(b'#') if scanner.take("##") => {
                let words = scanner.rest().trim();
                let doc = doc.get_or_insert_default();
                doc.push_str(if doc.is_empty() { "" } else { "\n" });
                doc.push_str(words);
            }
            Some(b'#') => {
                scanner.rest();
                doc = None;
            }
            Some(_) => {
                let start = scanner.at;
                let kind = line(&mut scanner)?;
                let span = scanner.span(start);
                end(&mut scanner)?;
                lines.push(Line { kind, span, doc: doc.take().map(String::into_boxed_str) });
            }
        }
    }
    Some(lines)
}

fn end(scanner: &mut Scanner<'_>) -> Option<()> {
    scanner.spaces();
    let rest = scanner.rest();
    (rest.is_empty() || rest.starts_with('#')).then_some(())
}

fn line(scanner: &mut Scanner<'_>) -> Option<LineKind> {
    match scanner.word_ahead() {
        "given" => given(scanner),
        "rule" => rule(scanner),
        "show" => {
            scanner.at += 4;
            scanner.spaces();
            let label = if scanner.peek() == Some(b'"') { Some(text(scanner)?) } else { None };
            if label.is_some() && !scanner.sign(":") {
                return None;
            }
            Some(LineKind::Show(label, expr(scanner)?))
        }
        "check" => {
            scanner.at += 5;
            let condition = expr(scanner)?;
            let message = if scanner.sign(":") { Some(text(scanner)?) } else { None };
            Some(LineKind::Check(condition, message))
        }
        "step" => {
            scanner.at += 4;
            Some(LineKind::Step(text(scanner)?))
        }
        _ => {
            let start = scanner.at;
            if let Some(name) = ident(scanner)
                && scanner.sign("=")
            {
                return Some(LineKind::Name(name, expr(scanner)?));
            }
            scanner.at = start;
            Some(LineKind::Work(expr(scanner)?))
        }
    }
}

fn given(scanner: &mut Scanner<'_>) -> Option<LineKind> {
    scanner.at += 5;
    let name = ident(scanner)?;
    if !scanner.sign("=") {
        return None;
    }
    let default = expr(scanner)?;
    let mut bounds = None;
    if scanner.word("from") {
        let low = expr(scanner)?;
        bounds = scanner.word("to").then(|| expr(scanner)).map(|high| high.map(|high| (low, high)))?;
    }
    Some(LineKind::Given(Box::new((name, default, bounds))))
}

fn rule(scanner: &mut Scanner<'_>) -> Option<LineKind> {
    scanner.at += 4;
    let name = ident(scanner)?;
    let mut params = Vec::new();
    scanner.sign("(").then_some(())?;
    while !scanner.sign(")") {
        let name = ident(scanner)?;
        let kind = if scanner.sign(":") { Some(ident(scanner)?) } else { None };
        let default = if scanner.sign("=") { Some(expr(scanner)?) } else { None };
        params.push((name, kind, default));
        scanner.sign(",");
    }
    let gives = if scanner.sign(":") { Some(ident(scanner)?) } else { None };
    scanner.sign("=").then_some(())?;
    Some(LineKind::Rule(Box::new(Rule { name, params, gives, body: expr(scanner)? })))
}

fn ident(scanner: &mut Scanner<'_>) -> Option<Ident> {
    scanner.spaces();
    let (start, word) = (scanner.at, scanner.word_ahead());
    scanner.at += word.len();
    (!word.is_empty()).then(|| Ident { name: word.into(), span: scanner.span(start) })
}

fn text(scanner: &mut Scanner<'_>) -> Option<Text> {
    scanner.spaces();
    scanner.take("\"").then_some(())?;
    let mut parts = Vec::new();
    loop {
        let start = scanner.at;
        let rest = &scanner.text[start..];
        scanner.at += rest.find(['"', '{', '\\'])?;
        if scanner.at > start {
            parts.push(TextPart::Plain(scanner.text[start..scanner.at].into()));
        }
        match scanner.peek() {
            Some(b'"') => {
                scanner.at += 1;
                return Some(Text { parts });
            }
            Some(b'{') => {
                scanner.at += 1;
                parts.push(TextPart::Filled(expr(scanner)?));
                scanner.sign("}").then_some(())?;
            }
            _ => return None,
        }
    }
}

/// An operator and how tightly it binds.
fn infix(scanner: &mut Scanner<'_>) -> Option<(Op, u8, usize)> {
    let rest = &scanner.text[scanner.at..];
    Some(match rest.as_bytes().first()? {
        b'+' => (Op::Add, 6, 1),
        b'-' => (Op::Subtract, 6, 1),
        b'*' => (Op::Multiply, 7, 1),
        b'/' => (Op::Divide, 7, 1),
        b'<' if rest.starts_with("<=") => (Op::AtMost, 3, 2),
        b'>' if rest.starts_with(">=") => (Op::AtLeast, 3, 2),
        b'<' => (Op::Less, 3, 1),
        b'>' => (Op::More, 3, 1),
        _ => match scanner.word_ahead() {
            "by" => (Op::By, 5, 2),
            "nearest" => (Op::Nearest, 4, 7),
            "up" => (Op::Up, 4, 2),
            "down" => (Op::Down, 4, 4),
            "is" => (Op::Is, 3, 2),
            "and" => (Op::And, 2, 3),
            "or" => (Op::Or, 1, 2),
            _ => return None,
        },
    })
}

/// An expression.
pub fn expr(scanner: &mut Scanner<'_>) -> Option<Expr> {
    climb(scanner, 0)
}

/// Operands joined by operators that bind tighter than `least`.
fn climb(scanner: &mut Scanner<'_>, least: u8) -> Option<Expr> {
    let mut left = operand(scanner)?;
    loop {
        let back = scanner.at;
        scanner.spaces();
        let found = infix(scanner).filter(|(_, binds, _)| *binds > least);
        let Some((op, binds, len)) = found else {
            scanner.at = back;
            return Some(left);
        };
        scanner.at += len;
        let right = climb(scanner, binds)?;
        let span = (left.span.0, right.span.1);
        let kind = match op {
            Op::By => ExprKind::Size(Box::new((left, right))),
            Op::Nearest | Op::Up | Op::Down => ExprKind::Round(op, Box::new((left, right))),
            Op::Less | Op::AtMost | Op::More | Op::AtLeast | Op::Is => match left.kind {
                ExprKind::Compare(first, mut links) => {
                    links.push((op, right));
                    ExprKind::Compare(first, links)
                }
                kind => ExprKind::Compare(Box::new(Expr { kind, span: left.span }), vec![(op, right)]),
            },
            op => ExprKind::Binary(Box::new((op, left, right))),
        };
        left = Expr { kind, span };
    }
}

fn operand(scanner: &mut Scanner<'_>) -> Option<Expr> {
    scanner.spaces();
    let start = scanner.at;
    let kind = match scanner.peek()? {
        b'0'..=b'9' => scanner.measure()?,
        b'(' => {
            scanner.at += 1;
            let inner = expr(scanner)?;
            scanner.sign(")").then_some(())?;
            ExprKind::Bracket(Box::new(inner))
        }
        b'-' => {
            scanner.at += 1;
            ExprKind::Minus(Box::new(operand(scanner)?))
        }
        _ => match scanner.word_ahead() {
            "" => return None,
            "if" => choice(scanner)?,
            "each" => each(scanner)?,
            word => {
                scanner.at += word.len();
                match scanner.peek() {
                    Some(b'(') => call(scanner, word, start)?,
                    _ => ExprKind::Name(word.into()),
                }
            }
        },
    };
    let mut made = Expr { kind, span: scanner.span(start) };
    while scanner.peek() == Some(b'.') {
        scanner.at += 1;
        let part = ident(scanner)?;
        made = Expr { kind: ExprKind::Part(Box::new(made), part), span: scanner.span(start) };
    }
    Some(made)
}

fn choice(scanner: &mut Scanner<'_>) -> Option<ExprKind> {
    scanner.at += 2;
    let condition = expr(scanner)?;
    scanner.word("then").then_some(())?;
    let then = expr(scanner)?;
    scanner.word("else").then_some(())?;
    Some(ExprKind::If(Box::new((condition, then, expr(scanner)?))))
}

fn each(scanner: &mut Scanner<'_>) -> Option<ExprKind> {
    scanner.at += 4;
    let name = ident(scanner)?;
    scanner.word("from").then_some(())?;
    let from = expr(scanner)?;
    scanner.word("to").then_some(())?;
    let to = expr(scanner)?;
    scanner.sign(":").then_some(())?;
    Some(ExprKind::Each(Box::new((name, from, to, expr(scanner)?))))
}

fn call(scanner: &mut Scanner<'_>, word: &str, start: usize) -> Option<ExprKind> {
    let rule = Ident { name: word.into(), span: scanner.span(start) };
    scanner.at += 1;
    let mut args = Vec::new();
    while !scanner.sign(")") {
        let back = scanner.at;
        let name = ident(scanner).filter(|_| scanner.sign(":"));
        if name.is_none() {
            scanner.at = back;
        }
        args.push((name, expr(scanner)?));
        scanner.sign(",");
    }
    Some(ExprKind::Call(Box::new((rule, args))))
}
