//! Finished, unfinished and wrong are three things: only the second asks for another line.

use scant::syntax::read;

use super::dump::FILE;

#[test]
fn the_prompt_asks_for_more_only_where_more_can_help() {
    let goes_on = [
        "x = (2 + 3",
        "x = [1, 2",
        "x = f(a,",
        "x = {",
        "x = 2 +",
        "x = 2 *",
        "x = -",
        "x =",
        "x = a by",
        "x = a and",
        "x = not",
        "x = if a then",
        "x = if a then b else",
        "x = if a > b",
        "x = if a > b then 3 in",
        "if a then",
        "rule f(a",
        "rule f(a) =",
        "rule f(a) = {\n  b = 1",
        "x = [a,\n b,",
        "given x = 1 from 1 to",
        "cut 1 \"panel\" from linen:",
        "check a:",
        "each k from 1 to 3:",
        "x = a up",
        "x = a nearest",
        "x = \"{f(a",
        "x = a ^",
        "x = a <",
        "x = a is",
        "x = a is not",
        "x = (a # comment",
        "x = a + # comment",
        "x = f(\n",
    ];
    for text in goes_on {
        let found = read(FILE, text);
        assert!(found.unfinished && !found.faults.is_empty(), "{text:?} {:?}", found.faults);
    }
    let done = ["x = 1", "", "x = [1]", "# x = (", "x = \"(\"", "x = a\n", "sizes\n \"a\" n = 1"];
    for text in done {
        let found = read(FILE, text);
        assert!(!found.unfinished && found.faults.is_empty(), "{text:?} {:?}", found.faults);
    }
    let wrong = ["x = )", "x = (2]", "x = * 2 +", "y = * 2\nx = (2 +", "= 3"];
    for text in wrong {
        let found = read(FILE, text);
        assert!(!found.unfinished && !found.faults.is_empty(), "{text:?} {:?}", found.faults);
    }
}

#[test]
fn the_next_line_finishes_it() {
    for (first, next) in
        [("x = (2 +", "3)"), ("x = if a then", "b else c"), ("rule f(a) = {", "a\n}"), ("x =", "2 in")]
    {
        assert!(read(FILE, first).unfinished, "{first}");
        let found = read(FILE, &format!("{first}\n{next}"));
        assert!(!found.unfinished && found.faults.is_empty(), "{first} {:?}", found.faults);
    }
}
