//! Reading files for their own sake: what is in them, and what is wrong.

use super::code::Code;
use super::diagnostic::{Diagnostic, Diagnostics, counted, quoted};
use super::lower::Supplies;
use super::read::{Reader, kind, unknown_file};
use super::schema::FileKind;
use std::fmt;
use std::io;
use std::path::{Path, PathBuf};

/// What was read, and all that is wrong with it.
#[derive(Debug)]
pub struct Checked {
    /// The files that could be read to the end, in the order given.
    pub files: Vec<FileRead>,
    /// Errors and warnings of all files.
    pub diagnostics: Diagnostics,
}

/// A file that was read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileRead {
    /// As the user named it.
    pub file: String,
    pub kind: FileKind,
    /// What is in it: how many, of what (one, many).
    pub counts: Vec<(usize, &'static str, &'static str)>,
    /// Nothing is wrong with it, nor with the files it names.
    pub sound: bool,
}

/// `kits/a/equipment.yaml: equipment, 12 items, 3 supplies`
impl fmt::Display for FileRead {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", super::diagnostic::clean(&self.file), self.kind.word())?;
        for (i, (n, one, many)) in self.counts.iter().enumerate() {
            if i == 0 || *n > 0 {
                write!(f, ", {}", counted(*n, one, many))?;
            }
        }
        Ok(())
    }
}

/// Checks files and folders. Of a folder, every `*.yaml` and `*.yml` in it,
/// sorted by name, is checked; what is in folders inside it is not.
pub fn check<P: AsRef<Path>>(paths: &[P]) -> Checked {
    let mut reader = Reader::new(None);
    let mut files = Vec::new();
    for path in paths {
        let path = path.as_ref();
        if path.is_dir() {
            match inside(path) {
                Ok(list) if list.is_empty() => {
                    let what = format!(
                        "there is no `*.yaml` file in {}",
                        quoted(&path.display().to_string())
                    );
                    reader.sink.add(Diagnostic::error(Code::NothingToRead, what));
                }
                Ok(list) => files.extend(list.iter().filter_map(|p| one(&mut reader, p))),
                Err(e) => {
                    let name = quoted(&path.display().to_string());
                    let what = format!("cannot read the folder {name}: {e}");
                    reader.sink.add(Diagnostic::error(Code::Unreadable, what));
                }
            }
        } else {
            files.extend(one(&mut reader, path));
        }
    }
    Checked { files, diagnostics: reader.sink.finish(reader.sources) }
}

fn inside(folder: &Path) -> io::Result<Vec<PathBuf>> {
    let mut list = Vec::new();
    for entry in std::fs::read_dir(folder)? {
        let path = entry?.path();
        let yaml = path.extension().is_some_and(|e| e == "yaml" || e == "yml");
        let hidden = path.file_name().is_some_and(|n| n.to_string_lossy().starts_with('.'));
        if yaml && !hidden && !path.is_dir() {
            list.push(path);
        }
    }
    list.sort();
    Ok(list)
}

/// Reads one file; `None` if it could not be read to the end.
fn one(reader: &mut Reader, path: &Path) -> Option<FileRead> {
    let before = reader.sink.errors();
    let id = reader.file(path, None)?;
    let tree = reader.vet(id)?;
    let file = path.display().to_string();
    let Some(kind) = kind(tree.root()) else {
        reader.sink.add(unknown_file(tree.root()));
        return None;
    };
    let counts = match kind {
        FileKind::Equipment => {
            let (items, _) = reader.equipment(&tree)?;
            let loose = items.list.iter().filter(|i| !i.ways.is_empty()).count();
            vec![
                (loose, "item", "items"),
                (items.list.len() - loose, "thing known as content", "things known as contents"),
                (items.supplies.list.len(), "supply", "supplies"),
            ]
        }
        FileKind::Carriers => {
            let carriers = reader.carriers(&tree, &mut Supplies::default())?;
            let people = carriers.list.iter().filter(|c| c.person().is_some()).count();
            vec![
                (people, "person", "people"),
                (carriers.list.len() - people, "vehicle", "vehicles"),
            ]
        }
        FileKind::Move => {
            reader.set_folder(path.parent().map(Path::to_path_buf));
            let order = reader.order(&tree)?;
            vec![
                (order.parties.len(), "party", "parties"),
                (order.needs.len(), "need", "needs"),
                (order.wants.len(), "want", "wants"),
                (order.rules.len(), "rule", "rules"),
            ]
        }
    };
    Some(FileRead { file, kind, counts, sound: reader.sink.errors() == before })
}
