//! Ctrl-C: once to stop with the best plan so far, twice to quit at once.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, OnceLock};

static FLAG: OnceLock<Arc<AtomicBool>> = OnceLock::new();

/// A process that was stopped by SIGINT, as shells report it.
const QUIT: i32 = 130;

/// The flag that the first Ctrl-C sets. From the first call on, Ctrl-C no
/// longer ends the process by itself.
pub(super) fn flag() -> Arc<AtomicBool> {
    let flag = FLAG.get_or_init(|| {
        let flag = Arc::new(AtomicBool::new(false));
        let seen = flag.clone();
        // If no handler can be set, Ctrl-C ends the process as it always did.
        let _ = ctrlc::set_handler(move || {
            if seen.swap(true, Ordering::SeqCst) {
                std::process::exit(QUIT);
            }
        });
        flag
    });
    flag.clone()
}
