//! Commands as they are typed, and the reports that they print.

#[path = "../common/mod.rs"]
mod common;
#[path = "../fixture/mod.rs"]
mod fixture;

mod after_a_change;
mod careful;
mod command_line;
mod compare_command;
mod examples;
mod guide;
mod hostile_names;
mod muster;
mod pager;
mod plan_workbook;
mod readme;
mod reports;
mod same_bytes;
mod shed_command;
mod split_command;
mod start_command;
mod tidy_command;
mod why;
