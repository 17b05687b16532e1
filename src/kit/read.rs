//! From paths and texts to move orders.

use super::code::FaultCode;
use super::diagnostic::{Diagnostic, Diagnostics, Sink, one_of, quoted};
use super::lower::{self, Carriers, Items, Supplies};
use super::raw::{
    CarriersRef, EquipmentRef, RawCarriers, RawEquipment, RawMove, RawStores, RawWeighed,
};
use super::schema::FileKind;
use super::shape::{self, Shaped};
use super::source::{SourceId, Sources, TextSpan};
use super::tree::{At, Tree};
use super::vet::vet;
use crate::load::{Catalogue, ItemIx, MoveOrder, MoveParts, Stores};
use crate::quantity::{Mass, Units};
use serde::de::DeserializeOwned;
use std::path::{Path, PathBuf};

/// A move that was read, the texts it came from, and what was odd about them.
#[derive(Debug, Clone)]
pub struct ReadMove {
    /// Complete and consistent.
    pub order: MoveOrder,
    /// Every file read, the move first.
    pub sources: Sources,
    /// Warnings only.
    pub warnings: Diagnostics,
}

/// Reads a move and the files it names, whose paths start at its folder.
///
/// ```no_run
/// let path = std::path::Path::new("kits/day-walk/day-walk.move.yaml");
/// match tumpline_kit::read_move(path) {
///     Ok(read) => println!("{}{}", read.warnings, read.order.name()),
///     // All of them at once, each with its place and help.
///     Err(faults) => eprintln!("{faults}"),
/// }
/// ```
///
/// # Errors
/// Every fault found, up to a cap; see [`Diagnostics`].
pub fn read_move(path: &Path) -> Result<ReadMove, Diagnostics> {
    let mut reader = Reader::new(path.parent().map(Path::to_path_buf));
    let source = reader.file(path, None);
    reader.finish_move(source)
}

/// Reads a move from a text that holds everything inline. Touches no file; `name` is
/// what faults call the text.
///
/// ```
/// let text = "
/// move: Cloth to the pass
/// equipment: [{id: cloth, mass: 1200 g}]
/// carriers: {people: [{id: ann, limit: 12 kg}]}
/// parties: {pass: {travel: foot, who: ann}}
/// needs: {pass: [{need: a floor, item: cloht}]}
/// ";
/// let faults = tumpline_kit::read_move_text("cloth.move.yaml", text).unwrap_err();
/// let fault = faults.iter().next().expect("a fault");
/// assert_eq!(fault.code, tumpline_kit::FaultCode::UnknownItem);
/// assert!(faults.to_string().contains("cloth.move.yaml:6"));
///
/// let read = tumpline_kit::read_move_text("cloth.move.yaml", &text.replace("cloht", "cloth"))?;
/// assert_eq!(read.order.needs().len(), 1);
/// # Ok::<(), tumpline_kit::Diagnostics>(())
/// ```
///
/// # Errors
/// Every fault found; a path where the items or carriers should be is one.
pub fn read_move_text(name: &str, text: &str) -> Result<ReadMove, Diagnostics> {
    let mut reader = Reader::new(None);
    let source = match reader.sources.add_text(name, text) {
        Ok(id) => Some(id),
        Err(d) => {
            reader.sink.add(*d);
            None
        }
    };
    reader.finish_move(source)
}

/// Weighed masses that were read for a move, each item once.
#[derive(Debug, Clone)]
pub struct ReadWeighed {
    /// What one of each weighs.
    pub masses: Vec<(ItemIx, Mass)>,
    /// Where they were read.
    pub file: PathBuf,
}

/// Reads a file of weighed masses for a move.
///
/// # Errors
/// Every fault found; an item that the catalogue does not know is one.
pub fn read_weighed(path: &Path, order: &MoveOrder) -> Result<ReadWeighed, Diagnostics> {
    let mut reader = Reader::new(None);
    let source = reader.file(path, None);
    let masses = source.and_then(|id| reader.vet(id)).and_then(|tree| {
        let root = tree.root();
        if kind(root).is_some_and(|k| k != FileKind::Weighed) {
            let d = Diagnostic::error(FaultCode::UnknownFile, "this is no file of weighed masses");
            reader.sink.add(d.at(root.span(), "no `weighed` here"));
            return None;
        }
        let weighed = reader.weighed(&tree)?;
        let at = root.get("weighed");
        Some(lower::weighed_items(&weighed, order.catalogue(), at, &mut reader.sink))
    });
    let errors = reader.sink.errors();
    match masses {
        Some(masses) if errors == 0 => Ok(ReadWeighed { masses, file: path.to_path_buf() }),
        _ => Err(reader.sink.finish(reader.sources)),
    }
}

