//! The lines of a recipe: the first word tells the rule of the grammar, its pairs become a line.

use pest::iterators::Pair;

use super::Reader;
use crate::fault::{Code, Fault, Span};
use crate::syntax::climb::{Climber, Rule};
use crate::syntax::tree::{
    Bounds, Buy, Check, Draw, Expr, Given, Guard, Limit, LineKind, Measured, Name, Param, Set, Setting, Show,
    SizeRow, Sizes, Text, Use, Words, WordsKind, Work,
};
use crate::syntax::words::first_word;

impl<'a> Reader<'a> {
    /// Reads one line; `None` where it has a fault.
    pub(super) fn kind(&mut self, source: &'a str, span: Span) -> Option<LineKind> {
        let word = first_word(source);
        let rest = source.get(word.len()..).unwrap_or("").trim_start();
        if rest.starts_with('=') && !rest.starts_with("==") && !word.is_empty() {
            return self.name_line(word, source, span);
        }
        match word {
            "recipe" => self.words_line(WordsKind::Recipe, source, span),
            "note" => self.words_line(WordsKind::Note, source, span),
            "step" => self.words_line(WordsKind::Step, source, span),
            "caution" => self.words_line(WordsKind::Caution, source, span),
            "use" => self.use_line(source, span),
            "given" => self.given_line(source, span),
            "rule" => self.rule_line(source, span),
            "cut" => self.cut_line(source, span),
            "have" => self.have_line(source, span),
            "plan" => self.plan_line(source, span),
            "tool" => self.tool_line(source, span),
            "why" if !stands_as_name(rest) => self.why_line(source, span),
            "find" if !stands_as_name(rest) => self.find_line(source, span),
            "buy" => self.buy_line(source, span),
            "show" => self.show_line(source, span),
            "draw" if !stands_as_name(rest) => self.draw_line(source, span),
            "check" => self.check_line(source, span),
            "ruler" if !stands_as_name(rest) => self.setting_line(Setting::Ruler, source, span),
            "shop" if !stands_as_name(rest) => self.setting_line(Setting::Shop, source, span),
            "seam" if !stands_as_name(rest) => self.setting_line(Setting::Seam, source, span),
            "measured" => self.measured_line(source, span),
            "sizes" if rest.is_empty() => Some(LineKind::Sizes(Sizes { rows: Vec::new(), further: false })),
            _ => {
                let line = self.parse(Rule::work_line, source, span)?;
                let value = self.climber(span).next(&mut line.into_inner())?;
                Some(LineKind::Work(Work { value }))
            }
        }
    }

    fn name_line(&mut self, word: &str, source: &'a str, span: Span) -> Option<LineKind> {
        if matches!(word, "seam" | "ruler" | "shop") {
            let fault = Fault::new(
                Code::ReservedWord,
                Span::new(span.file, span.start as usize, (span.start as usize).saturating_add(word.len())),
                format!("`{word}` is written without `=`"),
            );
            self.faults.push(fault.hint(format!("write `{word} 1/4 in`; it is used from here on")));
            return None;
        }
        let (mut climber, mut parts) = self.parts(Rule::name_line, source, span)?;
        let name = climber.next_name(&mut parts);
        let value = climber.next(&mut parts);
        Some(LineKind::Name(Name { name: name?, value: value? }))
    }

    fn text_line(&mut self, source: &'a str, span: Span) -> Option<Text> {
        let line = self.parse(Rule::text_line, source, span)?;
        self.climber(span).next_text(&mut line.into_inner())
    }

    fn use_line(&mut self, source: &'a str, span: Span) -> Option<LineKind> {
        let text = self.text_line(source, span)?;
        match text.plain() {
            Some(path) => Some(LineKind::Use(Use { path, path_span: text.span })),
            None => {
                let fault = Fault::new(
                    Code::BadUse,
                    text.span,
                    "write out the name of a file for `use`: braces cannot be used in it",
                );
                self.faults.push(fault);
                None
            }
        }
    }

    fn words_line(&mut self, what: WordsKind, source: &'a str, span: Span) -> Option<LineKind> {
        self.text_line(source, span).map(|text| LineKind::Words(Words { what, text }))
    }

    fn setting_line(&mut self, setting: Setting, source: &'a str, span: Span) -> Option<LineKind> {
        let line = self.parse(Rule::setting_line, source, span)?;
        let value = self.climber(span).next(&mut line.into_inner())?;
        Some(LineKind::Set(Set { setting, value }))
    }

    fn given_line(&mut self, source: &'a str, span: Span) -> Option<LineKind> {
        let (mut climber, mut parts) = self.parts(Rule::given_line, source, span)?;
        let name = climber.next_name(&mut parts)?;
        let default = climber.next(&mut parts)?;
        let bounds = match parts.next() {
            Some(pair) if pair.as_rule() == Rule::from_to => {
                let mut ends = pair.into_inner().filter(|end| end.as_rule() == Rule::bound);
                let low = climber.next(&mut ends)?;
                Bounds::FromTo(low, climber.next(&mut ends)?)
            }
            Some(pair) if pair.as_rule() == Rule::one_of => Bounds::OneOf(
                pair.into_inner().map(|choice| climber.expr(choice)).collect::<Option<Vec<_>>>()?,
            ),
            _ => Bounds::Any,
        };
        Some(LineKind::Given(Box::new(Given { name, default, bounds })))
    }

    fn measured_line(&mut self, source: &'a str, span: Span) -> Option<LineKind> {
        let (mut climber, mut parts) = self.parts(Rule::measured_line, source, span)?;
        let name = climber.next_name(&mut parts)?;
        let value = climber.next(&mut parts)?;
        let labels = parts.find(|part| part.as_rule() == Rule::already_cut);
        let labels = labels.into_iter().flat_map(Pair::into_inner);
        let cut = labels.map(|label| climber.quoted(label)).collect::<Option<Vec<_>>>()?;
        Some(LineKind::Measured(Box::new(Measured { name, value, cut })))
    }

