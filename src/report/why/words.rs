//! Why an item is where it is, in words.

use crate::ask::{Instead, Obstacle, Other, Verdict, Why};
use crate::load::{
    CarrierIx, GoalKind, GoalValue, ItemIx, MoveOrder, NeedNode, Place, Required, Rule, RuleNumber,
    Share,
};
use crate::report::{known, words};
use crate::split::GoalResult;
use tumpline_core::sentence::fill;
use tumpline_core::text::clean;

pub(in crate::report) fn question(order: &MoveOrder, item: ItemIx) -> String {
    format!("Why is {} where it is?", named(order, item))
}

fn named(order: &MoveOrder, item: ItemIx) -> String {
    format!("{} (`{}`)", words::item_name(order, item), clean(&order.item(item).id))
}

fn place(place: &Option<Place>) -> String {
    place.as_ref().map_or(String::new(), |p| format!(" ({})", clean(&p.to_string())))
}

/// Who has how many, by which way, and how many stay.
pub(in crate::report) fn whereabouts(order: &MoveOrder, why: &Why) -> Vec<String> {
    let mut out = Vec::new();
    for c in &why.planned.findings.carriers {
        if order.is_store(c.party) {
            continue;
        }
        for line in c.lines.iter().filter(|l| l.item == why.item) {
            let mass = line.mass.rounded(order.units());
            let (name, way) = (words::carrier_name(order, c.carrier), words::way(order, line));
            out.push(format!("{} with {name}, {way}, {mass}", line.count));
        }
    }
    match (why.at.left, order.store()) {
        (0, _) => {}
        (n, Some(store)) => {
            out.push(format!("{n} in the store, {}", clean(&order.party(store).id)))
        }
        (n, None) => out.push(format!("{n} not taken")),
    }
    out
}

/// The needs, wants, rules and things that ask for the item or bind it.
pub(in crate::report) fn said_of_it(order: &MoveOrder, item: ItemIx) -> Vec<String> {
    let mut out = Vec::new();
    // What it is in or brings along counts: a case meets needs by its contents.
    let inside = order.catalogue().inside(item);
    let here = |i: ItemIx| inside.iter().any(|(x, _)| *x == i);
    for need in order.needs() {
        if asks(order, &need.node, &here, item) {
            let (party, name) = (clean(&order.party(need.party).id), clean(&need.name));
            out.push(format!("need `{name}` of {party} can use it{}", place(&need.place)));
        }
    }
    for want in order.wants().iter().filter(|w| here(w.item)) {
        let (party, each) = (clean(&order.party(want.party).id), want.value);
        let most = if want.up_to > 1 { format!(", up to {}", want.up_to) } else { String::new() };
        out.push(format!("{party} wants it: value {each} each{most}{}", place(&want.place)));
    }
    for (_, other) in order.catalogue().items() {
        for r in other.requires.iter().filter(|r| here(r.item)) {
            let how = match r.count {
                Required::Each(n) => format!("{n} for each"),
                Required::Shared => "one for all".into(),
            };
            out.push(format!("{} requires it: {how}", clean(&other.name)));
        }
    }
    for rule in order.rules().iter().filter(|r| r.kind.names_item(item)) {
        out.push(format!("{}{}", self::rule(order, rule), place(&rule.place)));
    }
    if let Some(keeper) = &order.item(item).keeper {
        out.push(format!("its keeper is whoever has the duty `{}`", clean(keeper)));
    }
    out
}

fn asks(order: &MoveOrder, n: &NeedNode, here: &impl Fn(ItemIx) -> bool, item: ItemIx) -> bool {
    let any = |of: &[NeedNode]| of.iter().any(|n| asks(order, n, here, item));
    match n {
        NeedNode::Item { item, .. } => here(*item),
        NeedNode::Supply(d) => {
            let inside = order.catalogue().inside(item).iter();
            inside.flat_map(|(i, _)| &order.item(*i).supplies).any(|(s, _)| *s == d.supply)
        }
        NeedNode::All(of) | NeedNode::Any(of) | NeedNode::AtLeast { of, .. } => any(of),
    }
}

/// `rule apart: fuse-kit, spare-fuse-kit`.
fn rule(order: &MoveOrder, rule: &Rule) -> String {
    let items = |of: &[ItemIx]| list(of.iter().map(|i| order.item(*i).id.as_str()));
    let who = |of: &[CarrierIx]| list(of.iter().map(|c| order.carrier(*c).id.as_str()));
    let kind = &rule.kind;
    let value = |name: &str| match (name, kind.number()) {
        ("items", _) => items(kind.items()),
        ("carriers", _) => who(kind.carriers()),
        (_, Some(RuleNumber::Count(n))) => n.to_string(),
        _ => String::new(),
    };
    let what = fill(kind.words().brief, value, |_| false);
    format!("rule `{}`: {what}", rule.kind.word())
}

/// A few ids, and that there are more.
fn list<'a>(of: impl Iterator<Item = &'a str>) -> String {
    const MOST: usize = 5;
    let all: Vec<String> = of.map(|id| format!("`{}`", clean(id))).collect();
    let more = if all.len() > MOST { format!(" and {} more", all.len() - MOST) } else { "".into() };
    format!("{}{more}", all[..all.len().min(MOST)].join(", "))
}

