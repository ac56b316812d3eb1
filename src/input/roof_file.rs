//! A roof file from its first key to its last.

use super::bare_unit::BareUnit;
use super::document::parse;
use super::files::Files;
use super::names::Names;
use super::node::{Item, Table};
use super::reader::Reader;
use super::reported::Reported;
use super::schema::site::{ROOF, SITE};
use super::schema::words::{STAGES, UNITS};
use super::source_map::SourceMap;
use crate::base::diagnostic::{Diagnostic, Severity};
use crate::base::place::Place;
use crate::base::units::LengthUnit;
use crate::job::Job;
use crate::job::model::Site;
use crate::job::reading::{Expected, Fault, Problem};
use crate::survey::Survey;
use crate::takeoff::compare::{DesignLimits, Headroom};
use toml::de::DeValue;

/// A roof file that can be worked with: the job, where its parts stand, and what is worth a look.
pub type Read = (Job, SourceMap, Vec<Diagnostic>);

pub(super) fn read(name: &str, text: &str, files: &dyn Files, needs_roof: bool) -> Result<Read, Vec<Diagnostic>> {
    let document = parse(text);
    let root = Table { shape: &ROOF, entries: Some(&document.tree), span: 0..0 };
    let mut reader = Reader::new(text, BareUnit::Missing);
    let mut map = SourceMap::default();
    map.insert(Place::Job, 0..0);
    reader.check_keys(&root);
    let job = reader.job(&root, (name, needs_roof), &mut map, files);
    let has_errors = |diagnostics: &[Diagnostic]| diagnostics.iter().any(|d| d.severity == Severity::Error);
    debug_assert!(
        job.is_some() || reader.has_errors() || !document.errors.is_empty(),
        "a roof file that can't be read says why"
    );
    let format = reader.format();
    let diagnostics = super::problems::settle(document.errors, reader.problems, &document.torn, format);
    match job {
        Some(job) if !has_errors(&diagnostics) => Ok((job, map, diagnostics)),
        _ => Err(diagnostics),
    }
}

impl<'d> Reader<'d> {
    fn job(
        &mut self,
        root: &Table<'d>,
        (name, needs_roof): (&str, bool),
        map: &mut SourceMap,
        files: &dyn Files,
    ) -> Option<Job> {
        let units = self.stated_units(root);
        let title = self.maybe_text(root, "title");
        let stage = self.word(root, "stage", &STAGES);
        self.stage = stage.unwrap_or_default();
        let date = self.optional(root, "date", Self::date);
        let tolerance = self.maybe(root, "tolerance");
        let site = self.site(root);
        self.north = site.as_ref().map_or(0.0, |site| site.north);
        let limits = self.design_limits(root);
        // Before any measurement: counted courses are as sure as the covering's gauge.
        let covering = self.covering(root, map, files);
        if let Some(gauge) = covering.as_ref().and_then(|covering| covering.card.gauge()) {
            self.gauge = gauge;
        }
        let block_coverings = self.block_coverings(root, covering.as_ref(), files);
        let own = block_coverings.iter().flatten().map(|(_, covering)| &covering.card);
        let cards: Vec<_> = covering.as_ref().map(|covering| &covering.card).into_iter().chain(own).collect();
        let offer = self.offer(root, &cards);
        let as_laid = self.as_laid(root);

        let mut names = Names::default();
        let blocks = self.blocks(root, &mut names, map);
        let dormers = self.dormers(root, &mut names, map);
        self.named_points(root, &mut names, map);
        let faces = self.faces(root, &mut names, map);
        let observations = self.observations(root, &mut names, map);
        let axes = self.axes(root, &mut names);
        let (cameras, photos) = self.photos(root, &mut names, map, files);
        let openings = self.openings(root, &names, map);
        let repairs = self.repairs(root, &names);
        let framing = self.framing(root, &names);
        if needs_roof {
            self.check_has_roof(root);
        }

        if self.has_errors() {
            return None;
        }
        let (offer, left_out) = offer.ok()?;
        let mut covering = covering?;
        let mut block_coverings = block_coverings?;
        for (_, own) in &mut block_coverings {
            own.prices.left_out.clone_from(&left_out);
        }
        covering.prices.left_out = left_out;
        let survey = Survey { points: names.points, faces, observations, axes, cameras, photos };
        Some(Job {
            title: title.ok()?.unwrap_or_else(|| stem(name)),
            units: units.ok()?.unwrap_or(LengthUnit::Metre),
            stage: stage?,
            date: date.ok()?,
            tolerance: tolerance.ok()?,
            site: site?,
            blocks,
            dormers,
            survey,
            pitches: names.pitches,
            side_readings: names.side_readings,
            openings,
            covering,
            block_coverings,
            framing: framing.ok()?,
            repairs: repairs?,
            limits: limits?,
            offer,
            as_laid: as_laid?,
        })
    }

