//! The move and its plan as data for the page's script: all that an audit
//! needs, and the names as they are printed.
//!
//! Quantities are texts of whole base units (mg, mL, millionths, seconds, the
//! base unit of a supply), since a number of a script is exact only up to 2^53.
//! Counts and places in a list are numbers.

use crate::load::{
    Bearer, Carrier, CarrierIx, Item, ItemIx, MoveOrder, Need, NeedNode, Party, Plan, Required,
    Reserve, Riding, RuleKind, RuleNumber, SupplyIx, Travel, Use,
};
use crate::quantity::{Amount, Dimension, Units};
use serde_json::{Value, json};
use tumpline_core::text::clean;

/// The data as JSON that may stand in a `<script type="application/json">`:
/// nothing in it can end the element or open a comment.
pub fn data(order: &MoveOrder, plan: &Plan) -> String {
    let mut out = String::new();
    for c in value(order, plan).to_string().chars() {
        match c {
            '<' | '>' | '&' | '\u{2028}' | '\u{2029}' => {
                out.push_str(&format!("\\u{:04x}", u32::from(c)));
            }
            c => out.push(c),
        }
    }
    out
}

fn value(order: &MoveOrder, plan: &Plan) -> Value {
    let items = order.catalogue().items();
    let supplies = order.catalogue().supplies();
    json!({
        "version": 1,
        "name": clean(order.name()),
        "units": match order.units() { Units::Metric => "metric", Units::Imperial => "imperial" },
        "items": items.map(|(i, x)| item(x, order.catalogue().inside(i))).collect::<Vec<_>>(),
        "supplies": supplies
            .map(|(_, s)| json!({"id": clean(&s.id), "dimension": dimension(s.dimension)}))
            .collect::<Vec<_>>(),
        "carriers": order.carriers().iter().map(carrier).collect::<Vec<_>>(),
        "parties": order.parties().iter().map(party).collect::<Vec<_>>(),
        "store": order.store().map(|p| p.0),
        "needs": order.needs().iter().map(need).collect::<Vec<_>>(),
        "wants": order
            .wants()
            .iter()
            .map(|w| json!([w.party.0, w.item.0, w.value, w.up_to]))
            .collect::<Vec<_>>(),
        "rules": order.rules().iter().map(|r| rule(&r.kind)).collect::<Vec<_>>(),
        "goals": order.goals().iter().map(|g| g.kind.word()).collect::<Vec<_>>(),
        "before": order
            .before()
            .as_ref()
            .map(|b| json!({"plan": placements(&b.plan), "astray": counts(&b.astray)})),
        "spent": order
            .spent()
            .iter()
            .map(|(p, s, n)| json!([p.0, s.0, n.to_string()]))
            .collect::<Vec<_>>(),
        "tolerance": order
            .tolerance()
            .map(|t| json!({"share": t.share.ppm().to_string(), "off": t.off})),
        "brings": order
            .brings()
            .iter()
            .map(|b| json!({"party": b.party.0, "any": counts(&b.any)}))
            .collect::<Vec<_>>(),
        "plan": placements(plan),
    })
}

fn item(x: &Item, inside: &[(ItemIx, u32)]) -> Value {
    json!({
        "id": clean(&x.id),
        "name": clean(&x.name),
        "mass": x.mass.mg().to_string(),
        "bulk": x.bulk.ml().to_string(),
        "held": x.held,
        "ways": x.ways.iter().map(|w| w.word()).collect::<Vec<_>>(),
        "hands": x.hands,
        "pair": x.pair_shares.map(|s| s.ppm().to_string()),
        "keeper": x.keeper,
        // No count: one is shared by all that ask.
        "requires": x
            .requires
            .iter()
            .map(|r| match r.count {
                Required::Each(n) => json!([r.item.0, n]),
                Required::Shared => json!([r.item.0, null]),
            })
            .collect::<Vec<_>>(),
        "supplies": x
            .supplies
            .iter()
            .map(|(s, a)| json!([s.0, a.base.to_string()]))
            .collect::<Vec<_>>(),
        "uses": uses(&x.uses),
        // Itself once, and all that is in it at any depth.
        "inside": counts(inside),
    })
}

fn carrier(c: &Carrier) -> Value {
    let (id, name) = (clean(&c.id), clean(&c.name));
    match &c.riding {
        Riding::Person(p) => json!({
            "id": id,
            "name": name,
            "person": true,
            "limit": p.limit.mg().to_string(),
            "room": p.pack.map(|b| b.ml().to_string()),
            "worn": p.worn.mg().to_string(),
            "body": p.body_mass.map(|m| m.mg().to_string()),
            "duties": p.duties,
            "slots": {
                "back": p.slots.back,
                "chest": p.slots.chest,
                "shoulder": p.slots.shoulder,
                "belt": p.slots.belt,
                "hand": p.slots.hand,
            },
            "uses": uses(&p.uses),
        }),
        Riding::Vehicle(v) => json!({
            "id": id,
            "name": name,
            "person": false,
            "hauled": v.hauled,
            "limit": v.payload.mg().to_string(),
            "room": v.bed.map(|b| b.ml().to_string()),
        }),
    }
}

