//! What keeps the rest from going on, in words.

use super::scenario::Scenario;
use crate::ask::oracle::{Oracle, Possible};
use crate::ask::vary::{self, set_limit, set_room};
use crate::load::{MoveParts, Riding, Slots};
use crate::quantity::Mass;
use crate::split::Reason;
use std::time::Duration;

/// The most time that finding the words may take, each.
const MOST: Duration = Duration::from_millis(500);

/// Takes one kind of limit away.
type Lift = fn(&mut MoveParts);

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
        ("the rules on who may take what and on free hands", |parts| parts.rules.clear()),
    ];
    let does =
        |lift: Lift| matches!(oracle.possible(&vary::changed(&rest, lift), MOST), Possible::Yes(_));
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
fn limits(parts: &mut MoveParts) {
    let all: Mass = parts.catalogue.items().map(|(_, i)| i.mass * i.held * 2).sum();
    for carrier in &mut parts.carriers {
        let worn = carrier.person().map_or(Mass::ZERO, |p| p.worn);
        set_limit(carrier, carrier.limit() + worn + all);
    }
}

fn room(parts: &mut MoveParts) {
    parts.carriers.iter_mut().for_each(|carrier| set_room(carrier, None));
}

/// Hands stay as they are: nobody has more of them.
fn slots(parts: &mut MoveParts) {
    for carrier in &mut parts.carriers {
        if let Riding::Person(p) = &mut carrier.riding {
            let hand = p.slots.hand;
            p.slots = Slots { back: None, chest: None, shoulder: None, belt: None, hand };
        }
    }
}
