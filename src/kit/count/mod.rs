//! A sheet of counts: what somebody with a clipboard found in the stores.

mod columns;
mod whereabouts;

use super::case_text::{Words, case_path};
use super::cells::{CellsFrom, Grid, Most, Row, open};
use super::code::FaultCode;
use super::diagnostic::{Diagnostic, Diagnostics, Sink, did_you_mean, one_of, quoted};
use super::lower::{MOST_COUNT, holds};
use super::source::{Sources, TextSpan};
use super::stores_file::ReadStores;
use crate::load::{CasePath, Catalogue, Counted, Counting, ItemIx, Stores, Whereabouts};
use columns::{Column, columns, header};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// The most of a sheet that is read: several rows for each thing in every case.
const MOST: Most = Most { rows: 100_000, columns: 256, cells: 1_000_000 };

/// Counts that were read, each thing once.
#[derive(Debug)]
pub struct ReadCount {
    /// In the order of the sheet.
    pub counted: Vec<Counted>,
    /// Rows without a count.
    pub blank: usize,
    /// The sheet.
    pub file: PathBuf,
    /// Warnings only.
    pub warnings: Diagnostics,
}

/// Reads a sheet of counts, CSV or of a workbook, for some stores.
///
/// # Errors
/// Every fault of every cell.
pub fn read_count(
    path: &Path,
    from: &CellsFrom,
    stores: &ReadStores,
) -> Result<ReadCount, Diagnostics> {
    let (mut sources, mut sink) = (Sources::default(), Sink::default());
    let mut reading = Reading {
        catalogue: &stores.catalogue,
        words: Words::new(&stores.catalogue),
        now: stores.stores.clone(),
        counted: Vec::new(),
        seen: BTreeMap::new(),
        blank: 0,
    };
    if let Some((id, grid)) = open(path, from, None, MOST, &mut sources, &mut sink) {
        let text = sources.get(id).map_or("", |s| s.text.as_str());
        let whole = TextSpan { source: id, start: 0, end: 0 };
        reading.rows(&grid, text, whole, &mut sink);
    }
    let errors = sink.errors();
    let warnings = sink.finish(sources);
    if errors > 0 {
        return Err(warnings);
    }
    let Reading { counted, blank, .. } = reading;
    Ok(ReadCount { counted, blank, file: path.to_path_buf(), warnings })
}

struct Reading<'a> {
    catalogue: &'a Catalogue,
    words: Words<'a>,
    /// The stores with what was counted so far.
    now: Stores,
    counted: Vec<Counted>,
    seen: BTreeMap<Counting, TextSpan>,
    blank: usize,
}

