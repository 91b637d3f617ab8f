//! A place in a text, and the characters that mean something there.

use super::ReadFault;
use super::signs::{ABOVE, BELOW, VULGAR, is_minus, is_slash, starts_figure};
use super::unit::{is_mark, unit_at};
use crate::measure::{Exact, UnitExpr};

/// A place in a text that is being read.
pub(super) struct Scan<'a> {
    text: &'a str,
    at: usize,
}

impl<'a> Scan<'a> {
    pub(super) fn new(text: &'a str) -> Scan<'a> {
        Scan { text, at: 0 }
    }

    pub(super) fn at(&self) -> usize {
        self.at
    }

    pub(super) fn text(&self) -> &'a str {
        self.text
    }

    pub(super) fn back_to(&mut self, at: usize) {
        self.at = at;
    }

    pub(super) fn done(&self) -> bool {
        self.at >= self.text.len()
    }

    pub(super) fn rest(&self) -> &'a str {
        self.text.get(self.at..).unwrap_or("")
    }

    /// The character here.
    pub(super) fn peek(&self) -> Option<char> {
        match self.text.as_bytes().get(self.at) {
            Some(byte) if byte.is_ascii() => Some(char::from(*byte)),
            Some(_) => self.rest().chars().next(),
            None => None,
        }
    }

    /// Goes past the character here if it is wanted.
    fn take_if(&mut self, wanted: impl Fn(char) -> bool) -> bool {
        match self.peek() {
            Some(c) if wanted(c) => {
                self.at = self.at.saturating_add(c.len_utf8());
                true
            }
            _ => false,
        }
    }

    pub(super) fn take(&mut self, wanted: char) -> bool {
        self.take_if(|c| c == wanted)
    }

    /// Goes past spaces; whether there were any.
    pub(super) fn spaces(&mut self) -> bool {
        let from = self.at;
        while self.take_if(char::is_whitespace) {}
        self.at > from
    }

    pub(super) fn minus(&mut self) -> bool {
        self.take_if(is_minus)
    }

    pub(super) fn slash(&mut self) -> bool {
        self.take_if(is_slash)
    }

    /// Goes past digits and gives them.
    pub(super) fn digits(&mut self) -> &'a str {
        let rest = self.rest();
        let digits = rest.find(|c: char| !c.is_ascii_digit()).and_then(|end| rest.get(..end)).unwrap_or(rest);
        self.at = self.at.saturating_add(digits.len());
        digits
    }

    /// Goes past a fraction that is one character.
    pub(super) fn vulgar(&mut self) -> Option<Exact> {
        let found = self.peek().filter(|c| !c.is_ascii())?;
        let at = VULGAR.chars().position(|c| c == found)?;
        self.at = self.at.saturating_add(found.len_utf8());
        Exact::ratio(*ABOVE.get(at)?, *BELOW.get(at)?)
    }

    pub(super) fn digit_ahead(&self) -> bool {
        self.peek().is_some_and(|c| c.is_ascii_digit())
    }

    /// Whether a figure begins here.
    pub(super) fn figure_ahead(&self) -> bool {
        starts_figure(self.rest())
    }

    /// The unit after a figure: a mark right after it, or a word after spaces too.
    pub(super) fn unit(&mut self) -> Result<Option<UnitExpr>, ReadFault> {
        let from = self.at;
        let apart = self.spaces();
        if apart && self.peek().is_some_and(is_mark) {
            return Err(super::fault::mark_apart(self.at..self.text.len()));
        }
        match unit_at(self.text, self.at)? {
            Some((unit, end)) => {
                self.at = end;
                Ok(Some(unit))
            }
            None => {
                self.at = from;
                Ok(None)
            }
        }
    }
}
