//! `tumpline split MOVE`: read, search, report.

use super::args::{FormatChoice, Split};
use super::files::Read;
use super::{Code, Failure, World, columns, output, run_conditions, workbook};
use crate::ask::Explanation;
use crate::load::MoveOrder;
use crate::report::{self, More};
use crate::split::{Answer, Options, Outcome};
use std::io::Write;
use std::path::Path;
use std::time::Duration;
use tumpline_core::text::clean;

/// The causes of there being no plan get this part of the time that the proof
/// left, so that an answer takes no more than five seconds unless somebody asks
/// for more, and so much at least.
const SHARE_OF_TIME: f64 = 0.45;
const LEAST_TIME: Duration = Duration::from_secs(3);

/// `read` turns a path into a move order, its warnings in colour or not;
/// `solve` answers it, and shows progress or not; where there
/// is no plan, `explain` says why.
pub(super) fn run(
    args: &Split,
    world: &mut World<'_>,
    read: impl FnOnce(&Path, bool) -> Result<Read, Failure>,
    solve: impl FnOnce(&MoveOrder, &Options, bool) -> Answer,
    explain: impl FnOnce(&MoveOrder, &Options, bool) -> Option<Explanation>,
) -> Result<Code, Failure> {
    possible(args, world)?;
    let env = world.env;
    let mut read = read(&args.path, env.colour(world.colour, env.err_is_terminal))?;
    read.order = read.order.with_tolerance(args.bear.tolerance());
    let order = &read.order;
    // Notes on standard error: if it is gone, the report and the code remain.
    let _ = write!(world.err, "{}", read.warnings);
    output::not_read(args.output.as_deref(), &read.files)?;
    if args.anew.brief && args.bear.conditions().is_none() {
        let what = "`--brief` goes with `--after`, `--without`, `--emptied`, `--weighed`, \
                    `--tolerance` or `--survives`";
        return Err(Failure::Usage(what.into()));
    }
    let options = args.search.options();
    let show = env.can_show() && !args.search.quiet;
    let (answer, prices, survival) = match args.bear.conditions() {
        None => (solve(order, &options, show), Vec::new(), None),
        Some(asked) => {
            let found = run_conditions::solve(order, asked, &options, show);
            (found.answer, found.prices, found.survival)
        }
    };
    let why = causes(args, &answer, &options, |options| explain(order, options, show));
    let more = More {
        move_file: args.path.to_str(),
        explanation: why.as_ref(),
        prices: &prices,
        survival: survival.as_ref(),
        brief: args.anew.brief,
        ..More::default()
    };
    report(args, world, &Reported { order, answer: &answer, more })
}

/// Where there is no plan, what cannot hold together and what would make one,
/// unless nobody asks or there is no place to say it.
pub(super) fn causes(
    args: &Split,
    answer: &Answer,
    options: &Options,
    explain: impl FnOnce(&Options) -> Option<Explanation>,
) -> Option<Explanation> {
    let asked = matches!(answer.outcome, Outcome::NoPlan(_)) && !args.no_causes;
    // A reader of CSV has no place for them.
    let asked = asked && args.format != FormatChoice::Csv;
    asked.then_some(()).and_then(|()| {
        let left = options.time.saturating_sub(answer.elapsed);
        let time = left.mul_f64(SHARE_OF_TIME).max(LEAST_TIME);
        explain(&Options { time, ..options.clone() })
    })
}

/// What can be seen to be wrong before anything is read: a form that this build
/// or a terminal does not take, columns that there are not.
pub(super) fn possible(args: &Split, world: &World<'_>) -> Result<(), Failure> {
    if args.format == FormatChoice::Xlsx {
        workbook::possible(args.output.as_deref(), world.env)?;
    }
    columns(args).map(drop)
}

/// The columns asked for; none stands for all.
fn columns(args: &Split) -> Result<Vec<usize>, Failure> {
    let Some(asked) = &args.columns else { return Ok(Vec::new()) };
    if !matches!(args.format, FormatChoice::Csv | FormatChoice::Xlsx) {
        let what = "`--columns` goes with `--format csv` or `--format xlsx`";
        return Err(Failure::Usage(what.into()));
    }
    columns::pick(asked, &report::CARRIED_COLUMNS)
}

/// What a report is of.
pub(super) struct Reported<'a> {
    pub order: &'a MoveOrder,
    pub answer: &'a Answer,
    pub more: More<'a>,
}

