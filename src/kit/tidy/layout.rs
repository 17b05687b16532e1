//! From the arranged document back to text.

use super::syntax::{Document, Entry, Many, Remark, Value};
use unicode_width::UnicodeWidthStr;

const STEP: usize = 2;
/// Blanks between a line and the remark beside it, at the least.
const APART: usize = 2;

#[derive(Default)]
struct Line {
    text: String,
    /// A remark, and the column where it stood.
    remark: Option<(String, usize)>,
}

/// The text, each line ended by a line feed.
pub(super) fn print(document: &mut Document, source: &str) -> String {
    hoist(&mut document.root);
    let mut pen = Pen { lines: Vec::new(), source };
    pen.remarks(&document.head, 0, false);
    let root = &document.root;
    if root.flow {
        pen.gap(document.gap && !document.head.is_empty());
        pen.lines.push(Line::default());
        pen.flow(root, 0);
    } else {
        pen.block(root, 0, !document.head.is_empty());
    }
    align(&mut pen.lines);
    let mut out = String::new();
    for line in &pen.lines {
        out.push_str(line.text.trim_end());
        out.push('\n');
    }
    out
}

/// What stands beside an entry twice goes above it; what is above the first key
/// of an entry of a list goes above its dash.
fn hoist(many: &mut Many) {
    for entry in &mut many.entries {
        let last = entry.beside.len().saturating_sub(1);
        let above = entry.beside.drain(..last);
        entry.before.extend(above.map(|(text, _)| Remark { text, gap: false }));
        let Value::Many(inner) = &mut entry.value else { continue };
        hoist(inner);
        if many.flow || inner.flow || entry.key.is_some() {
            continue;
        }
        let Some(first) = inner.entries.first_mut() else { continue };
        for (n, mut remark) in std::mem::take(&mut first.before).into_iter().enumerate() {
            if n == 0 {
                remark.gap = std::mem::take(&mut entry.gap);
            }
            entry.before.push(remark);
        }
    }
}

struct Pen<'a> {
    lines: Vec<Line>,
    source: &'a str,
}

impl Pen<'_> {
    fn line(&mut self, indent: usize) {
        self.lines.push(Line { text: " ".repeat(indent), remark: None });
    }

    fn put(&mut self, text: &str) {
        match self.lines.last_mut() {
            Some(line) => line.text.push_str(text),
            None => self.lines.push(Line { text: text.to_string(), remark: None }),
        }
    }

    /// How wide the line is up to this byte.
    fn width(&self, byte: usize) -> usize {
        self.lines.last().map_or(0, |l| l.text[..byte.min(l.text.len())].width())
    }

    fn remarked(&self) -> bool {
        self.lines.last().is_some_and(|l| l.remark.is_some())
    }

    fn gap(&mut self, gap: bool) {
        if gap {
            self.lines.push(Line::default());
        }
    }

    /// Remarks, a line each; the first one's blank line is left out unless
    /// something is above.
    fn remarks(&mut self, remarks: &[Remark], indent: usize, above: bool) {
        for (n, remark) in remarks.iter().enumerate() {
            self.gap(remark.gap && (above || n > 0));
            self.line(indent);
            self.put(&remark.text);
        }
    }

    /// `above`: something stands above that a blank line may part it from.
    fn block(&mut self, many: &Many, indent: usize, above: bool) {
        let pad = padding(many, self.source);
        for (n, entry) in many.entries.iter().enumerate() {
            let above = above || n > 0;
            self.remarks(&entry.before, indent, above);
            self.gap(entry.gap && (above || !entry.before.is_empty()));
            self.line(indent);
            self.entry(entry, indent, pad);
        }
        self.remarks(&many.tail, indent, true);
    }

    /// An entry on the line that is begun.
    fn entry(&mut self, entry: &Entry, indent: usize, pad: usize) {
        let Some(key) = &entry.key else {
            self.put("- ");
            return self.item(&entry.value, entry, indent + STEP);
        };
        self.put(&key.out);
        self.put(":");
        match &entry.value {
            Value::Many(inner) if !inner.flow => {
                self.beside(entry);
                self.block(inner, indent + STEP, false);
            }
            value => {
                let blanks = pad.saturating_sub(key.out.width() + 1).max(1);
                self.put(&" ".repeat(blanks));
                self.inline(value, indent);
                self.beside(entry);
            }
        }
    }

    /// What follows a dash.
    fn item(&mut self, value: &Value, entry: &Entry, indent: usize) {
        let Value::Many(inner) = value else {
            self.inline(value, indent);
            return self.beside(entry);
        };
        if inner.flow {
            self.flow(inner, indent);
            return self.beside(entry);
        }
        let pad = padding(inner, self.source);
        for (n, entry) in inner.entries.iter().enumerate() {
            if n > 0 {
                self.remarks(&entry.before, indent, true);
                self.gap(entry.gap);
                self.line(indent);
            }
            self.entry(entry, indent, pad);
        }
        self.remarks(&inner.tail, indent, true);
    }

    fn inline(&mut self, value: &Value, indent: usize) {
        match value {
            Value::Scalar(scalar) => self.put(&scalar.out),
            Value::Many(many) => self.flow(many, indent),
        }
    }

    fn beside(&mut self, entry: &Entry) {
        if let (Some(remark), Some(line)) = (entry.beside.last(), self.lines.last_mut()) {
            line.remark = Some(remark.clone());
        }
    }

    /// Brackets and what is in them, broken into lines where they were.
    fn flow(&mut self, many: &Many, indent: usize) {
        let [open, close] = if many.map { ["{", "}"] } else { ["[", "]"] };
        // Looked at only where it matters: lines may be very long.
        let start = self.lines.last().map_or(0, |l| l.text.len());
        self.put(open);
        let last = many.entries.len().saturating_sub(1);
        let breaks = |(n, e): (usize, &Entry)| {
            e.broken || !e.before.is_empty() || n < last && !e.beside.is_empty()
        };
        let broken = many.entries.iter().enumerate().any(breaks);
        let first = many.entries.first().is_some_and(|e| e.broken || !e.before.is_empty());
        let base = match (first, broken) {
            (true, _) => indent + STEP,
            (false, true) => self.width(start) + 1,
            (false, false) => indent,
        };
        let lines = self.source.get(many.start..many.end).is_none_or(|s| s.contains('\n'));
        let moved = many.moved && broken;
        let origin = many.entries.first().map_or(0, |e| e.start);
        for (n, entry) in many.entries.iter().enumerate() {
            let line = entry.broken || !entry.before.is_empty() || moved && n > 0;
            if line || self.remarked() {
                self.remarks(&entry.before, base, true);
                self.line(base);
            } else if n > 0 {
                // Where it stood, if more than one blank was before it.
                let padded = self.source.get(..entry.start).is_some_and(|s| s.ends_with("  "));
                let blanks = if padded && !lines && !many.moved {
                    let at = self.source.get(origin..entry.start).map_or(0, UnicodeWidthStr::width);
                    let now = self.width(usize::MAX) - self.width(start);
                    (1 + at).saturating_sub(now).max(1)
                } else {
                    1
                };
                self.put(&" ".repeat(blanks));
            }
            if let Some(key) = &entry.key {
                self.put(&key.out);
                self.put(":");
                self.put(" ");
            }
            self.inline(&entry.value, base);
            self.put(if n + 1 < many.entries.len() { "," } else { "" });
            self.beside(entry);
        }
        self.remarks(&many.tail, base, true);
        if self.remarked() || !many.tail.is_empty() || many.closes_alone {
            // After quotes the parser wants the bracket further in than the key.
            let quotes = self.lines.iter().rfind(|l| !l.text.trim_start().starts_with('#'));
            let quotes = quotes.is_some_and(|l| l.text.ends_with(['"', '\'']));
            self.line(if quotes { indent + STEP } else { indent });
        }
        self.put(close);
    }
}

