//! How a line of a recipe is said, and how it is written here.

use super::{Phrase, line, say};

const NAMED: &str = "a value gets its name with `=`";
const QUOTES: &str = "the words must be in quotes";
const PLAIN: &str = "this line has no sign after its first word";
const CUT: &str = "a `cut` line has its count, its name, `from` the cloth, and its size after `:`";
const BUY: &str = "a `buy` line has the amount first, then the words in quotes, then the price after `at`";
const BOUNDS: &str = "the bounds of a given are written `from … to …`";
const COMMENT: &str = "a comment begins with `#`";
const SUM_OF: &str = "a rule over several values takes a list";
const PLAN: &str = "a `plan` line has the cloth, and then the ways that it knows";
const REPEATED: &str = "a recipe has no lines that are repeated or left out";
const CLOTH: &str = "a cloth gets a name, and its width and selvage in brackets";
const CLOTH_LINE: &str = "write `linen = cloth(\"linen\", width: 54 in, selvage: 1/2 in)`";
const SIZES: &str = "the sizes of a recipe are below a row that has only the word `sizes`";
const HAVE: &str = "what you have needs its count, its cloth, and its size across and along";

/// In this order: the first that fits, and that mends the line, is told.
pub(super) const LINES: &[Phrase] = &[
    say("// V", COMMENT, "write `#` instead of `//`"),
    say("-- V", COMMENT, "write `#` instead of `--`"),
    line("print|display|output|answer|result V", "a value is shown with `show`", "show {1}"),
    say("cloth|fabric V", CLOTH, CLOTH_LINE),
    say("W = cloth|fabric V", CLOTH, CLOTH_LINE),
    say("repeat|for|while|loop V", REPEATED, "for a value of each item write `each k from 1 to 3: k * 2 in`"),
    say("if V : V", REPEATED, "`if` chooses a value: `width = if wide then 14 in else 10 in`"),
    say(
        "if V then step|cut|buy|note|show|check V",
        REPEATED,
        "`if` chooses a value: `width = if wide then 14 in else 10 in`",
    ),
    line("let|set|var|const W =|to|be V", NAMED, "{1} = {2}"),
    line("given W : = V", NAMED, "given {1} = {2}"),
    line("let|set|var|const W : = V", NAMED, "{1} = {2}"),
    line("sum|total of? V , V", SUM_OF, "sum([{1}, {2}])"),
    line("average|mean of? V , V , V", SUM_OF, "sum([{1}, {2}, {3}]) / 3"),
    line("average|mean of? V , V", SUM_OF, "sum([{1}, {2}]) / 2"),
    line("V = >? U", "a measure in another unit is written with `shown in`", "{1} shown in {2}"),
    say("W = V , W = V", "each name has a line of its own", "write each on its own row"),
    line("L , V", "several values are a list in square brackets", "[{1}, {2}]"),
    line("V = ? U", "a measure in another unit is written with `shown in`", "{1} shown in {2}"),
    line("V ? V : V", "a choice is written with `if`", "if {1} then {2} else {3}"),
    line("given W : V", NAMED, "given {1} = {2}"),
    line("given W V", NAMED, "given {1} = {2}"),
    line("given W = V between V and V", BOUNDS, "given {1} = {2} from {3} to {4}"),
    line("given W = V in V to V", BOUNDS, "given {1} = {2} from {3} to {4}"),
    say("given W = V to V", BOUNDS, "write both bounds: `given depth = 1 in from 1/2 in to 2 in`"),
    say("given W = V , W = V", "a line has only one given", "write each `given` on its own row"),
    line("def|define|function|func V = V", "a rule begins with `rule`", "rule {1} = {2}"),
    line("rule V : V", "a rule has `=` before its formula", "rule {1} = {2}"),
    say("rule W V = V", "a rule has its arguments in brackets", "write `rule twice(x: length) = 2 * x`"),
    line("import|include|load|open T", "another recipe is used with `use`", "use {1}"),
    line("steps|sew|do|instruction|instructions :? T", "a step begins with `step`", "step {1}"),
    line("step N :|.? T", "steps get their numbers by themselves", "step {2}"),
    line("notes|comment|remark :? T", "a note begins with `note`", "note {1}"),
    line("title|name|project|pattern :? T", "the name of a recipe follows `recipe`", "recipe {1}"),
    line("warning|warn|danger|beware :? T", "a caution begins with `caution`", "caution {1}"),
    line("step : T", PLAIN, "step {1}"),
    line("note : T", PLAIN, "note {1}"),
    line("caution : T", PLAIN, "caution {1}"),
    line("recipe : T", PLAIN, "recipe {1}"),
    say(
        "caution T if|when V",
        "a `caution` line is always printed",
        "in a rule write `with_caution(value, \"words\", width > 1 in)`",
    ),
    line("step X", QUOTES, "step \"{1}\""),
    line("note :? X", QUOTES, "note \"{1}\""),
    line("recipe X", QUOTES, "recipe \"{1}\""),
    line("caution X", QUOTES, "caution \"{1}\""),
    line("show T ,? V", "a `show` line has `:` after its words", "show {1}: {2}"),
    say("show V , V", "a `show` line has only one value", "write a `show` line for each value"),
    line("check V ,? T", "a `check` line has `:` before its words", "check {1}: {2}"),
    line("W : =? V", NAMED, "{1} = {2}"),
    line(
        "buy V T in packs of V at M a|an|per|each W?",
        "the price of a pack is written without `a pack`",
        "buy {1} {2} in packs of {3} at {4}",
    ),
    line("buy V of T at|@|for M", BUY, "buy {1} {2} at {3}"),
    line("buy V T at|@|for? M a|an|per|each U", BUY, "buy {1} {2} at {3}/{4}"),
    line("buy V T at|@|for? M each|apiece", BUY, "buy {1} {2} at {3}"),
    line("buy V T @|for|:? M", BUY, "buy {1} {2} at {3}"),
    line("buy T V at M", BUY, "buy {2} {1} at {3}"),
    line("buy T at M", BUY, "buy 1 {1} at {2}"),
    line("buy T", BUY, "buy 1 {1}"),
    line("buy N W at M", BUY, "buy {1} \"{2}\" at {3}"),
    line("buy N W W at M", BUY, "buy {1} \"{2} {3}\" at {4}"),
    line("buy V U of? W at M", BUY, "buy {1} {2} \"{3}\" at {4}"),
    line("buy V W at M", BUY, "buy {1} \"{2}\" at {3}"),
    line("buy V W W at M", BUY, "buy {1} \"{2} {3}\" at {4}"),
    line("buy V of? W", BUY, "buy {1} \"{2}\""),
    line("buy V W W", BUY, "buy {1} \"{2} {3}\""),
    line("buy W", BUY, "buy 1 \"{1}\""),
    line("cut N x T from V : V", CUT, "cut {1} {2} from {3}: {4}"),
    line(
        "cut 1|a? pair T from V : V",
        "a pair is two pieces, one the mirror of the other",
        "cut 2 {1} from {2}: {3}, mirrored",
    ),
    line(
        "cut N pair|pairs T from V : V",
        "a pair is two pieces, one the mirror of the other",
        "cut 2 * {1} {2} from {3}: {4}, mirrored",
    ),
    line("cut N W from V : V", CUT, "cut {1} \"{2}\" from {3}: {4}"),
    line("cut T from V : V", CUT, "cut 1 {1} from {2}: {3}"),
    line("cut N T of|in|on|out V : V", CUT, "cut {1} {2} from {3}: {4}"),
    line("cut N T from W V", CUT, "cut {1} {2} from {3}: {4}"),
    line("cut N T V : V", CUT, "cut {1} {2} from {3}: {4}"),
    line(
        "cut V T from V : V on grain",
        "a `,` must be before `on grain`",
        "cut {1} {2} from {3}: {4}, on grain",
    ),
    line(
        "cut V T from V : V along selvage",
        "a `,` must be before `along selvage`",
        "cut {1} {2} from {3}: {4}, along selvage",
    ),
    line(
        "cut V T from V : V ,? not|no|never turning|turned|turn",
        "a piece that must not turn is `on grain`",
        "cut {1} {2} from {3}: {4}, on grain",
    ),
    line(
        "cut V T from V : V ,? along|on the? grain|grainline",
        "a piece that must not turn is `on grain`",
        "cut {1} {2} from {3}: {4}, on grain",
    ),
    line(
        "cut V T from V : V ,? mirror|pair|pairs",
        "pieces that are each other's mirror are `mirrored`",
        "cut {1} {2} from {3}: {4}, mirrored",
    ),
    say(
        "cut V T from V : V ,? on|across? the? bias",
        "a piece on the bias is not laid out as a rectangle",
        "work out the cloth for it with a rule: `help bias`",
    ),
    say(
        "cut V T from V : V ,? on the? fold",
        "a piece is written unfolded, at its full size",
        "double the side at the fold, and for cloth that is cut folded write `plan linen folded`",
    ),
    say(
        "cut V T from V : V , L",
        CUT,
        "a size is written with `by`: `cut 2 \"panel\" from linen: 14 in by 48 in`",
    ),
    line("seam|seams allowance|allowances? V", "the seam allowance is set with `seam`", "seam {1}"),
    line("L seam|seams allowance|allowances?", "the seam allowance is set on a line of its own", "seam {1}"),
    line("have V by V of W", HAVE, "have 1 of {3}: {1} by {2}"),
    line("have W : V", HAVE, "have 1 of {1}: {2}"),
    say("have B U of W", HAVE, "write it like `have 1 of linen: 54 in by 1 yd`"),
    line("plan W ,? for N W?", PLAN, "plan {1} for {2} kits"),
    line("plan W ,? on the? fold", PLAN, "plan {1} folded"),
    say(
        "plan W ,? tool|with|by rotary|scissors cutter?",
        "the tool has a line of its own",
        "write `tool scissors` on a row before it",
    ),
    line("tool rotary cutter", "the tool is `rotary` or `scissors`", "tool rotary"),
    say(
        "size|sizes :? T V",
        SIZES,
        "write `sizes` on its own row, and below it a row such as `\"small\" width = 12 in`",
    ),
];

/// Rows under `sizes`.
pub(super) const ROWS: &[Phrase] = &[
    line("T : V", "a row of sizes has no `:` after its name", "{1} {2}"),
    line("T W :? V", "in a row of sizes each value has a name and `=`", "{1} {2} = {3}"),
    line("W W = V", "the name of a size must be in quotes", "\"{1}\" {2} = {3}"),
];
