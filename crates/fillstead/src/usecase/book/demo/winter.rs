//! The machine put by for the winter, and started again.

use super::calendar::DAYS;
use super::scribe::Time;
use super::telling::{Later, Teller};
use crate::usecase::Trouble;

/// Days without a session that make a winter.
const LONG: i32 = 40;
const NOON: i32 = 12 * 3600;

/// Finds the winter among the sessions: parked the day after the last, looked over before the next.
pub fn wait(teller: &mut Teller<'_, '_, '_>) {
    let sessions = &teller.year.sessions;
    let days: Vec<i32> = sessions.iter().map(|s| s.day).collect();
    // whoever ends the year in winter has parked as well
    let in_winter = sessions.last().is_some_and(|s| s.date.month() == 12);
    let end = if in_winter { DAYS + LONG } else { DAYS };
    let ends = days.iter().skip(1).copied().chain([end]);
    for (last, next) in days.iter().copied().zip(ends) {
        if next - last >= LONG && last + 1 < DAYS {
            teller.waiting.push(((last + 1, NOON), Later::Parked));
            if next < DAYS {
                teller.waiting.push(((next - 1, NOON), Later::Unparked));
            }
        }
    }
}

impl Teller<'_, '_, '_> {
    pub(super) fn parked(&mut self, at: Time) -> Result<(), Vec<Trouble>> {
        let typed = [
            ("tower", "60 bar".to_owned()),
            ("hours", format!("{:.1} h", self.hours)),
            (
                "done",
                "drained; intake capped; cartridge left in under pressure".into(),
            ),
            ("remark", "until February".into()),
        ];
        self.scribe.enter("EM", at, "park", &typed)?;
        Ok(())
    }

    pub(super) fn unparked(&mut self, at: Time) -> Result<(), Vec<Trouble>> {
        let text = "intake uncapped, oil and belt looked at, turned by hand, vented once through both \
                    whips: ready for the season";
        self.scribe
            .enter("EM", at, "note", &[("text", text.into())])?;
        Ok(())
    }
}
