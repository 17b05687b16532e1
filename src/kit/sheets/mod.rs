//! From spreadsheets to kit files: CSV and workbooks (XLSX) that somebody keeps
//! for people, with titles on top, sums at the bottom and numbers as text.
//!
//! ```text
//! bytes  → grid       rows of cells, each with its place       (csv, xlsx)
//! grid   → table      which row is the header, which column    (header, keys)
//!                     becomes which key
//! table  → records    what each cell says, every fault by cell (rows, field)
//! record → YAML       a line for each key                      (yaml)
//! YAML   → domain     by the reader of the files themselves; what it finds is
//!                     told of the cell that the line came from
//! ```
//!
//! Nothing is guessed where a cell can be read in two ways, and nothing is lost:
//! columns without a key stay beside each item as comments.

mod csv;
mod field;
mod grid;
mod header;
mod keys;
mod notation;
mod number;
mod rows;
#[cfg(feature = "spreadsheets")]
mod unzip;
#[cfg(feature = "spreadsheets")]
mod xlsx;
mod yaml;

pub use header::Said;
pub use keys::{SheetOf, sheet_keys};
pub use number::Decimal;
#[cfg(feature = "spreadsheets")]
pub use xlsx::SHEET_THREAD;

use super::code::Code;
use super::diagnostic::{Diagnostic, Diagnostics, Label, Sink, clean, one_of, quoted};
use super::source::{SourceId, Sources, Span};
use super::stock::read_stock_text;
use crate::load::Stock;
use grid::{Cell, Grid, MOST_COLUMNS, MOST_ROWS, letters};
use header::{Becomes, Table, table};
use rows::{Records, records};
use std::io::Read;
use std::path::Path;
use yaml::{Lines, written};

/// How a spreadsheet is to be read.
#[derive(Debug, Clone, Default)]
pub struct Asked {
    /// Of a workbook with several.
    pub sheet: Option<String>,
    pub of: Option<SheetOf>,
    /// The row of the header.
    pub header: Option<usize>,
    pub said: Vec<Said>,
    pub decimal: Decimal,
    /// What parts the cells of a CSV file.
    pub separator: Option<u8>,
    /// Bytes are Windows-1252 and not UTF-8.
    pub western: bool,
}

/// What became of a spreadsheet.
#[derive(Debug, Default)]
pub struct Imported {
    /// `stock.xlsx, sheet Stores`
    pub name: String,
    pub of: Option<SheetOf>,
    pub header_row: usize,
    pub columns: Vec<ColumnUse>,
    /// What was passed over, made up or read in a way that might surprise.
    pub notes: Vec<String>,
    /// How many items or carriers.
    pub count: usize,
    /// The kit file.
    pub yaml: String,
    /// The first of the items, as they are in it.
    pub first: String,
    /// What the kit file says, read back; `None` if there are faults.
    pub stock: Option<Stock>,
    pub diagnostics: Diagnostics,
}

/// What becomes of a column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ColumnUse {
    pub letter: String,
    pub header: String,
    pub becomes: String,
}

/// How many items are shown first.
const SHOWN: usize = 3;

/// Reads a spreadsheet. Never fails as a whole: the faults are in
/// [`Imported::diagnostics`], and there is a [`Stock`] only without any.
pub fn import(path: &Path, asked: &Asked) -> Imported {
    let mut sources = Sources::default();
    let mut sink = Sink::default();
    let mut out = Imported { name: path.display().to_string(), ..Imported::default() };
    let read = read(path, asked, &mut sources, &mut sink);
    if let Some((id, grid)) = read {
        if let Some(source) = sources.get(id) {
            out.name = source.name.clone();
        }
        turn(&grid, asked, &mut out, &mut sink);
    }
    let errors = sink.errors();
    out.diagnostics = sink.finish(sources);
    out.stock = out.stock.filter(|_| errors == 0);
    out
}

