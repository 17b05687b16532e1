//! A vetted text as it is laid out: every value with where it stands, and
//! every remark with the entry that it belongs to.

use saphyr_parser::{Event, Parser, ScalarStyle};
use unicode_width::UnicodeWidthStr;

pub(super) struct Scalar {
    pub start: usize,
    pub end: usize,
    pub text: String,
    /// In a block of its own, after `|` or `>`.
    pub block: bool,
    pub quotes: bool,
    /// How it will be written.
    pub out: String,
}

pub(super) enum Value {
    Scalar(Scalar),
    Many(Many),
}

/// A list or a mapping.
pub(super) struct Many {
    pub map: bool,
    /// In brackets or braces.
    pub flow: bool,
    pub entries: Vec<Entry>,
    /// The bracket, or the first entry.
    pub start: usize,
    /// After the bracket, or after the last entry.
    pub end: usize,
    /// Where its entries start, if it is no flow.
    pub column: usize,
    /// Remarks after the last entry.
    pub tail: Vec<Remark>,
    /// The closing bracket stands on a line of its own.
    pub closes_alone: bool,
    /// Keys changed places.
    pub moved: bool,
}

pub(super) struct Entry {
    pub key: Option<Scalar>,
    pub value: Value,
    /// The key, the dash, or the value if there is neither.
    pub start: usize,
    /// Remarks above it.
    pub before: Vec<Remark>,
    /// Remarks at its end, each with its column.
    pub beside: Vec<(String, usize)>,
    /// A blank line is above it.
    pub gap: bool,
    /// In a flow: it starts a line.
    pub broken: bool,
}

pub(super) struct Remark {
    pub text: String,
    /// A blank line is above it.
    pub gap: bool,
}

pub(super) struct Document {
    pub root: Many,
    /// Remarks at the top that belong to the file.
    pub head: Vec<Remark>,
    /// A blank line is above the root.
    pub gap: bool,
}

impl Entry {
    pub fn end(&self) -> usize {
        match &self.value {
            Value::Scalar(s) => s.end,
            Value::Many(m) => m.end,
        }
    }
    /// Whether a blank line is above all that belongs to it.
    pub fn lead(&mut self) -> &mut bool {
        match self.before.first_mut() {
            Some(remark) => &mut remark.gap,
            None => &mut self.gap,
        }
    }
}

/// A remark as it was found.
struct Found {
    at: usize,
    text: String,
    /// Nothing but blanks is before it on its line.
    alone: bool,
    column: usize,
    /// No more than that of the remarks right above it.
    depth: usize,
}

/// `None` if the text is no list or mapping, which the vetting has ruled out.
pub(super) fn parse(text: &str) -> Option<Document> {
    let mut reader = Reader { text, bytes: Vec::new(), scalars: Vec::new(), events: Vec::new() };
    if !text.is_ascii() {
        reader.bytes = text.char_indices().map(|(i, _)| i).collect();
    }
    for event in Parser::new_from_str(text) {
        let (event, span) = event.ok()?;
        let at = (reader.byte(span.start.index()), reader.byte(span.end.index()));
        reader.events.push((event, at.0, at.1));
    }
    let mut events = std::mem::take(&mut reader.events).into_iter();
    let begins = |e: &Event<'_>| matches!(e, Event::MappingStart(..) | Event::SequenceStart(..));
    let first = events.by_ref().find(|(e, ..)| begins(e))?;
    let Value::Many(mut root) = reader.value(first, 0, false, &mut events)? else { return None };
    let last = usize::MAX;
    let mut run: Option<(usize, usize)> = None;
    for (at, end) in remarks(text, &reader.scalars) {
        let line = text[..at].rfind('\n').map_or(0, |n| n + 1);
        let alone = text[line..at].trim().is_empty();
        let column = columns(&text[line..at]);
        // A remark further in than the one above it goes with that one.
        let above = run.filter(|(e, _)| alone && text[*e..at].trim().is_empty());
        let depth = column.min(above.map_or(last, |(_, depth)| depth));
        run = alone.then_some((end, depth));
        let text_of = text[at..end].trim_end().to_string();
        place(&mut root, Found { at, text: text_of, alone, column, depth }, text);
    }
    mark(&mut root, text);
    let head = head(&mut root);
    let gap = blank_above(text, root.start);
    Some(Document { root, head, gap })
}

/// Columns on a terminal with a tab stop at every eighth.
fn columns(text: &str) -> usize {
    let mut parts = text.split('\t');
    let first = UnicodeWidthStr::width(parts.next().unwrap_or(""));
    parts.fold(first, |n, part| (n / 8 + 1) * 8 + UnicodeWidthStr::width(part))
}

