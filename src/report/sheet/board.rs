//! The board: everyone's load against their own limit, a bar each. A bar is as
//! long as its load is of the limit, so that bars compare by how full people
//! are. Hatching tells the parts apart in black and white; the numbers are text.

use super::Sheet;
use super::parts::text;
use crate::load::{MoveOrder, PartyIx, Share};
use crate::quantity::Mass;
use crate::report::text::{columns, fit, wrap};
use crate::report::{CAUTION, words};
use crate::split::CarrierFinding;
use maud::{Markup, PreEscaped, html};

/// Of the drawing, in its own units; text is 13 of them high.
pub(super) const WIDTH: u32 = 360;
const ROW: u32 = 46;
/// Where the limit is drawn. There is a little room for what is beyond it.
const LIMIT: u64 = 336;
/// The most columns of text that surely fit into a width.
const COLUMN: u32 = 7;
const BOLD: u32 = 8;
/// Rows of one drawing: as many as surely fit on a page.
const ROWS: usize = 12;
const MARGIN: u32 = 14;

/// Shades that differ in their lines too. Once in a document.
pub(super) fn patterns() -> Markup {
    html! {
        svg.patterns width="0" height="0" aria-hidden="true" focusable="false" { (shades()) }
    }
}

fn shades() -> Markup {
    html! {
        defs {
            pattern id="shade-worn" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)" {
                rect width="5" height="5" fill="#fff" {}
                rect width="2" height="5" fill="#555" {}
            }
            pattern id="shade-kept" width="5" height="5" patternUnits="userSpaceOnUse" {
                rect width="5" height="5" fill="#fff" {}
                circle cx="2.5" cy="2.5" r="1" fill="#333" {}
            }
        }
    }
}

/// Millionths of the limit as a place along the bar, in tenths.
fn along(part: Mass, limit: Mass) -> u64 {
    let most = u128::from(WIDTH - 2) * 10;
    let at = u128::from(part.mg()) * u128::from(LIMIT) * 10 / u128::from(limit.mg().max(1));
    at.min(most) as u64
}

fn tenths(n: u64) -> String {
    format!("{}.{}", n / 10, n % 10)
}

/// The bar of a carrier, its top at `y`: what is worn (or aboard), the kit, what
/// is kept back, and the limit as a stroke across.
pub(super) fn bar(c: &CarrierFinding, y: u32) -> Markup {
    let [worn, load, usable, limit] =
        [c.burden.min(c.load), c.load, c.usable, c.limit].map(|m| along(m, c.limit));
    let part = |from: u64, to: u64, fill: &str, which: &str| {
        html! {
            @if to > from {
                rect data-bar=(which) x=(tenths(from)) y=(y) width=(tenths(to - from)) height="16" fill=(fill) {}
            }
        }
    };
    html! {
        (part(usable.max(load), limit, "url(#shade-kept)", "kept"))
        (part(0, worn, "url(#shade-worn)", "worn"))
        (part(worn, load, "#444", "kit"))
        rect x="0.5" y=(y) width=(LIMIT) height="16" fill="none" stroke="#000" {}
        line x1=(LIMIT) y1=(y - 2) x2=(LIMIT) y2=(y + 19) stroke="#000" stroke-width="4" {}
    }
}

/// The bar alone, for a card.
pub(super) fn bar_alone(c: &CarrierFinding) -> Markup {
    html! {
        svg.bar viewBox={ "0 0 " (WIDTH) " 26" } aria-hidden="true" focusable="false" { (bar(c, 5)) }
    }
}

/// Whom the board shows: all who bear something for the move.
fn shown<'a>(sheet: &Sheet<'a>, party: PartyIx) -> Vec<&'a CarrierFinding> {
    let found = sheet.planned.findings.carriers.iter();
    found.filter(|c| c.party == party && sheet.order.takes_kit(c.carrier)).collect()
}

/// A row: name, load of limit, share; the bar below.
fn row(order: &MoveOrder, c: &CarrierFinding, y: u32) -> Markup {
    let (load, limit) = (c.load.rounded(order.units()), c.limit.rounded(order.units()));
    let share = share(c);
    // The numbers as they are written below, with blanks between.
    let numbers = columns(&format!("{load} of {limit}  {share}")) as u32 * COLUMN;
    let room = WIDTH.saturating_sub(numbers + 8);
    let name = fit(&text(&order.carrier(c.carrier).name), (room / BOLD) as usize, true);
    html! {
        g data-carrier=(c.carrier.0) {
            // A frame of its own cuts off what a font makes wider than computed.
            svg x="0" y=(y) width=(room) height="20" viewBox={ "0 0 " (room) " 20" } {
                text x="0" y="14" font-weight="bold" { (name) }
            }
            text x=(WIDTH - 4) y=(y + 14) text-anchor="end" {
                tspan data-is="load" data-mg=(c.load.mg()) { (load) }
                " of "
                tspan data-mg=(c.limit.mg()) { (limit) }
                tspan dx="6" font-weight="bold" data-is="share" { (share) }
            }
            (bar(c, y + 20))
        }
    }
}

fn share(c: &CarrierFinding) -> String {
    words::share(Share { load: c.load, limit: c.limit })
}

/// All in words, for those who do not see it.
fn described(order: &MoveOrder, rows: &[&CarrierFinding]) -> String {
    let one = |c: &&CarrierFinding| {
        let name = text(&order.carrier(c.carrier).name);
        format!("{name}: {}, {}", words::load_of_limit(c, order.units()), share(c))
    };
    format!("{}.", rows.iter().map(one).collect::<Vec<_>>().join("; "))
}

