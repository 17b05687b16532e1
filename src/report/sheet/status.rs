//! How good the plan of a sheet is known to be.

use super::Sheet;
use super::parts::text;
use crate::report::{known, words};

/// The status of the plan in words, a sentence or more each.
pub(super) fn status(sheet: &Sheet) -> Vec<String> {
    let mut out = vec![known::verdict(sheet.planned, sheet.order.units())];
    // How long it took is left out: the same plan prints the same bytes.
    out.extend(sheet.stopped.map(|stop| known::stopped_whenever(stop, sheet.planned)));
    out.push(words::checks(sheet.planned));
    out.extend(sheet.notes.iter().map(|n| text(n)));
    out
}
