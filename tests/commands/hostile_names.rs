//! Names that mean harm, in every place where a name stands: whatever a command
//! prints of them is inert. Twice: through files, where the reader refuses what
//! cannot be seen, and past the reader, as a program could put them there.
//!
//! A new command or format is a line in `COMMANDS`, and in `rendered`.

use crate::common::folder::{Done, Folder};
use serde_json::Value;
use std::time::Duration;
use tumpline::ask::compare::loadouts;
use tumpline::ask::{Oracle, shed, why};
use tumpline::kit;
use tumpline::load::{Item, ItemIx, MoveOrder, PartyIx};
use tumpline::report::shed::{By, ShedFormat};
use tumpline::report::{self, Format, Style};
use tumpline::split::{Options, Watch, split};

/// What a text has to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Form {
    Terminal,
    Json,
    Csv,
    Markdown,
    Svg,
    Html,
}
use Form::{Csv, Html, Json, Markdown, Svg, Terminal};

/// Arguments, `MOVE` for a move that has a plan and `NONE` for one that has
/// none, `STORES` for stores and `COUNT` for a sheet of counts; and what comes
/// out.
const COMMANDS: &[(&str, Form)] = &[
    ("split MOVE", Terminal),
    ("split MOVE --ascii --color always --width 60", Terminal),
    ("split MOVE --format json", Json),
    ("split MOVE --format csv", Csv),
    ("split MOVE --format markdown", Markdown),
    ("split MOVE --without bo", Terminal),
    ("split MOVE --without bo --format markdown", Markdown),
    ("split MOVE --tolerance 5% --survives 1", Terminal),
    ("split MOVE --tolerance 5% --survives 1 --format markdown", Markdown),
    ("split NONE", Terminal),
    ("split NONE --format json", Json),
    ("split NONE --format csv", Csv),
    ("split NONE --format markdown", Markdown),
    ("why MOVE lamp", Terminal),
    ("why MOVE lamp --format json", Json),
    ("shed MOVE --loads", Terminal),
    ("shed MOVE --format json", Json),
    ("shed MOVE --format csv", Csv),
    ("shed MOVE --format svg", Svg),
    ("shed MOVE --by people", Terminal),
    ("shed MOVE --by people --format json", Json),
    ("shed MOVE --by people --format csv", Csv),
    ("shed MOVE --by people --format svg", Svg),
    ("compare MOVE NONE --vary limit=90%", Terminal),
    ("compare MOVE NONE --vary limit=90% --format json", Json),
    ("compare MOVE NONE --vary limit=90% --format csv", Csv),
    ("compare MOVE NONE --vary limit=90% --format markdown", Markdown),
    ("list MOVE", Terminal),
    ("list MOVE --only equipment --format json", Json),
    ("list MOVE --only equipment --format csv", Csv),
    ("list MOVE --only equipment --format markdown", Markdown),
    ("sheet MOVE", Html),
    ("sheet MOVE --plain", Html),
    ("sheet MOVE --format svg", Svg),
    ("muster STORES", Terminal),
    ("muster STORES --count COUNT --no-moves --brief", Terminal),
    ("muster STORES --format json", Json),
    ("muster STORES --format csv", Csv),
    ("muster STORES --format markdown", Markdown),
    ("muster STORES --blank-count", Csv),
    ("muster STORES --blank-count --format markdown", Markdown),
    ("check MOVE NONE STORES", Terminal),
    ("tidy --check MOVE NONE", Terminal),
];

