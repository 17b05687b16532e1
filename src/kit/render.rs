//! Faults as text, with the lines they are about.

use super::diagnostic::{Diagnostic, Diagnostics, Label, Severity, counted};
use super::source::{Source, SourceId};
use annotate_snippets::{Annotation, AnnotationKind, Group, Level, Origin, Renderer, Snippet};
use std::fmt;
use tumpline_core::text::{acts, clean};

/// With colour or without; never a meaning in colour alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FaultStyle {
    /// Without colour.
    Plain,
    /// With the escape sequences of a terminal.
    Styled,
}

/// The most lines between two labels that are still shown in one piece.
const NEAR: usize = 12;
/// A longer line, in bytes, is not handed to the renderer, which looks at every
/// column of it; shorter ones it trims to the width of a terminal.
const LONG: usize = 4000;
/// What is shown of such a line before its label and in all, in characters.
const BEFORE: usize = 30;
const SHOWN: usize = 80;

impl fmt::Display for Diagnostics {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.render(FaultStyle::Plain))
    }
}

impl Diagnostics {
    /// Every fault as text, parted by empty lines, and the number of those not
    /// shown. Empty if there are none.
    pub fn render(&self, style: FaultStyle) -> String {
        let mut out = String::new();
        for d in self.iter() {
            out.push_str(&self.one(d, style));
            out.push_str("\n\n");
        }
        if self.more() > 0 {
            out.push_str(&format!(
                "and {} not shown\n",
                counted(self.more(), "more error", "more errors")
            ));
        } else if out.ends_with("\n\n") {
            out.pop();
        }
        out
    }

    fn one(&self, d: &Diagnostic, style: FaultStyle) -> String {
        let level = match d.severity {
            Severity::Error => Level::ERROR,
            Severity::Warning => Level::WARNING,
        };
        let title = level.primary_title(d.message.as_str()).id(d.code.number());
        let mut group = Group::with_title(title);
        let cuts = self.cuts(d);
        for cut in &cuts {
            group = match cut {
                Cut::Row { name, text, first, marks } => {
                    let marks = marks.iter().map(Mark::annotation);
                    let snippet = Snippet::source(text.as_str())
                        .path(name.as_str())
                        .line_start(*first)
                        .annotations(marks.collect::<Vec<_>>());
                    group.element(snippet)
                }
                Cut::Lines { name, text, first, marks } => {
                    let marks = marks.iter().map(Mark::annotation);
                    let snippet = Snippet::source(text.as_str())
                        .path(name.as_str())
                        .line_start(*first)
                        .fold(true)
                        .annotations(marks);
                    group.element(snippet)
                }
                Cut::Origin { name, line, column } => {
                    group.element(Origin::path(name.as_str()).line(*line).char_column(*column))
                }
                Cut::Remark(text) => group.element(Level::NOTE.message(text.as_str())),
            };
        }
        for help in &d.helps {
            group = group.element(Level::HELP.message(help.as_str()));
        }
        let renderer = match style {
            FaultStyle::Plain => Renderer::plain(),
            FaultStyle::Styled => Renderer::styled(),
        };
        let text = renderer.render(&[group]);
        cuts.iter().fold(text, |text, cut| match cut {
            // A cell has its place in its name, and no line and column.
            Cut::Row { name, text: row, first, marks } => marks.iter().fold(text, |text, m| {
                let column = row.get(..m.start).unwrap_or("").chars().count() + 1;
                text.replace(&format!("{name}:{first}:{column}"), name)
            }),
            _ => text,
        })
    }

    /// The pieces of text to show: labels near each other share one.
    fn cuts(&self, d: &Diagnostic) -> Vec<Cut> {
        let mut groups: Vec<(SourceId, Vec<(&Label, bool)>)> = Vec::new();
        let all = d.primary.iter().map(|l| (l, true)).chain(d.labels.iter().map(|l| (l, false)));
        for (label, primary) in all {
            let Some(source) = self.sources().get(label.span.source) else { continue };
            let line = source.line(label.span.start);
            let near = groups.iter_mut().find(|(id, labels)| {
                *id == label.span.source
                    && labels.iter().any(|(l, _)| source.line(l.span.start).abs_diff(line) <= NEAR)
            });
            match near {
                Some((_, labels)) => labels.push((label, primary)),
                None => groups.push((label.span.source, vec![(label, primary)])),
            }
        }
        groups
            .iter()
            .filter_map(|(id, labels)| self.sources().get(*id).map(|s| cut(s, labels)))
            .flatten()
            .collect()
    }
}

struct Mark {
    start: usize,
    end: usize,
    text: String,
    primary: bool,
}

