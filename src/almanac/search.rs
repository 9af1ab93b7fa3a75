//! The nearest spelling of a name.

/// The candidate nearest to what was written, if one is near enough to be meant.
pub fn nearest<'a>(
    written: &str,
    candidates: impl IntoIterator<Item = &'a str>,
) -> Option<&'a str> {
    let written = written.to_lowercase();
    candidates
        .into_iter()
        .map(|candidate| {
            (
                strsim::jaro_winkler(&written, &candidate.to_lowercase()),
                candidate,
            )
        })
        .filter(|(likeness, _)| *likeness >= 0.75)
        .max_by(|(a, _), (b, _)| a.total_cmp(b))
        .map(|(_, candidate)| candidate)
}
