//! Laws of the library, for recipes drawn at random: what is cut comes back to what is finished, the count is the
//! least, nothing drifts, units change nothing, more never needs less.
#![allow(clippy::unwrap_used, clippy::panic)] // what is wrong here is a test that fails

use proptest::prelude::*;
use scant::docket::FigureValue;
use scant::eval::limits::Limits;
use scant::fault;
use scant::recipe::used::NoFiles;
use scant::session::entry::Answer;
use scant::session::entry::Session;

/// Whether a claim in Scant's own words holds.
fn holds(claim: &str) -> bool {
    let mut session = Session::new(Limits::default());
    let entered = session.enter(claim, &NoFiles);
    assert!(entered.faults.is_empty(), "{}", fault::plain(&entered.faults, &session.files));
    match entered.answers.iter().rfind(|said| matches!(said, Answer::Value(_))) {
        Some(Answer::Value(figure)) => matches!(figure.value, FigureValue::YesNo(true)),
        _ => panic!("`{claim}` says nothing"),
    }
}

/// The claims hold together.
fn all(claims: &[String]) {
    for claim in claims {
        assert!(holds(claim), "does not hold: {claim}");
    }
}

/// A length in 64ths of an inch, in inches and in millimetres.
fn inches(parts: u32) -> String {
    format!("({parts} / 64) in")
}

fn metric(parts: u32) -> String {
    format!("({parts} / 64 * 254 / 10) mm")
}

fn yes(asked: bool) -> &'static str {
    if asked { "yes" } else { "no" }
}

