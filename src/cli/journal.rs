//! Writing what was counted: the journal and the stores file, so that neither
//! is changed without the other.
//!
//! A lock beside the stores file is taken first; two that write at once cannot
//! both have it. Then the file is compared with what was read. The lines go to
//! the journal and are forced to disk, and the file is replaced in one step. If
//! that fails, the journal is cut back to what it was. A lock that is left
//! behind tells of a process that was stopped in between.

use super::exit::Failure;
use super::output;
use std::fs::{self, File, OpenOptions};
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use std::time::{SystemTime, UNIX_EPOCH};
use tumpline_core::text::clean;

const MARK: &str = "\u{feff}";

/// `stores.journal.csv` beside `stores.yaml`.
pub(super) fn journal_of(stores: &Path) -> PathBuf {
    let stem = stores.file_stem().map_or_else(Default::default, |s| s.to_os_string());
    let mut name = stem;
    name.push(".journal.csv");
    stores.with_file_name(name)
}

fn lock_of(stores: &Path) -> PathBuf {
    let mut name = stores.file_name().map_or_else(Default::default, |s| s.to_os_string());
    name.push(".lock");
    stores.with_file_name(name)
}

/// The lock, given back when dropped.
struct Lock(PathBuf);

impl Drop for Lock {
    fn drop(&mut self) {
        // If it cannot be removed, the next to write hears of it.
        let _ = fs::remove_file(&self.0);
    }
}

fn lock(stores: &Path) -> Result<Lock, Failure> {
    let path = lock_of(stores);
    match OpenOptions::new().write(true).create_new(true).open(&path) {
        Ok(_) => Ok(Lock(path)),
        Err(e) if e.kind() == io::ErrorKind::AlreadyExists => {
            let (lock, journal) = (shown(&path), shown(&journal_of(stores)));
            Err(Failure::Unread(format!(
                "error: nothing was written: `{lock}` is there, so another run is writing, or one \
                 was stopped while it did\nhelp: if none is running, compare the last lines of \
                 `{journal}` with the stores file, then remove `{lock}`"
            )))
        }
        Err(error) => Err(Failure::Write { path: Some(path), error }),
    }
}

fn shown(path: &Path) -> String {
    clean(&path.display().to_string())
}

/// Replaces the stores file, which held `old`, by `new`, and adds the lines to
/// the journal. `header` is for a journal that is new.
pub(super) fn write(
    stores: &Path,
    old: &str,
    new: &str,
    header: &str,
    lines: &str,
) -> Result<(), Failure> {
    // The file that a link points at is changed, and what is beside it.
    let target = fs::canonicalize(stores).unwrap_or_else(|_| stores.to_path_buf());
    let _lock = lock(&target)?;
    let now =
        fs::read(&target).map_err(|error| Failure::Write { path: Some(target.clone()), error })?;
    let now = String::from_utf8_lossy(&now).into_owned();
    if now.strip_prefix(MARK).unwrap_or(&now) != old {
        let stores = shown(stores);
        return Err(Failure::Unread(format!(
            "error: nothing was written: `{stores}` was changed since it was read\nhelp: run the \
             command again"
        )));
    }
    let new = if now.starts_with(MARK) { format!("{MARK}{new}") } else { new.to_string() };
    let journal = journal_of(&target);
    let before = append(&journal, header, lines)
        .map_err(|error| Failure::Write { path: Some(journal.clone()), error })?;
    output::replace(&target, &new).map_err(|failure| match cut(&journal, before) {
        Ok(()) => failure,
        Err(e) => Failure::Unread(format!(
            "{failure}\nerror: and the lines that `{}` got for it could not be taken out again \
             ({e}): take them out by hand",
            shown(&journal)
        )),
    })
}

/// Adds lines and forces them to disk; returns how long the journal was,
/// `None` if there was none. What was written of them is taken back if not all
/// could be.
fn append(journal: &Path, header: &str, lines: &str) -> io::Result<Option<u64>> {
    let before = match fs::metadata(journal) {
        Ok(m) => Some(m.len()),
        Err(e) if e.kind() == io::ErrorKind::NotFound => None,
        Err(e) => return Err(e),
    };
    let mut file = OpenOptions::new().read(true).append(true).create(true).open(journal)?;
    let head = match before {
        None | Some(0) => header,
        // Somebody's editor may have left the last line open.
        Some(_) if !ends_line(&mut file)? => "\r\n",
        Some(_) => "",
    };
    let text = format!("{head}{lines}");
    let done = file.write_all(text.as_bytes()).and_then(|()| file.sync_all());
    match done {
        Ok(()) => Ok(before),
        Err(e) => match cut(journal, before) {
            Ok(()) => Err(e),
            Err(again) => Err(io::Error::new(
                e.kind(),
                format!("{e}; and a part of the last lines may be left in it ({again})"),
            )),
        },
    }
}

