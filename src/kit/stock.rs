//! What a crew has and who carries, read for its own sake: from an equipment
//! file, a carriers file, a move or the folder of a kit.

use super::check::inside;
use super::code::FaultCode;
use super::diagnostic::{Diagnostic, Diagnostics, quoted};
use super::lower::Supplies;
use super::raw::{EquipmentRef, RawEquipment, RawItem, RawMove};
use super::read::{Reader, kind, unknown_file};
use super::schema::FileKind;
use super::tree::Tree;
use crate::load::Stock;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// What was read, and what was odd about it.
#[derive(Debug, Clone)]
pub struct ReadStock {
    /// One for each file.
    pub stocks: Vec<Stock>,
    /// Warnings only.
    pub warnings: Diagnostics,
    /// Every file read.
    pub files: Vec<PathBuf>,
}

/// Reads a file, or the equipment and carriers files in a folder.
///
/// # Errors
/// Every fault found. A file of another kind is one, and a folder without
/// equipment and carriers.
pub fn read_stock(path: &Path) -> Result<ReadStock, Diagnostics> {
    let mut reader = Reader::new(None);
    let mut stocks = Vec::new();
    if path.is_dir() {
        folder(&mut reader, path, &mut stocks);
    } else if let Some(tree) = reader.file(path, None).and_then(|id| reader.vet(id)) {
        reader.set_folder(path.parent().map(Path::to_path_buf));
        stocks.extend(one(&mut reader, &tree));
    }
    finish(reader, stocks)
}

/// Reads a text that needs no other file.
///
/// # Errors
/// As [`read_stock`].
pub fn read_stock_text(name: &str, text: &str) -> Result<ReadStock, Diagnostics> {
    let mut reader = Reader::new(None);
    let mut stocks = Vec::new();
    match reader.sources.add_text(name, text) {
        Ok(id) => {
            if let Some(tree) = reader.vet(id) {
                stocks.extend(one(&mut reader, &tree));
            }
        }
        Err(d) => reader.sink.add(*d),
    }
    finish(reader, stocks)
}

fn finish(reader: Reader, stocks: Vec<Stock>) -> Result<ReadStock, Diagnostics> {
    let errors = reader.sink.errors();
    let files = reader.sources.iter().map(|s| PathBuf::from(&s.name)).collect();
    let found = reader.sink.finish(reader.sources);
    if errors == 0 { Ok(ReadStock { stocks, warnings: found, files }) } else { Err(found) }
}

fn folder(reader: &mut Reader, path: &Path, stocks: &mut Vec<Stock>) {
    let name = quoted(&path.display().to_string());
    let files = match inside(path, 0) {
        Ok(files) => files,
        Err(e) => {
            let what = format!("cannot read the folder {name}: {e}");
            return reader.sink.add(Diagnostic::error(FaultCode::Unreadable, what));
        }
    };
    let before = reader.sink.errors();
    for file in files {
        let tree = reader.file(&file, None).and_then(|id| reader.vet(id));
        // Moves and weighed masses are of no concern here.
        let Some(tree) = tree else { continue };
        if matches!(kind(tree.root()), Some(FileKind::Equipment | FileKind::Carriers)) {
            stocks.extend(one(reader, &tree));
        }
    }
    if stocks.is_empty() && reader.sink.errors() == before {
        let what = format!("there is no equipment file and no carriers file in {name}");
        let d = Diagnostic::error(FaultCode::NothingToRead, what);
        reader.sink.add(d.help("give the path of a file, or of the folder of a kit"));
    }
    // A carriers file says nothing of units; its neighbour does.
    let units = stocks.iter().find(|s| s.items.is_some()).map(|s| s.units);
    if let Some(units) = units {
        stocks.iter_mut().filter(|s| s.items.is_none()).for_each(|s| s.units = units);
    }
}

fn one(reader: &mut Reader, tree: &Tree) -> Option<Stock> {
    let root = tree.root();
    let file = tree.file.clone();
    match kind(root) {
        Some(FileKind::Equipment) => {
            let sizes = reader.raw::<RawEquipment>(tree).map(|raw| sizes(&raw.equipment))?;
            let (items, units) = reader.equipment(tree)?;
            let (units, supplies) = (units.unwrap_or_default(), items.supplies.list);
            Some(Stock { file, units, items: Some(items.list), sizes, supplies, carriers: None })
        }
        Some(FileKind::Carriers) => {
            let mut supplies = Supplies::default();
            let carriers = Some(reader.carriers(tree, &mut supplies)?.list);
            Some(Stock { file, carriers, supplies: supplies.list, ..Stock::default() })
        }
        Some(FileKind::Move) => {
            let parts = reader.parts(tree)?;
            let sizes = sizes_of_move(reader, tree);
            Some(Stock {
                file,
                units: parts.units,
                items: Some(parts.catalogue.items().map(|(_, item)| item.clone()).collect()),
                sizes,
                supplies: parts.catalogue.supplies().map(|(_, s)| s.clone()).collect(),
                carriers: Some(parts.carriers),
            })
        }
        Some(kind @ (FileKind::Weighed | FileKind::Stores)) => {
            let what = match kind {
                FileKind::Stores => "a stores file is no list; `tumpline muster` reads it",
                _ => "a file of weighed masses is no list",
            };
            let d = Diagnostic::error(FaultCode::UnknownFile, what);
            let d = d.at(root.span(), "neither equipment nor carriers nor a move");
            reader.sink.add(d.help("give an equipment file, a carriers file, a move or a folder"));
            None
        }
        None => {
            reader.sink.add(unknown_file(root));
            None
        }
    }
}

fn sizes(raw: &[RawItem]) -> BTreeMap<String, String> {
    let with = raw.iter().filter_map(|i| Some((i.id.0.clone(), i.size.as_ref()?.0.clone())));
    with.collect()
}

/// The move has been read without a fault, so its files are sound.
fn sizes_of_move(reader: &mut Reader, tree: &Tree) -> BTreeMap<String, String> {
    match reader.raw::<RawMove>(tree).map(|raw| raw.equipment) {
        Some(EquipmentRef::Inline(list)) => sizes(&list),
        Some(EquipmentRef::Path) => {
            let raw = reader.named(tree.root().get("equipment"));
            let raw = raw.and_then(|tree| reader.raw::<RawEquipment>(&tree));
            raw.map_or_else(BTreeMap::new, |raw| sizes(&raw.equipment))
        }
        None => BTreeMap::new(),
    }
}
