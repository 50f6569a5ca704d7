//! What can be wrong on the bench: the catalogue of faults at sizes that show, and what hands forget.
//!
//! Not here: what a fault does to the plant ([`crate::assemble`]).

use super::Refused;
use crate::fault::Fault;
use station::Station;

/// One thing wrong.
#[derive(Debug, Clone, PartialEq)]
pub struct Wrong {
    /// Its entry.
    pub entry: &'static Entry,
    pub(super) kind: Kind,
}

/// What it comes to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Kind {
    /// A part of the machine, at this size.
    Part(Fault),
    /// The drain stands open.
    DrainOpen,
    /// The sump was not drained: nearly full.
    SumpFull,
    /// The cooling fan stands still.
    FanStopped,
}

/// A thing that can be wrong, as it is chosen and named.
#[derive(Debug, PartialEq, Eq)]
pub struct Entry {
    /// Its name in addresses and files.
    pub key: &'static str,
    /// What people call it.
    pub label: &'static str,
    /// The fault with its size; a word of ours for what is no part.
    spec: &'static str,
    /// How it shows.
    pub shows: &'static str,
    /// How to tell it from what looks alike, and what to do.
    pub check: &'static str,
    /// What must be fitted.
    needs: Needs,
}

#[derive(Debug, PartialEq, Eq)]
enum Needs {
    Nothing,
    Pmv,
    Relief,
    Stage(usize),
}

/// Share of the sump that is full when the drain was forgotten.
pub const FORGOTTEN: f64 = 0.85;
/// How much hotter the air leaves the coolers without their fan, K (an estimate, no source).
pub const FAN_K: f64 = 35.0;

macro_rules! entry {
    ($key:literal, $label:literal, $spec:literal, $needs:expr, $shows:literal, $check:literal) => {
        Entry {
            key: $key,
            label: $label,
            spec: $spec,
            shows: $shows,
            check: $check,
            needs: $needs,
        }
    };
}

/// Everything that can be wrong here. How it shows and how it is told apart: the trade's own words
/// for it (fault tables of repair manuals; common practice where no source is named).
#[rustfmt::skip]
pub static CATALOGUE: [Entry; 25] = [
    entry!("pmv-stuck-open", "PMV sticks open", "pmv-stuck-open", Needs::Pmv,
        "pressure reaches the hose at once from an empty start, the tower follows the cylinder",
        "start with an empty tower: a sound PMV lets nothing past before its set pressure; have it serviced"),
    entry!("pmv-stuck-shut", "PMV sticks shut", "pmv-stuck-shut", Needs::Pmv,
        "nothing reaches the hose, the tower climbs to the relief valve",
        "compare the gauges either side: stop now; leave the relief valve alone"),
    entry!("pmv-high", "PMV set too high", "pmv-high=50 bar", Needs::Pmv,
        "it opens late and holds the tower higher than its tag says",
        "read the tower gauge as the hose begins to fill, check that gauge against another"),
    entry!("pmv-low", "PMV set too low", "pmv-low=50 bar", Needs::Pmv,
        "it opens early and shuts late: wetter air reaches the purifier",
        "read the tower gauge as the hose begins to fill, check that gauge against another"),
    entry!("pmv-leaks-back", "PMV leaks back", "pmv-leaks-back=20 L/min", Needs::Pmv,
        "stopped, the tower bleeds down while the hose is open or bled",
        "watch both gauges with the machine stopped and the hose bled; reseat it"),
    entry!("relief-high", "Relief valve lifts too high", "relief-high=20 bar", Needs::Relief,
        "nothing shows in an ordinary fill; over-run, it lifts late",
        "only a bench test shows it; a competent person sets and seals it"),
    entry!("relief-low", "Relief valve lifts early", "relief-low=40 bar", Needs::Relief,
        "it lifts below working pressure, the last bars are never reached",
        "suspect the gauge first, then the valve: replace it; never screw it in"),
    entry!("relief-weeps", "Relief valve weeps", "relief-weeps=30 L/min", Needs::Relief,
        "the fill is slow near the top, there is a hiss, stopped the tower falls",
        "soap at its outlet; replace it"),
    entry!("relief-stuck-shut", "Relief valve seized", "relief-stuck-shut", Needs::Relief,
        "nothing shows until it should lift and does not: the disc is what is left",
        "lift it by its ring where it has one, as the maker says; replace it"),
    entry!("tower-leak", "Tower leaks", "tower-leak=30 L/min", Needs::Nothing,
        "stopped, the tower falls; running, the fill is slow",
        "stop, hold everything shut, soap drain, vent and seals; the cartridge is suspect if it leaked down"),
    entry!("whip-leak", "Hose leaks", "whip-leak=25 L/min", Needs::Nothing,
        "a hiss at the hose, stopped the line falls while the tower holds",
        "shut the panel and watch the line; stop, bleed, renew the O-ring or the hose"),
    entry!("purifier-blocked", "Purifier blocked", "purifier-blocked=0.35 mm", Needs::Nothing,
        "the machine works harder than the gauge behind the purifier shows",
        "compare pressure before and after it; vent fully before opening the housing"),
    entry!("worn-rings", "Last stage's rings worn", "worn-rings=45%", Needs::Nothing,
        "the fill is slow and slower towards the top",
        "dead-end pressure and time to it against the record; a workshop renews the rings"),
    entry!("stage-1-valve", "Stage 1 valve leaks back", "stage-valve-leak=1:30%", Needs::Stage(1),
        "the whole ladder of pressures is low and the fill slow",
        "intake filter and belt first, then the hottest valve cover"),
    entry!("stage-2-valve", "Stage 2 valve leaks back", "stage-valve-leak=2:30%", Needs::Stage(2),
        "the gauge after stage 1 stands high",
        "fluctuating high: suction valve; steady: discharge valve; recondition that stage's valves"),
    entry!("stage-3-valve", "Stage 3 valve leaks back", "stage-valve-leak=3:30%", Needs::Stage(3),
        "the gauge after stage 2 stands high",
        "fluctuating high: suction valve; steady: discharge valve; recondition that stage's valves"),
    entry!("stage-4-valve", "Stage 4 valve leaks back", "stage-valve-leak=4:30%", Needs::Stage(4),
        "the gauge after stage 3 stands high",
        "fluctuating high: suction valve; steady: discharge valve; recondition that stage's valves"),
    entry!("tower-gauge-high", "Tower gauge reads high", "tower-gauge-offset=30 bar", Needs::Nothing,
        "it shows more than the line gauge with everything open, and does not go back to zero",
        "a third gauge; the higher one rules while filling"),
    entry!("tower-gauge-low", "Tower gauge reads low", "tower-gauge-offset=-30 bar", Needs::Nothing,
        "it shows less than the line gauge with everything open; the relief seems to lift early",
        "a third gauge; the higher one rules while filling"),
    entry!("line-gauge-high", "Line gauge reads high", "line-gauge-offset=25 bar", Needs::Nothing,
        "it shows more than the tower gauge with everything open, and does not go back to zero",
        "a third gauge; the higher one rules while filling"),
    entry!("line-gauge-low", "Line gauge reads low", "line-gauge-offset=-25 bar", Needs::Nothing,
        "it shows less than the tower gauge with everything open: cylinders are over-filled by it",
        "a third gauge; the higher one rules while filling"),
    entry!("drain-open", "Drain left open", "drain-open", Needs::Nothing,
        "the pressure does not come up, the drain roars",
        "look at every drain before the start; shut it slowly"),
    entry!("drain-forgotten", "Drain forgotten", "sump-full", Needs::Nothing,
        "much water comes at the first drain; a full sump sends water into the purifier",
        "drain by the clock, by today's air; the cartridge is suspect once the sump ran over"),
    entry!("fan-stopped", "Cooler fan stopped", "fan-stopped", Needs::Nothing,
        "the air arrives hot, more water stays in it and reaches the purifier",
        "feel for the draught, read the tower's temperature; stop above the maker's limit"),
    entry!("none", "Nothing is wrong", "none", Needs::Nothing,
        "every reading is as the station file says",
        "say so: a sound machine taken apart is one more fault"),
];

