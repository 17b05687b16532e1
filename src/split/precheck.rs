//! Cheap checks before any solve, each with its plain words.
//!
//! Each one proves that no plan exists. The first that bites is the reason
//! given; what they miss, the program settles.

use super::answer::Reason;
use super::facts::Facts;
use crate::load::{Demand, ItemIx, NeedNode, Place, Way};
use crate::quantity::{Amount, Mass};

/// The first reason why no plan can exist, if one is plain to see.
pub(super) fn first_reason(facts: &Facts) -> Option<Reason> {
    over_before_kit(facts)
        .or_else(|| needs(facts))
        .or_else(|| fixed(facts))
        .or_else(|| together(facts))
        .or_else(|| apart(facts))
        .or_else(|| all_too_heavy(facts))
}

fn reason(text: String, place: &Option<Place>) -> Option<Reason> {
    Some(Reason { text, place: place.clone() })
}

fn kg(facts: &Facts, mg: u64) -> String {
    Mass::from_mg(mg).rounded(facts.order.units)
}

fn name(facts: &Facts, item: usize) -> String {
    let item = facts.order.item(ItemIx(item));
    format!("{} (`{}`)", item.name, item.id)
}

fn over_before_kit(facts: &Facts) -> Option<Reason> {
    let f = facts.carriers.iter().find(|f| f.burden > f.usable)?;
    let carrier = facts.order.carrier(f.ix);
    let what = if f.person { "wears" } else { "has people aboard of" };
    let (burden, usable) = (kg(facts, f.burden), kg(facts, f.usable));
    let text = format!(
        "{} (`{}`) {what} {burden} before taking anything; the limit left for this move is {usable}",
        carrier.name, carrier.id
    );
    reason(text, &carrier.place)
}

/// Leaves that must hold whatever branch is taken.
fn musts<'a>(node: &'a NeedNode, found: &mut Vec<&'a NeedNode>) {
    match node {
        NeedNode::Item { .. } | NeedNode::Supply(_) => found.push(node),
        NeedNode::All(of) => of.iter().for_each(|n| musts(n, found)),
        NeedNode::Any(of) if of.len() == 1 => musts(&of[0], found),
        NeedNode::AtLeast { count, of } if *count as usize == of.len() => {
            of.iter().for_each(|n| musts(n, found));
        }
        NeedNode::Any(_) | NeedNode::AtLeast { .. } => {}
    }
}

/// Units of the item that could ever be there, those in cases included.
fn most_there(facts: &Facts, item: usize) -> u64 {
    let held = |c: usize| u64::from(facts.items[c].held);
    facts.found_in[item].iter().map(|&(case, n)| held(case) * u64::from(n)).sum()
}

fn needs(facts: &Facts) -> Option<Reason> {
    for need in &facts.order.needs {
        let mut found = Vec::new();
        musts(&need.node, &mut found);
        for node in found {
            let problem = match node {
                NeedNode::Item { item, count } => item_problem(facts, item.0, *count, need.party.0),
                NeedNode::Supply(d) => supply_problem(facts, d, need.party.0),
                _ => None,
            };
            if let Some(problem) = problem {
                return reason(format!("need `{}`: {problem}", need.name), &need.place);
            }
        }
    }
    None
}

fn item_problem(facts: &Facts, item: usize, count: u32, party: usize) -> Option<String> {
    let held = most_there(facts, item);
    if held < u64::from(count) {
        let thing = name(facts, item);
        return Some(format!("{count} of {thing} are asked for, {held} are held in all"));
    }
    if facts.store() == Some(party) {
        return None;
    }
    let cases = || facts.found_in[item].iter().map(|(case, _)| *case);
    let holders = || cases().filter(|&c| facts.items[c].held > 0);
    let here = &facts.order.parties[party].id;
    if holders().all(|c| !somebody_may(facts, c, party)) {
        let thing = name(facts, item);
        return Some(format!("nobody in party `{here}` may carry {thing}"));
    }
    if holders().all(|c| !somebody_can(facts, c, party)) {
        let mass = holders().map(|c| facts.items[c].mass).min().unwrap_or(0);
        let (thing, mass) = (name(facts, item), kg(facts, mass));
        return Some(format!(
            "nobody in party `{here}` can carry {thing} ({mass}) within their limit, room and hands"
        ));
    }
    None
}

