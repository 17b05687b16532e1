//! Who carries what, party by party, and what stays.

use crate::load::{MoveOrder, PartyIx};
use crate::report::page::{
    Block, Cell, Column, Head, Kind, MARKDOWN, Page, Place, TERMINAL, TEXTS, Table, Tone, WORKBOOK,
    Whole, gap, heading, heading_of, para, typed,
};
use crate::report::{words, worst};
use crate::split::{CarrierFinding, Findings};

const INDENT: usize = 2;

pub(super) fn loads(order: &MoveOrder, findings: &Findings, page: &mut Page) {
    for p in 0..order.parties().len() {
        page.push(heading(&words::party(order, PartyIx(p))).on(TEXTS));
        let carriers = findings.carriers.iter().filter(|c| c.party == PartyIx(p));
        for (n, carrier) in carriers.enumerate() {
            if n > 0 {
                page.push(gap());
            }
            self::carrier(order, carrier, page);
        }
    }
    if order.store().is_none() {
        let left = Table::of(&findings.left)
            .col(Column::count("count"), |l| l.count)
            .col(Column::text("item").gives(10), |l| words::item_name(order, l.item));
        page.section(TEXTS, "Left behind", left.done().bare());
    }
}

fn carrier(order: &MoveOrder, c: &CarrierFinding, page: &mut Page) {
    page.push(heading_of(3, &words::carrier_name(order, c.carrier)).on(MARKDOWN));
    page.push(Block::from(head(order, c)).on(TERMINAL));
    if let Some(vehicle) = rides_in(order, c) {
        return page.push(typed(&vehicle).on(MARKDOWN));
    }
    let share = words::share(words::load_share(c));
    let mut facts = vec![format!("{} ({share})", words::load_of_limit(c, order.units()))];
    facts.extend(words::over(c, order.units()));
    facts.extend(words::details(order, c));
    page.push(para(&facts.join(", ")).on(MARKDOWN));
    if c.lines.is_empty() {
        page.push(para("nothing").indent(INDENT).on(TERMINAL));
    }
    let items = Table::of(&c.lines)
        .col(Column::count("count"), |l| l.count)
        .col(Column::text("item").gives(20), |l| words::item_name(order, l.item))
        .col(Column::text("way").gives(16), |l| words::way(order, l))
        .col(Column::mass("mass"), |l| l.mass);
    // One set of widths for the whole report, so that masses line up.
    page.push(Block::from(items.done().bare().group("items")).on(TEXTS));
}

fn rides_in(order: &MoveOrder, c: &CarrierFinding) -> Option<String> {
    let vehicle = words::rides_in(order, c.carrier)?;
    Some(format!("rides in {}", words::carrier_name(order, vehicle)))
}

/// The first lines of a carrier: how much of how much, and how full that is.
fn head(order: &MoveOrder, c: &CarrierFinding) -> Table {
    let over = words::over(c, order.units());
    let rides_in = rides_in(order, c);
    let details = match &rides_in {
        None => words::details(order, c).join(", "),
        Some(vehicle) => vehicle.clone(),
    };
    let bar = if over.is_some() { Tone::Bad } else { Tone::Plain };
    let text = |key: &str, part| Column::text(key).right().place(Place::Part(part));
    let table = Table::of([c])
        .col(Column::text("name").place(Place::Cut(10)).tone(Tone::Head), |c| {
            words::carrier_name(order, c.carrier)
        })
        .col(text("load", 3), |c| words::load_of_limit(c, order.units()))
        .col(text("share", 6), |c| words::share(words::load_share(c)))
        .col(Column::new("full", Kind::Bar), |c| Cell::toned(bar, words::load_share(c)))
        .col(Column::text("over").tone(Tone::Bad).under("", INDENT), |_| {
            over.clone().filter(|_| rides_in.is_none())
        })
        .col(Column::text("details").under("", INDENT), |_| details.clone())
        .rows(|_, row| row.whole = if rides_in.is_some() { Whole::Cut } else { Whole::No });
    Table { head: Head::None, ..table.done() }.group("heads")
}

/// A row for each carrier, for a workbook.
pub(super) fn table(order: &MoveOrder, findings: &Findings) -> Table {
    let who = |c: &&CarrierFinding| order.carrier(c.carrier);
    let rides = |c: &CarrierFinding| words::rides_in(order, c.carrier).is_some();
    // What rides weighs on the vehicle, and is in its row.
    let own = |value: fn(&CarrierFinding) -> Cell| {
        move |c: &&CarrierFinding| if rides(c) { Cell::None } else { value(c) }
    };
    let hands = |hands: fn(&CarrierFinding) -> u32| {
        move |c: &&CarrierFinding| {
            Some(hands(c)).filter(|_| !rides(c) && order.carrier(c.carrier).person().is_some())
        }
    };
    Table::of(&findings.carriers)
        .col(Column::text("party"), |c| &order.party(c.party).id)
        .col(Column::text("carrier"), |c| &who(c).id)
        .col(Column::text("name"), |c| &who(c).name)
        .col(Column::mass("kit").summed(), own(|c| c.load.saturating_sub(c.burden).into()))
        .col(Column::mass("worn or people aboard").summed(), own(|c| c.burden.into()))
        .col(Column::mass("load").summed(), own(|c| c.load.into()))
        .col(Column::mass("limit"), own(|c| c.limit.into()))
        .col(Column::mass("may be used"), own(|c| c.usable.into()))
        .col(Column::new("share of limit", Kind::Share), own(|c| words::load_share(c).into()))
        .col(Column::bulk("bulk"), own(|c| c.bulk.into()))
        .col(Column::bulk("room"), own(|c| c.room.into()))
        .col(Column::count("hands free"), hands(|c| c.hands.saturating_sub(c.hands_used)))
        .col(Column::count("hands"), hands(|c| c.hands))
        .col(Column::text("remark"), |c| match words::rides_in(order, c.carrier) {
            Some(vehicle) => format!("rides in {}", order.carrier(vehicle).name),
            None => {
                let over = words::over(c, order.units()).into_iter();
                over.chain(worst::worst(order, c)).collect::<Vec<_>>().join("; ")
            }
        })
        .done()
        .total("Total")
}

/// What nobody takes, for a workbook.
pub(super) fn stays(order: &MoveOrder, findings: &Findings, page: &mut Page) {
    page.push(heading("What stays").on(WORKBOOK));
    let note = match order.store() {
        Some(_) => "With the store: what no other party takes.",
        None => "Left behind: what nobody takes.",
    };
    page.push(para(note).on(WORKBOOK));
    let table = Table::of(&findings.left)
        .col(Column::text("item"), |l| &order.item(l.item).id)
        .col(Column::text("name"), |l| &order.item(l.item).name)
        .col(Column::count("count"), |l| l.count)
        .col(Column::mass("mass of one"), |l| order.item(l.item).mass)
        .col(Column::mass("mass").summed(), |l| order.item(l.item).mass * l.count);
    page.push(Block::from(table.done().total("Total")).on(WORKBOOK));
}
