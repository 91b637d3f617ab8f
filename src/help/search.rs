//! Rules, words and commands found by what they are for: BM25 over weighted fields of stemmed words
//! (Robertson and Zaragoza, "The Probabilistic Relevance Framework: BM25 and Beyond", 2009, section 3.6).

use std::collections::BTreeMap;
use std::sync::OnceLock;

use rust_stemmers::{Algorithm, Stemmer};

use super::docs::{area_name, areas, foreword, rule_doc, rules_of};
use super::topics::{Topic, groups};
use crate::fault::{Code, Fault, Files, Span, closest};
use crate::library::{self, Entry};
use crate::measure::is_unit;
use crate::syntax::numbers::count;
use crate::value::builtin::{self, About};

/// Something that help is about.
#[derive(Clone, Copy, Debug)]
pub enum Found {
    /// A rule of the library, by its name.
    Rule(&'static str, &'static Entry),
    /// A word of the language or a command.
    Topic(&'static Topic),
    /// A built-in.
    Builtin(&'static About),
}

impl Found {
    /// The name under which help shows it.
    pub fn name(&self) -> &'static str {
        match self {
            Found::Rule(name, _) => name,
            Found::Topic(topic) => topic.names.first().copied().unwrap_or(""),
            Found::Builtin(about) => about.name,
        }
    }
}

/// How much a word counts by where it is: in a name, in what people ask, in the first sentence, in the other
/// words, in what the area says of itself.
const WEIGHTS: [f64; 5] = [6.0, 5.0, 3.0, 1.2, 0.8];

/// How fast a word that is there again counts less, and how much a long text makes it count less.
const SATURATION: f64 = 1.6;
const LENGTH: f64 = 0.55;

/// Which field is what people ask. It is a list of short phrases, not one text. More phrases say that a rule is asked
/// for in more ways, not that it is about less, so its length counts nothing: BM25 with fields has such a parameter
/// for each field (section 3.6). A word that comes in many of its phrases counts by the root of its number, so that a
/// long list does not win by repeating it; that part is ours, by trial.
const ASKED: usize = 1;

/// Below this part of the best score nothing is reported.
const NEAR: f64 = 0.3;

/// How much of what is asked must be met, by the weight of its words.
const MET: f64 = 0.25;

/// How much more counts what has all the words of its name met.
const WHOLE_NAME: f64 = 0.6;

/// How much more counts what people ask for in just these words, by so many of its phrases that are the most alike: its
/// nearest neighbours.
const WHOLE_PHRASE: f64 = 1.0;
const NEIGHBOURS: usize = 3;

/// How much a word counts that is nowhere in the library, in what must be met: in a question, and in a name.
const UNKNOWN: f64 = 0.25;
const UNKNOWN_IN_NAME: f64 = 0.5;

/// The same for a name that nearly is one.
const NAMED: f64 = 0.6;

/// Words that every question has.
const SMALL: &str = "a an and are as at be by can do does for from has have how i in into is it its like many me much my \
    need no not of on or out so such than that the their them there these they this to up we what when \
    where which with you your one take make get calculate should will if am around did came come want go \
    put s t use dozen big long wide work way would us down front both needed needs without";

struct Index {
    stemmer: Stemmer,
    entries: Vec<Found>,
    /// For each entry, the words of its name.
    named: Vec<Vec<String>>,
    /// For each entry, the words of each phrase that people ask for it in.
    phrases: Vec<Vec<Vec<String>>>,
    /// For each word, the entries that have it, with the weight of its fields.
    holds: BTreeMap<String, Vec<(usize, f64)>>,
    /// What people say, and what the library says for it.
    synonyms: Vec<(Vec<String>, Vec<String>)>,
}

/// Faults with proposals by meaning, where a rule is not known and none that is meant is spelled nearly so.
pub fn propose(faults: &[Fault], files: &Files) -> Vec<Fault> {
    let proposed = |fault: &Fault| match fault.span() {
        Some(span) if fault.code == Code::UnknownName && called(span, files) => {
            let name = files.text(span);
            let rules = rules_about(name);
            let named = |hint: &String| !hint.starts_with("did you mean");
            let spelled = closest(name, super::names()).is_some_and(|close| rules.contains(&close));
            let mut fault = fault.clone();
            // A built-in under its other name has its own hint.
            if !(spelled || rules.is_empty() || fault.hints.iter().any(named)) {
                fault.hints.insert(0, meant_by(&rules));
            }
            fault
        }
        _ => fault.clone(),
    };
    faults.iter().map(proposed).collect()
}

/// Whether what is there is called as a rule.
fn called(span: Span, files: &Files) -> bool {
    let behind = Span { start: span.end, end: span.end.saturating_add(1), ..span };
    files.text(behind) == "("
}

/// The rules that a name like `zipper_length` may mean.
pub fn rules_about(name: &str) -> Vec<&'static str> {
    let found = index().search(&name.replace('_', " "), 3, (NAMED, UNKNOWN_IN_NAME));
    found.iter().filter(|found| matches!(found, Found::Rule(..))).map(Found::name).collect()
}