/// The grid in a file, CSV or a sheet of a workbook.
fn read(
    path: &Path,
    asked: &Asked,
    sources: &mut Sources,
    sink: &mut Sink,
) -> Option<(SourceId, Grid)> {
    let start = std::fs::File::open(path).and_then(|file| {
        let mut start = Vec::new();
        file.take(8).read_to_end(&mut start).map(|_| start)
    });
    let start = start.unwrap_or_default();
    let name = path.display().to_string();
    if start.starts_with(b"PK\x03\x04") {
        return workbook(path, asked, sources, sink);
    }
    if start.starts_with(b"\xD0\xCF\x11\xE0") {
        let what = format!(
            "{} is a workbook of the old kind (XLS), or one with a password",
            quoted(&name)
        );
        let d = Diagnostic::error(Code::NotASheet, what);
        sink.add(d.help("save it as XLSX without a password, or as CSV"));
        return None;
    }
    if let Some(sheet) = &asked.sheet {
        let what =
            format!("{} is no workbook, so it has no sheet {}", quoted(&name), quoted(sheet));
        sink.add(Diagnostic::error(Code::NoSheet, what).help("leave `--sheet` out for CSV"));
        return None;
    }
    let added = if asked.western { western(path, &name, sources) } else { sources.add_file(path) };
    match added {
        Ok(id) => {
            let source = sources.get(id)?;
            csv::grid(id, source, asked.separator, sink).map(|grid| (id, grid))
        }
        Err(d) => {
            let utf8 = d.code == Code::NotUtf8;
            let help = "or say `--encoding windows-1252`, what older spreadsheets write in Western \
                        Europe and America (Latin-1 with a few more signs)";
            sink.add(if utf8 { d.help(help) } else { *d });
            None
        }
    }
}

/// A file whose bytes are Windows-1252.
fn western(path: &Path, name: &str, sources: &mut Sources) -> Result<SourceId, Box<Diagnostic>> {
    // What Latin-1 has no signs for, from 0x80: as the WHATWG's encoding standard
    // has windows-1252, https://encoding.spec.whatwg.org/ (from memory).
    const HIGH: [char; 32] = [
        '€', '\u{81}', '‚', 'ƒ', '„', '…', '†', '‡', 'ˆ', '‰', 'Š', '‹', 'Œ', '\u{8d}', 'Ž',
        '\u{8f}', '\u{90}', '‘', '’', '“', '”', '•', '–', '—', '˜', '™', 'š', '›', 'œ', '\u{9d}',
        'ž', 'Ÿ',
    ];
    let mut bytes = Vec::new();
    let most = super::source::MOST_BYTES as u64 + 1;
    let read = std::fs::File::open(path).and_then(|f| f.take(most).read_to_end(&mut bytes));
    if read.is_err() {
        // Told as for every file.
        return sources.add_file(path);
    }
    let sign = |b: &u8| match b {
        0x80..=0x9f => HIGH.get(usize::from(*b - 0x80)).copied().unwrap_or('\u{fffd}'),
        b => char::from(*b),
    };
    sources.add_text(name, &bytes.iter().map(sign).collect::<String>())
}

#[cfg(not(feature = "spreadsheets"))]
fn workbook(path: &Path, _: &Asked, _: &mut Sources, sink: &mut Sink) -> Option<(SourceId, Grid)> {
    let name = quoted(&path.display().to_string());
    let d = Diagnostic::error(
        Code::NotASheet,
        format!("{name} is a workbook, and this build has no spreadsheets"),
    );
    sink.add(d.help("save it as CSV, or build with the feature `spreadsheets`"));
    None
}

