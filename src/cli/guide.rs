//! `scant guide`: what a recipe draws, at true size, over sheets of paper.

use super::args::Guide as Args;
use super::grading::{self, Onlooker};
use super::{Done, Ended, Outside, work};
use crate::docket::{Docket, Picture};
use crate::drawing::Layer;
use crate::fault::{Code, Fault, Files, closest};
use crate::grade;
use crate::limits::{GUIDE, GUIDE_SIZES};
use crate::recipe::build::Recipe;
use crate::report::Format;
use crate::report::pages::{Guides, NoGuide, guide as written};

/// Prints pictures of a recipe at true size.
pub(super) fn guide(args: &Args, outside: &Outside) -> Done {
    let limits = outside.limits();
    outside.stop_on_interrupt(&limits);
    let mut files = Files::new();
    let mut recipe = work::recipe(&args.file, &mut files, &limits, outside)?;
    outside.tell(&recipe.advice, &files);
    let (dockets, ended) = match &args.sizes {
        None => own(args, &mut recipe, &files, outside)?,
        Some(_) => graded(args, &mut recipe, &files, outside)?,
    };
    let bytes = pages(args, &dockets).map_err(|fault| outside.refuse(&[*fault], &files))?;
    let written = work::written(&bytes, Format::Pdf, args.out.as_deref(), outside, ended);
    if written == ended {
        let failed: Vec<Fault> = dockets.iter().flat_map(work::failed_checks).collect();
        outside.tell(&failed, &files);
    }
    Ok(written)
}

/// The dockets of the recipe as it is, or in sizes of its own.
fn own(
    args: &Args,
    recipe: &mut Recipe,
    files: &Files,
    outside: &Outside,
) -> Result<(Vec<Docket>, Ended), Ended> {
    let named = args.size.iter().map(|size| Some(size.as_str()));
    let sizes: Vec<Option<&str>> = if args.size.is_empty() { vec![None] } else { named.collect() };
    let mut dockets = Vec::new();
    let mut ended = Ended::Well;
    for size in sizes.into_iter().take(GUIDE_SIZES.saturating_add(1)) {
        let set = work::values(&args.set, size, recipe).map_err(|faults| outside.refuse(&faults, files))?;
        let run = work::sound(recipe.run(&set, size.map(Into::into)), files, outside)?;
        ended = ended.max(work::by_checks(&run));
        dockets.push(run.docket);
    }
    Ok((dockets, ended))
}

/// The dockets of a table of sizes, of the chosen ones or of all.
fn graded(
    args: &Args,
    recipe: &mut Recipe,
    files: &Files,
    outside: &Outside,
) -> Result<(Vec<Docket>, Ended), Ended> {
    let limits = outside.limits();
    let table = args.sizes.as_deref();
    let name = table.unwrap_or(&args.file).display().to_string();
    let source = grading::source(table, &name, outside)?;
    table.into_iter().for_each(|table| outside.reads(table));
    let mut watch = Onlooker::new((true, false), outside, files, &limits);
    let made = grade::book(recipe, source, &name, (&mut watch, &outside.quota(files)));
    watch.wipe();
    let (summary, sizes) = made.map_err(|why| grading::broken_off(why, outside, files))?;
    let ended = grading::by_rows(&summary);
    let size_of = |docket: &Docket| docket.size.as_deref().unwrap_or_default().to_owned();
    let known: Vec<String> = sizes.dockets.iter().map(size_of).collect();
    if let Some(lacking) = args.size.iter().find(|size| !known.contains(size)) {
        let fault = Fault::nowhere(Code::BadCommand, format!("the table has no size called \"{lacking}\""));
        let fault = fault.did_you_mean(closest(lacking, known.iter().map(String::as_str)));
        let fault = fault.hint(format!("its sizes are {}", known.join(", ")));
        return Err(outside.refuse(&[fault], files));
    }
    let chosen = |docket: &Docket| args.size.is_empty() || args.size.contains(&size_of(docket));
    Ok((sizes.dockets.into_iter().filter(chosen).collect(), ended))
}

/// The guide as a PDF.
fn pages(args: &Args, dockets: &[Docket]) -> Result<Vec<u8>, Box<Fault>> {
    if dockets.len() > GUIDE_SIZES {
        let fault = Fault::nowhere(
            Code::TooMuch,
            format!("these are too many sizes: a guide draws at most {GUIDE_SIZES} over each other"),
        );
        return Err(Box::new(fault.hint("choose some of them: `--size NAME --size NAME`")));
    }
    let pictures: Vec<Pictures<'_>> = dockets
        .iter()
        .map(|docket| Pictures { size: docket.size.as_deref(), drawn: &docket.pictures })
        .collect();
    let guides = chosen(args.name.as_deref(), &pictures)?;
    let mut cautions: Vec<&str> = Vec::new();
    for caution in dockets.iter().flat_map(|docket| &docket.cautions) {
        if !cautions.contains(&&**caution) {
            cautions.push(caution);
        }
    }
    let recipe = dockets.iter().find_map(|docket| docket.recipe.as_deref()).unwrap_or_default();
    written(&Guides { recipe, cautions, guides, paper: args.paper, most: GUIDE })
        .map_err(|why| Box::new(told(&why)))
}

