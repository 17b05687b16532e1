//! Faults as data: what, where, and what to do about it.

use super::code::FaultCode;
use super::source::{Sources, TextSpan};
use tumpline_core::text::clean;

/// The most faults that are kept of one reading; the rest are counted.
pub const MOST_FAULTS: usize = 50;
/// The most characters of a user's text that a message repeats.
const MOST_QUOTED: usize = 60;

/// Whether a fault keeps a file from being used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Nothing comes of the file.
    Error,
    /// The file is read all the same.
    Warning,
}

/// A stretch of a file with a remark on it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Label {
    /// The stretch.
    pub span: TextSpan,
    /// The remark.
    pub text: String,
}

/// One fault. Texts are free of control characters.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Diagnostic {
    /// What kind of fault it is.
    pub code: FaultCode,
    /// Whether it keeps the file from being used.
    pub severity: Severity,
    /// What is wrong, in one sentence without a full stop.
    pub message: String,
    /// Where it is; none for faults of a file as a whole.
    pub primary: Option<Label>,
    /// Other places that have to do with it.
    pub labels: Vec<Label>,
    /// What to do about it.
    pub helps: Vec<String>,
}

impl Diagnostic {
    /// An error without a place.
    pub fn error(code: FaultCode, message: impl AsRef<str>) -> Self {
        Diagnostic {
            code,
            severity: Severity::Error,
            message: clean(message.as_ref()),
            primary: None,
            labels: Vec::new(),
            helps: Vec::new(),
        }
    }
    /// A warning without a place.
    pub fn warning(code: FaultCode, message: impl AsRef<str>) -> Self {
        Diagnostic { severity: Severity::Warning, ..Self::error(code, message) }
    }
    /// With its place, and what is wrong there.
    #[must_use]
    pub fn at(mut self, span: TextSpan, text: impl AsRef<str>) -> Self {
        self.primary = Some(Label { span, text: clean(text.as_ref()) });
        self
    }
    /// With another place, and what that has to do with it.
    #[must_use]
    pub fn label(mut self, span: TextSpan, text: impl AsRef<str>) -> Self {
        self.labels.push(Label { span, text: clean(text.as_ref()) });
        self
    }
    /// With a line on what to do about it.
    #[must_use]
    pub fn help(mut self, text: impl AsRef<str>) -> Self {
        self.helps.push(clean(text.as_ref()));
        self
    }
    /// With a line on what to do about it, if there is one.
    #[must_use]
    pub fn maybe_help(self, text: Option<String>) -> Self {
        match text {
            Some(t) => self.help(t),
            None => self,
        }
    }
    pub(super) fn boxed(self) -> Box<Self> {
        Box::new(self)
    }
    /// Whether the system is at fault (a file missing or unreadable) and not
    /// what a file says.
    pub fn is_io(&self) -> bool {
        matches!(
            self.code,
            FaultCode::NotFound
                | FaultCode::IsFolder
                | FaultCode::Unreadable
                | FaultCode::NothingToRead
        )
    }
}

/// The faults of one reading, in the order of files and places.
#[derive(Debug, Clone, Default)]
pub struct Diagnostics {
    list: Vec<Diagnostic>,
    more: usize,
    sources: Sources,
}

impl Diagnostics {
    /// The faults that were kept, at most [`MOST_FAULTS`].
    pub fn iter(&self) -> impl Iterator<Item = &Diagnostic> {
        self.list.iter()
    }
    /// Faults found beyond those kept.
    pub fn more(&self) -> usize {
        self.more
    }
    /// Whether nothing is wrong.
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }
    /// Errors, those not kept included.
    pub fn errors(&self) -> usize {
        self.more + self.list.iter().filter(|d| d.severity == Severity::Error).count()
    }
    /// There are errors, and every one is of the file system.
    pub fn only_io(&self) -> bool {
        let mut errors = self.list.iter().filter(|d| d.severity == Severity::Error).peekable();
        errors.peek().is_some() && errors.all(Diagnostic::is_io)
    }
    /// The files that the places are in.
    pub fn sources(&self) -> &Sources {
        &self.sources
    }
}

impl std::error::Error for Diagnostics {}

/// Collects faults while reading.
#[derive(Debug, Default)]
pub(super) struct Sink {
    list: Vec<Diagnostic>,
    more: usize,
    errors: usize,
}

