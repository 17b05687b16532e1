//! The form that somebody with a clipboard fills in: every thing in every
//! place that is known of, and every content of every case, without the
//! recorded figures, so that what is counted is not what is expected. (That a
//! count is blind is common practice, no source.)

use crate::load::{Catalogue, Stores, Whereabouts};
use crate::report::page::csv::{cell, written};
use crate::report::page::markdown::escape;

/// The forms the form comes in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum FormFormat {
    /// For spreadsheets, which [`kit::read_count`](crate::kit::read_count) reads.
    Csv,
    /// For paper.
    Markdown,
}

const HEADER: [&str; 8] = ["item", "name", "where", "to", "case", "counted", "by", "note"];

/// A form for these stores, with a line feed at its end.
pub fn form(stores: &Stores, catalogue: &Catalogue, format: FormFormat) -> String {
    match format {
        FormFormat::Csv => csv(stores, catalogue),
        FormFormat::Markdown => markdown(stores, catalogue),
    }
}

/// Item by item, where it may be.
fn places(stores: &Stores, catalogue: &Catalogue) -> Vec<(crate::load::ItemIx, Whereabouts)> {
    let mut out = Vec::new();
    for item in Stores::loose(catalogue) {
        let holding = stores.holding(catalogue, item);
        if holding.held == 0 && holding.accounted() == 0 && stores.scale_of(catalogue, item) == 0 {
            continue;
        }
        out.push((item, Whereabouts::Shelf));
        if holding.unserviceable > 0 {
            out.push((item, Whereabouts::Unserviceable));
        }
        out.extend(holding.issued.into_keys().map(|to| (item, Whereabouts::Issued(to))));
        out.extend(holding.on_loan.into_keys().map(|to| (item, Whereabouts::OnLoan(to))));
    }
    out
}

fn csv(stores: &Stores, catalogue: &Catalogue) -> String {
    let mut rows: Vec<[String; 8]> = Vec::new();
    for (i, at) in places(stores, catalogue) {
        let mut row: [String; 8] = Default::default();
        (row[0], row[1]) = (cell(&catalogue[i].id), cell(&catalogue[i].name));
        (row[2], row[3]) = (at.word().into(), at.to().map_or(String::new(), cell));
        rows.push(row);
    }
    for case in stores.cases(catalogue).unwrap_or_default() {
        for (i, ..) in &case.lines {
            let mut row: [String; 8] = Default::default();
            (row[0], row[1]) = (cell(&catalogue[*i].id), cell(&catalogue[*i].name));
            row[4] = cell(&case.path.text(catalogue));
            rows.push(row);
        }
    }
    written(&HEADER, &rows)
}

fn markdown(stores: &Stores, catalogue: &Catalogue) -> String {
    let mut out = format!("# Count: {}\n\n", escape(&stores.name));
    out.push_str(
        "Counted by: \\_\\_\\_\\_\\_\\_\\_\\_\\_\\_\\_\\_ On: \\_\\_\\_\\_\\_\\_\\_\\_\\_\\_\n\n",
    );
    out.push_str("Leave empty what was not counted; write 0 where nothing was found.\n");
    out.push_str("Only what is fit for use counts as on the shelf or issued.\n\n## Loose\n\n");
    out.push_str("| item | id | where | counted | note |\n| :--- | :--- | :--- | ---: | :--- |\n");
    for (i, at) in places(stores, catalogue) {
        let item = &catalogue[i];
        let to = at.to().map_or(String::new(), |to| format!(" to {}", escape(to)));
        let (name, id) = (escape(&item.name), escape(&item.id));
        out.push_str(&format!("| {name} | {id} | {}{to} | | |\n", at.word()));
    }
    for case in stores.cases(catalogue).unwrap_or_default() {
        let kind = case.path.kind().map_or("", |k| catalogue[k].name.as_str());
        let path = escape(&case.path.text(catalogue));
        out.push_str(&format!("\n## {} (case {path})\n\n", escape(kind)));
        out.push_str("| item | id | counted | note |\n| :--- | :--- | ---: | :--- |\n");
        for (i, ..) in &case.lines {
            let item = &catalogue[*i];
            out.push_str(&format!("| {} | {} | | |\n", escape(&item.name), escape(&item.id)));
        }
    }
    out
}
