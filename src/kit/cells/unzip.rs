//! A look into a workbook before it is read: that it does not unfold to more
//! than a workbook may be, and which of its rows and sheets are hidden.

use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};
use std::collections::{BTreeMap, BTreeSet};
use std::io::{Cursor, Read};
use zip::ZipArchive;

/// The most that all parts of a workbook may come to, and how many there may be.
const MOST_UNFOLDED: u64 = 64 << 20;
const MOST_PARTS: usize = 2_000;
/// The most texts that a workbook may announce: room is made for them at once.
const MOST_STRINGS: u64 = 1_000_000;

/// What was seen of a workbook.
#[derive(Debug, Default)]
pub(super) struct Seen {
    /// By sheet: rows that are hidden, from one.
    pub hidden_rows: BTreeMap<String, BTreeSet<usize>>,
    /// Columns that are hidden, from zero.
    pub hidden_columns: BTreeMap<String, BTreeSet<usize>>,
}

/// Unfolds every part once, counting what really comes out; looks at so many
/// columns of a sheet.
///
/// # Errors
/// In words, what is wrong with the file.
pub(super) fn look(bytes: &[u8], columns: usize) -> Result<Seen, String> {
    let mut zip =
        ZipArchive::new(Cursor::new(bytes)).map_err(|e| format!("it cannot be unpacked: {e}"))?;
    if zip.len() > MOST_PARTS {
        return Err(format!("it has {} parts; a workbook has {MOST_PARTS} at most", zip.len()));
    }
    let mut left = MOST_UNFOLDED;
    let mut parts: BTreeMap<String, String> = BTreeMap::new();
    for i in 0..zip.len() {
        let part = zip.by_index(i).map_err(|e| format!("a part cannot be unpacked: {e}"))?;
        let name = part.name().map_err(|e| format!("a part has no name: {e}"))?;
        let name = name.trim_start_matches('/').to_lowercase();
        let mut text = Vec::new();
        let read = part.take(left + 1).read_to_end(&mut text);
        read.map_err(|e| format!("part `{name}` cannot be unpacked: {e}"))?;
        left = left
            .checked_sub(text.len() as u64)
            .ok_or_else(|| format!("it unfolds to more than {} MiB", MOST_UNFOLDED >> 20))?;
        if name.ends_with("sharedstrings.xml") {
            strings(&text)?;
        }
        if name.ends_with(".xml") || name.ends_with(".rels") {
            parts.insert(name, String::from_utf8_lossy(&text).into_owned());
        }
    }
    Ok(hidden(&parts, columns))
}

/// The announced number of texts, wherever it stands.
fn strings(text: &[u8]) -> Result<(), String> {
    let text = String::from_utf8_lossy(text);
    for (at, key) in text.match_indices("uniqueCount") {
        let after = text.get(at + key.len()..).unwrap_or("");
        let digits: String = after
            .trim_start_matches(|c: char| c.is_whitespace() || "='\"".contains(c))
            .chars()
            .take_while(char::is_ascii_digit)
            .collect();
        let count = digits.parse::<u64>();
        if !digits.is_empty() && count.is_ok_and(|n| n > MOST_STRINGS) || digits.len() > 19 {
            return Err(format!("it announces {digits} texts, more than {MOST_STRINGS}"));
        }
    }
    Ok(())
}

/// Nothing here is a fault: what cannot be made out is taken for not hidden.
fn hidden(parts: &BTreeMap<String, String>, most: usize) -> Seen {
    let mut seen = Seen::default();
    let Some(book) = parts.get("xl/workbook.xml") else { return seen };
    let targets =
        parts.get("xl/_rels/workbook.xml.rels").map_or_else(BTreeMap::new, |t| targets(t));
    each(book, |e| {
        if e.local_name().as_ref() != "sheet" {
            return;
        }
        let (Some(name), Some(id)) = (attribute(e, "name"), attribute(e, "id")) else { return };
        let Some(target) = targets.get(&id).map(|t| t.to_lowercase()) else { return };
        let path = match target.strip_prefix('/') {
            Some(path) => path.to_string(),
            None => format!("xl/{target}"),
        };
        let Some(sheet) = parts.get(&path) else { return };
        let (rows, columns) = hidden_in(sheet, most);
        seen.hidden_rows.insert(name.clone(), rows);
        seen.hidden_columns.insert(name, columns);
    });
    seen
}

fn targets(rels: &str) -> BTreeMap<String, String> {
    let mut out = BTreeMap::new();
    each(rels, |e| {
        if let (Some(id), Some(target)) = (attribute(e, "Id"), attribute(e, "Target")) {
            out.insert(id, target);
        }
    });
    out
}

fn hidden_in(sheet: &str, most: usize) -> (BTreeSet<usize>, BTreeSet<usize>) {
    let (mut rows, mut columns) = (BTreeSet::new(), BTreeSet::new());
    each(sheet, |e| {
        if !matches!(attribute(e, "hidden").as_deref(), Some("1" | "true")) {
            return;
        }
        let number = |name| attribute(e, name).and_then(|n| n.parse::<usize>().ok());
        match e.local_name().as_ref() {
            "row" => rows.extend(number("r")),
            "col" => {
                if let (Some(from), Some(to)) = (number("min"), number("max")) {
                    columns.extend((from.max(1)..=to.min(most)).map(|c| c - 1));
                }
            }
            _ => {}
        }
    });
    (rows, columns)
}

/// Every element that is opened, up to the first fault.
fn each(xml: &str, mut see: impl FnMut(&BytesStart<'_>)) {
    let mut reader = Reader::from_str(xml);
    while let Ok(event) = reader.read_event() {
        match event {
            Event::Start(e) | Event::Empty(e) => see(&e),
            Event::Eof => return,
            _ => {}
        }
    }
}

/// By its name without a prefix.
fn attribute(e: &BytesStart<'_>, name: &str) -> Option<String> {
    let found = e.attributes().flatten().find(|a| a.key.local_name().as_ref() == name)?;
    let value = quick_xml::escape::unescape(&found.value).ok()?;
    Some(value.into_owned())
}
