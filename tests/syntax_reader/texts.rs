//! Texts in quotes: what is filled in, braces, escapes, and inch marks within.

use super::dump::{expression, faults};

#[test]
fn plain_and_filled() {
    let rows = [
        ("\"\"", "''"),
        ("\"plain words\"", "'plain words'"),
        ("\"a {b} c\"", "'a ⟨b⟩ c'"),
        ("\"{a}{b}\"", "'⟨a⟩⟨b⟩'"),
        ("\"{a + 2 in} wide\"", "'⟨(+ a 2 in)⟩ wide'"),
        ("\"{f(x, cut: 2 in)}\"", "'⟨f(x, cut: 2 in)⟩'"),
        ("\"{{not filled}}\"", "'{not filled}'"),
        ("\"{a} {{b}}\"", "'⟨a⟩ {b}'"),
        ("\"say \\\"now\\\"\"", "'say \"now\"'"),
        ("\"{if a is \"red\" then 1 else 2}\"", "'⟨(if (cmp a is 'red') 1 2)⟩'"),
        ("\"{xs[1]} {r.part}\"", "'⟨xs[1]⟩ ⟨r.part⟩'"),
        ("\"{x shown in cm}\"", "'⟨(shown x cm)⟩'"),
        ("\"{3 1/2\"} from the edge\"", "'⟨3 1/2 in⟩ from the edge'"),
        ("\"# not a comment\"", "'# not a comment'"),
        ("\"accents: é, marks: ½ ″ °\"", "'accents: é, marks: ½ ″ °'"),
        ("\"{ {a: 1}.a }\"", "'⟨{a: 1}.a⟩'"),
        ("f(\"a\", \"b\")", "f('a', 'b')"),
        ("“two rows”", "'two rows'"),
        ("„two rows“", "'two rows'"),
        ("„two rows”", "'two rows'"),
        ("“say \"now\", {a} {{b}}”", "'say \"now\", ⟨a⟩ {b}'"),
        ("“{if a is \"red\" then “x” else 2}”", "'⟨(if (cmp a is 'red') 'x' 2)⟩'"),
        ("f(“a”, \"b\")", "f('a', 'b')"),
        ("\"so “called”\"", "'so “called”'"),
        ("“# not a comment”", "'# not a comment'"),
        ("\"ends in a unit 3 in\"", "'ends in a unit 3 in'"),
    ];
    for (text, tree) in rows {
        assert_eq!(expression(text), tree, "{text}");
    }
}

#[test]
fn troubles_in_texts_are_told() {
    let rows = [
        "step \"Mark 3 1/2\" from the edge.\"",
        "step \"Mark {3 +} lines\"",
        "step \"Mark {} lines\"",
        "step \"Mark {n lines\"",
        "step \"Mark n} lines\"",
        "step \"Mark the lines",
        "step “Mark the lines”",
        "step “Mark the lines",
        "step „Mark {n lines“",
        "step ”Mark the lines”",
        "step 'Mark the lines'",
        "step Mark the lines",
        "recipe",
        "note 3 in",
        "step \"one\" \"two\"",
        "use \"{x}.scant\"",
    ];
    let told = rows.iter().map(|text| format!("{text}\n{}", faults(text))).collect::<Vec<_>>().join("\n");
    insta::assert_snapshot!("troubles_in_texts", told);
}
