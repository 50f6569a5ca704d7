//! A diagnosis in words: names, sizes, the headline.
//!
//! Not here: the figures.

use super::answer::{Cause, SettingFound, Standing, Verdict};
use super::causes::{Knowledge, Known};
use super::settings::Settings;
use super::space::Space;
use super::suspects::Effect;
use super::weigh::Weighed;
use quantity::{FlowRate, PressureDifference, UnitSystem};

/// Probability from which one cause stands out, and from which it leads.
pub(super) const OUT: f64 = 0.8;
/// The same for two causes at once, which can be bent to fit much.
const OUT_OF_TWO: f64 = 0.95;
const LEADS: f64 = 0.45;

/// The name of one or two causes, and what people call them.
pub(super) fn called(known: &Knowledge, ids: &[&str]) -> (String, String) {
    let name = |id: &&str| {
        known
            .cause(id)
            .map_or((*id).to_owned(), |c| c.called.to_owned())
    };
    let names: Vec<String> = ids.iter().map(name).collect();
    (ids.join("+"), names.join(", and "))
}

/// What is said of a cause, before how it looks here.
pub(super) fn cause(known: &Knowledge, ids: &[&str], probability: f64) -> Cause {
    let (id, name) = called(known, ids);
    let of: Vec<&Known> = ids.iter().filter_map(|id| known.cause(id)).collect();
    let joined = |text: fn(&Known) -> &'static str| {
        let texts: Vec<&str> = of.iter().map(|c| text(c)).collect();
        texts.join("; ")
    };
    Cause {
        id,
        called: name,
        probability,
        size: None,
        why: joined(|c| c.why),
        check: joined(|c| c.check),
        remedy: joined(|c| c.remedy),
        source: joined(|c| c.source),
        who: joined(|c| c.who),
        cautions: of
            .iter()
            .flat_map(|c| &c.cautions)
            .map(|c| (*c).to_owned())
            .collect(),
        looks_like: Vec::new(),
        valve: of.iter().find_map(|c| c.valve),
    }
}

/// How large what is wrong seems to be.
pub(super) fn size(space: &Space, w: &Weighed) -> Option<String> {
    let settings: Settings = space.settings(&w.suspect, &w.fit.z);
    let us = space.prepared.station().units == UnitSystem::Us;
    let one = |(effect, size): &(Effect, f64)| effect_size(*effect, *size, us);
    let sizes: Vec<String> = settings.effects.iter().filter_map(one).collect();
    (!sizes.is_empty()).then(|| sizes.join(", and "))
}

fn effect_size(effect: Effect, size: f64, us: bool) -> Option<String> {
    let pressure = if us {
        format!("{:.0} psi", PressureDifference::bar(size).as_psi())
    } else {
        format!("{size:.0} bar")
    };
    let flow = if us {
        format!(
            "{:.1} cfm of free air at working pressure",
            FlowRate::litre_per_minute(size).as_cubic_foot_per_minute()
        )
    } else {
        format!("{size:.0} L/min of free air at working pressure")
    };
    Some(match effect {
        Effect::Slow => format!("{:.0} % too little", 100.0 * size),
        Effect::PmvLow => format!("opens and closes {pressure} low"),
        Effect::PmvOpensLow => format!("opens {pressure} low"),
        Effect::PmvHigh => format!("opens and closes {pressure} high"),
        Effect::PmvOpensHigh => format!("opens {pressure} high"),
        Effect::PmvClosesLow => format!("closes {pressure} low"),
        Effect::PmvLeaks => format!("lets back {flow}"),
        Effect::PmvStuckOpen => "stands open".into(),
        Effect::PmvStuckShut => "stands shut".into(),
        Effect::ReliefLow => format!("{pressure} low"),
        Effect::ReliefHigh => format!("{pressure} high"),
        Effect::ReliefWeeps | Effect::TowerLeak | Effect::WhipLeak => format!("about {flow}"),
        Effect::ReadsHigh(_) => format!("{pressure} high"),
        Effect::ReadsLow(_) => format!("{pressure} low"),
        Effect::Blocked => format!("to a passage of about {size:.2} mm"),
        Effect::StageLeaks(stage) => {
            format!("stage {stage}, about {:.0} % let back", 100.0 * size)
        }
    })
}

/// How far the readings decide.
pub(super) fn standing(causes: &[Cause], read: usize, fits: bool) -> Standing {
    let Some(first) = causes.first().filter(|_| read > 0) else {
        return Standing::NoReadings;
    };
    if !fits || first.id == "something_else" {
        return Standing::DoesNotFit;
    }
    if first.id == "healthy" && first.probability >= 0.6 {
        return Standing::Sound;
    }
    if first.id == "healthy" {
        return Standing::CannotTell;
    }
    match first.probability {
        p if p
            >= if first.id.contains('+') {
                OUT_OF_TWO
            } else {
                OUT
            } =>
        {
            Standing::Likely
        }
        p if p >= LEADS => Standing::Leading,
        _ => Standing::CannotTell,
    }
}

/// All of it in one sentence.
pub(super) fn headline(standing: Standing, causes: &[Cause], settings: &[SettingFound]) -> String {
    let percent = |p: f64| format!("{:.0} in 100", (100.0 * p).clamp(1.0, 99.0));
    let named = |cause: &Cause| match &cause.size {
        Some(size) => format!("{} ({size})", cause.called),
        None => cause.called.clone(),
    };
    let first = causes.first();
    let second = causes.get(1);
    match (standing, first) {
        (Standing::NoReadings, _) | (_, None) => "no readings: nothing can be said".into(),
        (Standing::Sound, Some(first)) => format!(
            "no reason found to think anything is wrong: {} that these readings are those of a sound station{}",
            percent(first.probability),
            outside(settings)
        ),
        (Standing::Likely, Some(first)) => {
            format!("most likely {}: {}", named(first), percent(first.probability))
        }
        (Standing::Leading, Some(first)) => format!(
            "{} leads with {}; {} is possible: read once more before anything is done",
            named(first),
            percent(first.probability),
            second.map_or_else(String::new, |s| format!("{} ({})", s.called, percent(s.probability)))
        ),
        (Standing::CannotTell, Some(first)) => format!(
            "cannot tell: {} is likeliest with only {}",
            named(first),
            percent(first.probability)
        ),
        (Standing::DoesNotFit, Some(_)) => {
            "these readings do not fit this station, sound or with any fault known here: check times, \
             units, gauges and the station file, and read again"
                .into()
        }
    }
}

fn outside(settings: &[SettingFound]) -> String {
    let out = settings
        .iter()
        .find(|s| matches!(s.verdict, Verdict::Below | Verdict::Above));
    out.map_or_else(String::new, |s| format!("; but look at: {}", s.called))
}
