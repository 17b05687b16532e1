//! One page with every kind of block and cell, and with text that would act, in
//! all forms.

use super::*;
use crate::load::Share;
use crate::quantity::{Amount, Bulk, Dimension, Mass};

const HOSTILE: [&str; 4] = [
    "=cmd|' /C calc'!A0",
    "Pack, \"large\" | `x` <b> [y](http://z) *w*",
    "a\u{1b}[31mb\u{202e}c\u{200b}\nd",
    "担架 🧑‍🚒 with a name that is longer than what its column has on a narrow terminal",
];

fn every_kind(name: &str, n: u32) -> [Cell; 13] {
    let (load, limit) = (Mass::from_mg(u64::from(n) * 7_654_321), Mass::from_g(24_000));
    let share = Share { load, limit };
    [
        name.into(),
        n.into(),
        load.into(),
        Bulk::from_ml(u64::from(n) * 1_250).into(),
        share.into(),
        Amount::new(Dimension::Length, u64::from(n) * 12_500).into(),
        Cell::Number { base: u64::from(n) * 12_500, unit: 1_000 },
        (n == 1).into(),
        Cell::words(["pair", "back"].into_iter().take(n as usize % 3)),
        Cell::entries([
            ("power".into(), Entry::Word("390 Wh".into())),
            ("lamp".into(), Entry::Count(n)),
        ]),
        Cell::between(17u32, 16 + n),
        Cell::toned(if n > 3 { Tone::Bad } else { Tone::Good }, share),
        Cell::Lines(vec![(Tone::Bad, format!("SHORT {n}: {name}")), (Tone::Plain, "seen".into())]),
    ]
}

/// The cells in two tables, since a line has no room for all of them.
fn tables() -> [Table; 2] {
    let kinds = [
        Column::text("id"),
        Column::count("things").summed(),
        Column::mass("load").summed(),
        Column::bulk("pack").summed().exact(),
        Column::new("share", Kind::Share),
        Column::new("line", Kind::Number),
        Column::new("in_metres", Kind::Number).on(CSV | WORKBOOK | JSON),
        Column::text("fits"),
        Column::text("ways"),
        Column::text("uses"),
        Column::text("value").right(),
        Column::new("full", Kind::Bar),
        Column::text("remark").under("note: ", 4),
    ];
    let table = |picked: &[usize]| {
        let rows = HOSTILE.iter().zip(1..).map(|(name, n)| Row::of(every_kind(name, n)));
        let columns = kinds.to_vec();
        let mut table = Table { columns, rows: rows.collect(), ..Table::default() }.pick(picked);
        table.rows[1].tone = Tone::Bad;
        table.total("Total")
    };
    let mut wide = table(&[0, 11, 4, 10, 12]);
    wide.columns[0] = Column::text("name").place(Place::Wrapped);
    wide.rows[3].whole = Whole::Cut;
    wide.rows[2].bold = true;
    wide.head = Head::Bare(Tone::Faint);
    [table(&[0, 1, 2, 3, 5, 6, 7, 8, 9]), wide]
}

fn page() -> Page<'static> {
    let mut page = Page::titled("Relay to the =ridge\u{7}", Units::Metric);
    page.push(para("Proven best, by `even`.").tone(Tone::Good));
    page.push(typed("For the <ridge>, as `even` has it.").goes_on());
    page.push(term("A", HOSTILE[1], Some("not settled".into())));
    let [grid, wide] = tables();
    page.section(ALL, "Every kind", grid);
    page.push(typed(HOSTILE[2]).item(0).indent(2).on(TEXTS));
    page.push(typed("within").item(1).indent(6).on(TEXTS));
    page.push(para("a marked line").mark("1").on(TERMINAL));
    page.section(ALL, "The rest", wide);
    page.section(ALL, "Nothing", Table::of([0u32; 0]).col(Column::count("n"), |n| *n).done());
    let side = |name: &'static str| {
        let table = Table::of([1u32, 2])
            .col(Column::text("row").headed(""), move |n| format!("{name} {n}"))
            .col(Column::count("A"), |n| *n)
            .col(Column::count("B"), |n| *n * 3);
        (name.to_string(), table.done().tight())
    };
    page.push(sides(vec![side("First"), side("Second")]));
    page.caution();
    page
}

/// The goldens are with those of the commands.
fn golden(name: &str, text: &str) {
    insta::with_settings!({
        snapshot_path => "../../../tests/commands/snapshots",
        prepend_module_to_snapshot => false,
        omit_expression => true,
    }, { insta::assert_snapshot!(format!("page_{name}"), text) });
}

#[test]
fn every_kind_of_cell_is_printed_in_every_form() {
    let narrow = Style { width: 60, colour: true, unicode: false };
    golden("terminal", &page().render(Format::Table, &Style { width: 100, ..Style::default() }));
    golden("narrow", &page().render(Format::Table, &narrow).replace('\u{1b}', "ESC"));
    golden("markdown", &page().render(Format::Markdown, &narrow));
    golden("csv", &page().render(Format::Csv, &narrow));
    golden("json", &page().render(Format::Json, &narrow));
}

#[test]
fn nothing_acts_in_any_form() {
    for format in [Format::Table, Format::Markdown, Format::Csv, Format::Json] {
        let text = page().render(format, &Style::default());
        let ends = |c: char| c == '\n' || (c == '\r' && format == Format::Csv);
        let acts = text.chars().find(|c| tumpline_core::text::acts(*c) && !ends(*c));
        assert_eq!(acts, None, "{format:?}");
    }
}

#[test]
fn no_line_is_wider_than_the_terminal() {
    for width in [60, 73, 120] {
        let text = page().render(Format::Table, &Style { width, ..Style::default() });
        let widest = text.lines().map(crate::report::columns).max();
        assert!(widest <= Some(width), "{widest:?} of {width}:\n{text}");
    }
}

#[test]
fn units_of_the_kit_are_those_of_every_form() {
    let mut page = Page::new("pounds", Units::Imperial);
    let table = Table::of([Mass::from_mg(453_592_370)]).col(Column::mass("mass"), |m| *m);
    page.push(table.done());
    let text = |format| page.render(format, &Style::default());
    assert_eq!(text(Format::Csv), "mass (lb)\r\n1000\r\n");
    assert_eq!(text(Format::Markdown), "| mass |\n| ---: |\n| 1000.00 lb |\n");
    assert!(text(Format::Table).contains("1000.00 lb"));
    // Programs get grams, whatever the kit.
    assert!(text(Format::Json).contains("\"mass_g\": 453592.37"), "{}", text(Format::Json));
}

#[test]
#[cfg(feature = "spreadsheets")]
fn a_workbook_has_the_same_page() {
    use calamine::{Reader, Xlsx};
    let mut file: Xlsx<_> = Xlsx::new(std::io::Cursor::new(page().workbook().unwrap())).unwrap();
    let mut text = String::new();
    for name in file.sheet_names() {
        text.push_str(&format!("# {name}\n"));
        let range = file.worksheet_range(&name).unwrap();
        for row in range.rows() {
            let cells: Vec<String> = row.iter().map(|c| format!("{c:?}")).collect();
            text.push_str(&format!("{}\n", cells.join(" | ")));
        }
    }
    golden("workbook", &text);
}