/// A proposal in words.
pub fn meant_by(rules: &[&str]) -> String {
    let names: Vec<String> = rules.iter().map(|rule| format!("`{rule}`")).collect();
    format!("the library has {} for words like these", names.join(", "))
}

fn index() -> &'static Index {
    static INDEX: OnceLock<Index> = OnceLock::new();
    INDEX.get_or_init(Index::new)
}

/// What these words are about, the likeliest first, at most `most`; empty where nothing is.
pub fn search(words: &str, most: usize) -> Vec<Found> {
    index().search(words, most, (MET, UNKNOWN))
}

impl Index {
    fn new() -> Index {
        let stemmer = Stemmer::create(Algorithm::English);
        let mut index = Index {
            stemmer,
            entries: Vec::new(),
            named: Vec::new(),
            phrases: Vec::new(),
            holds: BTreeMap::new(),
            synonyms: Vec::new(),
        };
        index.synonyms = library::SYNONYMS.lines().filter_map(|row| index.synonym(row)).collect();
        let mut texts = Vec::new();
        let asked: BTreeMap<&str, &str> =
            library::ASKED.lines().filter_map(|row| row.split_once(": ")).collect();
        // Rules that draw are found by what they draw.
        for area in areas().filter(|area| area_name(*area) != "drawings") {
            let about = format!("{} {}", area_name(area), foreword(area));
            for (name, entry) in rules_of(area) {
                let doc = rule_doc(name, entry);
                index.entries.push(Found::Rule(name, entry));
                let asked = asked.get(name).copied().unwrap_or_default().into();
                texts.push([name.replace('_', " "), asked, doc.first, doc.words, about.clone()]);
            }
        }
        for topic in groups().iter().flat_map(|group| &group.topics) {
            let first = topic.words.split_once(". ").map_or(topic.words, |(first, _)| first);
            index.entries.push(Found::Topic(topic));
            texts.push([
                topic.names.join(" "),
                topic.asked.into(),
                first.into(),
                topic.words.into(),
                String::new(),
            ]);
        }
        for about in builtin::ALL {
            index.entries.push(Found::Builtin(about));
            texts.push([
                about.name.replace('_', " "),
                String::new(),
                about.words.into(),
                String::new(),
                String::new(),
            ]);
        }
        let phrases = |asked: &String| asked.split(',').map(|phrase| index.stems(phrase)).collect();
        index.phrases = texts.iter().map(|[_, asked, ..]| phrases(asked)).collect();
        index.weigh(&texts);
        index
    }

    /// `zipper: zip`
    fn synonym(&self, row: &str) -> Option<(Vec<String>, Vec<String>)> {
        let (said, meant) = row.split_once(": ").filter(|_| !row.starts_with('#'))?;
        Some((self.stems(said), self.stems(meant)))
    }

    /// The words of a text that say something, without their endings.
    fn stems(&self, text: &str) -> Vec<String> {
        let words = text.split(|c: char| !c.is_alphanumeric() && c != '±').map(str::to_lowercase);
        let number = |word: &str| word.starts_with(|c: char| c.is_ascii_digit()) || count(word).is_some();
        // A unit after a number, or after `a`, says how much is asked about, not what is asked.
        let counts = |word: &str| number(word) || matches!(word, "a" | "an" | "per");
        let mut after_number = false;
        let telling = words.filter(|word| {
            let unit = std::mem::replace(&mut after_number, counts(word)) && is_unit(word);
            !(word.is_empty() || unit || number(word) || SMALL.split(' ').any(|small| small == word))
        });
        telling.map(|word| self.stemmer.stem(&word).into_owned()).collect()
    }

    fn weigh(&mut self, texts: &[[String; 5]]) {
        let fields: Vec<Vec<Vec<String>>> =
            texts.iter().map(|fields| fields.iter().map(|field| self.stems(field)).collect()).collect();
        let count = fields.len().max(1) as f64;
        let lengths = WEIGHTS.iter().enumerate().map(|(at, _)| {
            let total: usize = fields.iter().filter_map(|field| field.get(at)).map(Vec::len).sum();
            (total as f64 / count).max(1.0)
        });
        let usual: Vec<f64> = lengths.collect();
        self.named = fields.iter().map(|entry| entry.first().cloned().unwrap_or_default()).collect();
        for (at, entry) in fields.iter().enumerate() {
            let mut weights: BTreeMap<&str, f64> = BTreeMap::new();
            for (field, ((words, weight), usual)) in entry.iter().zip(WEIGHTS).zip(&usual).enumerate() {
                let mut times: BTreeMap<&str, f64> = BTreeMap::new();
                for word in words {
                    *times.entry(word).or_default() += 1.0;
                }
                let long = (1.0 - LENGTH + LENGTH * words.len() as f64 / usual).max(0.3);
                for (word, times) in times {
                    let times = if field == ASKED { times.sqrt() } else { times / long };
                    *weights.entry(word).or_default() += weight * times;
                }
            }
            for (word, weight) in weights {
                self.holds.entry(word.to_owned()).or_default().push((at, weight));
            }
        }
    }

