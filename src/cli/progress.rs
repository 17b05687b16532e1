//! A spinner on the terminal while the search runs.

use crate::quantity::Units;
use crate::report::{fit, goal_value, percent};
use crate::split::{GoalResult, Progress, Watch};
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle, TermLike};
use std::io::{self, Write};
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::time::{Duration, Instant};

/// A search shorter than this shows nothing.
const PATIENCE: Duration = Duration::from_millis(500);
const TICK: Duration = Duration::from_millis(120);

/// Does the work, and meanwhile shows on standard error what `watch` sees.
/// Nothing is left on the terminal when it is done.
pub(super) fn during<T>(
    show: bool,
    limit: Duration,
    units: Units,
    watch: &Watch,
    work: impl FnOnce() -> T,
) -> T {
    if !show {
        return work();
    }
    let started = Instant::now();
    let (done, waits) = channel::<()>();
    std::thread::scope(|scope| {
        scope.spawn(move || {
            if waits.recv_timeout(PATIENCE) != Err(RecvTimeoutError::Timeout) {
                return;
            }
            let bar =
                ProgressBar::with_draw_target(None, ProgressDrawTarget::term_like(Box::new(Line)));
            if let Ok(style) = ProgressStyle::with_template("{spinner} {msg}") {
                bar.set_style(style.tick_chars("-\\|/ "));
            }
            loop {
                let text = message(&watch.progress(), started.elapsed(), limit, units);
                let step = watch.step();
                let text = if step.is_empty() { text } else { format!("{step}: {text}") };
                bar.set_message(fit(&text, usize::from(Line.width()).saturating_sub(2), false));
                bar.tick();
                if waits.recv_timeout(TICK) != Err(RecvTimeoutError::Timeout) {
                    break;
                }
            }
            bar.finish_and_clear();
        });
        // Dropped when the work is done, and also when it panics.
        let _done = done;
        work()
    })
}

/// A line of the terminal on standard error that is a little narrower than the
/// terminal: the `^C` that a terminal echoes then stays on it and is wiped too.
#[derive(Debug)]
struct Line;

impl Line {
    fn put(&self, text: &str) -> io::Result<()> {
        io::stderr().write_all(text.as_bytes())
    }
}

impl TermLike for Line {
    fn width(&self) -> u16 {
        let size = terminal_size::terminal_size_of(io::stderr());
        size.map_or(80, |(width, _)| width.0).saturating_sub(4).max(1)
    }
    fn move_cursor_up(&self, n: usize) -> io::Result<()> {
        if n == 0 { Ok(()) } else { self.put(&format!("\x1b[{n}A")) }
    }
    fn move_cursor_down(&self, n: usize) -> io::Result<()> {
        if n == 0 { Ok(()) } else { self.put(&format!("\x1b[{n}B")) }
    }
    fn move_cursor_right(&self, n: usize) -> io::Result<()> {
        if n == 0 { Ok(()) } else { self.put(&format!("\x1b[{n}C")) }
    }
    fn move_cursor_left(&self, n: usize) -> io::Result<()> {
        if n == 0 { Ok(()) } else { self.put(&format!("\x1b[{n}D")) }
    }
    fn write_line(&self, text: &str) -> io::Result<()> {
        self.put(&format!("{text}\n"))
    }
    fn write_str(&self, text: &str) -> io::Result<()> {
        self.put(text)
    }
    fn clear_line(&self) -> io::Result<()> {
        self.put("\r\x1b[2K")
    }
    fn flush(&self) -> io::Result<()> {
        io::stderr().flush()
    }
}

fn message(now: &Progress, elapsed: Duration, limit: Duration, units: Units) -> String {
    let mut parts = vec![format!("{} s of {} s", elapsed.as_secs(), limit.as_secs())];
    match (now.goal, now.value) {
        (Some(goal), Some(value)) => parts.push(format!("{goal} {}", goal_value(value, units))),
        (Some(goal), None) => parts.push(format!("{goal}: no plan yet")),
        (None, _) => parts.push("no plan yet".into()),
    }
    if let (Some(goal), Some(value), Some(bound)) = (now.goal, now.value, now.bound) {
        let known = GoalResult { goal, value, reached: value, bound };
        parts.push(format!("bound {}", goal_value(bound, units)));
        parts.push(format!("gap {}", percent(known.gap_percent())));
    }
    parts.push("Ctrl-C stops with the best so far".into());
    parts.join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::load::{GoalKind, GoalValue};

    #[test]
    fn the_work_is_done_with_and_without_a_spinner() {
        for show in [true, false] {
            let limit = Duration::from_secs(1);
            assert_eq!(during(show, limit, Units::Metric, &Watch::default(), || 7), 7);
        }
    }

    #[test]
    fn a_moment_reads_well() {
        let seconds = Duration::from_secs;
        let mut moment = Progress::default();
        let say = |m: &Progress| message(m, seconds(3), seconds(10), Units::Metric);
        assert_eq!(say(&moment), "3 s of 10 s, no plan yet, Ctrl-C stops with the best so far");
        moment.goal = Some(GoalKind::Lightest);
        moment.value = Some(GoalValue::Mass("20 kg".parse().unwrap()));
        moment.bound = Some(GoalValue::Mass("19 kg".parse().unwrap()));
        let known = "lightest 20.00 kg, bound 19.00 kg, gap 5 %";
        assert_eq!(
            say(&moment),
            format!("3 s of 10 s, {known}, Ctrl-C stops with the best so far")
        );
    }
}