#[cfg(feature = "spreadsheets")]
fn workbook(
    path: &Path,
    asked: &Asked,
    sources: &mut Sources,
    sink: &mut Sink,
) -> Option<(SourceId, Grid)> {
    let name = path.display().to_string();
    let fault = |code, what: String| Diagnostic::error(code, what);
    let mut bytes = Vec::new();
    let read = std::fs::File::open(path)
        .and_then(|f| f.take(xlsx::MOST_BYTES as u64 + 1).read_to_end(&mut bytes));
    if let Err(e) = read {
        sink.add(fault(Code::Unreadable, format!("cannot read {}: {e}", quoted(&name))));
        return None;
    }
    if bytes.len() > xlsx::MOST_BYTES {
        let what = format!("{} is larger than {} MiB", quoted(&name), xlsx::MOST_BYTES >> 20);
        sink.add(fault(Code::TooLarge, what).help("save the one sheet as CSV"));
        return None;
    }
    let sheets = match xlsx::sheets(bytes) {
        Ok(sheets) => sheets,
        Err(why) => {
            let what = format!("{} cannot be read as a workbook: {why}", quoted(&name));
            sink.add(
                fault(Code::NotASheet, what).help("save it anew as XLSX, or the one sheet as CSV"),
            );
            return None;
        }
    };
    let (sheet, note) = match choose(sheets, asked) {
        Ok(chosen) => chosen,
        Err((what, help)) => {
            sink.add(fault(Code::NoSheet, format!("{}: {what}", quoted(&name))).help(help));
            return None;
        }
    };
    if sheet.too_many {
        let what =
            format!("sheet {} of {} is larger than any list", quoted(&sheet.name), quoted(&name));
        sink.add(fault(Code::TooMany, what).help(limits()));
        return None;
    }
    let (id, mut grid) = xlsx::grid(&name, sheet, sources);
    grid.notes.extend(note);
    Some((id, grid))
}

/// The sheet asked for, or the only one that is shown and holds something.
#[cfg(feature = "spreadsheets")]
fn choose(
    sheets: Vec<xlsx::Sheet>,
    asked: &Asked,
) -> Result<(xlsx::Sheet, Option<String>), (String, String)> {
    let names: Vec<String> = sheets.iter().map(|s| s.name.clone()).collect();
    let all = || {
        format!("its sheets are {}", one_of(names.iter().map(String::as_str)).replace(" or ", ", "))
    };
    if let Some(wanted) = &asked.sheet {
        let same = |s: &xlsx::Sheet| s.name.to_lowercase() == wanted.to_lowercase();
        let near = nearest_any_case(wanted, names.iter().map(String::as_str));
        let help = near.map_or_else(all, |n| format!("did you mean {}? {}", quoted(n), all()));
        let found = sheets.into_iter().find(same);
        return found.map(|s| (s, None)).ok_or((format!("no sheet {}", quoted(wanted)), help));
    }
    let hidden: Vec<String> =
        sheets.iter().filter(|s| s.hidden && !s.is_empty()).map(|s| quoted(&s.name)).collect();
    let note =
        (!hidden.is_empty()).then(|| format!("hidden sheets are not read: {}", some(&hidden)));
    let mut full: Vec<xlsx::Sheet> =
        sheets.into_iter().filter(|s| !s.hidden && !s.is_empty()).collect();
    let word = asked.of.map(|of| match of {
        SheetOf::Equipment => "equipment",
        SheetOf::Carriers => "carriers",
    });
    // Of several, the one that is called what is asked for.
    if full.len() > 1 && full.iter().any(|s| Some(s.name.to_lowercase().as_str()) == word) {
        full.retain(|s| Some(s.name.to_lowercase().as_str()) == word);
    }
    match full.pop() {
        None => Err(("there is nothing in it".into(), all())),
        Some(sheet) if full.is_empty() => Ok((sheet, note)),
        Some(last) => {
            full.push(last);
            let names = full.iter().map(|s| s.name.as_str());
            let what = format!("{} sheets hold something", full.len());
            Err((what, format!("say which by `--sheet`: {}", one_of(names))))
        }
    }
}

fn limits() -> String {
    format!("at most {MOST_ROWS} rows and {MOST_COLUMNS} columns are read")
}

fn too_many(at: Span) -> Diagnostic {
    Diagnostic::error(Code::TooMany, "the table is larger than any list")
        .at(at, "up to here")
        .help(limits())
}

