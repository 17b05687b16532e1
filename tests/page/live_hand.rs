//! Changes by hand in the page's script: what is moved is moved and nothing
//! else, what cannot be is refused, and every fault has words.

use crate::common::cases::cases;
use crate::common::random_move::{Random, small};
use crate::common::repacked::repacked;
use crate::live::{Script, broken, enriched, placed};
use serde_json::{Value, json};
use std::collections::BTreeSet;
use tumpline::load::*;
use tumpline::quantity::Units;
use tumpline::report::live::{AUDIT, HAND, data, faults};
use tumpline::split::audit;

fn script() -> Script {
    Script::of(&format!("{AUDIT}{}{HAND}", faults()))
}

fn place(by: Option<Bearer>) -> Value {
    match by {
        None => Value::Null,
        Some(Bearer::One { carrier, way }) => {
            json!({"by": carrier.0, "way": way.word(), "with": null})
        }
        Some(Bearer::Pair { first, second }) => {
            json!({"by": first.0, "way": "pair", "with": second.0})
        }
    }
}

/// Whether somebody could take it so, in the words of `kits/README.md`: people on foot
/// by the item's ways, a pair of two of one party one thing, vehicles on the bed,
/// and where there is no store it may be left.
fn may(order: &MoveOrder, item: ItemIx, count: u32, to: Option<Bearer>) -> bool {
    let walks = |c: CarrierIx| {
        let party = order.party_of(c).map(|p| order.party(p).travel);
        party == Some(Travel::Foot) && order.carrier(c).person().is_some()
    };
    let ways = order.item(item).ways;
    match to {
        None => order.store().is_none(),
        Some(Bearer::One { carrier, way: Way::Bed }) => {
            order.party_of(carrier).is_some() && order.carrier(carrier).vehicle().is_some()
        }
        Some(Bearer::One { carrier, way }) => walks(carrier) && ways.has(way),
        Some(Bearer::Pair { first, second }) => {
            let both = walks(first) && walks(second) && first != second;
            both && order.party_of(first) == order.party_of(second)
                && ways.has(Way::Pair)
                && count == 1
        }
    }
}

#[test]
fn what_is_moved_is_moved_and_nothing_else() {
    let script = script();
    let (mut made, mut refused) = (0, 0);
    for seed in 1..=120u64 {
        let order = enriched(if seed % 2 == 0 { small(seed) } else { repacked(seed) }, seed, false);
        let mut r = Random(seed);
        let sound = Plan::default();
        let plan = broken(&order, &sound, &sound, 3, &mut r);
        script.load(&data(&order, &plan));
        for _ in 0..20 {
            let take = r.below(plan.placements().len() as u64 + 1) as usize;
            let (item, from, there) = match plan.placements().get(take) {
                Some(p) if p.item.0 < order.catalogue().len() => (p.item, Some(p.by), p.count),
                _ => {
                    let item = ItemIx(r.below(order.catalogue().len() as u64) as usize);
                    let out = plan.placements().iter().filter(|p| p.item == item);
                    let out: u32 = out.map(|p| p.count).sum();
                    let left = order.item(item).held.saturating_sub(out);
                    (item, None, if order.store().is_none() { left } else { 0 })
                }
            };
            let count = r.between(1, 3) as u32;
            let somebody =
                |r: &mut Random| CarrierIx(r.below(order.carriers().len() as u64) as usize);
            let to = match r.below(8) {
                0 => None,
                1 => Some(Bearer::Pair { first: somebody(&mut r), second: somebody(&mut r) }),
                _ => {
                    let ways =
                        [Way::Back, Way::Chest, Way::Shoulder, Way::Belt, Way::Hand, Way::Bed];
                    Some(Bearer::One { carrier: somebody(&mut r), way: r.pick(&ways) })
                }
            };
            // Of what the move does not know nothing can be moved.
            let known = |by: Option<Bearer>| match by {
                Some(Bearer::One { carrier, .. }) => carrier.0 < order.carriers().len(),
                Some(Bearer::Pair { first, second }) => {
                    first.0.max(second.0) < order.carriers().len()
                }
                None => true,
            };
            if !known(from)
                || plan
                    .placements()
                    .iter()
                    .any(|p| !known(Some(p.by)) || p.item.0 >= order.catalogue().len())
            {
                continue;
            }
            let change =
                json!({"item": item.0, "count": count, "from": place(from), "to": place(to)});
            let call = format!("told(apply(order, {}, {change}))", placed(&plan));
            let found: Value = serde_json::from_str(&script.text(&call)).expect("JSON");
            if from == to || count > there || !may(&order, item, count, to) {
                assert_eq!(found, Value::Null, "seed {seed}: {change} of {plan:?}");
                refused += 1;
                continue;
            }
            let mut next = plan.placements().to_vec();
            if let Some(from) = from {
                let p = next.iter_mut().find(|p| p.by == from && p.item == item).expect("it");
                p.count -= count;
            }
            next.extend(to.map(|by| Placement { by, item, count }));
            assert_eq!(found, placed(&Plan::new(next)), "seed {seed}: {change} of {plan:?}");
            made += 1;
        }
    }
    assert!(made >= 150 && refused >= 300, "{made} made, {refused} refused");
}

