//! Cheap infeasibility checks before any solve, each with its reason in plain
//! words.
//!
//! Each proves that no plan exists. The first that applies is the reason given;
//! what they miss, the programs settle.

use super::answer::Reason;
use super::bounds::{
    Misfit, Musts, leaves, mass_misfit, most_supply, room_misfit, somebody_can, somebody_may,
    spares,
};
use super::facts::{Facts, ItemFact};
use crate::facts::KitIx;
use crate::load::{Demand, ItemIx, NeedNode, Place, RuleKind, Way};
use crate::quantity::{Amount, Bulk, Dimension, Mass};

/// Things that one reason names.
const MOST_NAMED: usize = 3;

/// The first reason why no plan can exist, if one is plain to see.
pub(super) fn first_reason(facts: &Facts) -> Option<Reason> {
    let musts = Musts::new(facts);
    over_before_kit(facts)
        .or_else(|| needs(facts))
        .or_else(|| fixed(facts))
        .or_else(|| together(facts, &musts))
        .or_else(|| apart(facts, &musts))
        .or_else(|| all_too_heavy(facts, &musts))
        .or_else(|| unpackable(facts, &musts))
}

fn reason(text: String, place: &Option<Place>) -> Option<Reason> {
    Some(Reason { text, place: place.clone() })
}

