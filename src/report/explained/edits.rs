//! A change as it is written into the files.

use super::written;
use crate::ask::{Change, Draft, Part, pieces};
use crate::kit::rule_forms;
use crate::load::{CarrierIx, MoveOrder, NeedNode, PartyIx, Place, RuleKind};

/// One thing to write or to take out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Edit {
    /// Where the record stands; of a new one, the record it is like.
    pub place: Option<Place>,
    /// `item`, `person`, `vehicle`, `party`, `need`, `rule` or `move`.
    pub record: &'static str,
    /// The id of an item, carrier or party, the name of a need, the number of a
    /// rule from 1.
    pub id: String,
    /// Of a need, its party.
    pub party: Option<String>,
    /// The key whose value changes; none for the whole record.
    pub key: Option<&'static str>,
    /// What is to stand there; none to take it out.
    pub value: Option<String>,
}

impl Edit {
    /// Whether the record is one that was not there.
    pub fn is_new(&self) -> bool {
        matches!(self.record, "person" | "vehicle") && self.key.is_none()
    }
}

/// `ridge.move.yaml:12:5: need `light`: {need: "light", item: lamp}`.
impl std::fmt::Display for Edit {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Edit { record, id, key, value, .. } = self;
        if let Some(place) = &self.place {
            let beside = if self.is_new() { "beside " } else { "" };
            write!(f, "{beside}{place}: ")?;
        }
        match (key, value) {
            (Some(key), Some(value)) => write!(f, "{key}: {value}"),
            (Some(key), None) => write!(f, "take out `{key}`"),
            (None, Some(value)) => write!(f, "- {value}"),
            (None, None) => write!(f, "take out {record} `{id}`"),
        }
    }
}

/// What the changes come to in the files. All of them together are to be
/// written.
pub fn edits(order: &MoveOrder, changes: &[Change]) -> Vec<Edit> {
    let mut draft = Draft::new(order);
    for change in changes {
        if let Some(next) = change.apply(&draft) {
            draft = next;
        }
    }
    let mut out = Vec::new();
    items(order, &draft, &mut out);
    carriers(order, &draft, &mut out);
    parties(order, &draft.order, &mut out);
    needs(order, &draft, &mut out);
    rules(order, &draft, &mut out);
    if order.store().is_some() && draft.order.store().is_none() {
        out.push(Edit {
            place: None,
            record: "move",
            id: order.name().to_string(),
            party: None,
            key: Some("stays-with"),
            value: None,
        });
    }
    out
}

fn items(order: &MoveOrder, draft: &Draft, out: &mut Vec<Edit>) {
    for (i, old) in order.catalogue().items() {
        let new = draft.order.item(i);
        let mut put = |key, value| {
            out.push(Edit {
                place: old.place.clone(),
                record: "item",
                id: old.id.clone(),
                party: None,
                key: Some(key),
                value,
            });
        };
        if new.ways != old.ways {
            put("carry", Some(written::ways(new.ways.iter())));
        }
        if new.held != old.held {
            put("held", Some(new.held.to_string()));
        }
        let on = |of: &usize| !draft.off.contains(&Part::Requires { item: i, of: *of });
        let left: Vec<_> = (0..new.requires.len()).filter(on).map(|k| new.requires[k]).collect();
        if left != old.requires {
            let value = written::requires(order, &left);
            put("requires", (!left.is_empty()).then_some(value));
        }
    }
}

fn carriers(order: &MoveOrder, draft: &Draft, out: &mut Vec<Edit>) {
    for (c, new) in draft.order.carriers().iter().enumerate() {
        let record = if new.person().is_some() { "person" } else { "vehicle" };
        let Some(old) = order.carriers().get(c) else {
            out.push(Edit {
                place: new.place.clone(),
                record,
                id: new.id.clone(),
                party: None,
                key: None,
                value: Some(written::carrier(order, new)),
            });
            continue;
        };
        let mut put = |key, value| {
            out.push(Edit {
                place: old.place.clone(),
                record,
                id: old.id.clone(),
                party: None,
                key: Some(key),
                value: Some(value),
            });
        };
        if new.limit() != old.limit() {
            put(if record == "person" { "limit" } else { "payload" }, new.limit().to_string());
        }
        if let Some(room) = new.room().filter(|_| new.room() != old.room()) {
            put(if record == "person" { "pack" } else { "bed" }, room.to_string());
        }
        let (Some(a), Some(b)) = (new.person(), old.person()) else { continue };
        // Left as it is, what was given would be below the limit: a fault.
        if b.emergency_given && a.emergency_limit != b.emergency_limit {
            put("emergency-limit", a.emergency_limit.to_string());
        }
        if a.slots != b.slots {
            put("slots", written::slots(&a.slots));
        }
    }
}

fn parties(order: &MoveOrder, new: &MoveOrder, out: &mut Vec<Edit>) {
    for (p, (old, party)) in order.parties().iter().zip(new.parties()).enumerate() {
        if old.who != party.who {
            out.push(Edit {
                place: old.place.clone(),
                record: "party",
                id: old.id.clone(),
                party: None,
                key: Some("who"),
                value: Some(written::party(new, PartyIx(p))),
            });
        }
    }
}

fn needs(order: &MoveOrder, draft: &Draft, out: &mut Vec<Edit>) {
    for (n, (old, new)) in order.needs().iter().zip(draft.order.needs()).enumerate() {
        let all = pieces(&new.node);
        let on = |k: &usize| !draft.off.contains(&Part::Need { need: n, piece: *k });
        let left: Vec<NeedNode> = (0..all.len()).filter(on).map(|k| all[k].clone()).collect();
        let node = match left.len() {
            0 => None,
            len if len == all.len() => Some(new.node.clone()),
            1 => left.first().cloned(),
            _ => Some(NeedNode::All(left)),
        };
        if node.as_ref() == Some(&old.node) {
            continue;
        }
        let whole = node.map(|node| crate::load::Need { node, ..old.clone() });
        out.push(Edit {
            place: old.place.clone(),
            record: "need",
            id: old.name.clone(),
            party: Some(order.party(old.party).id.clone()),
            key: None,
            value: whole.map(|need| written::need(order, &need)),
        });
    }
}

fn rules(order: &MoveOrder, draft: &Draft, out: &mut Vec<Edit>) {
    for (r, (old, new)) in order.rules().iter().zip(draft.order.rules()).enumerate() {
        let off = draft.off.contains(&Part::Rule(r));
        if !off && (new.kind == old.kind || binds_all(order, draft, &old.kind, &new.kind)) {
            continue;
        }
        out.push(Edit {
            place: old.place.clone(),
            record: "rule",
            id: (r + 1).to_string(),
            party: None,
            key: None,
            value: (!off).then(|| rule_forms::written(&draft.order, &new.kind)),
        });
    }
}

/// Whether the rule bound everybody that it binds if it names nobody, and does
/// so after newcomers: then there is nothing to write.
fn binds_all(order: &MoveOrder, draft: &Draft, old: &RuleKind, new: &RuleKind) -> bool {
    let bound = |kind: &RuleKind| -> Vec<CarrierIx> {
        let mut who = kind.carriers().to_vec();
        who.sort_unstable();
        who
    };
    let of_old: Vec<CarrierIx> =
        bound(new).into_iter().filter(|c| c.0 < order.carriers().len()).collect();
    let of_nobody = |kind: &RuleKind| kind.clone().with_carriers(Vec::new());
    of_old == bound(old)
        && of_nobody(old) == of_nobody(new)
        && rule_forms::usual(order, old) == Some(bound(old))
        && rule_forms::usual(&draft.order, new) == Some(bound(new))
}
