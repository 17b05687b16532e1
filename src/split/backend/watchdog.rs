//! A deadline that does not rely on the solver's own.

use super::{Ask, Interior, Solved, interior, solve_here};
use crate::options::Clock;
use crate::program::Model;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, mpsc};
use std::time::Duration;

/// The name of the thread that runs a solver. A solver that panics there is
/// caught and counts as no answer.
pub const SOLVER_THREAD: &str = "tumpline-solver";

/// How long a solver is waited for past its own limit.
const GRACE: Duration = Duration::from_millis(250);

/// Runs the solver in a thread of its own and waits no longer than asked. A
/// solver that overruns is left behind: it holds nothing that is needed.
pub(crate) fn solve(ask: Ask, clock: &Clock) -> Solved {
    let time = ask.time.min(clock.left());
    let ask = Ask { time, ..ask };
    let stop = Arc::new(AtomicBool::new(false));
    let (send, receive) = mpsc::channel();
    let stopped = Arc::clone(&stop);
    let spawned = std::thread::Builder::new().name(SOLVER_THREAD.into()).stack_size(16 << 20);
    let spawned = spawned.spawn(move || {
        let answer = catch_unwind(AssertUnwindSafe(|| solve_here(ask, &stopped)));
        // The receiver is gone if the wait was given up.
        let _ = send.send(answer.unwrap_or(Solved::NOTHING));
    });
    if spawned.is_err() {
        return Solved::NOTHING;
    }
    let slice = Duration::from_millis(20);
    let mut waited = Duration::ZERO;
    loop {
        match receive.recv_timeout(slice) {
            Ok(answer) => return answer,
            Err(mpsc::RecvTimeoutError::Disconnected) => return Solved::NOTHING,
            Err(mpsc::RecvTimeoutError::Timeout) => waited += slice,
        }
        if clock.over() || waited > time {
            stop.store(true, Ordering::Relaxed);
            // A moment to hand over what it has.
            return receive.recv_timeout(GRACE).unwrap_or(Solved::NOTHING);
        }
    }
}

/// As [`interior`], in a thread of its own, no longer than the clock allows.
pub(crate) fn interior_by(model: &Model, clock: &Clock) -> Option<Interior> {
    let (send, receive) = mpsc::channel();
    let model = model.clone();
    let spawned = std::thread::Builder::new().name(SOLVER_THREAD.into()).spawn(move || {
        let answer = catch_unwind(AssertUnwindSafe(|| interior(&model)));
        let _ = send.send(answer.unwrap_or(None));
    });
    spawned.ok()?;
    loop {
        match receive.recv_timeout(Duration::from_millis(20)) {
            Ok(answer) => return answer,
            Err(mpsc::RecvTimeoutError::Disconnected) => return None,
            Err(mpsc::RecvTimeoutError::Timeout) if clock.over() => return None,
            Err(mpsc::RecvTimeoutError::Timeout) => {}
        }
    }
}
