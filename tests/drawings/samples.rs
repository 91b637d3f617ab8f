//! Dockets with random cutting plans, and pictures with something of everything.

use proptest::prelude::*;
use scant::docket::{
    ClothPlan, Direction, Docket, Figure, FigureValue, Fill, Hand, Line, Part as Drawn, Picture, Piece,
};
use scant::layout::{Kind, Lay, Part, Placed, Plan, Rect, Share, Spread};
use scant::measure::{Exact, Manner, Number, Reading, literal};
use scant::shape::{Edge, Finish, Outline, Point};

pub fn figure(text: &str) -> Figure {
    Figure { value: FigureValue::Measure(literal(text).unwrap()), manner: Manner::default() }
}

/// Eighths of an inch.
fn eighths(n: i128) -> Figure {
    figure(&format!("{}/8 in", n.max(1)))
}

/// Names as people give them, and as strangers do.
const NAMES: [&str; 8] = [
    "napkin",
    "top and bottom border",
    "sash",
    "pocket & <b>flap</b> \"x\"",
    "גלימה ימין",
    "e\u{301}charpe a\u{308}o\u{308}u\u{308}",
    "漢字 banner",
    "A very long name that no piece of cloth has room for, whatever is done with it",
];

/// A random cut into parts, of a rectangle so large.
fn part(depth: u32) -> BoxedStrategy<Cutting> {
    let leaf = prop_oneof![4 => (0..8_usize, any::<bool>()).prop_map(|(piece, turned)| Cutting::Piece(piece, turned)), 1 => Just(Cutting::Left)];
    if depth == 0 {
        return leaf.boxed();
    }
    let inner = (any::<bool>(), prop::collection::vec((1..6_u64, 1..20_u32, part(depth - 1)), 1..4))
        .prop_map(|(across, shares)| Cutting::Cut(across, shares));
    prop_oneof![1 => leaf, 3 => inner].boxed()
}

#[derive(Clone, Debug)]
pub enum Cutting {
    Piece(usize, bool),
    Left,
    /// How many, how large as a share, what each becomes.
    Cut(bool, Vec<(u64, u32, Cutting)>),
}

/// A cutting of a rectangle; the rest is left.
fn cut(cutting: &Cutting, across: i128, along: i128) -> Part {
    match cutting {
        Cutting::Piece(piece, turned) => Part::Piece { piece: *piece, turned: *turned },
        Cutting::Left => Part::Left,
        Cutting::Cut(way, shares) => {
            let mut room = if *way { along } else { across };
            let total: i128 =
                shares.iter().map(|(times, size, _)| i128::from(*times) * i128::from(*size)).sum();
            let all = room;
            let mut out = Vec::new();
            for (times, size, inner) in shares {
                let size = (all * i128::from(*size) / total.max(1)).max(1);
                let times = i128::from(*times).min(room / size);
                if times == 0 {
                    continue;
                }
                room -= times * size;
                let (x, y) = if *way { (across, size) } else { (size, along) };
                out.push(Share { times: times as u64, size, part: cut(inner, x, y) });
            }
            if room > 0 {
                out.push(Share { times: 1, size: room, part: Part::Left });
            }
            if *way { Part::Across(out) } else { Part::Along(out) }
        }
    }
}

/// Pieces that lie free in rows.
fn free(sizes: &[(i128, i128, usize)], across: i128) -> (Lay, i128) {
    let (mut x, mut y, mut high) = (0, 0, 0);
    let mut pieces = Vec::new();
    for (wide, long, piece) in sizes {
        let wide = (*wide).min(across);
        if x + wide > across {
            (x, y, high) = (0, y + high, 0);
        }
        pieces.push(Placed { piece: *piece, turned: false, at: Rect { x, y, across: wide, along: *long } });
        x += wide;
        high = high.max(*long);
    }
    (Lay::Free { pieces, left: Vec::new() }, y + high)
}

pub fn pieces() -> Vec<Piece> {
    let piece = |(at, label): (usize, &&str)| Piece {
        label: (*label).into(),
        alone: None,
        count: 3,
        across: eighths(17 + at as i128),
        along: eighths(40 + at as i128),
        direction: Direction::AnyWay,
        mirrored: false,
        spare: 0,
        line: 1,
        outlines: Vec::new(),
    };
    NAMES.iter().enumerate().map(piece).collect()
}

