//! Rules, words of the language, commands, examples and sources as data, and the search in them.

pub mod docs;
pub mod search;
pub mod topics;
pub mod tries;

use std::collections::BTreeSet;

use crate::eval::builtins;
use crate::library;

/// All names that help knows, in alphabetical order.
pub fn names() -> BTreeSet<&'static str> {
    let areas = docs::areas().map(docs::area_name);
    let topics = topics::groups().iter().flat_map(|group| &group.topics);
    let rules = library::index().keys().copied();
    rules
        .chain(builtins::names())
        .chain(areas)
        .chain(topics.flat_map(|topic| topic.names.iter().copied()))
        .collect()
}
