//! The mats of `sixty.scant`, written by hand for these givens and this page.

use std::fmt::Write;

use super::length::{Length, Unit};
use super::ratio::Ratio;

struct Given {
    across: Length,
    along: Length,
    mats: i64,
    depth: Length,
    margin: Length,
    tucks: i64,
    binding: Length,
}

struct Cloth {
    usable: Length,
    kept: Ratio,
    cents: i64,
}

struct Binding {
    strips: i64,
    needed: Length,
    made: Length,
}

struct Mats {
    given: Given,
    cloth: Cloth,
    flat: Length,
    apart: Length,
    strip: Length,
    binding: Binding,
    folds: Vec<Length>,
    plain: Length,
    strips: i64,
}

struct Plan {
    turned: bool,
    rows: i64,
    each: i64,
    rest: i64,
    high: Length,
    length: Length,
}

/// The whole page.
pub fn page() -> String {
    let inch = |n, d| Length::inches(std::hint::black_box(n), d);
    let given = Given {
        across: inch(18, 1),
        along: inch(13, 1),
        mats: std::hint::black_box(8),
        depth: inch(1, 8),
        margin: inch(3, 2),
        tucks: std::hint::black_box(3),
        binding: inch(3, 8),
    };
    let mats = work(given);
    let mut out = String::new();
    let _ = write(&mats, &mut out);
    out
}

fn work(given: Given) -> Mats {
    let kept = Ratio::new(96, 100);
    let cloth =
        Cloth { usable: (Length::inches(54, 1) - Length::inches(1, 2) * 2) * kept, kept, cents: 1680 };
    let strip = given.binding * 6;
    let flat = given.across + given.depth * (2 * 2 * given.tucks);
    let apart = (given.depth * 3).nearest(1, 16, Unit::Inch);
    let spacing = apart + given.depth * 2;
    let first = given.margin + given.depth;
    let binding = binding((given.across + given.along) * 2, strip, cloth.usable);
    let taken = given.margin + apart * (given.tucks - 1);
    Mats {
        flat,
        apart,
        strip,
        folds: (1..=given.tucks).map(|k| first + spacing * (k - 1)).collect(),
        plain: given.across - taken * 2,
        strips: given.mats * binding.strips,
        binding,
        given,
        cloth,
    }
}

fn binding(run: Length, cut: Length, usable: Length) -> Binding {
    let needed = run + Length::inches(12, 1);
    let strips = ((needed - cut).value / (usable - cut).value).ceil();
    Binding { strips, needed, made: usable * strips - cut * (strips - 1) }
}

/// Mats upright or turned, whichever takes less; the strips lie across the cloth.
fn plan(mats: &Mats) -> Plan {
    let lay = |across: Length, high: Length, turned| {
        let each = across.held_by(mats.cloth.usable);
        let (rows, rest) = (mats.given.mats / each, mats.given.mats % each);
        let length = high * (rows + i64::from(rest > 0)) + mats.strip * mats.strips;
        Plan { turned, rows, each, rest, high, length }
    };
    let upright = lay(mats.flat, mats.given.along, false);
    let turned = lay(mats.given.along, mats.flat, true);
    if turned.length.value < upright.length.value { turned } else { upright }
}

fn shown(length: Length) -> String {
    let mut out = String::new();
    length.push(&mut out);
    out
}

fn money(cents: i64) -> String {
    format!("{}.{:02} USD", cents / 100, cents % 100)
}

fn write(mats: &Mats, out: &mut String) -> std::fmt::Result {
    writeln!(out, "Long table mats\n===============")?;
    writeln!(out, "Linen mats with tucks at both ends and a bound edge.\n")?;
    writeln!(out, "!! CAUTION: A hot iron burns: stand it on its heel when you let go of it, keep")?;
    writeln!(out, "            its cord out of the way, switch it off when you leave, and keep")?;
    writeln!(out, "            children away from it.")?;
    writeln!(out, "!! CAUTION: Close the rotary cutter each time you put it down.\n")?;
    write_givens(&mats.given, out)?;
    write_worked(mats, out)?;
    let plan = plan(mats);
    write_cut(mats, &plan, out)?;
    write_buy(mats, &plan, out)?;
    write_steps(mats, out)?;
    let checks = [
        mats.flat.value <= mats.cloth.usable.value,
        mats.plain.value > Length::inches(4, 1).value,
        mats.binding.strips > 0,
    ];
    match checks.iter().filter(|holds| **holds).count() {
        3 => writeln!(out, "CHECKS ok: all 3 are right."),
        some => writeln!(out, "CHECKS NOT ok: {some} of 3 are right; see the top."),
    }
}

fn write_givens(given: &Given, out: &mut String) -> std::fmt::Result {
    let size = format!("{} by {}", shown(given.across), shown(given.along));
    let rows = [
        ("finished", size, "finished size of a mat"),
        ("mats", given.mats.to_string(), "how many mats"),
        ("depth", shown(given.depth), "depth of one tuck"),
        ("margin", shown(given.margin), "from the edge to the first tuck"),
        ("tucks", given.tucks.to_string(), "tucks at each end"),
        ("binding", shown(given.binding), "what shows of the binding"),
    ];
    let wide = rows.iter().map(|(_, value, _)| value.len()).max().unwrap_or(0);
    writeln!(out, "GIVEN")?;
    rows.iter().try_for_each(|(name, value, words)| writeln!(out, "  {name:<8}  {value:<wide$}  {words}"))?;
    writeln!(out)
}

