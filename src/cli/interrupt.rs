//! Ctrl-C: once to stop with the best plan so far, twice to quit at once.

use crate::split::Watch;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicBool, Ordering};

static WATCH: OnceLock<Watch> = OnceLock::new();
/// While this holds, Ctrl-C is for somebody else.
static HELD: AtomicBool = AtomicBool::new(false);

/// A process that was stopped by SIGINT, as shells report it.
const QUIT: i32 = 130;

/// A watch that the first Ctrl-C interrupts. From the first call on, Ctrl-C no
/// longer ends the process by itself.
pub(super) fn watch() -> Watch {
    let watch = WATCH.get_or_init(|| {
        let watch = Watch::default();
        let seen = watch.clone();
        // If no handler can be set, Ctrl-C ends the process as it always did.
        let _ = ctrlc::set_handler(move || {
            if HELD.load(Ordering::SeqCst) {
                return;
            }
            if seen.interrupted() {
                std::process::exit(QUIT);
            }
            seen.interrupt();
        });
        watch
    });
    watch.clone()
}

/// Until this is dropped, Ctrl-C passes by: it goes to all that share the
/// terminal, and a pager has its own use for it.
pub(super) struct Held;

pub(super) fn hold() -> Held {
    watch();
    HELD.store(true, Ordering::SeqCst);
    Held
}

impl Drop for Held {
    fn drop(&mut self) {
        HELD.store(false, Ordering::SeqCst);
    }
}
