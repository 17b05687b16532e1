//! The figure of a card: a walker seen from the front, with what rides where.
//! The marks are those of the table below it.

use super::grip::{Grip, grips};
use super::parts::text;
use crate::load::{CarrierIx, MoveOrder, Way};
use crate::quantity::Mass;
use crate::report::text::fit;
use crate::report::words::plural;
use crate::split::CarrierFinding;
use maud::{Markup, html};

/// A place on a person where things ride.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Spot {
    Back,
    Chest,
    Shoulder,
    Belt,
    Right,
    Left,
    Both,
}

impl Spot {
    const ALL: [Spot; 7] =
        [Spot::Back, Spot::Chest, Spot::Shoulder, Spot::Belt, Spot::Right, Spot::Left, Spot::Both];

    /// The mark, the same on every card.
    pub fn mark(self) -> &'static str {
        match self {
            Spot::Back => "1",
            Spot::Chest => "2",
            Spot::Shoulder => "3",
            Spot::Belt => "4",
            Spot::Right => "5",
            Spot::Left => "6",
            Spot::Both => "5 6",
        }
    }

    fn words(self) -> &'static str {
        match self {
            Spot::Back => "back",
            Spot::Chest => "chest",
            Spot::Shoulder => "shoulder",
            Spot::Belt => "belt",
            Spot::Right => "right hand",
            Spot::Left => "left hand",
            Spot::Both => "both hands",
        }
    }

    /// Where its label stands and where its line ends, in units of the drawing.
    fn places(self) -> (i32, i32, i32, i32) {
        match self {
            Spot::Back => (4, 20, 168, 70),
            Spot::Belt => (4, 88, 187, 138),
            Spot::Right | Spot::Both => (4, 206, 140, 170),
            Spot::Shoulder => (290, 20, 217, 79),
            Spot::Chest => (290, 88, 212, 100),
            Spot::Left => (262, 206, 260, 170),
        }
    }
}

/// Where each line of the carrier rides, in their order.
pub(super) fn spots(order: &MoveOrder, c: &CarrierFinding) -> Vec<(Spot, Option<Grip>)> {
    let grips = grips(order, c);
    let spot = |(line, grip): (&crate::split::Line, Option<Grip>)| {
        let spot = match (line.way, grip) {
            (Way::Chest, _) => Spot::Chest,
            (Way::Shoulder, _) => Spot::Shoulder,
            (Way::Belt, _) => Spot::Belt,
            (_, Some(Grip::Right)) => Spot::Right,
            (_, Some(Grip::Left)) => Spot::Left,
            (_, Some(Grip::Both | Grip::Each)) => Spot::Both,
            _ => Spot::Back,
        };
        (spot, grip)
    };
    c.lines.iter().zip(grips).map(spot).collect()
}

/// What rides at a place.
struct Ride {
    spot: Spot,
    things: u32,
    mass: Mass,
    with: Option<CarrierIx>,
    /// Two things, one in each hand.
    each: bool,
}

fn rides(order: &MoveOrder, c: &CarrierFinding) -> Vec<Ride> {
    let spots = spots(order, c);
    let at = |spot: Spot| {
        let mine: Vec<_> = c.lines.iter().zip(&spots).filter(|(_, s)| s.0 == spot).collect();
        (!mine.is_empty()).then(|| Ride {
            spot,
            things: mine.iter().map(|(l, _)| l.count).fold(0, u32::saturating_add),
            mass: mine.iter().map(|(l, _)| l.mass).sum(),
            with: mine.iter().find_map(|(l, _)| l.with),
            each: mine.iter().any(|(_, s)| s.1 == Some(Grip::Each)),
        })
    };
    Spot::ALL.into_iter().filter_map(at).collect()
}

/// The figure of a person, its ids made of the carrier's place.
pub(super) fn figure(order: &MoveOrder, c: &CarrierFinding) -> Markup {
    let rides = rides(order, c);
    let (title, desc) = (format!("figure-{}", c.carrier.0), format!("figure-{}-all", c.carrier.0));
    let name = text(&order.carrier(c.carrier).name);
    html! {
        svg.figure role="img" aria-labelledby={ (title) " " (desc) } viewBox="0 0 400 250" {
            title id=(title) { "Where things ride on " (name) }
            desc id=(desc) { (described(order, &rides)) }
            g.drawn transform="translate(40,2) scale(0.8)" fill="#fff" stroke="#000" stroke-width="2.3" stroke-linecap="round" stroke-linejoin="round" {
                @if has(&rides, Spot::Back) { (pack()) }
                (walker())
                @if has(&rides, Spot::Shoulder) { (satchel()) }
                @if has(&rides, Spot::Chest) { (pouch()) }
                @if has(&rides, Spot::Belt) { (belt()) }
                @for ride in &rides { (in_hand(ride)) }
            }
            @for ride in &rides { (label(order, ride)) }
        }
    }
}