fn party(p: &Party) -> Value {
    json!({
        "id": clean(&p.id),
        "foot": p.travel == Travel::Foot,
        "who": carriers(&p.who),
        "aboard": p.aboard.iter().map(|(who, on)| json!([who.0, on.0])).collect::<Vec<_>>(),
    })
}

fn need(n: &Need) -> Value {
    json!({"party": n.party.0, "name": clean(&n.name), "node": node(&n.node)})
}

fn node(n: &NeedNode) -> Value {
    let all = |of: &[NeedNode]| of.iter().map(node).collect::<Vec<_>>();
    let base = |a: Option<Amount>| a.map(|a| a.base.to_string());
    match n {
        NeedNode::Item { item, count } => json!({"item": item.0, "count": count}),
        NeedNode::Supply(d) => json!({
            "supply": d.supply.0,
            "amount": base(d.amount),
            "each": base(d.per_person),
            "time": d.time.map(|t| t.s().to_string()),
            "slack": d.slack.ppm().to_string(),
        }),
        // The least that must hold: `all` is as many as there are.
        NeedNode::All(of) => json!({"least": of.len(), "of": all(of)}),
        NeedNode::Any(of) => json!({"least": 1, "of": all(of)}),
        NeedNode::AtLeast { count, of } => json!({"least": count, "of": all(of)}),
    }
}

fn rule(kind: &RuleKind) -> Value {
    let (mut count, mut mass, mut share) = (None, None, None);
    match kind.number() {
        Some(RuleNumber::Count(n)) => count = Some(n),
        Some(RuleNumber::Kept(Reserve::Mass(m))) => mass = Some(m.mg().to_string()),
        Some(RuleNumber::Kept(Reserve::Share(p))) => share = Some(p.ppm().to_string()),
        None => {}
    }
    json!({
        "kind": kind.word(),
        "items": kind.items().iter().map(|i| i.0).collect::<Vec<_>>(),
        "carriers": carriers(kind.carriers()),
        "count": count,
        "mass": mass,
        "share": share,
        "broken": kind.words().broken,
    })
}

/// (item, count, carrier, way), or for a pair (item, count, first, `pair`,
/// second).
fn placements(plan: &Plan) -> Vec<Value> {
    plan.placements()
        .iter()
        .map(|p| match p.by {
            Bearer::One { carrier, way } => json!([p.item.0, p.count, carrier.0, way.word()]),
            Bearer::Pair { first, second } => {
                json!([p.item.0, p.count, first.0, "pair", second.0])
            }
        })
        .collect()
}

fn carriers(who: &[CarrierIx]) -> Vec<usize> {
    who.iter().map(|c| c.0).collect()
}

fn counts(of: &[(ItemIx, u32)]) -> Vec<Value> {
    of.iter().map(|(i, n)| json!([i.0, n])).collect()
}

/// (supply, amount, seconds it lasts); no seconds: used once.
fn uses(of: &[(SupplyIx, Use)]) -> Vec<Value> {
    of.iter()
        .map(|(s, u)| match u {
            Use::Once(a) => json!([s.0, a.base.to_string(), null]),
            Use::Over(r) => json!([s.0, r.amount.base.to_string(), r.per.s().to_string()]),
        })
        .collect()
}

fn dimension(d: Dimension) -> &'static str {
    match d {
        Dimension::Length => "length",
        Dimension::Energy => "energy",
        Dimension::Bulk => "bulk",
        Dimension::Mass => "mass",
        Dimension::Count => "count",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The ways out of a script element, by the HTML standard (section 4.12.1.3,
    /// "Restrictions for contents of script elements"), and the two characters
    /// that older scripts take for the end of a line.
    #[test]
    fn no_name_ends_the_element() {
        let name = "</script><!-- <script>alert(1)</script> & ' \" \u{2028}\u{2029}\u{202e}\n]]>";
        let order = crate::fixture::order().changed(|parts| {
            parts.name = name.into();
            parts.carriers[0].name = name.into();
            parts.needs[0].name = name.into();
            let renamed = parts.catalogue.changed(|items| {
                items.iter_mut().for_each(|item| item.name = name.into());
            });
            parts.catalogue = renamed.expect("ids are as they were");
        });
        let order = order.expect("only names differ");
        let text = data(&order, &Plan::default());
        for c in ['<', '>', '&', '\u{2028}', '\u{2029}', '\u{202e}', '\n'] {
            assert!(!text.contains(c), "{c:?}");
        }
        let read: Value = serde_json::from_str(&text).expect("JSON");
        assert_eq!(read["name"], clean(name));
        assert_eq!(read["carriers"][0]["name"], clean(name));
    }
}