/// The entry of this name.
pub fn entry(key: &str) -> Option<&'static Entry> {
    CATALOGUE.iter().find(|entry| entry.key == key)
}

/// What can be wrong with this station, nothing included last.
pub fn suited(station: &Station) -> impl Iterator<Item = &'static Entry> {
    CATALOGUE.iter().filter(|entry| entry.suits(station))
}

impl Entry {
    /// Whether the part is fitted.
    pub fn suits(&self, station: &Station) -> bool {
        match self.needs {
            Needs::Nothing => true,
            Needs::Pmv => station.pmv.is_some(),
            Needs::Relief => station.relief.is_some(),
            Needs::Stage(n) => n <= station.compressor.stage_count,
        }
    }
}

impl Wrong {
    /// The thing wrong of this name; none for `none`.
    ///
    /// **Errors** a name that is not in the catalogue, or a part that is not fitted.
    pub fn named(key: &str, station: &Station) -> Result<Option<Wrong>, Refused> {
        let entry = entry(key).filter(|entry| entry.suits(station));
        let entry = entry.ok_or_else(|| {
            let what = format!("there is no fault called `{key}` on this station");
            Refused::new(what, "choose one from the list")
        })?;
        let kind = match entry.spec {
            "none" => return Ok(None),
            "drain-open" => Kind::DrainOpen,
            "sump-full" => Kind::SumpFull,
            "fan-stopped" => Kind::FanStopped,
            spec => {
                let fault = Fault::parse(spec);
                let fault = fault.map_err(|e| Refused::new(e.to_string(), "choose another"))?;
                Kind::Part(fault)
            }
        };
        Ok(Some(Wrong { entry, kind }))
    }

    /// One of all that suit this station, by a number drawn elsewhere.
    pub fn drawn(number: u64, station: &Station) -> Option<Wrong> {
        let all: Vec<&Entry> = suited(station).filter(|e| e.spec != "none").collect();
        let which = number.checked_rem(all.len() as u64)?;
        let entry = all.get(which as usize)?;
        Wrong::named(entry.key, station).ok().flatten()
    }
}
