//! What keeps the rest from going on, in words.

use super::scenario::Scenario;
use crate::ask::oracle::{Oracle, Possible};
use crate::load::{MoveOrder, Riding, Slots};
use crate::quantity::Mass;
use crate::split::Reason;
use std::time::Duration;

/// The most time that finding the words may take, each.
const MOST: Duration = Duration::from_millis(500);

/// Takes one kind of limit away.
type Lift = fn(&mut MoveOrder);

/// The reason as it was found if it names a cause; else which kind of limit
/// would have to give way, as far as one alone would do.
pub(super) fn lack(s: &Scenario, held: &[u32], reason: Reason, oracle: &Oracle) -> Reason {
    if reason.place.is_some() {
        return reason;
    }
    let rest = s.order(held);
    let kinds: [(&str, Lift); 4] = [
        ("the limits of what they may bear", limits),
        ("the room in packs and on beds", room),
        ("the slots for things", slots),
        ("the rules on who may take what and on free hands", |order| order.rules.clear()),
    ];
    let does = |lift: Lift| {
        let mut order = rest.clone();
        lift(&mut order);
        matches!(oracle.possible(&order, MOST), Possible::Yes(_))
    };
    let enough: Vec<&str> =
        kinds.into_iter().filter(|(_, lift)| does(*lift)).map(|(what, _)| what).collect();
    let text = match enough.as_slice() {
        [] => "more than one kind of limit stands in the way".into(),
        [one] => format!("they could but for {one}"),
        many => format!("they could but for any one of {}", many.join("; ")),
    };
    Reason { text, place: None }
}

/// All of them bear whatever there is.
fn limits(order: &mut MoveOrder) {
    let all: Mass = order.catalogue.items().map(|(_, i)| i.mass * i.held * 2).sum();
    for carrier in &mut order.carriers {
        match &mut carrier.riding {
            Riding::Person(p) => p.limit += p.worn + all,
            Riding::Vehicle(v) => v.payload += all,
        }
    }
}

fn room(order: &mut MoveOrder) {
    for carrier in &mut order.carriers {
        match &mut carrier.riding {
            Riding::Person(p) => p.pack = None,
            Riding::Vehicle(v) => v.bed = None,
        }
    }
}

/// Hands stay as they are: nobody has more of them.
fn slots(order: &mut MoveOrder) {
    for carrier in &mut order.carriers {
        if let Riding::Person(p) = &mut carrier.riding {
            let hand = p.slots.hand;
            p.slots = Slots { back: None, chest: None, shoulder: None, belt: None, hand };
        }
    }
}
