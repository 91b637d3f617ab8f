//! Outlines made: polygons, and what is cut from a circle.

use std::rc::Rc;

use super::Made;
use super::crossing::crosses;
use super::measures::signed_area;
use super::outline::{Edge, Outline, Run, Wrong, ends};
use super::point::{Point, sign};
use crate::limits::CORNERS;
use crate::measure::{Number, Reading};

/// A polygon with these corners; its edges run clockwise, whichever way the corners do. Edge number n begins at
/// corner number n, or ends there where the corners ran the other way.
pub fn polygon(corners: Vec<Point>, names: &[Rc<str>], reading: Reading) -> Made<Outline> {
    counted(corners.len())?;
    let mut edges: Vec<Edge> = corners.into_iter().map(Edge::straight).collect();
    for (edge, name) in edges.iter_mut().zip(names) {
        edge.name = Some(name.clone());
    }
    for (edge, to) in ends(&edges) {
        if sign(&to.minus(&edge.from)?.length()?) == 0 {
            return Err(Wrong::NoEdge);
        }
    }
    match sign(&signed_area(&edges)?) {
        0 => return Err(Wrong::NoArea),
        -1 => reverse(&mut edges),
        _ => {}
    }
    if crosses(&[edges.as_slice()]) {
        return Err(Wrong::Crosses);
    }
    Ok(Outline::of(edges, reading))
}

/// Whether a polygon may have so many corners.
fn counted(corners: usize) -> Made<()> {
    match corners {
        0..3 => Err(Wrong::Few),
        3..=CORNERS => Ok(()),
        _ => Err(Wrong::Many),
    }
}

/// The same straight edges the other way round; what is said of each goes with it. Of arcs, those that a mirror
/// turned about.
pub(super) fn reverse(edges: &mut [Edge]) {
    let starts: Vec<Point> = ends(edges).map(|(_, to)| to.clone()).collect();
    for (edge, from) in edges.iter_mut().zip(starts) {
        edge.from = from;
    }
    edges.reverse();
}

/// A rectangle whose edges are `top`, `right`, `bottom` and `left`.
pub fn rectangle(size: &Point, reading: Reading) -> Made<Outline> {
    let none = Number::whole(0);
    let corners = vec![
        Point::origin(),
        Point::new(size.across.clone(), none.clone()),
        size.clone(),
        Point::new(none, size.along.clone()),
    ];
    polygon(corners, &["top", "right", "bottom", "left"].map(Rc::from), reading)
}

/// A regular polygon with a level edge at the bottom, left and top at 0.
pub fn regular(sides: u32, side: &Number, reading: Reading) -> Made<Outline> {
    counted(sides as usize)?;
    // Along the bottom edge to the left, then clockwise; each edge turns by the same angle.
    let turn = Number::whole(360).div(&Number::whole(i64::from(sides)))?;
    let mut corners = vec![Point::new(side.clone(), Number::whole(0))];
    for number in 0..sides.saturating_sub(1) {
        let angle = turn.mul(&Number::whole(i64::from(number)))?.add(&Number::whole(180))?;
        let way = Point::new(side.mul(&angle.cos_deg()?)?, side.mul(&angle.sin_deg()?)?);
        let last = corners.last().cloned().unwrap_or_else(Point::origin);
        corners.push(last.plus(&way)?);
    }
    polygon(corners, &[], reading)?.to_origin()
}

/// An edge around a centre.
fn arc(from: Point, centre: &Point, sweep: Number, name: &str) -> Edge {
    let run = Run::Arc { centre: centre.clone(), sweep };
    Edge { run, ..Edge::straight(from).named(name) }
}

/// A circle of two halves: the edges `upper` and `lower`.
fn round(centre: &Point, radius: &Number, clockwise: bool) -> Made<Vec<Edge>> {
    let way = Point::new(radius.clone(), Number::whole(0));
    let (left, right) = (centre.minus(&way)?, centre.plus(&way)?);
    let half = |from, sweep, name| arc(from, centre, Number::whole(sweep), name);
    Ok(match clockwise {
        true => vec![half(left, 180, "upper"), half(right, 180, "lower")],
        false => vec![half(left, -180, "inner lower"), half(right, -180, "inner upper")],
    })
}

/// A circle.
pub fn circle(diameter: &Number, reading: Reading) -> Made<Outline> {
    if sign(diameter) <= 0 {
        return Err(Wrong::NoArea);
    }
    let radius = diameter.div(&Number::whole(2))?;
    let centre = Point::new(radius.clone(), radius.clone());
    Ok(Outline::of(round(&centre, &radius, true)?, reading))
}

/// A circle without the circle in its middle.
pub fn ring(outer: &Number, inner: &Number, reading: Reading) -> Made<Outline> {
    let mut outline = circle(outer, reading)?;
    if sign(inner) <= 0 || sign(&outer.sub(inner)?) <= 0 {
        return Err(Wrong::NoArea);
    }
    let two = Number::whole(2);
    let radius = outer.div(&two)?;
    let centre = Point::new(radius.clone(), radius);
    outline.holes.push(round(&centre, &inner.div(&two)?, false)?);
    Ok(outline)
}

/// A part of a circle with an angle at its centre, hanging down from there: the edges `outer`, `left`, `inner`
/// where the middle is cut away to an inner radius, and `right`.
pub fn sector(outer: &Number, inner: &Number, angle: &Number, reading: Reading) -> Made<Outline> {
    let whole = angle.sub(&Number::whole(360))?;
    let thick = outer.sub(inner)?;
    if sign(angle) <= 0 || sign(&whole) >= 0 || sign(inner) < 0 || sign(&thick) <= 0 {
        return Err(Wrong::NoArea);
    }
    let half = angle.div(&Number::whole(2))?;
    let (sin, cos) = (half.sin_deg()?, half.cos_deg()?);
    let (left, right) = (Point::new(sin.neg(), cos.clone()), Point::new(sin, cos));
    let centre = Point::origin();
    let mut edges = vec![
        arc(right.times(outer)?, &centre, angle.clone(), "outer"),
        Edge::straight(left.times(outer)?).named("left"),
    ];
    if sign(inner) > 0 {
        edges.push(arc(left.times(inner)?, &centre, angle.neg(), "inner"));
        edges.push(Edge::straight(right.times(inner)?).named("right"));
    } else {
        edges.push(Edge::straight(centre.clone()).named("right"));
    }
    Outline::of(edges, reading).to_origin()
}