/// Where remarks stand: from each `#` after a blank, outside the scalars, to the
/// end of its line.
pub(super) fn remarks(text: &str, scalars: &[(usize, usize)]) -> Vec<(usize, usize)> {
    let (mut out, mut at) = (Vec::new(), 0);
    let mut scalars = scalars.iter().peekable();
    while at < text.len() {
        while scalars.next_if(|(_, end)| *end <= at).is_some() {}
        if let Some((_, end)) = scalars.peek().filter(|(start, _)| *start <= at) {
            at = *end;
            continue;
        }
        let blank = at == 0 || text.as_bytes()[at - 1].is_ascii_whitespace();
        if blank && text.as_bytes()[at] == b'#' {
            let end = text[at..].find('\n').map_or(text.len(), |n| at + n);
            out.push((at, end));
            at = end;
        } else {
            at += 1;
        }
    }
    out
}

/// The texts of all remarks of a vetted text, sorted.
pub(super) fn remark_texts(text: &str) -> Option<Vec<&str>> {
    let mut reader = Reader { text, bytes: Vec::new(), scalars: Vec::new(), events: Vec::new() };
    if !text.is_ascii() {
        reader.bytes = text.char_indices().map(|(i, _)| i).collect();
    }
    for event in Parser::new_from_str(text) {
        if let (Event::Scalar(_, style, ..), span) = event.ok()? {
            let (start, end) = (reader.byte(span.start.index()), reader.byte(span.end.index()));
            reader.scalars.push((start, reader.ends(style, start, end)));
        }
    }
    let found = remarks(text, &reader.scalars);
    let mut texts: Vec<&str> = found.into_iter().map(|(a, b)| text[a..b].trim_end()).collect();
    texts.sort_unstable();
    Some(texts)
}

type Token<'a> = (Event<'a>, usize, usize);

struct Reader<'a> {
    text: &'a str,
    /// Byte of each character; empty for ASCII.
    bytes: Vec<usize>,
    /// Start and end of every scalar, keys too.
    scalars: Vec<(usize, usize)>,
    events: Vec<Token<'a>>,
}

impl Reader<'_> {
    fn byte(&self, index: usize) -> usize {
        let ascii = self.bytes.is_empty();
        let byte = if ascii { Some(index) } else { self.bytes.get(index).copied() };
        byte.unwrap_or(self.text.len()).min(self.text.len())
    }

    /// Where a scalar ends. What the parser gives for one in quotes may run on
    /// over blanks and a remark.
    fn ends(&self, style: ScalarStyle, start: usize, end: usize) -> usize {
        let text = self.text.get(start..end).unwrap_or("");
        let quote = match style {
            ScalarStyle::SingleQuoted => b'\'',
            ScalarStyle::DoubleQuoted => b'"',
            _ => return start + text.trim_end().len(),
        };
        let (bytes, mut at) = (text.as_bytes(), 1);
        while at < bytes.len() {
            let twice = bytes.get(at + 1) == Some(&quote);
            match bytes[at] {
                b'\\' if quote == b'"' => at += 1,
                b if b == quote && quote == b'\'' && twice => at += 1,
                b if b == quote => return start + at + 1,
                _ => {}
            }
            at += 1;
        }
        end
    }

    fn scalar(&mut self, token: Token<'_>) -> Option<Scalar> {
        let (Event::Scalar(text, style, ..), start, end) = token else { return None };
        let end = self.ends(style, start, end);
        self.scalars.push((start, end));
        let block = matches!(style, ScalarStyle::Literal | ScalarStyle::Folded);
        let quotes = matches!(style, ScalarStyle::SingleQuoted | ScalarStyle::DoubleQuoted);
        let text = text.into_owned();
        Some(Scalar { start, end, text, block, quotes, out: String::new() })
    }

    /// The value that a token begins; `from` is where the one before it ended.
    /// The depth is capped by the vetting.
    fn value<'e>(
        &mut self,
        token: Token<'e>,
        from: usize,
        in_flow: bool,
        rest: &mut impl Iterator<Item = Token<'e>>,
    ) -> Option<Value> {
        let map = match &token.0 {
            Event::MappingStart(..) => true,
            Event::SequenceStart(..) => false,
            _ => return self.scalar(token).map(Value::Scalar),
        };
        let (_, start, open) = token;
        let flow = in_flow || open > start;
        let mut many = Many {
            map,
            flow,
            entries: Vec::new(),
            start,
            end: start,
            column: 0,
            tail: Vec::new(),
            closes_alone: false,
            moved: false,
        };
        // What is inside begins after the bracket, or after what was before.
        let mut at = if open > start { open } else { from };
        loop {
            let token = rest.next()?;
            if matches!(token.0, Event::MappingEnd | Event::SequenceEnd) {
                // What the parser gives as its end is where the next token starts.
                many.end = if open > start { token.1 + 1 } else { at };
                break;
            }
            let (key, token) = match map {
                true => (Some(self.scalar(token)?), rest.next()?),
                false => (None, token),
            };
            let mut first = key.as_ref().map_or(token.1, |k| k.start);
            if !map && !flow {
                first = self.dash(at).unwrap_or(first);
            }
            let after = key.as_ref().map_or(if flow { at } else { first + 1 }, |k| k.end);
            let value = self.value(token, after, flow, rest)?;
            let entry = Entry {
                key,
                value,
                start: first,
                before: Vec::new(),
                beside: Vec::new(),
                gap: false,
                broken: false,
            };
            at = entry.end();
            many.entries.push(entry);
        }
        if let Some(first) = many.entries.first().filter(|_| !flow) {
            many.start = first.start;
            let line = self.text[..first.start].rfind('\n').map_or(0, |n| n + 1);
            many.column = columns(&self.text[line..first.start]);
        }
        Some(Value::Many(many))
    }

    /// The next dash from here: nothing but blanks, colons and remarks is before.
    fn dash(&self, from: usize) -> Option<usize> {
        let mut at = from;
        loop {
            match *self.text.as_bytes().get(at)? {
                b'-' => return Some(at),
                b'#' => at += self.text[at..].find('\n')?,
                _ => at += 1,
            }
        }
    }
}

