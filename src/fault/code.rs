//! The kinds of fault, named for people and for programs.

/// Declares the kinds with their printed names, so that neither list can miss one.
macro_rules! codes {
    ($($(#[$doc:meta])* $variant:ident = $name:literal,)*) => {
        /// The kind of a fault. Its printed name is in the JSON form and never changes.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Code { $($(#[$doc])* $variant,)* }

        impl Code {
            /// Every kind, in order.
            pub const ALL: &'static [Code] = &[$(Code::$variant,)*];

            /// The printed name, such as `unknown-name`.
            pub fn as_str(self) -> &'static str {
                match self { $(Code::$variant => $name,)* }
            }
        }
    };
}

codes! {
    // --- reading ---
    /// A token that cannot be here: `x = * 2`
    Syntax = "syntax",
    /// A bracket or a text without its end: `x = (2 + 3`
    Unfinished = "unfinished",
    /// Brackets, signs or chains nested too deep, or a line too long
    TooDeep = "too-deep",
    /// What could be read two ways: `2-1/2`, `1/2/3`, `-2^2`
    Ambiguous = "ambiguous",
    /// A number that cannot be: `2 1/0`, `2 3/2 in`, a million digits
    BadNumber = "bad-number",
    /// A unit nobody knows: `2 inn`
    UnknownUnit = "unknown-unit",
    /// A word of the language where a name is needed: `if = 3`
    ReservedWord = "reserved-word",
    // --- names ---
    /// A name nobody gave: `x = flatt`
    UnknownName = "unknown-name",
    /// A name given twice in a recipe, or a block's name that hides another
    NameTwice = "name-twice",
    /// A value called as a rule, or a rule used as a value
    NotARule = "not-a-rule",
    /// An argument the rule does not take: `binding_run(perimetre: 2 yd)`
    UnknownArgument = "unknown-argument",
    /// An argument that the rule needs and was not given
    MissingArgument = "missing-argument",
    /// An argument given twice, or more than the rule takes
    ExtraArgument = "extra-argument",
    /// An argument of the wrong kind: `seam_total("a")`
    WrongKind = "wrong-kind",
    /// A shape that cannot be: it crosses itself, or its allowance is too large
    WrongShape = "wrong-shape",
    /// A part that a value does not have: `flat.acros`
    UnknownPart = "unknown-part",
    // --- working ---
    /// Operands that do not go together: `2 in + 3 in^2`
    UnitMix = "unit-mix",
    /// Two currencies in one sum, or a power of money
    MoneyMix = "money-mix",
    /// A division by nothing
    DivisionByZero = "division-by-zero",
    /// A number that does not exist: the root of a negative one
    NoSuchNumber = "no-such-number",
    /// Approximate values that leave a comparison or a rounding open
    TooClose = "too-close",
    /// `xs[9]` of a list of eight
    OffTheList = "off-the-list",
    /// A range that runs down, or has no step
    BadRange = "bad-range",
    /// More work, memory, digits or depth than a recipe may take
    TooMuch = "too-much",
    /// Refused by a rule, in its own words: tucks that overlap, a binding too narrow to turn
    Refused = "refused",
    /// Stopped by the person at the keyboard
    Stopped = "stopped",
    /// A name used before its line was evaluated
    TooEarly = "too-early",
    /// A setting (`seam`, `ruler`, `shop`) that is not set, or set to something that cannot be
    BadSetting = "bad-setting",
    // --- recipes ---
    /// A line of a recipe that does not hold together, such as two `recipe` lines
    BadLine = "bad-line",
    /// A given out of its bounds, or not one of its choices
    OutOfBounds = "out-of-bounds",
    /// `--set` or a table's column names no given of the recipe
    UnknownGiven = "unknown-given",
    /// A `check` that does not hold
    CheckFailed = "check-failed",
    /// A library example that does not come out as stated
    TryFailed = "try-failed",
    /// A `use` that cannot be followed
    BadUse = "bad-use",
    /// A piece that does not fit its cloth
    DoesNotFit = "does-not-fit",
    /// `find` with no value in its range that does
    NotFound = "not-found",
    /// `find` with more than one value that does
    Several = "several-found",
    /// `find` that could not settle which value does
    Unsettled = "unsettled",
    // --- tables ---
    /// A table that cannot be read as one
    BadTable = "bad-table",
    /// A cell that cannot be read, or does not suit its given
    BadCell = "bad-cell",
    // --- outside ---
    /// A file that cannot be read or written
    BadFile = "bad-file",
    /// A command line that cannot be followed
    BadCommand = "bad-command",
    /// What a rule warns of; its value stays: `four_at_once_cut(3 in)`
    Caution = "caution",
    /// Something sound that deserves a second look
    Advice = "advice",
}