/// Names, and whether a file may hold them.
fn names() -> Vec<(String, bool)> {
    let fine = [
        "<script>alert(1)</script>",
        "</text><script>alert(1)</script>",
        "]]><script>alert(1)</script><!--",
        "&lt;script&gt;&#60;",
        "=cmd|' /C calc'!A0",
        "+1",
        "-1",
        "@SUM(1)",
        "＝1+1",
        "\"",
        "'",
        "\"'\"\"''",
        "`code` ``` ```",
        "a | b || c \\| d \\",
        "[x](javascript:alert(1))",
        "![x](http://example.org/x.png)",
        "<http://example.org> http://example.org www.example.org a@example.org",
        "# heading",
        "---",
        "* item *_~~",
        "$(reboot) `reboot` ;&&",
        "%s%n {} {0} \\x1b[31m \\u{1b}",
        "🧑\u{200d}🚒👩🏽\u{200d}⚕\u{fe0f}",
        "e\u{301}\u{302}\u{303}\u{304}\u{305}",
        "حقيبة إسعاف",
        "ערכת עזרה",
        "担架と無線機",
        "null",
        "true",
        "1e3",
        "a,b;c",
        // The reader takes blanks off the ends.
        "\t=1",
    ];
    let refused = [
        "a\nb",
        "a\r\n=1",
        "a\tb",
        "a\rb",
        "\u{1b}[31mred\u{1b}[0m",
        "\u{1b}]0;title\u{7}",
        "\u{1b}[2J\u{1b}[H",
        "\u{0}",
        "a\u{1}b\u{8}c\u{c}d\u{7f}e",
        "\u{85}\u{9b}31m\u{9d}0;x\u{9c}",
        "a\u{202e}b\u{202d}c\u{2066}d",
        "a\u{2028}b\u{2029}c",
        "\u{feff}a",
    ];
    let mut all: Vec<(String, bool)> = fine.map(|n| (n.to_string(), true)).to_vec();
    all.extend(refused.map(|n| (n.to_string(), false)));
    // Nothing of these is seen; the reader may take them or not.
    all.push(("a\u{200b}b\u{2060}c\u{ad}d".into(), true));
    all.push(("x".repeat(10_000), false));
    all.push(("担".repeat(200), true));
    all
}

/// The name in double quotes, with what is no plain letter written out.
fn in_yaml(name: &str) -> String {
    let one = |c: char| match c {
        c if c.is_ascii_alphanumeric() || c == ' ' => c.to_string(),
        c => format!("\\U{:08x}", u32::from(c)),
    };
    format!("\"{}\"", name.chars().map(one).collect::<String>())
}

fn move_of(name: &str, limit: &str) -> String {
    let n = in_yaml(name);
    format!(
        "move: {n}\n\
         equipment:\n\
         \x20 - {{id: lamp, name: {n}, mass: 2 kg, held: 2, supplies: {{light: 2}}, requires: {{cell: 1}}, keeper: leader}}\n\
         \x20 - {{id: cell, name: {n}, mass: 1 kg, held: 2}}\n\
         \x20 - {{id: rope, name: {n}, mass: 4 kg, held: 2, carry: [pair, back]}}\n\
         \x20 - {{id: bag, name: {n}, mass: 3 kg, contents: {{pin: 2}}}}\n\
         carriers:\n\
         \x20 people:\n\
         \x20   - {{id: ann, name: {n}, body-mass: 70 kg, limit: {limit}, worn: 2 kg, duties: [leader]}}\n\
         \x20   - {{id: bo, name: {n}, body-mass: 70 kg, limit: {limit}}}\n\
         parties: {{hill: {{travel: foot, who: [ann, bo]}}}}\n\
         needs:\n\
         \x20 hill:\n\
         \x20   - {{need: {n}, item: lamp}}\n\
         \x20   - {{need: {n} , supply: light, amount: 2}}\n\
         \x20   - {{need: third, priority: 1, any: [bag, rope]}}\n\
         wants: {{hill: {{rope: {{value: 3, up-to: 2}}, bag: 2}}}}\n\
         goals: [wants, lightest, even]\n"
    )
    // A party's needs have names of their own.
    .replacen(&format!("need: {n} ,"), "need: second,", 1)
}

/// The stores that `MOVE` and `NONE` are beside.
fn stores_of(name: &str) -> String {
    // A holder is a key: its ends are not trimmed, and YAML has none over 1,024.
    let holder: String = name.trim().chars().take(80).collect();
    let (n, holder) = (in_yaml(name), in_yaml(&holder));
    format!(
        "stores: {n}\n\
         equipment:\n\
         \x20 - {{id: lamp, name: {n}, mass: 2 kg, held: 2}}\n\
         \x20 - {{id: pin, name: {n}, mass: 1 kg, held: 0}}\n\
         \x20 - {{id: bag, name: {n}, mass: 3 kg, contents: {{pin: 2}}}}\n\
         scale: {{lamp: 3}}\n\
         holdings:\n\
         \x20 - {{id: lamp, shelf: 0, issued: {{{holder}: 1}}}}\n\
         cases:\n\
         \x20 - {{case: bag, found: {{pin: 1}}}}\n"
    )
}

