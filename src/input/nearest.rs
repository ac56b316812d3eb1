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

/// Names in quotes, joined for a sentence: at most `most`, then how many more.
pub(super) fn listed<'a>(names: impl IntoIterator<Item = &'a str>, most: usize) -> String {
    let names: Vec<&str> = names.into_iter().collect();
    let shown: Vec<String> = names.iter().take(most).map(|name| format!("{name:?}")).collect();
    let more = names.len().saturating_sub(most);
    if more > 0 { format!("{} and {more} more", shown.join(", ")) } else { shown.join(", ") }
}

/// "1 point", "2 points".
pub(super) fn counted(count: usize, word: &str) -> String {
    if count == 1 { format!("1 {word}") } else { format!("{count} {word}s") }
}
