//! What changed, for the JSON report.

use crate::ask::{self, Holder, Replanned};
use crate::kit::plan_json::number::Grams;
use crate::kit::plan_json::{
    Changes, Counted, Difference, HandOver, Overload, UsedFrom, UsedUp, Weighed,
};
use crate::load::ItemIx;
use crate::report::words::hand_over;

pub(super) fn changes(anew: &Replanned) -> Changes {
    let order = &anew.order;
    let hand_over = |h: &ask::HandOver| HandOver {
        how: match hand_over(anew, h) {
            "put back" => "put-back",
            "handed over" => "handed-over",
            word => word,
        },
        id: order.item(h.item).id.clone(),
        name: order.item(h.item).name.clone(),
        count: h.count,
        from: h.from.and_then(|from| id(anew, from)),
        to: id(anew, h.to),
    };
    let used = |u: &ask::UsedUp| UsedUp {
        id: order.item(u.item).id.clone(),
        name: order.item(u.item).name.clone(),
        count: u.count,
        from: u.from.iter().map(|(h, n)| UsedFrom { carrier: id(anew, *h), count: *n }).collect(),
    };
    let counted = |(i, n): &(ItemIx, u64)| Counted {
        id: Some(order.item(*i).id.clone()),
        name: order.item(*i).name.clone(),
        count: *n,
    };
    let lost = anew.packed.lost.iter();
    let lost = lost.map(|(name, n)| Counted { id: None, name: name.clone(), count: *n });
    Changes {
        units: anew.units(),
        from_plan: if anew.given { "given" } else { "made" },
        without: anew.without.iter().map(|c| order.carrier(*c).id.clone()).collect(),
        used_up: anew.used.iter().map(used).collect(),
        hand_overs: anew.hand_overs.iter().map(hand_over).collect(),
        gone: anew.gone.iter().map(counted).chain(lost).collect(),
        new: anew.fresh.iter().map(counted).collect(),
    }
}

/// Null is the store, or what is left.
fn id(anew: &Replanned, holder: Holder) -> Option<String> {
    match holder {
        Holder::Carrier(c) => Some(anew.order.carrier(c).id.clone()),
        Holder::Stranger(s) => anew.packed.strangers.get(s).map(|s| s.id.clone()),
        Holder::Store => None,
    }
}

pub(super) fn weighed(anew: &Replanned) -> Option<Weighed> {
    let found = anew.weighed.as_ref()?;
    let order = &anew.order;
    let differences = found.differ.iter().map(|(i, was, is)| Difference {
        id: order.item(*i).id.clone(),
        name: order.item(*i).name.clone(),
        catalogue_g: Grams(*was),
        weighed_g: Grams(*is),
    });
    let over = found.over.iter().map(|o| Overload {
        carrier: order.carrier(o.carrier).id.clone(),
        load_g: Grams(o.load),
        usable_g: Grams(o.usable),
        over_g: Grams(o.load - o.usable),
    });
    Some(Weighed { differences: differences.collect(), over: over.collect() })
}
