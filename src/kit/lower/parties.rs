//! Parties, the store, and who rides in what.

use super::carriers::Carriers;
use super::faults::{empty, twice};
use super::scalar::{self, Lookup};
use crate::code::FaultCode;
use crate::diagnostic::{Diagnostic, Sink, counted, quoted};
use crate::load::{CarrierIx, Party, PartyIx, Travel};
use crate::raw::{RawMove, RawParty};
use crate::source::TextSpan;
use crate::tree::At;
use std::collections::BTreeMap;

/// Every party, by id.
#[derive(Debug, Default)]
pub(super) struct Parties {
    pub list: Vec<Party>,
    by_id: BTreeMap<String, PartyIx>,
    spans: Vec<TextSpan>,
    /// Per carrier: its party, and where it was put there.
    pub of: Vec<Option<(PartyIx, TextSpan)>>,
    pub store: Option<PartyIx>,
}

impl Parties {
    pub fn find(&self, id: &str, span: TextSpan, sink: &mut Sink) -> Option<PartyIx> {
        let look = Lookup { by_id: &self.by_id, code: FaultCode::UnknownParty, noun: "party" };
        look.find(id, span, |ix| self.spans.get(ix.0).copied(), sink)
    }
    pub fn of(&self, c: CarrierIx) -> Option<PartyIx> {
        self.of.get(c.0).copied().flatten().map(|(p, _)| p)
    }
    pub fn get(&self, p: PartyIx) -> Option<&Party> {
        self.list.get(p.0)
    }
}

/// The ids of a list that may be a single one, each with its place.
pub(super) fn ids(at: At<'_>) -> Vec<(&str, TextSpan)> {
    match at.text() {
        Some(one) => vec![(one, at.span())],
        None => at.children().filter_map(|id| Some((id.text()?, id.span()))).collect(),
    }
}

/// Carriers by id, each once; an empty list is a fault.
pub(super) fn who(at: At<'_>, carriers: &Carriers, sink: &mut Sink) -> Vec<(CarrierIx, TextSpan)> {
    let list = ids(at);
    if list.is_empty() {
        sink.fault(|| empty(at.key().unwrap_or("the list"), at));
    }
    let mut seen = std::collections::BTreeSet::new();
    let mut out = Vec::new();
    for (id, span) in list {
        if let Some(c) = carriers.find(id, span, sink) {
            if seen.insert(c) {
                out.push((c, span));
            } else {
                sink.fault(|| twice(id, span));
            }
        }
    }
    out
}

pub(super) fn parties(raw: &RawMove, at: At<'_>, carriers: &Carriers, sink: &mut Sink) -> Parties {
    let mut out = Parties { of: vec![None; carriers.list.len()], ..Parties::default() };
    let list_at = at.get("parties");
    if raw.parties.0.is_empty() {
        sink.fault(|| empty("parties", list_at).help("a move has at least one party"));
    }
    for (id, party) in &raw.parties.0 {
        one(id, party, list_at.get(id), carriers, &mut out, sink);
    }
    if let Some(id) = &raw.stays_with {
        let span = at.get("stays-with").span();
        out.store = out.find(&id.0, span, sink);
        let store = out.store.and_then(|p| out.get(p));
        if store.is_some_and(|p| p.travel == Travel::Foot) {
            let own = out.store.and_then(|p| out.spans.get(p.0).copied());
            sink.fault(|| {
                let what = format!("the party {} goes on foot", quoted(&id.0));
                let d = Diagnostic::error(FaultCode::BadStore, what)
                    .at(span, "what is left has to stay with a party by vehicle");
                match own {
                    Some(own) => d.label(own, "this party"),
                    None => d,
                }
            });
        }
    }
    out
}

