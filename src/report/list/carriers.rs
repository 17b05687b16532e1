//! The columns of people and vehicles.

use super::column::{Column, Row, column, uses};
use crate::load::{Carrier, Person, Slots, Vehicle, Way};
use crate::quantity::{Bulk, Mass};
use crate::report::page::{Cell, Entry, Kind};

pub(super) const COLUMNS: &[Column] = &[
    column("kind", Kind::Text, "`person` or `vehicle`", |r| {
        of(r, |c| Cell::Text(if c.person().is_some() { "person" } else { "vehicle" }.into()))
    }),
    column("id", Kind::Text, "unique among people and vehicles", |r| {
        of(r, |c| Cell::Text(c.id.clone()))
    }),
    column("name", Kind::Text, "what people call them", |r| of(r, |c| Cell::Text(c.name.clone()))),
    column("body-mass", Kind::Mass, "of a person", |r| person(r, |p| mass(p.body_mass))),
    column("limit", Kind::Text, "the most a person may bear, worn included", |r| {
        person(r, |p| {
            Cell::Text(p.limit_share.map_or_else(|| p.limit.to_string(), |s| s.to_string()))
        })
    }),
    column("bears", Kind::Mass, "that limit or the payload, as a mass", |r| {
        of(r, |c| Cell::Mass(c.limit()))
    })
    .reckoned(),
    column("emergency-limit", Kind::Mass, "once somebody has dropped out, if more", |r| {
        person(r, |p| mass(Some(p.emergency_limit).filter(|most| *most != p.limit)))
    }),
    column("worn", Kind::Mass, "cannot be put down", |r| {
        person(r, |p| mass(Some(p.worn).filter(|worn| *worn != Mass::ZERO)))
    }),
    column("pack", Kind::Bulk, "room for what is on the back", |r| person(r, |p| bulk(p.pack))),
    column("duties", Kind::Text, "words that keepers name", |r| {
        person(r, |p| Cell::words(&p.duties))
    }),
    column("slots", Kind::Text, "how many things each way holds, if not as usual", |r| {
        person(r, |p| slots(&p.slots))
    }),
    column("uses", Kind::Text, "what a person uses", |r| {
        person(r, |p| uses(&p.uses, &r.stock.supplies))
    }),
    column("payload", Kind::Mass, "the most a vehicle may bear", |r| {
        vehicle(r, |v| Cell::Mass(v.payload))
    }),
    column("bed", Kind::Bulk, "room for kit", |r| vehicle(r, |v| bulk(v.bed))),
    column("seats", Kind::Count, "how many people ride", |r| {
        vehicle(r, |v| Cell::Count(v.seats.into()))
    }),
    column("hauled", Kind::Text, "goes with a party on foot", |r| {
        vehicle(r, |v| Cell::Flag(v.hauled))
    }),
];

/// What a table has where nobody asks for other columns.
pub(super) const USUAL: [&str; 8] =
    ["kind", "id", "name", "bears", "worn", "pack", "bed", "duties"];

fn of(row: &Row, value: impl Fn(&Carrier) -> Cell) -> Cell {
    row.carrier().map_or(Cell::None, value)
}

fn person(row: &Row, value: impl Fn(&Person) -> Cell) -> Cell {
    row.carrier().and_then(Carrier::person).map_or(Cell::None, value)
}

fn vehicle(row: &Row, value: impl Fn(&Vehicle) -> Cell) -> Cell {
    row.carrier().and_then(Carrier::vehicle).map_or(Cell::None, value)
}

fn mass(mass: Option<Mass>) -> Cell {
    mass.map_or(Cell::None, Cell::Mass)
}

fn bulk(bulk: Option<Bulk>) -> Cell {
    bulk.map_or(Cell::None, Cell::Bulk)
}

fn slots(slots: &Slots) -> Cell {
    let usual = Slots::default();
    let ways = [Way::Back, Way::Chest, Way::Shoulder, Way::Belt, Way::Hand];
    let other = ways.into_iter().filter(|w| slots.of(*w) != usual.of(*w));
    Cell::entries(other.filter_map(|w| Some((w.word().into(), Entry::Count(slots.of(w)?)))))
}
