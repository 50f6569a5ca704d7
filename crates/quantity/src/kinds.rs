//! Every kind of quantity in one list, to say what something is when it is not
//! what was wanted.

use crate::unit::{Lookup, Quantity, Unit, find};
use crate::{
    AbsolutePressure, Concentration, FlowRate, Fraction, FreeVolume, GaugePressure, Length, Mass,
    Power, PressureDifference, Speed, Temperature, TemperatureDifference, TimeSpan, Volume,
};

/// One kind of quantity, without its type.
pub(crate) struct Kind {
    pub(crate) name: &'static str,
    pub(crate) units: &'static [Unit],
}

const fn kind<Q: Quantity>() -> Kind {
    Kind {
        name: Q::NAME,
        units: Q::UNITS,
    }
}

/// The likelier meaning of a unit comes first.
pub(crate) static KINDS: [Kind; 15] = [
    kind::<GaugePressure>(),
    kind::<AbsolutePressure>(),
    kind::<PressureDifference>(),
    kind::<Temperature>(),
    kind::<TemperatureDifference>(),
    kind::<Volume>(),
    kind::<FreeVolume>(),
    kind::<FlowRate>(),
    kind::<Mass>(),
    kind::<Length>(),
    kind::<TimeSpan>(),
    kind::<Fraction>(),
    kind::<Speed>(),
    kind::<Power>(),
    kind::<Concentration>(),
];

/// The first kind that has a unit of this name.
pub(crate) fn kind_of(unit: &str) -> Option<&'static Kind> {
    KINDS
        .iter()
        .find(|kind| matches!(find(kind.units, unit), Lookup::Found(_)))
}
