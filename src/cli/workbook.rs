//! Reports as workbooks, where this build has them.

use super::{Env, Failure};
use crate::load::MoveOrder;
use crate::report::More;
use crate::report::list::Listing;
use crate::report::muster::Report;
use crate::split::Answer;
use std::path::Path;

/// What a build without the feature says.
#[cfg(not(feature = "spreadsheets"))]
const WITHOUT: &str = "this build has no spreadsheets: build it with the feature `spreadsheets`, or \
                       use CSV";

/// Whether a workbook can be written there: to a file or a pipe, for a terminal
/// has no use for its bytes.
pub(super) fn possible(output: Option<&Path>, env: &Env) -> Result<(), Failure> {
    #[cfg(not(feature = "spreadsheets"))]
    return {
        let _ = (output, env);
        Err(Failure::Usage(WITHOUT.into()))
    };
    #[cfg(feature = "spreadsheets")]
    if output.is_none() && env.out_is_terminal {
        let what = "a workbook is no text for a terminal: add `-o FILE.xlsx`, or send it to a file";
        return Err(Failure::Usage(what.into()));
    }
    #[cfg(feature = "spreadsheets")]
    Ok(())
}

pub(super) fn plan(order: &MoveOrder, answer: &Answer, more: &More) -> Result<Vec<u8>, Failure> {
    #[cfg(feature = "spreadsheets")]
    return crate::report::workbook(order, answer, more).map_err(Failure::Usage);
    #[cfg(not(feature = "spreadsheets"))]
    {
        let _ = (order, answer, more);
        Err(Failure::Usage(WITHOUT.into()))
    }
}

pub(super) fn list(listing: &Listing) -> Result<Vec<u8>, Failure> {
    #[cfg(feature = "spreadsheets")]
    return crate::report::list::workbook(listing).map_err(Failure::Usage);
    #[cfg(not(feature = "spreadsheets"))]
    {
        let _ = listing;
        Err(Failure::Usage(WITHOUT.into()))
    }
}

pub(super) fn muster(report: &Report<'_>) -> Result<Vec<u8>, Failure> {
    #[cfg(feature = "spreadsheets")]
    return crate::report::muster::workbook(report).map_err(Failure::Usage);
    #[cfg(not(feature = "spreadsheets"))]
    {
        let _ = report;
        Err(Failure::Usage(WITHOUT.into()))
    }
}
