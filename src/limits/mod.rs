//! Every limit that a person can meet, with its reason: a stranger's recipe, table or entry ends in
//! bounded time, and with the limits as they are in 256 MiB of memory.

/// A limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limit {
    /// Its name, which `--limit` takes where it can be changed.
    pub name: &'static str,
    /// The most there may be.
    pub most: u64,
    /// What is counted.
    pub counted: &'static str,
    /// Why it is there.
    pub reason: &'static str,
    /// Whether `--limit NAME=COUNT` changes it.
    pub has_option: bool,
}

macro_rules! limits {
    ($($constant:ident: $kind:ty = $most:expr, $name:literal, $counted:literal, $option:literal, $reason:literal;)*) => {
        $(#[doc = $reason] pub const $constant: $kind = $most;)*

        /// All of them.
        pub const ALL: &[Limit] = &[$(Limit {
            name: $name,
            most: $most as u64,
            counted: $counted,
            reason: $reason,
            has_option: $option,
        },)*];
    };
}

limits! {
    WORK: u64 = 50_000_000, "work", "steps", true,
        "A rule may call itself without end. A step is one operation; an operation on long numbers is several steps.";
    DEPTH: u32 = 20_000, "depth", "calls inside each other", true,
        "Each call uses memory until it ends.";
    ITEMS: u64 = 1_000_000, "items", "values in lists and records", true,
        "Lists use memory and space on the docket. A long text or number counts as several values.";
    TEXT: u64 = 6 << 20, "text", "bytes of text that is joined", true,
        "A text that is joined to itself doubles each time. Long texts also take long to set on pages.";
    PLANNING: u64 = 300_000_000, "planning", "steps of cutting plans", true,
        "The best plan of many pieces can take years to find. After this limit a plan is made at once, and it may be longer.";
    RECIPE: u64 = 2 << 20, "recipe", "bytes of a recipe with the files that it uses", false,
        "All lines of a recipe are in memory. No recipe needs more.";
    LINE: usize = 64 << 10, "line", "bytes of one line or entry", false,
        "A line is read as a whole.";
    NESTING: usize = 200, "nesting", "brackets inside each other", false,
        "Brackets are read from the outside to the inside.";
    CHAIN: usize = 1_000, "chain", "operators in one run", false,
        "A long run of operators is read one inside the other.";
    DIGITS: usize = 1_000, "digits", "digits of a written number", false,
        "No measure needs more.";
    BITS: u64 = 16_384, "bits", "bits of a calculated number", false,
        "A number that is squared again and again would fill the memory.";
    VALUE_DEPTH: u16 = 100, "value depth", "lists and records inside each other", false,
        "They are printed one inside the other.";
    USED_FILES: usize = 64, "used files", "files that a recipe uses", false,
        "A used file may use more files.";
    UNKNOWNS: usize = 100, "unknowns", "measures without a kind in one sum of a rule", false,
        "The check compares each with all the others before the run; the run checks the rest.";
    CHECK: u64 = 20_000_000, "check", "steps to compare measures without a kind", false,
        "Rules without kinds in their headings can be long; the run checks the rest.";
    RULES: usize = 100_000, "rules", "rules that a prompt keeps", false,
        "Each version of a rule is kept; a rule gets a new one when something that it uses is given again.";
    CAUTIONS: usize = 1_000, "cautions", "different cautions of one line", false,
        "Nobody reads more.";
    FAULTS: usize = 50, "faults", "mistakes of one file that are shown", false,
        "Nobody reads more; the number of the others is shown.";
    ROW: u64 = 1 << 20, "row", "bytes of a row in a table", false,
        "A quote that is never closed makes one cell of the whole table.";
    HOPELESS: usize = 10_000, "first rows", "rows at the start of a table, if none of them can be made", false,
        "The first row that can be made decides the columns of the results.";
    HOPELESS_BYTES: usize = 16 << 20, "first rows' bytes", "bytes of those rows", false,
        "They are kept in memory until the columns are known.";
    COLUMNS: usize = 10_000, "columns", "columns of a table", false,
        "Each row has a cell for each column.";
    ROW_FAULTS: u64 = 200, "row faults", "rows with trouble that are shown one by one", false,
        "The last column of the output shows the others.";
    BOOK: usize = 2_000, "book", "sizes of one document", false,
        "The docket of each size is kept until the document is written.";
    DOCUMENT: u64 = 210_000_000, "document", "bytes of memory for one document", true,
        "A document is in memory until it is complete; so are the dockets of all its sizes.";
    GUIDE: usize = 200, "guide", "sheets of a true-size guide", false,
        "Nobody glues more together; each sheet is kept until the guide is written.";
    GUIDE_SIZES: usize = 15, "guide sizes", "sizes over each other in a guide", false,
        "Each has its own kind of line, and ISO 128-2 has 15.";
    ENTRY_ROWS: usize = 500, "entry rows", "rows of one entry from a pipe", false,
        "The entry is read again at each row. Write a longer entry into a file and `load` it.";
    UNDO: usize = 100, "undo", "entries that can be taken back", false,
        "The changes of each entry are kept.";
    CORNERS: usize = 200, "corners", "corners of one shape", false,
        "Each edge is compared with the others.";
    HISTORY: usize = 2_000, "history", "entries remembered from earlier prompts", false,
        "They are read each time the prompt starts.";
}

/// The limits to be read.
pub fn page() -> String {
    let mut out = String::from(
        "Even a stranger's recipe ends, and uses little memory. With these limits every command\n\
         stays below 256 MiB. `--limit NAME=COUNT` changes a limit that is marked with *.\n",
    );
    for limit in ALL {
        let mark = if limit.has_option { "*" } else { " " };
        out.push_str(&format!(
            "\n{mark} {}: {} {}\n    {}\n",
            limit.name, limit.most, limit.counted, limit.reason
        ));
    }
    out
}

/// How to go beyond a limit, for a fault's hint.
pub fn hint(name: &str, most: u64) -> String {
    format!(
        "the limit is {most}; `--limit {name}=COUNT` changes it, `scant help limits` says why it is there"
    )
}
