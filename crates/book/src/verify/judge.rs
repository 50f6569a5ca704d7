//! What the walks, the pages and the guards add up to.

use super::drawn::{Keys, Sketch};
use super::pages::Pages;
use super::report::{BadEntries, BadEntry, Part, Report};
use super::walk::{Walk, misfit};
use crate::error::BookError;
use crate::hash::Hash;
use crate::schema;

impl Report {
    /// Nothing in the file reads.
    pub(super) fn unreadable(&mut self, what: &str) {
        self.problem(Part::File, format!("nothing in it can be read: {what}"));
        self.bad = vec![BadEntry::unread(1, "it cannot be read")];
        self.bad_count = 1;
    }

    pub(super) fn guards(&mut self, form: i64, amiss: Result<Vec<String>, BookError>) {
        match amiss {
            Ok(amiss) => amiss
                .into_iter()
                .for_each(|what| self.problem(Part::Guards, what)),
            Err(error) => self.problem(Part::Guards, format!("they cannot be read: {error}")),
        }
        if form < schema::FORM {
            self.notes.push(format!(
                "it has the older form {form}; opening it once for writing brings it up to date"
            ));
        }
    }

    /// Joins what was found in stretches of entries.
    pub(super) fn entries(
        &mut self,
        walks: Vec<Walk>,
        ever: Option<u64>,
        seal: Option<(u64, Hash)>,
        keys: Option<&Keys>,
        pages: &Pages,
    ) {
        let mut joined = Joined::default();
        walks.into_iter().for_each(|walk| joined.extend(walk));
        let highest = joined.all.highest;
        self.end(&mut joined.all.bad, highest, ever);
        let Walk {
            read,
            mut bad,
            good,
            sealed,
            back,
            unknown,
            failed,
            sketch,
            ..
        } = joined.all;
        if read == 0 && bad.count == 0 {
            bad.add(BadEntry::unread(1, "it is missing"));
        }
        self.seal(seal, sealed, highest);
        bad.told.sort_by_key(|bad| bad.seq);
        (self.entries, self.head) = (read, good);
        self.good = good.map_or(0, |(seq, _)| seq);
        (self.bad, self.bad_count) = (bad.told, bad.count);
        if let Some(first) = self.bad.first() {
            let what = format!(
                "{} of them do not hold; the first is {first}",
                self.bad_count
            );
            self.problem(Part::Entries, what);
        }
        if let Some(why) = failed {
            self.problem(Part::Entries, format!("they cannot be read through: {why}"));
        }
        self.notes_of(&back, unknown.into_iter());
        if let Some(keys) = keys {
            self.drawn(sketch, keys, pages);
        }
    }

    /// Whether the end was cut off.
    fn end(&mut self, bad: &mut BadEntries, highest: u64, ever: Option<u64>) {
        match ever {
            None => self.problem(Part::End, "the highest number ever given cannot be read"),
            Some(ever) if ever > highest => {
                let what = format!(
                    "entries up to {ever} were written, and the last one that reads is {highest}"
                );
                self.problem(Part::End, what);
                let missing = bad.told.iter().all(|bad| bad.seq != highest + 1);
                if missing {
                    bad.add(BadEntry::unread(highest + 1, "it is missing"));
                }
            }
            Some(ever) if ever < highest => {
                let what = format!(
                    "the highest number ever given is {highest}, and {ever} was put in its place"
                );
                self.problem(Part::End, what);
            }
            Some(_) => {}
        }
    }

    fn seal(&mut self, seal: Option<(u64, Hash)>, found: Option<Hash>, highest: u64) {
        let Some((seq, hash)) = seal else { return };
        let what = match found {
            Some(found) if found == hash => {
                self.notes
                    .push(format!("entry {seq} has the hash noted elsewhere"));
                return;
            }
            Some(found) => format!(
                "entry {seq} had the hash {} when it was noted and has {} now: it, or one before \
                 it, was written anew",
                hash.short(),
                found.short()
            ),
            None => format!(
                "entry {seq} was noted with the hash {} and is not there; the last one that reads \
                 is {highest}",
                hash.short()
            ),
        };
        self.problem(Part::Seal, what);
    }

    fn notes_of(
        &mut self,
        back: &[(u64, i64)],
        unknown: impl Iterator<Item = ((String, u32), u64)>,
    ) {
        if let Some((first, micros)) = back.first() {
            let count = back.len();
            let seconds = *micros as f64 * 1e-6;
            self.notes.push(format!(
                "the clock went back at {count} entries, first at {first} by {seconds:.1} s"
            ));
        }
        for ((kind, version), count) in unknown {
            self.notes.push(format!(
                "{count} entries of the kind {kind}, version {version}, are of a later program"
            ));
        }
    }

    fn drawn(&mut self, sketch: Sketch, keys: &Keys, pages: &Pages) {
        if let Some(why) = &sketch.failed {
            self.problem(Part::Drawn, format!("the events cannot be read: {why}"));
        }
        let (wrong, about) = sketch.judged(keys);
        if wrong > 0 {
            let what = format!("{wrong} events are not what the entries say");
            self.problem(Part::Drawn, what);
        }
        match &pages.about {
            Some(Ok(found)) if *found == about => {}
            Some(Ok(_)) => {
                self.problem(
                    Part::Drawn,
                    "whom events are about is not what the entries say",
                );
            }
            Some(Err(why)) => {
                let what = format!("whom events are about cannot be read: {why}");
                self.problem(Part::Drawn, what);
            }
            None => {}
        }
    }

    pub(super) fn pages(&mut self, pages: Pages) {
        self.pages_of_drawn_only = pages.of_drawn_only;
        for fault in pages.faults {
            self.problem(Part::Pages, fault);
        }
    }
}

/// Stretches put together.
#[derive(Default)]
struct Joined {
    all: Walk,
    begun: bool,
}

impl Joined {
    fn extend(&mut self, later: Walk) {
        if !self.begun {
            self.begun = true;
            self.all = later;
            return;
        }
        let all = &mut self.all;
        if let (Some(before), Some(entry)) = (&all.last, &later.first) {
            if let Some(why) = misfit(before, entry) {
                all.bad.add(BadEntry::of(entry, why));
            }
            let behind = before.recorded.0.saturating_sub(entry.recorded.0);
            if behind > 0 {
                all.back.push((entry.seq, behind));
            }
        }
        if all.bad.count == 0 {
            all.good = later.good.or(all.good);
        }
        all.read += later.read;
        all.highest = all.highest.max(later.highest);
        all.bad.extend(later.bad);
        all.last = later.last.or(all.last.take());
        all.sealed = all.sealed.or(later.sealed);
        all.back.extend(later.back);
        for (kind, count) in later.unknown {
            *all.unknown.entry(kind).or_default() += count;
        }
        all.failed = all.failed.take().or(later.failed);
        all.sketch.extend(later.sketch);
    }
}
