//! A muster as a workbook: holdings with totals, differences, cases, moves.

use super::{Report, words};
use crate::ask::muster::Muster;
use crate::load::Counting;
use crate::quantity::Mass;
use crate::report::CAUTION;
use crate::report::workbook::{Book, Cell, Kind, Sheet};

pub(super) fn render(report: &Report<'_>) -> Result<Vec<u8>, String> {
    let muster = report.muster;
    let mut book = Book::new(&muster.name, muster.units);
    book.sheet(holdings(report));
    if let Some(sheet) = differences(muster) {
        book.sheet(sheet);
    }
    book.sheet(cases(muster));
    if let Some(sheet) = moves(report) {
        book.sheet(sheet);
    }
    book.bytes()
}

fn count(n: impl Into<u64>) -> Cell {
    Cell::Count(n.into())
}

fn holdings(report: &Report<'_>) -> Sheet {
    let muster = report.muster;
    let mut sheet = Sheet::new("Holdings")
        .note(&words::verdict(report))
        .note(CAUTION)
        .column("Item", Kind::Text)
        .column("Name", Kind::Text)
        .summed("Scale", Kind::Count)
        .summed("Held", Kind::Count)
        .summed("Shelf", Kind::Count)
        .summed("Issued", Kind::Count)
        .summed("Unserviceable", Kind::Count)
        .summed("On loan", Kind::Count)
        .summed("Fit", Kind::Count)
        .summed("Short", Kind::Count)
        .summed("Short of fit", Kind::Count)
        .summed("Surplus", Kind::Count)
        .summed("Missing", Kind::Count)
        .summed("Excess", Kind::Count)
        .summed("Mass held", Kind::Mass)
        .column("Remark", Kind::Text)
        .total("Total");
    for line in &muster.lines {
        let (item, h) = (&muster.catalogue[line.item], &line.holding);
        let remarks: Vec<String> = words::remarks(line).into_iter().map(|(_, r)| r).collect();
        sheet.row(vec![
            Cell::text(&item.id),
            Cell::text(&item.name),
            count(line.scale),
            count(h.held),
            count(h.shelf),
            count(h.issued_total()),
            count(h.unserviceable),
            count(h.on_loan_total()),
            count(h.fit()),
            count(line.short()),
            count(line.short_of_fit()),
            count(line.surplus()),
            count(h.missing()),
            count(h.excess()),
            Cell::Mass(line.mass),
            Cell::text(remarks.join("; ")),
        ]);
    }
    sheet
}

fn differences(muster: &Muster) -> Option<Sheet> {
    let outcome = muster.count.as_ref()?;
    let mut sheet = Sheet::new("Differences")
        .note(&words::counted(muster).unwrap_or_default())
        .column("Item", Kind::Text)
        .column("Name", Kind::Text)
        .column("Where", Kind::Text)
        .column("Recorded", Kind::Count)
        .column("Counted", Kind::Count)
        .column("Difference", Kind::Text)
        .column("By", Kind::Text)
        .column("Note", Kind::Text);
    for d in &outcome.differences {
        let (Counting::Loose(item, _) | Counting::InCase(_, item)) = &d.counted.what;
        let (name, at) = words::counting(&muster.catalogue, &d.counted.what);
        sheet.row(vec![
            Cell::text(&muster.catalogue[*item].id),
            Cell::text(name),
            Cell::text(at),
            count(d.recorded),
            count(d.counted.count),
            Cell::text(words::by_how_much(d)),
            Cell::text(d.counted.by.as_deref().unwrap_or("")),
            Cell::text(d.counted.note.as_deref().unwrap_or("")),
        ]);
    }
    Some(sheet)
}

fn cases(muster: &Muster) -> Sheet {
    let mut sheet = Sheet::new("Cases")
        .column("Case", Kind::Text)
        .column("Case name", Kind::Text)
        .summed("Case mass", Kind::Mass)
        .column("Item", Kind::Text)
        .column("Name", Kind::Text)
        .summed("Ought", Kind::Count)
        .summed("Found", Kind::Count)
        .summed("Short", Kind::Count)
        .summed("Over", Kind::Count)
        .total("Total");
    for case in &muster.cases {
        // An outer case weighs with what is in it.
        let outer = case.case.path.0.len() == 1;
        let mut mass = if outer { case.mass } else { Mass::ZERO };
        for (i, ought, found) in &case.case.lines {
            let item = &muster.catalogue[*i];
            sheet.row(vec![
                Cell::text(case.case.path.text(&muster.catalogue)),
                Cell::text(words::case_name(&muster.catalogue, case)),
                if mass == Mass::ZERO { Cell::Empty } else { Cell::Mass(mass) },
                Cell::text(&item.id),
                Cell::text(&item.name),
                count(*ought),
                count(*found),
                count(ought.saturating_sub(*found)),
                count(found.saturating_sub(*ought)),
            ]);
            // Once a case.
            mass = Mass::ZERO;
        }
    }
    sheet
}

fn moves(report: &Report<'_>) -> Option<Sheet> {
    let mut sheet = Sheet::new("Moves")
        .column("Move", Kind::Text)
        .column("File", Kind::Text)
        .column("With what is fit for use", Kind::Text);
    for m in report.moves? {
        let first = words::outlook(m, report.seconds).1;
        for text in std::iter::once(first).chain(words::losses(m).into_iter().map(|(_, t)| t)) {
            sheet.row(vec![Cell::text(m.order.name()), Cell::text(m.file), Cell::text(text)]);
        }
    }
    Some(sheet)
}
