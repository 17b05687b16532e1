//! What a page is made of.

use super::{ALL, Forms, TERMINAL, TEXTS, Table, Tone};

/// A part of a page, and the forms that have it.
#[derive(Debug, Clone)]
pub(crate) struct Block {
    pub(super) on: Forms,
    pub(super) what: What,
}

#[derive(Debug, Clone)]
pub(super) enum What {
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
#[derive(Debug, Clone, Default)]
pub(super) struct Text {
    pub text: String,
    /// Whether somebody typed a part of it: Markdown escapes it then, and takes it
    /// as it is else.
    pub typed: bool,
    pub tone: Tone,
    /// Blanks before it on a terminal.
    pub indent: usize,
    /// Stands before it on a terminal, to the right of three columns.
    pub mark: Option<String>,
    /// In Markdown the paragraph before goes on.
    pub goes_on: bool,
    /// In Markdown an item of a list, so deep.
    pub item: Option<usize>,
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

pub(super) fn title(text: &str) -> Block {
    Block { on: TEXTS, what: What::Title(text.into()) }
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
    Block { on: ALL, what: What::Text(Text { text: text.into(), ..Text::default() }) }
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