/// A note is the only place of a sheet of counts that holds any text.
fn count_of(name: &str) -> String {
    let mut out = csv::Writer::from_writer(Vec::new());
    out.write_record(["item", "where", "counted", "by", "note"]).unwrap();
    out.write_record(["lamp", "shelf", "1", name, name]).unwrap();
    String::from_utf8(out.into_inner().unwrap()).unwrap()
}

/// Whether a character may act on what shows it.
fn acts(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
}

/// Colours of our own are no harm.
fn without_colours(text: &str) -> String {
    let mut parts = text.split("\u{1b}[");
    let first = parts.next().unwrap_or("").to_string();
    parts.fold(first, |out, part| {
        let end = part.find(|c: char| !(c.is_ascii_digit() || c == ';')).expect("an end");
        assert_eq!(&part[end..=end], "m", "no colour: {part}");
        out + &part[end + 1..]
    })
}

fn inert(text: &str, form: Form, what: &str) {
    let plain = match form {
        Csv => text.replace("\r\n", "\n"),
        Terminal if what.contains("--color") => without_colours(text),
        _ => text.to_string(),
    };
    let bad = plain.chars().find(|c| *c != '\n' && acts(*c));
    assert_eq!(bad, None, "{what}: {text}");
    match form {
        Terminal => {}
        Json => drop(serde_json::from_str::<Value>(text).unwrap_or_else(|e| panic!("{what}: {e}"))),
        Csv => csv_is_inert(text, what),
        Markdown => markdown_is_inert(text, what),
        Svg => svg_is_inert(text, what),
        Html => html_is_inert(text, what),
    }
}

fn csv_is_inert(text: &str, what: &str) {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
    for record in reader.records() {
        // As long as the first, or the reader refuses it.
        let record = record.unwrap_or_else(|e| panic!("{what}: {e}\n{text}"));
        for cell in &record {
            let formula = cell.starts_with(['=', '+', '@', '\t', '\r', '＝', '＋', '－', '＠']);
            let minus = cell.starts_with('-') && cell != "-" && cell.parse::<f64>().is_err();
            assert!(!formula && !minus, "{what}: {cell}");
        }
    }
}

fn markdown_is_inert(text: &str, what: &str) {
    let mut columns = None;
    for line in text.lines() {
        let mut bare = String::new();
        let mut chars = line.chars();
        while let Some(c) = chars.next() {
            if c == '\\' {
                chars.next();
            } else {
                bare.push(c);
            }
        }
        for active in ["<", "](", "`", "http://", "javascript:alert(1))"] {
            let escaped = active.starts_with("java") && !bare.contains("](");
            assert!(escaped || !bare.contains(active), "{what}: {active} in {line}");
        }
        if bare.starts_with('|') {
            let n = bare.matches('|').count();
            assert_eq!(*columns.get_or_insert(n), n, "{what}: {line}");
        } else {
            columns = None;
        }
    }
}

fn svg_is_inert(text: &str, what: &str) {
    let mut reader = quick_xml::Reader::from_str(text);
    let mut elements = 0;
    loop {
        match reader.read_event().unwrap_or_else(|e| panic!("{what}: {e}\n{text}")) {
            quick_xml::events::Event::Eof => break,
            quick_xml::events::Event::Start(e) | quick_xml::events::Event::Empty(e) => {
                elements += 1;
                let name = format!("{:?}", e.name()).to_lowercase();
                assert!(!name.contains("script"), "{what}: {text}");
                for attribute in e.attributes() {
                    let attribute = attribute.unwrap_or_else(|e| panic!("{what}: {e}"));
                    let key = format!("{:?}", attribute.key);
                    assert!(!key.to_lowercase().contains("\"on"), "{what}: {text}");
                }
            }
            _ => {}
        }
    }
    assert!(elements > 3, "{what}: {text}");
    assert!(!text.contains("<script"), "{what}");
}

/// What a name brings along is neither an element nor an address.
fn html_is_inert(text: &str, what: &str) {
    for active in ["<script>alert", "href=\"javascript", "src=\"http", "<!--</", "]]><"] {
        assert!(!text.contains(active), "{what}: {active}");
    }
    let scripts = text.matches("<script").count();
    assert!(scripts == 0 || !what.contains("--plain"), "{what}");
    assert_eq!(scripts, text.matches("</script>").count(), "{what}");
}

