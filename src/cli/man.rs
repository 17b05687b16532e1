//! `tumpline man`: the manual page in roff.

use super::args::{Cli, Man};
use super::{Code, Failure, World, output};
use clap::CommandFactory;

pub(super) fn run(args: &Man, world: &mut World<'_>) -> Result<Code, Failure> {
    let mut cli = Cli::command().disable_help_subcommand(true);
    cli.build();
    let command = match &args.command {
        None => cli,
        Some(name) => match cli.find_subcommand(name) {
            Some(command) => command.clone().version(env!("CARGO_PKG_VERSION")),
            None => return Err(unknown(&cli, name)),
        },
    };
    let mut page = Vec::new();
    clap_mangen::Man::new(command)
        .render(&mut page)
        .map_err(|error| Failure::Write { path: None, error })?;
    // Examples and exit codes are laid out already.
    let page = String::from_utf8_lossy(&page).replace(".SH EXTRA\n", ".SH NOTES\n.nf\n");
    let page = page.replace("\n.SH VERSION", "\n.fi\n.SH VERSION");
    output::print(world.out, &page)?;
    Ok(Code::Ok)
}

fn unknown(cli: &clap::Command, name: &str) -> Failure {
    let known: Vec<String> =
        cli.get_subcommands().map(clap::Command::get_name).map(|n| format!("`{n}`")).collect();
    let name = tumpline_core::text::clean(name);
    Failure::Usage(format!("there is no command `{name}`; the commands are {}", known.join(", ")))
}
