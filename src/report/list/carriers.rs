//! The columns of people and vehicles.

use super::column::{Column, Row, Shape, column};
use super::value::{Entry, Value, uses};
use crate::load::{Carrier, Person, Slots, Vehicle, Way};
use crate::quantity::{Bulk, Mass};

pub(super) const COLUMNS: &[Column] = &[
    column("kind", Shape::Text, "`person` or `vehicle`", |r| {
        of(r, |c| Value::Text(if c.person().is_some() { "person" } else { "vehicle" }.into()))
    }),
    column("id", Shape::Text, "unique among people and vehicles", |r| {
        of(r, |c| Value::Text(c.id.clone()))
    }),
    column("name", Shape::Text, "what people call them", |r| {
        of(r, |c| Value::Text(c.name.clone()))
    }),
    column("body-mass", Shape::Mass, "of a person", |r| person(r, |p| mass(p.body_mass))),
    column("limit", Shape::Text, "the most a person may bear, worn included", |r| {
        person(r, |p| {
            Value::Text(p.limit_share.map_or_else(|| p.limit.to_string(), |s| s.to_string()))
        })
    }),
    column("bears", Shape::Mass, "that limit or the payload, as a mass", |r| {
        of(r, |c| Value::Mass(c.limit()))
    })
    .reckoned(),
    column("emergency-limit", Shape::Mass, "once somebody has dropped out, if more", |r| {
        person(r, |p| mass(Some(p.emergency_limit).filter(|most| *most != p.limit)))
    }),
    column("worn", Shape::Mass, "cannot be put down", |r| {
        person(r, |p| mass(Some(p.worn).filter(|worn| *worn != Mass::ZERO)))
    }),
    column("pack", Shape::Bulk, "room for what is on the back", |r| person(r, |p| bulk(p.pack))),
    column("duties", Shape::Text, "words that keepers name", |r| {
        person(r, |p| Value::words(&p.duties))
    }),
    column("slots", Shape::Text, "how many things each way holds, if not as usual", |r| {
        person(r, |p| slots(&p.slots))
    }),
    column("uses", Shape::Text, "what a person uses", |r| {
        person(r, |p| uses(&p.uses, &r.stock.supplies))
    }),
    column("payload", Shape::Mass, "the most a vehicle may bear", |r| {
        vehicle(r, |v| Value::Mass(v.payload))
    }),
    column("bed", Shape::Bulk, "room for kit", |r| vehicle(r, |v| bulk(v.bed))),
    column("seats", Shape::Count, "how many people ride", |r| {
        vehicle(r, |v| Value::Count(v.seats.into()))
    }),
    column("hauled", Shape::Text, "goes with a party on foot", |r| {
        vehicle(r, |v| Value::Flag(v.hauled))
    }),
];

/// What a table has where nobody asks for other columns.
pub(super) const USUAL: [&str; 8] =
    ["kind", "id", "name", "bears", "worn", "pack", "bed", "duties"];

fn of(row: &Row, value: impl Fn(&Carrier) -> Value) -> Value {
    row.carrier().map_or(Value::None, value)
}

fn person(row: &Row, value: impl Fn(&Person) -> Value) -> Value {
    row.carrier().and_then(Carrier::person).map_or(Value::None, value)
}

fn vehicle(row: &Row, value: impl Fn(&Vehicle) -> Value) -> Value {
    row.carrier().and_then(Carrier::vehicle).map_or(Value::None, value)
}

fn mass(mass: Option<Mass>) -> Value {
    mass.map_or(Value::None, Value::Mass)
}

fn bulk(bulk: Option<Bulk>) -> Value {
    bulk.map_or(Value::None, Value::Bulk)
}

fn slots(slots: &Slots) -> Value {
    let usual = Slots::default();
    let ways = [Way::Back, Way::Chest, Way::Shoulder, Way::Belt, Way::Hand];
    let other = ways.into_iter().filter(|w| slots.of(*w) != usual.of(*w));
    Value::entries(other.filter_map(|w| Some((w.word().into(), Entry::Count(slots.of(w)?)))))
}
