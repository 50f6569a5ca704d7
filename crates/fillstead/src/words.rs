//! Words put right for whoever reads them: capitals, numbers of things.

/// With a capital.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(char::to_uppercase);
    first.into_iter().flatten().chain(letters).collect()
}

/// First letter large, a full stop at the end: a part of a sentence made whole.
pub fn sentence(text: &str) -> String {
    let text = capital(text);
    match text.ends_with(['.', '?', '!']) {
        true => text,
        false => text + ".",
    }
}

/// `1 error`, `3 errors`.
pub fn counted(count: usize, noun: &str) -> String {
    let s = if count == 1 { "" } else { "s" };
    format!("{count} {noun}{s}")
}

/// `entry 4`, or `entries 4, 9`.
pub fn entry_numbers(numbers: &[u64]) -> String {
    let word = if numbers.len() == 1 {
        "entry"
    } else {
        "entries"
    };
    let numbers: Vec<String> = numbers.iter().map(u64::to_string).collect();
    format!("{word} {}", numbers.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_part_of_a_sentence_is_made_whole() {
        assert_eq!(sentence("the valve leaks"), "The valve leaks.");
        assert_eq!(sentence("was it shut?"), "Was it shut?");
        assert_eq!(capital("éclair 2"), "Éclair 2");
        assert_eq!(capital(""), "");
    }

    #[test]
    fn one_is_one() {
        assert_eq!(counted(1, "fill"), "1 fill");
        assert_eq!(counted(0, "fill"), "0 fills");
        assert_eq!(entry_numbers(&[4]), "entry 4");
        assert_eq!(entry_numbers(&[4, 9]), "entries 4, 9");
    }
}
