//! A move order made in code instead of files, its plan, and the audit of a
//! plan of one's own: `cargo run --release --example build_in_code`.
//! Everything in it is invented.

use std::error::Error;
use tumpline::load::{
    Bearer, Carrier, CarrierIx, Catalogue, Item, ItemIx, MoveOrder, MoveParts, Need, NeedNode,
    Party, PartyIx, Person, Placement, Plan, Riding, Slots, Travel, Want, Way,
};
use tumpline::quantity::{Bulk, Percent, QuantityError};
use tumpline::split::{Options, Outcome, Watch, audit, split};

fn main() -> Result<(), Box<dyn Error>> {
    let order = order()?;
    let answer = split(&order, &Options::default(), &Watch::default());
    if let Outcome::Plan(planned) = &answer.outcome {
        for placement in planned.plan.placements() {
            println!("{}", told(&order, placement));
        }
    }

    // Any plan can be audited: here the lamp alone, in one person's hand.
    for fault in audit(&order, &lamp_alone()).faults {
        println!("the plan of my own: {}", fault.sentence(&order));
    }
    Ok(())
}

/// Two people, a lamp for two and a cloth that would be nice to have.
///
/// # Errors
/// If a quantity here is none, or the parts make no move.
pub fn order() -> Result<MoveOrder, Box<dyn Error>> {
    let items = vec![
        item("lamp", "Signal lamp", "8 kg", 1, Way::Pair)?,
        item("cloth", "Ground cloth", "1200 g", 2, Way::Back)?,
    ];
    // An error if an item named one that is not there, or a case contained itself.
    let catalogue = Catalogue::new(items, Vec::new())?;
    let pass = PartyIx(0);
    // An error if the parts did not go together: an index out of range, nobody in a party.
    Ok(MoveOrder::new(MoveParts {
        name: "Lamp to the pass".into(),
        catalogue,
        carriers: vec![person("ann", "12 kg", "3 kg")?, person("bo", "12 kg", "3.5 kg")?],
        parties: vec![Party {
            id: "pass".into(),
            travel: Travel::Foot,
            who: vec![CarrierIx(0), CarrierIx(1)],
            aboard: Vec::new(),
            place: None,
        }],
        needs: vec![Need {
            party: pass,
            name: "lamp lit".into(),
            node: NeedNode::Item { item: ItemIx(0), count: 1 },
            priority: None,
            place: None,
        }],
        wants: vec![Want { party: pass, item: ItemIx(1), value: 3, up_to: 1, place: None }],
        // The rest is as usual: no store, no rules, the goals in their usual order.
        ..MoveParts::default()
    })?)
}

/// A plan that breaks the lamp's way of carry.
pub fn lamp_alone() -> Plan {
    let by = Bearer::One { carrier: CarrierIx(0), way: Way::Hand };
    Plan::new(vec![Placement { by, item: ItemIx(0), count: 1 }])
}

fn told(order: &MoveOrder, placement: &Placement) -> String {
    let name = |c: CarrierIx| order.carrier(c).name.as_str();
    let who = match placement.by {
        Bearer::One { carrier, way } => format!("{} on {way}", name(carrier)),
        Bearer::Pair { first, second } => format!("{} and {}", name(first), name(second)),
    };
    format!("{} {}: {who}", placement.count, order.item(placement.item).name)
}

fn item(id: &str, name: &str, mass: &str, held: u32, way: Way) -> Result<Item, QuantityError> {
    Ok(Item {
        id: id.into(),
        name: name.into(),
        mass: mass.parse()?,
        bulk: Bulk::ZERO,
        held,
        ways: [way].into_iter().collect(),
        hands: 1,
        pair_shares: [Percent::HALF; 2],
        keeper: None,
        requires: Vec::new(),
        supplies: Vec::new(),
        uses: Vec::new(),
        contents: Vec::new(),
        tags: Vec::new(),
        place: None,
    })
}

fn person(id: &str, limit: &str, worn: &str) -> Result<Carrier, QuantityError> {
    let person = Person {
        body_mass: None,
        limit: limit.parse()?,
        limit_share: None,
        emergency_limit: limit.parse()?,
        emergency_given: false,
        worn: worn.parse()?,
        pack: None,
        duties: Vec::new(),
        slots: Slots::default(),
        uses: Vec::new(),
    };
    Ok(Carrier { id: id.into(), name: id.into(), riding: Riding::Person(person), place: None })
}
