//! Hands on the bench: what is done when somebody does it, and what is refused.
//!
//! Refused is only what cannot be done. What must not be done is done, and hurts.

use super::engine::UNDO_BAR;
use super::log::{Happening, NoteKind};
use super::{Act, Bench, Refused, wrong};

impl Bench {
    /// Somebody does something.
    ///
    /// **Errors** what cannot be done as things stand: nothing is changed.
    pub fn operate(&mut self, who: Option<&str>, act: Act) -> Result<(), Refused> {
        if self.over() {
            return Err(Refused::new(
                "the bench is over",
                "go back to the start, or begin the drill again",
            ));
        }
        if self.stands(act) == Some(true) {
            return Ok(());
        }
        self.possible(act)?;
        self.note(who, act.words(), NoteKind::Done);
        if let Some(course) = &mut self.course {
            let (running, hose_bar) = (self.sim.running(), self.places.hoses.first());
            let now = self.sim.snapshot();
            let atmosphere = self.sim.plant().atmosphere_pa;
            let hose_bar =
                hose_bar.map_or(0.0, |h| (now.vessels[h.vessel].p_pa - atmosphere) / 1e5);
            course.did(&act.key(), self.t_s, who, (running, hose_bar));
        }
        match act {
            Act::Undo(hose) => self.undo(hose),
            Act::Connect(hose) => {
                self.next_cylinder(hose)?;
                self.turn(act);
                self.connected[hose] = true;
            }
            Act::Name(key) => self.name(who, key),
            other => self.turn(other),
        }
        if let Some(mut course) = self.course.take() {
            course.look(self);
            self.course = Some(course);
        }
        Ok(())
    }

    /// Whether something stands already as this would make it; none: it cannot stand.
    pub(super) fn stands(&self, act: Act) -> Option<bool> {
        let open = |valve: usize| self.sim.opening(valve).is_some_and(|o| o > 0.0);
        let hose = |i: usize| self.places.hoses.get(i);
        Some(match act {
            Act::Motor(on) => self.sim.running() == on,
            Act::Drain(wanted) => open(self.places.drain?) == wanted,
            Act::Vent(wanted) => open(self.places.vent?) == wanted,
            Act::Fill(i, wanted) => open(hose(i)?.fill) == wanted,
            Act::Cylinder(i, wanted) => open(hose(i)?.valve) == wanted,
            Act::Bleed(i, wanted) => open(hose(i)?.bleed) == wanted,
            _ => return None,
        })
    }

    fn possible(&self, act: Act) -> Result<(), Refused> {
        let missing = act.hose().is_some_and(|hose| hose >= self.hoses());
        if missing || (matches!(act, Act::Vent(_)) && self.places.vent.is_none()) {
            return Err(Refused::new(
                "that part is not on this bench",
                "choose another",
            ));
        }
        let connected = |hose: usize| self.connected[hose];
        match act {
            Act::Undo(hose) if !connected(hose) => Err(Refused::new(
                "no cylinder is on that hose",
                "put the next one on first",
            )),
            Act::Connect(hose) if connected(hose) => Err(Refused::new(
                "a cylinder is on that hose already",
                "shut it, bleed the hose and undo it first",
            )),
            Act::Cylinder(hose, true) if !connected(hose) => Err(Refused::new(
                "no cylinder is on that hose",
                "put the next one on first",
            )),
            _ => Ok(()),
        }
    }

    /// Under pressure a hose is not undone: it lashes out, and the bench is over.
    fn undo(&mut self, hose: usize) {
        let now = self.sim.snapshot();
        let bar = self.bar(&now, self.places.hoses[hose].vessel);
        self.connected[hose] = false;
        if bar < UNDO_BAR {
            self.turn(Act::Cylinder(hose, false));
            self.turn(Act::Undo(hose));
            return;
        }
        let cylinder = match self.stands(Act::Cylinder(hose, true)) {
            Some(true) => " with the cylinder blowing out behind it",
            _ => "",
        };
        self.happen(Happening::HoseWhip);
        self.over = Some(format!(
            "the hose was undone at {bar:.0} bar{cylinder}: it lashes out and hits whoever stands \
             near. Shut the cylinder, shut the panel, bleed to zero, then undo"
        ));
    }

    /// Somebody says what is wrong.
    fn name(&mut self, who: Option<&str>, key: &'static str) {
        let right = match self.wrong.is_empty() {
            true => key == "none",
            false => self.wrong.iter().any(|w| w.entry.key == key),
        };
        self.named
            .push((self.t_s, who.map(str::to_owned), key, right));
        if self.course.is_some() {
            return;
        }
        let label = wrong::entry(key).map_or(key, |entry| entry.label);
        if right {
            self.note(None, format!("right: {label}"), NoteKind::Told);
            self.hidden = false;
        } else {
            self.note(None, format!("not {label}: look again"), NoteKind::Told);
        }
    }
}
