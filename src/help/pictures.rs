//! What a rule of the library is drawn as: the picture of its first example.

use crate::docket::Picture;
use crate::eval::limits::Limits;
use crate::fault::{File, Files};
use crate::help::docs::rule_doc;
use crate::library;
use crate::recipe::build::compile;
use crate::recipe::used::NoFiles;
use crate::syntax::{self, tree::ExprKind, tree::LineKind, visit};

/// A picture of an example of a rule that says how it is drawn, or gives a shape or marks; nothing for other rules.
pub fn picture_of(name: &str) -> Option<Picture> {
    let entry = library::index().get(name)?;
    let doc = rule_doc(name, entry);
    let drawn = doc.heading.contains(" drawn ");
    let shape = doc.heading.ends_with(": shape") || entry.text().contains("outline: ");
    let marks = doc.heading.ends_with(": list") && !name.ends_with("_drawing");
    if !(drawn || shape || marks) {
        return None;
    }
    doc.examples.iter().find_map(|example| drawn_from(name, example))
}

/// The picture of the call of a rule in an example.
fn drawn_from(name: &str, example: &str) -> Option<Picture> {
    let mut files = Files::new();
    let id = files.add(File::new("example", example));
    let read = syntax::read(id, example);
    let line = read.tree.lines.first()?;
    let mut call = None;
    if let LineKind::Work(work) = &line.kind {
        visit::within(&work.value, &mut |part| {
            if let ExprKind::Call(found) = &part.kind
                && &*found.rule.name == name
            {
                call.get_or_insert(part.span);
            }
        });
    }
    let call = call?;
    let text = example.get(call.start as usize..call.end as usize)?;
    let script = format!("draw {text}\n");
    let mut recipe = compile("example", &script, &mut Files::new(), &NoFiles, &Limits::default()).ok()?;
    let run = recipe.run(&[], None);
    run.faults.is_empty().then_some(())?;
    run.docket.pictures.into_iter().next()
}