/// Pieces in a row sewn together: each seam takes twice its depth.
fn sewn(cut: &[u32], seam: u32) -> u32 {
    cut.iter().sum::<u32>() - 2 * seam * (u32::try_from(cut.len()).unwrap() - 1)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 32, failure_persistence: None, ..ProptestConfig::default() })]

    /// A row of blocks and sashes, and the rows one below the other, come back to the finished size.
    #[test]
    fn a_sashed_grid_comes_back_to_its_finished_size(
        (columns, rows) in (1u32..9, 1u32..9),
        (across, along) in (64u32..1280, 64u32..1280),
        sashing in 32u32..320,
        seam in 8u32..48,
        outer in any::<bool>(),
        stones in any::<bool>(),
    ) {
        let grid = format!(
            "sashed_grid({columns}, rows: {rows}, block: {} by {}, sashing: {}, outer: {}, cornerstones: {}, seam: {})",
            inches(across), inches(along), inches(sashing), yes(outer), yes(stones), inches(seam)
        );
        let gaps = |things: u32| if outer { things + 1 } else { things - 1 };
        let cut = |finished: u32| finished + 2 * seam;
        let mut row = vec![cut(across); columns as usize];
        row.extend(vec![cut(sashing); gaps(columns) as usize]);
        let mut column = vec![cut(along); rows as usize];
        column.extend(vec![cut(sashing); gaps(rows) as usize]);
        let (row, column) = (sewn(&row, seam), sewn(&column, seam));
        all(&[
            format!("{grid}.row is {}", inches(row)),
            format!("{grid}.finished is {} by {}", inches(row - 2 * seam), inches(column - 2 * seam)),
            format!("{grid}.blocks is {}", columns * rows),
            format!("{grid}.short_sashes is {}", gaps(columns) * rows),
            format!("{grid}.short_sash is {} by {}", inches(cut(sashing)), inches(cut(along))),
        ]);
        let long = if stones {
            // sashes and cornerstones between two rows, sewn to one
            let mut level = vec![cut(across); columns as usize];
            level.extend(vec![cut(sashing); gaps(columns) as usize]);
            assert_eq!(sewn(&level, seam), row);
            format!("{grid}.cornerstones is {}", gaps(columns) * gaps(rows))
        } else {
            format!("{grid}.long_sash.along is {}", inches(row))
        };
        all(&[long]);
    }

    /// Borders sewn on at the sides, then at the ends, make the finished size.
    #[test]
    fn a_border_comes_back_to_its_finished_size(
        (across, along) in (320u32..5120, 320u32..5120),
        border in 32u32..640,
        seam in 8u32..48,
    ) {
        let frame = format!(
            "butted_border({} by {}, border: {}, seam: {})",
            inches(across), inches(along), inches(border), inches(seam)
        );
        let cut = |finished: u32| finished + 2 * seam;
        let wide = sewn(&[cut(border), cut(across), cut(border)], seam);
        let high = sewn(&[cut(border), cut(along), cut(border)], seam);
        all(&[
            format!("{frame}.side is {} by {}", inches(cut(border)), inches(cut(along))),
            format!("{frame}.end is {} by {}", inches(cut(border)), inches(wide)),
            format!("{frame}.finished is {} by {}", inches(wide - 2 * seam), inches(high - 2 * seam)),
        ]);
    }

    /// Each strip of a round is as long as the raw side it is sewn to.
    #[test]
    fn rounds_fit_the_side_they_are_sewn_to(
        centre in 32u32..640, strip in 16u32..320, rounds in 1u32..7, seam in 8u32..32,
    ) {
        let call = format!(
            "strip_rounds({}, strip: {}, rounds: {rounds}, seam: {})", inches(centre), inches(strip), inches(seam)
        );
        let cut = strip + 2 * seam;
        let (mut across, mut along) = (centre + 2 * seam, centre + 2 * seam);
        let mut claims = Vec::new();
        for round in 1..=rounds {
            for part in ["first", "third"].into_iter().zip(["second", "fourth"]) {
                claims.push(format!("{call}[{round}].{} is {}", part.0, inches(along)));
                across = sewn(&[across, cut], seam);
                claims.push(format!("{call}[{round}].{} is {}", part.1, inches(across)));
                along = sewn(&[along, cut], seam);
            }
            claims.push(format!("{call}[{round}].side is {}", inches(across - 2 * seam)));
        }
        all(&claims);
    }

    /// A strip set gives segments of the right height, and all sets together the squares of the board.
    #[test]
    fn a_checkerboard_has_its_squares(columns in 1u32..12, rows in 1u32..30, square in 32u32..256, seam in 8u32..24) {
        let cut = square + 2 * seam;
        let usable = 42 * 64;
        let call = format!(
            "checkerboard({columns}, rows: {rows}, square: {}, usable: 42 in, seam: {})", inches(square), inches(seam)
        );
        let each = usable / cut;
        // one kind of set and a square taken off, or a second kind: whichever takes fewer strips
        let wide = columns + columns % 2;
        let one_kind = rows.div_ceil(each) * wide;
        let two_kinds = (rows.div_ceil(2).div_ceil(each), (rows / 2).div_ceil(each));
        let strips = match columns % 2 {
            0 => one_kind,
            _ => one_kind.min((two_kinds.0 + two_kinds.1) * columns),
        };
        let first = match strips == (two_kinds.0 + two_kinds.1) * columns && columns % 2 == 1 {
            true => two_kinds.0 * columns.div_ceil(2) + two_kinds.1 * (columns / 2),
            false => one_kind / 2,
        };
        assert_eq!(sewn(&vec![cut; columns as usize], seam), columns * square + 2 * seam);
        all(&[
            format!("{call}.first + {call}.second is {strips}"),
            format!("{call}.first is {first}"),
        ]);
    }

    /// One strip fewer falls short; the joined length is what a simulation of the joins makes.
    #[test]
    fn strips_to_join_is_the_least(
        needed in 1u32..64_000, strip in 640u32..4000, loss in 0u32..600, ring in any::<bool>(),
    ) {
        // worked by laying strip to strip
        let mut count = 1;
        let mut made = if ring { strip - loss } else { strip };
        while made < needed {
            made += strip - loss;
            count += 1;
        }
        let joined = format!("strip: {}, loss: {}, ring: {}", inches(strip), inches(loss), yes(ring));
        all(&[
            format!("strips_to_join({}, {joined}) is {count}", inches(needed)),
            format!("joined_length({count}, {joined}) is {}", inches(made)),
        ]);
    }

    /// Pieces from strips: one strip fewer gives too few.
    #[test]
    fn strips_needed_is_the_least(pieces in 1u32..400, piece in 16u32..640, strip in 640u32..4000) {
        let mut strips = 0;
        let mut given = 0;
        while given < pieces {
            let mut left = strip;
            while left >= piece {
                left -= piece;
                given += 1;
            }
            strips += 1;
        }
        all(&[format!("strips_needed({pieces}, piece: {}, strip: {}) is {strips}", inches(piece), inches(strip))]);
    }

    /// What is cut, less its seams, hems, tucks and turns, is what was asked for: frames, bands, tucks, tiers, bags,
    /// pouches, borders, panels.
    #[test]
    fn pieces_sewn_together_come_back_to_the_finished_size(
        (across, along) in (1280u32..3200, 1280u32..3200),
        (inset, insertion, turn) in (32u32..256, 16u32..128, 8u32..32),
        (seam, depth, n) in (8u32..40, 8u32..64, 1u32..9),
    ) {
        let size = format!("{} by {}", inches(across), inches(along));
        let (s, d, i, t) = (inches(seam), inches(depth), inches(inset), inches(turn));
        let frame = format!("insertion_frame({size}, inset: {i}, insertion: {}, turn: {t}, edge: {s})", inches(insertion));
        let strip = inset + turn + seam;
        let middle = |finished: u32| finished - 2 * (inset + insertion) + 2 * turn;
        let tuck = format!("tucked_size({size}, in_width: {n}, in_length: {n}, depth: {d})");
        let plain = format!("band(\"plain\", finished: {i}, left: {s})");
        let tucked = format!("tucked_band(\"tucked\", finished: {i}, tucks: {n}, depth: {d}, left: {s})");
        let bands = format!("[{plain}, {tucked}]");
        let tiers = format!("tiered_skirt({}, tiers: {n}, depth: {}, hem: {d}, usable: 42 in, seam: {s})", inches(across), inches(along));
        let bag = format!("boxed_bag({}, height: {}, depth: {i}, seam: {s}, top: {t})", inches(across), inches(along));
        let gusset = format!("gusset_bag({}, height: {}, depth: {i}, seam: {s}, top: {t}, pieces: {n})", inches(across), inches(along));
        let pouch = format!("lined_pouch({size}, depth: {i}, shows: {t}, seam: {s})");
        let mitred = format!("mitred_border({size}, border: {i}, seam: {s})");
        let panels = format!("panels_from_middle({size}, usable: 20 in, seam: {s})");
        all(&[
            format!("{frame}.middle is {} by {}", inches(middle(across)), inches(middle(along))),
            format!("2 * ({frame}.strip.across - {t} - {s}) + {frame}.middle.across - 2 * {t} + 2 * {} is {}", inches(insertion), inches(across)),
            format!("{frame}.strip.across is {}", inches(strip)),
            format!("{tuck}.across - tucks_take({n}, depth: {d}) is {} and {tuck}.along - {n} * 2 * {d} is {}", inches(across), inches(along)),
            format!("{plain}.cut - 2 * {s} + {tucked}.cut - 2 * {s} - {n} * 2 * {d} is bands_width({bands})"),
            format!("band_to_fill({}, bands: {bands}) + bands_width({bands}) is {}", inches(across), inches(across)),
            format!("sum(each tier in {tiers}: tier.cut) - {} * {s} - {d} is {n} * {}", 2 * n - 1, inches(along)),
            format!("{bag}.panel.across - 2 * {s} - {i} is {} and {bag}.panel.along - {s} - {t} - {i} / 2 is {}", inches(across), inches(along)),
            format!("{gusset}.gusset.along - 2 * {t} - ({n} - 1) * 2 * {s} is {} + 2 * {}", inches(across), inches(along)),
            format!("{pouch}.panel.across - 2 * {s} - {i} is {}", inches(across)),
            format!("abs({mitred}.side.along - 2 in - 2 * {s} * (1 + sqrt(2)) - 2 * {i} - {}) <= 1/1000000 in", inches(along)),
            format!("abs({frame}.end.along - 2 in - 2 * {s} * (1 + sqrt(2)) - {}) <= 1/1000000 in", inches(across)),
            format!("2 * ({panels}.side - {s}) + {panels}.whole * (20 in - 2 * {s}) is {} or {panels}.panels is 1", inches(across)),
            format!("not is_even({panels}.whole) and {panels}.side <= 20 in"),
            format!("{panels}.panels is {panels}.whole + (if {panels}.side is 0 in then 0 else if 2 * {panels}.side <= 20 in then 1 else 2)"),
        ]);
    }

    /// However many tucks there are, each mark lies within half a step of the ruler of its true place.
    #[test]
    fn marks_do_not_drift(tucks in 2u32..160, finished in 2000u32..20_000, depth in 1u32..9, margin in 8u32..640) {
        let (finished, margin) = (finished + 2 * margin + 10 * tucks, inches(margin));
        let apart = format!("tucks_apart({}, tucks: {tucks}, margin: {margin})", inches(finished));
        let marks = format!(
            "tuck_marks({tucks}, depth: {}, apart: {apart}, margin: {margin})", inches(depth)
        );
        for k in [1, 2, tucks / 2 + 1, tucks] {
            // the true place, from the other end of the sum: the share of the way, and all tucks before
            let place = format!(
                "({margin} + ({} - 2 * {margin}) * {} / {} + {})",
                inches(finished), k - 1, tucks - 1, inches((2 * k - 1) * depth)
            );
            all(&[format!(
                "abs((({marks}[{k}].fold) nearest 1/16 in) - {place}) <= 1/32 in and {marks}[{k}].fold is {place}"
            )]);
        }
    }

    /// Each mark of every rule of marks, as the ruler reads it, lies within half a mark of its true place, however
    /// many there are: the place is worked here from its own end, in 64ths.
    #[test]
    fn marks_of_all_kinds_do_not_drift(
        n in 2u32..120, width in 8u32..200, depth in 1u32..60, edge in 0u32..64, at in 0u32..120, metric in any::<bool>(),
    ) {
        let k = at % n; // counted from nothing here
        let (w, d, e) = (inches(width), inches(depth), inches(edge));
        let (ruler, half) = if metric { ("1 mm", "1/2 mm") } else { ("1/16 in", "1/32 in") };
        let places = [
            (format!("pleat_marks({n}, shows: {w}, depth: {d}, edge: {e})[{}].fold", k + 1), edge + (k + 1) * width + k * 2 * depth),
            (format!("pleat_marks({n}, shows: {w}, depth: {d}, edge: {e})[{}].laid_to", k + 1), edge + (k + 1) * (width + 2 * depth)),
            (format!("box_pleat_marks({n}, shows: {w}, depth: {d}, edge: {e})[{}].other_fold", k + 1), edge + k * (width + 4 * depth) + 2 * depth + width),
            (format!("inverted_pleat_marks({n}, shows: {w}, depth: {d}, edge: {e})[{}].middle", k + 1), edge + (k + 1) * width + k * 4 * depth + 2 * depth),
            (format!("tuck_marks({n}, depth: {d}, apart: {}, margin: {w}, edge: {e})[{}].stitch_to", inches(width + depth), k + 1), edge + width + 2 * depth + k * (width + 3 * depth)),
            (format!("spaced_marks({n}, along: {}, width: {d}, margin: {e})[{}].begins", inches(2 * edge + n * depth + (n - 1) * width), k + 1), edge + k * (depth + width)),
            (format!("button_places({n}, first: {e}, last: {})[{}].place", inches(edge + (n - 1) * width), k + 1), edge + k * width),
            (format!("heading_pleat_marks({n}, flat: {}, finished: {}, ends: {e})[{}].begins", inches(2 * edge + (n - 1) * width + n * depth), inches(2 * edge + (n - 1) * width), k + 1), edge + k * (depth + width)),
        ];
        for (mark, place) in places {
            all(&[format!("abs((({mark}) nearest {ruler}) - {}) <= {half}", inches(place))]);
        }
    }

    /// Strips joined as the trade joins them, laid one to the next: each diagonal join loses the cut width along the
    /// middle, each straight one a seam of both, each join on the grain the slant of both seams.
    #[test]
    fn joined_lengths_are_those_of_a_simulation(run in 640u32..16_000, cut in 96u32..320, usable in 1280u32..3840, seam in 8u32..40) {
        let lay = |needed: u32, loss: u32| {
            let (mut strips, mut made) = (1, usable);
            while made < needed {
                strips += 1;
                made = made + usable - loss;
            }
            (strips, made)
        };
        let bound = format!("binding_run({}, cut: {}, usable: {}, tails: 12 in)", inches(run), inches(cut), inches(usable));
        let (strips, made) = lay(run + 768, cut);
        let flat = format!("gathered_strip({}, fullness: 2, usable: {}, seam: {})", inches(run), inches(usable), inches(seam));
        let (widths, joined) = lay(2 * run + 2 * seam, 2 * seam);
        // a ring closes with one join more
        let (mut rings, mut round) = (1, usable - 2 * seam);
        while round < 2 * run {
            rings += 1;
            round += usable - 2 * seam;
        }
        let ring = format!("gathered_strip({}, fullness: 2, usable: {}, seam: {}, ring: yes)", inches(run), inches(usable), inches(seam));
        all(&[
            format!("{bound}.strips is {strips} and {bound}.length is {} and {bound}.joins is {}", inches(made), strips - 1),
            format!("{flat}.strips is {widths} and {flat}.length is {}", inches(joined)),
            format!("{ring}.strips is {rings} and {ring}.spare is {}", inches(round - 2 * run)),
        ]);
        // on the grain: the same on the diagonal of a cloth, within a hair
        let bias = format!("bias_binding_run({}, cut: {}, usable: {}, seam: {})", inches(run), inches(cut), inches(usable), inches(seam));
        let root = 2f64.sqrt();
        let (strip, loss) = (f64::from(usable) * root, f64::from(2 * seam) * root);
        let (mut count, mut long) = (1u32, strip);
        while long < f64::from(run + 768) {
            count += 1;
            long += strip - loss;
        }
        all(&[
            format!("{bias}.strips is {count}"),
            format!("abs({bias}.length - ({:.0} / 64000000) in) <= 1/1000000 in", long * 1e6),
        ]);
    }

    /// More of anything never needs less cloth: pleats, tucks, tiers, panels, borders, seams, hems.
    #[test]
    fn more_pieces_wider_hems_never_need_less(a in 640u32..3000, b in 32u32..160, n in 2u32..12, more in 1u32..64) {
        for rule in [
            "box_pleated_width(A, pleats: N, depth: B)",
            "sum(each tier in tiered_skirt(A, tiers: N, depth: 12 in, fullness: 1.3, hem: B, usable: 42 in, seam: 1/2 in): tier.strips * tier.cut)",
            "circle_skirt(A, length: 30 in, hem: B, seam: 1/2 in).square",
            "panels_from_middle(A by 60 in, usable: 42 in, seam: 1/2 in).length",
            "checkerboard(2 * N + 1, rows: 3 * N, square: B, usable: 42 in, seam: 1/4 in).first",
            "checkerboard(9, rows: 7 * N, square: B, usable: 42 in, seam: 1/4 in).second",
            "sashed_grid(N, rows: 4, block: 6 in by 6 in, sashing: B, outer: yes, seam: 1/4 in).row",
            "mitred_border(A by A, border: B, seam: 1/4 in).side.along",
            "strip_rounds_take(B, strip: 1 in, rounds: N, seam: 1/4 in).dark",
            "on_point_setting(N, rows: 5, block: B, seam: 1/4 in).side_squares",
            "hexagon_rows(N, rows: 4, side: B).across",
            "hemmed_size(A by A, allowance: B).along",
            "cut_size(A by A, left: B).across",
            "boxed_bag(A, height: A, depth: B, seam: 1/2 in).panel.along",
            "gusset_bag(A, height: A, depth: B, seam: 1/2 in, pieces: N).gusset.along",
            "lined_pouch(A by A, depth: B, seam: 1/4 in).panel.across",
            "waistband(A, depth: B, seam: 1/2 in).across",
            "casing_rows(N, elastic: B)",
            "trim_run(A, width: B, corners: N)",
            "seam_thread(A, ratio: N)",
            "pin_tucked_width(A, tucks: N, take_up: 1/16 in, needles: 2 mm, slot: 7 mm)",
            "bands_width([band(\"plain\", finished: B, count: N)])",
            "tablecloth(A by A, drop: B, allowance: 1 in).across",
            "batting(A by A, width: 120 in, overhang: B).length",
            "piping_cut(B, seam: 1/2 in)",
            "bias_cloth(N, cut: B, usable: A)",
            "matched_length(N, panel: A, repeat: B)",
            "pattern_sheets(A by A, sheet: 8 in by 10 in, overlap: 1/2 in).sheets",
        ] {
            let told = |a: u32, b: u32, n: u32| {
                rule.replace('N', &n.to_string()).replace('A', &inches(a)).replace('B', &inches(b))
            };
            let now = told(a, b, n);
            let matched = rule.starts_with("matched"); // a longer repeat may fit a panel better
            for larger in [told(a + more, b, n), told(a, if matched { b } else { b + more }, n), told(a, b, n + 1)] {
                if larger != now {
                    all(&[format!("({larger}) >= ({now})")]);
                }
            }
        }
    }

    /// The same recipe in inches and in millimetres.
    #[test]
    fn units_change_nothing(a in 640u32..4000, b in 64u32..320, s in 8u32..32, n in 1u32..9) {
        for rule in [
            "seamed(A, seam: S)",
            "tucked_width(A, tucks: N, depth: S)",
            "double_binding_cut(B)",
            "binding_run(A, cut: B, usable: A).length",
            "bias_tube(A by A, cut: B, seam: S).length",
            "bias_square(A, cut: B, seam: S)",
            "bias_in_strips(A by A, cut: B, shortest: B + 1 in, seam: S).length",
            "half_square_cut(B, seam: S)",
            "side_triangle_cut(B, seam: S)",
            "four_at_once_cut(B, seam: S)",
            "hexagon(B, seam: S).points",
            "diamond(B, seam: S).along",
            "backing(A by A, usable: A, overhang: B, seam: S).length",
            "waistband(A, depth: B, seam: S, ease: B, overlap: B).across",
            "slanted_pair(A, width: B, seam: S).cut_short",
            "circle_skirt(A, length: A, hem: B, seam: S).panel.along",
            "boxed_bag(A, height: A, depth: B, seam: S).panel.along",
            "round_tablecloth(A, drop: B, allowance: S, usable: A, seam: S).round",
            "mitred_hem_corner(B, other: A, seam: S).cut_line",
            "scallops(A, target: B, depth: B / 9).radius",
            "enlarged(A by A, times: N, seam: S).across",
            "motif_points(7, radius: B)[3].up",
            "fold_spacing(B, depth: S)",
            "gathered_strip(A, usable: A, seam: S).spare",
        ] {
            let told = |unit: fn(u32) -> String| {
                let written = rule.replace('N', &n.to_string());
                written.replace('A', &unit(a)).replace('B', &unit(b)).replace('S', &unit(s))
            };
            let (imperial, millimetres) = (told(inches), told(metric));
            // default lengths (tails) are the same on both sides, whatever their unit
            all(&[format!("abs(({imperial}) - ({millimetres})) <= 1/1000000 in")]);
        }
    }

    /// More blocks, wider hems, more tucks never need less cloth.
    #[test]
    fn more_never_needs_less(a in 640u32..4000, b in 64u32..320, n in 1u32..40, more in 1u32..64) {
        for rule in [
            "tucked_width(A, tucks: N, depth: 1/4 in)",
            "knife_pleated_width(A, pleats: N, depth: 1 in)",
            "grid_size(N, rows: 3, block: 8 in by 8 in, sashing: B).across",
            "half_square_units(N, finished: 3 in, at_once: 8, seam: 1/4 in).squares",
            "two_to_one_units(N, finished: 3 in, seam: 1/4 in).small_squares",
            "checkerboard(N, rows: 7, square: 2 in, usable: 42 in, seam: 1/4 in).first",
            "checkerboard(N, rows: 40, square: 2 in, usable: 42 in, seam: 1/4 in).second",
            "checkerboard(6, rows: N, square: 2 in, usable: 42 in, seam: 1/4 in).second",
            "checkerboard(7, rows: N, square: 2 in, usable: 42 in, seam: 1/4 in).first",
            "binding_run(A, cut: 2 1/4 in, usable: 42 in).strips",
            "bias_square(A, cut: B, seam: 1/4 in)",
            "bias_binding_run(A, cut: 2 in, usable: 42 in, seam: 1/4 in).strips",
            "backing(A by 60 in, usable: 42 in, overhang: B, seam: 1/2 in).length",
            "napkins(N, finished: 15 in by 15 in, allowance: B, usable: 54 in).length",
            "curtains(A, drop: 84 in, heading: B, hem: B, side_hem: 2 in, usable: 52 in, repeat: 24 in, seam: 1/2 in).length",
            "tablecloth(40 in by 60 in, drop: 10 in, allowance: B).along",
            "round_tablecloth(A, drop: B, allowance: 1 in, usable: 54 in, seam: 1/2 in).length",
            "hemmed(A, allowance: B)",
            "gathered_strip(A, usable: 42 in, seam: 1/2 in).strips",
            "strips_needed(N, piece: B, strip: 42 in)",
            "kit_strips(N, pieces: 10, piece: 5 in, strip: 42 in).together",
            "ribbon_needed(N, stitch: 3/4 in, start: 1 in, finish: 1 in).length",
            "packs(N, pack: 5)",
            "length_to_buy(A, shrink: 4%, step: 1/8 yd)",
        ] {
            let told = |a: u32, b: u32, n: u32| {
                rule.replace('N', &n.to_string()).replace('A', &inches(a)).replace('B', &inches(b))
            };
            let now = told(a, b, n);
            for larger in [told(a + more, b, n), told(a, b + more, n), told(a, b, n + 1)] {
                // an argument that the rule does not have changes nothing
                if larger != now {
                    all(&[format!("({larger}) >= ({now})")]);
                }
            }
        }
    }

    /// Kits cut together never take more strips than kits cut one by one.
    #[test]
    fn kits_together_take_no_more(kits in 1u32..40, pieces in 1u32..30, piece in 64u32..2000) {
        let call = format!("kit_strips({kits}, pieces: {pieces}, piece: {}, strip: 42 in)", inches(piece));
        all(&[format!("{call}.together <= {call}.one_by_one")]);
    }
}
