//! `scant grade`: a table in, every size out, whole or not at all.

use std::collections::BTreeSet;
use std::io::{BufReader, BufWriter, IsTerminal, Write};
use std::path::Path;

use super::args::{Errors, Grade};
use super::files;
use super::{Done, Ended, Outside, work};
use crate::eval::limits::Limits;
use crate::fault::{Code, Fault, Files, Level, Span};
use crate::grade::{self, Source, Style, Summary, Watch};
use crate::limits::ROW_FAULTS;
use crate::recipe::build::Recipe;
use crate::report::{self, Format, Quota, Sizes};

/// Reports faults as they come and shows progress on a terminal.
pub(super) struct Onlooker<'a> {
    outside: &'a Outside,
    files: &'a Files,
    limits: &'a Limits,
    shows_progress: bool,
    /// Whether the table itself says what is wrong with its rows.
    told_there: bool,
    told: u64,
    drawn: bool,
    /// Places in the recipe that were reported.
    pointed: BTreeSet<Span>,
}

impl<'a> Onlooker<'a> {
    fn of(args: &Grade, outside: &'a Outside, files: &'a Files, limits: &'a Limits) -> Onlooker<'a> {
        // Rows that scroll by on the same terminal are progress enough.
        let unseen = args.out.is_some() || !std::io::stdout().is_terminal();
        let told_there = args.format == Format::Text && !args.together && outside.errors == Errors::Text;
        Onlooker::new((unseen, told_there), outside, files, limits)
    }

    /// Shows progress where rows are `unseen`; of what the table tells itself reports only what points into the recipe.
    pub(super) fn new(
        (unseen, told_there): (bool, bool),
        outside: &'a Outside,
        files: &'a Files,
        limits: &'a Limits,
    ) -> Onlooker<'a> {
        let shows_progress = std::io::stderr().is_terminal() && unseen && !outside.quiet;
        let (told, drawn, pointed) = (0, false, BTreeSet::new());
        Onlooker { outside, files, limits, shows_progress, told_there, told, drawn, pointed }
    }

    pub(super) fn wipe(&mut self) {
        if std::mem::take(&mut self.drawn) {
            let _ = write!(std::io::stderr(), "\r\x1b[K");
        }
    }
}

impl Watch for Onlooker<'_> {
    fn fault(&mut self, fault: Fault) {
        self.wipe();
        self.told = self.told.saturating_add(1);
        if self.told <= ROW_FAULTS || fault.level == Level::Advice {
            self.outside.tell(&[fault], self.files);
        } else if self.told == ROW_FAULTS + 1 {
            self.outside.say("more rows have trouble: see their last column");
        }
    }

    fn row_fault(&mut self, fault: Fault) {
        if self.told_there {
            // What points into the recipe is reported where it points; all else is below the table.
            let Some(span) = fault.span() else { return };
            if !self.pointed.insert(span) {
                return;
            }
        }
        self.fault(fault);
    }

    fn progress(&mut self, rows: u64) {
        if self.shows_progress {
            self.drawn = true;
            let _ = write!(std::io::stderr(), "\r{rows} rows");
        }
    }

    fn stopped(&self) -> bool {
        self.limits.stopped()
    }
}

/// Makes a recipe in every size of a table.
pub(super) fn grade(args: &Grade, outside: &Outside) -> Done {
    let limits = outside.limits();
    outside.stop_on_interrupt(&limits);
    let mut files = Files::new();
    let mut recipe = work::recipe(&args.file, &mut files, &limits, outside)?;
    outside.tell(&recipe.advice, &files);
    if args.sizes.is_none() && recipe.sizes.is_empty() {
        let fault = Fault::nowhere(Code::BadCommand, "this recipe lists no sizes of its own");
        let fault = fault.hint("give a table: `--sizes TABLE.csv`, or write `sizes` lines in the recipe");
        return Err(outside.refuse(&[fault], &files));
    }
    let name = args.sizes.as_deref().unwrap_or(&args.file).display().to_string();
    let source = source(args.sizes.as_deref(), &name, outside)?;
    args.sizes.iter().for_each(|table| outside.reads(table));
    let mut watch = Onlooker::of(args, outside, &files, &limits);
    if args.thorough {
        recipe.thorough();
    }
    if args.together {
        recipe.hold();
        let made = grade::grade(&mut *recipe, source, &name, Style::Text, &mut std::io::sink(), &mut watch);
        watch.wipe();
        return together(made, &mut recipe, args, outside, &files);
    }
    let style = style(args).map_err(|fault| outside.refuse(&[fault], &files))?;
    let Some(style) = style else {
        let quota = outside.quota(&files);
        let made = grade::book(&mut *recipe, source, &name, (&mut watch, &quota));
        watch.wipe();
        return book(made, &quota, args, outside, &files);
    };
    let made = match &args.out {
        None => {
            let stdout: Box<dyn Write> = match style {
                Style::Screen(_) => Box::new(anstream::stdout().lock()),
                _ => Box::new(std::io::stdout().lock()),
            };
            let mut out = BufWriter::with_capacity(1 << 16, stdout);
            let made = grade::grade(&mut *recipe, source, &name, style, &mut out, &mut watch);
            made.and_then(|summary| out.flush().map(|()| summary).map_err(grade::Ended::Write))
        }
        Some(path) => {
            let mut out = outside.create(path)?;
            let made = grade::grade(&mut *recipe, source, &name, style, &mut out, &mut watch);
            let placed = |summary| match out.finish() {
                Ok(()) => Ok(summary),
                Err(why) => Err(grade::Ended::Write(std::io::Error::other(why))),
            };
            made.and_then(placed)
        }
    };
    watch.wipe();
    ended(made, args, outside, &files)
}