#[test]
fn every_fault_has_the_words_of_the_program_and_a_card() {
    let script = script();
    for seed in 1..=cases(60, 150u64) {
        let order = enriched(repacked(seed), seed, false);
        let mut r = Random(seed ^ 0xfa17);
        let mut plan = Plan::default();
        for k in 0..12 {
            plan = broken(&order, &Plan::default(), &plan, k, &mut r);
            script.load(&data(&order, &plan));
            script.audit(&order, &plan);
            for (units, word) in [(Units::Metric, "metric"), (Units::Imperial, "imperial")] {
                let call = format!(
                    "told(audit(order, order.plan).faults.map((f) => \
                     plain(faultParts(order, f, '{word}'))))"
                );
                let told: Vec<String> =
                    serde_json::from_str(&script.text(&call)).expect("a list of texts");
                let order = order.changed(|parts| parts.units = units).expect("a move");
                let ours = audit(&order, &plan).faults.into_iter().map(|f| f.sentence(&order));
                assert_eq!(BTreeSet::from_iter(told), BTreeSet::from_iter(ours), "{plan:?}");
            }
            let call = "told(audit(order, order.plan).faults.map((f) => [f.kind, \
                        plain(faultParts(order, f, 'metric')), concerned(order, order.plan, f)]))";
            let told: Value = serde_json::from_str(&script.text(call)).expect("JSON");
            for fault in told.as_array().expect("a list") {
                let words = fault[1].as_str().expect("words");
                let strange = ["undefined", "null", "NaN", "[object", "{"];
                assert!(words.len() > 10, "{fault}");
                assert!(strange.iter().all(|s| !words.contains(s)), "{fault}");
                // What nobody of the move has is on nobody's card.
                let nobody = matches!(fault[0].as_str(), Some("unknown" | "nowhere"));
                assert!(
                    nobody || fault[2].as_array().is_some_and(|who| !who.is_empty()),
                    "{fault}"
                );
            }
        }
    }
    script.assert_all_kinds();
}

/// 2 meals from Ann to Bo, in words: by hand.
#[test]
fn a_change_reads_as_people_say_it() {
    let text = "move: x\nequipment: [{id: meal, name: Ration meal, mass: 430 g, held: 4}]\n\
                carriers: {people: [{id: ann, name: Ann, limit: 2 kg}, {id: bo, name: Bo, limit: 1 kg}]}\n\
                parties: {up: {travel: foot, who: [ann, bo]}}\n";
    let order = tumpline::kit::read_move_text("x.move.yaml", text).expect("a sound move").order;
    let by = Bearer::One { carrier: CarrierIx(0), way: Way::Back };
    let plan = Plan::new(vec![Placement { by, item: ItemIx(0), count: 3 }]);
    let script = script();
    script.load(&data(&order, &plan));
    let change = "{item: 0, count: 3, from: {by: 0, way: 'back', with: null}, to: {by: 1, way: 'back', with: null}}";
    let call = format!(
        "asText(order, [{change}], audit(order, replay(order, [{change}])).faults, 'metric')"
    );
    assert_eq!(
        script.text(&call),
        "Changes by hand: x\n1. 3 × Ration meal: Ann (back) → Bo (back)\nBROKEN: 1\n\
         - Bo is OVER THE LIMIT by 0.29 kg: 1.29 of 1.00 kg\n"
    );
    let left = call.replace("{by: 1, way: 'back', with: null}}", "null}");
    assert_eq!(
        script.text(&left),
        "Changes by hand: x\n1. 3 × Ration meal: Ann (back) → left behind\n\
         Nothing is broken: limits, needs and rules are kept.\n"
    );
}