/// How far from their keys all values of a mapping stand, if somebody has put
/// them below each other; else zero.
fn padding(many: &Many, source: &str) -> usize {
    let (mut pad, mut count, mut loose) = (None, 0, false);
    for entry in &many.entries {
        let Some(key) = &entry.key else { return 0 };
        let start = match &entry.value {
            Value::Scalar(s) if !s.block => s.start,
            Value::Many(m) if m.flow => m.start,
            _ => continue,
        };
        let Some(between) = source.get(key.start..start).filter(|b| !b.contains(['\n', '\t']))
        else {
            return 0;
        };
        // Quotes that come off would move the value.
        let stands = between.width() + key.out.width() - (key.end - key.start).min(key.out.width());
        loose |= between.ends_with("  ");
        count += 1;
        if *pad.get_or_insert(stands) != stands {
            return 0;
        }
    }
    if loose && count > 1 { pad.unwrap_or(0) } else { 0 }
}

/// Puts the remarks beside lines: those of neighbours that stood in one column
/// stay in one, at or after where it was.
fn align(lines: &mut [Line]) {
    let mut at = 0;
    while at < lines.len() {
        let end = at + lines[at..].iter().take_while(|l| l.remark.is_some()).count();
        let run = &mut lines[at..end];
        let stood: Vec<(usize, usize)> = run
            .iter()
            .map(|l| {
                (l.remark.as_ref().map_or(0, |(_, column)| *column), l.text.trim_end().width())
            })
            .collect();
        for (line, (column, width)) in run.iter_mut().zip(&stood) {
            let group = stood.iter().filter(|(c, _)| c == column);
            let least = group.clone().map(|(_, w)| w + APART).max().unwrap_or(0);
            let alone = group.count() == 1;
            // Somebody who left a blank or two meant no column.
            let near = alone && *column <= width + APART;
            let to = if near { width + APART } else { least.max(*column) };
            if let Some((remark, _)) = line.remark.take() {
                let blanks = to.saturating_sub(*width);
                line.text = format!("{}{}{remark}", line.text.trim_end(), " ".repeat(blanks));
            }
        }
        at = end.max(at + 1);
    }
}
