//! A stores file changed in place: only the bytes of what changes, so that
//! comments, order and layout stay as whoever keeps the file wrote them.
//!
//! The places come from the vetted tree. What is not there yet is put after
//! its neighbour, in the neighbour's style. The result is read again, and is
//! refused unless it says exactly what was meant.

use super::case_text::{Words, case_path};
use super::code::FaultCode;
use super::diagnostic::{Diagnostic, Diagnostics, Sink, quoted};
use super::source::Sources;
use super::stores_file::{ReadStores, read_stores_text};
use super::tree::{At, Kind};
use super::yaml_text::{in_quotes, map};
use crate::load::{CasePath, Catalogue, Holding, Stores};
use std::collections::BTreeMap;
use std::path::Path;

/// The text of the stores file once it says `new`.
///
/// # Errors
/// Where the file is laid out in a way that this cannot follow.
pub fn patched(read: &ReadStores, path: &Path, new: &Stores) -> Result<String, Diagnostics> {
    let out = Patch::new(read).text(new);
    let same = |text: &String| read_stores_text(path, text).is_ok_and(|again| again.stores == *new);
    out.filter(same).ok_or_else(|| {
        let mut sink = Sink::default();
        let name = path.display().to_string();
        let what =
            format!("{} is laid out in a way that cannot be changed in place", quoted(&name));
        let help = "change it by hand, or list each holding and case on a line of its own";
        sink.add(Diagnostic::error(FaultCode::CannotPatch, what).help(help));
        sink.finish(Sources::default())
    })
}

struct Patch<'a> {
    text: &'a str,
    root: At<'a>,
    old: &'a Stores,
    catalogue: &'a Catalogue,
    words: Words<'a>,
    /// Bytes to be replaced, and by what. Those at one place in their order.
    edits: Vec<(usize, usize, String)>,
}

impl<'a> Patch<'a> {
    fn new(read: &'a ReadStores) -> Self {
        Patch {
            text: &read.text,
            root: read.tree.root(),
            old: &read.stores,
            catalogue: &read.catalogue,
            words: Words::new(&read.catalogue),
            edits: Vec::new(),
        }
    }

    /// `None` where a place cannot be found.
    fn text(mut self, new: &Stores) -> Option<String> {
        let mut holdings = Vec::new();
        for (item, now) in &new.holdings {
            let id = &self.catalogue[*item].id;
            match self.old.holdings.get(item) {
                Some(old) if old == now => {}
                Some(old) => {
                    let at = self.entry("holdings", |e| e.get("id").text() == Some(id))?;
                    self.holding(at, old, now)?;
                }
                None => holdings.push(entry(id, now)),
            }
        }
        let mut cases = Vec::new();
        for (path, now) in &new.found {
            let was = self.old.found.get(path);
            let counts: Vec<(String, u32)> = now
                .iter()
                .filter(|(i, n)| was.is_none_or(|w| w.get(i) != Some(n)))
                .map(|(i, n)| (self.catalogue[*i].id.clone(), *n))
                .collect();
            match was {
                _ if counts.is_empty() => {}
                Some(_) => {
                    let at = self.entry("cases", |e| {
                        e.get("case").text().is_some_and(|t| self.is_path(t, path))
                    })?;
                    self.counts(at.get("found"), &counts)?;
                }
                None => {
                    let found = map(counts.iter().map(|(id, n)| (id, n)));
                    let case = path.text(self.catalogue);
                    cases.push(map([("case", case), ("found", found)]));
                }
            }
        }
        let root = self.root;
        let lists = [("holdings", holdings), ("cases", cases)];
        let missing: Vec<_> =
            lists.iter().filter(|(key, entries)| !entries.is_empty() && !root.has(key)).collect();
        for (key, entries) in lists.iter().filter(|(key, _)| root.has(key)) {
            self.list(root.get(key), entries)?;
        }
        for (key, entries) in missing {
            self.append(key, entries)?;
        }
        Some(self.applied())
    }

    fn applied(mut self) -> String {
        self.edits.sort_by_key(|(start, ..)| *start);
        let (mut out, mut done) = (String::with_capacity(self.text.len()), 0);
        for (start, end, new) in &self.edits {
            out.push_str(self.text.get(done..*start).unwrap_or(""));
            out.push_str(new);
            done = *end;
        }
        out.push_str(self.text.get(done..).unwrap_or(""));
        out
    }