/// What one reading has so far.
pub(super) struct Reader {
    pub sources: Sources,
    pub sink: Sink,
    /// Where the paths in a move start; `None` if no file may be touched.
    folder: Option<PathBuf>,
    /// Asks for paths that are not in the index of spans; see [`Tree::misses`].
    pub misses: usize,
}

impl Reader {
    pub fn new(folder: Option<PathBuf>) -> Self {
        Reader { sources: Sources::default(), sink: Sink::default(), folder, misses: 0 }
    }

    /// Reads a file once; `named` is where it was asked for.
    pub fn file(&mut self, path: &Path, named: Option<TextSpan>) -> Option<SourceId> {
        if let Some(id) = self.sources.find(&path.display().to_string()) {
            return Some(id);
        }
        match self.sources.add_file(path) {
            Ok(id) => Some(id),
            Err(mut d) => {
                if let (Some(span), None) = (named, &d.primary) {
                    *d = d.at(span, "named here");
                }
                self.sink.add(*d);
                None
            }
        }
    }

    pub fn vet(&mut self, id: SourceId) -> Option<Tree> {
        let source = self.sources.get(id)?;
        vet(id, source, &mut self.sink)
    }

    /// Checks the shape of a vetted text and reads it.
    pub fn raw<T: Shaped + DeserializeOwned>(&mut self, tree: &Tree) -> Option<T> {
        let before = self.sink.errors();
        shape::check(tree.root(), &T::shape(), &mut self.sink);
        if self.sink.errors() > before {
            return None;
        }
        let source = self.sources.get(tree.source)?;
        match serde_yaml::from_str(&source.text) {
            Ok(raw) => Some(raw),
            Err(e) => {
                // The vetting pass took it, so the two parsers read it differently.
                let byte = e.location().map_or(0, |l| l.index().min(source.text.len()));
                let span = TextSpan { source: tree.source, start: byte, end: byte };
                let what = "two YAML readers differ on this text";
                let d = Diagnostic::error(FaultCode::Disagree, what)
                    .at(span, "somewhere near here")
                    .help(format!("the second says: {e}"))
                    .help("write it more simply, for instance with quotes");
                self.sink.add(d);
                None
            }
        }
    }

    fn finish_move(mut self, source: Option<SourceId>) -> Result<ReadMove, Diagnostics> {
        let parts = source.and_then(|id| self.vet(id)).and_then(|tree| self.parts(&tree));
        let errors = self.sink.errors();
        let sources = self.sources.clone();
        let found = self.sink.finish(self.sources);
        let Some(parts) = parts.filter(|_| errors == 0) else { return Err(found) };
        // Each fault that the constructor knows has been told by now, with its place.
        let order = MoveOrder::new(parts).expect("what was read without a fault is a move");
        Ok(ReadMove { order, sources, warnings: found })
    }

    /// The move in a vetted text, with the files it names: a move order if there was
    /// no error.
    pub fn parts(&mut self, tree: &Tree) -> Option<MoveParts> {
        let root = tree.root();
        if kind(root).is_some_and(|k| k != FileKind::Move) {
            self.sink.add(not_a_move(root));
            return None;
        }
        let raw: RawMove = self.raw(tree)?;
        let sink = &mut self.sink;
        let own_units = lower::units(raw.units.as_ref().map(|u| u.0.as_str()), root, sink);
        let mut kit_units = None;
        let mut items = match &raw.equipment {
            EquipmentRef::Inline(list) => Some(lower::items(list, root.get("equipment"), sink)),
            EquipmentRef::Path => {
                let at = root.get("equipment");
                self.named(at).and_then(|tree| {
                    let (items, units) = self.equipment(&tree)?;
                    kit_units = units;
                    Some(items)
                })
            }
        };
        let mut none = Supplies::default();
        let supplies = items.as_mut().map_or(&mut none, |i| &mut i.supplies);
        let carriers = match &raw.carriers {
            CarriersRef::Inline(raw) => {
                Some(lower::carriers(raw, root.get("carriers"), supplies, &mut self.sink))
            }
            CarriersRef::Path => {
                let at = root.get("carriers");
                self.named(at).and_then(|tree| self.carriers(&tree, supplies))
            }
        };
        let units = own_units.or(kit_units).unwrap_or(Units::Metric);
        let sink = &mut self.sink;
        let parts = match (items, carriers) {
            (Some(items), Some(carriers)) => lower::order(&raw, root, items, carriers, units, sink),
            (_, carriers) => {
                lower::parts(&raw, root, carriers.as_ref(), sink);
                None
            }
        };
        self.misses += tree.misses.get();
        parts
    }

