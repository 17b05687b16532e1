//! The command line: one file a command, and the only part that knows the
//! terminal, exit codes and their like.

mod args;
mod bug;
mod check;
mod columns;
mod compare;
mod completions;
mod env;
mod exit;
mod files;
mod find;
mod guide;
mod import;
mod interrupt;
mod journal;
mod list;
mod man;
mod muster;
mod output;
mod pager;
mod progress;
mod run_conditions;
mod run_split;
mod schema;
mod shed;
mod sheet;
mod sheet_plan;
mod sheet_ready;
mod split;
mod split_anew;
mod start;
mod tidy;
mod vary;
mod why;
mod workbook;

pub use env::Env;
pub use exit::Code;

use args::{Cli, Command};
use clap::Parser;
use env::ColourChoice;
use exit::Failure;
use std::ffi::OsString;
use std::io::{self, Write};
use tumpline_core::text::clean;

/// Where a command writes, and what it knows of its surroundings.
struct World<'a> {
    out: &'a mut dyn Write,
    err: &'a mut dyn Write,
    env: &'a Env,
    colour: ColourChoice,
}

/// The whole program, on the arguments and streams of this process.
pub fn main() -> Code {
    let env = Env::of_process();
    bug::caught(&mut io::stderr(), |err| run(std::env::args_os(), &mut io::stdout(), err, &env))
}

/// Runs the command line `args`, the name of the program first. Data goes to
/// `out`, everything else to `err`. Never ends the process by itself, except
/// on a second Ctrl-C.
pub fn run(
    args: impl IntoIterator<Item = OsString>,
    out: &mut dyn Write,
    err: &mut dyn Write,
    env: &Env,
) -> Code {
    let args: Vec<OsString> = args.into_iter().collect();
    let cli = match Cli::try_parse_from(&args) {
        Ok(cli) => cli,
        Err(e) => {
            // The message repeats what was typed.
            let acts = |arg: &OsString| clean(&arg.to_string_lossy()) != arg.to_string_lossy();
            return usage(&e, out, err, env, args.iter().any(acts));
        }
    };
    let unpaged = Env { terminal_height: None, ..env.clone() };
    let env = if cli.no_pager { &unpaged } else { env };
    let mut world = World { out, err, env, colour: cli.color };
    let done = match &cli.command {
        Command::Split(args) if args.anew.changed() => split_anew::run(args, &mut world),
        Command::Split(args) => {
            split::run(args, &mut world, files::read_move, run_split::solve, run_split::explain)
        }
        Command::Sheet(args) => sheet::run(args, &mut world),
        Command::Why(args) => why::run(args, &mut world),
        Command::Shed(args) => shed::run(args, &mut world),
        Command::Compare(args) => compare::run(args, &mut world),
        Command::List(args) => list::run(args, &mut world),
        Command::Import(args) => import::run(args, &mut world),
        Command::Muster(args) => muster::run(args, &mut world),
        Command::Check(args) => check::run(args, &mut world),
        Command::Start(args) => start::run(args, &mut world),
        Command::Tidy(args) => tidy::run(args, &mut world),
        Command::Guide(args) => guide::run(args, &mut world),
        Command::Schema(args) => schema::run(args, &mut world),
        Command::Completions(args) => completions::run(args, &mut world),
        Command::Man(args) => man::run(args, &mut world),
    };
    done.unwrap_or_else(|failure| {
        // If standard error is gone, the exit code still tells.
        let _ = writeln!(world.err, "{failure}");
        failure.code()
    })
}

/// A line with its end, fit for a terminal.
fn line(text: &str) -> String {
    text.strip_suffix('\n').map_or(clean(text), |text| format!("{}\n", clean(text)))
}

/// Help and version go to standard output and are fine; the rest is a fault.
/// Where what was typed could act on a terminal, it is written out, without
/// colour.
fn usage(e: &clap::Error, out: &mut dyn Write, err: &mut dyn Write, env: &Env, acts: bool) -> Code {
    let terminal = if e.use_stderr() { env.err_is_terminal } else { env.out_is_terminal };
    let text = e.render();
    let text = if acts {
        text.to_string().split_inclusive('\n').map(line).collect()
    } else if env.colour(ColourChoice::Auto, terminal) {
        text.ansi().to_string()
    } else {
        text.to_string()
    };
    if e.use_stderr() {
        let _ = err.write_all(text.as_bytes());
        return Code::Usage;
    }
    match output::print(out, &text) {
        Ok(()) => Code::Ok,
        Err(failure) => failure.code(),
    }
}
