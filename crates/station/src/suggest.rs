//! "Did you mean": the nearest known word.

/// The known word nearest to what was written, if it is near enough to be meant.
pub(crate) fn nearest<'a>(written: &str, known: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let plain = plain(written);
    let far = (plain.chars().count() / 3).max(1);
    let mut best: Option<(usize, &str)> = None;
    for word in known {
        let distance = distance(&plain, &self::plain(word));
        if distance <= far && best.is_none_or(|(least, _)| distance < least) {
            best = Some((distance, word));
        }
    }
    best.map(|(_, word)| word)
}

/// Letters wrong, missing, too many or swapped; a word that is part of the other counts as one.
fn distance(written: &str, word: &str) -> usize {
    let shorter = written.len().min(word.len());
    if shorter >= 4 && (word.contains(written) || written.contains(word)) {
        return usize::from(written != word);
    }
    strsim::damerau_levenshtein(written, word)
}

/// Lower case, with one sort of separator.
fn plain(word: &str) -> String {
    let one = |c: char| if c == '-' || c == ' ' { '_' } else { c };
    word.chars()
        .take(60)
        .flat_map(char::to_lowercase)
        .map(one)
        .collect()
}

/// `a, b or c`, each as given.
pub(crate) fn or_list<S: AsRef<str>>(words: &[S]) -> String {
    match words {
        [] => String::new(),
        [only] => only.as_ref().to_owned(),
        [first @ .., last] => {
            let first: Vec<&str> = first.iter().map(AsRef::as_ref).collect();
            format!("{} or {}", first.join(", "), last.as_ref())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{nearest, or_list};

    #[test]
    fn near_words() {
        let known = [
            "working_pressure",
            "test_pressure",
            "opens",
            "closes",
            "mass",
        ];
        for (written, meant) in [
            ("workng_pressure", Some("working_pressure")),
            ("Working-Pressure", Some("working_pressure")),
            ("working", Some("working_pressure")),
            ("open", Some("opens")),
            ("clsoes", Some("closes")),
            ("lifts", None),
            ("", None),
        ] {
            assert_eq!(nearest(written, known.into_iter()), meant, "{written}");
        }
    }

    #[test]
    fn lists() {
        assert_eq!(or_list(&["a", "b", "c"]), "a, b or c");
        assert_eq!(or_list(&["a"]), "a");
    }
}
