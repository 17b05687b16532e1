//! A panic is our bug, never the user's: one plain message and exit code 70.

use super::exit::Code;
use crate::split::SOLVER_THREAD;
use std::io::{self, Write};
use std::panic::{self, AssertUnwindSafe, PanicHookInfo};
use std::path::Path;
use std::sync::{Mutex, PoisonError};
use std::thread;

/// The first panic that is a bug; those after it only follow from it.
static FIRST: Mutex<Option<Bug>> = Mutex::new(None);

/// Threads whose panics are caught on purpose.
#[cfg(feature = "spreadsheets")]
const SILENT: [&str; 2] = [SOLVER_THREAD, crate::kit::SHEET_THREAD];
#[cfg(not(feature = "spreadsheets"))]
const SILENT: [&str; 1] = [SOLVER_THREAD];

struct Bug {
    what: String,
    /// Written to standard error already.
    told: bool,
}

/// Runs the work; if it panics, tells so on `err`. No backtrace: it would say
/// nothing to the user. A solver that panics is caught on purpose and stays
/// silent; any other thread that panics tells at once, since nothing waits for
/// it.
pub(super) fn caught(err: &mut dyn Write, work: impl FnOnce(&mut dyn Write) -> Code) -> Code {
    let here = thread::current().id();
    panic::set_hook(Box::new(move |info| {
        let at = thread::current();
        if at.name().is_some_and(|name| SILENT.contains(&name)) {
            return;
        }
        let mut first = FIRST.lock().unwrap_or_else(PoisonError::into_inner);
        if first.is_none() {
            let bug = Bug { what: said(info), told: at.id() != here };
            if bug.told {
                tell(&mut io::stderr(), &bug);
            }
            *first = Some(bug);
        }
    }));
    panic::catch_unwind(AssertUnwindSafe(|| work(err))).unwrap_or_else(|_| {
        let first = FIRST.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(bug) = first.as_ref().filter(|bug| !bug.told) {
            tell(err, bug);
        }
        Code::Bug
    })
}

/// If standard error is gone too, there is nobody left to tell.
fn tell(err: &mut dyn Write, bug: &Bug) {
    let _ = writeln!(err, "error: this is a bug in tumpline, please report it: {}", bug.what);
}

fn said(info: &PanicHookInfo<'_>) -> String {
    let place = info.location().map_or(String::new(), |at| {
        let file = Path::new(at.file()).file_name().unwrap_or_default();
        format!(" ({}:{})", file.to_string_lossy(), at.line())
    });
    let payload = info.payload();
    let what = payload.downcast_ref::<&str>().copied();
    let what = what.or(payload.downcast_ref::<String>().map(String::as_str));
    tumpline_core::text::clean(&format!("{}{place}", what.unwrap_or("no message")))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// One test, since the hook and the first bug belong to the process.
    #[test]
    fn a_panic_is_told_as_our_bug_and_a_solver_stays_silent() {
        let solver = |_: &mut dyn Write| {
            let thread = thread::Builder::new().name(SOLVER_THREAD.into());
            let ended = thread.spawn(|| panic!("the solver broke down")).unwrap().join();
            assert!(ended.is_err());
            Code::Ok
        };
        let mut err = Vec::new();
        assert_eq!(caught(&mut err, solver), Code::Ok);
        assert!(err.is_empty() && FIRST.lock().unwrap().is_none());

        let code = caught(&mut err, |_| panic!("no such\u{1b} item"));
        let _ = panic::take_hook();
        assert_eq!(code, Code::Bug);
        let told = String::from_utf8(err).unwrap();
        assert!(told.starts_with("error: this is a bug in tumpline, please report it"), "{told}");
        assert!(told.contains("no such\\u{1b} item (bug.rs:"), "{told}");
    }
}
