//! "Did you mean": the known name nearest to one that is not known.

/// The candidate nearest to `name`, where one is near enough to be a slip of the pen: at most a third of its letters
/// wrong, swapped or left out.
pub(super) fn nearest<'a>(name: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let plain = |text: &str| text.to_lowercase().replace(['-', ' '], "_");
    let name = plain(name);
    let slip = |candidate: &str| strsim::damerau_levenshtein(&name, &plain(candidate));
    let allowed = (name.chars().count() / 3).max(1);
    candidates
        .into_iter()
        .map(|candidate| (slip(candidate), candidate))
        .filter(|(distance, candidate)| *distance <= allowed && *distance < candidate.chars().count())
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, candidate)| candidate)
}
