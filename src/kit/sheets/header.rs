//! Which row is the header, and which column becomes which key.

use super::keys::{self, Key, SheetOf, meant};
use super::spelling::{self, Header, fold, header};
use crate::cells::{Cell, Grid, Row, letters};
use crate::code::FaultCode;
use crate::diagnostic::{Diagnostic, Sink, one_of, quoted};

/// Rows that are looked at for a header.
const LOOKED_AT: usize = 40;

/// What somebody says a column becomes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Said {
    /// Its header, or its letter.
    pub column: String,
    /// A key, or `-` to leave it over.
    pub key: String,
    /// Of numbers that are without one.
    pub unit: Option<&'static str>,
}

impl Said {
    /// Reads `Weight=mass`, `Weight=mass:kg`, `F=-`.
    ///
    /// # Errors
    /// In words, what is wrong with it.
    pub fn read(text: &str) -> Result<Said, String> {
        let how = "write a column and its key, as in `Weight=mass` or `Weight=mass:kg`; `-` for \
                   the key leaves the column over";
        let Some((column, key)) = text.rsplit_once('=') else {
            return Err(format!("{} has no `=`: {how}", quoted(text)));
        };
        let (key, unit) = key.split_once(':').map_or((key, None), |(k, u)| (k, Some(u)));
        let (column, key) = (column.trim().to_string(), key.trim().to_string());
        let unit = match unit.map(|u| (u, spelling::unit(u))) {
            None => None,
            Some((_, Some(unit))) => Some(unit),
            Some((u, None)) => {
                return Err(format!("{} is no unit that is known: {how}", quoted(u.trim())));
            }
        };
        let known = |of| keys::find(of, &key).is_some();
        if key != "-" && !known(SheetOf::Equipment) && !known(SheetOf::Carriers) {
            let near = keys::near(SheetOf::Equipment, &key).or(keys::near(SheetOf::Carriers, &key));
            let near = near.map_or(String::new(), |n| format!(", did you mean `{n}`?"));
            let all = |of| keys::sheet_keys(of).collect::<Vec<_>>().join(", ");
            return Err(format!(
                "{} is no key{near}: keys of equipment are {}; of carriers {}",
                quoted(&key),
                all(SheetOf::Equipment),
                all(SheetOf::Carriers)
            ));
        }
        Ok(Said { column, key, unit })
    }
}

/// The header of a table, understood.
#[derive(Debug)]
pub(super) struct Table {
    /// The place of the header among the rows of the grid.
    pub header: usize,
    pub of: SheetOf,
    pub columns: Vec<Column>,
}

/// What becomes of a column.
#[derive(Debug)]
pub(super) struct Column {
    pub column: usize,
    /// As written; the letter of the column if there is none.
    pub header: String,
    pub unit: Option<&'static str>,
    pub becomes: Becomes,
}

#[derive(Debug, Clone, Copy)]
pub(super) enum Becomes {
    Key(&'static Key),
    /// Made of other columns, and passed over.
    Reckoned,
    LeftOver,
    /// The key went to another column.
    Second(&'static Key),
}

impl Table {
    pub fn column(&self, key: &str) -> Option<&Column> {
        self.columns.iter().find(|c| matches!(c.becomes, Becomes::Key(k) if k.name == key))
    }
}

/// Finds the header and takes it apart; faults go to `sink`.
pub(super) fn table(
    grid: &Grid,
    of: Option<SheetOf>,
    row: Option<usize>,
    said: &[Said],
    sink: &mut Sink,
) -> Option<Table> {
    let kinds: &[SheetOf] = match &of {
        Some(of) => std::slice::from_ref(of),
        None => &[SheetOf::Equipment, SheetOf::Carriers],
    };
    let looked = grid.rows.iter().take(LOOKED_AT).enumerate();
    let mut best: Option<(usize, usize, SheetOf)> = None;
    for (at, r) in looked.filter(|(_, r)| row.is_none_or(|n| r.number == n)) {
        for kind in kinds {
            let score = score(r, *kind, said);
            // The first of equals: the kind that is written first, the row on top.
            if score > best.map_or(0, |(s, ..)| s) {
                best = Some((score, at, *kind));
            }
        }
    }
    // One word may stand anywhere; two make a header, or one that was asked for.
    let least = if row.is_some() { 1 } else { 2 };
    let Some((_, at, kind)) = best.filter(|(score, ..)| *score >= least) else {
        sink.add(no_header(grid, row));
        return None;
    };
    let header_row = grid.rows.get(at)?;
    let columns = columns(grid, header_row, kind, said, sink);
    Some(Table { header: at, of: kind, columns })
}

/// How many keys a row names.
fn score(row: &Row, of: SheetOf, said: &[Said]) -> usize {
    let mut found: Vec<&str> = Vec::new();
    for cell in row.cells.iter().filter(|c| c.is_text()) {
        let key = match spoken_of(cell, said) {
            Some(said) => keys::find(of, &said.key),
            None => meant(of, &header(&cell.text())).map(|(k, _)| k),
        };
        found.extend(key.map(|k| k.name));
    }
    found.sort_unstable();
    found.dedup();
    found.len()
}

fn spoken_of<'a>(cell: &Cell, said: &'a [Said]) -> Option<&'a Said> {
    let text = cell.text();
    let by_name = said.iter().find(|s| fold(&s.column) == fold(&text));
    by_name.or_else(|| said.iter().find(|s| s.column == letters(cell.column)))
}

