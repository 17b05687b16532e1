//! The vetting pass: looks at the YAML events of a text before anything else
//! does, refuses what the format does not take, and notes where all stands.
//!
//! It comes first because the typed reader alone takes seconds over nested
//! flow mappings, keeps no place for what is inside its records, drops tags,
//! and turns `~` into text.

use super::code::FaultCode;
use super::diagnostic::{Diagnostic, Sink, barred, quoted};
use super::source::{Source, SourceId, TextSpan};
use super::tree::{Kind, Node, NodeId, Stretch, Tree};
use saphyr_parser::{Event, Parser, ScalarStyle};
use std::cell::Cell;
use std::collections::BTreeMap;

/// How deep lists and mappings may nest.
pub const MOST_DEPTH: usize = 32;
/// How many values a file may hold.
pub const MOST_NODES: usize = 500_000;

const NULLS: [&str; 5] = ["", "~", "null", "Null", "NULL"];

/// The tree of places, or `None` after at least one error went to `sink`.
pub(super) fn vet(id: SourceId, source: &Source, sink: &mut Sink) -> Option<Tree> {
    let before = sink.errors();
    if let Some(d) = control(id, &source.text) {
        sink.add(d);
        return None;
    }
    let mut builder = Builder::new(id, source, sink);
    for event in Parser::new_from_str(&source.text) {
        let go_on = match event {
            Ok((event, span)) => {
                let place = builder.stretch(span);
                builder.event(event, place)
            }
            Err(e) => {
                let mark = *e.marker();
                let place = builder.stretch(saphyr_parser::Span::empty(mark));
                // The parser has a limit of its own, met before ours on `[[[[`.
                if e.info() == "recursion limit exceeded" {
                    builder.too_deep(place);
                } else {
                    let what = format!("this is not YAML: {}", e.info());
                    let d =
                        Diagnostic::error(FaultCode::Syntax, what).at(builder.span(place), "here");
                    builder.sink.add(d);
                }
                false
            }
        };
        if !go_on {
            return None;
        }
    }
    let nodes = builder.nodes;
    if nodes.is_empty() && sink.errors() == before {
        let d = Diagnostic::error(FaultCode::Empty, format!("{} is empty", quoted(&source.name)))
            .at(TextSpan { source: id, start: 0, end: 0 }, "nothing to read here");
        sink.add(d);
    }
    let tree = Tree { source: id, file: source.name.clone(), nodes, misses: Cell::new(0) };
    (sink.errors() == before).then_some(tree)
}

fn control(id: SourceId, text: &str) -> Option<Diagnostic> {
    let mut chars = text.char_indices().peekable();
    while let Some((i, c)) = chars.next() {
        let next = chars.peek().map(|(_, c)| *c);
        let fine = matches!(c, '\n' | '\t') || (c == '\r' && next == Some('\n'));
        if barred(c) && !fine {
            let span = TextSpan { source: id, start: i, end: i + c.len_utf8() };
            let what = format!("the character U+{:04X} is not allowed in a kit file", u32::from(c));
            let help = if c == '\r' {
                "end lines with a line feed, or with a carriage return and a line feed"
            } else {
                "take it out; it cannot be seen, and may hide what is written"
            };
            return Some(Diagnostic::error(FaultCode::Control, what).at(span, "here").help(help));
        }
    }
    None
}

/// A collection that is still open.
enum Open {
    List(Vec<NodeId>),
    Map { order: Vec<NodeId>, by: BTreeMap<String, NodeId>, key: Option<(String, Stretch)> },
}

struct Builder<'a> {
    id: SourceId,
    text: &'a str,
    /// Byte of each character; empty for ASCII, where they are the same.
    bytes: Vec<usize>,
    nodes: Vec<Node>,
    open: Vec<(NodeId, Open)>,
    documents: usize,
    sink: &'a mut Sink,
}

impl<'a> Builder<'a> {
    fn new(id: SourceId, source: &'a Source, sink: &'a mut Sink) -> Self {
        let text = source.text.as_str();
        let bytes = if text.is_ascii() {
            Vec::new()
        } else {
            text.char_indices().map(|(i, _)| i).collect()
        };
        Builder { id, text, bytes, nodes: Vec::new(), open: Vec::new(), documents: 0, sink }
    }

