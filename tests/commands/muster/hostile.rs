//! Whatever people are called, no form of the report acts on it.

use super::stores;

const NAMES: [&str; 6] = [
    "=cmd|' /C calc'!A0",
    "<script>alert(1)</script>",
    "| a | `b` **c** [d](http://e)",
    "@SUM(A1)",
    "-1+1",
    "担架 Tragetuch 🧑‍🚒",
];

#[test]
fn hostile_names_are_inert_in_every_form() {
    for name in NAMES {
        let quoted = name.replace('\\', "\\\\").replace('"', "\\\"");
        let folder = stores("");
        let text = format!(
            "stores: \"{quoted}\"\nequipment:\n  - {{id: lamp, name: \"{quoted}\", mass: 1 kg, held: 4}}\n  \
             - {{id: bag, name: \"{quoted}\", mass: 1 kg, contents: {{lamp: 2}}}}\n\
             holdings: [{{id: lamp, held: 4, shelf: 1, issued: {{\"{quoted}\": 1}}, on-loan: {{\"{quoted}\": 1}}}}]\n"
        );
        folder.write("stores.yaml", &text);
        let guarded = name.replace('"', "\"\"");
        folder.write(
            "count.csv",
            format!("item,where,to,counted,by,note\nlamp,issued,\"{guarded}\",0,\"{guarded}\",\"\u{1b}[2J\u{202e}{guarded}\"\n"),
        );
        folder.write(
            "x.move.yaml",
            format!(
                "move: \"{quoted}\"\nequipment:\n  - {{id: lamp, name: \"{quoted}\", mass: 1 kg, held: 4}}\n  \
                 - {{id: bag, mass: 1 kg, contents: {{lamp: 2}}}}\ncarriers: {{people: [{{id: ann, limit: 9 kg}}]}}\n\
                 parties: {{up: {{travel: foot, who: [ann]}}}}\nneeds: {{up: [{{need: \"{quoted}\", item: {{lamp: 6}}}}]}}\n"
            ),
        );
        let args = ["--count", "@count.csv"];
        for format in ["table", "json", "csv", "markdown"] {
            let done = folder.muster(&[&args[..], &["--format", format]].concat());
            assert_eq!(done.err, "", "{name}");
            let bad = |c: char| c.is_control() && c != '\n' && c != '\r' || c == '\u{202e}';
            assert!(!done.out.contains(bad), "{format}: {:?}", done.out);
            if format == "markdown" {
                let acting =
                    ["\\<", "\\[", "\\*"].iter().fold(done.out, |o, mark| o.replace(mark, ""));
                assert!(!acting.contains(['<', '[']) && !acting.contains("**c"), "{acting}");
                continue;
            }
            if format == "csv" {
                no_formula(&done.out);
            }
        }
        #[cfg(feature = "spreadsheets")]
        {
            use calamine::{Data, Reader, Xlsx, open_workbook};
            let done = folder.muster(&[&args[..], &["-f", "xlsx", "-o", "@muster.xlsx"]].concat());
            assert_eq!(done.err, "");
            let mut book: Xlsx<_> = open_workbook(folder.path("muster.xlsx")).unwrap();
            for sheet in book.sheet_names() {
                let formulas = book.worksheet_formula(&sheet).unwrap();
                let formula = |f: &str| f.is_empty() || f.starts_with("SUM(");
                assert!(formulas.cells().all(|(_, _, f)| formula(f)), "{name}: {sheet}");
                let range = book.worksheet_range(&sheet).unwrap();
                let texts = range.cells().filter(|(_, _, d)| matches!(d, Data::String(_)));
                assert!(texts.count() > 3, "{name}: {sheet}");
            }
        }
        no_formula(&folder.muster(&["--blank-count"]).out);
        let paper = folder.muster(&["--blank-count", "--format", "markdown"]).out;
        assert!(!paper.replace("\\<", "").contains('<'), "{paper}");
        let write = ["--count", "@count.csv", "--write", "--yes"];
        let done = folder.muster(&write);
        assert!(done.err.contains("1 change written"), "{}", done.err);
        let journal = folder.read("stores.journal.csv");
        no_formula(&journal);
        assert!(!journal.contains(['\u{1b}', '\u{202e}']), "{journal:?}");
        assert_eq!(
            folder.mustered(&args)["count"]["differences"].as_array().map(Vec::len),
            Some(0)
        );
    }
}

fn no_formula(csv: &str) {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(csv.as_bytes());
    for row in reader.records() {
        for cell in &row.unwrap() {
            assert!(!cell.starts_with(['=', '+', '-', '@', '\t', '\r']), "{cell:?} in {csv}");
        }
    }
}
