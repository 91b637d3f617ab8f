//! The cut list and the cutting plans to be read.

use std::io;

use super::figure::figure_text;
use super::text::Page;
use super::wrap::{column, pad, pad_left};
use crate::docket::{
    ClothPlan, Direction, Hand, More, Nearer, OnHand, Piece, Planned, Strip, Tool, Way, kind_name, kits_words,
};
use crate::drawing::{Listed, cut_list};
use crate::layout::{Kind, Lay, Spread};
use crate::text::{clean, harmless};

impl Page<'_> {
    pub(super) fn cut_list(&mut self, cloths: &[ClothPlan]) -> io::Result<()> {
        if cloths.is_empty() {
            return Ok(());
        }
        self.heading("CUT (across the cloth by along it)")?;
        for (at, plan) in cloths.iter().enumerate() {
            if at > 0 {
                self.gap()?;
            }
            self.cloth(plan)?;
        }
        if cloths.iter().any(turns) {
            self.gap()?;
            self.hanging("  ", TURNED)?;
        }
        Ok(())
    }

    fn cloth(&mut self, plan: &ClothPlan) -> io::Result<()> {
        self.hanging("  ", &format!("{}:", from_words(plan)))?;
        self.pieces(&plan.pieces)?;
        told_first(plan).iter().try_for_each(|(indent, words)| self.hanging(indent, words))?;
        match &plan.planned {
            Some(planned) => self.planned(plan, planned),
            None if !plan.strips.is_empty() => {
                self.line("  Straight across the cloth, in this order:")?;
                let rows = cut_list::strips(plan, self.numbered);
                self.numbered = self.numbered.saturating_add(rows.len());
                self.listed(&rows)?;
                self.hanging("  ", &in_all_words(plan))
            }
            None => self.order(plan),
        }
    }

    fn pieces(&mut self, pieces: &[Piece]) -> io::Result<()> {
        let counts: Vec<String> = pieces.iter().map(|piece| piece.count.to_string()).collect();
        let digits = column(counts.iter().map(String::as_str), 20);
        let labels: Vec<String> = pieces.iter().map(|piece| clean(&piece.label)).collect();
        let longest = column(labels.iter().map(String::as_str), 28);
        for ((piece, count), label) in pieces.iter().zip(&counts).zip(&labels) {
            let size = format!(
                "{} by {}{}",
                figure_text(&piece.across),
                figure_text(&piece.along),
                manner_words(piece)
            );
            let lead = format!("    [ ] {}  {}  ", pad_left(count, digits), pad(label, longest));
            self.labelled(&lead, &size)?;
        }
        Ok(())
    }

    fn planned(&mut self, plan: &ClothPlan, planned: &Planned) -> io::Result<()> {
        let tool = match planned.tool {
            Tool::Rotary => "a rotary cutter",
            Tool::Scissors => "scissors",
        };
        if are_ways_told(plan, planned) {
            self.line(&format!("  Ways to cut it with {tool}:"))?;
            self.ways(&planned.ways)?;
        }
        asked_words(plan, planned).iter().try_for_each(|words| self.hanging("  ", words))?;
        let before = self.numbered;
        self.order(plan)?;
        self.picture(plan, before)
    }

    fn ways(&mut self, ways: &[Way]) -> io::Result<()> {
        let names = column(ways.iter().map(|way| kind_name(way.kind)), 20);
        let spent = |way: &Way| figure_text(way.cost.as_ref().unwrap_or(&way.buy));
        let buys: Vec<String> = ways.iter().map(spent).collect();
        let amounts = column(buys.iter().map(String::as_str), 24);
        for (way, buy) in ways.iter().zip(&buys) {
            let mark = if way.taken { "* " } else { "  " };
            let lead = format!("    {mark}{}  {}  ", pad(kind_name(way.kind), names), pad(buy, amounts));
            self.labelled(&lead, &way_words(way))?;
        }
        Ok(())
    }

    /// The cuts of each cloth in their order.
    fn order(&mut self, plan: &ClothPlan) -> io::Result<()> {
        for spread in &plan.plan.spreads {
            let of = match spread.sheet.and_then(|at| plan.hands.get(at)) {
                Some(hand) => {
                    let times = if spread.count == 1 {
                        String::new()
                    } else {
                        format!("each of {} cloths, ", spread.count)
                    };
                    format!("From {times}{} by {}", figure_text(&hand.across), figure_text(&hand.along))
                }
                None => {
                    let washed = if plan.washed { "the washed " } else { "" };
                    format!("From {} of {washed}{}", figure_text(&plan.length), plan.cloth)
                }
            };
            if let Lay::Free { pieces, .. } = &spread.lay {
                self.hanging("  ", &format!("{of}, laid out as drawn: {} pieces.", pieces.len()))?;
                continue;
            }
            self.hanging("  ", &format!("{of}, in this order:"))?;
            self.cuts_of(plan, spread)?;
        }
        Ok(())
    }

    /// The cuts of one cloth, their numbers running on from those before.
    fn cuts_of(&mut self, plan: &ClothPlan, spread: &Spread) -> io::Result<()> {
        let before = self.numbered;
        self.numbered = before.saturating_add(cut_list::numbered(plan, spread));
        let (rows, whole) = cut_list::listed(plan, spread, before);
        self.listed(&rows)?;
        if whole { Ok(()) } else { self.line("    and so on") }
    }

    fn listed(&mut self, rows: &[Listed]) -> io::Result<()> {
        let digits = self.numbered.to_string().len();
        for row in rows {
            let number = row.number.map_or(String::new(), |number| format!("{number}."));
            let indent = " ".repeat(row.depth.saturating_mul(2).min(self.columns / 3));
            let lead = format!("    {} {indent}", pad_left(&number, digits.saturating_add(1)));
            self.hanging(&lead, &row.words)?;
        }
        Ok(())
    }
}

