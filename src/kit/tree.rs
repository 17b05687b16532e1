//! Where everything in a file stands: the vetted text as a tree of places.

use super::source::{SourceId, TextSpan};
use crate::load::Place;
use std::cell::Cell;
use std::collections::BTreeMap;

/// The place of a node in its [`Tree`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) struct NodeId(pub usize);

#[derive(Debug)]
pub(super) enum Kind {
    /// The text, quotes and escapes resolved.
    Scalar(String),
    List(Vec<NodeId>),
    /// In the order written, and by key.
    Map(Vec<NodeId>, BTreeMap<String, NodeId>),
}

#[derive(Debug)]
pub(super) struct Node {
    /// The key it stands under, if it stands in a mapping.
    pub key: Option<(String, Stretch)>,
    pub value: Stretch,
    /// Past the bracket or brace that ends it, if one does.
    pub close: Option<usize>,
    pub kind: Kind,
}

/// Bytes, with line and column of the first, from one, in characters.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stretch {
    pub start: usize,
    pub end: usize,
    pub line: usize,
    pub column: usize,
}

/// The index of spans of one file: path → place of key and value.
#[derive(Debug)]
pub(super) struct Tree {
    pub source: SourceId,
    pub file: String,
    pub nodes: Vec<Node>,
    /// How often a path was asked for that is not there; stays zero unless
    /// the two YAML readers differ.
    pub misses: Cell<usize>,
}

impl Tree {
    pub fn root(&self) -> At<'_> {
        At { tree: self, node: NodeId(0) }
    }
}

/// A path in a tree, as a cursor.
#[derive(Debug, Clone, Copy)]
pub(super) struct At<'a> {
    pub tree: &'a Tree,
    pub node: NodeId,
}

impl<'a> At<'a> {
    fn node(self) -> Option<&'a Node> {
        self.tree.nodes.get(self.node.0)
    }
    fn go(self, to: Option<NodeId>) -> At<'a> {
        match to {
            Some(node) => At { node, ..self },
            None => {
                self.tree.misses.set(self.tree.misses.get() + 1);
                self
            }
        }
    }
    /// The value under a key; this node itself if there is none.
    pub fn get(self, key: &str) -> At<'a> {
        let to = match self.node().map(|n| &n.kind) {
            Some(Kind::Map(_, by)) => by.get(key).copied(),
            _ => None,
        };
        self.go(to)
    }
    /// An entry of a list; this node itself if there is none.
    pub fn item(self, i: usize) -> At<'a> {
        let to = match self.node().map(|n| &n.kind) {
            Some(Kind::List(list)) => list.get(i).copied(),
            _ => None,
        };
        self.go(to)
    }
    pub fn kind(self) -> Option<&'a Kind> {
        self.node().map(|n| &n.kind)
    }
    pub fn text(self) -> Option<&'a str> {
        match self.kind() {
            Some(Kind::Scalar(t)) => Some(t),
            _ => None,
        }
    }
    pub fn children(self) -> impl Iterator<Item = At<'a>> {
        let list: &[NodeId] = match self.kind() {
            Some(Kind::List(list) | Kind::Map(list, _)) => list,
            _ => &[],
        };
        list.iter().map(move |&node| At { node, ..self })
    }
    pub fn has(self, key: &str) -> bool {
        matches!(self.kind(), Some(Kind::Map(_, by)) if by.contains_key(key))
    }
    pub fn key(self) -> Option<&'a str> {
        self.node().and_then(|n| n.key.as_ref()).map(|(k, _)| k.as_str())
    }
    fn whole(self, s: Stretch) -> TextSpan {
        TextSpan { source: self.tree.source, start: s.start, end: s.end }
    }
    fn key_stretch(self) -> Option<Stretch> {
        self.node().and_then(|n| n.key.as_ref()).map(|(_, s)| *s)
    }
    /// What to point at for the value: a scalar itself; for a list or mapping
    /// its key, or its first entry, for it has no good place of its own.
    pub fn span(self) -> TextSpan {
        let Some(node) = self.node() else {
            return TextSpan { source: self.tree.source, start: 0, end: 0 };
        };
        match &node.kind {
            Kind::Scalar(_) => self.whole(node.value),
            Kind::List(_) | Kind::Map(..) => match self.key_stretch() {
                Some(s) => self.whole(s),
                None => self.head(node),
            },
        }
    }
    fn head(self, node: &Node) -> TextSpan {
        if node.value.end > node.value.start {
            return self.whole(node.value);
        }
        let first = self.children().next();
        let key = first.and_then(At::key_stretch);
        let value = first.and_then(At::node).map(|n| n.value);
        self.whole(key.or(value).unwrap_or(node.value))
    }
    /// What to point at for the key; the value if it has none.
    pub fn key_span(self) -> TextSpan {
        self.key_stretch().map_or_else(|| self.span(), |s| self.whole(s))
    }
    /// Where the thing was written: its key, or where its value starts.
    pub fn place(self) -> Option<Place> {
        let s = self.key_stretch().or_else(|| self.node().map(|n| n.value))?;
        Some(Place { file: self.tree.file.clone(), line: s.line, column: s.column })
    }
}