/// From the grid to a kit file that reads back.
fn turn(grid: &Grid, asked: &Asked, out: &mut Imported, sink: &mut Sink) {
    out.notes.extend(grid.notes.iter().cloned());
    let Some(table) = table(grid, asked.of, asked.header, &asked.said, sink) else { return };
    out.of = Some(table.of);
    out.header_row = grid.rows.get(table.header).map_or(0, |r| r.number);
    out.columns = table.columns.iter().map(used).collect();
    let records = records(grid, &table, asked.decimal, sink);
    out.notes.extend(records.notes.iter().cloned());
    out.count = records.list.len();
    if out.count == 0 {
        let d = Diagnostic::error(Code::NoHeader, "there is no row under the header");
        let span = grid.rows.get(table.header).and_then(grid::Row::span);
        sink.add(match span {
            Some(span) => d.at(span, "the header"),
            None => d,
        });
        return;
    }
    let (lines, first) = file(grid, &table, &records, out);
    out.first = first;
    back(&lines, out, &records, sink);
    out.yaml = lines.text;
}

fn used(column: &header::Column) -> ColumnUse {
    let unit = column.unit.map_or(String::new(), |u| format!(", in {u}"));
    let becomes = match column.becomes {
        Becomes::Key(key) if takes_unit(key) => format!("{}{unit}", key.name),
        Becomes::Key(key) => key.name.to_string(),
        Becomes::Reckoned => "nothing: it is reckoned from other columns".into(),
        Becomes::LeftOver => "a comment beside each: no key is meant by it".into(),
        Becomes::Second(key) => {
            format!("a comment beside each: another column is `{}`", key.name)
        }
    };
    ColumnUse { letter: letters(column.column), header: clean(&column.header), becomes }
}

fn takes_unit(key: &keys::Key) -> bool {
    use keys::Kind::{Bulk, Mass, MassOrShare, Size};
    matches!(key.kind, Mass | Bulk | Size | MassOrShare)
}

/// The kit file, and the first of its items.
fn file(grid: &Grid, table: &Table, records: &Records, out: &Imported) -> (Lines, String) {
    let mut lines = Lines::default();
    let file = out.name.rsplit(['/', '\\']).next().unwrap_or(&out.name);
    lines.comment(
        "",
        &format!("From {file}, header in row {}, by `tumpline import`.", out.header_row),
    );
    for row in grid.rows.iter().take(table.header) {
        let text = row.cells.iter().map(Cell::text).collect::<Vec<_>>().join(" | ");
        lines.comment("", &format!("Above the header: {text}"));
    }
    if pounds(table) {
        lines.push("units: imperial", None);
    }
    let mut first = String::new();
    let mut put = |lines: &mut Lines, list: &str, vehicles: Option<bool>| {
        let mut some =
            records.list.iter().filter(|r| vehicles.is_none_or(|v| r.vehicle == v)).peekable();
        if some.peek().is_none() {
            return;
        }
        lines.push(&format!("{list}:"), None);
        for record in some {
            let start = lines.text.len();
            record.above.iter().for_each(|text| lines.comment("  ", text));
            for (i, (key, value, from)) in record.fields.iter().enumerate() {
                let lead = if i == 0 { "  - " } else { "    " };
                lines.push(&format!("{lead}{key}: {}", written(value)), Some(*from));
            }
            for (header, text) in &record.left {
                lines.comment("    ", &format!("{header}: {text}"));
            }
            if first.matches("  - id:").count() < SHOWN {
                first.push_str(lines.text.get(start..).unwrap_or(""));
            }
        }
    };
    match table.of {
        SheetOf::Equipment => put(&mut lines, "equipment", None),
        SheetOf::Carriers => {
            put(&mut lines, "people", Some(false));
            put(&mut lines, "vehicles", Some(true));
        }
    }
    records.below.iter().for_each(|text| lines.comment("  ", text));
    (lines, first)
}