fn columns(grid: &Grid, row: &Row, of: SheetOf, said: &[Said], sink: &mut Sink) -> Vec<Column> {
    let mut taken: Vec<&str> = Vec::new();
    let mut out: Vec<(Column, Option<(&'static Key, usize)>)> = Vec::new();
    let mut used: Vec<&Said> = Vec::new();
    for column in grid.columns() {
        let cell = row.cell(column);
        let text = cell.map_or(String::new(), Cell::text);
        let Header { word, unit } = header(&text);
        let spoken = cell.and_then(|c| spoken_of(c, said));
        let spoken = spoken.or_else(|| said.iter().find(|s| s.column == letters(column)));
        let name = if text.is_empty() { format!("column {}", letters(column)) } else { text };
        let mut entry = Column { column, header: name, unit, becomes: Becomes::LeftOver };
        if let Some(spoken) = spoken {
            used.push(spoken);
            entry.unit = spoken.unit.or(unit);
            if let Some(key) = keys::find(of, &spoken.key) {
                entry.becomes = Becomes::Key(key);
                if taken.contains(&key.name) {
                    let what = format!("two columns are said to be `{}`", key.name);
                    let d = Diagnostic::error(FaultCode::BadMapping, what);
                    sink.add(match cell {
                        Some(cell) => d.at(cell.span, "the second of them"),
                        None => d,
                    });
                }
                taken.push(key.name);
            }
            out.push((entry, None));
            continue;
        }
        let head = Header { word, unit };
        if keys::is_reckoned(&head) {
            entry.becomes = Becomes::Reckoned;
            out.push((entry, None));
        } else {
            out.push((entry, meant(of, &head)));
        }
    }
    for spoken in said.iter().filter(|s| !used.contains(s)) {
        let heads: Vec<&str> = out.iter().map(|(c, _)| c.header.as_str()).collect();
        let near = crate::diagnostic::nearest_any_case(&spoken.column, heads.iter().copied());
        let what = format!("there is no column {}", quoted(&spoken.column));
        let d = Diagnostic::error(FaultCode::BadMapping, what);
        let d = d.maybe_help(near.map(|n| format!("did you mean {}?", quoted(n))));
        sink.add(d.help(format!("the columns are {}", one_of(heads).replace(" or ", ", "))));
    }
    // The surest first; of equals the one on the left.
    let mut order: Vec<(usize, usize)> =
        out.iter().enumerate().filter_map(|(i, (_, m))| Some((m.as_ref()?.1, i))).collect();
    order.sort_unstable();
    for (_, i) in order {
        if let Some((column, Some((key, _)))) = out.get_mut(i) {
            if taken.contains(&key.name) {
                column.becomes = Becomes::Second(key);
            } else {
                column.becomes = Becomes::Key(key);
                taken.push(key.name);
            }
        }
    }
    out.into_iter().map(|(column, _)| column).collect()
}

fn no_header(grid: &Grid, row: Option<usize>) -> Diagnostic {
    let what = match row {
        Some(n) => format!("row {n} is no header that is understood"),
        None => "no header was found: no row names two keys or more".to_string(),
    };
    let row = grid.rows.iter().find(|r| row.is_none_or(|n| r.number == n));
    let d = Diagnostic::error(FaultCode::NoHeader, what);
    let d = match row.and_then(Row::span) {
        Some(span) => d.at(span, "the table starts here"),
        None => d,
    };
    let all = |of| keys::sheet_keys(of).collect::<Vec<_>>().join(", ");
    d.help("a header names at least two of the columns, such as `Name` and `Mass (kg)`")
        .help("say what other columns are, as in `--map \"Thing=name\" --map \"Heft=mass:kg\"`")
        .help(format!("keys of equipment: {}", all(SheetOf::Equipment)))
        .help(format!("keys of carriers: {}", all(SheetOf::Carriers)))
}