/// What is said once where pieces are turned.
const TURNED: &str =
    "Some pieces are turned a quarter to save cloth. `, on grain` at the end of a `cut` line forbids it.";

/// Whether a piece is turned a quarter on this cloth.
fn turns(plan: &ClothPlan) -> bool {
    let looked_at = if plan.strips.is_empty() { plan.plan.spreads.as_slice() } else { &[] };
    plan.strips.iter().flat_map(|strip| &strip.holds).any(|held| held.turned)
        || looked_at.iter().any(|spread| spread.placed(PLACES).iter().any(|placed| placed.turned))
}

/// How many places of one cloth are looked at.
const PLACES: usize = 2000;

/// How cloth that is folded is cut.
const FOLDED: &str =
    "Fold the cloth lengthwise, selvage on selvage: each piece laid out is cut twice, once mirrored.";

/// What holds where pieces have shapes.
const SHAPED: &str = "A piece that is no rectangle is placed as the rectangle around it, and what the plan proves is true for these \
                      rectangles. The drawing shows the shapes.";

/// What is said of a cloth before its plan, each with how far it is set in.
fn told_first(plan: &ClothPlan) -> Vec<(&'static str, String)> {
    let mut told = Vec::new();
    if !plan.hands.is_empty() {
        told.push(("  ", format!("{} in hand:", plan.cloth)));
        told.extend(plan.hands.iter().map(|hand| ("    ", hand_words(hand))));
        told.extend(in_hand_costs_words(plan).map(|words| ("  ", words)));
    }
    told.extend(plan.folded.then(|| ("  ", FOLDED.to_owned())));
    let has_shapes = plan.pieces.iter().any(|piece| !piece.outlines.is_empty());
    told.extend(has_shapes.then(|| ("  ", SHAPED.to_owned())));
    told
}

/// All that the plan of a cloth says in sentences, beside its pieces and its ways to be cut.
pub(super) fn plan_words(plan: &ClothPlan) -> Vec<String> {
    let mut words: Vec<String> = told_first(plan).into_iter().map(|(_, words)| words).collect();
    match &plan.planned {
        Some(planned) => words.extend(asked_words(plan, planned)),
        None => words.push(in_all_words(plan)),
    }
    words
}

fn in_all_words(plan: &ClothPlan) -> String {
    let washed = if plan.washed { ", after washing" } else { "" };
    format!("In all {} of cloth{washed}.", figure_text(&plan.length))
}

/// `2 of 18 in by 22 in, used`
fn hand_words(hand: &Hand) -> String {
    let used = match hand.used {
        0 => "not used".into(),
        used if used == hand.count => "used".into(),
        used => format!("{used} used"),
    };
    format!("{} of {} by {}, {used}", hand.count, figure_text(&hand.across), figure_text(&hand.along))
}

fn in_hand_costs_words(plan: &ClothPlan) -> Option<String> {
    let costs = plan.in_hand_costs_more.as_ref()?;
    let what = match plan.pieces.as_slice() {
        [one] => format!("{} {}", one.count, harmless(&one.label)),
        _ => "All pieces".to_owned(),
    };
    let (in_hand, planned) = (figure_text(&costs.in_hand), figure_text(&costs.planned));
    Some(format!("{what}: from the cloth in hand {in_hand}; from the roll {planned}."))
}

/// What is cut from a strip.
pub(super) fn held_words(plan: &ClothPlan, strip: &Strip) -> String {
    let each = strip.holds.iter().map(|held| {
        let label = plan.pieces.get(held.piece).map_or("", |piece| &piece.label);
        format!("{} {label}{}", held.count, if held.turned { " (turned)" } else { "" })
    });
    each.collect::<Vec<_>>().join(", ")
}

