//! Cutting data as JSON: the `framing` key of `solve --json`. Lengths metres, angles degrees.

use super::name::NameTwin;
use crate::framing::corner::CornerSide;
use crate::framing::fold::JackSet;
use crate::framing::{Bend, CommonRafter, Fold, Framing, THICKNESS, THICKNESS_1_IN};
use crate::roof::Roof;
use crate::wording;
use crate::wording::units::Format;
use crate::write::each::Each;
use crate::write::timber_json::{LineTwin, PieceTwin, SettingOutTwin, StockTwin, TimberTwin};
use serde::Serialize;

/// Twin of [`Framing`].
#[derive(Serialize)]
pub struct FramingTwin<'a> {
    commons: Each<'a, CommonTwin<'a>>,
    folds: Each<'a, FoldTwin<'a>>,
    bends: Each<'a, BendTwin>,
    bends_alike: Vec<BendsTwin>,
    notes: Vec<String>,
    pieces: Vec<PieceTwin>,
    timbers: Each<'a, TimberTwin<'a>>,
    lines: Vec<LineTwin>,
    stock: StockTwin,
    setting_out: Vec<SettingOutTwin<'a>>,
    heel: Option<f64>,
}

#[derive(Serialize)]
struct CommonTwin<'a> {
    face: NameTwin<'a>,
    pitch: f64,
    run: f64,
    rise: f64,
    length: f64,
    plumb_cut: f64,
    level_cut: f64,
    from: &'static str,
    to: &'static str,
}

#[derive(Serialize)]
struct FoldTwin<'a> {
    edge: usize,
    kind: &'static str,
    length: f64,
    run: f64,
    rise: f64,
    pitch: f64,
    plumb_cut: f64,
    level_cut: f64,
    dihedral: f64,
    sides: Vec<SideTwin<'a>>,
}

#[derive(Serialize)]
struct SideTwin<'a> {
    face: NameTwin<'a>,
    pitch: f64,
    plan_angle: f64,
    backing: f64,
    drop_per_thickness: f64,
    drop_100_mm: f64,
    drop_1_in: f64,
    sheathing: f64,
    square_mitre: f64,
    square_bevel: f64,
    jack_side_cut: f64,
    fold_side_cut: f64,
    jacks: Vec<JacksTwin>,
}

#[derive(Serialize)]
struct JacksTwin {
    spacing: f64,
    difference: f64,
    jacks: Vec<JackTwin>,
}

#[derive(Serialize)]
struct JackTwin {
    at: f64,
    length: f64,
}

#[derive(Serialize)]
struct BendTwin {
    edge: usize,
    kind: &'static str,
    dihedral: f64,
    from_flat: f64,
    bevel: f64,
}

/// Bends of one kind and angle, to a tenth of a degree.
#[derive(Serialize)]
struct BendsTwin {
    kind: &'static str,
    dihedral: f64,
    from_flat: f64,
    bevel: f64,
    count: usize,
}

impl<'a> FramingTwin<'a> {
    /// The twin of the cutting data of a roof. O(jacks).
    #[must_use]
    pub fn new(roof: &'a Roof, framing: &'a Framing, format: Format) -> Self {
        let bend = |bend: &'a Bend| BendTwin {
            edge: bend.edge.index(),
            kind: bend.kind.word(),
            dihedral: bend.dihedral.to_degrees(),
            from_flat: bend.from_flat().to_degrees(),
            bevel: bend.bevel().to_degrees(),
        };
        let alike = |(first, count): &(Bend, usize)| BendsTwin {
            kind: first.kind.word(),
            dihedral: first.dihedral.to_degrees(),
            from_flat: first.from_flat().to_degrees(),
            bevel: first.bevel().to_degrees(),
            count: *count,
        };
        Self {
            commons: Each::new(move || framing.commons.iter().map(|common| common_twin(roof, common))),
            folds: Each::new(|| framing.folds.iter().map(fold_twin)),
            bends: Each::new(move || framing.bends.iter().map(bend)),
            bends_alike: framing.bends_alike().iter().map(alike).collect(),
            notes: framing.findings.iter().map(|finding| wording::framing::finding(finding, format)).collect(),
            pieces: framing.pieces.iter().map(PieceTwin::of).collect(),
            timbers: Each::new(move || TimberTwin::all(roof, framing)),
            lines: framing.lines.iter().map(LineTwin::of).collect(),
            stock: StockTwin::all(framing),
            setting_out: framing.setting_out.iter().map(|out| SettingOutTwin::of(roof, out)).collect(),
            heel: framing.timbers.as_ref().map(|timbers| timbers.heel),
        }
    }
}

fn common_twin<'a>(roof: &'a Roof, common: &CommonRafter) -> CommonTwin<'a> {
    let pitch = common.pitch.degrees();
    CommonTwin {
        face: NameTwin::of(roof, common.face),
        pitch,
        run: common.run.0,
        rise: common.rise,
        length: common.length.0,
        plumb_cut: pitch,
        level_cut: 90.0 - pitch,
        from: common.foot.word(),
        to: common.head.word(),
    }
}

fn fold_twin(fold: &Fold) -> FoldTwin<'_> {
    let pitch = fold.corner.pitch.to_degrees();
    let sides = fold.corner.sides.iter().zip(&fold.faces).enumerate();
    FoldTwin {
        edge: fold.edge.index(),
        kind: fold.kind.word(),
        length: fold.length.0,
        run: fold.run.0,
        rise: fold.rise,
        pitch,
        plumb_cut: pitch,
        level_cut: 90.0 - pitch,
        dihedral: fold.dihedral.to_degrees(),
        sides: sides.map(|(index, (side, face))| side_twin(fold, index, side, NameTwin(face))).collect(),
    }
}

fn side_twin<'a>(fold: &Fold, index: usize, side: &CornerSide, face: NameTwin<'a>) -> SideTwin<'a> {
    let jacks = |set: &JackSet| JacksTwin {
        spacing: set.spacing.0,
        difference: set.difference[index].0,
        jacks: set.jacks[index].iter().map(|jack| JackTwin { at: jack.at.0, length: jack.length.0 }).collect(),
    };
    SideTwin {
        face,
        pitch: side.pitch.degrees(),
        plan_angle: side.plan_angle.to_degrees(),
        backing: side.backing.to_degrees(),
        drop_per_thickness: side.drop_per_thickness,
        drop_100_mm: side.drop_of(THICKNESS),
        drop_1_in: side.drop_of(THICKNESS_1_IN),
        sheathing: side.sheathing.to_degrees(),
        square_mitre: side.square_mitre.to_degrees(),
        square_bevel: side.square_bevel.to_degrees(),
        jack_side_cut: side.jack_side_cut.to_degrees(),
        fold_side_cut: side.fold_side_cut.to_degrees(),
        jacks: fold.jacks.iter().map(jacks).collect(),
    }
}
