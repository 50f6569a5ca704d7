//! "Did you mean": the nearest name.

/// The known name nearest to what was written, if it is near enough to be meant.
pub fn nearest<'a>(written: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let written = plain(written);
    let far = (written.chars().count() / 3).max(1);
    known
        .into_iter()
        .map(|name| (strsim::damerau_levenshtein(&written, &plain(name)), name))
        .filter(|(distance, _)| *distance <= far)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, name)| name)
}

/// `did you mean A1?`, or the names there are; a further hint follows.
pub fn meant_or(written: &str, known: &[&str], hint: &str) -> String {
    let meant = meant(written, known);
    match meant.ends_with('?') {
        true => format!("{meant} {hint}"),
        false => format!("{meant}; {hint}"),
    }
}

/// `did you mean A1?`, or the names there are.
pub fn meant(written: &str, known: &[&str]) -> String {
    match nearest(written, known.iter().copied()) {
        Some(near) => format!("did you mean {near}?"),
        None => format!("write one of {}", known.join(", ")),
    }
}

/// Small letters, without spaces and signs.
fn plain(name: &str) -> String {
    let signs = name.chars().take(60).filter(|c| c.is_alphanumeric());
    signs.flat_map(char::to_lowercase).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn near_names_are_meant_and_far_ones_are_listed() {
        let known = ["uk", "us", "iso", "navy"];
        assert_eq!(meant("nvay", &known), "did you mean navy?");
        assert_eq!(meant("UK ", &known), "did you mean uk?");
        assert_eq!(meant("moon", &known), "write one of uk, us, iso, navy");
        assert_eq!(
            meant_or("ukk", &known, "see"),
            "did you mean uk? see".to_owned()
        );
        assert_eq!(nearest("", known), None);
    }
}
