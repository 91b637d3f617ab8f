//! The words of the language, the commands and the words of the prompt, as data: `topics.txt` holds their texts.

use std::sync::OnceLock;

/// What help says of a word or a command.
#[derive(Debug)]
pub struct Topic {
    /// Its names, the usual one first.
    pub names: Vec<&'static str>,
    /// What people ask when they mean it; shown nowhere.
    pub asked: &'static str,
    /// How it is written, a row each.
    pub forms: Vec<&'static str>,
    /// What it does: paragraphs, and rows that are as they are where they are set in.
    pub words: &'static str,
}

/// Topics of one sort.
#[derive(Debug)]
pub struct Group {
    /// What they are: `words of the language`.
    pub title: &'static str,
    /// The topics, in the order of help.
    pub topics: Vec<Topic>,
}

/// All topics, sort by sort.
pub fn groups() -> &'static [Group] {
    static GROUPS: OnceLock<Vec<Group>> = OnceLock::new();
    GROUPS.get_or_init(|| read(include_str!("topics.txt")))
}

/// The topic with this name.
pub fn topic(name: &str) -> Option<&'static Topic> {
    groups().iter().flat_map(|group| &group.topics).find(|topic| topic.names.contains(&name))
}

fn read(text: &'static str) -> Vec<Group> {
    let group = |text: &'static str| {
        let (title, topics) = text.split_once('\n').unwrap_or((text, ""));
        let topics = topics.split("== ").skip(1).map(one).collect();
        Group { title: title.trim(), topics }
    };
    text.split("=== ").skip(1).map(group).collect()
}

fn one(text: &'static str) -> Topic {
    let (names, rest) = text.split_once('\n').unwrap_or((text, ""));
    let (above, words) = rest.split_once("--\n").unwrap_or((rest, ""));
    let mut forms: Vec<&str> = above.lines().collect();
    // A topic with one row above its words has no other words that people ask by.
    let asked = if forms.len() > 1 { forms.remove(0) } else { "" };
    Topic { names: names.split(", ").collect(), asked, forms, words: words.trim_end() }
}
