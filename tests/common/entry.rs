//! An entry at the prompt, for the tests of the library.

use scant::docket::FigureValue;
use scant::eval::limits::Limits;
use scant::fault;
use scant::recipe::used::NoFiles;
use scant::session::entry::Answer;
use scant::session::entry::Session;

/// Whether the entry works out as yes.
pub fn holds(entry: &str) -> bool {
    let mut session = Session::new(Limits::default());
    let entered = session.enter(entry, &NoFiles);
    assert!(entered.faults.is_empty(), "{}", fault::plain(&entered.faults, &session.files));
    match entered.answers.iter().rfind(|said| matches!(said, Answer::Value(_))) {
        Some(Answer::Value(figure)) => matches!(figure.value, FigureValue::YesNo(true)),
        _ => panic!("`{entry}` says nothing"),
    }
}
