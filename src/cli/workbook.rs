//! Reports as workbooks, where this build has them.

use super::{Env, Failure};
use std::path::Path;

/// Whether a workbook can be written there: to a file or a pipe, for a terminal
/// has no use for its bytes.
pub(super) fn possible(output: Option<&Path>, env: &Env) -> Result<(), Failure> {
    #[cfg(not(feature = "spreadsheets"))]
    return {
        let _ = (output, env);
        Err(Failure::Usage(crate::report::NO_WORKBOOKS.into()))
    };
    #[cfg(feature = "spreadsheets")]
    if output.is_none() && env.out_is_terminal {
        let what = "a workbook is no text for a terminal: add `-o FILE.xlsx`, or send it to a file";
        return Err(Failure::Usage(what.into()));
    }
    #[cfg(feature = "spreadsheets")]
    Ok(())
}