    fn byte(&self, index: usize) -> usize {
        if self.bytes.is_empty() {
            index.min(self.text.len())
        } else {
            self.bytes.get(index).copied().unwrap_or(self.text.len())
        }
    }

    fn stretch(&self, span: saphyr_parser::Span) -> Stretch {
        let start = self.byte(span.start.index());
        let end = self.byte(span.end.index()).max(start);
        // Block scalars run on to the next key; what is after the text is not theirs.
        let text = self.text.get(start..end).unwrap_or("");
        let end = start + text.trim_end().len();
        Stretch { start, end, line: span.start.line(), column: span.start.col() + 1 }
    }

    fn span(&self, s: Stretch) -> TextSpan {
        TextSpan { source: self.id, start: s.start, end: s.end }
    }

    /// Takes one event; false to stop.
    fn event(&mut self, event: Event<'_>, place: Stretch) -> bool {
        match event {
            Event::DocumentStart(_) => {
                self.documents += 1;
                if self.documents > 1 {
                    let d =
                        Diagnostic::error(FaultCode::Documents, "the file holds several documents")
                            .at(self.span(place), "the second starts here")
                            .help("write one document a file, without `---` between");
                    self.sink.add(d);
                    return false;
                }
            }
            Event::Alias(_) => {
                let help = "write the value out again; anchors and aliases are not taken";
                self.refuse(FaultCode::Anchor, "an alias is not taken here", place, help);
                return self.scalar(String::new(), ScalarStyle::SingleQuoted, place);
            }
            Event::Scalar(text, style, anchor, tag) => {
                self.extras(anchor, tag.is_some(), place);
                return self.scalar(text.into_owned(), style, place);
            }
            Event::SequenceStart(anchor, tag) => {
                self.extras(anchor, tag.is_some(), place);
                return self.begin(Open::List(Vec::new()), place);
            }
            Event::MappingStart(anchor, tag) => {
                self.extras(anchor, tag.is_some(), place);
                let open = Open::Map { order: Vec::new(), by: BTreeMap::new(), key: None };
                return self.begin(open, place);
            }
            Event::SequenceEnd | Event::MappingEnd => self.end(place),
            _ => {}
        }
        true
    }

    fn refuse(&mut self, code: FaultCode, what: &str, place: Stretch, help: &str) {
        let span = self.span(place);
        self.sink.fault(|| Diagnostic::error(code, what).at(span, "here").help(help));
    }

    fn too_deep(&mut self, place: Stretch) {
        let what = format!("lists and mappings are nested more than {MOST_DEPTH} deep");
        self.refuse(
            FaultCode::TooDeep,
            &what,
            place,
            "nothing in a kit file is nested that deeply",
        );
    }

    fn extras(&mut self, anchor: usize, tag: bool, place: Stretch) {
        if anchor > 0 {
            let help = "leave the `&name` out; anchors and aliases are not taken";
            self.refuse(FaultCode::Anchor, "an anchor is not taken here", place, help);
        }
        if tag {
            let help = "leave the `!tag` out; what a value is follows from its place";
            self.refuse(FaultCode::Tag, "a YAML tag is not taken here", place, help);
        }
    }

    /// Makes a node under the open key or list; `None` where a key is wanted.
    fn node(&mut self, value: Stretch, kind: Kind) -> Option<NodeId> {
        let id = NodeId(self.nodes.len());
        let key = match self.open.last_mut() {
            None => None,
            Some((_, Open::List(list))) => {
                list.push(id);
                None
            }
            Some((_, Open::Map { order, by, key })) => {
                let (name, at) = key.take()?;
                // After a duplicate, which is an error already, the first stays.
                by.entry(name.clone()).or_insert(id);
                order.push(id);
                Some((name, at))
            }
        };
        self.nodes.push(Node { key, value, close: None, kind });
        Some(id)
    }

