//! The library's own rules under the check.

use crate::check::Infer;
use crate::code::{Compiler, Names};
use crate::fault::{Code as FaultCode, Fault, Files};
use crate::library;
use crate::value::builtin;

/// Compiles and checks every rule of the library, for the tests and for `scant check`.
pub(crate) fn library_faults(files: &mut Files) -> Vec<Fault> {
    let mut names = Names::default();
    let mut compiler = Compiler::new(&mut names, files);
    for name in library::index().keys() {
        if builtin::find(name).is_some() {
            let message = format!("the library's `{name}` is a built-in already");
            compiler.faults.push(Fault::nowhere(FaultCode::NameTwice, message));
        }
        if let Some(id) = compiler.names.library_rule(name, compiler.files) {
            compiler.rule(id);
        }
    }
    let mut faults = std::mem::take(&mut compiler.faults);
    let found = Infer::new(&names, files, &()).all_rules();
    faults.extend(found.faults.into_iter().chain(found.notes));
    faults
}

/// What a rule of the library takes and gives, where its heading does not say all of it.
pub(crate) fn library_signature(name: &str) -> Option<String> {
    let (mut names, mut files) = (Names::default(), Files::new());
    let mut compiler = Compiler::new(&mut names, &mut files);
    let id = compiler.names.library_rule(name, compiler.files)?;
    compiler.rule(id);
    crate::check::signature(&names, &files, id)
}
