//! A cloth and what is where on it as JSON; lengths of the plan are in grid units.

use serde::ser::{Serialize, SerializeMap, Serializer};

use super::json_object::object;
use super::{ClothPlan, cloth::kind_name};
use crate::layout::{Lay, Part, Placed, Rect, Share, Spread};

impl Serialize for ClothPlan {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        object!(serializer,
            "cloth": self.cloth,
            "usable": self.usable,
            "pieces": self.pieces,
            "in_hand": self.hands,
            "strips": self.strips,
            "plan": Laid(self),
            "length": self.length,
            "buy": self.buy,
            "step": self.step,
            "price": self.price,
            "cost": self.cost,
            "in_hand_costs_more": self.in_hand_costs_more,
            "planned": self.planned,
            "line": self.line,
        )
    }
}

/// What is where.
struct Laid<'a>(&'a ClothPlan);

impl Serialize for Laid<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let ClothPlan { plan, unit, folded, .. } = self.0;
        object!(serializer,
            "kind": kind_name(plan.kind),
            "unit": unit,
            "folded": folded,
            "bound": plan.bound,
            "proved": plan.proved,
            "spreads": plan.spreads,
        )
    }
}

impl Serialize for Spread {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Spread { sheet, count, across, along, lay } = self;
        let mut map = serializer.serialize_map(None)?;
        map.serialize_entry("in_hand", sheet)?;
        map.serialize_entry("count", count)?;
        map.serialize_entry("across", across)?;
        map.serialize_entry("along", along)?;
        match lay {
            Lay::Cut(part) => map.serialize_entry("cut", part)?,
            Lay::Free { pieces, left } => {
                map.serialize_entry("pieces", pieces)?;
                map.serialize_entry("left", left)?;
            }
        }
        map.end()
    }
}

impl Serialize for Part {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Part::Piece { piece, turned } => object!(serializer, "piece": piece, "turned": turned),
            Part::Left => object!(serializer, "left": true),
            Part::Across(shares) => object!(serializer, "across": shares),
            Part::Along(shares) => object!(serializer, "along": shares),
        }
    }
}

impl Serialize for Share {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Share { times, size, part } = self;
        object!(serializer, "times": times, "size": size, "part": part)
    }
}

impl Serialize for Placed {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Placed { piece, turned, at } = self;
        object!(serializer, "piece": piece, "turned": turned, "at": at)
    }
}

impl Serialize for Rect {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Rect { x, y, across, along } = self;
        object!(serializer, "x": x, "y": y, "across": across, "along": along)
    }
}
