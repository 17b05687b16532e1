//! What the caller asks of the optimiser, and how caller and search watch each
//! other.

use crate::load::{GoalKind, GoalValue};
use crate::quantity::Percent;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

/// What is asked.
#[derive(Debug, Clone)]
pub struct Options {
    /// The most time the search may take, all goals together.
    pub time: Duration,
    /// A goal this close to its bound is good enough. Zero asks for proof.
    pub gap: Percent,
    /// The seed of the search's random choices.
    pub seed: u64,
}

impl Default for Options {
    fn default() -> Self {
        Options { time: Duration::from_secs(10), gap: Percent::from_ppm(5_000), seed: 1 }
    }
}

/// Shared between the search and whoever watches it from another thread.
#[derive(Debug, Clone, Default)]
pub struct Watch {
    interrupt: Arc<AtomicBool>,
    progress: Arc<Mutex<Progress>>,
    /// Which of several searches for one answer is at work, for people.
    step: Arc<Mutex<String>>,
}

/// How far the search is.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Progress {
    /// The goal at work; `None` before there is a plan.
    pub goal: Option<GoalKind>,
    /// The best that was found of it so far.
    pub value: Option<GoalValue>,
    /// What no plan passes, as far as is known.
    pub bound: Option<GoalValue>,
}

impl Watch {
    /// Asks the search to return the best audited plan it has.
    pub fn interrupt(&self) {
        self.interrupt.store(true, Ordering::Relaxed);
    }
    /// Whether somebody asked the search to stop.
    pub fn interrupted(&self) -> bool {
        self.interrupt.load(Ordering::Relaxed)
    }
    /// How far the search is.
    pub fn progress(&self) -> Progress {
        self.progress.lock().map(|p| *p).unwrap_or_default()
    }
    /// What the search at work is for, where an answer takes several.
    pub fn step(&self) -> String {
        self.step.lock().map(|s| s.clone()).unwrap_or_default()
    }
    /// Says what the search at work is for.
    pub fn set_step(&self, text: impl Into<String>) {
        if let Ok(mut s) = self.step.lock() {
            *s = text.into();
        }
    }
    pub(super) fn tell(&self, now: Progress) {
        if let Ok(mut p) = self.progress.lock() {
            *p = now;
        }
    }
}

/// The deadline and the interrupt, as the stages of the search check them.
#[derive(Debug, Clone)]
pub(super) struct Clock {
    start: Instant,
    end: Instant,
    watch: Watch,
    /// Set by whoever no longer needs this one's work.
    stop: Option<Arc<AtomicBool>>,
}

impl Clock {
    pub fn new(time: Duration, watch: &Watch) -> Self {
        let start = Instant::now();
        // A span too long for the clock is as good as a year.
        let year = Duration::from_secs(365 * 86_400);
        Clock { start, end: start + time.min(year), watch: watch.clone(), stop: None }
    }
    /// The same, but over after this time at the latest.
    pub fn within(&self, time: Duration) -> Clock {
        let end = Instant::now().checked_add(time).map_or(self.end, |end| end.min(self.end));
        Clock { end, ..self.clone() }
    }
    pub fn elapsed(&self) -> Duration {
        self.start.elapsed()
    }
    pub fn left(&self) -> Duration {
        self.end.saturating_duration_since(Instant::now())
    }
    pub fn over(&self) -> bool {
        self.stop.as_ref().is_some_and(|s| s.load(Ordering::Relaxed))
            || self.watch.interrupted()
            || Instant::now() >= self.end
    }
    /// The same clock, over also when `stop` is set.
    pub fn stopped_by(&self, stop: &Arc<AtomicBool>) -> Clock {
        Clock { stop: Some(Arc::clone(stop)), ..self.clone() }
    }
    pub fn interrupted(&self) -> bool {
        self.watch.interrupted()
    }
}
