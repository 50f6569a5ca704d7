//! What a person wants forecast, as typed, and the request it makes.
//!
//! Not here: whether it fits the station; `insight` tells that.

use crate::usecase::adsorbent::adsorbent_file;
use insight::fault::Fault;
use insight::forecast::request::{CylinderStart, DrainPlan, Request, Until};
use quantity::{Fraction, GaugePressure, Temperature, TimeSpan, Typed, UnitSystem};

use crate::usecase::Trouble;
use crate::usecase::trouble::within;

/// What is wanted, in the words of the person; empty fields take the station's figures.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Wishes {
    /// `ID` or `ID@START`, in the order of filling.
    pub cylinders: Vec<String>,
    /// Air at the intake today.
    pub intake_temperature: Option<String>,
    /// Its relative humidity.
    pub humidity: Option<String>,
    /// Tower gauge before the start.
    pub tower: Option<String>,
    /// `full`, or a time.
    pub until: Option<String>,
    /// Another gauge pressure to stop at.
    pub stop_at: Option<String>,
    /// Time between cylinders.
    pub change_over: Option<String>,
    /// Cylinders stand in water.
    pub water_bath: bool,
    /// `due`, `never`, or the time between drains.
    pub drain: Option<String>,
    /// Running time of the cartridge before this run.
    pub cartridge_age: Option<String>,
    /// Files with the data of the owner's adsorbents.
    pub adsorbents: Vec<String>,
    /// How long the machine has stood.
    pub stored: Option<String>,
    /// PMV opening pressures to compare, one or several by commas in each.
    pub compare_pmv: Vec<String>,
    /// `NAME` or `NAME=SIZE`.
    pub faults: Vec<String>,
    /// Runs behind the bands.
    pub members: Option<usize>,
    /// Seed of these runs.
    pub seed: Option<u64>,
    /// Time between rows of readings.
    pub every: Option<String>,
}

/// Readings of all runs together, at most: they are held in memory until the end.
const MOST_READINGS: f64 = 5e6;
/// How long a run may well take that ends when the cylinders are full, s.
const A_LONG_FILL_S: f64 = 3600.0;

/// Runs behind the bands, at most; more would not show in them.
const MOST_MEMBERS: usize = 20_000;

impl Wishes {
    /// How many runs are wanted behind the bands.
    pub fn members(&self) -> usize {
        self.members.unwrap_or(Request::default().members)
    }

    /// The request meant, at a station that prefers these units.
    pub fn request(&self, units: UnitSystem) -> Result<Request, Trouble> {
        let usual = Request::default();
        let most = GaugePressure::bar(1000.0);
        let dial = |field, text: &Option<String>| {
            optional(text, |t| {
                Ok(within(field, t, GaugePressure::bar(0.0), most)?.value)
            })
        };
        not_too_many(Request {
            cylinders: every(&self.cylinders, cylinder)?,
            intake_temperature: optional(&self.intake_temperature, temperature)?,
            humidity: optional(&self.humidity, |t| {
                Ok(within("humidity", t, Fraction::ratio(0.0), Fraction::ratio(1.0))?.value)
            })?,
            tower: dial("tower", &self.tower)?,
            until: optional(&self.until, until)?.unwrap_or(usual.until),
            stop_at: dial("stop-at", &self.stop_at)?,
            change_over: optional(&self.change_over, |t| span("change-over", t, 0.0, 24.0))?
                .unwrap_or(usual.change_over),
            water_bath: self.water_bath,
            drain: optional(&self.drain, drain)?.unwrap_or(usual.drain),
            cartridge_age: optional(&self.cartridge_age, |t| {
                span("cartridge-age", t, 0.0, 10_000.0)
            })?,
            adsorbents: every(&self.adsorbents, adsorbent_file)?,
            stored: optional(&self.stored, |t| span("stored", t, 0.0, 90_000.0))?,
            compare_pmv: openings(&self.compare_pmv, units)?,
            faults: every(&self.faults, fault)?,
            members: members(self.members())?,
            seed: self.seed.unwrap_or(usual.seed),
            sample_every: optional(&self.every, |t| span("every", t, 1.0, 1.0))?
                .unwrap_or(usual.sample_every),
        })
    }
}

fn optional<T>(
    text: &Option<String>,
    read: impl Fn(&str) -> Result<T, Trouble>,
) -> Result<Option<T>, Trouble> {
    text.as_deref().map(read).transpose()
}

