//! The tree and its cuts against every whole point of small random programs.

use super::cuts::cuts;
use super::limits::Limits;
use super::node::Node;
use super::node_relaxation::{NodeRelaxation, relaxation};
use super::tree::solve_tree;
use super::warm_start::WarmSimplex;
use crate::program::{Affine, Model};
use std::sync::atomic::AtomicBool;
use std::time::{Duration, Instant};

struct Random(u64);

impl Random {
    fn below(&mut self, n: u64) -> u64 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % n
    }
}

/// Three to five whole columns, two to four rows, positive and negative.
fn random_model(r: &mut Random) -> Model {
    let mut model = Model::default();
    let n = 3 + r.below(3) as usize;
    for _ in 0..n {
        let high = 1 + r.below(4);
        model.whole(high);
    }
    for _ in 0..2 + r.below(3) {
        let mut row = Affine::default();
        for c in 0..n {
            let k = r.below(19) as f64 - if r.below(2) == 0 { 0.0 } else { 9.0 };
            row.add(c, k / 2.0);
        }
        if r.below(2) == 0 {
            model.at_most(&row, r.below(40) as f64 / 2.0);
        } else {
            model.at_least(&row, r.below(20) as f64 / 2.0);
        }
    }
    let mut objective = Affine::constant(r.below(5) as f64);
    for c in 0..n {
        objective.add(c, r.below(21) as f64 - 10.0);
    }
    model.minimise(&objective);
    model
}

fn points(model: &Model) -> Vec<Vec<f64>> {
    let mut all = vec![vec![]];
    for c in &model.columns {
        let ends = c.low as i64..=c.high as i64;
        all = all
            .iter()
            .flat_map(|p: &Vec<f64>| {
                ends.clone().map(move |v| [p.as_slice(), &[v as f64]].concat())
            })
            .collect();
    }
    let keeps = |p: &Vec<f64>| {
        model.rows.iter().all(|r| {
            let v: f64 = r.terms.iter().map(|(c, k)| k * p[*c]).sum();
            v >= r.low - 1e-9 && v <= r.high + 1e-9
        })
    };
    all.into_iter().filter(keeps).collect()
}

fn least(model: &Model, points: &[Vec<f64>]) -> Option<f64> {
    points.iter().map(|p| model.objective.value(p)).min_by(|a, b| a.total_cmp(b))
}

#[test]
fn finds_the_best_point_or_that_there_is_none() {
    let (mut with, mut without) = (0, 0);
    for seed in 0..400 {
        let model = random_model(&mut Random(seed));
        let best = least(&model, &points(&model));
        let stop = AtomicBool::new(false);
        let limits = |known| Limits {
            known,
            step: 1.0,
            gap: 0.0,
            nodes: u64::MAX,
            end: Instant::now() + Duration::from_secs(60),
            stop: &stop,
        };
        let result = solve_tree(&model, &limits(None));
        let found = result.values.as_ref().map(|v| model.objective.value(v));
        assert!(result.complete, "seed {seed}");
        match (best, found) {
            (Some(b), Some(f)) => {
                assert!((b - f).abs() < 1e-6, "seed {seed}: {f} found, {b} is best");
                with += 1;
                // Given the best, it proves that nothing is better.
                let again = solve_tree(&model, &limits(Some(b)));
                assert!(
                    again.values.is_none() && again.complete,
                    "seed {seed}: {again:?} after {b}; {model:?}"
                );
                // Given a worse one, it finds the best.
                let better = solve_tree(&model, &limits(Some(b + 3.0)));
                let f = better.values.map(|v| model.objective.value(&v));
                assert!(f.is_some_and(|f| (f - b).abs() < 1e-6), "seed {seed}: {f:?}");
            }
            (None, None) => without += 1,
            (b, f) => panic!("seed {seed}: best {b:?}, found {f:?}"),
        }
    }
    assert!(with > 100 && without > 20, "{with} with a point, {without} without");
}

/// Some of the columns real, as the ways of a relaxation are; the
/// objective whole wherever all columns are.
fn random_loose_model(r: &mut Random) -> Model {
    let mut model = random_model(r);
    for c in 0..model.columns.len() {
        model.columns[c].whole = r.below(2) == 0;
    }
    let mut objective = Affine::constant(0.25);
    for c in 0..model.columns.len() {
        objective.add(c, 2.0 * (r.below(11) as f64 - 5.0));
    }
    model.minimise(&objective);
    model
}

