//! Sheets of workbooks one by one.

use super::{Cell, Column, Kind, Page, Row, Table, WORKBOOK, heading, para};
use crate::quantity::Units;

pub(crate) struct Book(Page);

pub(crate) struct Sheet {
    name: String,
    notes: Vec<String>,
    table: Table,
}

impl Book {
    pub fn new(title: &str, units: Units) -> Self {
        Book(Page::new(title, units))
    }

    pub fn sheet(&mut self, sheet: Sheet) {
        self.0.push(heading(&sheet.name).on(WORKBOOK));
        sheet.notes.iter().for_each(|n| self.0.push(para(n)));
        if !sheet.table.columns.is_empty() {
            self.0.push(sheet.table);
        }
    }

    pub fn bytes(&self) -> Result<Vec<u8>, String> {
        self.0.workbook()
    }
}

impl Sheet {
    pub fn new(name: &str) -> Self {
        Sheet { name: name.into(), notes: Vec::new(), table: Table::default() }
    }

    pub fn note(mut self, text: &str) -> Self {
        self.notes.push(text.into());
        self
    }

    pub fn column(mut self, head: &str, kind: Kind) -> Self {
        self.table.columns.push(Column::new(head, kind).book(head));
        self
    }

    pub fn summed(mut self, head: &str, kind: Kind) -> Self {
        self.table.columns.push(Column::new(head, kind).book(head).summed());
        self
    }

    pub fn total(mut self, word: &str) -> Self {
        self.table.total = Some(word.into());
        self
    }

    pub fn row(&mut self, cells: Vec<Cell>) {
        self.table.rows.push(Row::of(cells));
    }
}