pub fn cloth(name: &str, spreads: Vec<Spread>, folded: bool, directional: bool) -> ClothPlan {
    let usable = spreads.first().map_or(1, |spread| spread.across);
    let along = spreads.first().map_or(1, |spread| spread.along);
    let hand =
        Hand { count: 1, across: eighths(usable), along: eighths(along), used: 1, paid: false, line: 1 };
    ClothPlan {
        cloth: name.into(),
        usable: eighths(usable),
        pieces: pieces(),
        hands: vec![hand],
        strips: Vec::new(),
        plan: Plan { kind: Kind::EdgeToEdge, spreads, length: along, cost: 0, bound: 0, proved: false },
        unit: figure("1/8 in"),
        folded,
        length: eighths(along),
        buy: figure("2 yd"),
        step: None,
        price: None,
        cost: None,
        in_hand_costs_more: None,
        planned: None,
        washed: false,
        directional,
        line: 1,
    }
}

/// A docket with one or two cloths laid out at random.
pub fn docket() -> impl Strategy<Value = Docket> {
    let sizes = prop::collection::vec((4..200_i128, 4..300_i128, 0..8_usize), 1..40);
    let lay = prop_oneof![
        3 => (part(4), 40..900_i128, 20..4000_i128).prop_map(|(cutting, across, along)| {
            Spread { sheet: None, count: 1, across, along, lay: Lay::Cut(cut(&cutting, across, along)) }
        }),
        1 => (sizes, 40..500_i128).prop_map(|(sizes, across)| {
            let (lay, along) = free(&sizes, across);
            Spread { sheet: None, count: 1, across, along, lay }
        }),
    ];
    let cloth =
        (lay, any::<(bool, bool, bool)>(), 0..NAMES.len()).prop_map(|(spread, (hand, folded, nap), name)| {
            let sheet = hand.then_some(0);
            cloth(NAMES.get(name).unwrap(), vec![Spread { sheet, ..spread }], folded, nap)
        });
    (prop::collection::vec(cloth, 1..3), 0..3_usize).prop_map(|(cloths, cautions)| Docket {
        recipe: Some("Signal throw <&>".into()),
        cloths,
        cautions: vec!["Close the rotary cutter each time you put it down.".into(); cautions],
        ..Docket::default()
    })
}

/// A place in mm.
pub fn point(across: i64, along: i64) -> Point {
    let at = |mm: i64| Number::Exact(Exact::wide(i128::from(mm) * 5));
    Point { across: at(across), along: at(along) }
}

pub fn polygon(places: &[(i64, i64)]) -> Outline {
    let edge = |(x, y): &(i64, i64)| Edge { finish: Finish::Seamed, ..Edge::straight(point(*x, *y)) };
    Outline {
        edges: places.iter().map(edge).collect(),
        holes: Vec::new(),
        notches: Vec::new(),
        folds: Vec::new(),
        grain: None,
        reading: Reading::Plain,
    }
}

/// Half a circle on its straight edge, which direction on the fold.
pub fn half_circle(radius: i64) -> Outline {
    let base = |n: i64| Number::whole(n * 5);
    let half = scant::shape::sector(&base(radius), &base(0), &Number::whole(180), Reading::Plain).unwrap();
    let mut outline = half.turned(&Number::whole(180)).unwrap().to_origin().unwrap();
    for at in 1..3 {
        outline.finish(at, Finish::Fold, &Number::whole(0));
    }
    outline
}

