//! The standards held, and one of them by name.
//!
//! Not here: what is in them.

use std::sync::LazyLock;

use super::mistake::Mistake;
use super::standard::Standard;

/// One text for each standard, in the order they are listed.
const TEXTS: [&str; 13] = [
    include_str!("../../data/standards/en-12021.csv"),
    include_str!("../../data/standards/hse-dvis-9.csv"),
    include_str!("../../data/standards/norway-for-2011-1358.csv"),
    include_str!("../../data/standards/cga-g-7-1-grade-d.csv"),
    include_str!("../../data/standards/cga-g-7-1-grade-e.csv"),
    include_str!("../../data/standards/29-cfr-1910-134.csv"),
    include_str!("../../data/standards/29-cfr-1910-430.csv"),
    include_str!("../../data/standards/46-cfr-197.csv"),
    include_str!("../../data/standards/us-navy-diving-manual.csv"),
    include_str!("../../data/standards/noaa-diving.csv"),
    include_str!("../../data/standards/nfpa-1989.csv"),
    include_str!("../../data/standards/as-nzs-2299-1.csv"),
    include_str!("../../data/standards/csa-z180-1.csv"),
];

static STANDARDS: LazyLock<Vec<Standard>> = LazyLock::new(|| {
    let read = |text: &&str| Standard::read(text).ok();
    TEXTS.iter().filter_map(read).collect()
});

/// Every standard held.
pub fn standards() -> &'static [Standard] {
    &STANDARDS
}

/// The standard meant: its name or a part that only one name has; case, spaces
/// and signs do not matter, an edition may follow.
pub fn find<'a>(
    name: &str,
    known: impl IntoIterator<Item = &'a Standard>,
) -> Result<&'a Standard, Mistake> {
    let known: Vec<&Standard> = known.into_iter().collect();
    let wanted = key(name);
    let is_it = |s: &&&Standard| [key(&s.name), key(&s.title())].contains(&wanted);
    if let Some(exact) = known.iter().find(is_it) {
        return Ok(exact);
    }
    let part = |s: &&&Standard| wanted.len() >= 3 && key(&s.title()).contains(&wanted);
    let parts: Vec<&&Standard> = known.iter().filter(part).collect();
    if let [only] = parts.as_slice() {
        return Ok(only);
    }
    let names = |of: &[&&Standard]| {
        of.iter()
            .map(|s| s.name.as_str())
            .collect::<Vec<_>>()
            .join(", ")
    };
    if !parts.is_empty() {
        let cause = format!("`{name}` may be {} standards", parts.len());
        return Err(Mistake::new(
            cause,
            format!("write one of {}", names(&parts)),
        ));
    }
    let remedy = match nearest(name, known.iter().map(|s| s.name.as_str())) {
        Some(near) => format!("did you mean `{near}`?"),
        None => format!("write one of {}", names(&known.iter().collect::<Vec<_>>())),
    };
    Err(Mistake::new(
        format!("no standard called `{name}` is held"),
        remedy,
    ))
}

/// Letters and digits only, small.
pub(super) fn key(name: &str) -> String {
    let signs = name.chars().take(120).filter(|c| c.is_alphanumeric());
    signs.flat_map(char::to_lowercase).collect()
}

/// The known word nearest to what was written, if it is near enough to be meant.
pub(super) fn nearest<'a>(written: &str, known: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let written = key(written);
    let far = (written.chars().count() / 3).max(1);
    known
        .map(|word| (strsim::damerau_levenshtein(&written, &key(word)), word))
        .filter(|(distance, _)| *distance <= far)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, word)| word)
}
