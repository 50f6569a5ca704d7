//! What the air meets after the last stage, and in which order.

/// What the air meets after the last stage, in order. The whip follows the last element.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AirPath {
    /// The elements; [`Element::Check`] may appear more than once, the others at most once.
    pub order: Vec<Element>,
}

impl AirPath {
    /// Place of the first such element, counted from the last stage.
    pub fn position(&self, element: Element) -> Option<usize> {
        self.order.iter().position(|&e| e == element)
    }

    /// Whether `first` stands before `second`; false when either is not fitted.
    pub fn is_before(&self, first: Element, second: Element) -> bool {
        matches!((self.position(first), self.position(second)), (Some(a), Some(b)) if a < b)
    }

    /// Whether a non-return valve stands between the two, in either order.
    pub fn check_between(&self, one: Element, other: Element) -> bool {
        let (Some(a), Some(b)) = (self.position(one), self.position(other)) else {
            return false;
        };
        let between = self.order.iter().take(a.max(b)).skip(a.min(b));
        between.into_iter().any(|&e| e == Element::Check)
    }

    /// Whether separator and purifier are one pressurised housing: the purifier follows the
    /// separator directly. Draining the sump then lets the purifier's air out too.
    pub fn one_housing(&self) -> bool {
        let separator = self.position(Element::Separator);
        let purifier = self.position(Element::Purifier);
        matches!((separator, purifier), (Some(s), Some(p)) if p == s + 1)
    }
}

/// One thing in the air path.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Element {
    /// Non-return valve.
    Check,
    /// Separator and its sump.
    Separator,
    /// Purifier.
    Purifier,
    /// Where the tower gauge is connected.
    Gauge,
    /// Final relief valve.
    Relief,
    /// Burst disc.
    BurstDisc,
    /// Tower vent.
    Vent,
    /// Pressure maintaining valve.
    Pmv,
}
