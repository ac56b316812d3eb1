//! The 27 nonlinear regression data sets of the NIST Statistical Reference Datasets (tests/data/survey/README.md): the
//! solver of the adjustment must reach the certified parameters and their standard deviations to 6 digits or more, and the
//! certified sum of squares to 9, all 27 from both published starts.

use super::dual;
use dual::Dual;
use eavewright_core::survey::scalar::Scalar;
use eavewright_core::survey::solver::cofactor::Cofactor;
use eavewright_core::survey::solver::marquardt::{Problem, Stop, minimise};
use eavewright_core::survey::solver::rows::Rows;
use std::f64::consts::{PI, TAU};

type D = Dual<9>;

struct Set {
    name: String,
    starts: [Vec<f64>; 2],
    certified: Vec<f64>,
    deviations: Vec<f64>,
    sum_of_squares: f64,
    residual_deviation: f64,
    /// Response, then predictors.
    data: Vec<Vec<f64>>,
}

fn read(path: &std::path::Path) -> Set {
    let text = std::fs::read_to_string(path).unwrap();
    let (mut starts, mut certified, mut deviations, mut data) = ([vec![], vec![]], vec![], vec![], vec![]);
    let (mut sum_of_squares, mut residual_deviation) = (0.0, 0.0);
    let mut in_data = false;
    for line in text.lines() {
        let words: Vec<&str> = line.split_whitespace().collect();
        let numbers = |from: usize| -> Vec<f64> { words[from..].iter().map(|w| w.parse().unwrap()).collect() };
        if line.starts_with("Data:") && words.get(1) == Some(&"y") {
            in_data = true;
        } else if in_data && !words.is_empty() {
            data.push(numbers(0));
        } else if words.len() == 6 && words[0].starts_with('b') && words[1] == "=" {
            let row = numbers(2);
            starts[0].push(row[0]);
            starts[1].push(row[1]);
            certified.push(row[2]);
            deviations.push(row[3]);
        } else if line.starts_with("Residual Sum of Squares:") {
            sum_of_squares = numbers(4)[0];
        } else if line.starts_with("Residual Standard Deviation:") {
            residual_deviation = numbers(3)[0];
        }
    }
    let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
    Set { name, starts, certified, deviations, sum_of_squares, residual_deviation, data }
}

fn c(value: f64) -> D {
    D::constant(value)
}

/// The model's response and the observed one.
fn model(name: &str, b: &[D], row: &[f64]) -> (D, f64) {
    let x = c(row[1]);
    let xf = row[1];
    let computed = match name {
        "Bennett5" => b[0] * (b[1] + x).pow(c(-1.0) / b[2]),
        "BoxBOD" | "Misra1a" => b[0] * (c(1.0) - (-b[1] * x).exp()),
        "Chwirut1" | "Chwirut2" => (-b[0] * x).exp() / (b[1] + b[2] * x),
        "DanWood" => b[0] * x.pow(b[1]),
        "ENSO" => {
            let wave = |period: D| (c(TAU * xf) / period).cos();
            let other = |period: D| (c(TAU * xf) / period).sin();
            b[0] + b[1] * wave(c(12.0))
                + b[2] * other(c(12.0))
                + b[4] * wave(b[3])
                + b[5] * other(b[3])
                + b[7] * wave(b[6])
                + b[8] * other(b[6])
        }
        "Eckerle4" => {
            let z = (x - b[2]) / b[1];
            b[0] / b[1] * (c(-0.5) * z * z).exp()
        }
        "Gauss1" | "Gauss2" | "Gauss3" => {
            let bell = |height: D, at: D, width: D| {
                let z = (x - at) / width;
                height * (-(z * z)).exp()
            };
            b[0] * (-b[1] * x).exp() + bell(b[2], b[3], b[4]) + bell(b[5], b[6], b[7])
        }
        "Hahn1" | "Thurber" => {
            (b[0] + x * (b[1] + x * (b[2] + x * b[3]))) / (c(1.0) + x * (b[4] + x * (b[5] + x * b[6])))
        }
        "Kirby2" => (b[0] + x * (b[1] + x * b[2])) / (c(1.0) + x * (b[3] + x * b[4])),
        "Lanczos1" | "Lanczos2" | "Lanczos3" => {
            b[0] * (-b[1] * x).exp() + b[2] * (-b[3] * x).exp() + b[4] * (-b[5] * x).exp()
        }
        "MGH09" => b[0] * (x * x + x * b[1]) / (x * x + x * b[2] + b[3]),
        "MGH10" => b[0] * (b[1] / (x + b[2])).exp(),
        "MGH17" => b[0] + b[1] * (-x * b[3]).exp() + b[2] * (-x * b[4]).exp(),
        "Misra1b" => {
            let base = c(1.0) + b[1] * x / c(2.0);
            b[0] * (c(1.0) - c(1.0) / (base * base))
        }
        "Misra1c" => b[0] * (c(1.0) - c(1.0) / (c(1.0) + c(2.0) * b[1] * x).sqrt()),
        "Misra1d" => b[0] * b[1] * x / (c(1.0) + b[1] * x),
        "Nelson" => return (b[0] - b[1] * x * (-b[2] * c(row[2])).exp(), row[0].ln()),
        "Rat42" => b[0] / (c(1.0) + (b[1] - b[2] * x).exp()),
        "Rat43" => b[0] / (c(1.0) + (b[1] - b[2] * x).exp()).pow(c(1.0) / b[3]),
        "Roszman1" => b[0] - b[1] * x - (b[2] / (x - b[3])).atan() / c(PI),
        other => panic!("no model for {other}"),
    };
    (computed, row[0])
}

