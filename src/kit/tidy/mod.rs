//! Putting a file in order: keys, quantities, layout. Nothing that it says is
//! changed, and every remark is kept; that is checked of each new text before
//! anybody sees it.
//!
//! ```text
//! text → document   values and remarks, each with its place   (syntax)
//!      → arranged   order of keys, spelling of values         (order)
//!      → text       indents, columns of remarks               (layout)
//!      → checked    reads the same, keeps all, changes no more
//! ```

mod layout;
mod order;
mod syntax;

use super::check::{MOST_FOLDERS, inside};
use super::diagnostic::{Diagnostics, Sink};
use super::raw::{RawCarriers, RawEquipment, RawMove, RawStores, RawWeighed};
use super::read::{Reader, kind};
use super::schema::FileKind;
use super::shape::{self, Shape, Shaped};
use super::source::Sources;
use super::tree::{At, Kind, Tree};
use super::vet::vet;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// A file that was put in order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tidied {
    /// Which file.
    pub path: PathBuf,
    /// As it is in the file.
    pub old: String,
    /// As it is laid out now.
    pub new: String,
}

impl Tidied {
    /// Whether anything is laid out otherwise.
    pub fn changed(&self) -> bool {
        self.old != self.new
    }
}

/// Why files were not put in order.
#[derive(Debug)]
pub enum Untidied {
    /// They have faults; none is put in order then.
    Faults(Box<Diagnostics>),
    /// A bug of ours: the new text of this file would not be as good as the old.
    Bug(PathBuf, &'static str),
}

/// How the files of each kind look.
fn shape_of(kind: FileKind) -> Shape {
    match kind {
        FileKind::Equipment => RawEquipment::shape(),
        FileKind::Carriers => RawCarriers::shape(),
        FileKind::Move => RawMove::shape(),
        FileKind::Weighed => RawWeighed::shape(),
        FileKind::Stores => RawStores::shape(),
    }
}

/// Reads files, and those of folders, and puts them in order. Writes nothing.
///
/// # Errors
/// Every fault of any file, as [`check`](super::check) tells them; or that a
/// new text did not pass, which is a bug.
pub fn tidy<P: AsRef<Path>>(paths: &[P]) -> Result<Vec<Tidied>, Untidied> {
    let checked = super::check(paths);
    if checked.diagnostics.errors() > 0 {
        return Err(Untidied::Faults(Box::new(checked.diagnostics)));
    }
    let (mut out, mut seen) = (Vec::new(), BTreeSet::new());
    for path in paths.iter().map(AsRef::as_ref) {
        let files = match path.is_dir() {
            true => inside(path, MOST_FOLDERS).unwrap_or_default(),
            false => vec![path.to_path_buf()],
        };
        for file in files {
            // Named twice, or by a link too, it is changed once.
            if seen.insert(file.canonicalize().unwrap_or_else(|_| file.clone())) {
                out.push(one(&file)?);
            }
        }
    }
    Ok(out)
}

fn one(path: &Path) -> Result<Tidied, Untidied> {
    let mut reader = Reader::new(None);
    let name = path.display().to_string();
    let Some(id) = reader.file(path, None) else {
        return Err(Untidied::Faults(Box::new(reader.sink.finish(reader.sources))));
    };
    let text = reader.sources.get(id).map_or(String::new(), |s| s.text.clone());
    let new = tidy_text(&name, &text).map_err(|why| Untidied::Bug(path.to_path_buf(), why))?;
    // A mark at the front is not part of the text that was read.
    let marked = std::fs::read(path).is_ok_and(|bytes| bytes.starts_with(b"\xEF\xBB\xBF"));
    let old = if marked { format!("\u{feff}{text}") } else { text };
    Ok(Tidied { path: path.to_path_buf(), old, new })
}

/// The text of a sound file in order.
///
/// # Errors
/// What is wrong with the new text, which is a bug; or that the old one has
/// faults of text or fields.
pub fn tidy_text(name: &str, text: &str) -> Result<String, &'static str> {
    let tree = vetted(name, text).ok_or("the old text cannot be read")?;
    let kind = kind(tree.root()).ok_or("the old text is no file of a kit")?;
    let shape = shape_of(kind);
    let new = in_order(text, &shape).ok_or("the old text cannot be taken apart")?;
    let again = vetted(name, &new).ok_or("the new text cannot be read")?;
    if canonical(tree.root(), &shape) != canonical(again.root(), &shape) {
        return Err("the new text says something else");
    }
    let mut sink = Sink::default();
    shape::check(again.root(), &shape, &mut sink);
    if sink.errors() > 0 || !typed(kind, &new) {
        return Err("the new text does not read as what it is");
    }
    if syntax::remark_texts(text) != syntax::remark_texts(&new) {
        return Err("the new text has not all remarks of the old");
    }
    if in_order(&new, &shape).as_ref() != Some(&new) {
        return Err("the new text is not in order yet");
    }
    Ok(new)
}

/// With the line ends that most lines have.
fn in_order(text: &str, shape: &Shape) -> Option<String> {
    let returns = text.matches("\r\n").count();
    let crlf = 2 * returns > text.matches('\n').count();
    let mut document = syntax::parse(text)?;
    order::arrange(&mut document.root, shape, text);
    let new = layout::print(&mut document, text);
    Some(if crlf { new.replace('\n', "\r\n") } else { new })
}

fn vetted(name: &str, text: &str) -> Option<Tree> {
    let mut sources = Sources::default();
    let id = sources.add_text(name, text).ok()?;
    vet(id, sources.get(id)?, &mut Sink::default())
}

/// Whether the typed reader takes it too.
fn typed(kind: FileKind, text: &str) -> bool {
    match kind {
        FileKind::Equipment => serde_yaml::from_str::<RawEquipment>(text).is_ok(),
        FileKind::Carriers => serde_yaml::from_str::<RawCarriers>(text).is_ok(),
        FileKind::Move => serde_yaml::from_str::<RawMove>(text).is_ok(),
        FileKind::Weighed => serde_yaml::from_str::<RawWeighed>(text).is_ok(),
        FileKind::Stores => serde_yaml::from_str::<RawStores>(text).is_ok(),
    }
}

/// What a text says, whatever the order of keys and the spelling of values.
#[derive(Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Says {
    Text(String),
    List(Vec<Says>),
    Map(Vec<(String, Says)>),
}

/// The depth is capped by the vetting.
fn canonical(at: At<'_>, shape: &Shape) -> Says {
    match at.kind() {
        None => Says::List(Vec::new()),
        Some(Kind::Scalar(text)) => Says::Text(order::canonical(text, shape)),
        Some(Kind::List(_)) => {
            let of = shape.list.map(|of| of());
            let one = |c: At<'_>| of.as_ref().map(|of| canonical(c, of));
            Says::List(at.children().filter_map(one).collect())
        }
        Some(Kind::Map(..)) => {
            let read = order::read(shape, |key| at.has(key));
            let one = |c: At<'_>| {
                let key = c.key().unwrap_or("");
                let of = match &read {
                    Some(order::Read::Record(record)) => {
                        let field = record.fields.iter().find(|f| f.name() == key)?;
                        (field.shape)()
                    }
                    Some(order::Read::Entries(of)) => of(),
                    None => return None,
                };
                Some((key.to_string(), canonical(c, &of)))
            };
            let mut entries: Vec<_> = at.children().filter_map(one).collect();
            if let Some(order::Read::Record(_)) = read {
                entries.sort();
            }
            Says::Map(entries)
        }
    }
}
