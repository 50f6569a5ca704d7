//! Thrust of a loose hose and energy held in each space, with the formulas' sources.
//!
//! Information only. Not here: the formulas ([`physics::vent`]).

use super::answer::{Source, StoredEnergy, Thrust};
use physics::vent::{
    BERKELEY_HAZARD_J, BERKELEY_TNT_J, Stored, jet_thrust_n, pcc2_distance_m,
    pcc2_least_distance_m, pcc2_tnt_kg,
};
use quantity::{GaugePressure, Length, Quantity as _, Volume};

/// Standard acceleration of free fall, m/s² (ISO 80000-3).
const FREE_FALL: f64 = 9.80665;

/// Where the formulas come from.
pub(super) const SOURCES: [Source; 5] = [
    Source {
        what: "stored energy 2.5·Pt·V·(1 − (101000/Pt)^0.286) and TNT equivalent 4 266 920 J/kg",
        source: "ASME PCC-2-2008, appendix II",
        certainty: "seen in a copy; made for pneumatic pressure tests",
    },
    Source {
        what: "distances 20·TNT^(1/3) and at least 30 m; 20·(2·TNT)^(1/3)",
        source: "ASME PCC-2-2008, appendix III; the doubled form from a later page",
        certainty: "first form seen in a copy, second on a secondary page: unverified",
    },
    Source {
        what: "TNT at 4.62 MJ/kg; highly hazardous above 100 kJ",
        source: "University of California, Berkeley, Environment, Health & Safety, stored energy",
        certainty: "seen",
    },
    Source {
        what: "constant volume (p − pa)·V/(k − 1); isothermal availability p·V·(ln(p/pa) − 1 + pa/p)",
        source: "Brode 1959; textbook thermodynamics",
        certainty: "from memory",
    },
    Source {
        what: "thrust A·(1.268·p − pa) of a choked jet, k = 1.4",
        source: "NACA Report 1135 (1953), momentum balance",
        certainty: "derived",
    },
];

/// The push of an open hose end.
pub(super) fn thrust(bore: Length, pressure: GaugePressure, atmosphere_pa: f64) -> Thrust {
    let area_m2 = std::f64::consts::FRAC_PI_4 * bore.si() * bore.si();
    let newton = jet_thrust_n(atmosphere_pa + pressure.si(), atmosphere_pa, area_m2);
    Thrust {
        bore_mm: bore.as_millimetre(),
        bar: pressure.as_bar(),
        newton,
        weight_kg: newton / FREE_FALL,
    }
}

/// The energy of one space by every formula.
pub(super) fn stored(
    what: &str,
    volume: Volume,
    pressure: GaugePressure,
    atmosphere_pa: f64,
) -> StoredEnergy {
    let store = Stored {
        volume_m3: volume.si(),
        p_pa: atmosphere_pa + pressure.si(),
        atmosphere_pa,
    };
    let joule = store.pcc2_j();
    let tnt = pcc2_tnt_kg(joule);
    StoredEnergy {
        what: what.to_owned(),
        litres: volume.as_litre(),
        bar: pressure.as_bar(),
        pcc2_kj: joule / 1e3,
        tnt_pcc2_kg: tnt,
        tnt_berkeley_kg: joule / BERKELEY_TNT_J,
        distance_m: pcc2_distance_m(tnt, 1.0),
        distance_twice_m: pcc2_distance_m(tnt, 2.0),
        least_distance_m: pcc2_least_distance_m(joule),
        brode_kj: store.brode_j() / 1e3,
        isothermal_kj: store.isothermal_availability_j() / 1e3,
        highly_hazardous: joule > BERKELEY_HAZARD_J,
    }
}
