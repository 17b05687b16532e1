//! Goldens of the report on a kit, and the workbook read back.

#[cfg(feature = "spreadsheets")]
use crate::common::folder::Folder;
use crate::common::folder::{Done, tumpline};
use insta::assert_snapshot;

const COUNT: [&str; 2] = ["--count", "kits/ridge-relay/count.csv"];

fn kit(args: &[&str]) -> Done {
    tumpline([&["muster", "kits/ridge-relay", "--time", "60s"], args].concat())
}

#[test]
fn every_form_reads_well() {
    for (name, args) in [
        ("table", vec![]),
        ("table_120", vec!["--width", "120", "--brief"]),
        ("table_ascii", vec!["--ascii", "--brief", "--width", "60", COUNT[0], COUNT[1]]),
        ("markdown", vec!["-f", "markdown", "--brief", COUNT[0], COUNT[1]]),
        ("csv", vec!["-f", "csv"]),
        ("json", vec!["-f", "json", COUNT[0], COUNT[1]]),
    ] {
        let done = kit(&args);
        assert_eq!(done.err, "", "{name}");
        assert_snapshot!(name, done.out);
        // The same again, byte for byte.
        assert_eq!(kit(&args).out, done.out, "{name}");
    }
}

#[test]
fn the_schema_is_fresh() {
    let schema = tumpline::report::muster_schema();
    let path = "kits/schema/muster.schema.json";
    if std::env::var_os("TUMPLINE_WRITE_SCHEMAS").is_some() {
        std::fs::write(path, &schema).unwrap();
    }
    let committed = std::fs::read_to_string(path).unwrap_or_default();
    assert!(committed == schema, "run with TUMPLINE_WRITE_SCHEMAS=1 and commit");
}

/// The numbers of the workbook are those of the JSON, its texts are texts, and
/// its totals are formulas with the right result.
#[cfg(feature = "spreadsheets")]
#[test]
fn the_workbook_says_the_same() {
    use calamine::{Data, Reader, Xlsx, open_workbook};
    let folder = Folder::new();
    let path = folder.at("muster.xlsx");
    kit(&["-f", "xlsx", "-o", &path, COUNT[0], COUNT[1]]).err("").out("");
    let mut book: Xlsx<_> = open_workbook(path).unwrap();
    assert_eq!(book.sheet_names(), ["Holdings", "Differences", "Cases", "Moves"]);
    let doc = kit(&["-f", "json", COUNT[0], COUNT[1]]).json();
    let sheet = book.worksheet_range("Holdings").unwrap();
    let rows: Vec<&[Data]> = sheet.rows().collect();
    let head = rows.iter().position(|r| r[0] == Data::String("Item".into())).unwrap();
    let column = |name: &str| {
        let is = |d: &Data| matches!(d, Data::String(s) if s.starts_with(name));
        rows[head].iter().position(is).unwrap()
    };
    let number = |row: &[Data], at: usize| match &row[at] {
        Data::Float(n) => *n,
        Data::Int(n) => *n as f64,
        other => panic!("{other:?}"),
    };
    let holdings = doc["holdings"].as_array().unwrap();
    for (row, holding) in rows[head + 1..].iter().zip(holdings) {
        assert_eq!(row[0], Data::String(holding["id"].as_str().unwrap().into()));
        for (name, key) in
            [("Scale", "scale"), ("Held", "held"), ("Fit", "fit"), ("Short of fit", "short_of_fit")]
        {
            assert_eq!(number(row, column(name)), holding[key].as_f64().unwrap(), "{holding}");
        }
        let kg = holding["mass_g"].as_f64().unwrap() / 1000.0;
        assert!((number(row, column("Mass held")) - kg).abs() < 1e-9);
    }
    // After an empty row.
    let total = rows[head + 2 + holdings.len()];
    assert_eq!(number(total, column("Held")), doc["totals"]["held"].as_f64().unwrap());
    let formulas = book.worksheet_formula("Holdings").unwrap();
    let summed: Vec<&String> =
        formulas.cells().map(|(_, _, f)| f).filter(|f| !f.is_empty()).collect();
    assert_eq!(summed.len(), 13, "{summed:?}");
    assert!(
        summed.iter().all(|f| f.starts_with("SUM(") || f.starts_with("SUBTOTAL(")),
        "{summed:?}"
    );
}
