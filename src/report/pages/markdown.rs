//! A document as Markdown (CommonMark, with tables of pipes). Drawings are told in words.

use std::io;

use super::{Block, Document, Table};
use crate::drawing::Drawing;
use crate::report::escape::markdown_text;

/// Writes the document.
pub fn markdown(document: Document, out: &mut dyn io::Write) -> io::Result<()> {
    // The cautions stand on the same page, and so does a list that goes on in a drawing of its own.
    let told = |block: &Block| match block {
        Block::Reminder(_) => false,
        Block::Figure(drawing) => !drawing.list.as_ref().is_some_and(|list| list.rows.is_empty()),
        _ => true,
    };
    for (at, block) in document.blocks.into_iter().filter(told).enumerate() {
        if at > 0 {
            writeln!(out)?;
        }
        match block {
            Block::Heading(level, words) => {
                writeln!(out, "{} {}", "#".repeat(usize::from(level)), line(&words))?;
            }
            Block::Paragraph(words) => writeln!(out, "{}", line(&words))?,
            Block::Warning(words) => writeln!(out, "> **{}**", line(&words))?,
            Block::List { numbered, items } => {
                for (number, item) in (1u64..).zip(&items) {
                    let lead = if numbered { format!("{number}.") } else { "-".into() };
                    writeln!(out, "{lead} {}", line(item))?;
                }
            }
            Block::Table(table) => rows(&table, out)?,
            Block::Figure(drawing) => figure(&drawing, out)?,
            Block::Lines(lines) => {
                // A fence longer than any in the lines.
                let ticks = lines.iter().map(|line| line.chars().take_while(|c| *c == '`').count());
                let fence = "`".repeat(ticks.max().unwrap_or(0).max(2).saturating_add(1));
                writeln!(out, "{fence}")?;
                lines.iter().try_for_each(|line| writeln!(out, "{line}"))?;
                writeln!(out, "{fence}")?;
            }
            Block::Refs(refs) => {
                for row in &refs.rows {
                    let indent = "  ".repeat(usize::from(row.indent));
                    writeln!(out, "{indent}- {}", line(&row.words))?;
                }
            }
            Block::Page | Block::Part(_) => writeln!(out, "---")?,
            Block::Reminder(_) => {}
        }
    }
    Ok(())
}

/// A drawing in words.
fn figure(drawing: &Drawing, out: &mut dyn io::Write) -> io::Result<()> {
    writeln!(out, "*{}*\n", line(&drawing.title))?;
    let Some(list) = &drawing.list else {
        // The description begins with the title.
        let told = drawing.description.strip_prefix(&drawing.title);
        let told = told.map_or(drawing.description.as_str(), |rest| rest.trim_start_matches(['.', ' ']));
        return writeln!(out, "{}", line(told));
    };
    writeln!(out, "{}\n", line(&list.above))?;
    for row in &list.rows {
        let indent = "  ".repeat(row.depth);
        let number = row.number.map_or_else(String::new, |number| format!("**{number}.** "));
        writeln!(out, "{indent}- {number}{}", line(&row.words))?;
    }
    Ok(())
}

/// Words on one line, where nothing of them is read as Markdown's own.
fn line(words: &str) -> String {
    let words = markdown_text(&words.replace('`', "'"));
    let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
    // What would begin a list, or a heading, at the start of a line.
    let begins = |c: char| matches!(c, '-' | '+' | '=' | '~' | '>');
    let counted = words.split_once(['.', ')']).is_some_and(|(number, rest)| {
        !number.is_empty() && number.chars().all(|c| c.is_ascii_digit()) && rest.starts_with(' ')
    });
    match words.starts_with(begins) {
        true => format!("\\{words}"),
        false if counted => words.replacen(['.', ')'], "\\.", 1),
        false => words,
    }
}

fn rows(table: &Table, out: &mut dyn io::Write) -> io::Result<()> {
    let row = |cells: &[String]| {
        let cells: Vec<String> = cells.iter().map(|cell| line(cell)).collect();
        format!("| {} |", cells.join(" | "))
    };
    writeln!(out, "{}", row(&table.head))?;
    let rule = table.right.iter().map(|right| if *right { "---:" } else { "---" });
    writeln!(out, "| {} |", rule.collect::<Vec<_>>().join(" | "))?;
    table.rows.iter().chain(&table.foot).try_for_each(|cells| writeln!(out, "{}", row(cells)))
}