/// Whether people think in pounds here: the mass of an item is in them.
fn pounds(table: &Table) -> bool {
    let unit = table.column("mass").and_then(|c| c.unit);
    table.of == SheetOf::Equipment && matches!(unit, Some("lb" | "oz"))
}

/// Reads the file back; what is wrong with it is told of the cells.
fn back(lines: &Lines, out: &mut Imported, records: &Records, sink: &mut Sink) {
    match read_stock_text("the file to be written", &lines.text) {
        Ok(read) => {
            for d in read.warnings.iter() {
                sink.add(of_cells(d, &read.warnings, lines));
            }
            let stock = read.stocks.into_iter().next();
            let same = stock.as_ref().is_some_and(|s| says_the_same(s, records));
            if same {
                out.stock = stock;
            } else if sink.errors() == 0 {
                let what = "the file that was made does not read back as it was meant";
                sink.add(
                    Diagnostic::error(Code::Disagree, what).help("this is a bug; please report it"),
                );
            }
        }
        Err(found) => {
            for d in found.iter() {
                sink.add(of_cells(d, &found, lines));
            }
        }
    }
}

/// Every record is there, in order, with its id and what it weighs or bears.
fn says_the_same(stock: &Stock, records: &Records) -> bool {
    let text = |r: &rows::Record, key: &str| {
        r.fields.iter().find_map(|(k, v, _)| match v {
            yaml::Yaml::Text(t) | yaml::Yaml::Plain(t) if *k == key => Some(t.clone()),
            _ => None,
        })
    };
    let mass = |r: &rows::Record, key: &str| text(r, key).and_then(|t| t.parse().ok());
    match (&stock.items, &stock.carriers) {
        (Some(items), None) => {
            let listed: Vec<_> = items.iter().filter(|i| !i.ways.is_empty()).collect();
            listed.len() == records.list.len()
                && listed.iter().zip(&records.list).all(|(item, r)| {
                    Some(&item.id) == text(r, "id").as_ref()
                        && Some(item.mass) == mass(r, "mass")
                        && Some(item.held.to_string()) == text(r, "held").or(Some("1".into()))
                })
        }
        (None, Some(carriers)) => {
            let ordered = [false, true].into_iter();
            let ordered: Vec<_> =
                ordered.flat_map(|v| records.list.iter().filter(move |r| r.vehicle == v)).collect();
            carriers.len() == ordered.len()
                && carriers.iter().zip(ordered).all(|(c, r)| {
                    let bears = mass(r, if r.vehicle { "payload" } else { "limit" });
                    Some(&c.id) == text(r, "id").as_ref()
                        && (bears.is_none() || bears == Some(c.limit()))
                })
        }
        _ => false,
    }
}

/// A fault of the kit file as one of the cells that its lines came from.
fn of_cells(d: &Diagnostic, all: &Diagnostics, lines: &Lines) -> Diagnostic {
    let cell = |label: &Label| {
        let line = all.sources().get(label.span.source)?.line(label.span.start);
        Some(Label { span: lines.origin(line)?, text: label.text.clone() })
    };
    Diagnostic {
        primary: d.primary.as_ref().and_then(cell),
        labels: d.labels.iter().filter_map(cell).collect(),
        ..d.clone()
    }
}

/// A few of them, and how many more.
fn some(all: &[String]) -> String {
    const MOST: usize = 12;
    let shown = all.iter().take(MOST).map(String::as_str).collect::<Vec<_>>().join(", ");
    match all.len().checked_sub(MOST) {
        Some(more) if more > 0 => format!("{shown} and {more} more"),
        _ => shown,
    }
}

/// The nearest of some names, whatever their case.
fn nearest_any_case<'a>(word: &str, names: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let names: Vec<(String, &str)> = names.map(|n| (n.to_lowercase(), n)).collect();
    let near = super::nearest(word, names.iter().map(|(low, _)| low.as_str()))?;
    names.iter().find(|(low, _)| low == near).map(|(_, name)| *name)
}

fn plain_short(text: &str) -> String {
    super::diagnostic::shorten(text)
}
