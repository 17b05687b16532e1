//! Changes in words.

use super::parts::{amount, carrier, carriers, instead, item, items, kind, mass, node};
use crate::ask::{Change, Least, Part, pieces};
use crate::load::{CarrierIx, Demand, MoveOrder, NeedNode, Required, RuleKind, Way};
use crate::quantity::{Bulk, Mass};
use tumpline_core::text::clean;

/// What is known of the size of the change.
pub(super) fn note(change: &Change, least: Least) -> Option<&'static str> {
    let up = matches!(
        change,
        Change::Limit { .. }
            | Change::Room { .. }
            | Change::Slots { .. }
            | Change::Held { .. }
            | Change::Rule { to: RuleKind::AtMost { .. }, .. }
    );
    match (least, up) {
        (Least::Whole, _) => None,
        (Least::Proven, true) => Some("less does not do"),
        (Least::Proven, false) => Some("more does not do"),
        (Least::Unproven, true) => Some("less may do too"),
        (Least::Unproven, false) => Some("more may do too"),
    }
}

/// Several ways that one item might go by, each of which does.
pub(super) fn ways(order: &MoveOrder, changes: &[Change], ways: &[Way]) -> String {
    let by = |w: &Way| match w {
        Way::Pair => "a pair".to_string(),
        w => w.to_string(),
    };
    let all: Vec<String> = ways.iter().map(by).collect();
    let (last, first) = match all.split_last() {
        Some((last, first)) => (last.clone(), first.join(", ")),
        None => Default::default(),
    };
    let thing = changes.iter().find_map(|c| match c {
        Change::Way { item: i, .. } => Some(item(order, *i)),
        _ => None,
    });
    format!("let {} go by {first} or {last} too", thing.unwrap_or_default())
}

pub(super) fn text(order: &MoveOrder, change: &Change) -> String {
    match change {
        Change::Way { item: i, way } => {
            let by = match way {
                Way::Pair => "by a pair".into(),
                way => format!("by {way}"),
            };
            format!("let {} go {by} too", item(order, *i))
        }
        Change::Slots { carrier: c, way, to } => {
            let now = order.carrier(*c).person().and_then(|p| p.slots.of(*way)).unwrap_or(0);
            match way {
                Way::Hand => format!("{to} hands for {} instead of {now}", carrier(order, *c)),
                way => format!("let {} take {to} by {way} instead of {now}", carrier(order, *c)),
            }
        }
        Change::Room { carrier: c, to } => {
            let now = order.carrier(*c).room().unwrap_or_default();
            let place = if order.carrier(*c).person().is_some() { "pack" } else { "bed" };
            let more = Bulk::from_ml(to.ml().saturating_sub(now.ml()));
            format!(
                "{more} more room: a {place} of {to} for {} instead of {now}",
                carrier(order, *c)
            )
        }
        Change::Limit { carrier: c, to } => {
            let now = order.carrier(*c).limit();
            let more = Mass::from_mg(to.mg().saturating_sub(now.mg()));
            let who = carrier(order, *c);
            let what = if order.carrier(*c).person().is_some() { "limit" } else { "payload" };
            let (more, now, to) = (mass(order, more), mass(order, now), mass(order, *to));
            format!("raise the {what} of {who} by {more}, from {now} to {to}")
        }
        Change::Rule { rule, to } => weaker(order, &order.rules()[*rule].kind, to),
        Change::LeaveOut(part) => leave_out(order, *part),
        Change::Held { item: i, to } => {
            let now = order.item(*i).held;
            format!("hold {} more of {}: {to} instead of {now}", to - now.min(*to), item(order, *i))
        }
        Change::Need { need, piece, to } => {
            let need = &order.needs()[*need];
            let old = pieces(&need.node);
            let text = old.get(*piece).map_or(String::new(), |old| less(order, old, to));
            format!("{text} (need `{}`)", clean(&need.name))
        }
        Change::Requires { item: i, of, to } => {
            let requirement = order.item(*i).requires.get(*of);
            let what = requirement.map_or(String::new(), |r| item(order, r.item));
            let (now, to) = (requirement.map_or(0, |r| each(r.count)), each(*to));
            format!("let {} do with {to} of {what} instead of {now}", item(order, *i))
        }
        Change::NoStore => "let what nobody takes be left anywhere".into(),
        Change::Another { like } => another(order, *like),
        Change::SecondTrip { party } => {
            let id = clean(&order.party(*party).id);
            format!("let party `{id}` walk twice and bring its needs in two loads")
        }
    }
}