impl Reading<'_> {
    fn rows(&mut self, grid: &Grid, text: &str, whole: TextSpan, sink: &mut Sink) {
        let above = header(&grid.rows);
        let Some((header, rows)) = grid.rows.get(above..).and_then(<[Row]>::split_first) else {
            sink.fault(|| {
                Diagnostic::error(FaultCode::Empty, "the sheet is empty")
                    .at(whole, "nothing to read here")
                    .help("`tumpline muster KIT --blank-count` prints one to fill in")
            });
            return;
        };
        let Some(columns) = columns(header, text, sink) else { return };
        let depth = |row: &Row| {
            let case = columns.get(&Column::Case).and_then(|i| row.cell(*i));
            case.map_or(0, |cell| 1 + cell.text().matches('/').count())
        };
        // How many cases are in a case has to be known before what is in them.
        let mut order: Vec<usize> = (0..rows.len()).collect();
        order.sort_by_key(|i| depth(&rows[*i]));
        let mut counted: Vec<(usize, Counted)> = Vec::new();
        for i in order {
            if let Some(c) = self.row(&rows[i], &columns, header.width, text, sink) {
                self.now.take(self.catalogue, &c);
                counted.push((i, c));
            }
        }
        counted.sort_by_key(|(i, _)| *i);
        self.counted = counted.into_iter().map(|(_, c)| c).collect();
        self.vanished(sink);
    }

    fn row(
        &mut self,
        row: &Row,
        columns: &BTreeMap<Column, usize>,
        width: usize,
        text: &str,
        sink: &mut Sink,
    ) -> Option<Counted> {
        let found = columns.iter().filter_map(|(c, i)| Some((*c, row.cell(*i)?)));
        let cells: BTreeMap<Column, (String, TextSpan)> =
            found.map(|(c, cell)| (c, (cell.text(), cell.place(text)))).collect();
        let cell = |c: Column| cells.get(&c).map(|(text, span)| (text.as_str(), *span));
        let before = sink.errors();
        if let Some(beyond) = row.cells.iter().find(|c| c.column >= width) {
            sink.fault(|| {
                let what = format!("{} is in a column without a name", quoted(&beyond.text()));
                let d = Diagnostic::error(FaultCode::BadCell, what);
                d.at(beyond.place(text), "more cells than the first row has")
                    .help("put a text that has a comma in it in quotation marks")
            });
        }
        let Some((text, at)) = cell(Column::Counted) else {
            self.blank += 1;
            return None;
        };
        let count = count(text, at, sink);
        let merged = columns.get(&Column::Counted).and_then(|i| row.cell(*i)?.merged);
        if let Some(merged) = merged.filter(|m| m.last > m.first) {
            sink.fault(|| {
                let (first, last) = (merged.first, merged.last);
                let what = format!("one cell is merged over the rows {first} to {last}");
                Diagnostic::error(FaultCode::Merged, what).at(at, "a count").help(
                    "whether each of them has so many, or all together, it does not say: unmerge \
                     it and write what each has",
                )
            });
        }
        let item = match cell(Column::Item).or_else(|| cell(Column::Name)) {
            Some((text, span)) => self.item(text, span, sink),
            None => {
                sink.fault(|| {
                    Diagnostic::error(FaultCode::BadCell, "a count without an item")
                        .at(at, "of what?")
                        .help("write the id or the name of the item")
                });
                None
            }
        };
        if let (Some((i, _)), Some(_), Some((name, span))) =
            (item, cell(Column::Item), cell(Column::Name))
            && !self.words.fits(i, name)
        {
            sink.fault(|| {
                let item = &self.catalogue[i];
                let what = format!("{} is not called {}", quoted(&item.id), quoted(name));
                Diagnostic::error(FaultCode::BadCell, what)
                    .at(span, "another name")
                    .help(format!("its name is {}; which of them was counted?", quoted(&item.name)))
            });
        }
        let what = match cell(Column::Case) {
            Some((text, span)) => {
                if let Some((_, span)) = cell(Column::Where) {
                    sink.fault(|| {
                        Diagnostic::error(FaultCode::Together, "`where` and `case` are both given")
                            .at(span, "where the case is does not matter here")
                            .help("leave `where` empty for what is in a case")
                    });
                }
                match case_path(text, span, self.catalogue, &self.words, &self.now) {
                    Err(fault) => {
                        sink.fault(|| fault.told(self.catalogue));
                        None
                    }
                    Ok(path) => item.and_then(|(i, at)| self.in_case(i, at, path, sink)),
                }
            }
            None => {
                let whereabouts = self.whereabouts(
                    cell(Column::Where),
                    cell(Column::To),
                    item.map(|(i, _)| i),
                    at,
                    sink,
                );
                item.and_then(|(i, at)| self.loose(i, at, whereabouts, sink))
            }
        };
        if sink.errors() > before {
            return None;
        }
        let what = what?;
        if let Some(first) = self.seen.get(&what) {
            sink.fault(|| {
                Diagnostic::error(FaultCode::Twice, "the same thing is counted twice")
                    .at(at, "counted again here")
                    .label(*first, "first counted here")
                    .help("put both into one row, or leave one out")
            });
            return None;
        }
        self.seen.insert(what.clone(), at);
        let own = |c: Column| cell(c).map(|(text, _)| text.to_string());
        Some(Counted { what, count: count?, by: own(Column::By), note: own(Column::Note) })
    }

    fn item(&self, text: &str, span: TextSpan, sink: &mut Sink) -> Option<(ItemIx, TextSpan)> {
        if let Some(found) = self.words.find(text) {
            return Some((found, span));
        }
        sink.fault(|| {
            let lower = text.to_lowercase();
            let named = self.catalogue.items().filter(|(_, i)| i.name.to_lowercase() == lower);
            let ids: Vec<&str> = named.map(|(_, i)| i.id.as_str()).collect();
            let d =
                Diagnostic::error(FaultCode::UnknownItem, format!("unknown item {}", quoted(text)));
            if !ids.is_empty() {
                let help = format!("write the id: {}", one_of(ids));
                return d.at(span, "several items are called this").help(help);
            }
            let words = self.catalogue.items().flat_map(|(_, i)| [i.id.as_str(), i.name.as_str()]);
            d.at(span, "no item has this id or name").maybe_help(did_you_mean(text, words))
        });
        None
    }

    fn loose(
        &self,
        item: ItemIx,
        at: TextSpan,
        whereabouts: Option<Whereabouts>,
        sink: &mut Sink,
    ) -> Option<Counting> {
        let kind = &self.catalogue[item];
        if kind.ways.is_empty() {
            sink.fault(|| {
                let what = format!("{} is only known as the content of a case", quoted(&kind.id));
                Diagnostic::error(FaultCode::BadCell, what)
                    .at(at, "it is not held by itself")
                    .help("say in the column `case` in which case it was counted")
            });
            return None;
        }
        Some(Counting::Loose(item, whereabouts?))
    }

    fn in_case(
        &self,
        item: ItemIx,
        at: TextSpan,
        path: CasePath,
        sink: &mut Sink,
    ) -> Option<Counting> {
        if holds(self.catalogue, item, &path) {
            let id = &self.catalogue[item].id;
            sink.fault(|| {
                Diagnostic::error(
                    FaultCode::ContentsCircle,
                    format!("{} cannot be inside itself", quoted(id)),
                )
                .at(at, "it holds the case it is said to be in")
            });
            return None;
        }
        Some(Counting::InCase(path, item))
    }

    /// Cases that are written down, but were counted away.
    fn vanished(&self, sink: &mut Sink) {
        for path in self.now.found.keys() {
            for depth in 1..path.0.len() {
                let (outer, inner) = path.0.split_at(depth);
                let (outer, Some((kind, number))) = (CasePath(outer.to_vec()), inner.first())
                else {
                    continue;
                };
                let lines = self.now.contents(self.catalogue, &outer);
                let there = lines.iter().find(|(i, ..)| i == kind).map_or(0, |(_, _, n)| *n);
                if *number <= there {
                    continue;
                }
                let at = self.seen.get(&Counting::InCase(outer, *kind)).copied();
                let text = path.text(self.catalogue);
                sink.fault(|| {
                    let what = format!("the stores file says what is in {}", quoted(&text));
                    let d = Diagnostic::error(FaultCode::UnknownCase, what);
                    let d = d.help("take that entry out first, if the case is gone");
                    match at {
                        Some(at) => d.at(at, "by this count there is no such case"),
                        None => d,
                    }
                });
            }
        }
    }
}

fn count(text: &str, at: TextSpan, sink: &mut Sink) -> Option<u32> {
    let digits = text.bytes().all(|b| b.is_ascii_digit());
    let value = if digits { text.parse().ok() } else { None };
    if let Some(n) = value.filter(|n| *n <= MOST_COUNT) {
        return Some(n);
    }
    sink.fault(|| {
        let what = match digits {
            true => format!("{} is out of range", quoted(text)),
            false => format!("{} is not a whole number", quoted(text)),
        };
        Diagnostic::error(FaultCode::BadCount, what)
            .at(at, format!("a whole number from 0 to {MOST_COUNT} is wanted here"))
            .help("leave the cell empty for what was not counted")
    });
    None
}
