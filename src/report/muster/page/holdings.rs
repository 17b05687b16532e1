//! What is held loose; in CSV what is in cases too.

use crate::ask::muster::{CaseLine, ItemLine, Totals};
use crate::load::ItemIx;
use crate::report::muster::{Report, words};
use crate::report::page::{
    ALL, CSV, Cell, Column, Forms, Head, Kind, Place, TERMINAL, TEXTS, Table, Tone, WORKBOOK,
};

/// From here on a terminal has room for the mass of each item.
const WIDE: usize = 90;

enum Row<'a> {
    Loose(&'a ItemLine),
    Content(&'a CaseLine, ItemIx, u32, u32),
    All(&'a Totals),
}
use Row::{All, Content, Loose};

pub(super) fn table(report: &Report<'_>) -> Table {
    let muster = report.muster;
    let contents = muster.cases.iter().flat_map(|case| {
        case.case.lines.iter().map(move |(i, ought, found)| Content(case, *i, *ought, *found))
    });
    let rows = muster.lines.iter().map(Loose).chain(contents).chain([All(&muster.totals)]);
    let item = |row: &Row| match row {
        Loose(line) => Some(&muster.catalogue[line.item]),
        Content(_, i, ..) => Some(&muster.catalogue[*i]),
        All(_) => None,
    };
    let name = |row: &Row| item(row).map_or_else(|| words::all(muster), |i| i.name.clone());
    let case = |row: &Row| match row {
        Content(case, ..) => Some(case.case.path.text(&muster.catalogue)),
        _ => None,
    };
    let kind = |row: &Row| if let Content(..) = row { "content" } else { "loose" };
    let count = |key: &str, on: Forms| Column::count(key).summed().on(on);
    let programs = CSV | WORKBOOK;
    let mass = Column::new("mass_g", Kind::Grams).headed("mass").book("Mass held");
    let table = Table::of(rows)
        .col(Column::text("kind").on(CSV), kind)
        .col(Column::text("case").on(CSV), case)
        .col(Column::text("item").on(programs), |r| item(r).map(|i| &i.id))
        .col(Column::text("item_name").headed("item").book("Name").place(Place::Wrapped), name)
        .col(count("scale", ALL), |r| match r {
            Loose(line) => line.scale.into(),
            Content(_, _, ought, _) => u64::from(*ought),
            All(all) => all.scale,
        })
        .col(count("held", ALL), |r| r.of(|l| l.holding.held.into(), |all| all.held))
        .col(count("shelf", ALL), |r| r.of(|l| l.holding.shelf.into(), |all| all.shelf))
        .col(count("issued", ALL), |r| r.of(|l| l.holding.issued_total(), |all| all.issued))
        .col(count("unserviceable", ALL).short("unserv."), |r| {
            r.of(|l| l.holding.unserviceable.into(), |all| all.unserviceable)
        })
        .col(count("on_loan", ALL).short("loan"), |r| {
            r.of(|l| l.holding.on_loan_total(), |all| all.on_loan)
        })
        .col(count("fit", ALL), |r| r.of(|l| l.holding.fit().into(), |all| all.fit))
        .col(Column::count("found").on(CSV), |r| r.content(|_, found| found))
        .col(count("short", programs), |r| r.or(ItemLine::short, u32::saturating_sub))
        .col(count("short_of_fit", programs), |r| r.loose().map(ItemLine::short_of_fit))
        .col(count("surplus", programs), |r| r.or(ItemLine::surplus, |a, b| b.saturating_sub(a)))
        .col(count("missing", programs), |r| r.loose().map(|l| l.holding.missing()))
        .col(count("excess", programs), |r| r.loose().map(|l| l.holding.excess()))
        .col(mass.summed().least(WIDE).on(programs | TERMINAL), |r| match r {
            Loose(line) => Some(line.mass),
            Content(..) => None,
            All(all) => Some(all.mass),
        })
        .col(Column::text("remark").headed("").book("Remark").under("", 4).on(ALL ^ CSV), |r| {
            r.loose().map(remarks)
        })
        .rows(|r, row| match r {
            Loose(line) if report.tells(line) => {}
            Loose(_) => row.on = programs,
            Content(..) => row.on = CSV,
            All(_) => (row.on, row.bold) = (TEXTS, true),
        });
    Table { head: Head::Bare(Tone::Plain), ..table.done().tight().total("Total") }
}

fn remarks(line: &ItemLine) -> Cell {
    let tone = |bad| if bad { Tone::Bad } else { Tone::Plain };
    Cell::Lines(words::remarks(line).into_iter().map(|(bad, said)| (tone(bad), said)).collect())
}

impl Row<'_> {
    fn loose(&self) -> Option<&ItemLine> {
        if let Loose(line) = self { Some(line) } else { None }
    }

    fn content(&self, of: impl Fn(u32, u32) -> u32) -> Option<u32> {
        if let Content(_, _, ought, found) = self { Some(of(*ought, *found)) } else { None }
    }

    /// Of what is loose, and of all that is.
    fn of(&self, loose: fn(&ItemLine) -> u64, all: fn(&Totals) -> u64) -> Option<u64> {
        match self {
            Loose(line) => Some(loose(line)),
            Content(..) => None,
            All(totals) => Some(all(totals)),
        }
    }

    /// Of what is loose, or of what ought to be in a case and was found.
    fn or(&self, loose: fn(&ItemLine) -> u32, content: fn(u32, u32) -> u32) -> Option<u32> {
        self.loose().map(loose).or_else(|| self.content(content))
    }
}
