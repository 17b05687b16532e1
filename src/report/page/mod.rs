//! Reports as data: a command builds a [`Page`], and terminal, Markdown, CSV,
//! workbook and JSON print it.
//!
//! A page is blocks: headings, paragraphs and tables. A table names each of its
//! columns once, with what its cells are, and each cell keeps its value (a mass,
//! a count, a share, a text that somebody typed), so that every form writes it in
//! its own way: with its unit for people, as a number under a header with the
//! unit for spreadsheets, in whole base units for programs. Everything that is
//! printed is made inert here; who builds a page need not think of it.
//!
//! A report is a file (`compare.rs` is a short one) with a function from an answer
//! to a page:
//!
//! ```ignore
//! pub(super) fn page(order: &MoveOrder, legs: &[Leg]) -> Page {
//!     let mut page = Page::titled(&order.name, order.units);
//!     page.push(para("Proven best.").tone(Tone::Good));
//!     let legs = Table::of(legs)
//!         .col(Column::text("leg"), |leg| &leg.name)
//!         .col(Column::mass("load").summed(), |leg| leg.load);
//!     page.section("Legs", legs.done());
//!     page.caution();
//!     page
//! }
//! ```
//!
//! and [`render`] gives any of the five forms. That is all that most reports need:
//! a block, a row or a column is in every form unless [`Forms`] says where it is.
//! The reports that were here before the pages say so often, because their forms
//! differ by more than looks.
//!
//! What each form makes of a page:
//! - Terminal and Markdown have the blocks in their order.
//! - CSV has the first table, and the rows of those after it with the same columns.
//! - A workbook has a sheet for each heading: its paragraphs over its table, with
//!   filters, and totals as formulas.
//! - JSON has the sections, each with its texts and its rows by the keys of the
//!   columns. A document with a schema of its own stays in `report/json/`.

#[cfg(feature = "spreadsheets")]
mod book;
mod cell;
pub(super) mod csv;
mod json;
pub(super) mod markdown;
mod table;
pub(super) mod terminal;

pub(super) use cell::{Cell, Entry, Kind};
pub(super) use json::{rows as json_rows, sums as json_sums};
pub(super) use table::{Column, Head, Place, Row, Table, Whole};
pub(super) use terminal::Tone;

use super::{CAUTION, Format, Style};
use crate::quantity::Units;
use std::ops::{BitOr, BitXor};

/// A set of the forms that a page is printed in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Forms(u8);

pub(crate) const TERMINAL: Forms = Forms(1);
pub(crate) const MARKDOWN: Forms = Forms(2);
pub(crate) const CSV: Forms = Forms(4);
pub(crate) const WORKBOOK: Forms = Forms(8);
pub(crate) const JSON: Forms = Forms(16);
/// What people read line by line.
pub(crate) const TEXTS: Forms = Forms(3);
pub(crate) const ALL: Forms = Forms(31);
pub(crate) const NONE: Forms = Forms(0);

impl BitOr for Forms {
    type Output = Forms;
    fn bitor(self, other: Forms) -> Forms {
        self.and(other)
    }
}

/// What one of them has and the other has not.
impl BitXor for Forms {
    type Output = Forms;
    fn bitxor(self, other: Forms) -> Forms {
        Forms(self.0 ^ other.0)
    }
}

impl Forms {
    pub const fn and(self, other: Forms) -> Forms {
        Forms(self.0 | other.0)
    }

    pub fn has(self, form: Forms) -> bool {
        self.0 & form.0 != 0
    }
}

/// A report.
#[derive(Debug, Clone)]
pub(crate) struct Page {
    /// What a workbook has on top of each sheet, as somebody typed it.
    pub title: String,
    pub units: Units,
    pub blocks: Vec<Block>,
}

/// A part of a page, and the forms that have it.
#[derive(Debug, Clone)]
pub(crate) struct Block {
    on: Forms,
    what: What,
}

#[derive(Debug, Clone)]
enum What {
    /// The first line, cut to one.
    Title(String),
    /// 1: a part that could be a page by itself. 2: what a workbook has a sheet
    /// for. 3: within that.
    Heading(usize, String),
    Text(Text),
    /// `A  label`: what a letter stands for, and what is bad about it.
    Term(String, String, Option<String>),
    Table(Table),
    /// Tables of the same columns, of which a terminal shows as many at once as
    /// fit, each under its title.
    Sides(Vec<(String, Table)>),
    /// An empty line on a terminal.
    Gap,
}

/// A paragraph or a line of a list.
#[derive(Debug, Clone)]
struct Text {
    text: String,
    /// Whether somebody typed a part of it: Markdown escapes it then, and takes it
    /// as it is else.
    typed: bool,
    tone: Tone,
    /// Blanks before it on a terminal.
    indent: usize,
    /// Stands before it on a terminal, to the right of three columns.
    mark: Option<String>,
    /// In Markdown the paragraph before goes on.
    goes_on: bool,
    /// In Markdown an item of a list, so deep.
    item: Option<usize>,
}