fn one(
    id: &str,
    raw: &RawParty,
    at: At<'_>,
    carriers: &Carriers,
    out: &mut Parties,
    sink: &mut Sink,
) {
    scalar::id(id, at.key_span(), sink);
    let ix = PartyIx(out.list.len());
    let words = [("foot", Travel::Foot), ("vehicle", Travel::Vehicle)];
    let travel = scalar::word(&raw.travel.0, at.get("travel"), &words, "a way to travel", sink);
    let named = who(at.get("who"), carriers, sink);
    let mut members = Vec::new();
    for (c, span) in &named {
        match out.of.get_mut(c.0) {
            Some(slot @ None) => {
                *slot = Some((ix, *span));
                members.push((*c, *span));
            }
            Some(Some((_, first))) => {
                let name = carriers.list.get(c.0).map_or("", |c| c.id.as_str());
                sink.fault(|| {
                    let what = format!("{} is in two parties", quoted(name));
                    Diagnostic::error(FaultCode::TwoParties, what)
                        .at(*span, "put in a party again here")
                        .label(*first, "already in a party here")
                });
            }
            None => {}
        }
    }
    let aboard = match travel {
        Some(Travel::Foot) => {
            on_foot(id, &members, at, carriers, named.len() > members.len(), sink);
            Vec::new()
        }
        Some(Travel::Vehicle) => by_vehicle(id, &members, at, carriers, sink),
        None => Vec::new(),
    };
    let who = members.iter().map(|(c, _)| *c).collect();
    let travel = travel.unwrap_or(Travel::Foot);
    out.by_id.insert(id.to_string(), ix);
    out.spans.push(at.key_span());
    out.list.push(Party { id: id.to_string(), travel, who, aboard, place: at.place() });
}

fn on_foot(
    id: &str,
    members: &[(CarrierIx, TextSpan)],
    at: At<'_>,
    carriers: &Carriers,
    others: bool,
    sink: &mut Sink,
) {
    let mut people = 0;
    for (c, span) in members {
        let Some(carrier) = carriers.list.get(c.0) else { continue };
        match carrier.vehicle() {
            None => people += 1,
            Some(v) if !v.hauled => sink.fault(|| {
                let what = format!("{} cannot go with a party on foot", quoted(&carrier.id));
                let d = Diagnostic::error(FaultCode::NotHauled, what)
                    .at(*span, "a vehicle that people do not haul");
                let d = match carriers.spans.get(c.0) {
                    Some(own) => d.label(*own, "declared here"),
                    None => d,
                };
                d.help("a sledge or cart that goes on foot is declared with `hauled: true`")
            }),
            Some(_) => {}
        }
    }
    if people == 0 && !members.is_empty() && !others {
        sink.fault(|| {
            Diagnostic::error(FaultCode::NobodyOnFoot, format!("nobody walks in {}", quoted(id)))
                .at(at.get("who").span(), "a party on foot needs at least one person")
        });
    }
}

/// Who rides in what: in the order written, the first vehicle's seats first.
fn by_vehicle(
    id: &str,
    members: &[(CarrierIx, TextSpan)],
    at: At<'_>,
    carriers: &Carriers,
    sink: &mut Sink,
) -> Vec<(CarrierIx, CarrierIx)> {
    let carrier = |c: CarrierIx| carriers.list.get(c.0);
    let mut seats = Vec::new();
    let mut vehicles = 0usize;
    let mut total = 0usize;
    let people: Vec<&(CarrierIx, TextSpan)> =
        members.iter().filter(|(c, _)| carrier(*c).is_some_and(|c| c.person().is_some())).collect();
    for (c, _) in members {
        if let Some(v) = carrier(*c).and_then(|c| c.vehicle()) {
            vehicles += 1;
            total += v.seats as usize;
            // No more entries than people: seats are only numbers in a file.
            let free = (v.seats as usize).min(people.len().saturating_sub(seats.len()));
            seats.extend(std::iter::repeat_n(*c, free));
        }
    }
    if vehicles == 0 && !members.is_empty() {
        sink.fault(|| {
            let what = format!("the party {} travels by vehicle and has none", quoted(id));
            Diagnostic::error(FaultCode::NoVehicle, what)
                .at(at.get("who").span(), "no vehicle is listed here")
        });
        return Vec::new();
    }
    if people.len() > total {
        let over = people.get(total).map_or_else(|| at.span(), |(_, span)| *span);
        sink.fault(|| {
            let what = format!(
                "the party {} has {} and {}",
                quoted(id),
                counted(people.len(), "person", "people"),
                counted(total, "seat", "seats")
            );
            Diagnostic::error(FaultCode::Seats, what).at(over, "no seat is left from here on")
        });
    }
    for (c, span) in &people {
        let without = carrier(*c).filter(|c| c.person().is_some_and(|p| p.body_mass.is_none()));
        if let Some(carrier) = without {
            sink.fault(|| {
                let what = format!("{} rides, and no body mass is given", quoted(&carrier.id));
                let d = Diagnostic::error(FaultCode::NoBodyMass, what)
                    .at(*span, "counts against the payload");
                match carriers.spans.get(c.0) {
                    Some(own) => d.label(*own, "give `body-mass` here"),
                    None => d,
                }
            });
        }
    }
    people.iter().zip(seats).map(|((c, _), v)| (*c, v)).collect()
}