    /// How much a word says: one that few entries have says more.
    fn telling(&self, word: &str) -> f64 {
        let (all, held) = (self.entries.len() as f64, self.holds.get(word).map_or(0, Vec::len) as f64);
        ((all - held + 0.5) / (held + 0.5) + 1.0).ln()
    }

    fn search(&self, words: &str, most: usize, (needed, unknown): (f64, f64)) -> Vec<Found> {
        let asked = self.stems(words);
        let mut scores = vec![0.0; self.entries.len()];
        let mut met = vec![0.0; self.entries.len()];
        let mut whole = 0.0;
        for terms in self.meant(&asked) {
            // Of what a word may mean an entry is judged by what fits it best.
            let mut best: BTreeMap<usize, f64> = BTreeMap::new();
            let known = terms.iter().any(|term| self.holds.contains_key(term));
            let weight = terms.iter().map(|term| self.telling(term)).fold(0.0, f64::max);
            whole += if known { weight } else { weight * unknown };
            for term in &terms {
                for (at, held) in self.holds.get(term).into_iter().flatten() {
                    let score = self.telling(term) * held / (SATURATION + held);
                    let place = best.entry(*at).or_default();
                    *place = f64::max(*place, score);
                }
            }
            for (at, score) in best {
                if let (Some(sum), Some(part)) = (scores.get_mut(at), met.get_mut(at)) {
                    *sum += score;
                    *part += weight;
                }
            }
        }
        let terms: Vec<Vec<String>> = self.meant(&asked);
        for ((score, name), phrases) in scores.iter_mut().zip(&self.named).zip(&self.phrases) {
            if *score == 0.0 {
                continue;
            }
            let has = |word: &&String| terms.iter().any(|terms| terms.contains(word));
            let part = name.iter().filter(has).count() as f64 / name.len().max(1) as f64;
            let mut alike: Vec<f64> = phrases.iter().map(|phrase| self.alike(&asked, phrase)).collect();
            alike.sort_by(|a, b| b.total_cmp(a));
            let alike: f64 = alike.iter().take(NEIGHBOURS).sum();
            *score *= 1.0 + WHOLE_NAME * part + WHOLE_PHRASE * alike;
        }
        let highest = scores.iter().copied().fold(0.0, f64::max);
        let enough = |at: &usize| {
            let (score, part) =
                (scores.get(*at).copied().unwrap_or(0.0), met.get(*at).copied().unwrap_or(0.0));
            score > 0.0 && score >= NEAR * highest && part >= needed * whole
        };
        let mut ranked: Vec<usize> = (0..self.entries.len()).filter(enough).collect();
        let score = |at: &usize| scores.get(*at).copied().unwrap_or(0.0);
        ranked.sort_by(|a, b| score(b).total_cmp(&score(a)).then(a.cmp(b)));
        ranked.into_iter().take(most).filter_map(|at| self.entries.get(at).copied()).collect()
    }

    /// How much two phrases have in common, by the weight of their words: 1 for the same words (Jaccard's index).
    fn alike(&self, asked: &[String], phrase: &[String]) -> f64 {
        let weight = |word: &String| self.telling(word);
        let common: f64 = phrase.iter().filter(|word| asked.contains(word)).map(weight).sum();
        let only: f64 = asked.iter().filter(|word| !phrase.contains(word)).map(weight).sum();
        let all = only + phrase.iter().map(weight).sum::<f64>();
        if all > 0.0 { common / all } else { 0.0 }
    }

    /// Each word that is asked with all that it may mean; words that mean one thing together are one.
    fn meant(&self, asked: &[String]) -> Vec<Vec<String>> {
        let mut terms: Vec<Vec<String>> = asked.iter().map(|word| vec![word.clone()]).collect();
        let mut more = Vec::new();
        for (said, meant) in &self.synonyms {
            let places =
                asked.windows(said.len().max(1)).enumerate().filter(|(_, words)| *words == said.as_slice());
            for (at, _) in places {
                // The words of a phrase are met where what it means is met.
                for term in terms.iter_mut().skip(at).take(said.len()) {
                    term.extend(meant.iter().cloned());
                }
                if said.len() > 1 {
                    more.extend(meant.iter().map(|word| vec![word.clone()]));
                }
            }
        }
        terms.extend(more);
        terms.sort();
        terms.dedup();
        terms
    }
}
