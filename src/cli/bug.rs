//! A panic is our bug, never the user's: one plain message and exit code 70.

use super::exit::Code;
use std::io::Write;
use std::panic::{self, AssertUnwindSafe};
use std::path::Path;
use std::sync::{Mutex, PoisonError};

static LAST: Mutex<String> = Mutex::new(String::new());

/// Runs the work; if it panics, tells so on `err`. No backtrace: it would say
/// nothing to the user. Panics that the work itself catches stay silent.
pub(super) fn caught(err: &mut dyn Write, work: impl FnOnce(&mut dyn Write) -> Code) -> Code {
    panic::set_hook(Box::new(|info| {
        let place = info.location().map_or(String::new(), |at| {
            let file = Path::new(at.file()).file_name().unwrap_or_default();
            format!(" ({}:{})", file.to_string_lossy(), at.line())
        });
        let payload = info.payload();
        let what = payload.downcast_ref::<&str>().copied();
        let what = what.or(payload.downcast_ref::<String>().map(String::as_str));
        let what = what.unwrap_or("no message");
        let text = crate::report::clean(&format!("{what}{place}"));
        *LAST.lock().unwrap_or_else(PoisonError::into_inner) = text;
    }));
    panic::catch_unwind(AssertUnwindSafe(|| work(err))).unwrap_or_else(|_| {
        let what = LAST.lock().unwrap_or_else(PoisonError::into_inner).clone();
        // If standard error is gone too, there is nobody left to tell.
        let _ = writeln!(err, "error: this is a bug in tumpline, please report it: {what}");
        Code::Bug
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_panic_is_told_as_our_bug() {
        let mut err = Vec::new();
        let code = caught(&mut err, |_| panic!("no such\u{1b} item"));
        let _ = panic::take_hook();
        assert_eq!(code, Code::Bug);
        let told = String::from_utf8(err).unwrap();
        assert!(told.starts_with("error: this is a bug in tumpline, please report it"), "{told}");
        assert!(told.contains("no such\\u{1b} item (bug.rs:"), "{told}");
    }
}
