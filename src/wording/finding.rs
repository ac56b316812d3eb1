//! Findings of a job in words, one sentence each: lower case, without a full stop.

use super::About;
use super::amount::list;
use super::survey::Names;
use super::{estimate, framing, outline, roof, survey};
use crate::base::estimate::Estimate;
use crate::base::finding::{Finding as _, Severity};
use crate::job::finding::{Finding, OpenArea, OpenLength};
use crate::survey::sigma::COMPASS;
use crate::takeoff::finding as takeoff;

/// A finding.
#[must_use]
pub fn sentence(about: &About<'_>, finding: &Finding) -> String {
    let format = about.units;
    match finding {
        Finding::Survey(finding) => survey::finding(&Names::of(about.job), finding, format),
        Finding::Outline(finding) => outline::finding(finding, format),
        Finding::Roof(finding) => roof::finding(about, finding),
        Finding::Framing(finding) => framing::finding(finding, format),
        Finding::AreasNotDetermined { areas } => {
            let one = |open: &OpenArea| {
                format!(
                    "of {} ({})",
                    about.face(open.face),
                    estimate::area(&Estimate::measured(open.area, open.sd), format)
                )
            };
            too_uncertain("area", "areas", finding, &areas.iter().map(one).collect::<Vec<_>>())
        }
        Finding::LengthsNotDetermined { lengths } => {
            let one = |open: &OpenLength| {
                format!(
                    "of the {} of {} ({})",
                    about.roof.edges[open.edge.index()].kind.word(),
                    about.listed(&open.faces),
                    estimate::fine(&Estimate::measured(open.length, open.sd), format)
                )
            };
            too_uncertain("length", "lengths", finding, &lengths.iter().map(one).collect::<Vec<_>>())
        }
        Finding::NorthByCompass { photos, north, is_magnetic, apart, written } => {
            let names = Names::of(about.job);
            let named: Vec<String> = photos.iter().map(|&photo| names.photo(photo)).collect();
            let degrees = |angle: f64| format!("{:.0}°", angle.to_degrees());
            let of = if named.len() == 1 { "the compass of" } else { "the compasses of" };
            let from = if *is_magnetic { "magnetic north (add the site's declination)" } else { "true north" };
            let spread =
                apart.map_or_else(String::new, |apart| format!("; they differ by {} from their mean", degrees(apart)));
            let told = format!(
                "by {of} {}, good to about {}, the plan's upward axis bears {} from {from}{spread}",
                list(&named.iter().map(String::as_str).collect::<Vec<_>>()),
                degrees(COMPASS),
                degrees(*north)
            );
            match written {
                Some(written) => {
                    format!("{told}; the file says {}: look which is right, for it alone is used", degrees(*written))
                }
                None => format!(
                    "{told}: nothing is turned by that; write `north = {:.0}` under [site] if it is right",
                    north.to_degrees()
                ),
            }
        }
        Finding::PitchRead { side, written, read, taken, is_apart } => {
            let [written, read, taken] = [written, read, taken].map(|pitch| format!("{:.2}°", pitch.to_degrees()));
            let again = if *is_apart { "; they lie farther apart than they are unsure: read it again" } else { "" };
            format!("the pitch over {side} is written as {written}, was read as {read}, and is taken as {taken}{again}")
        }
    }
}

fn too_uncertain(one: &str, many: &str, finding: &Finding, told: &[String]) -> String {
    let percent = finding.values().iter().find(|(name, _)| *name == "percent").map_or(0.0, |(_, value)| *value);
    let (what, theirs) = if told.len() == 1 { (one, "its") } else { (many, "their") };
    format!(
        "not determined, for {theirs} standard deviation is more than {percent:.0} %: the {what} {}",
        told.join("; ")
    )
}

/// What must be read before anything else: every finding that stops the work or casts doubt, as sentences.
#[must_use]
pub fn first(about: &About<'_>, findings: &[Finding]) -> Vec<String> {
    describe(about, findings, Severity::comes_first)
}

/// The same of a job and its take-off together, in one order, with the weight of each.
#[must_use]
pub(crate) fn first_of_all(
    about: &About<'_>,
    findings: &[Finding],
    order: &[takeoff::Finding],
) -> Vec<(Severity, String)> {
    let job = findings.iter().map(|finding| (finding.severity(), sentence(about, finding)));
    let of_order =
        |finding: &takeoff::Finding| (finding.severity(), super::takeoff::with_faces(finding, about.roof, about.units));
    let mut told: Vec<(Severity, String)> = job.chain(order.iter().map(of_order)).collect();
    told.retain(|(severity, _)| severity.comes_first());
    told.sort_by_key(|(severity, _)| *severity);
    told
}

/// Those of one weight.
#[must_use]
pub fn of_severity(about: &About<'_>, findings: &[Finding], severity: Severity) -> Vec<String> {
    describe(about, findings, |of| of == severity)
}

/// The rest: what to mind and what was done.
#[must_use]
pub fn later(about: &About<'_>, findings: &[Finding]) -> Vec<String> {
    describe(about, findings, |severity| !severity.comes_first())
}

fn describe(about: &About<'_>, findings: &[Finding], is_meant: impl Fn(Severity) -> bool) -> Vec<String> {
    let meant = super::in_order(findings).into_iter().filter(|finding| is_meant(finding.severity()));
    meant.map(|finding| sentence(about, finding)).collect()
}

/// What stands over the findings of [`first`].
pub const FIRST: &str = "look here first";
