//! The text of a kit file, and where in it something stands.

use super::code::Code;
use super::diagnostic::{Diagnostic, quoted};
use std::fs::File;
use std::io::{ErrorKind, Read};
use std::path::Path;

/// The most a kit file may hold: 4 MiB.
pub const MOST_BYTES: usize = 4 << 20;

/// The place of a file in its [`Sources`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SourceId(pub usize);

/// A stretch of bytes in a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    pub source: SourceId,
    pub start: usize,
    pub end: usize,
}

/// A file as it was read: without byte order mark, known to be UTF-8.
#[derive(Debug, Clone)]
pub struct Source {
    /// As the user named it.
    pub name: String,
    pub text: String,
    /// The byte at which each line starts.
    lines: Vec<usize>,
    /// Of a sheet of a workbook, which has no text of its own: the byte at which
    /// each cell starts, and its name, such as `C7`.
    cells: Vec<(usize, String)>,
}

impl Source {
    fn new(name: String, text: String) -> Self {
        let ends = text.bytes().enumerate().filter(|(_, b)| *b == b'\n').map(|(i, _)| i + 1);
        let lines = std::iter::once(0).chain(ends).collect();
        Source { name, text, lines, cells: Vec::new() }
    }

    /// The cell that starts at this byte or before it, of a sheet.
    pub fn cell(&self, byte: usize) -> Option<&str> {
        let at = self.cells.partition_point(|(start, _)| *start <= byte).checked_sub(1)?;
        self.cells.get(at).map(|(_, name)| name.as_str())
    }

    /// Whether places in it are cells and not lines and columns.
    pub fn is_sheet(&self) -> bool {
        !self.cells.is_empty()
    }

    /// The line that holds this byte, from one.
    pub fn line(&self, byte: usize) -> usize {
        self.lines.partition_point(|&start| start <= byte)
    }

    /// Where a line starts, in bytes; lines past the last start at the end.
    pub fn line_start(&self, line: usize) -> usize {
        self.lines.get(line.saturating_sub(1)).copied().unwrap_or(self.text.len())
    }

    /// Line and column from one, the column in characters.
    pub fn line_column(&self, byte: usize) -> (usize, usize) {
        let line = self.line(byte);
        let before = self.text.get(self.line_start(line)..byte).unwrap_or("");
        (line, before.chars().count() + 1)
    }
}

/// Every file of one reading.
#[derive(Debug, Clone, Default)]
pub struct Sources {
    list: Vec<Source>,
}

impl Sources {
    pub fn get(&self, id: SourceId) -> Option<&Source> {
        self.list.get(id.0)
    }

    pub fn iter(&self) -> impl Iterator<Item = &Source> {
        self.list.iter()
    }

    pub(super) fn find(&self, name: &str) -> Option<SourceId> {
        self.list.iter().position(|s| s.name == name).map(SourceId)
    }

    /// Takes in a text that does not come from a file.
    ///
    /// # Errors
    /// A text over [`MOST_BYTES`].
    pub fn add_text(&mut self, name: &str, text: &str) -> Result<SourceId, Box<Diagnostic>> {
        self.add_bytes(name, text.as_bytes(), MOST_BYTES)
    }

    /// Reads a file.
    ///
    /// # Errors
    /// A file that is missing, a folder or unreadable; one that is too large
    /// or not UTF-8.
    pub fn add_file(&mut self, path: &Path) -> Result<SourceId, Box<Diagnostic>> {
        self.add_file_up_to(path, MOST_BYTES)
    }

    /// The same, of a file that may be larger or has to be smaller.
    pub(super) fn add_file_up_to(
        &mut self,
        path: &Path,
        most: usize,
    ) -> Result<SourceId, Box<Diagnostic>> {
        let name = path.display().to_string();
        let fault = |code, what: String| Diagnostic::error(code, what).boxed();
        if path.is_dir() {
            return Err(fault(
                Code::IsFolder,
                format!("{} is a folder, not a file", quoted(&name)),
            ));
        }
        let mut bytes = Vec::new();
        let read = File::open(path).and_then(|f| f.take(most as u64 + 1).read_to_end(&mut bytes));
        match read {
            Ok(_) => self.add_bytes(&name, &bytes, most),
            Err(e) if e.kind() == ErrorKind::NotFound => {
                Err(fault(Code::NotFound, format!("there is no file {}", quoted(&name))))
            }
            Err(e) => Err(fault(Code::Unreadable, format!("cannot read {}: {e}", quoted(&name)))),
        }
    }

    fn add_bytes(
        &mut self,
        name: &str,
        bytes: &[u8],
        most: usize,
    ) -> Result<SourceId, Box<Diagnostic>> {
        if bytes.len() > most {
            let what = format!("{} is larger than {} MiB", quoted(name), most >> 20);
            let help = if most > MOST_BYTES {
                "this is larger than any plan; check the path"
            } else {
                "a kit file is a list that somebody wrote; split it or check the path"
            };
            return Err(Diagnostic::error(Code::TooLarge, what).help(help).boxed());
        }
        let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
        match std::str::from_utf8(bytes) {
            Ok(text) => Ok(self.push(name, text)),
            Err(e) => {
                // Keep the good part, so that the fault can be shown in place.
                let good = e.valid_up_to();
                let text = std::str::from_utf8(&bytes[..good]).unwrap_or("");
                let id = self.push(name, text);
                let byte = bytes.get(good).copied().unwrap_or(0);
                let what =
                    format!("{} is not UTF-8: byte {} is 0x{byte:02X}", quoted(name), good + 1);
                let span = Span { source: id, start: good, end: good };
                let wide = bytes.starts_with(b"\xFF\xFE") || bytes.starts_with(b"\xFE\xFF");
                let help = if wide {
                    "save the file as UTF-8, not UTF-16"
                } else {
                    "save the file as UTF-8"
                };
                let d = Diagnostic::error(Code::NotUtf8, what)
                    .at(span, "the text is good up to here")
                    .help(help);
                Err(d.boxed())
            }
        }
    }

    /// Takes in a sheet: a line of text for each row, and where its cells start.
    #[cfg(feature = "spreadsheets")]
    pub(super) fn add_sheet(
        &mut self,
        name: &str,
        text: &str,
        cells: Vec<(usize, String)>,
    ) -> SourceId {
        let id = self.push(name, text);
        if let Some(source) = self.list.get_mut(id.0) {
            source.cells = cells;
        }
        id
    }

    fn push(&mut self, name: &str, text: &str) -> SourceId {
        self.list.push(Source::new(name.to_string(), text.to_string()));
        SourceId(self.list.len() - 1)
    }
}