/// Gives a remark to the entry it belongs to.
fn place(many: &mut Many, found: Found, text: &str) {
    let remark = |found: Found| Remark { gap: blank_above(text, found.at), text: found.text };
    let next = many.entries.partition_point(|e| e.start <= found.at);
    let Some(entry) = next.checked_sub(1).and_then(|i| many.entries.get_mut(i)) else {
        match many.entries.first_mut() {
            Some(first) => first.before.push(remark(found)),
            None => many.tail.push(remark(found)),
        }
        return;
    };
    let end = entry.end();
    if found.at < end {
        return match &mut entry.value {
            Value::Many(m) if found.at >= m.start || (!m.flow && found.alone) => {
                place(m, found, text);
            }
            _ if found.alone || entry.key.is_none() => entry.before.push(remark(found)),
            _ => entry.beside.push((found.text, found.column)),
        };
    }
    let same_line = !text[end..found.at].contains('\n');
    match &mut entry.value {
        Value::Many(m) if !m.flow && same_line => return place(m, found, text),
        Value::Many(m)
            if !m.flow
                && found.depth >= m.column
                && (m.column > many.column || found.depth > m.column) =>
        {
            return place(m, found, text);
        }
        _ if same_line => return entry.beside.push((found.text, found.column)),
        _ => {}
    }
    match many.entries.get_mut(next) {
        Some(entry) => entry.before.push(remark(found)),
        None => many.tail.push(remark(found)),
    }
}

fn blank_above(text: &str, at: usize) -> bool {
    let line = text[..at].rfind('\n').unwrap_or(0);
    let above = text[..line].rfind('\n').map_or(0, |n| n + 1);
    line > 0 && text[above..line].trim().is_empty()
}

/// Notes blank lines, and line ends inside of brackets.
fn mark(many: &mut Many, text: &str) {
    let mut end = many.start;
    for entry in &mut many.entries {
        entry.gap = !many.flow && blank_above(text, entry.start);
        entry.broken = text.get(end..entry.start).is_some_and(|t| t.contains('\n'));
        if let Value::Many(inner) = &mut entry.value {
            mark(inner, text);
        }
        end = entry.end();
    }
    many.closes_alone = text.get(end..many.end).is_some_and(|t| t.contains('\n'));
}

/// The remarks above the first entry that are not its own: those up to the last
/// blank line, or all if there is none.
fn head(root: &mut Many) -> Vec<Remark> {
    let Some(first) = root.entries.first_mut() else { return Vec::new() };
    let inner = first.before.iter().skip(1).rposition(|r| r.gap).map(|i| i + 1);
    let all = first.before.len();
    let cut = if first.gap { all } else { inner.unwrap_or(all) };
    let rest = first.before.split_off(cut);
    std::mem::replace(&mut first.before, rest)
}
