//! The tree as one short text: an operator first, its operands behind it, all in round brackets.

use scant::fault::{Fault, FileId};
use scant::syntax::tree::*;
use scant::syntax::{Read, read, read_expression};

/// The file number that every test reads under.
pub const FILE: FileId = FileId(7);

/// Reads one expression and dumps it; a fault becomes its code and message.
pub fn expression(text: &str) -> String {
    match read_expression(FILE, text) {
        Ok(tree) => Dump { text }.expr(&tree),
        Err(faults) => faults.iter().map(one_line).collect::<Vec<_>>().join(" | "),
    }
}

/// Reads a whole text and dumps its lines, and behind them its faults.
pub fn lines(text: &str) -> String {
    let found = read(FILE, text);
    let dump = Dump { text };
    let lines = found.tree.lines.iter().map(|line| dump.line(line));
    lines.chain(found.faults.iter().map(one_line)).collect::<Vec<_>>().join("\n")
}

/// The code and message of a fault.
fn one_line(fault: &Fault) -> String {
    format!("!{}: {}", fault.code.as_str(), fault.message)
}

/// All the faults of a text, whole: kind, the bytes underlined, message, labels and hints.
pub fn faults(text: &str) -> String {
    let Read { faults, unfinished, .. } = read(FILE, text);
    let mut out = String::new();
    for fault in &faults {
        out += &format!("{}: {}\n", fault.code.as_str(), fault.message);
        for (mark, label) in
            fault.primary.iter().map(|l| ("at", l)).chain(fault.others.iter().map(|l| ("and", l)))
        {
            let under = text.get(label.span.range()).unwrap_or("OUT OF THE TEXT");
            let words = if label.text.is_empty() { String::new() } else { format!(": {}", label.text) };
            out += &format!("  {mark} {}..{} `{}`{words}\n", label.span.start, label.span.end, shown(under));
        }
        for hint in &fault.hints {
            out += &format!("  = {hint}\n");
        }
    }
    if unfinished {
        out += "(goes on)\n";
    }
    out
}

/// Long and broken texts, cut for a report.
fn shown(text: &str) -> String {
    let flat = text.replace('\n', "\\n");
    match flat.char_indices().nth(60) {
        Some((at, _)) => format!("{}…", flat.get(..at).unwrap_or("")),
        None => flat,
    }
}

/// A tree's text, for what the tree keeps as a place only.
struct Dump<'a> {
    text: &'a str,
}

