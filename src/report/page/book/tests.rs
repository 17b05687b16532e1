use super::names::legal;
use super::*;
use crate::load::Share;
use crate::quantity::{Bulk, Mass};
use calamine::{Data, Reader, Xlsx};
use std::io::Cursor;

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

fn read(book: &Book) -> Xlsx<Cursor<Vec<u8>>> {
    Xlsx::new(Cursor::new(book.bytes().unwrap())).unwrap()
}

fn loads() -> Book {
    let mut book = Book::new("Relay to the =ridge", Units::Metric);
    let mut sheet = Sheet::new("Loads")
        .note("invented")
        .column("Carrier", Kind::Text)
        .summed("Load", Kind::Mass)
        .summed("Pack", Kind::Bulk)
        .summed("Things", Kind::Count)
        .column("Share", Kind::Share)
        .total("Total");
    let limit = Mass::from_g(24_000);
    for (name, mg, ml, n) in [("Ann", 100_001, 1, 3), ("Bo", 200_002, 2, 4)] {
        let load = Mass::from_mg(mg);
        sheet.row(vec![
            Cell::text(name),
            Cell::Mass(load),
            Cell::Bulk(Bulk::from_ml(ml)),
            Cell::Count(n),
            Cell::Share(Share { load, limit }),
        ]);
    }
    book.sheet(sheet);
    book
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
    let first = loads().bytes().unwrap();
    std::thread::sleep(std::time::Duration::from_millis(1100));
    assert!(first == loads().bytes().unwrap());
}

#[test]
fn what_a_user_typed_is_text_and_nothing_else() {
    let mut book = Book::new("=1+1", Units::Metric);
    let mut sheet = Sheet::new("=1").note("=2").column("=3", Kind::Text).column("n", Kind::Mass);
    for text in HOSTILE {
        // Even in a column of numbers.
        sheet.row(vec![Cell::text(text), Cell::text(text)]);
    }
    book.sheet(sheet);
    let mut file = read(&book);
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
        let mut book = Book::new("t", Units::Metric);
        let mut sheet = Sheet::new("s").column("c", Kind::Text);
        sheet.row(vec![Cell::text(text)]);
        book.sheet(sheet);
        let range = read(&book).worksheet_range("s").unwrap();
        let Some(Data::String(cut)) = range.get_value((3, 0)) else { panic!("no text") };
        let length = cut.encode_utf16().count();
        assert!((32_760..=32_767).contains(&length) && cut.ends_with("… (cut)"), "{length}");
    }
}

#[test]
fn pounds_are_pounds_and_read_back_to_the_milligram() {
    let mut book = Book::new("t", Units::Imperial);
    let mut sheet = Sheet::new("s").summed("Mass", Kind::Mass).total("Total");
    let masses = [453_592_370, 1, 999_999_999, 28_349_523, 100_000_000_000];
    masses.iter().for_each(|mg| sheet.row(vec![Cell::Mass(Mass::from_mg(*mg))]));
    book.sheet(sheet);
    let range = read(&book).worksheet_range("s").unwrap();
    assert_eq!(range.get_value((2, 0)), Some(&Data::String("Mass (lb)".into())));
    assert_eq!(range.get_value((3, 0)), Some(&Data::Float(1000.0)));
    for (row, mg) in masses.iter().enumerate() {
        let Some(Data::Float(lb)) = range.get_value((3 + row as u32, 0)) else { panic!("{mg}") };
        assert_eq!(format!("{lb:.12} lb").parse(), Ok(Mass::from_mg(*mg)));
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
    let mut book = Book::new("t", Units::Metric);
    taken.iter().chain(&taken).for_each(|name| book.sheet(Sheet::new(name)));
    assert_eq!(read(&book).sheet_names().len(), 2 * taken.len());
}

#[test]
fn a_book_without_sheets_or_rows_opens_all_the_same() {
    assert_eq!(read(&Book::new("t", Units::Metric)).sheet_names().len(), 1);
    let mut book = Book::new("t", Units::Metric);
    book.sheet(Sheet::new("s").column("c", Kind::Text).summed("m", Kind::Mass).total("Total"));
    read(&book).worksheet_range("s").unwrap();
}
