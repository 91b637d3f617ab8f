//! Every node knows its place, in the whole file's bytes.

use scant::fault::Span;
use scant::syntax::tree::{BinaryOp, ExprKind, LineKind, Name};
use scant::syntax::{is_word, read, read_at, read_expression};

use super::dump::{FILE, lines};

/// The text under a span.
fn under(text: &str, span: Span) -> &str {
    text.get(span.range()).unwrap_or("OUT OF THE TEXT")
}

#[test]
fn operators_and_operands() {
    let text = "½ in + flat.across * 2";
    let tree = read_expression(FILE, text).unwrap();
    assert_eq!(under(text, tree.span), text);
    let ExprKind::Binary(sum) = tree.kind else { panic!("not a sum") };
    assert_eq!(sum.op, BinaryOp::Add);
    assert_eq!(under(text, sum.op_span), "+");
    assert_eq!(under(text, sum.left.span), "½ in");
    assert_eq!(under(text, sum.right.span), "flat.across * 2");
}

#[test]
fn lines_and_names() {
    let text = "\u{feff}# é\n\nfirst = 1 in  # one\ncut 1 \"a\" from b: c\nrule f(a: length) = a\n";
    let found = read(FILE, text);
    let spans: Vec<&str> = found.tree.lines.iter().map(|line| under(text, line.span)).collect();
    assert_eq!(spans, ["first = 1 in", "cut 1 \"a\" from b: c", "rule f(a: length) = a"]);
    let [name, cut, rule] = &found.tree.lines[..] else { panic!("three lines") };
    let LineKind::Name(Name { name, value }) = &name.kind else { panic!("a name") };
    assert_eq!((under(text, name.span), under(text, value.span)), ("first", "1 in"));
    let LineKind::Cut(cut) = &cut.kind else { panic!("a cut") };
    assert_eq!((under(text, cut.label.span), under(text, cut.size.span)), ("\"a\"", "c"));
    let LineKind::Rule(rule) = &rule.kind else { panic!("a rule") };
    assert_eq!(under(text, rule.heading), "rule f(a: length)");
}

#[test]
fn parts_calls_and_texts() {
    let text = "x = f(a, \"é{bb}\").part[3]";
    let found = read(FILE, text);
    let LineKind::Name(Name { value, .. }) = &found.tree.lines[0].kind else { panic!("a name") };
    assert_eq!(under(text, value.span), "f(a, \"é{bb}\").part[3]");
    let ExprKind::Index(index) = &value.kind else { panic!("an index") };
    assert_eq!((under(text, index.0.span), under(text, index.1.span)), ("f(a, \"é{bb}\").part", "3"));
}

#[test]
fn a_slice_of_a_file_keeps_the_files_places() {
    let text = "## one\na = 1\n## two\nb = a + 2 in\nc = )\n";
    let start = text.find("## two").unwrap();
    let end = text.find("c =").unwrap();
    let found = read_at(FILE, text, start..end);
    assert!(found.faults.is_empty());
    let [line] = &found.tree.lines[..] else { panic!("one line") };
    assert_eq!(under(text, line.span), "b = a + 2 in");
    assert!(line.doc.is_some());
    let LineKind::Name(Name { value, .. }) = &line.kind else { panic!("a name") };
    assert_eq!(under(text, value.span), "a + 2 in");
    let wrong = read_at(FILE, text, end..text.len());
    assert_eq!(wrong.faults.len(), 1);
    assert_eq!(wrong.faults[0].span().map(|span| under(text, span)), Some(")"));
    // A range that does not fit the text reads what there is of it.
    assert_eq!(read_at(FILE, text, 7..500).tree.lines.len(), 2);
    for (start, end) in [(500, 501), (9, 3), (usize::MAX, usize::MAX)] {
        assert!(read_at(FILE, text, start..end).tree.lines.is_empty());
    }
    assert!(read_at(FILE, "é = 1", 1..3).tree.lines.is_empty());
}

#[test]
fn all_the_faults_of_a_file_in_order() {
    let text = "a = * 1\nb = 2\nc = 2-1/2\nd = (\ne = 1";
    let found = read(FILE, text);
    let starts: Vec<u32> =
        found.faults.iter().filter_map(|fault| fault.span()).map(|span| span.start).collect();
    assert!(starts.is_sorted() && starts.len() >= 3, "{starts:?}");
    assert!(lines(text).starts_with("b = 2"));
}

#[test]
fn words_that_cannot_be_names() {
    for word in
        ["if", "then", "else", "and", "or", "not", "is", "yes", "no", "by", "of", "nearest", "up", "down"]
    {
        assert!(is_word(word), "{word}");
        let found = read(FILE, &format!("{word} = 3"));
        assert!(!found.faults.is_empty(), "{word}");
    }
    for word in ["draw", "flat", "binding", "upper", "android", "in_width"] {
        assert!(!is_word(word), "{word}");
    }
}