/// The board of the leader's page: for each party drawings of a few rows, so
/// that none is cut by the end of a page.
pub(super) fn drawings(sheet: &Sheet) -> Markup {
    let order = sheet.order;
    let parties = (0..order.parties().len()).map(PartyIx).map(|p| (p, shown(sheet, p)));
    html! {
        @for (p, rows) in parties.filter(|(_, rows)| !rows.is_empty()) {
            figure.board {
                figcaption { (PreEscaped(party(order, p))) }
                @for (k, rows) in rows.chunks(ROWS).enumerate() {
                    @let (title, desc) = (format!("board-{}-{k}", p.0), format!("board-{}-{k}-all", p.0));
                    svg role="img" aria-labelledby={ (title) " " (desc) } viewBox={ "0 0 " (WIDTH) " " (rows.len() as u32 * ROW) } {
                        title id=(title) { "Loads against limits" }
                        desc id=(desc) { (described(order, rows)) }
                        @for (i, c) in rows.iter().enumerate() { (row(order, c, i as u32 * ROW)) }
                    }
                }
            }
        }
        (legend())
    }
}

/// `ridge, on foot`, the id a unit of its own.
pub(super) fn party(order: &MoveOrder, p: PartyIx) -> String {
    let words = words::party(order, p);
    // What follows the id is ours.
    let id = text(&order.party(p).id);
    let rest = words.strip_prefix(&id).unwrap_or("");
    html! { bdi { (id) } (rest) }.into_string()
}

fn legend() -> Markup {
    let swatch = |fill: &str| {
        html! {
            svg.swatch viewBox="0 0 26 16" aria-hidden="true" focusable="false" {
                rect x="0.5" y="0.5" width="25" height="15" fill=(fill) stroke="#000" {}
            }
        }
    };
    html! {
        p.legend {
            span { (swatch("url(#shade-worn)")) " worn, or people aboard " }
            span { (swatch("#444")) " kit " }
            span { (swatch("url(#shade-kept)")) " kept back " }
            span {
                svg.swatch.narrow viewBox="0 0 10 16" aria-hidden="true" focusable="false" {
                    line x1="5" y1="0" x2="5" y2="16" stroke="#000" stroke-width="4" {}
                }
                " the limit: 100 % of each one’s own"
            }
        }
    }
}

/// A drawing of its own.
pub(super) fn alone(sheet: &Sheet) -> String {
    let order = sheet.order;
    let line_columns = (WIDTH / COLUMN) as usize + 6;
    let mut y = 0;
    let mut body = String::new();
    let say = |line: &str, size: u32, weight: &str, y: &mut u32, body: &mut String| {
        *y += size + 5;
        body.push_str(
            &html! {
                svg x="0" y=(*y - size - 2) width=(WIDTH) height=(size + 6) viewBox={ "0 0 " (WIDTH) " " (size + 6) } {
                    text x="0" y=(size) font-size=(size) font-weight=(weight) { (line) }
                }
            }
            .into_string(),
        );
    };
    let name = fit(&text(order.name()), 40, true);
    say(&name, 16, "bold", &mut y, &mut body);
    for sentence in super::status::status(sheet) {
        let sentence = sentence.replace('`', "");
        for line in wrap(&sentence, line_columns, 0, true) {
            say(&line, 12, "normal", &mut y, &mut body);
        }
    }
    let mut all = Vec::new();
    for p in (0..order.parties().len()).map(PartyIx) {
        let rows = shown(sheet, p);
        if rows.is_empty() {
            continue;
        }
        y += 10;
        let heading = fit(&words::party(order, p), line_columns, true);
        say(&heading, 13, "normal", &mut y, &mut body);
        y += 6;
        for c in &rows {
            body.push_str(&row(order, c, y).into_string());
            y += ROW;
        }
        all.extend(rows);
    }
    y += 4;
    for (fill, words) in [
        ("url(#shade-worn)", "worn, or people aboard"),
        ("#444", "kit"),
        ("url(#shade-kept)", "kept back"),
        ("#000", "the stroke: the limit, 100 % of each one’s own"),
    ] {
        let width = if fill == "#000" { 4 } else { 26 };
        body.push_str(
            &html! {
                rect x=(14 - width / 2) y=(y) width=(width) height="14" fill=(fill) stroke="#000" {}
                text x="36" y=(y + 11) font-size="12" { (words) }
            }
            .into_string(),
        );
        y += 20;
    }
    for line in wrap(CAUTION, line_columns, 0, true) {
        say(&line, 12, "normal", &mut y, &mut body);
    }
    let (width, height) = (WIDTH + 2 * MARGIN, y + 2 * MARGIN);
    let drawing = html! {
        svg xmlns="http://www.w3.org/2000/svg" version="1.1" width=(width * 2) height=(height * 2) viewBox={ "0 0 " (width) " " (height) } role="img" aria-labelledby="title desc" font-family="sans-serif" font-size="13" {
            title id="title" { "Loads against limits: " (text(order.name())) }
            desc id="desc" { (described(order, &all)) }
            (shades())
            rect width=(width) height=(height) fill="#fff" {}
            g transform={ "translate(" (MARGIN) "," (MARGIN) ")" } { (PreEscaped(body)) }
        }
    };
    format!("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n{}\n", drawing.into_string())
}
