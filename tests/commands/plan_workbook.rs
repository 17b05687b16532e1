//! Plans as workbooks, read back by another library.
#![cfg(feature = "spreadsheets")]

use crate::common::folder::{Folder, tumpline};
use crate::fixture;
use calamine::{Data, Reader, Xlsx};
use std::io::Cursor;
use tumpline::load::MoveOrder;
use tumpline::report::{CAUTION, More, workbook};
use tumpline::split::{Answer, Outcome};

fn book(order: &MoveOrder, answer: &Answer, more: &More) -> Xlsx<Cursor<Vec<u8>>> {
    Xlsx::new(Cursor::new(workbook(order, answer, more).unwrap())).unwrap()
}

/// Every cell that is no number, and every formula.
fn all(book: &mut Xlsx<Cursor<Vec<u8>>>) -> (Vec<Data>, Vec<String>) {
    let (mut cells, mut formulas) = (Vec::new(), Vec::new());
    for name in book.sheet_names() {
        let range = book.worksheet_range(&name).unwrap();
        cells.extend(range.used_cells().map(|(_, _, c)| c.clone()));
        let range = book.worksheet_formula(&name).unwrap();
        formulas.extend(range.used_cells().map(|(_, _, f)| f.clone()));
    }
    formulas.retain(|f| !f.is_empty());
    (cells, formulas)
}

#[test]
fn every_answer_is_a_workbook_with_its_cautions() {
    let order = fixture::order();
    let answers = [
        fixture::with_plan(),
        fixture::proven(),
        fixture::feasible(),
        fixture::no_plan(),
        fixture::none_found(),
    ];
    for answer in answers {
        let mut book = book(&order, &answer, &More::default());
        let (cells, _) = all(&mut book);
        assert!(cells.contains(&Data::String(CAUTION.into())));
        let planned = matches!(answer.outcome, Outcome::Plan(_));
        assert_eq!(book.sheet_names().contains(&"Who carries what".to_string()), planned);
    }
}

#[test]
fn a_plan_has_its_numbers_and_sums() {
    let order = fixture::order();
    let answer = fixture::with_plan();
    let mut book = book(&order, &answer, &More::default());
    let names = [
        "Loads",
        "Who carries what",
        "Needs",
        "Supplies",
        "Wants",
        "What stays",
        "Goals and status",
        "Cautions",
    ];
    assert_eq!(book.sheet_names(), names);
    let Outcome::Plan(planned) = &answer.outcome else { panic!() };
    let loads = book.worksheet_range("Loads").unwrap();
    let head = loads.rows().position(|r| r.contains(&Data::String("Load (kg)".into()))).unwrap();
    let column = loads.rows().nth(head).unwrap().iter();
    let column = column.clone().position(|c| *c == Data::String("Load (kg)".into())).unwrap();
    let mut sum = 0;
    for (k, c) in planned.findings.carriers.iter().enumerate() {
        let cell = &loads.rows().nth(head + 1 + k).unwrap()[column];
        if *cell != Data::Empty {
            assert_eq!(*cell, Data::Float(c.load.mg() as f64 / 1e6));
            sum += c.load.mg();
        }
    }
    let last = loads.rows().next_back().unwrap();
    assert_eq!(last[column], Data::Float(sum as f64 / 1e6));
    assert_eq!(last[0], Data::String("Total".into()));
    let (_, formulas) = all(&mut book);
    assert!(formulas.len() >= 5 && formulas.iter().all(|f| f.starts_with("SUM(")), "{formulas:?}");
}

#[test]
fn conditions_have_their_sheets() {
    let (order, answer, prices, survival) = fixture::under_conditions(fixture::order());
    let more = More { prices: &prices, survival: Some(&survival), ..More::default() };
    let names = book(&order, &answer, &more).sheet_names();
    for name in ["If one drops out", "Price of the tolerance"] {
        assert!(names.contains(&name.to_string()), "{names:?}");
    }
}

#[test]
fn hostile_names_are_texts_and_never_formulas() {
    let order = fixture::hostile_order();
    let (order, answer, prices, survival) = fixture::under_conditions(order);
    let more = More { prices: &prices, survival: Some(&survival), ..More::default() };
    let mut book = book(&order, &answer, &more);
    let (cells, formulas) = all(&mut book);
    assert!(formulas.iter().all(|f| f.starts_with("SUM(") && f.len() < 20), "{formulas:?}");
    let texts: Vec<&String> =
        cells.iter().filter_map(|c| if let Data::String(t) = c { Some(t) } else { None }).collect();
    let names = order.catalogue().items().map(|(_, i)| tumpline::text::clean(&i.name));
    for name in names {
        assert!(texts.iter().any(|t| **t == name), "{name}");
    }
    assert!(texts.iter().all(|t| !t.chars().any(char::is_control)));
    let kinds = |c: &Data| matches!(c, Data::String(_) | Data::Float(_) | Data::Empty);
    assert!(cells.iter().all(kinds));
}

#[test]
fn the_same_plan_gives_the_same_bytes_and_columns_are_picked() {
    let order = fixture::order();
    let answer = fixture::with_plan();
    let first = workbook(&order, &answer, &More::default()).unwrap();
    assert!(first == workbook(&order, &answer, &More::default()).unwrap());
    let more = More { columns: &[4, 9, 2], ..More::default() };
    let range = book(&order, &answer, &more).worksheet_range("Who carries what").unwrap();
    let head = ["Item", "Mass (kg)", "Carrier"].map(|t| Data::String(t.into()));
    assert!(range.rows().any(|r| r == head));
}

const RELAY: &str = "kits/ridge-relay";

#[test]
fn the_command_writes_workbooks_and_never_to_a_terminal() {
    let folder = Folder::new();
    let to = folder.at("plan.xlsx");
    let kit = "kits/day-walk/day-walk.move.yaml";
    tumpline(["split", kit, "-f", "xlsx", "-o", &to]).code(0).out("");
    let plan = std::fs::read(&to).unwrap();
    assert!(plan.starts_with(b"PK\x03\x04"));
    let piped = tumpline(["list", RELAY, "-f", "xlsx"]).code(0);
    assert!(piped.bytes.starts_with(b"PK\x03\x04"));
    let env = tumpline::cli::Env { out_is_terminal: true, ..Default::default() };
    for args in [&["split", "x", "-f", "xlsx"][..], &["list", RELAY, "-f", "xlsx"]] {
        let args = ["tumpline"].iter().chain(args).map(Into::into);
        let (mut out, mut err) = (Vec::new(), Vec::new());
        let code = tumpline::cli::run(args, &mut out, &mut err, &env);
        assert_eq!(code, tumpline::cli::Code::Usage);
        assert!(out.is_empty() && String::from_utf8_lossy(&err).contains("-o FILE.xlsx"));
    }
}
