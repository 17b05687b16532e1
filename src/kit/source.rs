//! The text of a kit file, and where in it something stands.

/// The place of a file in its [`Sources`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SourceId(pub usize);

/// A stretch of bytes in a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TextSpan {
    /// Of which file.
    pub source: SourceId,
    /// The first byte.
    pub start: usize,
    /// The byte after the last.
    pub end: usize,
}

/// A file as it was read: without byte order mark, known to be UTF-8.
#[derive(Debug, Clone)]
pub struct Source {
    /// As the user named it.
    pub name: String,
    /// All of it.
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
    /// The file at this place.
    pub fn get(&self, id: SourceId) -> Option<&Source> {
        self.list.get(id.0)
    }

    /// The files in the order in which they were read.
    pub fn iter(&self) -> impl Iterator<Item = &Source> {
        self.list.iter()
    }

    pub(super) fn find(&self, name: &str) -> Option<SourceId> {
        self.list.iter().position(|s| s.name == name).map(SourceId)
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

    pub(super) fn push(&mut self, name: &str, text: &str) -> SourceId {
        self.list.push(Source::new(name.to_string(), text.to_string()));
        SourceId(self.list.len() - 1)
    }
}