fn has(rides: &[Ride], spot: Spot) -> bool {
    rides.iter().any(|r| r.spot == spot)
}

fn described(order: &MoveOrder, rides: &[Ride]) -> String {
    let one = |r: &Ride| {
        let with =
            r.with.map_or(String::new(), |w| format!(", with {}", text(&order.carrier(w).name)));
        let things = plural(r.things as usize, "thing", "things");
        format!("{}: {things}, {}{with}", r.spot.words(), r.mass.rounded(order.units()))
    };
    match rides.is_empty() {
        true => "Nothing.".into(),
        false => format!("{}.", rides.iter().map(one).collect::<Vec<_>>().join("; ")),
    }
}

/// Number and words beside the figure, with a line to the place.
fn label(order: &MoveOrder, ride: &Ride) -> Markup {
    let (x, y, mut to_x, mut to_y) = ride.spot.places();
    if ride.with.is_some() {
        // Onto the thing between the two.
        (to_x, to_y) = (if x < 200 { 106 } else { 294 }, 163);
    }
    let hand = matches!(ride.spot, Spot::Right | Spot::Left | Spot::Both);
    let words_at = if ride.spot == Spot::Both { x + 50 } else { x + 28 };
    // From the mark's edge: upwards for hands, sideways for the rest.
    let from = match (hand, x < 200) {
        (true, _) => (x + 11, y - 16),
        // Bold letters are about nine units wide.
        (false, true) => (words_at + 9 * ride.spot.words().len() as i32 + 3, y - 5),
        (false, false) => (x - 5, y - 5),
    };
    let second = match ride.with {
        Some(with) => format!("with {}", fit(&text(&order.carrier(with).name), 11, true)),
        None => plural(ride.things as usize, "thing", "things"),
    };
    let marks: Vec<&str> = ride.spot.mark().split(' ').collect();
    html! {
        path d={ "M" (from.0) " " (from.1) "L" (to_x) " " (to_y) } fill="none" stroke="#fff" stroke-width="4" {}
        path d={ "M" (from.0) " " (from.1) "L" (to_x) " " (to_y) } fill="none" stroke="#000" stroke-width="1.3" {}
        circle cx=(to_x) cy=(to_y) r="3.5" stroke="#fff" stroke-width="1" {}
        @for (i, mark) in marks.iter().enumerate() {
            circle cx=(x + 11 + 22 * i as i32) cy=(y - 5) r="11" {}
            text.mark x=(x + 11 + 22 * i as i32) y=(y) text-anchor="middle" fill="#fff" font-weight="bold" { (mark) }
        }
        text x=(words_at) y=(y) font-weight="bold" { (ride.spot.words()) }
        svg x=(words_at) y=(y + 3) width=(398 - words_at) height="20" viewBox={ "0 0 " (398 - words_at) " 20" } {
            text x="0" y="14" data-is="things" { (second) }
        }
        text x=(words_at) y=(y + 35) data-is="way" data-way=(way(ride)) data-mg=(ride.mass.mg()) { (ride.mass.rounded(order.units())) }
    }
}

fn way(ride: &Ride) -> &'static str {
    match ride.spot {
        Spot::Back => Way::Back.word(),
        Spot::Chest => Way::Chest.word(),
        Spot::Shoulder => Way::Shoulder.word(),
        Spot::Belt => Way::Belt.word(),
        _ if ride.with.is_some() => Way::Pair.word(),
        _ => Way::Hand.word(),
    }
}

/// The parts of any figure, for a page that draws one again.
pub(super) fn parts(order: &MoveOrder) -> Markup {
    let ride = |spot, with| Ride { spot, things: 0, mass: Mass::ZERO, with, each: false };
    let somebody = Some(CarrierIx(0)).filter(|_| !order.carriers().is_empty());
    let part = |name: &str, drawn: Markup| html! { g data-part=(name) { (drawn) } };
    html! {
        template #figure-parts { svg aria-hidden="true" {
            (part("pack", pack()))
            (part("walker", walker()))
            (part("satchel", satchel()))
            (part("pouch", pouch()))
            (part("belt", belt()))
            @for spot in [Spot::Right, Spot::Left, Spot::Both] {
                (part(spot.words(), in_hand(&ride(spot, None))))
                (part(&format!("{} pair", spot.words()), in_hand(&ride(spot, somebody))))
            }
            @for spot in Spot::ALL {
                (part(&format!("at {}", spot.words()), label(order, &ride(spot, None))))
                (part(&format!("at {} pair", spot.words()), label(order, &ride(spot, somebody))))
            }
        } }
    }
}