fn somebody_may(facts: &Facts, item: usize, party: usize) -> bool {
    let here = &facts.by_party[party];
    let pair = here.iter().filter(|&&c| facts.may(item, c, Way::Pair)).count() > 1;
    let alone = |c: &usize| Way::ALL.into_iter().any(|w| w != Way::Pair && facts.may(item, *c, w));
    pair || here.iter().any(alone)
}

fn somebody_can(facts: &Facts, item: usize, party: usize) -> bool {
    let f = &facts.items[item];
    let here = &facts.by_party[party];
    let spare = |c: usize| {
        let c = &facts.carriers[c];
        c.usable.saturating_sub(c.burden)
    };
    let alone = |c: usize, way: Way| {
        let carrier = &facts.carriers[c];
        facts.may(item, c, way)
            && f.mass <= spare(c)
            && match way {
                Way::Back | Way::Bed => {
                    carrier.room.is_none_or(|r| f.bulk <= r)
                        && (way == Way::Bed || carrier.slots[Way::Back as usize] > 0)
                }
                Way::Hand => f.hands <= carrier.hands,
                Way::Pair => false,
                _ => carrier.slots[way as usize] > 0,
            }
    };
    let end = |c: usize, end: usize| {
        facts.may(item, c, Way::Pair) && facts.carriers[c].hands > 0 && f.pair[end] <= spare(c)
    };
    here.iter().any(|&c| Way::ALL.into_iter().any(|w| alone(c, w)))
        || here.iter().any(|&a| end(a, 0) && here.iter().any(|&b| a != b && end(b, 1)))
}

fn supply_problem(facts: &Facts, d: &Demand, party: usize) -> Option<String> {
    let supply = facts.order.catalogue.supply(d.supply);
    let have: u64 = facts
        .items
        .iter()
        .flat_map(|f| f.supplies.iter().map(move |(s, a)| (*s, a.saturating_mul(f.held.into()))))
        .filter(|(s, _)| *s == d.supply.0)
        .fold(0, |sum, (_, a)| sum.saturating_add(a));
    // What items use comes on top: this alone is too much already.
    let least = d.amount.map_or(0, |a| a.base)
        + d.per_person.map_or(0, |a| a.base) * u64::from(facts.people[party])
        + facts.use_by_people(party, d.supply, d.time);
    let times = u128::from(1_000_000 + d.slack.ppm());
    let asked = (u128::from(least) * times).div_ceil(1_000_000).min(u64::MAX.into()) as u64;
    if asked <= have {
        return None;
    }
    let show = |n| Amount::new(supply.dimension, n).rounded(facts.order.units);
    let slack = if d.slack.ppm() > 0 { " with slack" } else { "" };
    Some(format!(
        "{} of {} are asked for{slack}, everything held makes {}",
        show(asked),
        supply.id,
        show(have)
    ))
}

fn fixed(facts: &Facts) -> Option<Reason> {
    let rules = facts.order.rules.iter();
    for rule in rules {
        let crate::load::RuleKind::Fixed { item, count, carrier } = &rule.kind else { continue };
        let (id, thing) = (&facts.order.carrier(*carrier).id, name(facts, item.0));
        let held = facts.items[item.0].held;
        if held < *count {
            let text = format!("{count} of {thing} are fixed to `{id}`, {held} are held");
            return reason(text, &rule.place);
        }
        let at = facts.carriers.iter().position(|f| f.ix == *carrier);
        let may = at.is_some_and(|c| Way::ALL.into_iter().any(|w| facts.may(item.0, c, w)));
        if !may {
            return reason(
                format!("{thing} is fixed to `{id}`, who may not carry it"),
                &rule.place,
            );
        }
    }
    None
}

