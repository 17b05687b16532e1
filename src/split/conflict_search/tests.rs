//! The search against every point of small random models.

use super::integer_model::{IntegerModel, IntegerRow};
use super::search::{ConflictSearch, Verdict};
use crate::local_search::Random;
use crate::program::{Affine, Model};

/// Three to six columns and two to six rows; half of them tight.
fn random_model(r: &mut Random) -> IntegerModel {
    let mut model = IntegerModel::default();
    let n = 3 + r.below(4);
    for _ in 0..n {
        let low = r.below(3) as i64 - 1;
        model.low.push(low);
        model.high.push(low + r.below(4) as i64);
        model.grain.push([1.0, 10.0][r.below(2)]);
    }
    for _ in 0..2 + r.below(5) {
        let weight = |r: &mut Random| r.below(13) as i64 - 5;
        let terms: Vec<(usize, i64)> =
            (0..n).map(|c| (c, weight(r))).filter(|t| t.1 != 0).collect();
        let low = &model.low;
        let least: i64 = terms.iter().map(|&(c, k)| (k * low[c]).min(k * model.high[c])).sum();
        model.rows.push(IntegerRow { terms, most: least + r.below(18) as i64 });
    }
    model.objective = (0..n).map(|c| (c, r.below(9) as i64 - 4)).filter(|t| t.1 != 0).collect();
    model.objective_grain = 1.0;
    model
}

fn points(model: &IntegerModel) -> Vec<Vec<i64>> {
    let mut all: Vec<Vec<i64>> = vec![vec![]];
    for (l, h) in model.low.iter().zip(&model.high) {
        all = all
            .iter()
            .flat_map(|p| (*l..=*h).map(move |v| [p.as_slice(), &[v]].concat()))
            .collect();
    }
    let keeps = |p: &Vec<i64>| model.rows.iter().all(|r| sum(&r.terms, p) <= r.most);
    all.into_iter().filter(keeps).collect()
}

fn sum(terms: &[(usize, i64)], point: &[i64]) -> i64 {
    terms.iter().map(|(c, k)| k * point[*c]).sum()
}

#[test]
fn finds_the_least_objective_or_refutes() {
    let (mut with, mut without, mut conflicts) = (0, 0, 0);
    let (mut broken, mut narrowing) = (0, 0);
    for seed in 0..4_000 {
        let mut random = Random::new(seed);
        let model = random_model(&mut random);
        let points = points(&model);
        let best = points.iter().map(|p| sum(&model.objective, p)).min();
        let phase = (0..model.low.len()).map(|_| random.below(5) as i64 - 1).collect();
        let mut search = ConflictSearch::new(&model, phase);
        let mut found = None;
        loop {
            // In small portions, to see that it goes on where it stopped.
            match search.run(50, &|_| false) {
                Verdict::OutOfWork => {}
                Verdict::Refuted => break,
                Verdict::Point(p) => {
                    assert!(points.contains(&p), "seed {seed}: {p:?} is no point of {model:?}");
                    let value = sum(&model.objective, &p);
                    assert!(found.is_none_or(|f| value < f), "seed {seed}");
                    found = Some(value);
                    search.set_cutoff(value - 1);
                }
            }
        }
        assert_eq!(found, best, "seed {seed}: {model:?}");
        conflicts += search.conflicts();
        broken += search.relaxation_stats().broken;
        narrowing += search.relaxation_stats().narrowing;
        if best.is_some() { with += 1 } else { without += 1 }
    }
    assert!(with > 1_000 && without > 300 && conflicts > 1_000, "{with} {without} {conflicts}");
    assert!(broken > 10 && narrowing > 100, "{broken} {narrowing}");
}

