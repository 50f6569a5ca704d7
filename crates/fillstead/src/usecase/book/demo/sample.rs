//! Samples, symptoms and what follows: locked, caused, set aside, released.

use insight::air::Overall;
use insight::forecast::plain::{PlainFill, PlainRun};
use quantity::{GaugePressure, Temperature, TimeSpan};

use super::calendar::Brought;
use super::chance::Chance;
use super::machine::Told;
use super::people::{FORGOTTEN, LATE, RUSTY, UNSEEN, UNTESTED};
use super::scribe::Time;
use super::telling::{Later, Missed, Teller, of_simulation};
use super::trouble::Landmark;
use crate::usecase::Trouble;

/// What a laboratory's figure scatters by, relative; the least it can show, mg/m³.
const LABORATORY: f64 = 0.03;
const LEAST_MG_M3: f64 = 5.0;
/// Days until one cylinder comes back to be released.
const LATE_DAYS: i32 = 50;
/// Days until those out of use are released.
const IDLE_DAYS: i32 = 12;
/// Days until somebody wants the forgotten one filled.
const TRIED_DAYS: i32 = 23;

impl Teller<'_, '_, '_> {
    /// Something that waited has come.
    pub(super) fn comes(&mut self, at: Time, later: Later) -> Result<(), Vec<Trouble>> {
        match later {
            Later::Result(mg_m3, day) => self.result(at, mg_m3, day),
            Later::Symptom => self.symptom(at),
            Later::SymptomCause(of) => self.symptom_cause(at, of),
            Later::ReleaseAll(of) => self.release_all(at, of),
            Later::FailedCause(of) => self.failed_cause(at, of),
            Later::ReleaseOne(of, id) if self.aside.contains(id) => self.release(at, of, id),
            Later::ReleaseOne(..) => Ok(()),
            Later::Refused(id) => {
                let typed = [
                    ("cylinder", id.to_owned()),
                    ("person", "OL".to_owned()),
                    ("to", "200 bar".to_owned()),
                ];
                self.refused("OL", at, &typed)
            }
            Later::Parked => self.parked(at),
            Later::Unparked => self.unparked(at),
        }
    }

    fn result(&mut self, at: Time, mg_m3: f64, day: i32) -> Result<(), Vec<Trouble>> {
        let mut chance = Chance::new(self.seed, 6000 + day as u64);
        let measured = mg_m3 * (1.0 + chance.normal(LABORATORY));
        let water = match measured < LEAST_MG_M3 {
            true => format!("< {LEAST_MG_M3:.0} mg/m3"),
            false => format!("{measured:.0} mg/m3 ± 10 %"),
        };
        let date = self.year.first.saturating_add(jiff::Span::new().days(day));
        let results = format!(
            "# INVENTED demonstration data: no such sample exists.\n[sample]\ndate = \"{date}\"\npoint = \
             \"outlet\"\nlaboratory = \"an invented laboratory\"\ninvented = true\n\n[results]\noxygen = \
             \"20.9 % ± 0.2 %\"\ncarbon_monoxide = \"< 1 ppm\"\ncarbon_dioxide = \"{:.0} ppm ± 20 ppm\"\n\
             oil = \"< 0.1 mg/m3\"\nwater = \"{water}\"\nodour = \"none\"\nliquid_water = \"none\"\n",
            425.0 + chance.normal(12.0)
        );
        let (seq, overall) = self.scribe.air_test("EM", at, &results)?;
        if overall == Overall::CannotTell {
            return Err(of_simulation("the laboratory's results cannot be judged"));
        }
        if overall == Overall::Fails {
            self.failed = Some(seq);
            self.locked = Some(seq);
            self.aside = self.filled.clone();
            self.forgotten = FORGOTTEN.into_iter().find(|id| self.aside.contains(id));
            self.late = LATE.into_iter().find(|id| self.aside.contains(id));
            self.waiting
                .push(((at.0 + 1, 16 * 3600), Later::FailedCause(seq)));
        } else {
            self.passed(at, day);
        }
        Ok(())
    }

    /// A sample has passed: it opens a lock that waits for it, and what comes later is counted anew.
    fn passed(&mut self, at: Time, day: i32) {
        if self.failed.is_some() && self.failed == self.locked {
            self.locked = None;
            let of = self.failed.unwrap_or_default();
            let late = (at.0 + LATE_DAYS, 18 * 3600);
            if let Some(id) = self.late {
                self.waiting.push((late, Later::ReleaseOne(of, id)));
            }
            // what is out of use is vented too, though nobody brings it
            for id in [RUSTY, UNSEEN, UNTESTED] {
                self.waiting
                    .push(((at.0 + IDLE_DAYS, 18 * 3600), Later::ReleaseOne(of, id)));
            }
            if let Some(id) = self.forgotten {
                let tried = (at.0 + TRIED_DAYS, 18 * 3600);
                self.waiting.push((tried, Later::Refused(id)));
            }
        }
        self.filled.clear();
        let since = self
            .year
            .sessions
            .iter()
            .filter(|s| (day..at.0).contains(&s.day));
        for one in since.flat_map(|s| &s.brought) {
            self.filled.insert(one.cylinder.id);
        }
    }

    fn symptom(&mut self, at: Time) -> Result<(), Vec<Trouble>> {
        let last = self.year.sessions.iter().rev().find(|s| s.day < at.0);
        let id = last
            .and_then(|s| s.brought.first())
            .map_or("A1", |b| b.cylinder.id);
        let typed = [
            (
                "what",
                "headache after the first dive; gone after an hour with oxygen".to_owned(),
            ),
            ("person", "BW".into()),
            ("cylinder", id.into()),
        ];
        let seq = self.scribe.enter("TR", at, "symptom", &typed)?;
        self.locked = Some(seq);
        self.waiting
            .push(((at.0 + 3, 18 * 3600), Later::SymptomCause(seq)));
        Ok(())
    }

    fn symptom_cause(&mut self, at: Time, of: u64) -> Result<(), Vec<Trouble>> {
        let typed = [
            ("of", of.to_string()),
            ("cause", "a car stood with its engine running under the intake".to_owned()),
            ("done", "place barred with posts, intake raised by 2 m; carbon monoxide looked for at the outlet".into()),
        ];
        self.scribe.enter("EM", at, "cause", &typed)?;
        self.locked = None;
        self.sample_wanted = true;
        self.waiting
            .push(((at.0, at.1 + 600), Later::ReleaseAll(of)));
        Ok(())
    }

    fn release_all(&mut self, at: Time, of: u64) -> Result<(), Vec<Trouble>> {
        let typed = [
            ("of", of.to_string()),
            ("why", "all of them vented to nothing".to_owned()),
        ];
        self.scribe.enter("EM", at, "release", &typed)?;
        self.empty.extend(self.filled.iter().copied());
        Ok(())
    }

    fn failed_cause(&mut self, at: Time, of: u64) -> Result<(), Vec<Trouble>> {
        let typed = [
            ("of", of.to_string()),
            (
                "cause",
                "cartridge used up: its change was missed in warm wet weather".to_owned(),
            ),
            (
                "done",
                "new cartridge; hours until the next change stand on the board".into(),
            ),
        ];
        self.scribe.enter("EM", at, "cause", &typed)?;
        self.missed = Missed::Over;
        self.change_cartridge("EM", (at.0, at.1 + 900))?;
        self.sample_run((at.0, at.1 + 2400))?;
        let result = Later::Result(self.outlet_mg_m3, at.0);
        self.waiting.push(((at.0 + 6, 11 * 3600), result));
        Ok(())
    }

    /// A run for the sample alone, an empty cylinder on the whip as a buffer.
    fn sample_run(&mut self, at: Time) -> Result<(), Vec<Trouble>> {
        let near = self
            .year
            .sessions
            .iter()
            .min_by_key(|s| s.day.abs_diff(at.0));
        let air = near
            .map(|s| s.air)
            .ok_or_else(|| of_simulation("the year has no session"))?;
        let asked = PlainRun {
            fills: vec![PlainFill {
                kind: "steel 12".into(),
                from: GaugePressure::bar(0.0),
                to: GaugePressure::bar(160.0),
            }],
            intake_temperature: Temperature::celsius(air.celsius),
            tower: GaugePressure::bar(0.0),
            change_over: TimeSpan::minute(3.0),
            pmv: self.works.truth.pmv(at.0),
            delivery: self.works.truth.delivery(at.0),
        };
        self.vented = false;
        let ran = self.works.machine.run(&asked).map_err(of_simulation)?;
        let told = Told {
            tower_bar: 0.0,
            ran,
        };
        let water = self.water(&told, air.humidity)?;
        let start = [
            ("hours", format!("{:.1} h", self.hours)),
            ("tower", "0 bar".to_owned()),
            ("intake-temperature", format!("{:.0} °C", air.celsius)),
            ("humidity", format!("{:.0} %", air.humidity * 100.0)),
            ("checked", "oil; intake upwind; drains shut".into()),
        ];
        self.scribe.enter("EM", at, "start", &start)?;
        let text = "sample taken at the outlet; an empty cylinder hung on the whip as a buffer and was \
                    vented to nothing afterwards";
        self.scribe
            .enter("EM", (at.0, at.1 + 600), "note", &[("text", text.into())])?;
        self.hours += told.ran.running().as_hour();
        let ended = at.1 + told.ran.stopped().as_second() as i32;
        for (_, volume) in &water.drains {
            let typed = [("volume", format!("{:.0} mL", volume.as_millilitre()))];
            self.scribe
                .enter("EM", (at.0, ended + 30), "drain", &typed)?;
        }
        let mut chance = Chance::new(self.seed, 7000);
        let tower = self
            .works
            .tower
            .shows(told.ran.tower_after().as_bar(), &mut chance);
        let stop = [
            ("hours", format!("{:.1} h", self.hours)),
            ("tower", format!("{tower:.0} bar")),
        ];
        self.scribe.enter("EM", (at.0, ended + 90), "stop", &stop)?;
        self.mark(at.0);
        Ok(())
    }

    fn release(&mut self, at: Time, of: u64, id: &'static str) -> Result<(), Vec<Trouble>> {
        let typed = [
            ("of", of.to_string()),
            ("cylinders", id.to_owned()),
            (
                "why",
                "vented to nothing and dried, after the new sample passed".into(),
            ),
        ];
        self.scribe.enter("EM", at, "release", &typed)?;
        self.aside.remove(id);
        self.empty.insert(id);
        Ok(())
    }

    /// Releases what is brought and still set aside, one by one.
    pub(super) fn release_for(
        &mut self,
        brought: &[Brought],
        at: Time,
    ) -> Result<(), Vec<Trouble>> {
        let Some(of) = self.failed else {
            return Ok(());
        };
        for (i, one) in brought.iter().enumerate() {
            if self.aside.contains(one.cylinder.id) {
                self.release((at.0, at.1 + 20 * i as i32), of, one.cylinder.id)?;
            }
        }
        Ok(())
    }

    /// Filling is locked: who comes is turned away.
    pub(super) fn turned_away(&mut self, index: usize) -> Result<(), Vec<Trouble>> {
        let session = &self.year.sessions[index];
        let wanted = session.brought.iter().filter(|b| b.shown_bar > 200.0);
        for (i, one) in wanted.take(2).enumerate() {
            let typed = [
                ("cylinder", one.cylinder.id.to_owned()),
                ("person", one.person.to_owned()),
                ("to", format!("{:.0} bar", one.shown_bar)),
            ];
            let at = (session.day, session.starts_s + 60 * i as i32);
            self.refused(session.operator, at, &typed)?;
        }
        Ok(())
    }

    /// A landmark that is written before the machine is started.
    pub(super) fn landmark(
        &mut self,
        mark: Landmark,
        index: usize,
        at: Time,
    ) -> Result<(), Vec<Trouble>> {
        let operator = self.year.sessions[index].operator;
        match mark {
            Landmark::Entry(form, typed) => {
                let typed: Vec<_> = typed.iter().map(|(n, t)| (*n, (*t).to_owned())).collect();
                self.scribe.enter(operator, at, form, &typed)?;
            }
            Landmark::Replaced(part, detail, by) => {
                let typed = [
                    ("part", part.to_owned()),
                    ("hours", format!("{:.1} h", self.hours)),
                    ("detail", detail.to_owned()),
                    ("done-by", by.to_owned()),
                ];
                self.scribe.enter(operator, at, "replaced", &typed)?;
            }
            Landmark::Examined(cylinder, check, passed, remark) => {
                let on = self.year.sessions[index].date.to_string();
                let typed = [
                    ("cylinder", cylinder.to_owned()),
                    ("check", check.to_owned()),
                    ("on", on),
                    ("passed", passed.to_owned()),
                    ("done-by", "an invented test house".to_owned()),
                    ("remark", remark.to_owned()),
                ];
                self.scribe.enter(operator, at, "inspection", &typed)?;
            }
            Landmark::PmvSet => self.pmv_set(operator, at)?,
            _ => {}
        }
        Ok(())
    }

    fn pmv_set(&mut self, operator: &str, at: Time) -> Result<(), Vec<Trouble>> {
        let opens = self.works.pmv_opens_bar();
        let before = opens * self.works.truth.pmv(at.0 - 1);
        let typed = [
            ("valve", "pmv".to_owned()),
            ("before", format!("{before:.0} bar")),
            ("after", format!("{opens:.0} bar")),
            ("turns", "0.25".into()),
            ("set-by", "a technician".into()),
            ("manual", "invented maker's manual, section 7".into()),
        ];
        self.scribe.enter(operator, at, "valve", &typed)?;
        Ok(())
    }
}
