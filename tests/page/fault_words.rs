//! What each fault is in words, in Rust and in the page's script.

use crate::live::{self, Script};

use std::collections::BTreeSet;
use tumpline::load::*;
use tumpline::quantity::{Bulk, Mass, Units};
use tumpline::report::live::{AUDIT, HAND, data, faults};
use tumpline::split::Fault;

/// The sentences as they are printed, one of each kind: by hand. 5 kg are 11.02 lb
/// and 2 kg are 4.41 lb, by the pound of 1959.
#[test]
fn faults_read_well() {
    let text = "move: x\nequipment: [{id: meal, name: Ration meal, mass: 430 g, held: 4}, {id: mast, name: Mast, mass: 6 kg}]\n\
                carriers: {people: [{id: ann, name: Ann, limit: 5 kg}, {id: bo, name: Bo, limit: 7 kg}], vehicles: [{id: van, name: Van, payload: 90 kg}]}\n\
                parties: {up: {travel: foot, who: [ann, bo]}, road: {travel: vehicle, who: van}}\n\
                needs: {up: [{need: Food for all, item: meal}]}\n\
                rules: [{apart: [meal, mast]}, {together: [meal, mast]}, {at-most: 1, of: [meal]}, {fixed: meal, to: ann, count: 2}, {keep-off: mast, from: bo}]\n";
    let order = tumpline::kit::read_move_text("x.move.yaml", text).expect("a sound move").order;
    let (ann, bo, van) = (CarrierIx(0), CarrierIx(1), CarrierIx(2));
    let (meal, mast, up) = (ItemIx(0), ItemIx(1), PartyIx(0));
    let (kg, litres) = (|n: u64| Mass::from_mg(n * 1_000_000), |n: u64| Bulk::from_ml(n * 1_000));
    let rule = |n, carrier, party, items: &[ItemIx], count| Fault::Rule {
        rule: RuleIx(n),
        carrier,
        party,
        items: items.to_vec(),
        count,
    };
    let pair = (ann, bo);
    let told = [
        (
            Fault::OverLimit { carrier: ann, load: kg(7), limit: kg(5) },
            "Ann is OVER THE LIMIT by 4.41 lb: 15.43 of 11.02 lb",
        ),
        (
            Fault::OverLimit { carrier: ann, load: Mass::from_mg(5_000_001), limit: kg(5) },
            "Ann is OVER THE LIMIT by 1 mg: 11.02 of 11.02 lb",
        ),
        (
            Fault::IntoReserve { carrier: bo, load: kg(7), usable: kg(5) },
            "Bo is INTO THE RESERVE by 4.41 lb: 15.43 of 11.02 lb",
        ),
        (
            Fault::OverAtWorst { carrier: bo, worst: kg(7), usable: kg(5) },
            "Bo could be OVER THE LIMIT by 4.41 lb if things weigh more than the list says",
        ),
        (
            Fault::PackTooFull { carrier: ann, bulk: litres(21), room: litres(20) },
            "Ann has 21.0 of 20.0 L in the pack: too much by 1000 mL",
        ),
        (
            Fault::BedTooFull { carrier: van, bulk: litres(21), room: litres(20) },
            "Van has 21.0 of 20.0 L in the bed: too much by 1000 mL",
        ),
        (
            Fault::Slots { carrier: ann, way: Way::Belt, count: 1, most: 0 },
            "Ann has 1 thing by belt, where at most 0 can be",
        ),
        (
            Fault::Slots { carrier: ann, way: Way::Belt, count: 3, most: 2 },
            "Ann has 3 things by belt, where at most 2 can be",
        ),
        (Fault::Pairs { carrier: ann, count: 2 }, "Ann is in 2 pairs at once"),
        (Fault::Hands { carrier: ann, used: 1, hands: 0 }, "Ann uses 1 hand of 0"),
        (
            Fault::HandsFree { carrier: ann, used: 2, hands: 2, keep: 1 },
            "Ann uses 2 hands of 2, and 1 must stay free",
        ),
        (
            rule(0, Some(ann), None, &[meal, mast], None),
            "Ann has Ration meal and Mast, which must go apart",
        ),
        (
            rule(1, None, Some(up), &[meal, mast], None),
            "Ration meal and Mast must be on one carrier of up",
        ),
        (
            rule(2, Some(bo), None, &[meal], Some(3)),
            "Bo has 3 of Ration meal, where at most 1 may be",
        ),
        (rule(3, Some(ann), None, &[meal], Some(1)), "Ann has 1 of Ration meal and must have 2"),
        (rule(4, Some(bo), None, &[mast], None), "Mast may not be with Bo"),
        (Fault::Need { party: up, need: NeedIx(0) }, "NOT MET for up: Food for all"),
        (
            Fault::Requires { party: up, item: meal, there: 0, asked: 1 },
            "up has 0 of Ration meal, and 1 is required by what is there",
        ),
        (
            Fault::Brings { party: up, any: vec![(meal, 2), (mast, 1)] },
            "up must bring 2 Ration meal or 1 Mast, so that the rest can carry on if somebody drops out",
        ),
        (Fault::TooMany { item: mast, placed: 2, held: 1 }, "2 are placed of Mast, and 1 is held"),
        (Fault::Nowhere { item: meal, count: 1 }, "1 is nowhere of Ration meal"),
        (Fault::Nobody { item: meal, carrier: bo }, "Ration meal is with Bo, who is in no party"),
        (
            Fault::BedOnly { item: meal, carrier: van },
            "Ration meal can only ride on the bed of Van",
        ),
        (
            Fault::Rider { item: meal, carrier: bo },
            "Bo rides and carries nothing, so not Ration meal",
        ),
        (
            Fault::Way { item: meal, carrier: bo, way: Way::Hand },
            "Ration meal may not be carried by hand",
        ),
        (
            Fault::PairParty { item: mast, carrier: pair.0, with: pair.1 },
            "Ann and Bo cannot carry Mast as a pair: that takes two people on foot of one party",
        ),
        (
            Fault::PairFoot { item: mast, carrier: pair.0, with: pair.1 },
            "Ann and Bo cannot carry Mast as a pair: that takes two people on foot of one party",
        ),
        (
            Fault::PairWay { item: mast, carrier: pair.0, with: pair.1 },
            "Mast may not be carried by a pair",
        ),
        (
            Fault::PairCount { item: mast, carrier: pair.0, with: pair.1 },
            "Ann and Bo carry one thing between them, not more of Mast",
        ),
        (Fault::Unknown {}, "something is placed that is not in the move"),
    ];
    let script = Script::of(&format!("{AUDIT}{}{HAND}", faults()));
    script.load(&data(&order, &Plan::default()).replace("\"metric\"", "\"imperial\""));
    let pounds = order.changed(|parts| parts.units = Units::Imperial).expect("a move");
    for (fault, words) in &told {
        assert_eq!(fault.sentence(&pounds), *words);
        // Masses and bulks are numbers without bound there.
        let text = live::fault(fault).to_string();
        let call = format!(
            "plain(faultParts(order, JSON.parse('{text}', (k, v) => \
             ['load', 'limit', 'usable', 'worst', 'bulk', 'room'].includes(k) ? BigInt(v) : v), 'imperial'))"
        );
        assert_eq!(script.text(&call), *words);
    }
    let met: BTreeSet<&str> = told.iter().map(|(f, _)| f.word()).collect();
    assert_eq!(met, Fault::KINDS.iter().map(|k| k.word).collect(), "a kind without its sentence");
}
