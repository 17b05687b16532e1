//! Workbooks as people keep them: a messy one is read, a faulty one told cell by
//! cell, a hostile one refused.
#![cfg(feature = "spreadsheets")]

use crate::common::folder::Folder;
use rust_xlsxwriter::{ExcelDateTime, Format, Formula, Workbook, Worksheet};
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use tumpline::kit::{Asked, CellsFrom, Imported, Said, SheetOf, import};
use tumpline::load::{Item, Way};
use tumpline::quantity::{Bulk, Mass, Units};

fn saved(book: &mut Workbook, folder: &Path) -> PathBuf {
    let path = folder.join("stock.xlsx");
    book.save(&path).unwrap();
    path
}

fn row(sheet: &mut Worksheet, row: u32, cells: &[&str]) {
    for (column, text) in (0..).zip(cells) {
        if !text.is_empty() {
            sheet.write_string(row, column, *text).unwrap();
        }
    }
}

fn read(book: &mut Workbook, asked: &Asked) -> Imported {
    let folder = Folder::new();
    import(&saved(book, folder.here()), asked)
}

fn item<'a>(found: &'a Imported, id: &str) -> &'a Item {
    let items =
        found.stock.as_ref().unwrap_or_else(|| panic!("{}", found.diagnostics)).items.iter();
    items.flatten().find(|i| i.id == id).unwrap_or_else(|| panic!("{}", found.yaml))
}

/// A title over the table, a merged header, blank rows and columns, headings,
/// hidden rows and sheets, numbers as text, blanks that do not break, decimal
/// commas, formulas, a row of sums. Invented.
fn messy() -> Workbook {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    sheet.set_name("Stores").unwrap();
    let bold = Format::new().set_bold();
    sheet.merge_range(0, 1, 0, 5, "Glacier party, stores (invented)", &bold).unwrap();
    sheet.write_string(1, 1, "checked in spring").unwrap();
    // Column A is empty, row 3 too.
    row(
        sheet,
        3,
        &[
            "",
            " DESCRIPTION ",
            "Weight [kg]",
            "Qty.",
            "Vol (L)",
            "Dimensions (cm)",
            "",
            "Ways",
            "Category",
            "Shelf",
        ],
    );
    row(sheet, 4, &["", "Ropes and tents"]);
    row(
        sheet,
        5,
        &["", "Rope\u{a0}60 m", "3,9", "2", "", "", "", "back / shoulder", "Ropes", "A1"],
    );
    sheet.write_number(6, 2, 4.3).unwrap();
    row(
        sheet,
        6,
        &["", "Tent for three", "", "", "", "55 x 18 x 18", "", "BACK; pair", "Camp", "A2"],
    );
    sheet.write_number(6, 3, 1).unwrap();
    row(sheet, 8, &["", "Écharpe", "350\u{a0}g", "12", "0,9", "", "note", "", "Camp", ""]);
    sheet.set_row_hidden(8).unwrap();
    row(sheet, 9, &["", "Stove", "", "1", "1.5 L", "", "", "back", "Camp", "B1"]);
    sheet.write_formula(9, 2, Formula::new("=0.45*2").set_result("0.9")).unwrap();
    row(sheet, 10, &["", "Écharpe", "1 lb 4 oz", "3.0", "", "", "", "", "", ""]);
    row(sheet, 12, &["", "Total"]);
    sheet.write_formula(12, 3, Formula::new("=SUM(D6:D11)").set_result("19")).unwrap();
    let old = book.add_worksheet();
    old.set_name("Old").unwrap().set_hidden(true);
    row(old, 0, &["Name", "Mass"]);
    book.add_worksheet().set_name("Empty").unwrap();
    book
}

#[test]
fn a_messy_workbook_is_read_and_nothing_of_it_lost() {
    let found = read(&mut messy(), &Asked::default());
    assert!(found.diagnostics.is_empty(), "{}", found.diagnostics);
    assert_eq!((found.count, found.header_row, found.of), (5, 4, Some(SheetOf::Equipment)));
    let rope = item(&found, "rope-60-m");
    assert_eq!((rope.name.as_str(), rope.mass, rope.held), ("Rope 60 m", Mass::from_g(3900), 2));
    assert_eq!(rope.ways.iter().collect::<Vec<_>>(), [Way::Back, Way::Shoulder]);
    assert_eq!(rope.tags, ["ropes"]);
    let tent = item(&found, "tent-for-three");
    assert_eq!((tent.mass, tent.held), (Mass::from_g(4300), 1));
    assert_eq!(tent.bulk, Bulk::from_ml(17_820));
    assert_eq!(item(&found, "echarpe").mass, Mass::from_g(350));
    // 1 lb 4 oz = 20 oz of 28.349523125 g exactly.
    assert_eq!(item(&found, "echarpe-2").mass, Mass::from_mg(566_990));
    assert_eq!(item(&found, "stove").mass, Mass::from_g(900));
    assert_eq!(item(&found, "stove").bulk, Bulk::from_ml(1500));
    for kept in [
        "# From stock.xlsx, sheet Stores, header in row 4",
        "# Above the header: Glacier party, stores (invented)",
        "# Above the header: checked in spring",
        "# Ropes and tents",
        "# Shelf: A1",
        "# column G: note",
        "# Total | 19",
    ] {
        assert!(found.yaml.contains(kept), "{kept} in\n{}", found.yaml);
    }
    assert_eq!(tumpline::kit::tidy_text("stock.yaml", &found.yaml).unwrap(), found.yaml);
    let notes = found.notes.join("\n");
    for told in [
        "hidden sheets are not read: `Old`",
        "hidden rows are read like the others: 9",
        "2 cells hold formulas",
        "row 5 holds one text alone, `Ropes and tents`",
        "row 13 is a row of totals (it starts with `Total`)",
        "5 ids are made of names: rope-60-m",
    ] {
        assert!(notes.contains(told), "{told} in\n{notes}");
    }
}