/// The answers to what a `plan` line asked.
fn asked_words(plan: &ClothPlan, planned: &Planned) -> Vec<String> {
    let nearer = planned.nearer.as_ref().map(nearer_words);
    let on = planned.on.as_ref().map(on_words);
    nearer.into_iter().chain(on).chain(planned.more.iter().map(|more| more_words(plan, more))).collect()
}

/// `From linen, 53 in usable width, for 4 kits`
pub(super) fn from_words(plan: &ClothPlan) -> String {
    let kits = plan.planned.as_ref().map_or(1, |planned| planned.kits);
    let kits = if kits == 1 { String::new() } else { format!(", for {}", kits_words(kits)) };
    format!("From {}, {} usable width{kits}", plan.cloth, figure_text(&plan.usable))
}

/// What is to be known of how a piece is placed.
pub(super) fn manner_words(piece: &Piece) -> String {
    let mut words = match piece.direction {
        Direction::AlongSelvage => ", along the selvage".to_owned(),
        Direction::AnyWay | Direction::OnGrain => String::new(),
    };
    if piece.mirrored {
        words.push_str(&format!(", {} and {} mirrored", piece.count / 2, piece.count / 2));
    }
    if piece.spare > 0 {
        words.push_str(&format!(", and {} spare", piece.spare));
    }
    words
}

/// Whether the ways of cutting a cloth differ in anything: where cloth in hand is enough, nothing is bought in any way.
pub(super) fn are_ways_told(plan: &ClothPlan, planned: &Planned) -> bool {
    !planned.ways.is_empty() && (plan.plan.length > 0 || planned.ways.iter().any(|way| way.cost.is_some()))
}

pub(super) fn way_words(way: &Way) -> String {
    let kind = match way.kind {
        Kind::Strips => "in strips",
        Kind::EdgeToEdge => "edge to edge",
        Kind::Any => "of any kind",
    };
    let (length, bound) = (figure_text(&way.length), figure_text(&way.bound));
    let none = way.bound.is_zero();
    if way.cost.is_some() {
        let from = match way.length.is_zero() {
            true => "from the cloth in hand".to_owned(),
            false => format!("for all cloth, {} from the roll", figure_text(&way.buy)),
        };
        return match (way.proved, none) {
            (true, _) => format!("{from}; no plan {kind} costs less"),
            // That nothing costs less than nothing says nothing.
            (false, true) => from,
            (false, false) => format!("{from}; no plan {kind} costs less than {bound}"),
        };
    }
    match (way.proved, way.buys_least) {
        // That nothing at all is too short says nothing.
        (false, _) if none => format!("for {length}"),
        (true, _) => format!("for {length}; no plan {kind} is shorter"),
        (false, true) => format!("for {length}; no plan {kind} lets you buy less (none is under {bound})"),
        (false, false) => format!("for {length}; no plan {kind} is under {bound}"),
    }
}

fn nearer_words(nearer: &Nearer) -> String {
    let (shorter, buy) = (figure_text(&nearer.shorter), figure_text(&nearer.buy));
    match nearer.never {
        true => format!("{buy} is {shorter} too short for any plan."),
        false => format!("{buy} is {shorter} too short for this plan."),
    }
}

fn on_words(on: &OnHand) -> String {
    let (length, differs) = (figure_text(&on.length), figure_text(&on.differs));
    match (on.enough, on.never) {
        (true, _) => format!("{length} is enough, and {differs} is left over."),
        (false, true) => format!("{length} is {differs} too short for any plan."),
        (false, false) => format!("{length} is {differs} too short for this plan."),
    }
}

fn more_words(plan: &ClothPlan, more: &More) -> String {
    let label = harmless(&more.label);
    let bought = more.length.as_ref().filter(|length| plan.hands.is_empty() || !length.is_zero());
    let length = match (bought, plan.hands.is_empty()) {
        (Some(length), true) => figure_text(length),
        (Some(length), false) => format!("{} and the cloth in hand", figure_text(length)),
        (None, _) => "the cloth in hand".to_owned(),
    };
    match (more.count, more.most) {
        (0, true) => format!("There is no room for one more {label} on {length}."),
        (0, false) => format!("No room was found for one more {label} on {length}."),
        (1, true) => format!("1 more {label} fits on {length}, and no more."),
        (count, true) => format!("{count} more {label} fit on {length}, and no more."),
        (1, false) => format!("1 more {label} fits on {length}."),
        (count, false) => format!("{count} more {label} fit on {length}."),
    }
}
