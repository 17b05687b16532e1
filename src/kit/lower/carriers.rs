//! Carriers: people and vehicles.

use super::faults::duplicate;
use super::items::words;
use super::scalar::{self, Lookup, MassOr};
use super::supplies::Supplies;
use crate::code::FaultCode;
use crate::diagnostic::{Diagnostic, Sink};
use crate::load::{Carrier, CarrierIx, Person, Riding, Slots, Vehicle};
use crate::quantity::{Mass, Percent};
use crate::raw::{Count, RawCarriers, RawPerson, RawVehicle};
use crate::source::TextSpan;
use crate::tree::At;
use std::collections::BTreeMap;

/// The most things that a way of a person, or people that a vehicle, holds.
const MOST_PLACES: u32 = 1000;

/// Every carrier, by id, and where each is written.
#[derive(Debug, Default)]
pub(crate) struct Carriers {
    pub list: Vec<Carrier>,
    pub by_id: BTreeMap<String, CarrierIx>,
    pub spans: Vec<TextSpan>,
}

impl Carriers {
    pub fn find(&self, id: &str, span: TextSpan, sink: &mut Sink) -> Option<CarrierIx> {
        let look = Lookup { by_id: &self.by_id, code: FaultCode::UnknownCarrier, noun: "carrier" };
        look.find(id, span, |ix| self.spans.get(ix.0).copied(), sink)
    }

    fn enter(&mut self, id: &str, name: String, riding: Riding, at: At<'_>, sink: &mut Sink) {
        let span = at.get("id").span();
        scalar::id(id, span, sink);
        if let Some(first) = self.by_id.get(id) {
            let first = self.spans.get(first.0).copied();
            sink.fault(|| duplicate("carrier", id, span, first));
            return;
        }
        self.by_id.insert(id.to_string(), CarrierIx(self.list.len()));
        self.list.push(Carrier { id: id.to_string(), name, riding, place: at.place() });
        self.spans.push(span);
    }
}

/// Lowers the people and vehicles that stand at `at`.
pub(crate) fn carriers(
    raw: &RawCarriers,
    at: At<'_>,
    supplies: &mut Supplies,
    sink: &mut Sink,
) -> Carriers {
    let mut out = Carriers::default();
    for (i, p) in raw.people.iter().flatten().enumerate() {
        let at = at.get("people").item(i);
        let text = p.name.as_ref().map(|n| n.0.as_str());
        let name = scalar::name(text, &p.id.0, at, "name", sink);
        let person = person(p, at, supplies, sink);
        out.enter(&p.id.0, name, Riding::Person(person), at, sink);
    }
    for (i, v) in raw.vehicles.iter().flatten().enumerate() {
        let at = at.get("vehicles").item(i);
        let text = v.name.as_ref().map(|n| n.0.as_str());
        let name = scalar::name(text, &v.id.0, at, "name", sink);
        let vehicle = vehicle(v, at, sink);
        out.enter(&v.id.0, name, Riding::Vehicle(vehicle), at, sink);
    }
    out
}

fn person(raw: &RawPerson, at: At<'_>, supplies: &mut Supplies, sink: &mut Sink) -> Person {
    let text = |t: &Option<crate::raw::MassText>| t.as_ref().map(|t| t.0.clone());
    let body_mass: Option<Mass> =
        scalar::maybe(text(&raw.body_mass).as_deref(), "body-mass", at, sink);
    let read = limit(&raw.limit.0, body_mass, raw, at.get("limit"), sink);
    let (limit, limit_share) = read.unwrap_or_default();
    let emergency_limit = emergency_limit(raw, limit, body_mass, at, sink);
    let pack = raw.pack.as_ref().map(|t| t.0.as_str());
    Person {
        body_mass,
        limit,
        limit_share,
        emergency_limit,
        emergency_given: raw.emergency_limit.is_some(),
        worn: scalar::maybe(text(&raw.worn).as_deref(), "worn", at, sink).unwrap_or_default(),
        pack: scalar::maybe(pack, "pack", at, sink),
        duties: match &raw.duties {
            Some(list) => words(list.iter().map(|t| t.0.as_str()), at.get("duties"), sink),
            None => Vec::new(),
        },
        slots: slots(raw, at, sink),
        uses: match &raw.uses {
            Some(uses) => supplies.uses(uses, at.get("uses"), sink),
            None => Vec::new(),
        },
    }
}

