//! The arguments.

use std::path::PathBuf;

use clap::{Parser, Subcommand, ValueEnum};

use crate::drawing::Paper;
use crate::report::{Format, Style};

/// The arithmetic of sewing: sums at the prompt, recipes, every size.
#[derive(Debug, Parser)]
#[command(name = "scant", version, disable_help_subcommand = true, max_term_width = 100)]
pub struct Args {
    /// How errors are shown
    #[arg(long, global = true, value_enum, default_value_t = Errors::Text)]
    pub errors: Errors,
    /// Print only answers and errors
    #[arg(long, global = true)]
    pub quiet: bool,
    /// Change a limit, such as work=200000000; `scant help limits` lists them
    #[arg(long = "limit", global = true, value_name = "NAME=COUNT")]
    pub limit: Vec<String>,
    /// What to do; without a command the prompt opens
    #[command(subcommand)]
    pub command: Option<Command>,
}

/// How errors are shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Errors {
    /// For people
    Text,
    /// For programs: one object a line
    Json,
}

/// The commands. The options of one are built when it is asked for: a doc comment on their struct would take the place
/// of what is said of it here.
#[derive(Debug, Subcommand)]
#[command(defer = true)]
pub enum Command {
    /// Calculate one sum: scant work "6 * 3/4 in"
    Work(Work),
    /// Make a recipe and print its docket
    Run(Run),
    /// Show how a name of a recipe was calculated: scant why FILE flat
    Why(Why),
    /// Make a recipe in every size of a table
    Grade(Grade),
    /// Print what a recipe draws at true size, over several sheets: scant guide FILE --out FILE.pdf
    Guide(Guide),
    /// Read a recipe and check its examples; without a file, check the library
    Check {
        /// The recipe
        file: Option<PathBuf>,
    },
    /// Show what a rule, an area or a word is, or find a rule by what it is for
    Help {
        /// Its name, or words that say what it is for
        words: Vec<String>,
        /// All areas, as a handbook
        #[arg(long, conflicts_with = "words")]
        all: bool,
        /// A formatted page instead of plain text
        #[arg(long = "as", value_enum)]
        format: Option<Pages>,
        /// In pdf: the sheet of paper
        #[arg(long, value_enum, default_value_t)]
        paper: Paper,
        /// Write it to a file, completely or not at all
        #[arg(long, value_name = "FILE")]
        out: Option<PathBuf>,
    },
}

// `scant work`
#[derive(Debug, clap::Args)]
pub struct Work {
    /// The sum
    #[arg(value_name = "SUM")]
    pub expression: Vec<String>,
    /// The seam allowance, such as 1/4 in
    #[arg(long, value_name = "LENGTH")]
    pub seam: Option<String>,
    /// The marks of the ruler, such as 1/16 in
    #[arg(long, value_name = "LENGTH")]
    pub ruler: Option<String>,
    /// The step in which the shop sells, such as 10 cm
    #[arg(long, value_name = "LENGTH")]
    pub shop: Option<String>,
}

/// How a handbook is printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Pages {
    /// A page for a text editor (Markdown)
    #[value(name = "md", alias = "markdown")]
    Markdown,
    /// One page for a browser
    Html,
    /// Pages for paper, with page numbers and bookmarks
    Pdf,
}

// `scant run`
#[derive(Debug, clap::Args)]
pub struct Run {
    /// The recipe
    pub file: PathBuf,
    /// Change the value of a given, such as finished="16 in by 60 in"
    #[arg(long = "set", value_name = "NAME=VALUE")]
    pub set: Vec<String>,
    /// The real size in place of the planned one, such as top="59 5/8 in by 71 3/4 in"
    #[arg(long = "measured", value_name = "NAME=VALUE")]
    pub measured: Vec<String>,
    /// A piece that was cut before measuring, by its label
    #[arg(long = "already-cut", value_name = "LABEL", requires = "measured")]
    pub already_cut: Vec<String>,
    /// Make one of the recipe's own sizes
    #[arg(long, value_name = "NAME")]
    pub size: Option<String>,
    /// How to print it
    #[arg(long = "as", value_enum, default_value_t)]
    pub format: Format,
    /// How its pages are made
    #[command(flatten)]
    pub pages: Style,
    /// Write it to a file, completely or not at all
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Show measures in inches and in metric
    #[arg(long)]
    pub both: bool,
    /// Add how every value was calculated
    #[arg(long)]
    pub why: bool,
    /// Cut and buy for this many kits at once
    #[arg(long, value_name = "COUNT", value_parser = clap::value_parser!(u64).range(1..=1_000_000))]
    pub kits: Option<u64>,
    /// Search longer for better cutting plans: a few seconds for each kind of plan
    #[arg(long)]
    pub thorough: bool,
}

// `scant why`
#[derive(Debug, clap::Args)]
pub struct Why {
    /// The recipe
    pub file: PathBuf,
    /// The name, or a part of what it holds, such as edge.strips
    pub name: String,
    /// Show only one line
    #[arg(value_name = "briefly", value_parser = ["briefly"])]
    pub brief_word: Option<String>,
    /// Show only one line
    #[arg(long)]
    pub briefly: bool,
    /// Change the value of a given, such as finished="16 in by 60 in"
    #[arg(long = "set", value_name = "NAME=VALUE")]
    pub set: Vec<String>,
    /// The real size in place of the planned one, such as top="59 5/8 in by 71 3/4 in"
    #[arg(long = "measured", value_name = "NAME=VALUE")]
    pub measured: Vec<String>,
    /// For one of the recipe's own sizes
    #[arg(long, value_name = "NAME")]
    pub size: Option<String>,
    /// Show measures in inches and in metric
    #[arg(long)]
    pub both: bool,
    /// For programs
    #[arg(long)]
    pub json: bool,
}

// `scant grade`
#[derive(Debug, clap::Args)]
pub struct Grade {
    /// The recipe
    pub file: PathBuf,
    /// The table of sizes, .csv or .json; without it the recipe's own sizes
    #[arg(long, value_name = "TABLE")]
    pub sizes: Option<PathBuf>,
    /// How to print it
    #[arg(long = "as", value_enum, default_value_t)]
    pub format: Format,
    /// How its pages are made
    #[command(flatten)]
    pub pages: Style,
    /// Write it to a file, completely or not at all
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// In CSV, write ruler readings in place of numbers
    #[arg(long)]
    pub readings: bool,
    /// Cut and buy for all sizes at once: one docket, one plan for each cloth
    #[arg(long)]
    pub together: bool,
    /// Search longer for better cutting plans: a few seconds for each kind of plan
    #[arg(long)]
    pub thorough: bool,
}

// `scant guide`
#[derive(Debug, clap::Args)]
pub struct Guide {
    /// The recipe
    pub file: PathBuf,
    /// Only the picture with this name
    pub name: Option<String>,
    /// Change the value of a given, such as finished="16 in by 60 in"
    #[arg(long = "set", value_name = "NAME=VALUE", conflicts_with = "sizes")]
    pub set: Vec<String>,
    /// A size; several are drawn over each other, each with its own kind of line
    #[arg(long = "size", value_name = "NAME")]
    pub size: Vec<String>,
    /// The table of sizes, .csv or .json; without it the recipe's own sizes
    #[arg(long, value_name = "TABLE")]
    pub sizes: Option<PathBuf>,
    /// The sheet of paper
    #[arg(long, value_enum, default_value_t)]
    pub paper: Paper,
    /// Write it to a file, completely or not at all
    #[arg(long, value_name = "FILE.pdf")]
    pub out: Option<PathBuf>,
}