#[test]
fn every_point_comes_once_when_each_is_forbidden() {
    for seed in 0..400 {
        let model = random_model(&mut Random::new(seed + 10_000));
        let mut left = points(&model);
        if left.len() > 300 {
            continue;
        }
        let columns: Vec<usize> = (0..model.low.len()).collect();
        let mut search = ConflictSearch::new(&model, model.low.clone());
        loop {
            match search.run(u64::MAX, &|_| false) {
                Verdict::OutOfWork => panic!("seed {seed}"),
                Verdict::Refuted => break,
                Verdict::Point(p) => {
                    let at = left.iter().position(|q| *q == p);
                    left.swap_remove(at.unwrap_or_else(|| panic!("seed {seed}: {p:?} again")));
                    search.forbid(&p, &columns);
                }
            }
        }
        assert!(left.is_empty(), "seed {seed}: {left:?} never came");
    }
}

/// Seven things, six places, one thing each (the pigeonholes): refuted.
#[test]
fn refutes_small_pigeonholes() {
    let (things, places) = (7, 6);
    let mut model = IntegerModel {
        low: vec![0; things * places],
        grain: vec![1.0; things * places],
        ..Default::default()
    };
    model.high = vec![1; things * places];
    for t in 0..things {
        let terms = (0..places).map(|p| (t * places + p, -1)).collect();
        model.rows.push(IntegerRow { terms, most: -1 });
    }
    for p in 0..places {
        let terms = (0..things).map(|t| (t * places + p, 1)).collect();
        model.rows.push(IntegerRow { terms, most: 1 });
    }
    model.objective_grain = 1.0;
    let mut search = ConflictSearch::new(&model, vec![0; things * places]);
    assert_eq!(search.run(u64::MAX, &|_| false), Verdict::Refuted);
    // Row by row nothing is wrong, and the sum of all rows says that it is.
    assert!(
        search.conflicts() < 20 && search.relaxation_stats().broken > 0,
        "{:?}",
        search.relaxation_stats()
    );
}

/// Work is counted, not timed.
#[test]
fn the_same_work_each_time() {
    let model = random_model(&mut Random::new(77));
    let run = || {
        let mut search = ConflictSearch::new(&model, model.low.clone());
        search.run(u64::MAX, &|_| false);
        (search.work(), search.conflicts())
    };
    assert_eq!(run(), run());
}

/// A program in kg, L and counts, in whole numbers: limits to the milligram,
/// demands to the part of a unit, a hair of room gone; what is not whole is left
/// out.
#[test]
fn a_program_comes_out_whole() {
    let mut model = Model::default();
    let (tents, gap) = (model.whole(9), model.real_in(1e6, 0.0, 2.5));
    let affine = |terms: &[(usize, f64)]| Affine { terms: terms.to_vec(), constant: 0.0 };
    // 3.333333 kg each under 20 kg, half a milligram of room for rounding.
    model.at_most_in(1e6, &affine(&[(tents, 3.333_333), (gap, 1.0)]), 20.0 + 0.5e-6);
    // A demand of 1.5 with 10 % slack, in tenths of a thousandth.
    model.at_least_in(1e4, &affine(&[(tents, 0.75)]), 1.5 * 1.1 - 1e-7);
    // A third is whole in no hundredth.
    model.at_most_in(100.0, &affine(&[(tents, 1.0 / 3.0)]), 1.0);
    model.minimise_in(1e6, &affine(&[(tents, 3.333_333)]));
    let whole = IntegerModel::of(&model).unwrap();
    assert_eq!((whole.low[gap], whole.high[gap]), (0, 2_500_000));
    let rows: Vec<_> = whole.rows.iter().map(|r| (r.terms.clone(), r.most)).collect();
    let limit = (vec![(tents, 3_333_333), (gap, 1)], 20_000_000);
    // 0.75 · tents ≥ 1.65 is 7500 · tents ≥ 16500, so three of them.
    let demand = (vec![(tents, -1)], -3);
    assert_eq!(rows, [limit, demand]);
    assert!(whole.has_objective());
    assert_eq!(whole.grains(9.999_999 + 1e-9), 9_999_999);
    model.minimise(&affine(&[(gap, 1.0)]));
    assert!(!IntegerModel::of(&model).unwrap().has_objective());
    model.real(0.0, 1.0);
    assert!(IntegerModel::of(&model).is_none());
}
