//! An answer about a book, kept while the book and the minute stay the same.

use std::path::Path;
use std::sync::{Arc, Mutex, PoisonError};

use crate::usecase::Trouble;
use crate::usecase::book::desk;
use crate::usecase::clock;

/// The last answer, and of what it was one.
#[derive(Debug)]
pub struct Memo<T>(Mutex<Option<(String, Arc<T>)>>);

impl<T> Default for Memo<T> {
    fn default() -> Memo<T> {
        Memo(Mutex::new(None))
    }
}

impl<T> Memo<T> {
    /// The answer to this question about the book as it stands; made where it is not the last one.
    /// Who asks meanwhile waits.
    pub fn get(
        &self,
        path: &Path,
        question: &str,
        make: impl FnOnce() -> Result<T, Trouble>,
    ) -> Result<Arc<T>, Trouble> {
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let key = format!("{question} {}", state(path)?);
        if let Some((_, answer)) = kept.as_ref().filter(|(of, _)| *of == key) {
            return Ok(answer.clone());
        }
        let answer = Arc::new(make()?);
        *kept = Some((key, answer.clone()));
        Ok(answer)
    }
}

/// The seal of the book and the minute at the station.
fn state(path: &Path) -> Result<String, Trouble> {
    let book = desk::read(path)?;
    let zone = desk::zone(&book)?;
    let seal = book.head()?.map(|(seq, hash)| format!("{seq}:{hash}"));
    Ok(format!(
        "{} {}",
        seal.unwrap_or_default(),
        zone.minute(clock::now())
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::web::tests::House;

    #[test]
    fn an_entry_makes_the_answer_anew_and_nothing_else_does() {
        let house = House::of(Some("boathouse.toml"));
        let memo: Memo<u64> = Memo::default();
        let mut made = 0;
        let mut ask = |question: &str| {
            *memo
                .get(house.book(), question, || {
                    made += 1;
                    Ok(made)
                })
                .unwrap()
        };
        let first = ask("a");
        // The minute may turn between two questions: then it is made anew once.
        assert!(ask("a") <= first + 1);
        let before = ask("a");
        assert!(ask("b") > before);
        house.add("note", &[("text", "something new")]);
        assert!(ask("b") > before + 1);
    }
}