#[test]
fn every_fault_is_told_with_its_cell_in_one_run() {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    sheet.set_name("Stores").unwrap();
    row(sheet, 0, &["Id", "Mass (kg)", "Held", "Carry", "Requires", "Contents", "Supplies"]);
    row(sheet, 1, &["tent", "", "1", "bakc", "", "", ""]);
    let date = ExcelDateTime::from_ymd(2026, 5, 4).unwrap();
    let format = Format::new().set_num_format("yyyy-mm-dd");
    sheet.write_datetime_with_format(1, 1, &date, &format).unwrap();
    row(sheet, 2, &["rope", "1,234", "2.5", "back", "tnet x1", "", ""]);
    row(sheet, 3, &["rope", "heavy", "1", "", "", "", "power"]);
    row(sheet, 4, &["saw", "", "1", "", "", "saw x1", ""]);
    sheet.write_formula(4, 1, Formula::new("=1/0").set_result("#DIV/0!")).unwrap();
    row(sheet, 5, &["cup", "", "1"]);
    row(sheet, 6, &["Big Box", "-3"]);
    let merged = Format::new();
    sheet.merge_range(7, 1, 8, 1, "", &merged).unwrap();
    sheet.write_number_with_format(7, 1, 5, &merged).unwrap();
    row(sheet, 7, &["axe"]);
    row(sheet, 8, &["pick"]);
    row(sheet, 9, &["tools", "3 kg", "", "", "", "rope x2", "power 3 stone"]);
    let found = read(&mut book, &Asked::default());
    assert!(found.stock.is_none());
    let told = found.diagnostics.to_string();
    for part in [
        ", sheet Stores, B2",
        "the cell holds the date 2026-05-04",
        "sheet Stores, D2",
        "did you mean `back`?",
        "`1,234` can be 1.234 or 1234",
        "`held` has to be a whole number, not `2.5`",
        "sheet Stores, C3",
        "unknown item `tnet`",
        "sheet Stores, E3",
        "did you mean `tent`?",
        "two item ids are `rope`",
        "sheet Stores, A4",
        "`heavy` is not a number",
        "`power` says no amount",
        "the cell holds the error `#DIV/0!`",
        "sheet Stores, B5",
        "row 6 has no mass",
        "`-3` has a sign",
        "for instance `big-box`",
        "one cell is merged over the rows 8 to 9",
        "sheet Stores, B8",
        "sheet Stores, B9",
        "unknown unit `stone`",
    ] {
        assert!(told.contains(part), "{part} in\n{told}");
    }
}

#[test]
fn numbers_are_read_as_they_were_typed() {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    row(sheet, 0, &["id", "kind", "body-mass (kg)", "limit"]);
    let percent = Format::new().set_num_format("0%");
    for (at, (mass, share)) in (1..).zip([(70.1, 0.3), (80.35, 0.07), (0.1 + 0.2, 0.295)]) {
        row(sheet, at, &[&format!("p{at}"), "person"]);
        sheet.write_number(at, 2, mass).unwrap();
        sheet.write_number_with_format(at, 3, share, &percent).unwrap();
    }
    let found = read(&mut book, &Asked::default());
    let stock = found.stock.unwrap_or_else(|| panic!("{}", found.diagnostics));
    let people: Vec<_> = stock.carriers.iter().flatten().filter_map(|c| c.person()).collect();
    let masses: Vec<_> = people.iter().map(|p| p.body_mass.unwrap().mg()).collect();
    assert_eq!(masses, [70_100_000, 80_350_000, 300_000]);
    let shares: Vec<_> = people.iter().map(|p| p.limit_share.unwrap().ppm()).collect();
    assert_eq!(shares, [300_000, 70_000, 295_000]);
}