impl Problem for Set {
    type State = Vec<f64>;

    fn linearise(&self, state: &Vec<f64>) -> Rows {
        let b: Vec<D> = state.iter().enumerate().map(|(k, &value)| D::variable(value, k)).collect();
        let mut rows = Rows::new(state.len());
        for row in &self.data {
            let (computed, observed) = model(&self.name, &b, row);
            let mut entries: Vec<(usize, f64)> = (0..state.len()).map(|k| (k, computed.slopes[k])).collect();
            rows.push(computed.value - observed, &mut entries);
        }
        rows
    }

    fn constraints(&self, state: &Vec<f64>) -> Rows {
        Rows::new(state.len())
    }

    fn advance(&self, state: &Vec<f64>, step: &[f64]) -> Vec<f64> {
        state.iter().zip(step).map(|(value, step)| value + step).collect()
    }
}

#[test]
fn certified_values_from_both_starts() {
    let folder = support::data("survey/nist");
    let mut paths: Vec<_> = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    assert_eq!(paths.len(), 27);
    let mut failures = Vec::new();
    for path in paths {
        let set = read(&path);
        for (number, start) in set.starts.iter().enumerate() {
            let stop = Stop { relative: 1e-22, absolute: 0.0, turns: 3000 };
            let solution = minimise(&set, start.clone(), &stop);
            let digits = |found: &[f64], expected: &[f64]| {
                let worst = found.iter().zip(expected).map(|(f, e)| ((f - e) / e).abs()).fold(0.0, f64::max);
                -worst.max(1e-17).log10()
            };
            let parameters = digits(&solution.state, &set.certified);
            let squares = digits(&[solution.cost], &[set.sum_of_squares]);
            let cofactor = Cofactor::new(&set.linearise(&solution.state));
            let deviations: Vec<f64> = (0..start.len())
                .map(|k| cofactor.between(&[(k, 1.0)], &[(k, 1.0)]).sqrt() * set.residual_deviation)
                .collect();
            let sds = digits(&deviations, &set.deviations);
            // Lanczos1 has residuals of 10⁻¹⁴: their sum of squares is rounding.
            let exact = set.sum_of_squares < 1e-20;
            if parameters < 6.0 || sds < 6.0 || (squares < 9.0 && !exact) {
                failures.push(format!("{} start {}", set.name, number + 1));
            }
        }
    }
    assert!(failures.is_empty(), "{failures:?}");
}
