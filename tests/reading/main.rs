//! What files mean, what is wrong with them, and that they come back as they were.

#[path = "../common/mod.rs"]
mod common;

mod faults;
mod hostile;
mod import_workbook;
mod kits;
mod no_plan;
mod reading;
mod round_trip;
mod rules_as_read;
mod schema;
mod spreadsheets;
mod tidy;