pub(in crate::report) fn instead(order: &MoveOrder, instead: Instead) -> String {
    match instead {
        Instead::With(c) => format!("one more with {}", words::carrier_name(order, c)),
        Instead::Without(c) => format!("one fewer with {}", words::carrier_name(order, c)),
        Instead::Fewer if order.store().is_some() => "one more in the store".into(),
        Instead::Fewer => "one fewer taken".into(),
        Instead::More(p) => format!("one more in {}", clean(&order.party(p).id)),
    }
}

/// What is known of another way, a sentence a line.
pub(in crate::report) fn verdict(order: &MoveOrder, why: &Why, other: &Other) -> Vec<String> {
    match &other.verdict {
        Verdict::Worse(goal) => vec![format!("costs {}", costs(order, why, other, *goal))],
        Verdict::Better(goal) => {
            let better = costs(order, why, other, *goal);
            vec![format!("better, as the plan was not proven best: {better}; give it more time")]
        }
        Verdict::Open(goal) => {
            let cost = costs(order, why, other, *goal);
            let open = other.goals.iter().find(|g| g.goal == *goal);
            let open = open
                .map_or(String::new(), |g| format!(", and {}", known::possible(g, order.units())));
            vec![format!("not settled: came to {cost}{open}; give it more time")]
        }
        Verdict::AsGood if exact(why, other) => {
            vec!["as good: no goal decides between the two".into()]
        }
        Verdict::AsGood => vec!["as good, as far as is known".into()],
        Verdict::Unknown => vec!["none was found in the time given, which is no proof".into()],
        Verdict::Forbidden { obstacles, reason } => forbidden(order, obstacles, &reason.text),
    }
}

fn forbidden(order: &MoveOrder, obstacles: &[Obstacle], reason: &str) -> Vec<String> {
    let mut out = vec!["no plan goes that way".to_string()];
    if obstacles.is_empty() && !reason.is_empty() {
        out.push(clean(reason));
    }
    for obstacle in obstacles {
        let (what, place) = self::obstacle(order, obstacle);
        let alone = if obstacles.len() > 1 { "by itself " } else { "" };
        out.push(format!("forbidden {alone}by {what}{place}"));
    }
    out
}

pub(in crate::report) fn obstacle(order: &MoveOrder, obstacle: &Obstacle) -> (String, String) {
    let carrier = |c: &CarrierIx| words::carrier_name(order, *c);
    match obstacle {
        Obstacle::Rule(k) => (rule(order, &order.rules()[*k]), place(&order.rules()[*k].place)),
        Obstacle::Need(k) => {
            let need = &order.needs()[*k];
            (format!("need `{}`", clean(&need.name)), place(&need.place))
        }
        Obstacle::Limit(c) => (format!("the limit of {}", carrier(c)), at(order, *c)),
        Obstacle::Room(c) => (format!("the room of {}", carrier(c)), at(order, *c)),
        Obstacle::Ways(c) => {
            (format!("its ways of carry: none is for {}", carrier(c)), String::new())
        }
    }
}

fn at(order: &MoveOrder, c: CarrierIx) -> String {
    place(&order.carrier(c).place)
}

/// Whether both ends of the comparison are proven.
fn exact(why: &Why, other: &Other) -> bool {
    why.planned.goals.iter().chain(&other.goals).all(GoalResult::proven)
}

/// The first goal that differs, and then all others that do.
fn costs(order: &MoveOrder, why: &Why, other: &Other, first: GoalKind) -> String {
    let all = why.planned.goals.iter().zip(&other.goals);
    let differ = all.filter(|(a, b)| a.goal == first || a.reached.number() != b.reached.number());
    let from = differ.skip_while(|(a, _)| a.goal != first);
    let parts: Vec<String> = from.map(|(a, b)| difference(order, a, b)).collect();
    parts.join(", ")
}

/// `even 1.2 % more`.
fn difference(order: &MoveOrder, a: &GoalResult, b: &GoalResult) -> String {
    let (more, size) = match (a.reached, b.reached) {
        (GoalValue::Points(x), GoalValue::Points(y))
        | (GoalValue::Count(x), GoalValue::Count(y)) => (y > x, x.abs_diff(y).to_string()),
        (GoalValue::Mass(x), GoalValue::Mass(y)) => {
            let by = if y > x { y - x } else { x - y };
            (y > x, by.rounded(order.units()))
        }
        (GoalValue::Share(x), GoalValue::Share(y)) => (y > x, by(x, y)),
        _ => (false, String::new()),
    };
    let word = if more { "more" } else { "less" };
    let sure = if a.proven() && b.proven() { "" } else { "about " };
    format!("`{}` {sure}{size} {word}", a.goal)
}

/// How far two shares are apart, as they are printed.
fn by(a: Share, b: Share) -> String {
    let apart = a.permille_up().abs_diff(b.permille_up());
    match apart {
        0 => "under 0.1 %".into(),
        n => format!("{}.{} %", n / 10, n % 10),
    }
}
