//! The cut list and the cutting plans as JSON.

use serde::Serialize;
use serde::ser::{SerializeMap, Serializer};

use super::json::{Json, all, object};
use super::words::{kind_name, lies_name, tool_name};
use crate::docket::{ClothPlan, Dearer, Hand, Held, More, Nearer, OnHand, Piece, Planned, Strip, Way};
use crate::layout::{Lay, Part, Placed, Rect, Share, Spread};

impl Serialize for Json<'_, ClothPlan> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let plan = self.0;
        object!(serializer,
            "cloth": &*plan.cloth,
            "usable": Json(&plan.usable),
            "pieces": all(&plan.pieces),
            "in_hand": all(&plan.hands),
            "strips": all(&plan.strips),
            "plan": Laid(plan),
            "length": Json(&plan.length),
            "buy": Json(&plan.buy),
            "step": plan.step.as_ref().map(Json),
            "price": plan.price.as_ref().map(Json),
            "cost": plan.cost.as_ref().map(Json),
            "dearer": plan.dearer.as_ref().map(Json),
            "planned": plan.planned.as_ref().map(Json),
        )
    }
}

impl Serialize for Json<'_, Dearer> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Dearer { in_hand, planned } = self.0;
        object!(serializer, "in_hand": Json(in_hand), "planned": Json(planned),)
    }
}

impl Serialize for Json<'_, Piece> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Piece { label, count, across, along, lies, mirrored, spare } = self.0;
        object!(serializer,
            "label": &**label,
            "count": count,
            "across": Json(across),
            "along": Json(along),
            "lies": lies_name(*lies),
            "mirrored": mirrored,
            "spare": spare,
        )
    }
}

impl Serialize for Json<'_, Hand> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Hand { count, across, along, used } = self.0;
        object!(serializer, "count": count, "across": Json(across), "along": Json(along), "used": used,)
    }
}

impl Serialize for Json<'_, Strip> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Strip { count, width, holds } = self.0;
        object!(serializer, "count": count, "width": Json(width), "holds": all(holds),)
    }
}

impl Serialize for Json<'_, Held> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Held { piece, count, turned } = self.0;
        object!(serializer, "piece": piece, "count": count, "turned": turned,)
    }
}

impl Serialize for Json<'_, Planned> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Planned { tool, kits, ways, nearer, on, more } = self.0;
        object!(serializer,
            "tool": tool_name(*tool),
            "kits": kits,
            "ways": all(ways),
            "nearer": nearer.as_ref().map(Json),
            "on": on.as_ref().map(Json),
            "more": all(more),
        )
    }
}

impl Serialize for Json<'_, Way> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Way { kind, length, buy, cost, bound, proved, buys_least, taken } = self.0;
        object!(serializer,
            "kind": kind_name(*kind),
            "length": Json(length),
            "buy": Json(buy),
            "cost": cost.as_ref().map(Json),
            "bound": Json(bound),
            "proved": proved,
            "buys_least": buys_least,
            "taken": taken,
        )
    }
}

impl Serialize for Json<'_, Nearer> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Nearer { shorter, buy, never } = self.0;
        object!(serializer, "shorter": Json(shorter), "buy": Json(buy), "never": never,)
    }
}

impl Serialize for Json<'_, OnHand> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let OnHand { length, enough, differs, never } = self.0;
        object!(serializer,
            "length": Json(length),
            "enough": enough,
            "differs": Json(differs),
            "never": never,
        )
    }
}

impl Serialize for Json<'_, More> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let More { label, count, length, most } = self.0;
        object!(serializer, "label": &**label, "count": count, "length": length.as_ref().map(Json), "most": most,)
    }
}

/// What lies where, in grid units.
struct Laid<'a>(&'a ClothPlan);

impl Serialize for Laid<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let ClothPlan { plan, unit, folded, .. } = self.0;
        object!(serializer,
            "kind": kind_name(plan.kind),
            "unit": Json(unit),
            "folded": folded,
            "bound": plan.bound,
            "proved": plan.proved,
            "spreads": all(&plan.spreads),
        )
    }
}

impl Serialize for Json<'_, Spread> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Spread { sheet, count, across, along, lay } = self.0;
        match lay {
            Lay::Cut(part) => object!(serializer,
                "in_hand": sheet,
                "count": count,
                "across": across,
                "along": along,
                "cut": Json(part),
            ),
            Lay::Free { pieces, left } => object!(serializer,
                "in_hand": sheet,
                "count": count,
                "across": across,
                "along": along,
                "pieces": all(pieces),
                "left": all(left),
            ),
        }
    }
}

impl Serialize for Json<'_, Part> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self.0 {
            Part::Piece { piece, turned } => object!(serializer, "piece": piece, "turned": turned,),
            Part::Left => object!(serializer, "left": true,),
            Part::Across(shares) => object!(serializer, "across": all(shares),),
            Part::Along(shares) => object!(serializer, "along": all(shares),),
        }
    }
}

impl Serialize for Json<'_, Share> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Share { times, size, part } = self.0;
        object!(serializer, "times": times, "size": size, "part": Json(part),)
    }
}

impl Serialize for Json<'_, Placed> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Placed { piece, turned, at } = self.0;
        object!(serializer, "piece": piece, "turned": turned, "at": Json(at),)
    }
}

impl Serialize for Json<'_, Rect> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Rect { x, y, across, along } = self.0;
        object!(serializer, "x": x, "y": y, "across": across, "along": along,)
    }
}