/// Drawn by hand, a little uneven on purpose. The pack is behind the walker.
fn pack() -> Markup {
    html! {
        path d="M157 76Q155 60 171 58Q201 54 230 58Q245 60 244 76L247 172Q247 183 235 184Q200 187 166 184Q153 183 153 172Z" fill="url(#shade-worn)" {}
        path d="M155 104Q142 104 141 116L140 156Q141 168 153 168M246 104Q258 104 259 116L260 156Q259 168 248 168" {}
        path d="M160 52Q158 40 170 39Q200 36 231 39Q242 41 240 52Q238 62 229 62Q199 65 170 62Q161 61 160 52Z" {}
    }
}

fn walker() -> Markup {
    html! {
        // Legs, the right one a step ahead, and boots.
        path d="M204 176L207 232L203 270L222 270L229 231L228 176Z" {}
        path d="M203 268Q200 281 206 283L226 283Q233 281 222 268Z" {}
        path d="M173 176L168 236L166 282L187 283L192 238L203 184L204 176Z" {}
        path d="M166 280Q156 288 155 296L186 297Q190 290 187 280Z" {}
        // Arms.
        path d="M172 92Q152 104 146 128L126 166L139 174L163 136L176 118Z" {}
        path d="M228 92Q248 104 254 128L274 166L261 174L237 136L224 118Z" {}
        path d="M126 166Q119 173 124 181Q133 187 138 174Z" {}
        path d="M274 166Q281 173 276 181Q267 187 262 174Z" {}
        // Jacket.
        path d="M174 90Q200 78 227 90Q232 112 229 136L231 180Q200 189 170 180L171 136Q168 112 174 90Z" {}
        path d="M200 88L200 183" stroke-width="1" {}
        // Head with a woollen hat.
        path d="M183 52Q181 79 200 81Q219 79 217 52Z" {}
        path d="M180 50Q180 24 200 23Q220 24 220 50Q200 56 180 50Z" {}
        path d="M179 47Q200 54 221 47L221 54Q200 61 179 54Z" {}
        circle cx="200" cy="20" r="5" {}
        path d="M192 66L192 67M208 66L208 67" stroke-width="3" {}
        path d="M194 73Q200 77 206 73" fill="none" {}
    }
}

fn satchel() -> Markup {
    html! {
        path d="M222 92Q196 128 168 178M226 95Q202 132 176 184" fill="none" {}
        path d="M146 182Q163 176 183 184L180 216Q162 220 143 213Z" fill="#ccc" {}
        path d="M145 191Q164 196 182 194" fill="none" {}
    }
}

fn pouch() -> Markup {
    html! {
        path d="M182 108Q200 105 219 108L218 137Q200 141 183 137Z" fill="#ccc" {}
        path d="M182 117Q200 124 219 117" fill="none" {}
    }
}

fn belt() -> Markup {
    html! {
        path d="M170 160Q200 168 230 160L231 170Q200 178 170 170Z" fill="#000" {}
        path d="M177 156L193 158L192 184L176 182Z" fill="#ccc" {}
        path d="M208 158L224 156L225 182L209 184Z" fill="#ccc" {}
    }
}

/// A thing below a hand, between both hands, or between two people.
fn in_hand(ride: &Ride) -> Markup {
    match ride.spot {
        Spot::Right if ride.with.is_some() => html! { g { (between()) } },
        Spot::Left if ride.with.is_some() => {
            html! { g transform="translate(400,0) scale(-1,1)" { (between()) } }
        }
        Spot::Right => bag(false),
        Spot::Left => bag(true),
        Spot::Both if ride.each => html! { (bag(false)) (bag(true)) },
        Spot::Both => html! {
            path d="M130 182L128 192M270 182L272 192" fill="none" {}
            path d="M112 191Q200 187 289 191L287 219Q200 223 113 219Z" fill="#ccc" {}
        },
        _ => html! {},
    }
}

/// Hanging from the right hand, or mirrored from the left.
fn bag(left: bool) -> Markup {
    let bag = html! {
        path d="M119 194Q120 178 130 178Q140 178 140 194" fill="none" {}
        path d="M108 193Q130 190 151 193L149 222Q129 225 110 222Z" fill="#ccc" {}
    };
    match left {
        false => bag,
        true => html! { g transform="translate(400,0) scale(-1,1)" { (bag) } },
    }
}

/// Between the right hand and somebody else's left hand, of whom an arm shows.
fn between() -> Markup {
    html! {
        path d="M14 148Q20 162 27 174" fill="none" stroke-dasharray="4 4" {}
        circle cx="29" cy="178" r="6" fill="#fff" stroke-dasharray="3 3" {}
        path d="M29 179L128 179" fill="none" stroke-width="3" {}
        path d="M46 184Q82 180 117 184L115 218Q80 222 48 218Z" fill="#ccc" {}
    }
}