/// A limit, and the share of body mass if it was given as one.
fn limit(
    text: &str,
    body_mass: Option<Mass>,
    raw: &RawPerson,
    at: At<'_>,
    sink: &mut Sink,
) -> Option<(Mass, Option<Percent>)> {
    match scalar::mass_or_share(text, at, sink)? {
        MassOr::Mass(m) => Some((m, None)),
        MassOr::Share(share) => {
            if raw.body_mass.is_none() {
                sink.fault(|| {
                    let what = "a limit as a share needs the body mass it is a share of";
                    Diagnostic::error(FaultCode::NoBodyMass, what)
                        .at(at.span(), "a share of what?")
                        .help("give `body-mass`, or the limit as a mass")
                });
            }
            Some((share.of_mass_down(body_mass.unwrap_or_default()), Some(share)))
        }
    }
}

/// What may be borne when somebody has dropped out: no less than the limit.
fn emergency_limit(
    raw: &RawPerson,
    least: Mass,
    body_mass: Option<Mass>,
    at: At<'_>,
    sink: &mut Sink,
) -> Mass {
    let Some(text) = &raw.emergency_limit else { return least };
    let at_it = at.get("emergency-limit");
    // Where something could not be read, that was reported already.
    let Some((most, share)) = limit(&text.0, body_mass, raw, at_it, sink) else { return least };
    if most < least && (share.is_none() || body_mass.is_some()) {
        sink.fault(|| {
            let what = format!("the emergency limit, {most}, is below the limit, {least}");
            Diagnostic::error(FaultCode::EmergencyLimit, what)
                .at(at_it.span(), "less than on any other day")
                .label(at.get("limit").span(), "the limit")
                .help(format!("give {least} or more, or leave it out for the limit itself"))
        });
    }
    most.max(least)
}

fn slots(raw: &RawPerson, at: At<'_>, sink: &mut Sink) -> Slots {
    let usual = Slots::default();
    let Some(slots) = &raw.slots else { return usual };
    let at = at.get("slots");
    let mut read = |t: &Option<Count>, field: &str, most: u32| {
        t.as_ref().and_then(|t| scalar::count(&t.0, at.get(field), 0..=most, sink))
    };
    Slots {
        back: read(&slots.back, "back", MOST_PLACES).or(usual.back),
        chest: read(&slots.chest, "chest", MOST_PLACES).or(usual.chest),
        shoulder: read(&slots.shoulder, "shoulder", MOST_PLACES).or(usual.shoulder),
        belt: read(&slots.belt, "belt", MOST_PLACES).or(usual.belt),
        hand: read(&slots.hand, "hand", 2).unwrap_or(usual.hand),
    }
}

fn vehicle(raw: &RawVehicle, at: At<'_>, sink: &mut Sink) -> Vehicle {
    let bed = raw.bed.as_ref().map(|t| t.0.as_str());
    let yes_no = [("true", true), ("false", false)];
    Vehicle {
        payload: scalar::quantity(&raw.payload.0, at.get("payload"), sink).unwrap_or_default(),
        bed: scalar::maybe(bed, "bed", at, sink),
        seats: match &raw.seats {
            Some(t) => scalar::count(&t.0, at.get("seats"), 0..=MOST_PLACES, sink).unwrap_or(0),
            None => 0,
        },
        hauled: raw.hauled.as_ref().is_some_and(|t| {
            let at = at.get("hauled");
            scalar::word(&t.0, at, &yes_no, "`true` or `false`", sink).unwrap_or(false)
        }),
    }
}
