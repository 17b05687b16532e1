use std::process::ExitCode;

fn main() -> ExitCode {
    tumpline::cli::main().into()
}