    fn entry(&self, list: &str, is: impl Fn(At<'a>) -> bool) -> Option<At<'a>> {
        self.root.get(list).children().find(|e| is(*e))
    }

    /// Whether a text of the file names this case.
    fn is_path(&self, text: &str, path: &CasePath) -> bool {
        let span = self.root.span();
        case_path(text, span, self.catalogue, &self.words, self.old).is_ok_and(|p| p == *path)
    }

    fn holding(&mut self, at: At<'a>, old: &Holding, now: &Holding) -> Option<()> {
        let mut new = Vec::new();
        let numbers = [
            ("held", old.held, now.held),
            ("shelf", old.shelf, now.shelf),
            ("unserviceable", old.unserviceable, now.unserviceable),
        ];
        for (key, _, now) in numbers.into_iter().filter(|(_, old, now)| old != now) {
            match at.has(key) {
                true => self.set(at.get(key), now)?,
                false => new.push(format!("{key}: {now}")),
            }
        }
        for (key, old, now) in
            [("issued", &old.issued, &now.issued), ("on-loan", &old.on_loan, &now.on_loan)]
        {
            let differ = now.iter().filter(|(who, n)| old.get(*who) != Some(*n));
            let differ: Vec<(String, u32)> = differ.map(|(who, n)| (who.clone(), *n)).collect();
            match at.has(key) {
                _ if differ.is_empty() => {}
                true => self.counts(at.get(key), &differ)?,
                false => new.push(format!("{key}: {}", holders(now))),
            }
        }
        self.keys(at, at.get("shelf"), &new)
    }

    /// Counts in a mapping: those there are set, the others added.
    fn counts(&mut self, at: At<'a>, counts: &[(String, u32)]) -> Option<()> {
        let mut new = Vec::new();
        for (key, n) in counts {
            match at.has(key) {
                true => self.set(at.get(key), *n)?,
                false => new.push(format!("{}: {n}", word(key))),
            }
        }
        match at.children().last() {
            Some(last) => self.keys(at, last, &new),
            None => self.first(at, &new),
        }
    }

    fn set(&mut self, at: At<'a>, n: u32) -> Option<()> {
        at.text()?;
        let span = at.span();
        self.edits.push((span.start, span.end, n.to_string()));
        Some(())
    }

    /// New keys of a mapping, after one that it has.
    fn keys(&mut self, map: At<'a>, after: At<'a>, new: &[String]) -> Option<()> {
        if new.is_empty() {
            return Some(());
        }
        let end = end(after)?;
        if closed(map) {
            let text = new.iter().map(|k| format!(", {k}")).collect();
            self.edits.push((end, end, text));
            return Some(());
        }
        let indent: String = self.before(after.key_span().start).chars().map(|_| ' ').collect();
        self.lines(end, &indent, new);
        Some(())
    }

    /// What is first in empty brackets or braces.
    fn first(&mut self, at: At<'a>, new: &[String]) -> Option<()> {
        let start = node_start(at)? + 1;
        if !closed(at) {
            return None;
        }
        self.edits.push((start, start, new.join(", ")));
        Some(())
    }

    /// New entries at the end of a list.
    fn list(&mut self, at: At<'a>, new: &[String]) -> Option<()> {
        if new.is_empty() {
            return Some(());
        }
        let Some(last) = at.children().last() else { return self.first(at, new) };
        let end = end(last)?;
        if closed(at) {
            let text = new.iter().map(|e| format!(", {e}")).collect();
            self.edits.push((end, end, text));
            return Some(());
        }
        let prefix = self.before(node_start(last)?).to_string();
        if prefix.trim() != "-" {
            return None;
        }
        self.lines(end, &prefix, new);
        Some(())
    }

    /// A list that the file does not have yet, at its end.
    fn append(&mut self, key: &str, new: &[String]) -> Option<()> {
        let at = self.text.len();
        if closed(self.root) {
            let last = self.root.children().last()?;
            return self.keys(self.root, last, &[format!("{key}: [{}]", new.join(", "))]);
        }
        let eol = self.eol();
        let mut text = String::new();
        let first = !self.edits.iter().any(|(_, _, text)| text.ends_with('\n'));
        if first && !self.text.ends_with('\n') {
            text.push_str(eol);
        }
        text.push_str(&format!("{eol}{key}:{eol}"));
        for e in new {
            text.push_str(&format!("  - {e}{eol}"));
        }
        self.edits.push((at, at, text));
        Some(())
    }

    /// Lines after the one in which `end` is.
    fn lines(&mut self, end: usize, prefix: &str, new: &[String]) {
        let rest = self.text.get(end..).unwrap_or("");
        let line = rest.find('\n').unwrap_or(rest.len());
        let line = rest.get(..line).unwrap_or("").trim_end_matches('\r').len();
        let eol = self.eol();
        let text = new.iter().map(|l| format!("{eol}{prefix}{l}")).collect();
        self.edits.push((end + line, end + line, text));
    }

    /// What stands before this byte in its line.
    fn before(&self, byte: usize) -> &'a str {
        let head = self.text.get(..byte).unwrap_or("");
        head.rsplit('\n').next().unwrap_or("")
    }

    fn eol(&self) -> &'static str {
        if self.text.contains("\r\n") { "\r\n" } else { "\n" }
    }
}

fn closed(at: At<'_>) -> bool {
    at.tree.nodes.get(at.node.0).is_some_and(|n| n.close.is_some())
}

fn node_start(at: At<'_>) -> Option<usize> {
    at.tree.nodes.get(at.node.0).map(|n| n.value.start)
}

/// Past the last byte of a value. The depth is capped by the vetting pass.
fn end(at: At<'_>) -> Option<usize> {
    let node = at.tree.nodes.get(at.node.0)?;
    match (&node.kind, node.close) {
        (_, Some(close)) => Some(close),
        (Kind::Scalar(_), _) => Some(node.value.end),
        _ => end(at.children().last()?),
    }
}

/// A whole holding, as one line.
fn entry(id: &str, holding: &Holding) -> String {
    let mut out = vec![
        ("id", id.to_string()),
        ("held", holding.held.to_string()),
        ("shelf", holding.shelf.to_string()),
    ];
    if !holding.issued.is_empty() {
        out.push(("issued", holders(&holding.issued)));
    }
    if holding.unserviceable > 0 {
        out.push(("unserviceable", holding.unserviceable.to_string()));
    }
    if !holding.on_loan.is_empty() {
        out.push(("on-loan", holders(&holding.on_loan)));
    }
    map(out)
}

fn holders(of: &BTreeMap<String, u32>) -> String {
    map(of.iter().map(|(who, n)| (word(who), n)))
}

/// A key as YAML: in quotation marks unless it is formed as ids are.
fn word(text: &str) -> String {
    let plain = text.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-');
    let starts = text.starts_with(|c: char| c.is_ascii_lowercase() || c.is_ascii_digit());
    if plain && starts && text != "null" { text.to_string() } else { in_quotes(text) }
}