/// Whether some text of a document is exactly this.
fn holds(value: &Value, name: &str) -> bool {
    match value {
        Value::String(s) => s == name,
        Value::Array(list) => list.iter().any(|v| holds(v, name)),
        Value::Object(map) => map.values().any(|v| holds(v, name)),
        _ => false,
    }
}

fn check_command(command: &str, form: Form, folder: &Folder, name: &str, taken: bool) {
    let path = |word| match word {
        "MOVE" => "@some.move.yaml",
        "STORES" => "@stores.yaml",
        "COUNT" => "@count.csv",
        "NONE" => "@none.move.yaml",
        word => word,
    };
    let mut args: Vec<&str> = command.split(' ').map(path).collect();
    let quick = matches!(args.first(), Some(&"check" | &"tidy" | &"list"));
    if !quick && !command.contains("-count") && !command.contains("--no-moves") {
        args.extend(["--time", "2s"]);
    }
    let Done { code, out, err, .. } = folder.call(&args);
    let what = format!("{command} with {name:?}");
    inert(&err, Terminal, &what);
    if !taken {
        assert_eq!(code, 3, "{what}: {err}");
        return inert(&out, Terminal, &what);
    }
    assert!(matches!(code, 0 | 1 | 4), "{what}: {code} {err}");
    inert(&out, form, &what);
    if form == Json && command.contains("split MOVE") {
        let document: Value = serde_json::from_str(&out).unwrap();
        assert!(holds(&document, name.trim()), "{what}: {out}");
    }
}

#[test]
fn through_files_no_name_acts() {
    let folder = Folder::new();
    for (name, taken) in names() {
        folder.write("some.move.yaml", move_of(&name, "9 kg"));
        folder.write("none.move.yaml", move_of(&name, "4 kg"));
        folder.write("stores.yaml", stores_of(&name));
        folder.write("count.csv", count_of(&name));
        for (command, form) in COMMANDS {
            check_command(command, *form, &folder, &name, taken);
        }
    }
}

/// As an id, a supply, a word or a path no such name is taken; and none acts.
#[test]
fn where_no_name_belongs_it_is_refused_and_inert() {
    let folder = Folder::new();
    let path = "@some.move.yaml";
    let sound = move_of("Lamp", "9 kg");
    for (name, _) in names() {
        let n = in_yaml(&name);
        for (from, to) in [
            ("id: lamp", format!("id: {n}")),
            ("id: ann", format!("id: {n}")),
            ("hill:", format!("{n}:")),
            ("light: 2", format!("{n}: 2")),
            ("supply: light", format!("supply: {n}")),
            ("keeper: leader", format!("keeper: {n}")),
            ("travel: foot", format!("travel: {n}")),
            ("mass: 2 kg", format!("mass: {n}")),
            ("held: 2", format!("held: {n}")),
            ("worn: 2 kg", format!("{n}: 2 kg")),
            ("equipment:\n", format!("equipment: {n}\nrules:\n")),
        ] {
            folder.write("some.move.yaml", sound.replacen(from, &to, 1));
            for command in ["check", "split", "tidy"] {
                let Done { code, out, err, .. } = folder.call(&[command, path]);
                let what = format!("{command} with {from} as {name:?}");
                inert(&out, Terminal, &what);
                inert(&err, Terminal, &what);
                // `true` and their like are ids, if odd ones.
                let known = matches!(name.as_str(), "null" | "true" | "1e3");
                let code_fits = matches!(code, 3 | 74);
                assert!(known || code_fits || name.len() == 1000, "{what}: {code} {out}");
            }
        }
        // On the command line.
        folder.write("some.move.yaml", &sound);
        if !name.contains('\0') {
            for args in [
                vec!["why", path, &name],
                vec!["why", path, "lamp", "--at", &name],
                vec!["split", path, "--without", &name],
                vec!["split", path, "--emptied", &name],
                vec!["shed", path, "--by", "people", "--party", &name],
                vec!["compare", path, "--vary", &name],
                vec!["check", &name],
                vec!["tidy", &name],
                vec!["start", "--yes", "--name", &name, path],
            ] {
                let Done { out, err, .. } = folder.call(&args);
                let what = format!("{args:?}");
                inert(&out, Terminal, &what);
                inert(&err, Terminal, &what);
            }
        }
    }
}