    fn rule_line(&mut self, source: &'a str, span: Span) -> Option<LineKind> {
        let (mut climber, mut parts) = self.parts(Rule::rule_line, source, span)?;
        let name = climber.next_name(&mut parts)?;
        let params = parts.next()?;
        let heading = span.to(span).to(climber.span(&params));
        let heading = Span { end: climber.span(&params).end, ..heading };
        let params = params.into_inner().map(|pair| param(&mut climber, pair)).collect::<Option<Vec<_>>>()?;
        let mut next = parts.next()?;
        let (mut gives, mut signed) = (None, false);
        if next.as_rule() == Rule::gives {
            for part in next.into_inner() {
                match part.as_rule() {
                    Rule::signed => signed = true,
                    _ => gives = Some(kind_name(&climber, &part)),
                }
            }
            next = parts.next()?;
        }
        let mut drawn = None;
        if next.as_rule() == Rule::drawn {
            drawn = Some(climber.next_name(&mut next.into_inner())?);
            next = parts.next()?;
        }
        let body = climber.expr(next)?;
        let rule = crate::syntax::tree::Rule { name, params, gives, signed, drawn, body, heading };
        Some(LineKind::Rule(rule.into()))
    }

    fn buy_line(&mut self, source: &'a str, span: Span) -> Option<LineKind> {
        let (mut climber, mut parts) = self.parts(Rule::buy_line, source, span)?;
        let quantity = climber.next(&mut parts)?;
        let label = climber.next_text(&mut parts)?;
        let (mut pack, mut price) = (None, None);
        for part in parts {
            let place = match part.as_rule() {
                Rule::packs => &mut pack,
                Rule::at_price => &mut price,
                _ => continue,
            };
            *place = Some(climber.next(&mut part.into_inner())?);
        }
        Some(LineKind::Buy(Box::new(Buy { quantity, label, pack, price })))
    }

    fn show_line(&mut self, source: &'a str, span: Span) -> Option<LineKind> {
        let (label, value) = self.labelled(Rule::show_line, source, span)?;
        Some(LineKind::Show(Show { label, value }))
    }

    fn draw_line(&mut self, source: &'a str, span: Span) -> Option<LineKind> {
        let (label, value) = self.labelled(Rule::draw_line, source, span)?;
        Some(LineKind::Draw(Draw { label, value }))
    }

    /// A value, with words before it where they are written.
    fn labelled(&mut self, rule: Rule, source: &'a str, span: Span) -> Option<(Option<Text>, Expr)> {
        let (mut climber, mut parts) = self.parts(rule, source, span)?;
        let mut next = parts.next()?;
        let mut label = None;
        if next.as_rule() == Rule::label {
            label = Some(climber.next_text(&mut next.into_inner())?);
            next = parts.next()?;
        }
        Some((label, climber.expr(next)?))
    }

    fn check_line(&mut self, source: &'a str, span: Span) -> Option<LineKind> {
        let (mut climber, mut parts) = self.parts(Rule::check_line, source, span)?;
        let condition = climber.next(&mut parts)?;
        let message = match parts.next() {
            Some(part) if part.as_rule() == Rule::text => Some(climber.quoted(part)?),
            _ => None,
        };
        Some(LineKind::Check(Check { condition, message }))
    }

    /// A row under `sizes`.
    pub(super) fn size_row(&mut self, source: &'a str, span: Span) -> Option<SizeRow> {
        let (mut climber, mut parts) = self.parts(Rule::size_row, source, span)?;
        let label = climber.next_text(&mut parts)?;
        let label_span = label.span;
        let Some(label) = label.plain() else {
            let message = "write out the name of a size: braces cannot be used in it";
            self.faults.push(Fault::new(Code::BadLine, label_span, message));
            return None;
        };
        let mut values = Vec::new();
        for part in parts.filter(|part| part.as_rule() == Rule::size_value) {
            let mut inner = part.into_inner();
            let name = climber.next_name(&mut inner)?;
            values.push((name, climber.next(&mut inner)?));
        }
        Some(SizeRow { label, label_span, values })
    }
}

fn param(climber: &mut Climber<'_>, pair: Pair<'_, Rule>) -> Option<Param> {
    let mut parts = pair.into_inner();
    let name = climber.next_name(&mut parts)?;
    let (mut kind, mut default, mut guard) = (None, None, Guard::default());
    for part in parts {
        match part.as_rule() {
            Rule::kind if kind.is_none() => kind = Some(kind_name(climber, &part)),
            Rule::kind => guard.per = Some(kind_name(climber, &part)),
            Rule::signed => guard.signed = true,
            Rule::or_no => guard.or_no = true,
            Rule::per => {}
            Rule::guard => {
                let limit = match first_word(part.as_str()) {
                    "from" => Limit::From,
                    "to" => Limit::To,
                    "above" => Limit::Above,
                    _ => Limit::Below,
                };
                guard.limits.push((limit, climber.next(&mut part.into_inner())?));
            }
            _ => default = Some(climber.expr(part)?),
        }
    }
    Some(Param { name, kind, guard, default })
}

fn kind_name(climber: &Climber<'_>, pair: &Pair<'_, Rule>) -> crate::syntax::tree::Ident {
    crate::syntax::tree::Ident { name: pair.as_str().into(), span: climber.span(pair) }
}

/// Whether an operator follows a word, which is then a name: `why + 1 in`.
fn stands_as_name(rest: &str) -> bool {
    rest.starts_with(['.', '+', '*', '/', '^', '<', '>']) || rest.starts_with("- ")
}
