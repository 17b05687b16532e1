//! Reading files for their own sake: what is in them, and what is wrong.

use super::code::FaultCode;
use super::diagnostic::{Diagnostic, Diagnostics, counted, quoted};
use super::lower::Supplies;
use super::read::{Reader, kind, unknown_file};
use super::schema::FileKind;
use super::tree::Tree;
use std::fmt;
use std::io;
use std::path::{Path, PathBuf};

/// What was read, and all that is wrong with it.
#[derive(Debug)]
pub struct Checked {
    /// The files whose kind is plain, in the order given.
    pub files: Vec<FileRead>,
    /// Errors and warnings of all files.
    pub diagnostics: Diagnostics,
}

/// A file that was read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileRead {
    /// As the user named it.
    pub file: String,
    /// By its top-level keys.
    pub kind: FileKind,
    /// What is in it: how many, of what (one, many). Empty if not sound.
    pub counts: Vec<(usize, &'static str, &'static str)>,
    /// Nothing is wrong with it, nor with the files it names.
    pub sound: bool,
}

/// `kits/a/equipment.yaml: equipment, 12 items, 3 supplies`, or `…: equipment,
/// WITH FAULTS`.
impl fmt::Display for FileRead {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", tumpline_core::text::clean(&self.file), self.kind.word())?;
        if !self.sound {
            return f.write_str(", WITH FAULTS");
        }
        for (i, (n, one, many)) in self.counts.iter().enumerate() {
            if i == 0 || *n > 0 {
                write!(f, ", {}", counted(*n, one, many))?;
            }
        }
        Ok(())
    }
}

/// How many folders inside each other are looked into.
pub(super) const MOST_FOLDERS: usize = 8;

/// Checks files and folders. Of a folder, every `*.yaml` and `*.yml` in it and
/// in the folders inside it, sorted by path, is checked. Names that start with
/// a dot, and links to folders, are passed over.
pub fn check<P: AsRef<Path>>(paths: &[P]) -> Checked {
    let mut reader = Reader::new(None);
    let mut files = Vec::new();
    for path in paths {
        let path = path.as_ref();
        if path.is_dir() {
            match inside(path, MOST_FOLDERS) {
                Ok(list) if list.is_empty() => {
                    let what = format!(
                        "there is no `*.yaml` file in {}",
                        quoted(&path.display().to_string())
                    );
                    reader.sink.add(Diagnostic::error(FaultCode::NothingToRead, what));
                }
                Ok(list) => files.extend(list.iter().filter_map(|p| one(&mut reader, p))),
                Err(e) => {
                    let name = quoted(&path.display().to_string());
                    let what = format!("cannot read the folder {name}: {e}");
                    reader.sink.add(Diagnostic::error(FaultCode::Unreadable, what));
                }
            }
        } else {
            files.extend(one(&mut reader, path));
        }
    }
    Checked { files, diagnostics: reader.sink.finish(reader.sources) }
}

/// The files of a folder, and of those so deep inside it.
pub(super) fn inside(folder: &Path, depth: usize) -> io::Result<Vec<PathBuf>> {
    let mut list = Vec::new();
    for entry in std::fs::read_dir(folder)? {
        let entry = entry?;
        let path = entry.path();
        let yaml = path.extension().is_some_and(|e| e == "yaml" || e == "yml");
        if entry.file_name().to_string_lossy().starts_with('.') {
            continue;
        }
        if entry.file_type()?.is_dir() {
            if depth > 0 {
                list.extend(inside(&path, depth - 1)?);
            }
        } else if yaml && !path.is_dir() {
            list.push(path);
        }
    }
    list.sort();
    Ok(list)
}

/// Reads one file; `None` if it is not even plain what it is.
fn one(reader: &mut Reader, path: &Path) -> Option<FileRead> {
    let before = reader.sink.errors();
    let id = reader.file(path, None)?;
    let tree = reader.vet(id)?;
    let file = path.display().to_string();
    let Some(kind) = kind(tree.root()) else {
        reader.sink.add(unknown_file(tree.root()));
        return None;
    };
    let counts = counts(reader, &tree, kind, path);
    let sound = counts.is_some() && reader.sink.errors() == before;
    let counts = counts.filter(|_| sound).unwrap_or_default();
    Some(FileRead { file, kind, counts, sound })
}

/// What is in a file; `None` if it could not be read to the end.
fn counts(
    reader: &mut Reader,
    tree: &Tree,
    kind: FileKind,
    path: &Path,
) -> Option<Vec<(usize, &'static str, &'static str)>> {
    Some(match kind {
        FileKind::Equipment => {
            let (items, _) = reader.equipment(tree)?;
            let loose = items.list.iter().filter(|i| !i.ways.is_empty()).count();
            vec![
                (loose, "item", "items"),
                (items.list.len() - loose, "thing known as content", "things known as contents"),
                (items.supplies.list.len(), "supply", "supplies"),
            ]
        }
        FileKind::Carriers => {
            let carriers = reader.carriers(tree, &mut Supplies::default())?;
            let people = carriers.list.iter().filter(|c| c.person().is_some()).count();
            vec![
                (people, "person", "people"),
                (carriers.list.len() - people, "vehicle", "vehicles"),
            ]
        }
        FileKind::Move => {
            reader.set_folder(path.parent().map(Path::to_path_buf));
            let parts = reader.parts(tree)?;
            vec![
                (parts.parties.len(), "party", "parties"),
                (parts.needs.len(), "need", "needs"),
                (parts.wants.len(), "want", "wants"),
                (parts.rules.len(), "rule", "rules"),
            ]
        }
        FileKind::Weighed => vec![(reader.weighed(tree)?.len(), "mass", "masses")],
        FileKind::Stores => {
            reader.set_folder(path.parent().map(Path::to_path_buf));
            let (stores, ..) = reader.stores(tree)?;
            vec![
                (stores.holdings.len(), "holding", "holdings"),
                (stores.found.len(), "case", "cases"),
            ]
        }
    })
}
