//! Opening a file: what kind it is, its encoding, and which sheet is meant.

use super::grid::Grid;
#[cfg(feature = "spreadsheets")]
use super::xlsx;
use super::{CellsFrom, Most, csv};
use crate::code::FaultCode;
use crate::diagnostic::{Diagnostic, Sink, quoted};
#[cfg(feature = "spreadsheets")]
use crate::diagnostic::{nearest_any_case, one_of, some};
use crate::source::{SourceId, Sources};
use std::io::Read;
use std::path::Path;

/// The cells of a file, CSV or a sheet of a workbook. Of several sheets, the one
/// that is called `likely`, if none was asked for.
pub(crate) fn open(
    path: &Path,
    asked: &CellsFrom,
    likely: Option<&str>,
    most: Most,
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
        return workbook(path, asked, likely, most, sources, sink);
    }
    if start.starts_with(b"\xD0\xCF\x11\xE0") {
        let what = format!(
            "{} is a workbook of the old kind (XLS), or one with a password",
            quoted(&name)
        );
        let d = Diagnostic::error(FaultCode::NotASheet, what);
        sink.add(d.help("save it as XLSX without a password, or as CSV"));
        return None;
    }
    if let Some(sheet) = &asked.sheet {
        let what =
            format!("{} is no workbook, so it has no sheet {}", quoted(&name), quoted(sheet));
        sink.add(Diagnostic::error(FaultCode::NoSheet, what).help("leave `--sheet` out for CSV"));
        return None;
    }
    let added = if asked.western { western(path, &name, sources) } else { sources.add_file(path) };
    match added {
        Ok(id) => {
            let source = sources.get(id)?;
            csv::grid(id, source, asked.separator, most, sink).map(|grid| (id, grid))
        }
        Err(d) => {
            let utf8 = d.code == FaultCode::NotUtf8;
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
    let most = crate::take_in::MOST_BYTES as u64 + 1;
    let read = std::fs::File::open(path).and_then(|f| f.take(most).read_to_end(&mut bytes));
    if read.is_err() {
        // Reported as for every file.
        return sources.add_file(path);
    }
    let sign = |b: &u8| match b {
        0x80..=0x9f => HIGH.get(usize::from(*b - 0x80)).copied().unwrap_or('\u{fffd}'),
        b => char::from(*b),
    };
    sources.add_text(name, &bytes.iter().map(sign).collect::<String>())
}

#[cfg(not(feature = "spreadsheets"))]
fn workbook(
    path: &Path,
    _: &CellsFrom,
    _: Option<&str>,
    _: Most,
    _: &mut Sources,
    sink: &mut Sink,
) -> Option<(SourceId, Grid)> {
    let name = quoted(&path.display().to_string());
    let d = Diagnostic::error(
        FaultCode::NotASheet,
        format!("{name} is a workbook, and this build has no spreadsheets"),
    );
    sink.add(d.help("save it as CSV, or build with the feature `spreadsheets`"));
    None
}

#[cfg(feature = "spreadsheets")]
fn workbook(
    path: &Path,
    asked: &CellsFrom,
    likely: Option<&str>,
    most: Most,
    sources: &mut Sources,
    sink: &mut Sink,
) -> Option<(SourceId, Grid)> {
    let name = path.display().to_string();
    let fault = |code, what: String| Diagnostic::error(code, what);
    let mut bytes = Vec::new();
    let read = std::fs::File::open(path)
        .and_then(|f| f.take(xlsx::MOST_BYTES as u64 + 1).read_to_end(&mut bytes));
    if let Err(e) = read {
        sink.add(fault(FaultCode::Unreadable, format!("cannot read {}: {e}", quoted(&name))));
        return None;
    }
    if bytes.len() > xlsx::MOST_BYTES {
        let what = format!("{} is larger than {} MiB", quoted(&name), xlsx::MOST_BYTES >> 20);
        sink.add(fault(FaultCode::TooLarge, what).help("save the one sheet as CSV"));
        return None;
    }
    let sheets = match xlsx::sheets(bytes, most) {
        Ok(sheets) => sheets,
        Err(why) => {
            let what = format!("{} cannot be read as a workbook: {why}", quoted(&name));
            sink.add(
                fault(FaultCode::NotASheet, what)
                    .help("save it again as XLSX, or the one sheet as CSV"),
            );
            return None;
        }
    };
    let (sheet, note) = match choose(sheets, asked, likely) {
        Ok(chosen) => chosen,
        Err((what, help)) => {
            sink.add(fault(FaultCode::NoSheet, format!("{}: {what}", quoted(&name))).help(help));
            return None;
        }
    };
    if sheet.too_many {
        let what =
            format!("sheet {} of {} is larger than any list", quoted(&sheet.name), quoted(&name));
        sink.add(fault(FaultCode::TooMany, what).help(most.told()));
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
    asked: &CellsFrom,
    likely: Option<&str>,
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
    // Of several, the one that is called what is asked for.
    let meant = |s: &xlsx::Sheet| Some(s.name.to_lowercase().as_str()) == likely;
    if full.len() > 1 && full.iter().any(meant) {
        full.retain(meant);
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
