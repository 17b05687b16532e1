//! Where a report goes: standard output, or a file that is replaced at once.

use super::World;
use super::exit::Failure;
use super::pager::{self, Shown};
use crate::report::{Format, Page, Style};
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// To standard output. A reader that has gone away is no fault: whoever pipes
/// into `head` has what they wanted.
pub(super) fn print(out: &mut dyn Write, report: impl AsRef<[u8]>) -> Result<(), Failure> {
    match out.write_all(report.as_ref()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => {
            Err(Failure::Write { path: None, error })
        }
        _ => Ok(()),
    }
}

/// A report to standard output: through a pager where it is longer than the
/// screen that it goes to. What is no text is never paged.
pub(super) fn page(world: &mut World<'_>, report: impl AsRef<[u8]>) -> Result<(), Failure> {
    let shown = match std::str::from_utf8(report.as_ref()) {
        Ok(text) => pager::show(world.env, text),
        Err(_) => Shown::Not(None),
    };
    match shown {
        Shown::Paged => Ok(()),
        Shown::Not(said) => {
            print(world.out, report)?;
            // If standard error is gone, the report is there all the same.
            said.into_iter().for_each(|s| drop(writeln!(world.err, "note: {s}")));
            Ok(())
        }
    }
}

/// A page in the form that was asked for, which is a workbook where it is none of
/// text.
pub(super) fn bytes(page: &Page, form: Option<Format>, style: &Style) -> Result<Vec<u8>, Failure> {
    match form {
        Some(form) => Ok(page.render(form, style).into_bytes()),
        None => page.workbook().map_err(Failure::Usage),
    }
}

/// A report to a file, or to standard output through a pager where it is long.
pub(super) fn put(
    world: &mut World<'_>,
    to: Option<&PathBuf>,
    report: impl AsRef<[u8]>,
) -> Result<(), Failure> {
    match to {
        Some(path) => replace(path, report),
        None => page(world, report),
    }
}

/// A file that was read is no place to write a report to, nor is any other file
/// of a kit that is there.
pub(super) fn not_read(target: Option<&Path>, read: &[PathBuf]) -> Result<(), Failure> {
    let Some(target) = target else { return Ok(()) };
    let shown = tumpline_core::text::clean(&target.display().to_string());
    if read.iter().any(|file| same_file(target, file)) {
        return Err(Failure::Usage(format!("`{shown}` was read, so it is no place to write")));
    }
    if target.exists() && of_a_kit(target) {
        let what = format!("`{shown}` is a file of a kit, so a report is not written over it");
        return Err(Failure::Usage(what));
    }
    Ok(())
}

/// For what makes kit files: only what was read is no place to write.
pub(super) fn not_itself(target: Option<&Path>, read: &Path) -> Result<(), Failure> {
    match target {
        Some(target) if same_file(target, read) => {
            let shown = tumpline_core::text::clean(&target.display().to_string());
            Err(Failure::Usage(format!("`{shown}` was read, so it is no place to write")))
        }
        _ => Ok(()),
    }
}

/// Kit files, the journal of stores and its lock, by their names.
fn of_a_kit(path: &Path) -> bool {
    let name = path.file_name().map(|n| n.to_string_lossy().to_lowercase()).unwrap_or_default();
    [".yaml", ".yml", ".journal.csv", ".yaml.lock", ".yml.lock"].iter().any(|e| name.ends_with(e))
}

fn same_file(a: &Path, b: &Path) -> bool {
    match (a.canonicalize(), b.canonicalize()) {
        (Ok(a), Ok(b)) => a == b,
        _ => false,
    }
}

/// To a file: a new one in the same folder takes its place when complete, so
/// that the old content stays if anything goes wrong on the way.
pub(super) fn replace(path: &Path, report: impl AsRef<[u8]>) -> Result<(), Failure> {
    write(path, report.as_ref())
        .map_err(|error| Failure::Write { path: Some(path.to_path_buf()), error })
}

fn write(path: &Path, report: &[u8]) -> io::Result<()> {
    // The file that a link points at is replaced, not the link.
    let target = fs::canonicalize(path).unwrap_or_else(|_| path.to_path_buf());
    let old = fs::metadata(&target).ok();
    if old.as_ref().is_some_and(|m| !m.is_file()) {
        // A device or a pipe has no old content to keep; a folder fails here.
        return fs::write(&target, report);
    }
    let folder = match target.parent() {
        Some(folder) if folder != Path::new("") => folder.to_path_buf(),
        _ => PathBuf::from("."),
    };
    // Here, so that a missing folder is reported as such and not by a made-up name.
    fs::metadata(&folder)?;
    let mut builder = tempfile::Builder::new();
    builder.prefix(".tumpline-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // As any new file: the mask of the process takes its part away.
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    let mut file = builder.tempfile_in(folder)?;
    file.write_all(report)?;
    file.as_file().sync_all()?;
    if let Some(old) = old {
        file.as_file().set_permissions(old.permissions())?;
    }
    file.persist(&target)?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    struct Broken(io::ErrorKind);
    impl Write for Broken {
        fn write(&mut self, _: &[u8]) -> io::Result<usize> {
            Err(self.0.into())
        }
        fn flush(&mut self) -> io::Result<()> {
            Ok(())
        }
    }

    #[test]
    fn a_reader_gone_away_is_no_fault_but_a_full_disk_is() {
        assert!(print(&mut Broken(io::ErrorKind::BrokenPipe), "x").is_ok());
        assert!(print(&mut Broken(io::ErrorKind::StorageFull), "x").is_err());
    }

    #[test]
    fn a_file_is_replaced_and_nothing_else_left() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("plan.json");
        replace(&path, "old").unwrap();
        replace(&path, "new").unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), "new");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[cfg(unix)]
    #[test]
    fn links_and_permissions_are_kept() {
        use std::os::unix::fs::PermissionsExt;
        let folder = tempfile::tempdir().unwrap();
        let (path, link) = (folder.path().join("plan"), folder.path().join("link"));
        fs::write(&path, "old").unwrap();
        fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
        std::os::unix::fs::symlink(&path, &link).unwrap();
        replace(&link, "new").unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), "new");
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o640);
    }

    #[test]
    fn a_folder_or_a_missing_folder_is_told_with_its_name() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("no-such-folder").join("plan");
        let told = replace(&path, "x").unwrap_err().to_string();
        assert!(told.contains("no-such-folder"), "{told}");
        assert!(!told.contains(".tumpline-"), "{told}");
        assert!(replace(folder.path(), "x").is_err());
    }
}
