//! Models of joined blocks with overhangs are solids by the word of two mesh libraries from outside, trimesh (MIT) and
//! manifold3d (Apache-2.0): every edge between two faces, wound alike, and of the answer's volume.
//!
//! `SEEDS=from..to cargo test --no-default-features --test write solids -- --ignored --nocapture` chooses others.

use eavewright::job::Answer;
use eavewright::roof::kernel::shell;
use eavewright::roof::{self, Options};
use eavewright::write::model::{Model, obj, stl};
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::io::Write as _;
use std::process::{Command, Stdio};
use support::blocks;

const OPTIONS: Options = Options { tolerance: None, join_gap: 0.0, steps: false };

/// A Python with both libraries; `None`, and a line that says so, where there is none. CI must have it.
fn python() -> Option<String> {
    let python = std::env::var("EAVEWRIGHT_PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let has = Command::new(&python).args(["-c", "import trimesh, manifold3d"]).output();
    if has.is_ok_and(|output| output.status.success()) {
        return Some(python);
    }
    support::skipped("trimesh or manifold3d", "solids have no outside word on them", ".ci/validators");
    None
}

/// Writes the models of scenes, has them judged, and gives what was wrong.
fn judged(seeds: std::ops::Range<u64>) -> Vec<String> {
    let folder = tempfile::tempdir().unwrap();
    let mut wrong = Vec::new();
    let mut list = String::new();
    let mut tally: BTreeMap<&str, [usize; 2]> = BTreeMap::new();
    let (mut over, mut refused) = (0, 0);
    for seed in seeds {
        let (kind, footprints) = blocks::overhanging(seed);
        let counts = tally.entry(kind).or_default();
        let roof = match roof::solve(&footprints, &OPTIONS) {
            Ok(roof) => roof,
            Err(error) => {
                refused += 1;
                wrong.push(format!("{seed} {kind}: refused: {error}"));
                continue;
            }
        };
        counts[0] += 1;
        over += usize::from(shell::overhangs(&roof));
        match shell::solid(&roof, 0.0) {
            Err(fault) => wrong.push(format!("{seed} {kind}: {fault:?}")),
            Ok(solid) => {
                counts[1] += 1;
                // A sheet a tenth of a millimetre thick over the plan; a place of an STL has a hundredth of one.
                let volume = roof.volume.unwrap();
                let plan = roof.total_plan_area().0;
                let sheets = shell::thickness(&roof) * plan;
                for (ending, bytes, rounding) in [
                    (
                        "obj",
                        obj::obj(&Model::untold(kind, &Answer::of_roof(roof.clone()), &solid), None).into_bytes(),
                        0.0,
                    ),
                    ("stl", stl::stl(&solid, &[]), 1e-5 * (plan + roof.total_area().0) * 2.0),
                ] {
                    let path = folder.path().join(format!("{seed}.{ending}"));
                    std::fs::write(&path, bytes).unwrap();
                    writeln!(list, "{} {volume} {}", path.display(), sheets + rounding).unwrap();
                }
            }
        }
    }
    eprintln!("scenes solved and made solid {tally:?}; {over} with overhangs, {refused} refused");
    if let Some(python) = python() {
        wrong.extend(describe(&python, list));
    }
    wrong
}

fn describe(python: &str, list: String) -> Vec<String> {
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/tools/solid_manifold.py");
    let mut child =
        Command::new(python).arg(script).stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().expect("python starts");
    let mut input = child.stdin.take().unwrap();
    let writer = std::thread::spawn(move || input.write_all(list.as_bytes()));
    let output = child.wait_with_output().unwrap();
    writer.join().unwrap().unwrap();
    assert!(output.status.success());
    let said = String::from_utf8_lossy(&output.stdout).into_owned();
    let mut lines: Vec<String> = said.lines().map(str::to_owned).collect();
    eprintln!("{}", lines.pop().unwrap());
    lines
}

#[test]
fn joined_blocks_with_overhangs_are_solid() {
    let wrong = judged(0..240);
    assert!(wrong.is_empty(), "{} wrong\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
#[ignore = "five thousand scenes; SEEDS=from..to chooses them"]
fn five_thousand_joined_blocks_with_overhangs_are_solid() {
    let seeds = std::env::var("SEEDS").unwrap_or_else(|_| "1000..6000".into());
    let (from, to) = seeds.split_once("..").unwrap();
    let wrong = judged(from.parse().unwrap()..to.parse().unwrap());
    assert!(wrong.is_empty(), "{} wrong\n{}", wrong.len(), wrong.join("\n"));
}
