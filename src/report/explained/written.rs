//! Values as they are written in the files: needs, carriers.

use crate::load::{
    Carrier, CarrierIx, Demand, ItemIx, MoveOrder, Need, NeedNode, PartyIx, Person, Required,
    Requirement, Riding, Slots, SupplyIx, Use, Way,
};
use tumpline_kit::yaml_text::{list, map, shown};

fn id(order: &MoveOrder, i: ItemIx) -> &str {
    &order.item(i).id
}

pub(super) fn carriers(order: &MoveOrder, all: &[CarrierIx]) -> String {
    list(all.iter().map(|c| order.carrier(*c).id.as_str()))
}

pub(super) fn need(order: &MoveOrder, need: &Need) -> String {
    format!("{{need: {}, {}}}", shown(&need.name), head(order, &need.node))
}

/// The keys of a node.
fn head(order: &MoveOrder, node: &NeedNode) -> String {
    let all = |of: &[NeedNode]| list(of.iter().map(|n| element(order, n)));
    match node {
        NeedNode::Item { item, count: 1 } => format!("item: {}", id(order, *item)),
        NeedNode::Item { item, count } => format!("item: {}", map([(id(order, *item), count)])),
        NeedNode::All(of) => format!("all: {}", all(of)),
        NeedNode::Any(of) => format!("any: {}", all(of)),
        NeedNode::AtLeast { count, of } => format!("at-least: {count}, of: {}", all(of)),
        NeedNode::Supply(d) => demand(order, d),
    }
}

fn element(order: &MoveOrder, node: &NeedNode) -> String {
    match node {
        NeedNode::Item { item, count: 1 } => id(order, *item).to_string(),
        NeedNode::Item { item, count } => map([(id(order, *item), count)]),
        node => format!("{{{}}}", head(order, node)),
    }
}

fn demand(order: &MoveOrder, d: &Demand) -> String {
    let mut out = format!("supply: {}", order.catalogue().supply(d.supply).id);
    let mut put = |key: &str, value: Option<String>| {
        out.extend(value.map(|v| format!(", {key}: {v}")));
    };
    put("amount", d.amount.map(|a| a.to_string()));
    put("per-person", d.per_person.map(|a| a.to_string()));
    put("for", d.time.map(|t| t.to_string()));
    put("slack", (d.slack.ppm() > 0).then(|| d.slack.to_string()));
    out
}

pub(super) fn ways(all: impl Iterator<Item = Way>) -> String {
    list(all.map(Way::word))
}

pub(super) fn requires(order: &MoveOrder, all: &[Requirement]) -> String {
    let one = |r: &Requirement| match r.count {
        Required::Each(n) => (id(order, r.item), n.to_string()),
        Required::Shared => (id(order, r.item), "shared".into()),
    };
    map(all.iter().map(one))
}

pub(super) fn slots(s: &Slots) -> String {
    let ways = [Way::Back, Way::Chest, Way::Shoulder, Way::Belt, Way::Hand];
    map(ways.into_iter().filter_map(|w| Some((w, s.of(w)?))))
}

pub(super) fn party(order: &MoveOrder, p: PartyIx) -> String {
    carriers(order, &order.party(p).who)
}

/// A whole carrier.
pub(super) fn carrier(order: &MoveOrder, c: &Carrier) -> String {
    let mut out = format!("{{id: {}, name: {}", c.id, shown(&c.name));
    let mut put = |key: &str, value: Option<String>| {
        out.extend(value.map(|v| format!(", {key}: {v}")));
    };
    match &c.riding {
        Riding::Person(p) => person(order, p, &mut put),
        Riding::Vehicle(v) => {
            put("payload", Some(v.payload.to_string()));
            put("bed", v.bed.map(|b| b.to_string()));
            put("seats", (v.seats > 0).then(|| v.seats.to_string()));
            put("hauled", v.hauled.then(|| "true".into()));
        }
    }
    out.push('}');
    out
}

fn person(order: &MoveOrder, p: &Person, put: &mut dyn FnMut(&str, Option<String>)) {
    put("body-mass", p.body_mass.map(|m| m.to_string()));
    let limit = p.limit_share.map_or_else(|| p.limit.to_string(), |s| s.to_string());
    put("limit", Some(limit));
    put("emergency-limit", p.emergency_given.then(|| p.emergency_limit.to_string()));
    put("worn", (p.worn.mg() > 0).then(|| p.worn.to_string()));
    put("pack", p.pack.map(|b| b.to_string()));
    let duties = list(p.duties.iter().map(String::as_str));
    put("duties", (!p.duties.is_empty()).then_some(duties));
    put("slots", (p.slots != Slots::default()).then(|| slots(&p.slots)));
    let used = |(s, u): &(SupplyIx, Use)| {
        let much = match u {
            Use::Once(a) => a.to_string(),
            Use::Over(r) => r.to_string(),
        };
        (&order.catalogue().supply(*s).id, much)
    };
    put("uses", (!p.uses.is_empty()).then(|| map(p.uses.iter().map(used))));
}
