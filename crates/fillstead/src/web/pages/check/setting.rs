//! Settings found against specified, and the valve that is to be set.

use insight::diagnose::answer::{SettingFound, Verdict};
use insight::ladder::{Ladder, RungKind};

use crate::draw::tolerance::{Against, strip};
use crate::usecase::diagnose::check::Check;
use crate::usecase::diagnose::said::{Settings, verdict};
use crate::usecase::diagnose::valve::Setting;
use crate::web::address;
use crate::words::capital;

/// A setting in a row.
pub struct SettingRow {
    /// The number of its part in every drawing.
    pub balloon: Option<u8>,
    /// What it is called.
    pub name: String,
    /// What the station file says.
    pub specified: String,
    /// What was found; empty where it was not reached.
    pub found: String,
    /// What was found in the last good run; empty where there is none.
    pub good: String,
    /// What that means.
    pub verdict: &'static str,
    /// A mark where it is out.
    pub mark: &'static str,
    /// Against its tolerance.
    pub strip: Option<String>,
}

/// The rows.
pub fn rows(check: &Check, settings: &[SettingFound]) -> Vec<SettingRow> {
    let ladder = Ladder::of(&check.station);
    let figures = Settings {
        units: check.station.units,
    };
    let row = |setting: &SettingFound| {
        let out = matches!(setting.verdict, Verdict::Below | Verdict::Above);
        SettingRow {
            balloon: balloon(&ladder, setting.name),
            name: capital(setting.called),
            specified: figures.specified(setting).unwrap_or_default(),
            found: figures.found(setting).unwrap_or_default(),
            good: good(check, setting.name),
            verdict: verdict(setting.verdict),
            mark: if out { "m-abnormal" } else { "" },
            strip: against(figures, setting, out).map(|against| strip(&against).svg()),
        }
    };
    settings.iter().map(row).collect()
}

fn good(check: &Check, name: &str) -> String {
    let then = check.good.as_ref().and_then(|good| good.setting(name));
    then.unwrap_or_default().to_owned()
}

/// The number a valve's part carries.
pub fn balloon(ladder: &Ladder, name: &str) -> Option<u8> {
    let kind = match name {
        name if name.starts_with("pmv") => RungKind::PmvOpens,
        name if name.starts_with("relief") => RungKind::ReliefLifts,
        name if name.starts_with("tower") => return Some(6),
        _ => return None,
    };
    ladder.rung(kind).and_then(|rung| rung.part.balloon)
}

fn against(figures: Settings, setting: &SettingFound, out: bool) -> Option<Against> {
    let number = |value: f64| figures.number(setting, value);
    let ends = setting.found.zip(setting.low.zip(setting.high));
    Some(Against {
        called: capital(setting.called),
        specified: number(setting.specified?),
        tolerance: number(setting.tolerance?),
        found: ends.map(|(found, (low, high))| (number(low), number(found), number(high))),
        out,
        words: format!(
            "specified {}, found {}, {}",
            figures.specified(setting).unwrap_or_default(),
            figures
                .found(setting)
                .unwrap_or_else(|| "nothing".to_owned()),
            verdict(setting.verdict)
        ),
    })
}

/// The valve that is to be set.
pub struct ValveView {
    /// What it is called.
    pub called: &'static str,
    /// What to do.
    pub sentences: Vec<String>,
    /// Where the adjustment is written down; none for a relief valve.
    pub record: Option<String>,
}

/// What to do about it.
pub fn valve(setting: &Setting) -> ValveView {
    let form = [
        ("valve", setting.valve),
        ("before", setting.before.as_str()),
    ];
    ValveView {
        called: setting.called,
        sentences: setting.sentences.clone(),
        record: setting
            .may_be_set
            .then(|| address::with("/book/add/valve", &form)),
    }
}