    /// A file that a move names, relative to the move.
    pub fn named(&mut self, at: At<'_>) -> Option<Tree> {
        let text = at.text()?;
        let Some(folder) = &self.folder else {
            let what = format!("{} is a path, and only inline lists are read here", quoted(text));
            self.sink.add(Diagnostic::error(FaultCode::NotFound, what).at(at.span(), "a path"));
            return None;
        };
        let path = folder.join(text);
        let id = self.file(&path, Some(at.span()))?;
        self.vet(id)
    }

    pub fn equipment(&mut self, tree: &Tree) -> Option<(Items, Option<Units>)> {
        let raw: RawEquipment = self.raw(tree)?;
        let root = tree.root();
        let units = lower::units(raw.units.as_ref().map(|u| u.0.as_str()), root, &mut self.sink);
        let items = lower::items(&raw.equipment, root.get("equipment"), &mut self.sink);
        self.misses += tree.misses.get();
        Some((items, units))
    }

    pub fn carriers(&mut self, tree: &Tree, supplies: &mut Supplies) -> Option<Carriers> {
        let raw: RawCarriers = self.raw(tree)?;
        let carriers = lower::carriers(&raw, tree.root(), supplies, &mut self.sink);
        self.misses += tree.misses.get();
        Some(carriers)
    }

    pub fn weighed(&mut self, tree: &Tree) -> Option<lower::Weighed> {
        let raw: RawWeighed = self.raw(tree)?;
        let weighed = lower::weighed(&raw, tree.root(), &mut self.sink);
        self.misses += tree.misses.get();
        Some(weighed)
    }

    /// The stores in a vetted text, with the items they are about.
    pub fn stores(&mut self, tree: &Tree) -> Option<(Stores, Catalogue, Units)> {
        let raw: RawStores = self.raw(tree)?;
        let root = tree.root();
        let at = root.get("equipment");
        let (items, units) = match &raw.equipment {
            EquipmentRef::Inline(list) => (lower::items(list, at, &mut self.sink), None),
            EquipmentRef::Path => {
                let tree = self.named(at)?;
                self.equipment(&tree)?
            }
        };
        if items.broken {
            return None;
        }
        let catalogue = Catalogue::new(items.list.clone(), items.supplies.list.clone()).ok()?;
        let stores = lower::stores(&raw, root, &items, &catalogue, &mut self.sink);
        self.misses += tree.misses.get();
        Some((stores, catalogue, units.unwrap_or(Units::Metric)))
    }

    pub fn set_folder(&mut self, folder: Option<PathBuf>) {
        self.folder = folder;
    }
}

/// The kind of a file, by its top-level keys.
pub(super) fn kind(root: At<'_>) -> Option<FileKind> {
    if root.has("move") || root.has("parties") {
        Some(FileKind::Move)
    } else if root.has("stores") || root.has("holdings") {
        Some(FileKind::Stores)
    } else if root.has("equipment") {
        Some(FileKind::Equipment)
    } else if root.has("people") || root.has("vehicles") {
        Some(FileKind::Carriers)
    } else if root.has("weighed") {
        Some(FileKind::Weighed)
    } else {
        None
    }
}

fn not_a_move(root: At<'_>) -> Diagnostic {
    let is = match kind(root) {
        Some(FileKind::Carriers) => "a carriers file",
        Some(FileKind::Weighed) => "a file of weighed masses",
        Some(FileKind::Stores) => "a stores file",
        _ => "an equipment file",
    };
    Diagnostic::error(FaultCode::UnknownFile, format!("this is {is} and no move"))
        .at(root.span(), "no `move` here")
        .help("give the path of a move; it names its equipment and carriers")
}

pub(super) fn unknown_file(root: At<'_>) -> Diagnostic {
    let keys = ["equipment", "people", "vehicles", "move", "weighed", "stores"];
    Diagnostic::error(FaultCode::UnknownFile, "this is no file of a kit")
        .at(root.span(), "neither equipment nor carriers nor a move")
        .help(format!("such a file has {} at its top", one_of(keys)))
}