/// Writes the report where it is wanted, and on standard error what belongs
/// there.
pub(super) fn report(
    args: &Split,
    world: &mut World<'_>,
    reported: &Reported,
) -> Result<Code, Failure> {
    let Reported { order, answer, more } = reported;
    let columns = columns(args)?;
    let more = &More { columns: &columns, ..*more };
    let to_file = args.output.is_some();
    let style = world.env.style(world.colour, args.looks.ascii, args.looks.width, to_file);
    let page = report::plan_page(order, answer, more);
    let bytes = output::bytes(&page, args.format.text(), &style)?;
    output::put(world, args.output.as_ref(), &bytes)?;
    if to_file || matches!(args.format, FormatChoice::Csv | FormatChoice::Xlsx) {
        let _ = note(answer, world.err);
    }
    if args.stats {
        let _ = stats(answer, world.err);
    }
    Ok(Code::of(answer))
}

/// Where the report does not say so on the screen, that there is no plan.
pub(super) fn note(answer: &Answer, err: &mut dyn Write) -> std::io::Result<()> {
    match &answer.outcome {
        Outcome::Plan(_) => Ok(()),
        Outcome::NoPlan(reason) => {
            let text = clean(&reason.text);
            match &reason.place {
                Some(place) => {
                    writeln!(err, "no plan exists: {text} ({})", clean(&place.to_string()))
                }
                None => writeln!(err, "no plan exists: {text}"),
            }
        }
        Outcome::NoneFound => {
            writeln!(err, "no plan was found in the time given, which is no proof that none exists")
        }
    }
}

/// A line for each stage: seconds, stage, goal, what it did; then a line for
/// each goal: what its value and its bound come from.
fn stats(answer: &Answer, err: &mut dyn Write) -> std::io::Result<()> {
    for stage in &answer.stages {
        let goal = stage.goal.map_or("-", |g| g.word());
        let note = clean(&stage.note);
        writeln!(err, "{:>8.3} s  {:<14}  {goal:<8}  {note}", stage.seconds, stage.name)?;
    }
    for o in &answer.origins {
        let (goal, found, bound) = (o.goal.word(), clean(o.found_by), clean(o.bound_by));
        writeln!(
            err,
            "{:>8.3} s  {goal:<8}  found by {found} at {:.3} s, bound by {bound} at {:.3} s, {} nodes",
            o.seconds, o.found_at, o.bound_at, o.nodes
        )?;
    }
    writeln!(err, "{:>8.3} s  in all", answer.elapsed.as_secs_f64())
}

#[cfg(test)]
mod tests {
    use super::super::args::{Cli, Command};
    use super::super::env::{ColourChoice, Env};
    use super::*;
    use crate::fixture;
    use crate::load::GoalKind;
    use crate::quantity::Percent;
    use crate::split::{Origin, Stage, Stop};
    use clap::Parser;

    /// The move order of the fixture, read from `file` if there is one.
    fn fixed(file: &Path) -> Result<Read, Failure> {
        let files = vec![file.to_path_buf()];
        Ok(Read { order: fixture::order(), warnings: String::new(), files })
    }

    struct Ran {
        code: Result<Code, Failure>,
        out: String,
        err: String,
    }

    /// Runs the command with a reader and a search of the test's own.
    fn run_by(
        args: &[&str],
        env: &Env,
        read: impl FnOnce(&Path) -> Result<Read, Failure>,
        solve: impl FnOnce(&MoveOrder, &Options, bool) -> Answer,
    ) -> Ran {
        run_asking(args, env, read, solve, |_, _, _| NOTHING)
    }

    /// What is said where nothing is known.
    const NOTHING: Option<Explanation> = None;

    fn run_asking(
        args: &[&str],
        env: &Env,
        read: impl FnOnce(&Path) -> Result<Read, Failure>,
        solve: impl FnOnce(&MoveOrder, &Options, bool) -> Answer,
        explain: impl FnOnce(&MoveOrder, &Options, bool) -> Option<Explanation>,
    ) -> Ran {
        let args = ["tumpline", "split"].iter().chain(args);
        let Command::Split(args) = Cli::try_parse_from(args).unwrap().command else {
            panic!("not a split")
        };
        let (mut out, mut err) = (Vec::new(), Vec::new());
        let mut world = World { out: &mut out, err: &mut err, env, colour: ColourChoice::Auto };
        let code = run(&args, &mut world, |path, _| read(path), solve, explain);
        let text = |bytes| String::from_utf8(bytes).unwrap();
        Ran { code, out: text(out), err: text(err) }
    }

    fn run_with(args: &[&str], answer: Answer) -> Ran {
        run_by(args, &Env::default(), fixed, |_, _, _| answer)
    }