/// A panel with tucks and buttons, its measures and its marks.
pub fn panel() -> Picture {
    let fold = |x: i64| Drawn::Straight { ends: (point(x, 0), point(x, 600)), line: Line::Fold, label: None };
    let shape = |at: Point, outline: Outline, label: Option<&str>, line, fill| Drawn::Shape {
        at,
        outline: Box::new(outline),
        label: label.map(Into::into),
        line,
        fill,
    };
    let marks = [60, 66, 120, 126, 180, 186, 300];
    let mut parts = vec![
        shape(
            point(0, 0),
            polygon(&[(0, 0), (400, 0), (400, 600), (0, 600)]),
            Some("tucked panel"),
            Line::Cut,
            Fill::White,
        ),
        shape(
            point(15, 15),
            polygon(&[(0, 0), (370, 0), (370, 570), (0, 570)]),
            None,
            Line::Seam,
            Fill::None,
        ),
        shape(point(150, 350), half_circle(60), Some("pocket"), Line::Cut, Fill::Dotted),
        shape(
            point(320, 430),
            polygon(&[(0, 0), (60, 0), (30, 90)]),
            Some("pennant"),
            Line::Cut,
            Fill::Hatched,
        ),
    ];
    parts.extend(marks.map(fold));
    parts.push(Drawn::Scale {
        from: point(0, 0),
        down: false,
        at: (1..)
            .zip(marks)
            .map(|(n, mm)| (figure(&format!("{mm} mm")), Some(format!("fold {n}").into())))
            .collect(),
    });
    parts.push(Drawn::Scale {
        from: point(0, 0),
        down: true,
        at: [100, 200, 300, 400].map(|mm| (figure(&format!("{mm} mm")), None)).to_vec(),
    });
    for (ends, reads) in [
        ((point(0, 600), point(400, 600)), "400 mm"),
        ((point(15, 600), point(385, 600)), "370 mm"),
        ((point(0, 600), point(15, 600)), "15 mm"),
        ((point(385, 600), point(400, 600)), "15 mm"),
        ((point(400, 0), point(400, 600)), "600 mm"),
        ((point(320, 430), point(350, 520)), "95 mm"),
    ] {
        parts.push(Drawn::Distance { ends, reads: figure(reads) });
    }
    for y in [100, 200, 300, 400] {
        parts.push(Drawn::Spot { at: point(360, y), label: Some("button".into()) });
    }
    parts.push(Drawn::Words { at: point(250, 250), words: "right side".into() });
    parts.push(Drawn::Grain { ends: (point(240, 60), point(240, 200)) });
    Picture { title: "Tucks & buttons of the <panel>".into(), parts, line: 3 }
}

/// A picture of parts at random.
pub fn pictures() -> impl Strategy<Value = Picture> {
    let place = || (-500..1500_i64, -300..900_i64);
    let at = |(x, y): (i64, i64)| point(x, y);
    let label = || prop::option::of((0..NAMES.len()).prop_map(|name| NAMES[name].into()));
    let line = prop_oneof![
        Just(Line::Cut),
        Just(Line::Seam),
        Just(Line::Fold),
        Just(Line::Mark),
        Just(Line::Hidden)
    ];
    let fill = prop_oneof![Just(Fill::None), Just(Fill::White), Just(Fill::Hatched), Just(Fill::Dotted)];
    let outline = prop_oneof![
        (1..400_i64).prop_map(half_circle),
        (1..600_i64, 1..600_i64).prop_map(|(x, y)| polygon(&[(0, 0), (x, 0), (x, y), (0, y)])),
        (1..600_i64, 1..600_i64).prop_map(|(x, y)| polygon(&[(0, 0), (x, 0), (x / 2, y)])),
    ];
    let size = |n: i64| figure(&format!("{} mm", n.abs().max(1)));
    let part = prop_oneof![
        (place(), outline, label(), line.clone(), fill).prop_map(
            move |(place, outline, label, line, fill)| {
                Drawn::Shape { at: at(place), outline: Box::new(outline), label, line, fill }
            }
        ),
        (place(), place(), line, label()).prop_map(move |(from, to, line, label)| Drawn::Straight {
            ends: (at(from), at(to)),
            line,
            label
        }),
        (place(), label()).prop_map(move |(place, label)| Drawn::Spot { at: at(place), label }),
        (place(), place(), 0..3_u32).prop_map(move |(from, to, way)| {
            // Level, upright or slanted.
            let to = match way {
                0 => (to.0, from.1),
                1 => (from.0, to.1),
                _ => to,
            };
            let far = (((to.0 - from.0).pow(2) + (to.1 - from.1).pow(2)) as f64).sqrt() as i64;
            Drawn::Distance { ends: (at(from), at(to)), reads: size(far) }
        }),
        (place(), any::<bool>(), prop::collection::vec((0..900_i64, label()), 0..30)).prop_map(
            move |(from, down, marks)| Drawn::Scale {
                from: at(from),
                down,
                at: marks.into_iter().map(|(far, label)| (size(far), label)).collect(),
            }
        ),
        (place(), 0..NAMES.len())
            .prop_map(move |(place, name)| Drawn::Words { at: at(place), words: NAMES[name].into() }),
        (place(), place()).prop_map(move |(from, to)| Drawn::Grain { ends: (at(from), at(to)) }),
    ];
    prop::collection::vec(part, 0..25).prop_map(|parts| Picture { title: "At random".into(), parts, line: 1 })
}