impl Sink {
    pub fn add(&mut self, d: Diagnostic) {
        let error = d.severity == Severity::Error;
        self.errors += usize::from(error);
        // One file may be read for several moves; its faults are one.
        if self.list.contains(&d) {
            return;
        }
        if self.list.len() < MOST_FAULTS {
            self.list.push(d);
        } else if error {
            self.more += 1;
        }
    }
    /// Adds an error; its wording is not worked out if it is not kept.
    pub fn fault(&mut self, d: impl FnOnce() -> Diagnostic) {
        if self.list.len() < MOST_FAULTS {
            self.add(d());
        } else {
            self.errors += 1;
            self.more += 1;
        }
    }
    /// Errors so far; one that is found again counts again.
    pub fn errors(&self) -> usize {
        self.errors
    }
    pub fn finish(mut self, sources: Sources) -> Diagnostics {
        self.list.sort_by(|a, b| {
            let place = |d: &Diagnostic| d.primary.as_ref().map(|l| l.span);
            place(a).cmp(&place(b)).then(a.code.cmp(&b.code)).then(a.message.cmp(&b.message))
        });
        Diagnostics { list: self.list, more: self.more, sources }
    }
}

/// The user's text between backticks, made safe for a terminal and short.
pub fn quoted(text: &str) -> String {
    let mut short: String = text.chars().take(MOST_QUOTED).collect();
    if short.len() < text.len() {
        short.push('…');
    }
    format!("`{}`", clean(&short))
}

/// What no text of a kit file may hold: control characters, foreign line breaks
/// and marks that turn the direction of text. Fewer than what is written out
/// before it is printed ([`tumpline_core::text::acts`]): some scripts and the
/// emoji of flags need characters that show nothing by themselves.
pub(super) fn barred(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}'
            | '\u{feff}')
}

/// The candidate nearest to `word`, if any is near enough to be meant. Looks
/// at no more than some thousands, so that a faulty file of any size is reported
/// about at once.
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    const MOST_CANDIDATES: usize = 2000;
    const MOST_LETTERS: usize = 64;
    let length = word.chars().count();
    if length > MOST_LETTERS {
        return None;
    }
    let word = word.to_lowercase();
    // One slip in three letters, so that short words do not match at random.
    let allowed = (length / 3).max(1);
    candidates
        .into_iter()
        .filter(|c| c.len().abs_diff(length) <= 4 * allowed)
        .filter(|c| c.chars().count().abs_diff(length) <= allowed)
        .take(MOST_CANDIDATES)
        .map(|c| (strsim::osa_distance(&word, c), c))
        .filter(|(d, _)| *d <= allowed)
        .min()
        .map(|(_, c)| c)
}

/// "did you mean `x`?" for the nearest candidate.
pub(super) fn did_you_mean<'a>(
    word: &str,
    candidates: impl IntoIterator<Item = &'a str>,
) -> Option<String> {
    nearest(word, candidates).map(|c| format!("did you mean {}?", quoted(c)))
}

/// `` `a`, `b` or `c` ``.
pub(super) fn one_of<'a>(words: impl IntoIterator<Item = &'a str>) -> String {
    let words: Vec<String> = words.into_iter().map(quoted).collect();
    match words.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} or {last}", rest.join(", ")),
        None => String::new(),
    }
}

/// `1 item`, `2 items`.
pub fn counted(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}

/// The user's text made safe for a terminal and short, for use inside a longer
/// quotation.
pub(super) fn shorten(text: &str) -> String {
    quoted(text).trim_matches('`').to_string()
}

/// A few of them, and how many more.
pub(super) fn some(all: &[String]) -> String {
    const MOST: usize = 12;
    let shown = all.iter().take(MOST).map(String::as_str).collect::<Vec<_>>().join(", ");
    match all.len().checked_sub(MOST) {
        Some(more) if more > 0 => format!("{shown} and {more} more"),
        _ => shown,
    }
}

/// The nearest of some names, whatever their case.
pub(super) fn nearest_any_case<'a>(
    word: &str,
    names: impl Iterator<Item = &'a str>,
) -> Option<&'a str> {
    let names: Vec<(String, &str)> = names.map(|n| (n.to_lowercase(), n)).collect();
    let near = nearest(word, names.iter().map(|(low, _)| low.as_str()))?;
    names.iter().find(|(low, _)| low == near).map(|(_, name)| *name)
}