/// Units of each item that must leave the store for a party, whatever else.
fn must_go(facts: &Facts, party: usize) -> Vec<u64> {
    let mut least = vec![0u64; facts.items.len()];
    for need in facts.order.needs.iter().filter(|n| n.party.0 == party) {
        let mut found = Vec::new();
        musts(&need.node, &mut found);
        for node in found {
            if let NeedNode::Item { item, count } = node {
                // In a case or loose: only what is in no case is sure to go
                // by itself.
                if facts.found_in[item.0].len() == 1 {
                    least[item.0] = least[item.0].max(u64::from(*count));
                }
            }
        }
    }
    least
}

fn outside_parties<'a>(facts: &'a Facts) -> impl Iterator<Item = usize> + 'a {
    (0..facts.by_party.len()).filter(|p| Some(*p) != facts.store())
}

fn together(facts: &Facts) -> Option<Reason> {
    for rule in &facts.order.rules {
        let crate::load::RuleKind::Together { items } = &rule.kind else { continue };
        for p in outside_parties(facts) {
            let least = must_go(facts, p);
            // A pair's thing may hang on somebody else by half.
            let alone = items.iter().filter(|i| !facts.order.item(**i).ways.has(Way::Pair));
            let mass: u64 = alone.map(|i| least[i.0] * facts.items[i.0].mass).sum();
            let spare = |c: &usize| {
                let f = &facts.carriers[*c];
                f.usable.saturating_sub(f.burden)
            };
            let most = facts.by_party[p].iter().map(spare).max().unwrap_or(0);
            if mass > most {
                let party = &facts.order.parties[p].id;
                let (mass, most) = (kg(facts, mass), kg(facts, most));
                let text = format!(
                    "what is to go together weighs {mass}, and nobody in party `{party}` can take more than {most}"
                );
                return reason(text, &rule.place);
            }
        }
    }
    None
}

fn apart(facts: &Facts) -> Option<Reason> {
    for rule in &facts.order.rules {
        let crate::load::RuleKind::Apart { items } = &rule.kind else { continue };
        for p in outside_parties(facts) {
            let least = must_go(facts, p);
            let kinds = items.iter().filter(|i| least[i.0] > 0).count();
            let carriers = facts.by_party[p].len();
            if kinds > carriers {
                let party = &facts.order.parties[p].id;
                let text = format!(
                    "{kinds} things that must go are to be apart, and party `{party}` has {carriers} to carry them"
                );
                return reason(text, &rule.place);
            }
        }
    }
    None
}

fn all_too_heavy(facts: &Facts) -> Option<Reason> {
    for p in outside_parties(facts) {
        let least = must_go(facts, p);
        let mass: u64 = least.iter().zip(&facts.items).map(|(n, f)| n * f.mass).sum();
        let spare = facts.by_party[p].iter().map(|&c| &facts.carriers[c]);
        let spare: u64 = spare.map(|f| f.usable.saturating_sub(f.burden)).sum();
        if mass > spare {
            let party = &facts.order.parties[p];
            let text = format!(
                "what party `{}` must take weighs at least {}, and all its limits together leave {}",
                party.id,
                kg(facts, mass),
                kg(facts, spare)
            );
            return reason(text, &party.place);
        }
    }
    let store = facts.store()?;
    // Everything is somewhere: on the beds of the store or outside it.
    let spare: u64 = facts.carriers.iter().map(|f| f.usable.saturating_sub(f.burden)).sum();
    if facts.held_mass > spare {
        let text = format!(
            "everything held weighs {}, and all limits together leave {}: the store (party `{}`) cannot keep the rest",
            kg(facts, facts.held_mass),
            kg(facts, spare),
            facts.order.parties[store].id
        );
        return reason(text, &facts.order.parties[store].place);
    }
    None
}