    #[test]
    fn every_outcome_has_its_code() {
        for (answer, code) in [
            (fixture::with_plan(), Code::Ok),
            (fixture::proven(), Code::Ok),
            (fixture::feasible(), Code::Limit),
            (fixture::no_plan(), Code::No),
            (fixture::none_found(), Code::Limit),
        ] {
            let ran = run_with(&["ridge.move.yaml"], answer);
            assert_eq!(ran.code.unwrap(), code);
            assert!(ran.out.starts_with("Relay forward to the ridge\n"), "the report is printed");
            assert_eq!(ran.err, "");
        }
    }

    #[test]
    fn what_is_asked_reaches_the_search() {
        let args = ["x", "--time", "2 min", "--gap", "1", "--seed", "7"];
        let env = Env { err_is_terminal: true, ..Env::default() };
        let solve = |_: &MoveOrder, options: &Options, show| {
            assert_eq!(options.time, Duration::from_secs(120));
            assert_eq!(options.gap, Percent::from_ppm(10_000));
            assert_eq!((options.seed, show), (7, true));
            fixture::proven()
        };
        run_by(&args, &env, fixed, solve).code.unwrap();
    }

    #[test]
    fn causes_are_looked_for_where_there_is_a_place_for_them() {
        let looked = |args: &[&str], answer: Answer| {
            let mut looked = None;
            let explain = |_: &MoveOrder, options: &Options, _| {
                looked = Some(options.time);
                NOTHING
            };
            run_asking(args, &Env::default(), fixed, |_, _, _| answer, explain).code.unwrap();
            looked
        };
        let span = |time: Option<Duration>| time.map(|t| t.as_secs());
        // The fixture's proof took two seconds; less than half of what is left.
        assert_eq!(span(looked(&["x", "--time", "100s"], fixture::no_plan())), Some(43));
        assert_eq!(span(looked(&["x", "--time", "1s"], fixture::no_plan())), Some(3));
        assert_eq!(looked(&["x", "--no-causes"], fixture::no_plan()), None);
        assert_eq!(looked(&["x", "--format", "csv"], fixture::no_plan()), None);
        assert_eq!(looked(&["x"], fixture::proven()), None);
        assert_eq!(looked(&["x"], fixture::none_found()), None);
    }

    #[test]
    fn a_fault_in_the_files_writes_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("plan.csv");
        std::fs::write(&path, "old").unwrap();
        let args = ["x", "-o", path.to_str().unwrap()];
        let read = |_: &Path| Err(Failure::Input("error: no".into()));
        let ran = run_by(&args, &Env::default(), read, |_, _, _| fixture::proven());
        assert_eq!(ran.code.unwrap_err().code(), Code::BadInput);
        assert_eq!(ran.out, "");
        assert_eq!(std::fs::read_to_string(&path).unwrap(), "old");
    }

    #[test]
    fn a_file_gets_the_report_and_the_screen_a_note() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("plan.md");
        let args = ["x", "--format", "markdown", "-o", path.to_str().unwrap()];
        let ran = run_with(&args, fixture::no_plan());
        assert_eq!(ran.code.unwrap(), Code::No);
        assert_eq!(ran.out, "");
        assert!(ran.err.starts_with("no plan exists: the relay set"), "{}", ran.err);
        assert!(ran.err.ends_with("(ridge.move.yaml:12:5)\n"), "{}", ran.err);
        let written = std::fs::read_to_string(&path).unwrap();
        assert!(written.starts_with("# Relay forward"), "{written}");
    }

    #[test]
    fn the_move_order_is_never_overwritten() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("x.move.yaml");
        std::fs::write(&path, "move: x").unwrap();
        let path = path.to_str().unwrap();
        let ran = run_with(&[path, "-o", path], fixture::proven());
        assert_eq!(ran.code.unwrap_err().code(), Code::Usage);
        assert_eq!(std::fs::read_to_string(path).unwrap(), "move: x");
    }

    #[test]
    fn stages_go_to_standard_error() {
        let mut answer = fixture::proven();
        answer.stopped = Some(Stop::Interrupt);
        let note = "12 moves\u{1b}".into();
        answer.stages.push(Stage { name: "improve", goal: None, note, seconds: 0.25 });
        answer.origins.push(Origin {
            goal: GoalKind::Even,
            found_by: "search",
            found_at: 0.125,
            bound_by: "bounds",
            bound_at: 0.002,
            nodes: 7,
            seconds: 0.5,
        });
        let ran = run_with(&["x", "--stats"], answer);
        assert!(ran.out.contains("Stopped on request, after 2.3 seconds."), "{}", ran.out);
        let expected = "   0.250 s  improve         -         12 moves\\u{1b}\n   0.500 s  even      found by \
             search at 0.125 s, bound by bounds at 0.002 s, 7 nodes\n   2.345 s  in all\n";
        assert_eq!(ran.err, expected);
    }
}