/// One and the same escapes, whether a fault shows the line that somebody wrote or
/// a list the name that was read.
#[test]
fn check_and_list_write_out_the_same_characters() {
    let folder = Folder::new();
    for (name, mass) in [("faulty.yaml", "1 kilo"), ("sound.yaml", "1 kg")] {
        let text = "equipment: [{id: lamp, name: \"La\u{61c}m\u{200b}p\u{e0041}\", mass: ";
        folder.write(name, format!("{text}{mass}}}]\n"));
    }
    let Done { out, err: fault, .. } = folder.run(["check", "faulty.yaml"]);
    let listed = folder.run(["list", "sound.yaml"]).code(0).out;
    for text in [out + &fault, listed] {
        inert(&text, Terminal, "a name with characters that cannot be seen");
        assert!(text.contains(r"La\u{61c}m\u{200b}p\u{e0041}"), "{text}");
    }
    // What is marked under the line moves with what was written out.
    let line = fault.lines().find(|l| l.contains("kilo}")).unwrap();
    let mark = fault.lines().find(|l| l.contains("^^^^^^")).unwrap();
    assert_eq!(line.find("1 kilo"), mark.find("^^^^^^"), "{fault}");
}

/// The move with this name everywhere, put there past the reader.
fn named(order: &MoveOrder, name: &str) -> MoveOrder {
    let set = |to: &mut String| *to = name.to_string();
    let renamed = order.changed(|parts| {
        set(&mut parts.name);
        let items = |items: &mut Vec<Item>| items.iter_mut().for_each(|i| set(&mut i.name));
        parts.catalogue = parts.catalogue.changed(items).expect("ids are as they were");
        parts.carriers.iter_mut().for_each(|c| set(&mut c.name));
        parts.needs.iter_mut().for_each(|n| set(&mut n.name));
        // Ids have to differ.
        for (k, party) in parts.parties.iter_mut().enumerate() {
            party.id = format!("{name}{}", "+".repeat(k));
        }
    });
    renamed.expect("only names differ")
}

/// Every form of every report that the library makes.
fn rendered(order: &MoveOrder) -> Vec<(String, Form)> {
    let options = Options { time: Duration::from_secs(2), ..Options::default() };
    let (watch, style) = (Watch::default(), Style::default());
    let oracle = || Oracle::new(&options, &watch);
    let mut out = Vec::new();
    let forms = [
        (Format::Table, Terminal),
        (Format::Json, Json),
        (Format::Csv, Csv),
        (Format::Markdown, Markdown),
    ];
    let answer = split(order, &options, &watch);
    let moves = vec![(order.name().to_string(), order.clone()), ("other".into(), order.clone())];
    let side_by_side = loadouts(moves, &oracle());
    for (format, form) in forms {
        out.push((report::render(order, &answer, format, &style), form));
        out.push((report::compare::render(&side_by_side, format, &style), form));
    }
    if let Ok(why) = why(order, ItemIx(0), None, &oracle()) {
        out.push((report::why_table(order, &why, &style), Terminal));
        out.push((report::why_json(order, &why), Json));
    }
    let by_limit = shed::by_limit(order, &oracle(), false);
    let crews = shed::by_people(order, PartyIx(0), &oracle());
    for (format, form) in [
        (ShedFormat::Table, Terminal),
        (ShedFormat::Json, Json),
        (ShedFormat::Csv, Csv),
        (ShedFormat::Svg, Svg),
    ] {
        for by in [By::Limit(&by_limit), By::People(PartyIx(0), &crews)] {
            out.push((report::shed::render(order, by, format, &style, true), form));
        }
    }
    out
}

#[test]
fn past_the_reader_no_name_acts() {
    let order = kit::read_move_text("some.move.yaml", &move_of("Lamp", "9 kg")).unwrap().order;
    for (name, _) in names() {
        let order = named(&order, &name);
        for (n, (text, form)) in rendered(&order).into_iter().enumerate() {
            inert(&text, form, &format!("report {n} with {name:?}"));
            if n == 2 {
                let document: Value = serde_json::from_str(&text).unwrap();
                assert!(holds(&document, &name), "{name:?}");
            }
        }
    }
}
