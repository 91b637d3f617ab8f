//! Source files, spans, the one diagnostic type, suggestions, and its printers.
//!
//! Every other module reports trouble as a [`Fault`]: what is wrong, where, and how to correct it.

mod code;
mod excerpt;
mod file;
mod first;
mod json;
mod print;
mod suggest;

pub use code::Code;
pub use file::{File, FileId, Files, Place, Span};
pub use first::first;
pub use json::json;
pub use print::{colour, on_terminal, plain};
pub use suggest::{closest, listed};

/// How grave a fault is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// The recipe is sound, but something in it deserves a second look.
    Advice,
    /// The recipe cannot be evaluated.
    Error,
}

/// A place in a source file and what is to be said of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Label {
    /// The bytes underlined.
    pub span: Span,
    /// What is beside the underline; may be empty.
    pub text: String,
}

/// One thing that is wrong: what, where, and how to correct it.
///
/// Wording is lower case, without a full stop and without blame.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// The kind, for tests and for programs that read the JSON form.
    pub code: Code,
    /// How grave it is.
    pub level: Level,
    /// What is wrong, in the trade's words.
    pub message: String,
    /// Where it is wrong; `None` for a fault of the command line.
    pub primary: Option<Label>,
    /// Other places that matter, such as the second operand or the first definition.
    pub others: Vec<Label>,
    /// How to correct it: one line each.
    pub hints: Vec<String>,
    /// How many of the other places are calls that led here.
    pub callers: u8,
}

impl Fault {
    /// An error at a place.
    pub fn new(code: Code, span: Span, message: impl Into<String>) -> Fault {
        Fault { primary: Some(Label { span, text: String::new() }), ..Fault::nowhere(code, message) }
    }

    /// An error that has no place in a file, such as a missing file.
    pub fn nowhere(code: Code, message: impl Into<String>) -> Fault {
        Fault {
            code,
            level: Level::Error,
            message: message.into(),
            primary: None,
            others: Vec::new(),
            hints: Vec::new(),
            callers: 0,
        }
    }

    /// Advice at a place.
    pub fn advice(code: Code, span: Span, message: impl Into<String>) -> Fault {
        Fault { level: Level::Advice, ..Fault::new(code, span, message) }
    }

    /// What a rule cautions of.
    pub fn caution(words: impl Into<String>) -> Fault {
        Fault { level: Level::Advice, ..Fault::nowhere(Code::Caution, words) }
    }

    /// Puts words beside the primary underline.
    #[must_use]
    pub fn label(mut self, text: impl Into<String>) -> Fault {
        if let Some(label) = &mut self.primary {
            label.text = text.into();
        }
        self
    }

    /// Adds another place.
    #[must_use]
    pub fn other(mut self, span: Span, text: impl Into<String>) -> Fault {
        self.others.push(Label { span, text: text.into() });
        self
    }

    /// Adds a way to correct it.
    #[must_use]
    pub fn hint(mut self, text: impl Into<String>) -> Fault {
        self.hints.push(text.into());
        self
    }

    /// Adds a "did you mean" where a close name is known.
    #[must_use]
    pub fn did_you_mean(self, close: Option<&str>) -> Fault {
        match close {
            Some(name) => self.hint(format!("did you mean `{name}`?")),
            None => self,
        }
    }

    /// The primary span, if the fault has a place.
    pub fn span(&self) -> Option<Span> {
        self.primary.as_ref().map(|label| label.span)
    }
}
