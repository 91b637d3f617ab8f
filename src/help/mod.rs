//! Rules, words of the language, commands, examples and sources as data, and the search in them.

pub mod docs;
pub mod pictures;
pub mod search;
pub mod topics;
pub mod tries;

use std::collections::BTreeSet;

use crate::library;
use crate::value::builtin;

/// All names that help knows, in alphabetical order.
pub fn names() -> BTreeSet<&'static str> {
    let areas = docs::areas().map(docs::area_name);
    let topics = topics::groups().iter().flat_map(|group| &group.topics);
    let rules = library::index().keys().copied();
    rules
        .chain(builtin::names())
        .chain(areas)
        .chain(topics.flat_map(|topic| topic.names.iter().copied()))
        .collect()
}