impl Dump<'_> {
    fn line(&self, line: &Line) -> String {
        let kind = self.line_kind(&line.kind);
        match &line.doc {
            Some(doc) => format!("[{}] {kind}", self.doc(doc)),
            None => kind,
        }
    }

    fn doc(&self, doc: &Doc) -> String {
        let examples =
            doc.examples.iter().map(|e| format!("try {} is {}", self.expr(&e.tried), self.expr(&e.expected)));
        let sources = doc.sources.iter().map(|s| format!("source {s}"));
        let words = Some(doc.words.trim_end().replace('\n', "/")).filter(|w| !w.is_empty());
        words.into_iter().chain(examples).chain(sources).collect::<Vec<_>>().join("; ")
    }

    fn line_kind(&self, kind: &LineKind) -> String {
        match kind {
            LineKind::Words(Words { what, text }) => {
                format!("{} {}", format!("{what:?}").to_lowercase(), self.words(text))
            }
            LineKind::Given(given) => self.given(given),
            LineKind::Name(Name { name, value }) => format!("{} = {}", name.name, self.expr(value)),
            LineKind::Rule(rule) => self.rule(rule),
            LineKind::Cut(cut) => format!(
                "cut {} {} from {}: {}{}",
                self.expr(&cut.count),
                self.words(&cut.label),
                self.expr(&cut.cloth),
                self.expr(&cut.size),
                cut.ways.iter().map(|(way, _)| format!(", {}", way.words())).collect::<String>()
            ),
            LineKind::Have(have) => {
                let price = have.price.as_ref().map_or(String::new(), |p| format!(" at {}", self.expr(p)));
                let (count, cloth) = (self.expr(&have.count), self.expr(&have.cloth));
                format!("have {count} of {cloth}: {}{price}", self.expr(&have.size))
            }
            LineKind::Plan(plan) => {
                let ways = plan.ways.iter().map(|(way, _)| match way {
                    PlanWay::Kits(kits) => format!(", for {} kits", self.expr(kits)),
                    PlanWay::On(length) => format!(", on {}", self.expr(length)),
                    PlanWay::More(label) => format!(", more {}", self.words(label)),
                    way => format!(", {}", way.words()),
                });
                format!("plan {}{}", self.expr(&plan.cloth), ways.collect::<String>())
            }
            LineKind::Tool(tool) => format!("tool {tool:?}").to_lowercase(),
            LineKind::Buy(buy) => {
                let pack =
                    buy.pack.as_ref().map_or(String::new(), |p| format!(" in packs of {}", self.expr(p)));
                let price = buy.price.as_ref().map_or(String::new(), |p| format!(" at {}", self.expr(p)));
                format!("buy {} {}{pack}{price}", self.expr(&buy.quantity), self.words(&buy.label))
            }
            LineKind::Show(Show { label, value }) => match label {
                Some(label) => format!("show {}: {}", self.words(label), self.expr(value)),
                None => format!("show {}", self.expr(value)),
            },
            LineKind::Draw(Draw { label, value }) => match label {
                Some(label) => format!("draw {}: {}", self.words(label), self.expr(value)),
                None => format!("draw {}", self.expr(value)),
            },
            LineKind::Check(Check { condition, message }) => match message {
                Some(words) => format!("check {}: {}", self.expr(condition), self.words(words)),
                None => format!("check {}", self.expr(condition)),
            },
            LineKind::Set(Set { setting, value }) => {
                format!("{} {}", format!("{setting:?}").to_lowercase(), self.expr(value))
            }
            LineKind::Sizes(Sizes { rows, .. }) => {
                let rows = rows.iter().map(|row| format!("{:?} {}", row.label, self.named(&row.values)));
                format!("sizes {}", rows.collect::<Vec<_>>().join("; "))
            }
            LineKind::Measured(measured) => {
                let cut = measured.cut.iter().map(|label| format!(" already-cut {}", self.words(label)));
                let cut = cut.collect::<String>();
                format!("measured {} = {}{cut}", measured.name.name, self.expr(&measured.value))
            }
            LineKind::Use(Use { path, .. }) => format!("use {path:?}"),
            LineKind::Work(work) => self.expr(&work.value),
            LineKind::Why(why) => {
                let asked =
                    why.asked.as_ref().map_or(String::new(), |asked| format!(" {}", self.expr(asked)));
                format!("why{asked}{}", if why.briefly { " briefly" } else { "" })
            }
            LineKind::Find(find) => {
                let end = find.end.map_or(String::new(), |end| format!("{end:?} ").to_lowercase());
                let on = find.on.as_ref().map_or(String::new(), |on| format!(" on {}", self.expr(on)));
                format!(
                    "find {end}{} from {} to {}{on} so that {}",
                    find.name.name,
                    self.expr(&find.low),
                    self.expr(&find.high),
                    self.expr(&find.condition)
                )
            }
        }
    }

    fn given(&self, given: &Given) -> String {
        let bounds = match &given.bounds {
            Bounds::Any => String::new(),
            Bounds::FromTo(low, high) => format!(" from {} to {}", self.expr(low), self.expr(high)),
            Bounds::OneOf(choices) => format!(" one of {}", self.all(choices, ", ")),
        };
        format!("given {} = {}{bounds}", given.name.name, self.expr(&given.default))
    }

    fn rule(&self, rule: &Rule) -> String {
        let params = rule.params.iter().map(|p| {
            let kind = p.kind.as_ref().map_or(String::new(), |k| format!(": {}", k.name));
            let default = p.default.as_ref().map_or(String::new(), |d| format!(" = {}", self.expr(d)));
            format!("{}{kind}{default}", p.name.name)
        });
        let params = params.collect::<Vec<_>>().join(", ");
        let gives = rule.gives.as_ref().map_or(String::new(), |g| format!(": {}", g.name));
        let drawn = rule.drawn.as_ref().map_or(String::new(), |by| format!(" drawn {}", by.name));
        format!("rule {}({params}){gives}{drawn} = {}", rule.name.name, self.expr(&rule.body))
    }

    fn named(&self, values: &[(Ident, Expr)]) -> String {
        let one = |(name, value): &(Ident, Expr)| format!("{} = {}", name.name, self.expr(value));
        values.iter().map(one).collect::<Vec<_>>().join(", ")
    }

    fn all(&self, items: &[Expr], between: &str) -> String {
        items.iter().map(|item| self.expr(item)).collect::<Vec<_>>().join(between)
    }

    fn words(&self, text: &Text) -> String {
        let parts = text.parts.iter().map(|part| match part {
            TextPart::Plain(words) => words.clone(),
            TextPart::Filled(value) => format!("⟨{}⟩", self.expr(value)),
        });
        format!("'{}'", parts.collect::<String>())
    }

    fn expr(&self, expr: &Expr) -> String {
        match &expr.kind {
            ExprKind::Measure(quantity) => quantity.exact_text(),
            ExprKind::WithUnit(inner, _) => {
                let behind = self.text.get(inner.span.end as usize..expr.span.end as usize).unwrap_or("?");
                format!("(unit {} {})", self.expr(inner), behind.trim_start_matches([' ', ')']))
            }
            ExprKind::Text(text) => self.words(text),
            ExprKind::YesNo(yes) => if *yes { "yes" } else { "no" }.to_owned(),
            ExprKind::Name(name) => name.to_string(),
            ExprKind::That => "that".to_owned(),
            ExprKind::Bracket(inner) => format!("({})", self.expr(inner)),
            ExprKind::List(items) => format!("[{}]", self.all(items, ", ")),
            ExprKind::Record(parts) => format!("{{{}}}", self.named(parts).replace(" = ", ": ")),
            ExprKind::Block(block) => {
                format!("{{{}; {}}}", self.named(&block.names), self.expr(&block.value))
            }
            ExprKind::Unary(UnaryOp::Minus, inner) => format!("(neg {})", self.expr(inner)),
            ExprKind::Unary(UnaryOp::Not, inner) => format!("(not {})", self.expr(inner)),
            ExprKind::Binary(parts) => self.operator(parts.op.words(), &parts.left, &parts.right),
            ExprKind::Compare(first, rest) => {
                let links =
                    rest.iter().map(|link| format!(" {} {}", comparison(link.op), self.expr(&link.operand)));
                format!("(cmp {}{})", self.expr(first), links.collect::<String>())
            }
            ExprKind::Size(sides) => self.operator("by", &sides.0, &sides.1),
            ExprKind::Round { way, operands } => self.operator(rounding(*way), &operands.0, &operands.1),
            ExprKind::ShownIn(inner, shown) => match &**shown {
                Shown::Unit(_, span) => {
                    format!("(shown {} {})", self.expr(inner), self.text.get(span.range()).unwrap_or("?"))
                }
                Shown::Step(step) => format!("(shown {} step {})", self.expr(inner), self.expr(step)),
            },
            ExprKind::Call(call) => self.call(call),
            ExprKind::Part(inner, part) => format!("{}.{}", self.expr(inner), part.name),
            ExprKind::Index(parts) => format!("{}[{}]", self.expr(&parts.0), self.expr(&parts.1)),
            ExprKind::If(parts) => {
                format!("(if {} {} {})", self.expr(&parts.0), self.expr(&parts.1), self.expr(&parts.2))
            }
            ExprKind::Each(each) => {
                format!("(each {} in {}: {})", each.name.name, self.expr(&each.source), self.expr(&each.body))
            }
            ExprKind::Range(range) => {
                let every =
                    range.every.as_ref().map_or(String::new(), |s| format!(" every {}", self.expr(s)));
                format!("({} to {}{every})", self.expr(&range.from), self.expr(&range.to))
            }
            ExprKind::Slack(parts) => self.operator("±", &parts.0, &parts.1),
            ExprKind::Separate(separate) => {
                let words = format!("separate {:?}", separate.noun);
                self.operator(&words, &separate.count, &separate.each)
            }
            ExprKind::HowMany(parts) => self.operator("how-many", &parts.0, &parts.1),
        }
    }

    fn operator(&self, sign: &str, left: &Expr, right: &Expr) -> String {
        format!("({sign} {} {})", self.expr(left), self.expr(right))
    }

    fn call(&self, call: &Call) -> String {
        let args = call.args.iter().map(|arg| match &arg.name {
            Some(name) => format!("{}: {}", name.name, self.expr(&arg.value)),
            None => self.expr(&arg.value),
        });
        format!("{}({})", call.rule.name, args.collect::<Vec<_>>().join(", "))
    }
}

fn comparison(op: CompareOp) -> &'static str {
    match op {
        CompareOp::Is => "is",
        CompareOp::IsNot => "is-not",
        CompareOp::Less => "<",
        CompareOp::AtMost => "<=",
        CompareOp::More => ">",
        CompareOp::AtLeast => ">=",
    }
}

fn rounding(way: Way) -> &'static str {
    match way {
        Way::Nearest => "nearest",
        Way::Up => "up",
        Way::Down => "down",
    }
}