#[test]
fn sheets_and_columns_can_be_said() {
    let mut book = Workbook::new();
    for name in ["Here", "There"] {
        let sheet = book.add_worksheet();
        sheet.set_name(name).unwrap();
        row(sheet, 0, &["Thing", "Heft", "Number"]);
        row(sheet, 1, &[&format!("Box {name}"), "2", "4"]);
    }
    let found = read(&mut book, &Asked::default());
    let told = found.diagnostics.to_string();
    assert!(
        told.contains("2 sheets hold something") && told.contains("`Here` or `There`"),
        "{told}"
    );
    let sheet = Some("theer".to_string());
    let cells = CellsFrom { sheet, ..CellsFrom::default() };
    let told = read(&mut book, &Asked { cells, ..Asked::default() }).diagnostics.to_string();
    assert!(told.contains("did you mean `There`?"), "{told}");
    let said = ["Thing=name", "heft=mass:lb", "C=held"].map(|s| Said::read(s).unwrap());
    let sheet = Some("There".to_string());
    let cells = CellsFrom { sheet, ..CellsFrom::default() };
    let asked = Asked { cells, said: said.into(), ..Asked::default() };
    let found = read(&mut book, &asked);
    let item = item(&found, "box-there");
    assert_eq!((item.mass, item.held), (Mass::from_mg(907_185), 4));
    assert_eq!(found.stock.as_ref().unwrap().units, Units::Imperial);
    let wrong = Asked { said: vec![Said::read("Wieght=mass").unwrap()], ..asked };
    let told = read(&mut book, &wrong).diagnostics.to_string();
    assert!(told.contains("there is no column `Wieght`"), "{told}");
}

/// A ZIP file with these parts.
fn zipped(parts: &[(&str, &[u8])]) -> Vec<u8> {
    let mut zip = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    for (name, bytes) in parts {
        zip.start_file(*name, zip::write::SimpleFileOptions::default()).unwrap();
        zip.write_all(bytes).unwrap();
    }
    zip.finish().unwrap().into_inner()
}

fn refused(bytes: &[u8]) -> String {
    let folder = Folder::with("x.xlsx", bytes);
    let found = import(&folder.path("x.xlsx"), &Asked::default());
    assert!(found.stock.is_none());
    found.diagnostics.to_string()
}

#[test]
fn hostile_workbooks_are_refused_in_little_time_and_memory() {
    let start = std::time::Instant::now();
    let bomb = vec![b' '; 70 << 20];
    let told = refused(&zipped(&[("xl/worksheets/sheet1.xml", &bomb)]));
    assert!(told.contains("unfolds to more than 64 MiB"), "{told}");
    let folder = Folder::new();
    let good = fs::read(saved(&mut messy(), folder.here())).unwrap();
    // Room for so many texts would be made at once.
    let mut zip = zip::ZipArchive::new(std::io::Cursor::new(&good)).unwrap();
    let mut parts: Vec<(String, Vec<u8>)> = Vec::new();
    for i in 0..zip.len() {
        let mut part = zip.by_index(i).unwrap();
        let mut bytes = Vec::new();
        std::io::Read::read_to_end(&mut part, &mut bytes).unwrap();
        parts.push((part.name().unwrap().into_owned(), bytes));
    }
    let changed = |name: &str, from: &str, to: &str| {
        let parts: Vec<(&str, Vec<u8>)> = parts
            .iter()
            .map(|(n, b)| {
                let text = String::from_utf8_lossy(b);
                let b = if n == name { text.replace(from, to).into_bytes() } else { b.clone() };
                (n.as_str(), b)
            })
            .collect();
        zipped(&parts.iter().map(|(n, b)| (*n, b.as_slice())).collect::<Vec<_>>())
    };
    let told =
        refused(&changed("xl/sharedStrings.xml", "uniqueCount=\"", "uniqueCount=\"99999999999"));
    assert!(told.contains("announces 99999999999"), "{told}");
    // One cell at the far corner would be a sheet of 17 billion.
    let far = changed("xl/worksheets/sheet1.xml", "r=\"B6\"", "r=\"XFD1048576\"");
    let told = refused(&far);
    assert!(told.contains("larger than any list"), "{told}");
    assert!(refused(&good[..good.len() / 2]).contains("T1002"));
    assert!(refused(b"PK\x03\x04").contains("T1002"));
    assert!(refused(b"\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1").contains("old kind (XLS)"));
    assert!(
        refused(&zipped(&[("mimetype", b"application/vnd.oasis.opendocument.spreadsheet")]))
            .contains("T1002")
    );
    // Any one byte changed: read or refused, never worse.
    for at in (0..good.len()).step_by(good.len() / 60) {
        let mut bytes = good.clone();
        bytes[at] ^= 0x55;
        folder.write("x.xlsx", bytes);
        import(&folder.path("x.xlsx"), &Asked::default());
    }
    assert!(start.elapsed().as_secs() < 60, "{:?}", start.elapsed());
}