fn each(r: Required) -> u32 {
    match r {
        Required::Each(n) => n,
        Required::Shared => 1,
    }
}

fn another(order: &MoveOrder, like: CarrierIx) -> String {
    let kind = if order.carrier(like).person().is_some() { "person" } else { "vehicle" };
    let party = order.party_of(like).map_or("", |p| &order.party(p).id);
    format!("one {kind} more in party `{}`, like {}", clean(party), carrier(order, like))
}

fn leave_out(order: &MoveOrder, part: Part) -> String {
    match part {
        Part::Rule(r) => format!("leave out the rule: {}", kind(order, &order.rules()[r].kind)),
        Part::Need { need, piece } => {
            let need = &order.needs()[need];
            let all = pieces(&need.node);
            let name = clean(&need.name);
            match all.get(piece) {
                Some(n) if all.len() > 1 => {
                    format!("leave {} out of need `{name}`", node(order, n))
                }
                _ => format!("leave out need `{name}`"),
            }
        }
        Part::Requires { item: i, of } => {
            let what =
                order.item(i).requires.get(of).map_or(String::new(), |r| item(order, r.item));
            format!("let {} do without {what}", item(order, i))
        }
        part => format!("do without this: {}", super::parts::text(order, part)),
    }
}

fn less(order: &MoveOrder, old: &NeedNode, to: &NeedNode) -> String {
    match (old, to) {
        (NeedNode::Item { item: i, count: now }, NeedNode::Item { count, .. }) => {
            format!("ask for {count} of {} instead of {now}", item(order, *i))
        }
        (NeedNode::AtLeast { count: now, .. }, NeedNode::AtLeast { count, of }) => {
            let all = NeedNode::AtLeast { count: *count, of: of.clone() };
            format!("ask for {} instead of {now}", node(order, &all))
        }
        (NeedNode::Supply(old), NeedNode::Supply(new)) => less_supply(order, old, new),
        _ => "ask for less".into(),
    }
}

fn less_supply(order: &MoveOrder, old: &Demand, new: &Demand) -> String {
    let supply = clean(&order.catalogue().supply(old.supply).id);
    if let (Some(now), Some(to)) = (old.amount, new.amount)
        && now != to
    {
        let (now, to) = (amount(order, now), amount(order, to));
        return format!("ask for {to} of {supply} instead of {now}");
    }
    if let (Some(now), Some(to)) = (old.per_person, new.per_person)
        && now != to
    {
        let (now, to) = (amount(order, now), amount(order, to));
        return format!("ask for {to} of {supply} a person instead of {now}");
    }
    if let (Some(now), Some(to)) = (old.time, new.time)
        && now != to
    {
        return format!("ask for {supply} for {to} instead of {now}");
    }
    format!("ask for {supply} with {} of slack instead of {}", new.slack, old.slack)
}

/// A rule that says less than it did.
fn weaker(order: &MoveOrder, old: &RuleKind, to: &RuleKind) -> String {
    match old.number() {
        Some(was) if to.number() != Some(was) => instead(order, to, was),
        _ => exempt(order, old, to),
    }
}

/// What the new rule no longer names.
fn exempt(order: &MoveOrder, old: &RuleKind, to: &RuleKind) -> String {
    fn gone<T: Copy + PartialEq>(old: &[T], new: &[T]) -> Vec<T> {
        old.iter().copied().filter(|x| !new.contains(x)).collect()
    }
    let things = gone(old.items(), to.items());
    let except = match things.is_empty() {
        false => items(order, &things),
        true => carriers(order, &gone(old.carriers(), to.carriers())),
    };
    format!("leave {except} out of the rule: {}", kind(order, old))
}
