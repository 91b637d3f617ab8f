//! How a sum is said, and how it is written here.

use super::{Phrase, line, say};

const FRACTION: &str = "a part of a measure is written as a fraction";
const PRODUCT: &str = "a product is written with `*`";
const SEVERAL: &str = "several of one measure are written with `*`";
const DIVISION: &str = "a division is written with `/`";
const SUM: &str = "a sum is written with `+`";
const DIFFERENCE: &str = "a difference is written with `-`";
const PRICED: &str = "in a sum the amount is multiplied by its price";
const RATE: &str = "a price or a weight for each unit is written with `/`";
const PERCENT: &str = "a percentage more or less is written as a product";
const WASH: &str = "the wash takes its part of the longer length: a rule works it out";
const ROUND: &str = "to round, write `nearest`, `up` or `down`";
const UNIT: &str = "a measure in another unit is written with `shown in`";
const MANY: &str = "how many pieces fit is written `how many … from …`";
const PIECES: &str = "`how many` counts along one length, and these pieces have two sides";
const COMPARE: &str = "two values are compared with a sign";
const SIZE: &str = "a size is written with `by`, across the cloth first";
const EDGES: &str = "a rule adds a length at each edge of a size";
const SIDES: &str = "a measure at both sides is added twice";
const EXACT: &str = "a measure is exact here, and no word can go before it";
const TOLERANCE: &str = "a tolerance is written with `±`";
const SPACED: &str = "a rule spaces things evenly";

const FULLNESS: &str = "the fullness is the flat width divided by the finished width";
const SEAMS: &str = "a rule adds the seams on both sides";
const RANGE: &str = "places at equal distances are a range";
const LEFT: &str = "a rule finds what is left after a division";
const MONEY: &str = "money is written with the code of its currency";
const REMARK: &str = "a remark on a sum is written after `#`";
const READING: &str = "`scant` and `generous` say that a value is near a mark, and not which value it is";
const EXACT_VALUE: &str = "write the value in brackets beside it; a scant seam is `scant_seam(1/4 in)`";