fn kg(facts: &Facts, mg: u64) -> String {
    Mass::from_mg(mg).rounded(facts.order.units())
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

/// Units of the item that could ever be there, those in cases included.
fn most_there(facts: &Facts, item: usize) -> u64 {
    let held = |case: usize| u64::from(facts.items[case].held);
    facts.found_in[item].iter().map(|&(case, n)| held(case) * u64::from(n)).sum()
}

fn needs(facts: &Facts) -> Option<Reason> {
    for need in facts.order.needs() {
        let mut found = Vec::new();
        leaves(&need.node, &mut found);
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
    let here = &facts.order.parties()[party].id;
    if holders().all(|c| !somebody_may(facts, c, party)) {
        let thing = name(facts, item);
        return Some(format!("nobody in party `{here}` may carry {thing}"));
    }
    let spare = spares(facts);
    if holders().all(|c| !somebody_can(facts, c, party, &spare)) {
        let mass = holders().map(|c| facts.items[c].mass).min().unwrap_or(0);
        let (thing, mass) = (name(facts, item), kg(facts, mass));
        return Some(format!(
            "nobody in party `{here}` can carry {thing} ({mass}) within their limit, room and hands"
        ));
    }
    None
}

fn supply_problem(facts: &Facts, d: &Demand, party: usize) -> Option<String> {
    let supply = facts.order.catalogue().supply(d.supply);
    let have = most_supply(facts, d.supply.0);
    // What items use comes on top: this alone is too much already.
    let asked = facts.least_demand(party, &[d]);
    if asked <= have {
        return None;
    }
    let show = |n| Amount::new(supply.dimension, n).rounded(facts.order.units());
    let slack = if d.slack.ppm() > 0 { " with slack" } else { "" };
    // Twelve meals, but twelve metres of line.
    let of = if supply.dimension == Dimension::Count { " " } else { " of " };
    let (asked, id, have) = (show(asked), &supply.id, show(have));
    Some(format!("{asked}{of}{id} are asked for{slack}, everything held makes {have}"))
}

fn fixed(facts: &Facts) -> Option<Reason> {
    let rules = facts.order.rules().iter();
    for rule in rules {
        let RuleKind::Fixed { item, count, carrier } = &rule.kind else { continue };
        let (id, thing) = (&facts.order.carrier(*carrier).id, name(facts, item.0));
        let held = facts.items[item.0].held;
        if held < *count {
            let text = format!("{count} of {thing} are fixed to `{id}`, {held} are held");
            return reason(text, &rule.place);
        }
        let at = facts.carriers.iter().position(|f| f.ix == *carrier).map(KitIx);
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

fn outside_parties<'a>(facts: &'a Facts) -> impl Iterator<Item = usize> + 'a {
    (0..facts.by_party.len()).filter(|p| Some(*p) != facts.store())
}

fn together(facts: &Facts, musts: &Musts) -> Option<Reason> {
    for rule in facts.order.rules() {
        let RuleKind::Together { items } = &rule.kind else { continue };
        for p in outside_parties(facts) {
            let least = &musts.by_party[p];
            // A pair's thing may hang on somebody else by half.
            let alone = items.iter().filter(|i| !facts.order.item(**i).ways.has(Way::Pair));
            let mass: u64 = alone.map(|i| least[i.0] * facts.items[i.0].mass).sum();
            let spare = |c: &KitIx| {
                let f = &facts.carriers[*c];
                f.usable.saturating_sub(f.burden)
            };
            let most = facts.by_party[p].iter().map(spare).max().unwrap_or(0);
            if mass > most {
                let party = &facts.order.parties()[p].id;
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

fn apart(facts: &Facts, musts: &Musts) -> Option<Reason> {
    for rule in facts.order.rules() {
        let RuleKind::Apart { items } = &rule.kind else { continue };
        for p in outside_parties(facts) {
            let least = &musts.by_party[p];
            let kinds = items.iter().filter(|i| least[i.0] > 0).count();
            let carriers = facts.by_party[p].len();
            if kinds > carriers {
                let party = &facts.order.parties()[p].id;
                let text = format!(
                    "{kinds} things that must go are to be apart, and party `{party}` has {carriers} to carry them"
                );
                return reason(text, &rule.place);
            }
        }
    }
    None
}

fn all_too_heavy(facts: &Facts, musts: &Musts) -> Option<Reason> {
    for p in outside_parties(facts) {
        let mass = musts.mass(facts, p);
        let spare = facts.by_party[p].iter().map(|&c| &facts.carriers[c]);
        let spare: u64 = spare.map(|f| f.usable.saturating_sub(f.burden)).sum();
        if mass > spare {
            let party = &facts.order.parties()[p];
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
            facts.order.parties()[store].id
        );
        return reason(text, &facts.order.parties()[store].place);
    }
    None
}

/// What must go fits in sum, but whole things leave gaps.
fn unpackable(facts: &Facts, musts: &Musts) -> Option<Reason> {
    for p in outside_parties(facts) {
        let mass = Measure {
            verb: "weigh",
            within: "the limits of its carriers",
            of: |f| f.mass,
            words: |facts, mg| kg(facts, mg),
        };
        let bulk = Measure {
            verb: "take up",
            within: "the room of its packs and beds",
            of: |f| f.bulk,
            words: |_, ml| Bulk::from_ml(ml).rounded(),
        };
        let by_mass = mass_misfit(facts, musts, p).map(|misfit| (misfit, mass));
        let by_room = || room_misfit(facts, musts, p).map(|misfit| (misfit, bulk));
        if let Some((misfit, measure)) = by_mass.or_else(by_room) {
            let text = measure.words_of(facts, musts, p, misfit);
            return reason(text, &facts.order.parties()[p].place);
        }
    }
    None
}

/// Mass or bulk, and how to talk of it.
struct Measure {
    verb: &'static str,
    within: &'static str,
    of: fn(&ItemFact) -> u64,
    words: fn(&Facts, u64) -> String,
}

impl Measure {
    fn words_of(&self, facts: &Facts, musts: &Musts, party: usize, misfit: Misfit) -> String {
        let id = &facts.order.parties()[party].id;
        let (verb, within) = (self.verb, self.within);
        let size = |n: u64| (self.words)(facts, n);
        let those = |least: u64| self.those(facts, &musts.by_party[party], least);
        match misfit {
            Misfit::Sum { size: all, limits } => {
                let (all, limits) = (size(all), size(limits));
                format!("what party `{id}` must take comes to {all}, and {within} leave {limits}")
            }
            Misfit::Many { units, size: each, fit } => format!(
                "party `{id}` must take {units} things that {verb} {} or more each ({}), and {within} have place for {fit}",
                size(each),
                those(each)
            ),
            Misfit::Gaps { size: each } => format!(
                "what party `{id}` must take cannot be packed within {within}: things that {verb} {} or more ({}) leave too much of them empty",
                size(each),
                those(each)
            ),
        }
    }

    /// The largest of what must go, of some size and more.
    fn those(&self, facts: &Facts, must: &[u64], least: u64) -> String {
        let size = |i: usize| (self.of)(&facts.items[i]);
        let mut all: Vec<usize> =
            (0..must.len()).filter(|&i| must[i] > 0 && size(i) >= least.max(1)).collect();
        all.sort_by_key(|&i| (std::cmp::Reverse(size(i)), i));
        let more = if all.len() > MOST_NAMED { ", and more" } else { "" };
        let named: Vec<String> = all.iter().take(MOST_NAMED).map(|&i| name(facts, i)).collect();
        named.join(", ") + more
    }
}
