//! A recipe made into its docket.

use scant::docket::Docket;
use scant::eval::limits::Limits;
use scant::fault::{self, Files};
use scant::recipe::build::compile;
use scant::recipe::used::NoFiles;

/// The docket of a recipe that has no fault.
pub fn made(text: &str) -> Docket {
    let mut files = Files::new();
    let recipe = compile("recipe.scant", text, &mut files, &NoFiles, &Limits::default());
    let mut recipe = recipe.unwrap_or_else(|faults| panic!("{}", fault::plain(&faults, &files)));
    let run = recipe.run(&[], None);
    assert!(run.faults.is_empty(), "{}", fault::plain(&run.faults, &files));
    run.docket
}