fn every<T>(
    texts: &[String],
    read: impl Fn(&str) -> Result<T, Trouble>,
) -> Result<Vec<T>, Trouble> {
    texts.iter().map(|text| read(text)).collect()
}

/// `A1`, or `A1@50 bar`.
fn cylinder(text: &str) -> Result<CylinderStart, Trouble> {
    let (id, start) = match text.rsplit_once('@') {
        Some((id, start)) => (id, Some(start)),
        None => (text, None),
    };
    if id.trim().is_empty() {
        let what = format!("\"{text}\" names no cylinder");
        let remedy = "write its name, and its pressure after @ if it is known: \"A1@50 bar\"";
        return Err(Trouble::new(what, remedy).about("cylinder"));
    }
    let (empty, most) = (GaugePressure::bar(0.0), GaugePressure::bar(1000.0));
    let start = start
        .map(|text| within("cylinder", text, empty, most))
        .transpose()?;
    Ok(CylinderStart {
        id: id.trim().to_owned(),
        start: start.map(|s| s.value),
    })
}

/// Bounds as for the station file.
fn temperature(text: &str) -> Result<Temperature, Trouble> {
    let (cold, hot) = (Temperature::celsius(-40.0), Temperature::celsius(60.0));
    Ok(within("intake-temperature", text, cold, hot)?.value)
}

fn until(text: &str) -> Result<Until, Trouble> {
    if text.trim().eq_ignore_ascii_case("full") {
        return Ok(Until::Full);
    }
    span("until", text, 1.0, 24.0)
        .map(Until::For)
        .map_err(|trouble| Trouble {
            remedy: format!("{}, or full", trouble.remedy),
            ..trouble
        })
}

fn drain(text: &str) -> Result<DrainPlan, Trouble> {
    match text.trim().to_lowercase().as_str() {
        "due" => Ok(DrainPlan::WhenDue),
        "never" => Ok(DrainPlan::Never),
        _ => span("drain", text, 30.0, 24.0)
            .map(DrainPlan::Every)
            .map_err(|trouble| Trouble {
                remedy: format!("{}, or due, or never", trouble.remedy),
                ..trouble
            }),
    }
}

/// Opening pressures of the PMV, parted by commas: `55 bar, 100 bar`. A number without a unit has
/// that of the next one that has, else the station's: `55,100,150`.
fn openings(texts: &[String], units: UnitSystem) -> Result<Vec<GaugePressure>, Trouble> {
    let mut openings = Vec::new();
    for text in texts {
        let several = text.contains(',');
        let mut unit = units.preferred::<GaugePressure>().symbol;
        let mut backwards = Vec::new();
        for part in text.split(',').rev() {
            let opening = opening(part, unit).map_err(|trouble| parted(trouble, several))?;
            unit = opening.unit.symbol;
            backwards.push(opening.value);
        }
        openings.extend(backwards.into_iter().rev());
    }
    Ok(openings)
}

/// A pressure in the unit typed, else in this one.
fn opening(text: &str, unit: &str) -> Result<Typed<GaugePressure>, Trouble> {
    let (least, most) = (GaugePressure::bar(1.0), GaugePressure::bar(1000.0));
    let bare = text.trim().ends_with(|c: char| c.is_ascii_digit());
    let text = if bare {
        format!("{text} {unit}")
    } else {
        text.to_owned()
    };
    within("compare-pmv", &text, least, most)
}

/// Somebody may have meant thousands.
fn parted(trouble: Trouble, several: bool) -> Trouble {
    if !several {
        return trouble;
    }
    Trouble {
        remedy: format!(
            "{}; commas part settings here, not thousands: 1500, 2000 psi",
            trouble.remedy
        ),
        ..trouble
    }
}

fn span(field: &'static str, text: &str, least_s: f64, most_h: f64) -> Result<TimeSpan, Trouble> {
    let (least, most) = (TimeSpan::second(least_s), TimeSpan::hour(most_h));
    Ok(within(field, text, least, most)?.value)
}

/// The reason names the fault already.
fn fault(text: &str) -> Result<Fault, Trouble> {
    Fault::parse(text).map_err(|error| {
        let remedy = "`fillstead forecast --list-faults` shows every fault and its size";
        Trouble::new(error.to_string(), remedy).about("fault")
    })
}

/// The request, unless its readings would not fit into an ordinary machine.
fn not_too_many(request: Request) -> Result<Request, Trouble> {
    let long_s = match request.until {
        Until::Full => A_LONG_FILL_S,
        Until::For(time) => time.as_second(),
    };
    let readings = long_s / request.sample_every.as_second() * request.members as f64;
    if readings <= MOST_READINGS {
        return Ok(request);
    }
    let what = format!("that would be about {:.0} million readings", readings / 1e6);
    let remedy = "choose a longer --every, a shorter --until, or fewer --members";
    Err(Trouble::new(what, remedy))
}