/// What counts are the points whose columns are all whole. No bound may pass
/// the best of them, given a worse one or none.
#[test]
fn no_bound_passes_the_best_of_what_counts() {
    let (mut between, mut proven) = (0, 0);
    for seed in 0..1_500 {
        let model = random_loose_model(&mut Random(seed));
        let best = least(&model, &points(&model));
        for known in [None, best, best.map(|b| b + 2.0), best.map(|b| b + 6.0)] {
            let stop = AtomicBool::new(false);
            let end = Instant::now() + Duration::from_secs(60);
            let nodes = if seed % 3 == 0 { 4 } else { u64::MAX };
            let limits = Limits { known, step: 2.0, gap: 0.0, nodes, end, stop: &stop };
            let result = solve_tree(&model, &limits);
            let value = result.values.as_ref().map(|v| model.objective.value(v));
            if let (Some(best), Some(bound)) = (best, result.bound) {
                assert!(bound <= best + 1e-6, "seed {seed}: {bound} passes {best} ({known:?})");
                proven += u32::from((bound - best).abs() < 1e-6);
            }
            between += u32::from(value.is_some_and(|v| ((v - 0.25) / 2.0).fract().abs() > 1e-3));
        }
    }
    assert!(between > 50 && proven > 500, "{between} points between steps, {proven} proven");
}

#[test]
fn a_cut_keeps_every_whole_point_and_loses_the_relaxed_one() {
    let mut made = 0;
    for seed in 0..600 {
        let model = random_model(&mut Random(seed));
        let root = Node::root(&model);
        let NodeRelaxation::Point { values, .. } = relaxation(&model, &root) else { continue };
        let points = points(&model);
        for cut in cuts(&model, &root, &values) {
            made += 1;
            let at = |p: &[f64]| cut.terms.iter().map(|(c, k)| k * p[*c]).sum::<f64>();
            assert!(at(&values) < cut.low, "seed {seed}: the relaxed point is kept");
            for p in &points {
                assert!(at(p) >= cut.low - 1e-6, "seed {seed}: {p:?} is lost by {cut:?}");
            }
        }
    }
    assert!(made > 100, "only {made} cuts were made");
}

#[test]
fn a_whole_sum_of_real_columns_is_branched_on() {
    // Two real columns whose sum is whole, at most 2.5 together: 2 at best.
    let mut model = Model::default();
    let (a, b) = (model.real(0.0, 2.0), model.real(0.0, 2.0));
    model.sum(&[a, b], 1);
    let mut both = Affine::default();
    both.add(a, 1.0);
    both.add(b, 1.0);
    model.at_most(&both, 2.5);
    model.minimise(&-both);
    let stop = AtomicBool::new(false);
    let end = Instant::now() + Duration::from_secs(60);
    let limits = Limits { known: None, step: 0.0, gap: 0.0, nodes: u64::MAX, end, stop: &stop };
    let result = solve_tree(&model, &limits);
    let value = result.values.map(|v| model.objective.value(&v));
    assert!(value.is_some_and(|v| (v + 2.0).abs() < 1e-6), "{value:?}");
}

#[test]
fn stops_at_once_when_told() {
    let model = random_model(&mut Random(3));
    let stop = AtomicBool::new(true);
    let end = Instant::now() + Duration::from_secs(60);
    let limits = Limits { known: None, step: 1.0, gap: 0.0, nodes: u64::MAX, end, stop: &stop };
    let result = solve_tree(&model, &limits);
    assert!(!points(&model).is_empty() && !result.complete);
}

/// From node to node the warm relaxation is the cold one, and its bound holds.
#[test]
fn a_warm_relaxation_is_the_cold_one() {
    let (mut points, mut refuted) = (0, 0);
    for seed in 0..400 {
        let mut random = Random(seed);
        let model = random_model(&mut random);
        let mut warm = WarmSimplex::new(&model);
        for _ in 0..12 {
            let mut node = Node::root(&model);
            for c in 0..model.columns.len() {
                let high = node.high[c] as u64;
                node.low[c] = random.below(high + 1) as f64;
                node.high[c] = node.low[c] + random.below(high + 1 - node.low[c] as u64) as f64;
                if random.below(2) == 0 {
                    (node.low[c], node.high[c]) = (0.0, high as f64);
                }
            }
            let cold = relaxation(&model, &node);
            match (warm.relax(&mut node, f64::INFINITY, &mut Vec::new()), cold) {
                (
                    NodeRelaxation::Point { objective: a, values },
                    NodeRelaxation::Point { objective: b, .. },
                ) => {
                    points += 1;
                    assert!((a - b).abs() < 1e-6, "seed {seed}: {a} warm, {b} cold");
                    assert!((model.objective.value(&values) - b).abs() < 1e-6, "seed {seed}");
                }
                (NodeRelaxation::Infeasible, NodeRelaxation::Infeasible) => refuted += 1,
                // On the edge neither need be sure.
                (NodeRelaxation::Unknown, _) => {}
                _ => panic!("seed {seed}: warm and cold disagree on {node:?} of {model:?}"),
            }
        }
    }
    assert!(points > 1_000 && refuted > 300, "{points} points, {refuted} refuted");
}
