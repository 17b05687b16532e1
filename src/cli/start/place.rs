//! Where a kit is put: all of its files or none, and never over others.

use crate::cli::Failure;
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use tumpline_core::text::clean;

/// Refuses a folder that has one of the files.
pub(super) fn free(folder: &Path, files: &[(String, String)]) -> Result<(), Failure> {
    let there = |name: &&String| fs::symlink_metadata(folder.join(name.as_str())).is_ok();
    let there: Vec<&String> = files.iter().map(|(name, _)| name).filter(there).collect();
    if there.is_empty() {
        return Ok(());
    }
    let there: Vec<String> = there.iter().map(|name| format!("`{}`", clean(name))).collect();
    let folder = clean(&folder.display().to_string());
    Err(Failure::Usage(format!(
        "the folder `{folder}` has {} already; nothing was written. Give another folder, or move \
         what is there",
        there.join(", ")
    )))
}

/// Writes the files into the folder, which may be new; `check` sees them in a
/// folder of their own before they get there.
pub(super) fn put(
    folder: &Path,
    files: &[(String, String)],
    check: impl FnOnce(&Path) -> Result<(), Failure>,
) -> Result<(), Failure> {
    let failed = |error: io::Error| Failure::Write { path: Some(folder.to_path_buf()), error };
    if folder.is_dir() {
        let staged = stage(folder, Path::new("")).map_err(failed)?;
        write_all(staged.path(), files).map_err(failed)?;
        check(staged.path())?;
        return into(staged.path(), folder, files).map_err(failed);
    }
    // The topmost folder that is missing comes into being all at once.
    let (base, top, rest) = missing(folder);
    fs::metadata(&base).map_err(failed)?;
    let staged = stage(&base, &rest).map_err(failed)?;
    let inner = staged.path().join(&rest);
    write_all(&inner, files).map_err(failed)?;
    check(&inner)?;
    fs::rename(staged.path(), &top).map_err(failed)?;
    // It is no longer under the name that would be cleaned up.
    let _ = staged.keep();
    Ok(())
}

/// The folder that is there, the first that is not, and what is under that.
fn missing(folder: &Path) -> (PathBuf, PathBuf, PathBuf) {
    let mut top = folder;
    let named = |p: &Path| !p.as_os_str().is_empty();
    while let Some(parent) = top.parent().filter(|p| named(p) && fs::symlink_metadata(p).is_err()) {
        top = parent;
    }
    let base = top.parent().filter(|p| named(p)).unwrap_or(Path::new("."));
    let rest = folder.strip_prefix(top).unwrap_or(Path::new(""));
    (base.to_path_buf(), top.to_path_buf(), rest.to_path_buf())
}

fn stage(base: &Path, rest: &Path) -> io::Result<tempfile::TempDir> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".tumpline-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // As any new folder: the mask of the process takes its part away.
        builder.permissions(fs::Permissions::from_mode(0o777));
    }
    let staged = builder.tempdir_in(base)?;
    fs::create_dir_all(staged.path().join(rest))?;
    Ok(staged)
}

fn write_all(folder: &Path, files: &[(String, String)]) -> io::Result<()> {
    for (name, text) in files {
        let mut file = fs::File::create_new(folder.join(name))?;
        file.write_all(text.as_bytes())?;
        file.sync_all()?;
    }
    Ok(())
}

/// Moves each file to a name that must be free; takes all back if one is not.
fn into(from: &Path, folder: &Path, files: &[(String, String)]) -> io::Result<()> {
    for (n, (name, _)) in files.iter().enumerate() {
        if let Err(error) = moved(&from.join(name), &folder.join(name)) {
            files.iter().take(n).for_each(|(name, _)| drop(fs::remove_file(folder.join(name))));
            return Err(error);
        }
    }
    Ok(())
}

/// A link fails where the name is taken; not every file system has links.
fn moved(from: &Path, to: &Path) -> io::Result<()> {
    match fs::hard_link(from, to) {
        Err(error) if error.kind() != io::ErrorKind::AlreadyExists => {
            let mut file = fs::File::create_new(to)?;
            file.write_all(&fs::read(from)?)
        }
        done => done,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn files() -> Vec<(String, String)> {
        ["a", "b", "c"].map(|n| (n.to_string(), format!("text of {n}"))).to_vec()
    }

    fn names(folder: &Path) -> Vec<String> {
        let mut all: Vec<String> = fs::read_dir(folder)
            .unwrap()
            .map(|e| e.unwrap().file_name().into_string().unwrap())
            .collect();
        all.sort();
        all
    }

    #[test]
    fn all_files_or_none() {
        let base = tempfile::tempdir().unwrap();
        for folder in ["new", "one/two/three", "."] {
            let folder = base.path().join(folder);
            put(&folder, &files(), |_| Ok(())).unwrap();
            assert!(["a", "b", "c"].iter().all(|n| folder.join(n).is_file()));
            assert!(free(&folder, &files()).is_err());
        }
        assert_eq!(names(base.path()), ["a", "b", "c", "new", "one"]);
        // One that appears in the meantime is not overwritten, nor kept company.
        let folder = base.path().join("taken");
        fs::create_dir(&folder).unwrap();
        fs::write(folder.join("b"), "theirs").unwrap();
        put(&folder, &files(), |_| Ok(())).unwrap_err();
        assert_eq!(names(&folder), ["b"]);
        assert_eq!(fs::read_to_string(folder.join("b")).unwrap(), "theirs");
        // What the check refuses leaves nothing.
        let refused = |_: &Path| Err(Failure::Usage("no".into()));
        put(&base.path().join("x/y"), &files(), refused).unwrap_err();
        put(&folder, &files(), refused).unwrap_err();
        assert_eq!(names(base.path()), ["a", "b", "c", "new", "one", "taken"]);
        // A file is no folder.
        put(&base.path().join("a/b"), &files(), |_| Ok(())).unwrap_err();
    }
}
