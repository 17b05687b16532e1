//! Why there is no plan, and what would make one, for the JSON report.

use crate::ask::{self, Explanation, Least};
use crate::kit::plan_json::At;
use crate::kit::plan_json::causes::{Change, Conflict, Edit, Offer, Part, Remedies};
use crate::load::MoveOrder;
use crate::report::explained;

pub(super) fn conflicts(order: &MoveOrder, found: &Explanation) -> Vec<Conflict> {
    let part = |part: &ask::Part, told: explained::Told| Part {
        kind: part.kind().word(),
        text: told.text,
        place: part.place(order).map(At::from),
    };
    let conflict = |c: &ask::Conflict| Conflict {
        irreducible: c.irreducible,
        reason: c.reason.as_ref().map(|r| r.text.clone()),
        parts: c.parts.iter().zip(explained::told(order, c)).map(|(p, t)| part(p, t)).collect(),
    };
    found.conflicts.iter().map(conflict).collect()
}

pub(super) fn changes(order: &MoveOrder, found: &Explanation) -> Remedies {
    let change = |change: &ask::Change, least: &Least| Change {
        kind: change.word(),
        text: explained::change(order, change),
        least: match least {
            Least::Proven => Some(true),
            Least::Unproven => Some(false),
            Least::Whole => None,
        },
    };
    let edit = |e: explained::Edit| Edit {
        record: e.record,
        id: e.id,
        party: e.party,
        key: e.key,
        value: e.value,
        place: e.place.as_ref().map(At::from),
    };
    let offer = |o: &ask::Offer| Offer {
        changes: o.changes.iter().zip(&o.least).map(|(c, l)| change(c, l)).collect(),
        edits: explained::edits(order, &o.changes).into_iter().map(edit).collect(),
    };
    Remedies {
        more_causes: found.more,
        complete: found.complete,
        offers: found.offers.iter().map(offer).collect(),
    }
}
