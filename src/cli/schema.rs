//! `tumpline schema KIND`: the JSON Schema of a kind of file.

use super::args::{Schema, SchemaKind};
use super::{Code, Failure, World, files, output};
use crate::report::plan_schema;

pub(super) fn run(args: &Schema, world: &mut World<'_>) -> Result<Code, Failure> {
    let text = match args.kind {
        SchemaKind::Plan => plan_schema(),
        kind => files::schema(kind)?,
    };
    output::print(world.out, &text)?;
    Ok(Code::Ok)
}