/// What is drawn in a size.
struct Pictures<'a> {
    size: Option<&'a str>,
    drawn: &'a [Picture],
}

/// Each picture with this name, or every one, in all sizes.
fn chosen<'a>(name: Option<&str>, sizes: &[Pictures<'a>]) -> Result<Vec<Vec<Layer<'a>>>, Box<Fault>> {
    let first = sizes.first().map_or(&[][..], |size| size.drawn);
    if first.is_empty() {
        let fault = Fault::nowhere(Code::BadCommand, "this recipe draws nothing");
        return Err(Box::new(fault.hint("add a line `draw …`")));
    }
    let wanted =
        |picture: &Picture| name.is_none_or(|name| picture.title.to_lowercase() == name.to_lowercase());
    let guides: Vec<Vec<Layer<'_>>> = (0..first.len())
        .filter(|at| first.get(*at).is_some_and(wanted))
        .map(|at| layers(sizes, place_of(first, at)))
        .collect();
    if guides.is_empty() {
        let name = name.unwrap_or_default();
        let titles: Vec<&str> = first.iter().map(|picture| &*picture.title).collect();
        let fault = Fault::nowhere(Code::BadCommand, format!("this recipe draws nothing called `{name}`"));
        let fault = fault.did_you_mean(closest(name, titles.iter().copied()));
        return Err(Box::new(fault.hint(format!("it draws {}", titles.join(", ")))));
    }
    Ok(guides)
}

/// The line that draws a picture, and which one of that line it is.
fn place_of(pictures: &[Picture], at: usize) -> (usize, usize) {
    let line = pictures.get(at).map_or(0, |picture| picture.line);
    (line, pictures.iter().take(at).filter(|picture| picture.line == line).count())
}

/// The same picture in every size.
fn layers<'a>(sizes: &[Pictures<'a>], place: (usize, usize)) -> Vec<Layer<'a>> {
    let same = |size: &Pictures<'a>| {
        let at = (0..size.drawn.len()).find(|at| place_of(size.drawn, *at) == place)?;
        Some(Layer { size: size.size, picture: size.drawn.get(at)? })
    };
    sizes.iter().filter_map(same).collect()
}

fn told(why: &NoGuide) -> Fault {
    match why {
        NoGuide::TooMany => {
            let words = format!("this guide would take more than {GUIDE} sheets of paper");
            let fault = Fault::nowhere(Code::TooMuch, words);
            fault.hint("name one picture, or choose one size; `scant run FILE --as pdf` draws all of it to fit a page")
        }
        NoGuide::Nothing => Fault::nowhere(Code::BadCommand, "there is no line to print in this picture"),
        NoGuide::Write(error) => {
            Fault::nowhere(Code::BadFile, format!("the guide cannot be written: {error}"))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn picture(title: &str, line: usize) -> Picture {
        Picture { title: title.into(), parts: Vec::new(), line }
    }

    fn words(fault: &Fault) -> (String, Vec<String>) {
        (fault.message.clone(), fault.hints.clone())
    }

    #[test]
    fn a_recipe_that_draws_nothing_is_told_how_to_draw() {
        let fault = chosen(None, &[Pictures { size: None, drawn: &[] }]).unwrap_err();
        let hint = "add a line `draw …`".to_owned();
        assert_eq!(words(&fault), ("this recipe draws nothing".into(), vec![hint]));
    }

    #[test]
    fn a_picture_is_found_by_its_name() {
        let drawn = [picture("Flag", 4), picture("pocket", 5)];
        let sizes = [Pictures { size: None, drawn: &drawn }];
        assert_eq!(chosen(None, &sizes).unwrap().len(), 2);
        let found = chosen(Some("flag"), &sizes).unwrap();
        assert_eq!((found.len(), &*found[0][0].picture.title), (1, "Flag"));
        let fault = chosen(Some("flog"), &sizes).unwrap_err();
        let hints = vec!["did you mean `Flag`?".to_owned(), "it draws Flag, pocket".to_owned()];
        assert_eq!(words(&fault), ("this recipe draws nothing called `flog`".into(), hints));
    }

    #[test]
    fn the_same_picture_of_other_sizes_is_that_of_the_same_line() {
        let small = [picture("flag of 8 in", 4), picture("tie", 4), picture("pocket", 5)];
        let large = [picture("flag of 9 in", 4), picture("pocket", 5)];
        let sizes = [
            Pictures { size: Some("small"), drawn: &small },
            Pictures { size: Some("large"), drawn: &large },
        ];
        let found = chosen(None, &sizes).unwrap();
        let titles: Vec<Vec<&str>> =
            found.iter().map(|layers| layers.iter().map(|layer| &*layer.picture.title).collect()).collect();
        assert_eq!(titles, [vec!["flag of 8 in", "flag of 9 in"], vec!["tie"], vec!["pocket", "pocket"]]);
    }

    #[test]
    fn why_there_is_no_guide_is_told_in_full() {
        let fault = told(&NoGuide::TooMany);
        assert_eq!(fault.message, "this guide would take more than 200 sheets of paper");
        assert_eq!(fault.hints.len(), 1);
        assert_eq!(told(&NoGuide::Nothing).message, "there is no line to print in this picture");
    }
}
