//! A count comes in every form that `import` takes, and says the same in each.

use super::stores;
use crate::common::folder::Folder;

const STORES: &str = "holdings: [{id: lamp, held: 4, shelf: 3, issued: {René: 1}}]\n";
const ROWS: &[[&str; 6]] = &[
    ["item", "where", "to", "case", "counted", "note"],
    ["lamp", "shelf", "", "", "2", "one, maybe two; früh"],
    ["lamp", "issued", "René", "", "1", ""],
    ["tape", "", "", "bag 1 / pouch 1", "1", "=1+1"],
];

fn csv(separator: char) -> String {
    let cell = |text: &&str| {
        if text.contains([separator, ' ']) { format!("\"{text}\"") } else { text.to_string() }
    };
    let row = |row: &[&str; 6]| {
        row.iter().map(cell).collect::<Vec<_>>().join(&separator.to_string()) + "\n"
    };
    ROWS.iter().map(row).collect()
}

/// What the count in this file comes to.
fn told(folder: &Folder, args: &[&str]) -> String {
    let done = folder.muster(&[args, &["--no-moves", "--format", "json"]].concat());
    assert_eq!((done.code, done.err.as_str()), (1, ""), "{args:?}");
    done.out
}

#[test]
fn separators_encodings_and_titles() {
    let folder = stores(STORES);
    folder.write("count.csv", csv(','));
    let meant = told(&folder, &["--count", "@count.csv"]);
    let tape = &serde_json::from_str::<serde_json::Value>(&meant).unwrap()["count"];
    assert_eq!(tape["differences"].as_array().map(Vec::len), Some(2), "{tape}");
    for (what, text) in [
        ("semicolons", csv(';')),
        ("tabs", csv('\t')),
        ("bars", csv('|')),
        ("semicolons, as its first line says", format!("sep=;\n{}", csv(';'))),
        ("a caret, as its first line says", format!("sep=^\r\n{}", csv('^'))),
        ("a byte order mark", format!("\u{feff}{}", csv(','))),
        ("titles above", format!("Store of the relay\n\nCounted in May;;\n{}", csv(';'))),
    ] {
        folder.write("other.csv", &text);
        assert_eq!(told(&folder, &["--count", "@other.csv"]), meant, "{what}");
    }
    // Windows-1252 has the code points of Latin-1 here (from memory).
    let western: Vec<u8> = csv(';').chars().map(|c| u8::try_from(u32::from(c)).unwrap()).collect();
    std::fs::write(folder.path("western.csv"), western).unwrap();
    let done = folder.muster(&["--count", "@western.csv"]);
    assert_eq!(done.code, 3);
    assert!(done.err.contains("--encoding windows-1252"), "{}", done.err);
    let args = ["--count", "@western.csv", "--encoding", "windows-1252"];
    assert_eq!(told(&folder, &args), meant);
    folder.write("odd.csv", "item;x,counted\n\"lamp\";\"a\",\"1\"\n");
    let done = folder.muster(&["--count", "@odd.csv", "--separator", "comma"]);
    assert!(done.err.contains("there is no column `item`"), "{}", done.err);
    let done = folder.muster(&["--count", "@count.csv", "--sheet", "May"]);
    assert!(done.err.contains("is no workbook"), "{}", done.err);
}

#[cfg(feature = "spreadsheets")]
#[test]
fn workbooks() {
    use rust_xlsxwriter::{Format, Workbook};
    let folder = stores(STORES);
    folder.write("count.csv", csv(','));
    let meant = told(&folder, &["--count", "@count.csv"]);
    let mut book = Workbook::new();
    let sheet = book.add_worksheet().set_name("May").unwrap();
    sheet.write(0, 0, "Counted in May").unwrap();
    for (row, cells) in (2..).zip(ROWS) {
        for (column, text) in (0..).zip(cells).filter(|(_, text)| !text.is_empty()) {
            match text.parse::<u32>() {
                Ok(number) => sheet.write(row, column, number).unwrap(),
                Err(_) => sheet.write_string(row, column, *text).unwrap(),
            };
        }
    }
    book.save(folder.path("count.xlsx")).unwrap();
    assert_eq!(told(&folder, &["--count", "@count.xlsx"]), meant);
    // Two sheets hold something: which one is meant has to be said.
    let other = book.add_worksheet().set_name("June").unwrap();
    other.write(0, 0, "item").unwrap();
    other.write(0, 1, "counted").unwrap();
    other.write(1, 0, "lamp").unwrap();
    other.merge_range(1, 1, 2, 1, "3", &Format::new()).unwrap();
    other.write(2, 0, "rope").unwrap();
    book.save(folder.path("count.xlsx")).unwrap();
    let done = folder.muster(&["--count", "@count.xlsx"]);
    assert_eq!(done.code, 3);
    assert!(done.err.contains("say which by `--sheet`: `May` or `June`"), "{}", done.err);
    assert_eq!(told(&folder, &["--count", "@count.xlsx", "--sheet", "may"]), meant);
    let done = folder.muster(&["--count", "@count.xlsx", "--sheet", "June"]);
    assert_eq!(done.code, 3);
    assert!(done.err.contains("merged over the rows 2 to 3"), "{}", done.err);
    assert!(done.err.contains("sheet June, B2"), "{}", done.err);
}