/// All sizes in one document.
fn book(
    made: Result<(Summary, Sizes), grade::Ended>,
    quota: &Quota,
    args: &Grade,
    outside: &Outside,
    files: &Files,
) -> Done {
    let (summary, sizes) = made.map_err(|why| broken_off(why, outside, files))?;
    let format = args.format;
    let bytes = report::all_sizes(sizes, format, args.pages, quota)
        .map_err(|error| work::unfinished("the document", &error, outside))?;
    match work::written(&bytes, format, args.out.as_deref(), outside, Ended::Well) {
        Ended::Well => ended(Ok(summary), args, outside, files),
        other => Ok(other),
    }
}

/// How the rows are written; not row by row in a document.
fn style(args: &Grade) -> Result<Option<Style>, Fault> {
    match args.format {
        Format::Svg => {
            let fault = Fault::nowhere(Code::BadCommand, "a table of sizes cannot be drawn");
            Err(fault
                .hint("draw one size: `scant run FILE --size NAME --as svg`, or all of them `--together`"))
        }
        Format::Text if args.out.is_none() && std::io::stdout().is_terminal() => {
            Ok(Some(Style::Screen(super::screen())))
        }
        Format::Text => Ok(Some(Style::Text)),
        Format::Csv if args.readings => Ok(Some(Style::Readings)),
        Format::Csv => Ok(Some(Style::Csv)),
        Format::Json => Ok(Some(Style::JsonLines)),
        Format::Markdown | Format::Html | Format::Pdf | Format::Workbook => Ok(None),
    }
}

/// One docket for all sizes that can be made; none where no size can.
fn together(
    made: Result<Summary, grade::Ended>,
    recipe: &mut Recipe,
    args: &Grade,
    outside: &Outside,
    files: &Files,
) -> Done {
    match made {
        Ok(summary) if summary.troubled < summary.rows => {
            let run = recipe.together();
            if !run.faults.is_empty() {
                return Err(outside.refuse(&run.faults, files));
            }
            Ok(match work::docket(&run, files, (args.format, args.pages), args.out.as_deref(), outside) {
                // Sizes that are left out are a failure, however well the others come out.
                Ended::Well | Ended::Open if summary.troubled > 0 => Ended::Failed,
                ended => ended,
            })
        }
        made => ended(made, args, outside, files),
    }
}

fn ended(made: Result<Summary, grade::Ended>, args: &Grade, outside: &Outside, files: &Files) -> Done {
    let summary = made.map_err(|why| broken_off(why, outside, files))?;
    if args.out.is_some() {
        outside.say(&summary_words(&summary));
    }
    Ok(by_rows(&summary))
}

/// How a table ended by its rows.
pub(super) fn by_rows(summary: &Summary) -> Ended {
    match (summary.troubled, summary.open) {
        (0, 0) => Ended::Well,
        (0, _) => Ended::Open,
        _ => Ended::Failed,
    }
}

/// Reports why a table broke off.
pub(super) fn broken_off(why: grade::Ended, outside: &Outside, files: &Files) -> Ended {
    match why {
        grade::Ended::Fault(fault) => outside.refuse(&[*fault], files),
        grade::Ended::Write(error) if error.kind() == std::io::ErrorKind::BrokenPipe => Ended::Well,
        grade::Ended::Write(error) => work::unfinished("what was made", &error, outside),
    }
}

fn summary_words(summary: &Summary) -> String {
    let rows = if summary.rows == 1 { "1 size".into() } else { format!("{} sizes", summary.rows) };
    match (summary.troubled, summary.open) {
        (0, 0) => format!("{rows} made"),
        (0, open) => format!("{rows}, {open} not sure"),
        (troubled, 0) => format!("{rows}, {troubled} with trouble"),
        (troubled, open) => format!("{rows}, {troubled} with trouble, {open} not sure"),
    }
}

pub(super) fn source<'a>(table: Option<&Path>, name: &str, outside: &Outside) -> Result<Source<'a>, Ended> {
    let Some(path) = table else { return Ok(Source::Own) };
    let file = files::open(path)
        .map_err(|why| outside.complain(Code::BadFile, format!("`{name}` cannot be read: {why}")))?;
    let reader = BufReader::with_capacity(1 << 16, file);
    let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase());
    Ok(match ending.as_deref() {
        Some("json" | "jsonl" | "ndjson") => Source::Json(Box::new(reader)),
        _ => Source::Csv(Box::new(reader)),
    })
}