impl Page {
    pub fn new(title: &str, units: Units) -> Self {
        Page { title: title.into(), units, blocks: Vec::new() }
    }

    /// With the title as its first line.
    pub fn titled(title: &str, units: Units) -> Self {
        let mut page = Page::new(title, units);
        page.push(Block { on: TEXTS, what: What::Title(title.into()) });
        page
    }

    pub fn push(&mut self, block: impl Into<Block>) {
        self.blocks.push(block.into());
    }

    /// A heading and a table. Without rows, people see neither; a program and a
    /// workbook see that there are none.
    pub fn section(&mut self, heading: &str, table: Table) {
        self.section_on(ALL, heading, table);
    }

    pub fn section_on(&mut self, on: Forms, title: &str, table: Table) {
        let rows = |form| table.rows.iter().any(|r| r.on.has(form));
        let seen = |form: Forms| if rows(form) { form } else { NONE };
        let on = Forms(on.0 & (seen(TERMINAL) | seen(MARKDOWN) | CSV | WORKBOOK | JSON).0);
        self.push(heading(title).on(on));
        self.push(Block::from(table).on(on));
    }

    /// What every report ends with; a workbook has a sheet of it.
    pub fn caution(&mut self) {
        self.push(heading("Cautions").on(WORKBOOK));
        self.caution_on(ALL);
    }

    pub fn caution_on(&mut self, on: Forms) {
        self.push(gap());
        self.push(para(CAUTION).on(on));
    }

    /// The page as text in one of the forms.
    pub fn render(&self, format: Format, style: &Style) -> String {
        match format {
            Format::Table => terminal::render(self, style),
            Format::Markdown => markdown::render(self),
            Format::Csv => csv::render(self),
            Format::Json => json::render(self),
        }
    }

    /// The page as a workbook (XLSX).
    ///
    /// # Errors
    /// A table beyond what a sheet holds, in words.
    #[cfg(feature = "spreadsheets")]
    pub fn workbook(&self) -> Result<Vec<u8>, String> {
        book::bytes(self)
    }

    /// What one of the forms has, in its order.
    fn of(&self, form: Forms) -> impl Iterator<Item = &What> {
        self.blocks.iter().filter(move |b| b.on.has(form)).map(|b| &b.what)
    }
}

impl Block {
    pub fn on(self, on: Forms) -> Self {
        Block { on, ..self }
    }

    /// No longer in these forms.
    pub fn leave(&mut self, forms: Forms) {
        self.on = Forms(self.on.0 & !forms.0);
    }

    fn text(mut self, change: impl FnOnce(&mut Text)) -> Self {
        if let What::Text(text) = &mut self.what {
            change(text);
        }
        self
    }

    pub fn tone(self, tone: Tone) -> Self {
        self.text(|t| t.tone = tone)
    }

    pub fn indent(self, indent: usize) -> Self {
        self.text(|t| t.indent = indent)
    }

    pub fn mark(self, mark: &str) -> Self {
        self.text(|t| t.mark = Some(mark.into()))
    }

    pub fn goes_on(self) -> Self {
        self.text(|t| t.goes_on = true)
    }

    pub fn item(self, depth: usize) -> Self {
        self.text(|t| t.item = Some(depth))
    }
}

impl From<Table> for Block {
    fn from(table: Table) -> Self {
        Block { on: ALL, what: What::Table(table) }
    }
}

/// Of level 2.
pub(crate) fn heading(text: &str) -> Block {
    heading_of(2, text)
}

pub(crate) fn heading_of(level: usize, text: &str) -> Block {
    Block { on: ALL, what: What::Heading(level, text.into()) }
}

/// A paragraph in our own words: what of it is Markdown acts.
pub(crate) fn para(text: &str) -> Block {
    let text = Text {
        text: text.into(),
        typed: false,
        tone: Tone::Plain,
        indent: 0,
        mark: None,
        goes_on: false,
        item: None,
    };
    Block { on: ALL, what: What::Text(text) }
}

/// A paragraph with something that somebody typed.
pub(crate) fn typed(text: &str) -> Block {
    para(text).text(|t| t.typed = true)
}

pub(crate) fn term(term: &str, text: &str, bad: Option<String>) -> Block {
    Block { on: TEXTS, what: What::Term(term.into(), text.into(), bad) }
}

pub(crate) fn gap() -> Block {
    Block { on: TERMINAL, what: What::Gap }
}

pub(crate) fn sides(sides: Vec<(String, Table)>) -> Block {
    Block { on: ALL, what: What::Sides(sides) }
}
