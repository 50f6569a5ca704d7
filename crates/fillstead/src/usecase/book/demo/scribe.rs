//! Writing the story down: by the forms, the gate and the judge of air that everybody's entries pass,
//! with the story's clock in place of the machine's.

use book::{Body, Moment, Pen};
use insight::air::Overall;
use jiff::ToSpan as _;
use jiff::civil::Date;

use crate::usecase::Trouble;
use crate::usecase::book::add;
use crate::usecase::book::air_test;
use crate::usecase::book::correct::{self, Change};
use crate::usecase::book::desk::Signed;
use crate::usecase::book::form::{Form, Given};
use crate::usecase::book::gate::{self, Filled};
use crate::usecase::clock::Zone;

/// A field and what is typed into it.
pub type Typed<'a> = (&'a str, String);

/// Who writes the story down.
pub struct Scribe<'p> {
    pen: &'p mut Pen,
    zone: Zone,
    first: Date,
    last: Moment,
}

/// A time of the story: day from its first, and second of that day.
pub type Time = (i32, i32);

const SECOND: i64 = 1_000_000;

/// The moment of a time of the story.
pub fn moment(zone: &Zone, first: Date, (day, second): Time) -> Result<Moment, Trouble> {
    let date = first.saturating_add(day.days());
    let known = station::Date::parse(&date.to_string());
    let limits = known.and_then(|date| zone.day_limits(date));
    let (begins, _) = limits.ok_or_else(|| {
        let what = format!("{date} is outside the calendar");
        Trouble::new(what, "give a day of these years, like --until 2026-10-01")
    })?;
    Ok(Moment(begins.0 + i64::from(second) * SECOND))
}

impl<'p> Scribe<'p> {
    /// Takes the pen of a book that was just begun.
    pub fn new(pen: &'p mut Pen, zone: Zone, first: Date) -> Scribe<'p> {
        Scribe {
            pen,
            zone,
            first,
            last: Moment(0),
        }
    }

    /// Signs at a time of the story; entries never share a moment and never go back.
    fn signed(&mut self, author: &str, at: Time) -> Result<Signed, Vec<Trouble>> {
        let at = moment(&self.zone, self.first, at).map_err(|t| vec![t])?;
        let recorded = Moment(at.0.max(self.last.0 + SECOND));
        self.last = recorded;
        Ok(Signed {
            author: author.to_owned(),
            zone: self.zone.clone(),
            recorded,
            happened: recorded,
        })
    }

    /// The clock is set back: what follows may be recorded before what was.
    pub fn clock_set_back(&mut self) {
        self.last = Moment(0);
    }

    /// Writes a body that no form makes.
    pub fn body(&mut self, author: &str, at: Time, body: Body) -> Result<u64, Vec<Trouble>> {
        let signed = self.signed(author, at)?;
        Ok(add::write(self.pen, &signed, body)?.seq)
    }

    /// Writes an entry by its form; gives its number.
    pub fn enter(
        &mut self,
        author: &str,
        at: Time,
        form: &str,
        typed: &[Typed<'_>],
    ) -> Result<u64, Vec<Trouble>> {
        let signed = self.signed(author, at)?;
        let body = Form::named(form)
            .map_err(|t| vec![t])?
            .body(&given(typed))?;
        Ok(add::write(self.pen, &signed, body)?.seq)
    }

    /// Asks the gate and writes the fill, or the refusal. `written` is when it was written down, where
    /// that was later than the fill.
    pub fn fill(
        &mut self,
        author: &str,
        at: Time,
        written: Option<Time>,
        typed: &[Typed<'_>],
    ) -> Result<Filled, Vec<Trouble>> {
        let mut signed = self.signed(author, written.unwrap_or(at))?;
        if written.is_some() {
            signed.happened = moment(&self.zone, self.first, at).map_err(|t| vec![t])?;
        }
        gate::fill_with(self.pen, &signed, &given(typed))
    }

    /// Has an air test judged and writes it; gives its number and what comes of it.
    pub fn air_test(
        &mut self,
        author: &str,
        at: Time,
        results: &str,
    ) -> Result<(u64, Overall), Vec<Trouble>> {
        let signed = self.signed(author, at)?;
        let asked = air_test::Asked {
            results,
            file: "the laboratory's results",
            ..air_test::Asked::default()
        };
        let entered = air_test::enter_with(self.pen, &signed, &asked)?;
        Ok((entered.added.seq, entered.verdict.overall))
    }

    /// Puts an entry right, or withdraws it where nothing is typed.
    pub fn correct(
        &mut self,
        author: &str,
        at: Time,
        of: u64,
        why: &str,
        typed: &[Typed<'_>],
    ) -> Result<(), Vec<Trouble>> {
        let signed = self.signed(author, at)?;
        let change = Change {
            of,
            why,
            withdraw: typed.is_empty(),
            given: given(typed),
        };
        let signed = Signed {
            happened: signed.recorded,
            ..signed
        };
        correct::correct_with(self.pen, &signed, &change, None)?;
        Ok(())
    }
}

fn given(typed: &[Typed<'_>]) -> Given {
    let owned = |(name, text): &Typed<'_>| ((*name).to_owned(), text.clone());
    typed.iter().map(owned).collect()
}
