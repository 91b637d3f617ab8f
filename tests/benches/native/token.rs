//! Words, numbers and signs of a script, by hand.

use super::length::{Length, Unit};
use super::ratio::Ratio;
use super::tree::{ExprKind, Span};

/// A place in a text.
pub struct Scanner<'a> {
    pub text: &'a str,
    pub at: usize,
}

impl<'a> Scanner<'a> {
    pub fn peek(&self) -> Option<u8> {
        self.text.as_bytes().get(self.at).copied()
    }

    fn peek_at(&self, ahead: usize) -> Option<u8> {
        self.text.as_bytes().get(self.at + ahead).copied()
    }

    pub fn span(&self, start: usize) -> Span {
        (u32::try_from(start).unwrap(), u32::try_from(self.at).unwrap())
    }

    pub fn spaces(&mut self) {
        while let Some(b' ' | b'\t') = self.peek() {
            self.at += 1;
        }
    }

    /// The rest of the line, its end taken but not given.
    pub fn rest(&mut self) -> &'a str {
        let rest = &self.text[self.at..];
        let end = rest.find('\n').unwrap_or(rest.len());
        self.at += (end + 1).min(rest.len());
        &rest[..end]
    }

    pub fn take(&mut self, sign: &str) -> bool {
        let found = self.text[self.at..].starts_with(sign);
        if found {
            self.at += sign.len();
        }
        found
    }

    /// A sign behind spaces.
    pub fn sign(&mut self, sign: &str) -> bool {
        let start = self.at;
        self.spaces();
        let found = self.take(sign);
        if !found {
            self.at = start;
        }
        found
    }

    /// The word that stands here, not taken.
    pub fn word_ahead(&self) -> &'a str {
        let bytes = self.text.as_bytes();
        let mut end = self.at;
        if !bytes.get(end).is_some_and(|c| c.is_ascii_alphabetic() || *c == b'_') {
            return "";
        }
        while bytes.get(end).is_some_and(|c| c.is_ascii_alphanumeric() || *c == b'_') {
            end += 1;
        }
        &self.text[self.at..end]
    }

    /// A word behind spaces, if it is this one.
    pub fn word(&mut self, word: &str) -> bool {
        let start = self.at;
        self.spaces();
        if self.word_ahead() == word {
            self.at += word.len();
            return true;
        }
        self.at = start;
        false
    }

    fn digits(&mut self) -> Option<i64> {
        let start = self.at;
        let mut value = 0i64;
        while let Some(digit @ b'0'..=b'9') = self.peek() {
            value = value.checked_mul(10)?.checked_add(i64::from(digit - b'0'))?;
            self.at += 1;
        }
        (self.at > start).then_some(value)
    }

    fn number(&mut self) -> Option<Ratio> {
        let whole = self.digits()?;
        match self.peek() {
            Some(b'/') => {
                self.at += 1;
                Some(Ratio::new(whole, self.digits()?))
            }
            Some(b'.') if self.peek_at(1).is_some_and(|c| c.is_ascii_digit()) => {
                self.at += 1;
                let start = self.at;
                let behind = self.digits()?;
                let scale = 10i64.checked_pow(u32::try_from(self.at - start).ok()?)?;
                Some(Ratio::new(whole.checked_mul(scale)?.checked_add(behind)?, scale))
            }
            Some(b' ') if self.peek_at(1).is_some_and(|c| c.is_ascii_digit()) => {
                let start = self.at;
                self.at += 1;
                let above = self.digits()?;
                if self.peek() == Some(b'/') {
                    self.at += 1;
                    let below = self.digits()?;
                    return Some(Ratio::new(whole.checked_mul(below)?.checked_add(above)?, below));
                }
                self.at = start;
                Some(Ratio::whole(whole))
            }
            _ => Some(Ratio::whole(whole)),
        }
    }

    /// A number and its unit.
    pub fn measure(&mut self) -> Option<ExprKind> {
        let number = self.number()?;
        let start = self.at;
        self.spaces();
        let word = self.word_ahead();
        let unit = match word {
            "in" => Unit::Inch,
            "cm" => Unit::Centimetre,
            "yd" => Unit::Yard,
            _ => {
                self.at = start;
                return Some(ExprKind::Number(number));
            }
        };
        self.at += word.len();
        Some(ExprKind::Length(Length { value: number * Ratio::whole(unit.factor()), unit }))
    }
}
