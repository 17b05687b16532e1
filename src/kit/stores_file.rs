//! A stores file with the equipment it names, read to compute with and
//! perhaps written.

use super::code::FaultCode;
use super::diagnostic::{Diagnostic, Diagnostics};
use super::read::{Reader, kind};
use super::schema::FileKind;
use super::source::{SourceId, Sources};
use super::tree::Tree;
use crate::load::{Catalogue, Stores};
use crate::quantity::Units;
use std::path::{Path, PathBuf};

/// Stores that were read.
#[derive(Debug)]
pub struct ReadStores {
    /// What is held, where.
    pub stores: Stores,
    /// What it is held of.
    pub catalogue: Catalogue,
    /// How the equipment's numbers are printed.
    pub units: Units,
    /// The stores file, and the equipment file if there is one.
    pub files: Vec<PathBuf>,
    /// Warnings only.
    pub warnings: Diagnostics,
    /// The stores file's text, without byte order mark.
    pub text: String,
    pub(super) tree: Tree,
}

/// Reads a stores file and the equipment it names.
///
/// # Errors
/// Every fault found, up to a cap.
pub fn read_stores(path: &Path) -> Result<ReadStores, Diagnostics> {
    let mut reader = Reader::new(path.parent().map(Path::to_path_buf));
    let id = reader.file(path, None);
    finish(reader, id)
}

/// The same of a text that is to stand in that file.
pub(super) fn read_stores_text(path: &Path, text: &str) -> Result<ReadStores, Diagnostics> {
    let mut reader = Reader::new(path.parent().map(Path::to_path_buf));
    let id = match reader.sources.add_text(&path.display().to_string(), text) {
        Ok(id) => Some(id),
        Err(d) => {
            reader.sink.add(*d);
            None
        }
    };
    finish(reader, id)
}

fn finish(mut reader: Reader, id: Option<SourceId>) -> Result<ReadStores, Diagnostics> {
    let read = id.and_then(|id| {
        let tree = reader.vet(id)?;
        let root = tree.root();
        if kind(root).is_some_and(|k| k != FileKind::Stores) {
            let d = Diagnostic::error(FaultCode::UnknownFile, "this is no stores file");
            let d = d.at(root.span(), "no `stores` here");
            reader.sink.add(d.help("give the folder of a kit, or its `stores.yaml`"));
            return None;
        }
        let (stores, catalogue, units) = reader.stores(&tree)?;
        let text = reader.sources.get(id)?.text.clone();
        Some((stores, catalogue, units, text, tree))
    });
    let errors = reader.sink.errors();
    let files = files(&reader.sources);
    let warnings = reader.sink.finish(reader.sources);
    match read {
        Some((stores, catalogue, units, text, tree)) if errors == 0 => {
            Ok(ReadStores { stores, catalogue, units, files, warnings, text, tree })
        }
        _ => Err(warnings),
    }
}

fn files(sources: &Sources) -> Vec<PathBuf> {
    sources.iter().map(|s| PathBuf::from(&s.name)).collect()
}