    /// `units`, which decides what bare lengths mean from here on.
    fn stated_units(&mut self, root: &Table<'d>) -> Result<Option<LengthUnit>, Reported> {
        let stated = self.maybe_word(root, "units", &UNITS);
        self.units = match stated {
            Ok(Some(unit)) => BareUnit::Stated(unit),
            Ok(None) => BareUnit::Missing,
            Err(Reported) => BareUnit::Unreadable,
        };
        stated
    }

    /// A day: TOML's own date, or the same in quotes.
    pub(super) fn date(&mut self, item: &Item<'d>) -> Option<String> {
        let day = match item.value {
            DeValue::Datetime(date) => Some(*date),
            DeValue::String(text) => text.parse::<toml::value::Datetime>().ok(),
            _ => {
                self.wrong_type(item, Expected::Day);
                return None;
            }
        };
        let day = day.filter(|day| day.time.is_none() && day.offset.is_none()).and_then(|day| day.date);
        if day.is_none() {
            self.wrong(item, Fault::BadDate { key: item.key.to_owned() });
        }
        day.map(|day| day.to_string())
    }

    fn site(&mut self, root: &Table<'d>) -> Option<Site> {
        let usual = Table { shape: &SITE, entries: None, span: 0..0 };
        let table = self.table_at(root, "site").ok()?.unwrap_or(usual);
        let wind_from = self.maybe(&table, "wind_from");
        let north = self.value(&table, "north");
        let north_is_stated = table.has("north");
        let join_gap = self.value(&table, "join_gap");
        Some(Site { wind_from: wind_from.ok()?, north: north?, north_is_stated, join_gap: join_gap? })
    }

    /// `[compare]`.
    fn design_limits(&mut self, root: &Table<'d>) -> Option<DesignLimits> {
        let Some(table) = self.table_at(root, "compare").ok()? else { return Some(DesignLimits::default()) };
        let planning_height = self.maybe(&table, "planning_height");
        let headroom = self.maybe(&table, "headroom");
        let [floor, build_up] = ["floor", "build_up"].map(|key| self.value(&table, key));
        let (floor, build_up) = (floor?, build_up?);
        let headroom = headroom.ok()?.map(|height| Headroom { height, floor, build_up });
        Some(DesignLimits { planning_height: planning_height.ok()?, headroom })
    }

    fn check_has_roof(&mut self, root: &Table<'d>) {
        if root.has("block") || root.has("face") {
            return;
        }
        self.report(Problem::error(0..0, Fault::NoRoof));
    }
}

/// The file's name without folder and ending.
fn stem(name: &str) -> String {
    let base = name.rsplit(['/', '\\']).next().unwrap_or(name);
    let stem = base.split_once('.').map_or(base, |(stem, _)| stem);
    if stem.is_empty() || base.starts_with(['<', '-']) { "Roof".to_owned() } else { stem.to_owned() }
}
