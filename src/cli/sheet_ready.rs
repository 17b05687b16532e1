//! What a load sheet is made of, whether of a move or of a plan made before.

use super::args::Sheet as Asked;
use super::files::{self, Read};
use super::{Code, Failure};
use crate::kit;
use crate::load::{ItemIx, MoveOrder};
use crate::quantity::Mass;
use crate::split::{Planned, Stop};
use std::path::Path;

/// What a sheet can be made of.
pub(super) struct Ready {
    pub order: MoveOrder,
    pub planned: Planned,
    pub stopped: Option<Stop>,
    pub notes: Vec<String>,
    pub code: Code,
}

/// The measured masses, if a file of them is given.
pub(super) fn weighed(
    args: &Asked,
    read: &mut Read,
    colour: bool,
) -> Result<Option<Vec<(ItemIx, Mass)>>, Failure> {
    let Some(path) = &args.weighed else { return Ok(None) };
    let weighed = kit::read_weighed(path, &read.order).map_err(|d| files::failure(&d, colour))?;
    read.files.push(Path::to_path_buf(path));
    Ok(Some(weighed.masses))
}

/// That masses are measured, and how many differ from the catalogue.
pub(super) fn by_scales(order: &MoveOrder, masses: &[(ItemIx, Mass)]) -> String {
    let differ = masses.iter().filter(|(i, mass)| order.item(*i).mass != *mass).count();
    let kinds = if differ == 1 { "1 kind of thing weighs" } else { "kinds of things weigh" };
    let count = if differ == 1 { String::new() } else { format!("{differ} ") };
    format!("By the scales: {count}{kinds} other than the catalogue says.")
}
