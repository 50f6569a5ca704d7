//! An answer about a book, kept while the book stays the same, and the minute or the day; one for
//! each system of units that is read.

use std::path::Path;
use std::sync::{Arc, Mutex, PoisonError};

use quantity::UnitSystem;

use crate::usecase::Trouble;
use crate::usecase::book::desk;
use crate::usecase::{clock, units};

/// How long an answer holds where nothing is written.
#[derive(Clone, Copy, Debug)]
enum Holds {
    Minute,
    Day,
}

/// An answer, and of what it is one.
type Kept<T> = Mutex<Option<(String, Arc<T>)>>;

/// The last answers, and of what each was one.
#[derive(Debug)]
pub struct Memo<T> {
    holds: Holds,
    /// For nobody in particular, and for readers of either system of units.
    kept: [Kept<T>; 3],
}

impl<T> Memo<T> {
    /// For answers that hold for a minute at the station.
    pub fn of_minute() -> Memo<T> {
        Memo::of(Holds::Minute)
    }

    /// For answers that hold for a day at the station.
    pub fn of_day() -> Memo<T> {
        Memo::of(Holds::Day)
    }

    fn of(holds: Holds) -> Memo<T> {
        Memo {
            holds,
            kept: std::array::from_fn(|_| Mutex::new(None)),
        }
    }

    /// What is known already; none where it is being made, or not yet.
    pub fn ready(&self, path: &Path, question: &str) -> Option<Arc<T>> {
        let key = self.key(path, question).ok()?;
        let kept = self.own().try_lock().ok()?;
        let (of, answer) = kept.as_ref()?;
        (*of == key).then(|| answer.clone())
    }

    /// The answer to this question about the book as it stands; made where it is not the last one.
    /// Who asks meanwhile waits.
    pub fn get<E: From<Trouble>>(
        &self,
        path: &Path,
        question: &str,
        make: impl FnOnce() -> Result<T, E>,
    ) -> Result<Arc<T>, E> {
        let mut kept = self.own().lock().unwrap_or_else(PoisonError::into_inner);
        let key = self.key(path, question)?;
        if let Some((_, answer)) = kept.as_ref().filter(|(of, _)| *of == key) {
            return Ok(answer.clone());
        }
        let answer = Arc::new(make()?);
        *kept = Some((key, answer.clone()));
        Ok(answer)
    }

    /// The place for whoever asks.
    fn own(&self) -> &Kept<T> {
        let [nobody, metric, us] = &self.kept;
        match units::asked() {
            None => nobody,
            Some(UnitSystem::Metric) => metric,
            Some(UnitSystem::Us) => us,
        }
    }

    /// The question, the seal of the book and the time at the station.
    fn key(&self, path: &Path, question: &str) -> Result<String, Trouble> {
        let book = desk::read(path)?;
        let zone = desk::zone(&book)?;
        let seal = book.head()?.map(|(seq, hash)| format!("{seq}:{hash}"));
        let time = match self.holds {
            Holds::Minute => zone.minute(clock::now()),
            Holds::Day => clock::today_in(None, &zone)?.to_string(),
        };
        Ok(format!("{question} {} {time}", seal.unwrap_or_default()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::web::tests::House;

    #[test]
    fn an_entry_makes_the_answer_anew_and_nothing_else_does() {
        let house = House::of(Some("boathouse.toml"));
        let memo: Memo<u64> = Memo::of_minute();
        let mut made = 0;
        let mut ask = |question: &str| {
            *memo
                .get(house.book(), question, || {
                    made += 1;
                    Ok::<_, Trouble>(made)
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
