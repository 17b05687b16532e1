//! `tumpline start FOLDER`: a first kit, by a few questions or by flags.

pub(super) mod answers;
mod ask;
mod files;
mod place;

use super::args::Start;
use super::{Code, Failure, World, interrupt, output};
use crate::kit;
use crate::report::{CAUTION, wrap};
use crate::split::{Options, Outcome, Watch, split};
use std::io::BufRead;
use std::path::Path;
use std::time::Duration;
use tumpline_core::text::clean;

/// So long it may take to see that the kit has a plan; it takes a moment.
const PATIENCE: Duration = Duration::from_secs(2);

pub(super) fn run(args: &Start, world: &mut World<'_>) -> Result<Code, Failure> {
    run_asking(args, world, &mut std::io::stdin().lock())
}

fn run_asking(
    args: &Start,
    world: &mut World<'_>,
    input: &mut dyn BufRead,
) -> Result<Code, Failure> {
    // Names that hang on no answer, before anybody is asked.
    let fixed = ["equipment.yaml", "carriers.yaml", "README.md"];
    place::free(&args.folder, &fixed.map(|name| (name.to_string(), String::new())))?;
    let asks = world.env.in_is_terminal && !args.yes;
    let answers = ask::answers(args, asks.then_some(input), world.err)?;
    let files = files::files(&answers);
    place::free(&args.folder, &files)?;
    let order = files.iter().map(|(name, _)| name).find(|name| name.ends_with(".move.yaml"));
    let order = order.map_or("", String::as_str);
    // From here Ctrl-C no longer ends the process by itself.
    let watch = interrupt::watch();
    let mut planned = true;
    place::put(&args.folder, &files, |folder| {
        planned = has_plan(&folder.join(order), &watch)?;
        if watch.interrupted() {
            return Err(Failure::Usage("stopped; nothing was written".into()));
        }
        Ok(())
    })?;
    output::print(world.out, said(&args.folder, &files, order))?;
    if !planned {
        let note = "with these limits no plan was found; `split` says why, and what would make one";
        let _ = writeln!(world.err, "note: {note}");
    }
    Ok(Code::Ok)
}

/// Whether the kit has a plan; if it is not in order, that is our bug.
fn has_plan(path: &Path, watch: &Watch) -> Result<bool, Failure> {
    let bug = |faults: kit::Diagnostics| {
        let first = faults.iter().next().map_or(String::new(), |d| format!(": {}", d.message));
        Failure::Bug(format!("the first kit has faults{first}; nothing was written"))
    };
    let read = kit::read_move(path).map_err(bug)?;
    let options = Options { time: PATIENCE, ..Options::default() };
    Ok(matches!(split(&read.order, &options, watch).outcome, Outcome::Plan(_)))
}

fn said(folder: &Path, files: &[(String, String)], order: &str) -> String {
    let mut out = String::from("written:\n");
    for (name, _) in files {
        out.push_str(&format!("  {}\n", clean(&folder.join(name).display().to_string())));
    }
    let path = folder.join(order).display().to_string();
    let path = clean(&shell_words::quote(&path));
    out.push_str(&format!(
        "\nThe kit is invented: put your own things, people and limits into the files.\n{}\n\
         \nNext:\n  tumpline split {path}\n",
        wrap(CAUTION, 80, 0, true).join("\n")
    ));
    out
}

#[cfg(test)]
mod tests {
    use super::super::args::{Cli, Command};
    use super::super::env::{ColourChoice, Env};
    use super::*;
    use clap::Parser;
    use std::io::Cursor;

    fn ran(folder: &Path, flags: &[&str], typed: &str) -> (Result<Code, Failure>, String, String) {
        let args = ["tumpline", "start", folder.to_str().unwrap()];
        let args = args.iter().chain(flags);
        let Command::Start(args) = Cli::try_parse_from(args).unwrap().command else {
            panic!("not a start")
        };
        let env = Env { in_is_terminal: true, ..Env::default() };
        let (mut out, mut err) = (Vec::new(), Vec::new());
        let mut world =
            World { out: &mut out, err: &mut err, env: &env, colour: ColourChoice::Auto };
        let code = run_asking(&args, &mut world, &mut Cursor::new(typed.as_bytes()));
        let text = |bytes| String::from_utf8(bytes).unwrap();
        (code, text(out), text(err))
    }

    #[test]
    fn answers_are_asked_for_until_they_pass() {
        let base = tempfile::tempdir().unwrap();
        let folder = base.path().join("kit");
        let typed = "Up: the #1 hill\nmany\n2\nperhaps\nno\nimperial\n\n0 %\n20%\n";
        let (code, out, err) = ran(&folder, &[], typed);
        assert_eq!(code.unwrap(), Code::Ok);
        assert!(
            out.contains("up-the-1-hill.move.yaml")
                && out.contains(CAUTION.split(". ").next().unwrap())
        );
        for told in
            ["`many` is no such number", "write yes or no", "[165 lb]", "guidance", "up to 100 %"]
        {
            assert!(err.contains(told), "{told}: {err}");
        }
        let order = kit::read_move(&folder.join("up-the-1-hill.move.yaml")).unwrap().order;
        assert_eq!(order.name(), "Up: the #1 hill");
        assert_eq!((order.carriers().len(), order.store()), (2, None));
        let equipment = std::fs::read_to_string(folder.join("equipment.yaml")).unwrap();
        assert!(equipment.contains(" lb") && !equipment.contains("mass: 1.9 kg"), "{equipment}");
    }

    #[test]
    fn what_is_given_is_not_asked_and_an_early_end_leaves_nothing() {
        let base = tempfile::tempdir().unwrap();
        let folder = base.path().join("kit");
        for typed in ["", "Up", "Up\n", "Up\n3\nyes\nmetric\n75 kg\n"] {
            let (code, out, err) = ran(&folder, &[], typed);
            assert_eq!(code.unwrap_err().code(), Code::Usage);
            assert!(out.is_empty() && err.contains("What is the move called?"), "{err}");
            assert_eq!(std::fs::read_dir(base.path()).unwrap().count(), 0);
        }
        let flags = ["--name", "Up", "--people", "1", "--no-vehicle", "--units", "metric"];
        let (code, _, err) = ran(&folder, &[&flags[..], &["--body-mass", "80 kg"]].concat(), "\n");
        assert_eq!(code.unwrap(), Code::Ok);
        assert!(!err.contains("called") && err.contains("bear"), "{err}");
        let (code, _, err) = ran(&base.path().join("other"), &["--yes"], "");
        assert_eq!(code.unwrap(), Code::Ok);
        assert_eq!(err, "");
    }
}