fn write_worked(mats: &Mats, out: &mut String) -> std::fmt::Result {
    let folds: Vec<String> = mats.folds.iter().map(|fold| shown(*fold)).collect();
    writeln!(out, "WORKED OUT")?;
    writeln!(out, "  flat mat       {} by {}", shown(mats.flat), shown(mats.given.along))?;
    writeln!(out, "  fold lines     {}", folds.join(", "))?;
    writeln!(out, "  plain middle   {}", shown(mats.plain))?;
    writeln!(out, "  pairs          {}", Ratio::new(mats.given.mats, 2).ceil())?;
    writeln!(out, "  binding, each  {}", shown(mats.binding.needed))?;
    writeln!(out, "  binding made   {}", shown(mats.binding.made))?;
    writeln!(out, "  joins          {}", mats.binding.strips - 1)?;
    writeln!(out, "  strips in all  {}\n", mats.strips)
}

fn write_cut(mats: &Mats, plan: &Plan, out: &mut String) -> std::fmt::Result {
    let usable = shown(mats.cloth.usable);
    let strip = shown(mats.strip);
    let counts = [mats.given.mats.to_string(), mats.strips.to_string()];
    let digits = counts.iter().map(String::len).max().unwrap_or(0);
    let [mat_count, strip_count] = &counts;
    writeln!(out, "CUT (across the cloth by along it)\n  From linen, {usable} usable width:")?;
    let size = format!("{} by {}", shown(mats.flat), shown(mats.given.along));
    writeln!(out, "    [ ] {mat_count:>digits$}  mat            {size}")?;
    writeln!(out, "    [ ] {strip_count:>digits$}  binding strip  {usable} by {strip}")?;
    writeln!(out, "  Straight across the cloth, in this order:")?;
    let turned = if plan.turned { " (turned)" } else { "" };
    let mut number = 1;
    for (rows, each) in [(plan.rows, plan.each), (i64::from(plan.rest > 0), plan.rest)] {
        if rows > 0 {
            let (s, from) = if rows == 1 { ("", "it") } else { ("s", "each") };
            let high = shown(plan.high);
            writeln!(out, "    {number}. cut {rows} strip{s} {high} wide; from {from}: {each} mat{turned}")?;
            number += 1;
        }
    }
    writeln!(out, "    {number}. cut {strip_count} strips {strip} wide; from each: 1 binding strip")?;
    writeln!(out, "  In all {} of cloth, after washing.\n", shown(plan.length))
}

fn write_buy(mats: &Mats, plan: &Plan, out: &mut String) -> std::fmt::Result {
    let before = Length { value: plan.length.value / mats.cloth.kept, unit: Unit::Inch };
    let bought = before.up(1, 8, Unit::Yard);
    let yards = bought.value / Ratio::whole(Unit::Yard.factor());
    let cents = (yards * Ratio::whole(mats.cloth.cents)).round();
    let thread = 2 * 420;
    let lines = [
        ("linen", shown(bought), money(mats.cloth.cents) + "/yd", cents),
        ("spool of linen thread", "2".to_owned(), money(420), thread),
    ];
    let wide = lines.iter().map(|(_, amount, ..)| amount.len()).max().unwrap_or(0);
    let total = money(cents + thread);
    let costs = lines.iter().map(|line| money(line.3).len()).max().unwrap_or(0).max(total.len());
    let room = 80 - costs - 2;
    writeln!(out, "BUY")?;
    for (at, (label, amount, price, cents)) in lines.iter().enumerate() {
        let left = format!("  {label:<21}  {amount:<wide$}  at {price}");
        writeln!(out, "{left:<room$}  {:>costs$}", money(*cents))?;
        if at == 0 {
            writeln!(out, "{:25}for {}, sold by 1/8 yd", "", shown(plan.length))?;
        }
    }
    writeln!(out, "{:>room$}  {total:>costs$}\n", "total")
}

fn write_steps(mats: &Mats, out: &mut String) -> std::fmt::Result {
    let given = &mats.given;
    let size = format!("{} by {}", shown(mats.flat), shown(given.along));
    let (strip, binding) = (shown(mats.strip), shown(given.binding));
    let first = mats.folds.first().map_or(String::new(), |fold| shown(*fold));
    let spacing = shown(mats.apart + given.depth * 2);
    let (depth, across) = (shown(given.depth), shown(given.across));
    writeln!(out, "SEW")?;
    writeln!(out, "  1. Cut {} mats {size} and {} binding strips {strip} wide.", given.mats, mats.strips)?;
    writeln!(out, "  2. Fold {} tucks, the first at {first}, then every {spacing}.", given.tucks)?;
    writeln!(out, "  3. Stitch {depth} from each fold and press outwards: {across} across.")?;
    writeln!(out, "  4. Press each mat from the back before it is bound.")?;
    writeln!(out, "  5. Bind with a seam of {binding}, stopping {binding} from each corner.\n")
}
