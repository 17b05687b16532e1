//! `tumpline import`.

use crate::cli::exit::CODES;
use crate::kit::{CellsFrom, Decimal, Said, SheetOf};
use clap::{Args, ValueEnum};
use std::path::PathBuf;

#[derive(Debug, Args)]
#[command(after_long_help = CODES)]
pub(crate) struct Import {
    /// A CSV file or a workbook (XLSX)
    #[arg(value_name = "FILE")]
    pub path: PathBuf,

    /// The sheet of a workbook, where several hold something
    #[arg(long, value_name = "NAME")]
    pub sheet: Option<String>,

    /// What the rows are; otherwise the header tells
    #[arg(long = "as", value_name = "KIND", value_enum)]
    pub of: Option<SheetChoice>,

    /// What a column becomes, as in `Weight=mass` or `Weight=mass:kg`; `F=-`
    /// leaves column F over; may be given several times
    #[arg(long = "map", value_name = "COLUMN=KEY", value_parser = told_map)]
    pub said: Vec<Said>,

    /// The row of the header, if it is not found
    #[arg(long, value_name = "ROW")]
    pub header: Option<usize>,

    /// Which sign is decimal, where `1,234` can be read in two ways
    #[arg(long, value_name = "SIGN", value_enum)]
    pub decimal: Option<DecimalChoice>,

    /// What parts the cells of a CSV file; otherwise the text tells
    #[arg(long, value_name = "SIGN", value_enum)]
    pub separator: Option<SeparatorChoice>,

    /// How the bytes of a CSV file are to be read
    #[arg(long, value_name = "NAME", value_enum, default_value_t)]
    pub encoding: EncodingChoice,

    /// The file to write, with `--write`
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,

    /// Write the file; otherwise it is only shown what would be written
    #[arg(long, requires = "output")]
    pub write: bool,

    /// Write over a file that is there
    #[arg(long, requires = "write")]
    pub replace: bool,
}

fn told_map(text: &str) -> Result<Said, String> {
    Said::read(text)
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum SheetChoice {
    /// Items
    Equipment,
    /// People and vehicles
    Carriers,
}

impl From<SheetChoice> for SheetOf {
    fn from(choice: SheetChoice) -> SheetOf {
        match choice {
            SheetChoice::Equipment => SheetOf::Equipment,
            SheetChoice::Carriers => SheetOf::Carriers,
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum DecimalChoice {
    /// `1,234` is a little over one
    Comma,
    /// `1,234` is over a thousand
    Point,
}

impl From<DecimalChoice> for Decimal {
    fn from(choice: DecimalChoice) -> Decimal {
        match choice {
            DecimalChoice::Comma => Decimal::Comma,
            DecimalChoice::Point => Decimal::Point,
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum SeparatorChoice {
    Comma,
    Semicolon,
    Tab,
}

impl SeparatorChoice {
    fn byte(self) -> u8 {
        match self {
            SeparatorChoice::Comma => b',',
            SeparatorChoice::Semicolon => b';',
            SeparatorChoice::Tab => b'\t',
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub(crate) enum EncodingChoice {
    #[default]
    #[value(name = "utf-8")]
    Utf8,
    /// What older spreadsheets write: Latin-1 and a few more signs
    #[value(name = "windows-1252")]
    Western,
}

/// How cells are to be read, by what is said of it on the command line.
pub(crate) fn cells_from(
    sheet: Option<&str>,
    separator: Option<SeparatorChoice>,
    encoding: EncodingChoice,
) -> CellsFrom {
    CellsFrom {
        sheet: sheet.map(str::to_string),
        separator: separator.map(SeparatorChoice::byte),
        western: encoding == EncodingChoice::Western,
    }
}
