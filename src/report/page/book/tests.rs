use super::names::legal;
use crate::load::Share;
use crate::quantity::{Bulk, Mass, Units};
use crate::report::page::{ALL, Column, Kind, Page, Table, heading, para};
use calamine::{Data, Reader, Xlsx};
use std::io::Cursor;
use tumpline_core::text::clean;

const HOSTILE: [&str; 9] = [
    "=cmd|' /C calc'!A0",
    "+1",
    "-2+3",
    "@SUM(A1)",
    "\t=1",
    "http://example.org/",
    "12",
    "{=1}",
    "_x0041_\u{1b}[31m\u{202e}",
];

fn read(page: &Page) -> Xlsx<Cursor<Vec<u8>>> {
    Xlsx::new(Cursor::new(page.workbook().unwrap())).unwrap()
}

/// A workbook with one sheet.
fn book(title: &str, units: Units, sheet: &str, table: Table) -> Page<'static> {
    let mut page = Page::new(title, units);
    page.section(ALL, sheet, table);
    page
}

fn loads() -> Page<'static> {
    let mut page = Page::new("Relay to the =ridge", Units::Metric);
    let limit = Mass::from_g(24_000);
    let table = Table::of([("Ann", 100_001, 1, 3u32), ("Bo", 200_002, 2, 4)])
        .col(Column::text("carrier"), |(name, ..)| *name)
        .col(Column::mass("load").summed(), |(_, mg, ..)| Mass::from_mg(*mg))
        .col(Column::bulk("pack").summed(), |(_, _, ml, _)| Bulk::from_ml(*ml))
        .col(Column::count("things").summed(), |(.., n)| *n)
        .col(Column::new("share", Kind::Share), |(_, mg, ..)| Share {
            load: Mass::from_mg(*mg),
            limit,
        });
    page.push(heading("Loads"));
    page.push(para("invented"));
    page.push(table.done().total("Total"));
    page
}

#[test]
fn numbers_are_numbers_and_totals_are_formulas_with_their_result() {
    let mut file = read(&loads());
    let range = file.worksheet_range("Loads").unwrap();
    assert_eq!(range.get_value((0, 0)), Some(&Data::String("Relay to the =ridge".into())));
    assert_eq!(range.get_value((1, 0)), Some(&Data::String("invented".into())));
    assert_eq!(range.get_value((3, 1)), Some(&Data::String("Load (kg)".into())));
    assert_eq!(range.get_value((4, 1)), Some(&Data::Float(0.100_001)));
    assert_eq!(range.get_value((5, 2)), Some(&Data::Float(0.002)));
    assert_eq!(range.get_value((4, 4)), Some(&Data::Float(0.005)));
    // 0.100001 + 0.200002 in floats is not 0.300003; from whole milligrams it is.
    assert_eq!(range.get_value((7, 1)), Some(&Data::Float(0.300_003)));
    assert_eq!(range.get_value((7, 3)), Some(&Data::Float(7.0)));
    let formulas = file.worksheet_formula("Loads").unwrap();
    assert_eq!(formulas.get_value((7, 1)).map(String::as_str), Some("SUM(B5:B6)"));
    assert_eq!(formulas.get_value((7, 0)).map_or("", String::as_str), "");
}

#[test]
fn the_same_sheets_give_the_same_bytes() {
    let first = loads().workbook().unwrap();
    std::thread::sleep(std::time::Duration::from_millis(1100));
    assert!(first == loads().workbook().unwrap());
}

#[test]
fn what_a_user_typed_is_text_and_nothing_else() {
    let mut page = Page::new("=1+1", Units::Metric);
    // Even in a column of numbers.
    let table = Table::of(HOSTILE)
        .col(Column::text("=3"), |text| *text)
        .col(Column::mass("n"), |text| *text);
    page.push(heading("=1"));
    page.push(para("=2"));
    page.push(table.done());
    let mut file = read(&page);
    let range = file.worksheet_range("=1").unwrap();
    for (row, text) in HOSTILE.iter().enumerate() {
        for column in 0..2 {
            let at = (4 + row as u32, column);
            assert_eq!(range.get_value(at), Some(&Data::String(clean(text))), "{text}");
        }
    }
    let formulas = file.worksheet_formula("=1").unwrap();
    assert!(formulas.used_cells().all(|(_, _, f)| f.is_empty()));
}

#[test]
fn text_is_cut_at_what_a_cell_holds_and_says_so() {
    for text in ["x".repeat(40_000), "🧭".repeat(20_000)] {
        let table = Table::of([text]).col(Column::text("c"), |text| text.clone()).done();
        let range = read(&book("t", Units::Metric, "s", table)).worksheet_range("s").unwrap();
        let Some(Data::String(cut)) = range.get_value((3, 0)) else { panic!("no text") };
        let length = cut.encode_utf16().count();
        assert!((32_760..=32_767).contains(&length) && cut.ends_with("… (cut)"), "{length}");
    }
}

#[test]
fn pounds_are_pounds_and_read_back_to_the_milligram() {
    let masses = [453_592_370, 1, 999_999_999, 28_349_523, 100_000_000_000].map(Mass::from_mg);
    let table = Table::of(masses).col(Column::mass("mass").summed(), |m| *m).done().total("Total");
    let range = read(&book("t", Units::Imperial, "s", table)).worksheet_range("s").unwrap();
    assert_eq!(range.get_value((2, 0)), Some(&Data::String("Mass (lb)".into())));
    assert_eq!(range.get_value((3, 0)), Some(&Data::Float(1000.0)));
    for (row, mass) in masses.iter().enumerate() {
        let Some(Data::Float(lb)) = range.get_value((3 + row as u32, 0)) else { panic!("{mass}") };
        assert_eq!(format!("{lb:.12} lb").parse(), Ok(*mass));
    }
}

#[test]
fn names_of_sheets_are_legal_and_unlike_each_other() {
    let mut taken: Vec<String> = Vec::new();
    for wanted in
        ["", "a/b:c", "'x'", "History", "Loads", "loads", "LOADS", &"y".repeat(40), &"y".repeat(50)]
    {
        let name = legal(wanted, &taken);
        assert!(!taken.iter().any(|t| t.to_lowercase() == name.to_lowercase()), "{name}");
        taken.push(name);
    }
    let expected = ["Sheet", "a-b-c", "x", "History of the move", "Loads", "loads 2", "LOADS 3"];
    assert_eq!(taken[..7], expected);
    let mut page = Page::new("t", Units::Metric);
    taken.iter().chain(&taken).for_each(|name| {
        page.push(heading(name));
        page.push(para("x"));
    });
    assert_eq!(read(&page).sheet_names().len(), 2 * taken.len());
}

#[test]
fn a_book_without_sheets_or_rows_opens_all_the_same() {
    assert_eq!(read(&Page::new("t", Units::Metric)).sheet_names().len(), 1);
    let columns = vec![Column::text("c"), Column::mass("m").summed()];
    let table = Table { columns, ..Table::default() }.total("Total");
    read(&book("t", Units::Metric, "s", table)).worksheet_range("s").unwrap();
}