impl Mark {
    fn annotation(&self) -> Annotation<'_> {
        let kind = if self.primary { AnnotationKind::Primary } else { AnnotationKind::Context };
        kind.span(self.start..self.end).label(self.text.as_str())
    }
}

enum Cut {
    /// A row of a sheet, with the name of its cell.
    Row {
        name: String,
        text: String,
        first: usize,
        marks: Vec<Mark>,
    },
    /// Whole lines of a file.
    Lines {
        name: String,
        text: String,
        first: usize,
        marks: Vec<Mark>,
    },
    /// A place on a line that is not shown as it stands.
    Origin {
        name: String,
        line: usize,
        column: usize,
    },
    Remark(String),
}

/// Each row of a sheet by itself, since rows far apart have nothing between
/// them that anybody would look for.
fn rows(source: &Source, labels: &[(&Label, bool)]) -> Vec<Cut> {
    let row = |(label, primary): &(&Label, bool)| {
        let first = source.line(label.span.start);
        let (from, to) = (source.line_start(first), source.line_start(first + 1));
        let text = source.text.get(from..to).unwrap_or("").trim_end_matches('\n');
        let cell = source.cell(label.span.start).unwrap_or("A1");
        let name = clean(&format!("{}, {cell}", source.name));
        if text.len() > LONG {
            return Cut::Remark(format!("{name}: {}", label.text));
        }
        let mark = |at: usize| at.saturating_sub(from).min(text.len());
        let marks = vec![Mark {
            start: mark(label.span.start),
            end: mark(label.span.end),
            text: label.text.clone(),
            primary: *primary,
        }];
        Cut::Row { name, text: text.to_string(), first, marks }
    };
    labels.iter().map(row).collect()
}

/// Lines with all that could act on a terminal written out, and the marks where
/// their text is then. What ends and indents lines stays.
fn inert(lines: &str, mut marks: Vec<Mark>) -> (String, Vec<Mark>) {
    let mut out = String::with_capacity(lines.len());
    // Where something was written out, and by how many bytes it grew.
    let mut grown: Vec<(usize, usize)> = Vec::new();
    for (at, c) in lines.char_indices() {
        if acts(c) && !matches!(c, '\n' | '\r' | '\t') {
            let written = clean(c.encode_utf8(&mut [0; 4]));
            grown.push((at, written.len() - c.len_utf8()));
            out.push_str(&written);
        } else {
            out.push(c);
        }
    }
    let moved =
        |at: usize| at + grown.iter().filter(|(g, _)| *g < at).map(|(_, n)| n).sum::<usize>();
    for mark in &mut marks {
        (mark.start, mark.end) = (moved(mark.start), moved(mark.end));
    }
    (out, marks)
}

fn cut(source: &Source, labels: &[(&Label, bool)]) -> Vec<Cut> {
    if source.is_sheet() {
        return rows(source, labels);
    }
    let name = clean(&source.name);
    let lines = labels.iter().map(|(l, _)| source.line(l.span.start));
    let first = lines.clone().min().unwrap_or(1);
    let last = lines.max().unwrap_or(1);
    let (from, to) = (source.line_start(first), source.line_start(last + 1));
    let body = source.text.get(from..to).unwrap_or("");
    if body.lines().all(|l| l.len() <= LONG) {
        let marks = labels.iter().map(|(l, primary)| {
            // A label is one line: the rest of a long value tells nothing more.
            let end_of_line = source.line_start(source.line(l.span.start) + 1);
            let line_end = source.text[..end_of_line].trim_end().len().max(l.span.start);
            let end = l.span.end.min(line_end);
            Mark {
                start: l.span.start - from,
                end: end.max(l.span.start) - from,
                text: l.text.clone(),
                primary: *primary,
            }
        });
        let (text, marks) = inert(body, marks.collect());
        return vec![Cut::Lines { name, text, first, marks }];
    }
    // A cut line would be wrong about columns, so the place is given in words.
    let mut out = Vec::new();
    for (label, _) in labels {
        let (line, column) = source.line_column(label.span.start);
        out.push(Cut::Origin { name: name.clone(), line, column });
        let start = source.line_start(line);
        let before = source.text.get(start..label.span.start).unwrap_or("");
        let skip = before.chars().count().saturating_sub(BEFORE);
        let line_text = source.text.get(start..).unwrap_or("").lines().next().unwrap_or("");
        let shown: String = line_text.chars().skip(skip).take(SHOWN).collect();
        let lead = if skip > 0 { "…" } else { "" };
        let tail = if skip + SHOWN < line_text.chars().count() { "…" } else { "" };
        out.push(Cut::Remark(format!("{}: {lead}{}{tail}", label.text, clean(&shown))));
    }
    out
}
