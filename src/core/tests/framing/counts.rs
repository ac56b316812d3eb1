//! Timbers of ten small roofs counted by hand. Rafters 50 mm thick at 0.60 m, flush within each verge, counted from the end of the
//! ridge; what would be shorter than 150 mm is not cut. The roofs are invented; each count is reasoned beside it.

use eavewright_core::framing::spec::{FramingSpec, Section, Sections};
use eavewright_core::framing::timber::{Carcass, TimberKind, timbers};
use eavewright_core::outline::{Footprint, Role};
use eavewright_core::roof::analysis::opening::{self, Opening, OpeningShape};
use eavewright_core::roof::{self, Options};
use support::outline::{eave, pitch, rectangle};

struct Counted {
    what: &'static str,
    footprint: Footprint,
    spacing: f64,
    opening: Option<([f64; 2], [f64; 2])>,
    /// Rafters, jacks, hips, ridge boards, trimmers.
    expected: [usize; 5],
}

fn of(what: &'static str, footprint: Footprint, expected: [usize; 5]) -> Counted {
    Counted { what, footprint, spacing: 0.60, opening: None, expected }
}

fn gable(length: f64, depth: f64, rise: impl Fn() -> Role) -> Footprint {
    rectangle(length, depth, [rise(), Role::Verge, rise(), Role::Verge])
}

fn hip(length: f64, depth: f64, sides: f64, ends: f64) -> Footprint {
    rectangle(length, depth, [eave(sides), eave(ends), eave(sides), eave(ends)])
}

fn jobs() -> Vec<Counted> {
    let gambrel = || {
        let rise = 60_f64.to_radians().tan();
        Role::Eave { pitch: pitch(60.0), breaks: vec![(rise, pitch(30.0))] }
    };
    vec![
        // Centres from 0.025 to 6.975: 6.95 / 0.60 = 11.6, so 12 on the grid and one flush at the far verge: 13 a side.
        of("gable 7.0 x 5.0", gable(7.0, 5.0, || eave(35.0)), [26, 0, 0, 1, 0]),
        // From 0.025 to 6.025: ten spaces, 11 a side.
        of("gable 6.05 x 5.0", gable(6.05, 5.0, || eave(35.0)), [22, 0, 0, 1, 0]),
        // One slope: 5.95 / 0.60 = 9.9, 10 and the flush one; against the wall no board.
        of(
            "lean-to 6.0 x 3.0",
            rectangle(6.0, 3.0, [eave(20.0), Role::Verge, Role::Abutment, Role::Verge]),
            [11, 0, 0, 0, 0],
        ),
        // Ridge 3.6 m: 0, 0.6 … 3.6 make 7 a side, and one at each end's middle. From the apex of each of eight half faces jacks
        // at 0.6, 1.2, 1.8 and 2.4 of 2.8 m.
        of("hip 9.2 x 5.6", hip(9.2, 5.6, 35.0, 35.0), [16, 32, 4, 1, 0]),
        // Ridge 3.0 m: 6 a side and two; jacks at 0.6, 1.2, 1.8 of 2.5 m, the one at 2.4 m too short.
        of("hip 8.0 x 5.0", hip(8.0, 5.0, 26.565, 26.565), [14, 24, 4, 1, 0]),
        // No ridge: from the apex at 2.0 m three to either side (1.4, 0.8, 0.2 m from the corner), the middle one cut between
        // hips too: 7 a face.
        of("pyramid 4.0", hip(4.0, 4.0, 35.0, 35.0), [0, 28, 4, 0, 0]),
        // The fourth to either side, 0.1 m from the corner, would be 0.12 m long: 7 a face again.
        of("pyramid 5.0", hip(5.0, 5.0, 35.0, 35.0), [0, 28, 4, 0, 0]),
        // As the gable of 7.0 m: 13 on each of four slopes.
        of("gambrel 7.0 x 6.0", gable(7.0, 6.0, gambrel), [52, 0, 0, 1, 0]),
        // Ridge from 3 tan 30 = 1.732 to 8.268: 0 … 6.0 m make 11, and one at its far end: 12 a side, two at the ends. Jacks on
        // a long side at 1.132 and 0.532 m before the ridge, at 8.332, 8.932 and 9.532 m behind it: 5; on an end 4 to either
        // side of its middle: 8.
        of("hip 10.0 x 6.0, 30 and 45", hip(10.0, 6.0, 30.0, 45.0), [26, 26, 4, 1, 0]),
        // 4.80 / 0.40 = 12 spaces: 13 a side.
        Counted { spacing: 0.40, ..of("gable 4.85 x 4.0", gable(4.85, 4.0, || eave(40.0)), [26, 0, 0, 1, 0]) },
        // As the gable of 6.05 m; the window cuts the rafter at 2.425 m in two and gets one at either side: 14 and 11, two
        // trimmers.
        Counted {
            opening: Some(([2.0, 1.2], [0.78, 1.18])),
            ..of("gable 6.05 x 5.0 with a window", gable(6.05, 5.0, || eave(35.0)), [25, 0, 0, 1, 2])
        },
    ]
}

#[test]
fn timbers_are_as_many_as_a_carpenter_counts() {
    let jobs = jobs();
    assert!(jobs.len() >= 10);
    for job in jobs {
        let roof = roof::solve(std::slice::from_ref(&job.footprint), &Options::default()).unwrap();
        let stated = job.opening.map(|(at, size)| Opening {
            kind: "roof window".into(),
            shape: OpeningShape::InFace { face: "b/A".into(), at, size },
            height: None,
        });
        let openings = opening::cut(&roof, stated.as_slice()).unwrap();
        let of = |depth| Some(Section::new(0.050, depth));
        let sections = Sections { rafter: of(0.150), ridge: of(0.200), ..Sections::default() };
        let spec = FramingSpec { sections, spacing: job.spacing, ..FramingSpec::default() };
        let timbers = timbers(&Carcass { roof: &roof, openings: &openings, walls: &[], spec: &spec });
        let kinds = [TimberKind::Rafter, TimberKind::Jack, TimberKind::Hip, TimberKind::Ridge, TimberKind::Trimmer];
        let found = kinds.map(|kind| timbers.all.iter().filter(|timber| timber.kind == kind).count());
        assert_eq!(found, job.expected, "{}", job.what);
    }
}
