//! Shared by the tests: a random source, move orders built in code, and an
//! enumeration of every plan of a small move.
#![allow(dead_code, reason = "each test file uses its own part")]

pub mod cases;
pub mod enumerate;
pub mod folder;
pub mod random_move;
pub mod repacked;