fn ends_line(file: &mut File) -> io::Result<bool> {
    file.seek(SeekFrom::End(-1))?;
    let mut last = [0u8; 1];
    file.read_exact(&mut last)?;
    Ok(last == *b"\n")
}

fn cut(journal: &Path, before: Option<u64>) -> io::Result<()> {
    match before {
        None => fs::remove_file(journal),
        Some(length) => {
            let file = OpenOptions::new().write(true).open(journal)?;
            file.set_len(length)?;
            file.sync_all()
        }
    }
}

/// Today by the system's clock, in UTC, by ISO 8601.
pub(super) fn today() -> String {
    let now = SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |d| d.as_secs());
    let (y, m, d) = civil(now / 86_400);
    format!("{y:04}-{m:02}-{d:02}")
}

/// The day of the Gregorian calendar that many days after 1 January 1970.
fn civil(mut days: u64) -> (u64, u64, u64) {
    let leap = |y: u64| y.is_multiple_of(4) && (!y.is_multiple_of(100) || y.is_multiple_of(400));
    let mut year = 1970;
    loop {
        let length = if leap(year) { 366 } else { 365 };
        if days < length {
            break;
        }
        days -= length;
        year += 1;
    }
    let february = if leap(year) { 29 } else { 28 };
    let mut month = 1;
    for length in [31, february, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31] {
        if days < length {
            break;
        }
        days -= length;
        month += 1;
    }
    (year, month, days + 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 10 957 days make 30 years with 7 leap days; 2024 has a 29
    /// February, the 60th day of its year.
    #[test]
    fn days_become_dates() {
        assert_eq!(civil(0), (1970, 1, 1));
        assert_eq!(civil(10_957), (2000, 1, 1));
        assert_eq!(civil(10_957 + 24 * 365 + 6 + 59), (2024, 2, 29));
        assert_eq!(civil(364), (1970, 12, 31));
    }

    #[test]
    fn the_journal_is_cut_back_where_the_file_cannot_be_replaced() {
        let folder = tempfile::tempdir().unwrap();
        let journal = folder.path().join("stores.journal.csv");
        assert_eq!(append(&journal, "a,b\r\n", "1,2\r\n").unwrap(), None);
        // The last line was left open by hand.
        fs::write(&journal, "a,b\r\n1,2").unwrap();
        let before = append(&journal, "a,b\r\n", "3,4\r\n").unwrap();
        assert_eq!(fs::read_to_string(&journal).unwrap(), "a,b\r\n1,2\r\n3,4\r\n");
        cut(&journal, before).unwrap();
        assert_eq!(fs::read_to_string(&journal).unwrap(), "a,b\r\n1,2");
        cut(&journal, None).unwrap();
        assert!(!journal.exists());
    }

    #[test]
    fn nothing_is_written_where_the_file_changed_or_a_lock_is_there() {
        let folder = tempfile::tempdir().unwrap();
        let stores = folder.path().join("stores.yaml");
        fs::write(&stores, "new").unwrap();
        let told = write(&stores, "old", "x", "h\n", "l\n").unwrap_err().to_string();
        assert!(told.contains("changed since it was read"), "{told}");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
        fs::write(folder.path().join("stores.yaml.lock"), "").unwrap();
        let told = write(&stores, "new", "x", "h\n", "l\n").unwrap_err().to_string();
        assert!(told.contains("another run"), "{told}");
        assert_eq!(fs::read_to_string(&stores).unwrap(), "new");
        fs::remove_file(folder.path().join("stores.yaml.lock")).unwrap();
        write(&stores, "new", "x", "h\n", "l\n").unwrap();
        assert_eq!(fs::read_to_string(&stores).unwrap(), "x");
        assert_eq!(fs::read_to_string(folder.path().join("stores.journal.csv")).unwrap(), "h\nl\n");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 2);
    }
}
