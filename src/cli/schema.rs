//! `tumpline schema KIND`: the JSON Schema of a kind of file.

use super::args::{Schema, SchemaKind};
use super::{Code, Failure, World, output};
use crate::kit::{self, FileKind};
use crate::report::{compare_schema, muster_schema, plan_schema, shed_schema, why_schema};

pub(super) fn run(args: &Schema, world: &mut World<'_>) -> Result<Code, Failure> {
    let text = match args.kind {
        SchemaKind::Equipment => pretty(FileKind::Equipment),
        SchemaKind::Carriers => pretty(FileKind::Carriers),
        SchemaKind::Move => pretty(FileKind::Move),
        SchemaKind::Weighed => pretty(FileKind::Weighed),
        SchemaKind::Stores => pretty(FileKind::Stores),
        SchemaKind::Plan => plan_schema(),
        SchemaKind::Why => why_schema(),
        SchemaKind::Shed => shed_schema(),
        SchemaKind::Compare => compare_schema(),
        SchemaKind::Muster => muster_schema(),
    };
    output::print(world.out, &text)?;
    Ok(Code::Ok)
}

fn pretty(kind: FileKind) -> String {
    format!("{:#}\n", kit::schema(kind))
}
