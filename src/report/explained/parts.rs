//! The parts of a conflict in words.

use crate::ask::{Part, pieces};
use crate::load::{
    CarrierIx, Demand, ItemIx, MoveOrder, NeedNode, Required, Reserve, RuleKind, RuleNumber, Way,
};
use crate::quantity::{Amount, Mass, Percent, Units};
use tumpline_core::sentence::fill;
use tumpline_core::text::clean;

/// Names that one part lists.
const MOST_NAMED: usize = 4;

/// `` Ann (`ann`) ``; the id alone where it is the name too.
pub(super) fn carrier(order: &MoveOrder, c: CarrierIx) -> String {
    let c = order.carrier(c);
    named(&c.name, &c.id)
}

pub(super) fn item(order: &MoveOrder, i: ItemIx) -> String {
    let i = order.item(i);
    named(&i.name, &i.id)
}

fn named(name: &str, id: &str) -> String {
    match name == id {
        true => format!("`{}`", clean(id)),
        false => format!("{} (`{}`)", clean(name), clean(id)),
    }
}

/// `a, b and c`; more than a few are counted.
pub(super) fn and(all: &[String]) -> String {
    match all {
        [] => "nobody".into(),
        [one] => one.clone(),
        all if all.len() > MOST_NAMED => {
            format!("{} and {} more", all[..MOST_NAMED - 1].join(", "), all.len() - MOST_NAMED + 1)
        }
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

pub(super) fn items(order: &MoveOrder, all: &[ItemIx]) -> String {
    and(&all.iter().map(|i| format!("`{}`", clean(&order.item(*i).id))).collect::<Vec<_>>())
}

pub(super) fn carriers(order: &MoveOrder, all: &[CarrierIx]) -> String {
    and(&all.iter().map(|c| format!("`{}`", clean(&order.carrier(*c).id))).collect::<Vec<_>>())
}

pub(super) fn text(order: &MoveOrder, part: Part) -> String {
    match part {
        Part::Stays => {
            let store = order.store().map_or("", |p| &order.party(p).id);
            format!("what no other party takes stays with party `{}`", clean(store))
        }
        Part::Requires { item: i, of } => {
            let thing = order.item(i);
            let asked = thing.requires.get(of).map(|r| match r.count {
                Required::Each(1) => item(order, r.item),
                Required::Each(n) => format!("{n} of {}", item(order, r.item)),
                Required::Shared => format!("{}, shared with others", item(order, r.item)),
            });
            format!("{} requires {}", item(order, i), asked.unwrap_or_default())
        }
        Part::Slots { carrier: c, way } => slots(order, c, way),
        Part::Room(c) => {
            let room = order.carrier(c).room().map_or(String::new(), |r| r.rounded());
            let place = if order.carrier(c).person().is_some() { "pack" } else { "bed" };
            format!("the {place} of {} holds {room}", carrier(order, c))
        }
        Part::Limit(c) => limit(order, c),
        Part::Need { need, piece } => {
            let need = &order.needs()[need];
            let party = clean(&order.party(need.party).id);
            let all = pieces(&need.node);
            let what = all.get(piece).map_or(String::new(), |n| node(order, n));
            format!("party `{party}` needs {what} (need `{}`)", clean(&need.name))
        }
        Part::Rule(rule) => kind(order, &order.rules()[rule].kind),
    }
}

fn slots(order: &MoveOrder, c: CarrierIx, way: Way) -> String {
    let who = carrier(order, c);
    let n = order.carrier(c).person().and_then(|p| p.slots.of(way)).unwrap_or(0);
    match (way, n) {
        (Way::Hand, 1) => format!("{who} has 1 hand"),
        (Way::Hand, n) => format!("{who} has {n} hands"),
        (way, 1) => format!("{who} takes 1 thing by {way}"),
        (way, n) => format!("{who} takes {n} things by {way}"),
    }
}

fn limit(order: &MoveOrder, c: CarrierIx) -> String {
    let units = order.units();
    let limit = order.carrier(c).limit().rounded(units);
    let burden = order.burden(c);
    let person = order.carrier(c).person();
    let share = person.and_then(|p| p.limit_share);
    let share = share.map_or(String::new(), |s| format!(", {s} of body mass"));
    let on = if person.is_some() { "worn" } else { "people aboard" };
    let burden = match burden {
        Mass::ZERO => String::new(),
        m => format!(", {} of it {on}", m.rounded(units)),
    };
    format!("{} bears at most {limit}{share}{burden}", carrier(order, c))
}

/// What a node of a need asks for.
pub(super) fn node(order: &MoveOrder, n: &NeedNode) -> String {
    let list = |of: &[NeedNode], word: &str| {
        let shown: Vec<String> = of.iter().take(MOST_NAMED).map(|n| node(order, n)).collect();
        let more = if of.len() > MOST_NAMED { " …" } else { "" };
        format!("{}{more}", shown.join(word))
    };
    match n {
        NeedNode::Item { item: i, count: 1 } => item(order, *i),
        NeedNode::Item { item: i, count } => format!("{count} of {}", item(order, *i)),
        NeedNode::Supply(d) => demand(order, d),
        NeedNode::All(of) => format!("[{}]", list(of, " with ")),
        NeedNode::Any(of) => list(of, " or "),
        NeedNode::AtLeast { count, of } => format!("{count} of these: {}", list(of, "; ")),
    }
}

fn demand(order: &MoveOrder, d: &Demand) -> String {
    let supply = order.catalogue().supply(d.supply);
    let mut of: Vec<String> = Vec::new();
    of.extend(d.amount.map(|a| amount(order, a)));
    of.extend(d.per_person.map(|a| format!("{} a person", amount(order, a))));
    of.extend(d.time.map(|t| format!("what is used in {t}")));
    let slack = match d.slack {
        Percent::ZERO => String::new(),
        s => format!(", and {s} more as slack"),
    };
    format!("{} of {}{slack}", of.join(" and "), clean(&supply.id))
}

pub(super) fn kind(order: &MoveOrder, kind: &RuleKind) -> String {
    say(order, kind, kind.words().says, None)
}

/// What the rule says with another number than it had.
pub(super) fn instead(order: &MoveOrder, kind: &RuleKind, was: RuleNumber) -> String {
    say(order, kind, kind.words().instead, Some(was))
}

/// The words of a rule, with ids: of more than a few, some.
fn say(order: &MoveOrder, kind: &RuleKind, words: &str, was: Option<RuleNumber>) -> String {
    let one = kind.number() == Some(RuleNumber::Count(1));
    let number = |n: Option<RuleNumber>| match n {
        Some(RuleNumber::Count(n)) => n.to_string(),
        Some(RuleNumber::Kept(reserve)) => much(order, reserve),
        None => String::new(),
    };
    let value = |name: &str| match name {
        "items" => items(order, kind.items()),
        "item" => kind.items().first().map_or(String::new(), |i| item(order, *i)),
        "carriers" => carriers(order, kind.carriers()),
        "was" => number(was),
        "some" if one => String::new(),
        "some" => format!("{} of ", number(kind.number())),
        _ => number(kind.number()),
    };
    fill(words, value, |by| match by {
        "carriers" => kind.carriers().len() == 1,
        _ => one,
    })
}

/// Exactly, but in pounds to the hundredth where the kit is in pounds.
pub(super) fn mass(order: &MoveOrder, m: Mass) -> String {
    match order.units() {
        Units::Metric => m.to_string(),
        Units::Imperial => m.rounded(Units::Imperial),
    }
}

pub(super) fn amount(order: &MoveOrder, a: Amount) -> String {
    match order.units() {
        Units::Metric => a.to_string(),
        Units::Imperial => a.rounded(Units::Imperial),
    }
}

pub(super) fn much(order: &MoveOrder, reserve: Reserve) -> String {
    match reserve {
        Reserve::Mass(m) => mass(order, m),
        Reserve::Share(p) => p.to_string(),
    }
}
