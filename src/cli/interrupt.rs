//! Ctrl-C: once to stop with the best plan so far, twice to quit at once.

use crate::split::Watch;
use std::sync::OnceLock;

static WATCH: OnceLock<Watch> = OnceLock::new();

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
            if seen.interrupted() {
                std::process::exit(QUIT);
            }
            seen.interrupt();
        });
        watch
    });
    watch.clone()
}
