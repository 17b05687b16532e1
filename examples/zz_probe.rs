use std::time::{Duration, Instant};
use tumpline::ask::{Oracle, shed};
use tumpline::split::{Options, Watch};
fn main() {
    let args: Vec<String> = std::env::args().collect();
    let order = tumpline::kit::read_move(std::path::Path::new(&args[1])).ok().unwrap().order;
    let ms: u64 = args[2].parse().unwrap();
    let watch = Watch::default();
    let start = Instant::now();
    let options = Options { time: Duration::from_millis(ms), ..Options::default() };
    let oracle = Oracle::new(&options, &watch);
    let shed = shed::by_limit(&order, &oracle, args.len() > 3);
    for (s, b) in shed.steps.iter().zip(&shed.below) {
        println!(
            "{:6.2} ({:6.2})  {} ({})  exact {} over {} needs {:?} goes {:?} comes {:?} {:?}",
            s.from.ratio() * 100.0,
            s.from_bound.ratio() * 100.0,
            s.value,
            s.value_bound,
            s.exact(),
            s.over,
            s.needs,
            s.goes
                .iter()
                .map(|c| format!("{}x{}", c.count, order.item(order.wants[c.want].item).id))
                .collect::<Vec<_>>(),
            s.comes
                .iter()
                .map(|c| format!("{}x{}", c.count, order.item(order.wants[c.want].item).id))
                .collect::<Vec<_>>(),
            b
        );
    }
    println!(
        "steps {} none {:?} cut {} asked {} {:?}",
        shed.steps.len(),
        shed.none,
        shed.cut_short,
        oracle.asked(),
        start.elapsed()
    );
}