/// In this order: the first that fits, and that mends the line, is told.
pub(super) const SUMS: &[Phrase] = &[
    line("F of a|an|the|one U", FRACTION, "{1} {2}"),
    line("F of V", FRACTION, "{1} of (2)"),
    say(
        "N fat quarter|quarters",
        "a fat quarter has no fixed size here",
        "write its size, such as `18 in by 22 in`",
    ),
    line("F a|an|the? U", FRACTION, "{1} {2}"),
    line("N and F of? a|an? U", FRACTION, "{1} {2} {3}"),
    line("F V", FRACTION, "{1} of (2)"),
    line("F", FRACTION, "{1}"),
    line("N C", PRODUCT, "{1} * {2}"),
    line("P of a|an|the U", FRACTION, "{1} of 1 {2}"),
    line("B of a|an|the U", FRACTION, "{1} {2}"),
    line("B G", PRODUCT, "{1} * {2}"),
    line("C U", "a unit after a rule is written as a product", "{1} * 1 {2}"),
    say("scant|generous V", READING, EXACT_VALUE),
    say("V scant|generous", READING, EXACT_VALUE),
    line("V W? for W W?", REMARK, "{1}"),
    line("B euro|euros a|an|per U", MONEY, "{1} EUR/{2}"),
    line("B euro|euros", MONEY, "{1} EUR"),
    say(
        "B dollar|dollars",
        "several currencies are called dollars",
        "write which: `5 USD`, `5 CAD`, `5 AUD`",
    ),
    line("U B", "a unit is after its number", "{2} {1}"),
    line("N percent|pct of V", "a percentage is written with `%`", "{1}% of (2)"),
    line("double fullness V", PRODUCT, "2 * (1)"),
    line("V at|with double fullness", PRODUCT, "2 * (1)"),
    line("gather V to|into V", FULLNESS, "(1) / (2)"),
    line("twice|double V", PRODUCT, "2 * (1)"),
    line("triple V", PRODUCT, "3 * (1)"),
    line("N dozen W?", PRODUCT, "{1} * 12"),
    line("a dozen W?", "a count is written in figures", "12"),
    line("N U", "a count is written in figures", "{1} {2}"),
    line("N seams|allowances|seam allowances?", SEVERAL, "{1} * seam"),
    line("V by V with seams|allowances", SEAMS, "seamed_size({1} by {2})"),
    line("V by V with a? L seam|seams allowance?", SEAMS, "seamed_size({1} by {2}, seam: {3})"),
    line("V with a? L seam|seams allowance?", SEAMS, "seamed({1}, seam: {2})"),
    line("V plus|+|and seams of L", SEAMS, "seamed({1}, seam: {2})"),
    line("V seam allowance|allowances", "the seam allowance is called `seam`", "{1} seam"),
    line("V seam|seams allowance? L", SEAMS, "seamed({1}, seam: {2})"),
    line("V with seams|allowances|seam allowance|allowances?", SEAMS, "seamed({1})"),
    line(
        "V without seams|allowances|seam allowance|allowances?",
        "the seams on both sides are taken off",
        "{1} - 2 * seam",
    ),
    line("N tucks of V", "a tuck takes twice its depth", "{1} * 2 * (2)"),
    line("N tucks V deep", "a tuck takes twice its depth", "{1} * 2 * (2)"),
    line("price|cost of? V at|@|for M", PRICED, "(1) * (2)"),
    line("N W at|@|for M each|apiece?", PRICED, "{1} * (3)"),
    line("N at|@|for M each|apiece?", PRICED, "{1} * (2)"),
    line("V of W at|@|for M a|per U", PRICED, "(1) * {3}/{4}"),
    line("V of W at|@|for M", PRICED, "(1) * (3)"),
    line("V at|@|for M a|an|per U", PRICED, "(1) * {2}/{3}"),
    line("V at|@|for M", PRICED, "(1) * (2)"),
    line("add P to V", PERCENT, "(2) * (100% + {1})"),
    line("P extra|more on|for|of V", PERCENT, "(2) * (100% + {1})"),
    line("V and P more|extra", PERCENT, "(1) * (100% + {2})"),
    line("V with|at B fullness|fold", PRODUCT, "(1) * {2}"),
    line("P discount|reduction on|off V", PERCENT, "(2) * (100% - {1})"),
    line("V with P off|discount", PERCENT, "(1) * (100% - {2})"),
    line("V less|minus discount|reduction of? P", PERCENT, "(1) * (100% - {2})"),
    line("V less|minus N percent|pct", PERCENT, "(1) * (100% - {2}%)"),
    line("M for|per L", "a price is the cost divided by the amount", "(1) / (2)"),
    line("P off V", PERCENT, "(2) * (100% - {1})"),
    line("V less|minus|- P W?", PERCENT, "(1) * (100% - {2})"),
    line("V and|+|plus P for? shrinkage|shrink|shrinking", WASH, "length_before_wash({1}, shrink: {2})"),
    line(
        "V shrunk by? P",
        "what is left after the wash is a part of the length",
        "(1) * kept_in_the_wash({2})",
    ),
    line("V plus|+|more P W?", PERCENT, "(1) * (100% + {2})"),
    line("P more than V", PERCENT, "(2) * (100% + {1})"),
    line("P less than V", PERCENT, "(2) * (100% - {1})"),
    line("N times V", PRODUCT, "{1} * (2)"),
    line("V times|multiplied by? V", PRODUCT, "(1) * (2)"),
    line("N W at V", SEVERAL, "{1} * (3)"),
    line("N W of? V each|long|wide|apart?", SEVERAL, "{1} * (3)"),
    line("multiply V by V", PRODUCT, "(1) * (2)"),
    line("B a|an|per U", "a price needs its currency", "{1} EUR/{2}"),
    line("M a|an|per|the|each U", RATE, "{1}/{2}"),
    line("V per U", RATE, "{1}/{2}"),
    line("M each|apiece", "the price of one is written without another word", "{1}"),
    line("M a|per|for piece|one|card|pack|reel", "the price of one is written without another word", "{1}"),
    line("V each|apiece", "`each` has no use in this sum", "{1}"),
    line("V plus or minus V", TOLERANCE, "{1} ± {2}"),
    line("V give or take V", TOLERANCE, "{1} ± {2}"),
    line("V +/- V", TOLERANCE, "{1} ± {2}"),
    line("V reduced|shortened|shorter|narrower|smaller|lower by V", DIFFERENCE, "{1} - (2)"),
    line("V increased|lengthened|longer|wider|larger|bigger|deeper|higher by V", SUM, "{1} + {2}"),
    line("L shorter|narrower|smaller|less|lower than V", DIFFERENCE, "{2} - (1)"),
    line("L longer|wider|larger|bigger|more|deeper|higher|taller than V", SUM, "{2} + {1}"),
    line("V plus V", SUM, "{1} + {2}"),
    line("add V to V", SUM, "{2} + {1}"),
    line("add V and V", SUM, "{1} + {2}"),
    line("V added to V", SUM, "{2} + {1}"),
    line("V minus|less V", DIFFERENCE, "{1} - (2)"),
    line("subtract|take V from V", DIFFERENCE, "{2} - (1)"),
    line("V taken from V", DIFFERENCE, "{2} - (1)"),
    line("V divided|split|shared|cut by|into|in|among N W?", DIVISION, "(1) / {2}"),
    line("V divided by V", DIVISION, "(1) / (2)"),
    line("divide|split|share V by|into|in|among N W?", DIVISION, "(1) / {2}"),
    line("divide V by V", DIVISION, "(1) / (2)"),
    line("V in|into N equal? W?", DIVISION, "(1) / {2}"),
    line("V / into|by V", DIVISION, "(1) / (2)"),
    line("N into V", DIVISION, "(2) / {1}"),
    say(
        "space|spaced|spacing N W over|on|along|across|in V",
        SPACED,
        "write `spaced_marks(8, along: 30 in)`",
    ),
    line("every V along|over|across|in V", RANGE, "{1} to {2} every {1}"),
    line("a|an|one W every V along|over|across|on|in V", RANGE, "{2} to {3} every {2}"),
    line("W every V along|over|across|on|in V", RANGE, "{2} to {3} every {2}"),
    line("L every V", RANGE, "{2} to {1} every {2}"),
    say("a|an|one W every V", RANGE, "write `10 cm to 100 cm every 10 cm`"),
    say("W every V", RANGE, "write `10 cm to 100 cm every 10 cm`"),
    line("from V to V every V", "a range has no word before it", "{1} to {2} every {3}"),
    say(
        "from V to V",
        RANGE,
        "write a range as `40 cm to 60 cm every 5 cm`, a difference as `60 cm - 40 cm`",
    ),
    say("between V and V", COMPARE, "write `x >= 1 in and x <= 2 in`"),
    say(
        "N W over|on|along|across|in V",
        SPACED,
        "for the places write `spaced_marks(8, along: 30 in)`, for an equal part of the length `30 in / 8`",
    ),
    line("V over V", DIVISION, "(1) / (2)"),
    line("what is V in|to U", UNIT, "(1) shown in {2}"),
    line("what's|whats V in|to U", UNIT, "(1) shown in {2}"),
    line("how long|wide|much|big is V in|to U", UNIT, "(1) shown in {2}"),
    line("V -> U", UNIT, "(1) shown in {2}"),
    line(
        "V shown in U nearest|rounded to? V",
        "a value is rounded before it is shown in another unit",
        "(1) nearest {3} shown in {2}",
    ),
    line(
        "V shown in U D V",
        "a value is rounded before it is shown in another unit",
        "(1) {3} {4} shown in {2}",
    ),
    line("V to|into|as U", UNIT, "(1) shown in {2}"),
    line("Q in U", UNIT, "(1) shown in {2}"),
    say("V to N decimal|decimals|place|places", ROUND, "write the step: `x nearest 1 mm`"),
    line("V rounded? to the? nearest? U", ROUND, "(1) nearest 1 {2}"),
    line("round V D to the? nearest|next? V", ROUND, "(1) {2} {3}"),
    line("round V to the? nearest|next? V", ROUND, "(1) nearest {2}"),
    line("V rounded D to the? nearest|next? V", ROUND, "(1) {2} {3}"),
    line("V rounded? to the? nearest|next? V", ROUND, "(1) nearest {2}"),
    say("round V D?", ROUND, "write the step too, such as `x nearest 1/8 in` or `x up 1 cm`"),
    say("V rounded D?", ROUND, "write the step too, such as `x nearest 1/8 in` or `x up 1 cm`"),
    line("V in|as a? fraction|fractions|eighths", ROUND, "(1) nearest 1/8 in"),
    line("V in|as sixteenths", ROUND, "(1) nearest 1/16 in"),
    line("how many U in|is|are|from|make V", UNIT, "(2) shown in {1}"),
    say(
        "how many V squares|pieces|panels|napkins|blocks|flags|rectangles|patches from|in|out|of|fit V",
        PIECES,
        "write the sizes: `pieces_in_hand(5 in by 5 in, hand: 42 in by 36 in)`",
    ),
    say(
        "how many squares|pieces|panels|napkins|blocks|flags|rectangles|patches of? V from|in|out|of|fit V",
        PIECES,
        "write the sizes: `pieces_in_hand(5 in by 5 in, hand: 42 in by 36 in)`",
    ),
    line("how many times does? V go|goes|fit|fits in|into V", MANY, "how many {1} from {2}"),
    line("how often does? V in|into|go V", MANY, "how many {1} from {2}"),
    line("V mod|modulo|% V", LEFT, "left_over({1}, part: {2})"),
    line("how many V W? from|in|across|along V", MANY, "how many {1} from {3}"),
    line("how many W of? V from|in|across|along V", MANY, "how many {2} from {3}"),
    say("W W? for V", "a rule works this out", "find it with `help {1}`"),
    say(
        "how much V",
        "`how much` is not part of a sum",
        "find the rule that works it out, such as with `help binding`, `help elastic` or `help backing`",
    ),
    line("V is? bigger|larger|longer|wider|greater|more|higher|taller|deeper than V", COMPARE, "{1} > {2}"),
    line("V is? smaller|shorter|narrower|less|lower|shallower than V", COMPARE, "{1} < {2}"),
    line("V is? at least V", COMPARE, "{1} >= {2}"),
    line("V is? at most V", COMPARE, "{1} <= {2}"),
    say("V fits|fit in|on|into? V", COMPARE, "write it with the usable width: `width <= linen.usable`"),
    line("V gives|makes V", "an answer is compared with `is`", "{1} is {2}"),
    line("V equals V", COMPARE, "{1} is {2}"),
    line("V is? equal to V", COMPARE, "{1} is {2}"),
    line("V is? between V and V", COMPARE, "{1} >= {2} and {1} <= {3}"),
    line("V wide|across|broad by|x|and? V long|high|tall|deep", SIZE, "{1} by {2}"),
    line("V long|high|tall|deep by|x|and? V wide|across|broad", SIZE, "{2} by {1}"),
    line(
        "diagonal of? a? L square?",
        "the diagonal of a square is its side times `sqrt(2)`",
        "(1) * sqrt(2)",
    ),
    line("square root of V", "a rule has its values in brackets", "sqrt({1})"),
    line("V square|sq", "a square is a size with equal sides", "{1} by {1}"),
    line("V squared", "a power is written with `^`", "({1})^2"),
    line(
        "V by V + V W? all|each|every|both round|around|edge|side|edges|sides",
        EDGES,
        "grown({1} by {2}, each_edge: {3})",
    ),
    line("V by V + V W? on all|each|every edge|side|edges|sides", EDGES, "grown({1} by {2}, each_edge: {3})"),
    line("V + V W? on|at? all|each|every|both side|sides|end|ends|edge|edges", SIDES, "{1} + 2 * (2)"),
    line("L W? on|at? each|both side|sides|end|ends|edge|edges", SIDES, "2 * (1)"),
    line("circumference|girth of? a? V circle?", "around a circle is `pi` times its width", "pi * (1)"),
    line("B mtr|mtrs|metr|mts", "the unit is `m`", "{1} m"),
    line("about|around|approximately|approx|circa|roughly|exactly|just over|under? V", EXACT, "{1}"),
    line("V gathered to|into V", "the fullness is the flat width divided by the finished width", "(1) / (2)"),
    say(
        "N cents|cent|ct|pence|penny",
        "money is written in the main unit of its currency",
        "write `0.50 EUR`",
    ),
];