fn members(count: usize) -> Result<usize, Trouble> {
    if (1..=MOST_MEMBERS).contains(&count) {
        return Ok(count);
    }
    let what = format!("{count} is not between 1 and {MOST_MEMBERS}");
    Err(Trouble::new(what, "200 runs are enough for most bands").about("members"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wishes(change: impl Fn(&mut Wishes)) -> Result<Request, Trouble> {
        let mut wishes = Wishes::default();
        change(&mut wishes);
        wishes.request(UnitSystem::Metric)
    }

    #[test]
    fn nothing_wished_is_the_usual_request() {
        assert_eq!(wishes(|_| ()), Ok(Request::default()));
    }

    #[test]
    fn settings_to_compare_are_parted_by_commas() {
        let bars = |texts: &[&str], units| {
            let texts: Vec<String> = texts.iter().map(|&t| t.into()).collect();
            openings(&texts, units).map(|all| all.iter().map(|p| p.as_bar().round()).collect())
        };
        let metric = |texts| bars(texts, UnitSystem::Metric);
        assert_eq!(metric(&["55,100, 150"]), Ok(vec![55.0, 100.0, 150.0]));
        assert_eq!(
            metric(&["55 bar,100 bar", "90"]),
            Ok(vec![55.0, 100.0, 90.0])
        );
        // 1 psi = 6.894757 kPa (NIST SP 811, B.8): 1500 psi is 103.4 bar, 2000 psi 137.9 bar.
        let us = bars(&["1500,2000"], UnitSystem::Us);
        assert_eq!(us, Ok(vec![103.0, 138.0]));
        assert_eq!(metric(&["1500, 2000 psi"]), us);
        let thousands = metric(&["2,000 psi"]).unwrap_err();
        assert!(thousands.remedy.contains("not thousands"), "{thousands:?}");
        assert_eq!(metric(&["55,"]).unwrap_err().field, Some("compare-pmv"));
    }

    #[test]
    fn a_cylinder_may_bring_its_pressure() {
        let starts = |text: &str| {
            let request = wishes(|w| w.cylinders = vec![text.to_owned()])?;
            Ok::<_, Trouble>(request.cylinders[0].clone())
        };
        assert_eq!(
            starts("A1"),
            Ok(CylinderStart {
                id: "A1".into(),
                start: None
            })
        );
        let half = Some(GaugePressure::bar(50.0));
        assert_eq!(
            starts("a@b @50 bar"),
            Ok(CylinderStart {
                id: "a@b".into(),
                start: half
            })
        );
        assert_eq!(
            starts("@50 bar").unwrap_err().what,
            "\"@50 bar\" names no cylinder"
        );
        assert_eq!(starts("A1@").unwrap_err().what, "nothing is written here");
        assert_eq!(
            starts("A1@-3 bar").unwrap_err().what,
            "-3 bar is not between 0 bar and 1000 bar"
        );
    }

    #[test]
    fn until_is_full_or_a_time() {
        let until = |text: &str| wishes(|w| w.until = Some(text.to_owned())).map(|r| r.until);
        assert_eq!(until("Full"), Ok(Until::Full));
        assert_eq!(until("1:30"), Ok(Until::For(TimeSpan::second(90.0))));
        let trouble = until("empty").unwrap_err();
        assert!(trouble.remedy.ends_with(", or full"), "{}", trouble.remedy);
    }

    #[test]
    fn more_readings_than_memory_are_refused() {
        let long = |members| {
            wishes(|w| {
                (w.until, w.every) = (Some("24 h".into()), Some("1 s".into()));
                w.members = Some(members);
            })
        };
        assert!(long(10).is_ok());
        assert_eq!(
            long(200).unwrap_err().what,
            "that would be about 17 million readings"
        );
    }

    #[test]
    fn numbers_no_run_can_have_are_refused() {
        assert_eq!(
            wishes(|w| w.members = Some(0)).unwrap_err().field,
            Some("members")
        );
        assert_eq!(
            wishes(|w| w.every = Some("0 s".into())).unwrap_err().field,
            Some("every")
        );
        let hot = wishes(|w| w.intake_temperature = Some("200 °C".into()));
        assert_eq!(hot.unwrap_err().field, Some("intake-temperature"));
    }
}