    fn scalar(&mut self, text: String, style: ScalarStyle, place: Stretch) -> bool {
        if self.nodes.len() >= MOST_NODES {
            let what = format!("the file holds more than {MOST_NODES} values");
            self.refuse(FaultCode::TooMany, &what, place, "split the file");
            return false;
        }
        let plain = style == ScalarStyle::Plain;
        if let Some((_, Open::Map { by, key: key @ None, .. })) = self.open.last_mut() {
            let first = by.get(&text).copied();
            *key = Some((text.clone(), place));
            self.key(&text, plain, place, first);
            return true;
        }
        if plain && NULLS.contains(&text.as_str()) {
            self.no_value(place);
        }
        if plain && text.starts_with('?') {
            // Readers differ in whether this begins a key.
            let help = "is the question mark meant as text? put the word in quotes";
            self.refuse(FaultCode::OddKey, "a word begins with a question mark", place, help);
        }
        self.node(place, Kind::Scalar(text));
        true
    }

    fn key(&mut self, text: &str, plain: bool, place: Stretch, first: Option<NodeId>) {
        if plain && text == "<<" {
            let help = "write the fields out; merge keys are not taken";
            self.refuse(FaultCode::Merge, "a merge key is not taken here", place, help);
        } else if plain && NULLS.contains(&text) {
            self.refuse(
                FaultCode::OddKey,
                "a key is empty",
                place,
                "write a word before the colon",
            );
        }
        let first = first.and_then(|n| self.nodes.get(n.0)).and_then(|n| n.key.as_ref());
        if let Some((_, earlier)) = first {
            let (span, earlier) = (self.span(place), self.span(*earlier));
            self.sink.fault(|| {
                Diagnostic::error(
                    FaultCode::DuplicateKey,
                    format!("{} is given twice", quoted(text)),
                )
                .at(span, "given again here")
                .label(earlier, "first given here")
                .help("keep one of the two")
            });
        }
    }

    fn no_value(&mut self, place: Stretch) {
        let span = self.span(place);
        let top = self.open.is_empty();
        let key = match self.open.last() {
            Some((_, Open::Map { key: Some((name, at)), .. })) => Some((name, self.span(*at))),
            _ => None,
        };
        self.sink.fault(|| match key {
            Some((name, at)) => {
                // In braces, `4,2 kg` is `4` and then a key `2 kg`.
                let comma = name.starts_with(|c: char| c.is_ascii_digit());
                let help = if comma {
                    "a comma parts entries here; in a number, write a point"
                } else {
                    "write a value after the colon, or leave the field out"
                };
                Diagnostic::error(FaultCode::NoValue, format!("{} has no value", quoted(name)))
                    .at(at, "nothing is given for this")
                    .help(help)
            }
            None if top => Diagnostic::error(FaultCode::Empty, "the file is empty")
                .at(span, "nothing to read here"),
            None => Diagnostic::error(FaultCode::NoValue, "an entry of a list has no value")
                .at(span, "nothing is given here")
                .help("write a value after the dash, or take the entry out"),
        });
    }

    fn begin(&mut self, open: Open, place: Stretch) -> bool {
        if self.open.len() >= MOST_DEPTH {
            self.too_deep(place);
            return false;
        }
        if let Some((_, Open::Map { key: None, .. })) = self.open.last() {
            let help =
                "a key is a plain word; is a bracket or a brace meant as text? put it in quotes";
            self.refuse(FaultCode::OddKey, "a list or a mapping cannot be a key", place, help);
            return false;
        }
        // What is inside is filled in when it ends.
        match self.node(place, Kind::List(Vec::new())) {
            Some(id) => self.open.push((id, open)),
            None => return false,
        }
        true
    }

    fn end(&mut self, place: Stretch) {
        let Some((id, open)) = self.open.pop() else { return };
        // The end of a block is where the next thing starts.
        let flow = |b: u8| matches!(b, b'[' | b'{');
        let byte = |at: usize| self.text.as_bytes().get(at).copied();
        let close = self.nodes.get(id.0).and_then(|n| byte(n.value.start)).filter(|b| flow(*b));
        let close = close.and_then(|_| byte(place.start)).filter(|b| matches!(b, b']' | b'}'));
        if let Some(node) = self.nodes.get_mut(id.0) {
            node.close = close.map(|_| place.start + 1);
            node.kind = match open {
                Open::List(list) => Kind::List(list),
                Open::Map { order, by, .. } => Kind::Map(order, by),
            };
        }
    }
}
