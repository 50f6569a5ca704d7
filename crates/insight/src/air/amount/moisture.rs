//! Water in the ways reports give it: ppm, mg/m³, a dew or frost point at 1 atm or at pressure.
//!
//! Below 0.01 °C a point is taken as a frost point, as instruments and standards mean it. Not
//! here: how much air can hold ([`physics::moist`]).

use physics::gas::{Composition, Gas};
use physics::moist::{Moist, Phase, Trace};
use quantity::{AbsolutePressure, Fraction, GaugePressure, Temperature, Typed, parse};

use super::{Single, mass, part_of_whole, plain};
use crate::air::measurand::Measurand;
use crate::air::mistake::Mistake;

/// Standard atmosphere.
const ATMOSPHERE: AbsolutePressure = AbsolutePressure::pascal(101_325.0);

/// An amount of water, mg/m³, from ppm, mg/m³ or a dew or frost point.
pub(super) fn moisture(what: Measurand, text: &str) -> Result<Single, Mistake> {
    if let Ok(typed) = parse::<Fraction>(&plain(text)) {
        if typed.unit.symbol == "%" {
            return Err(Mistake::new(
                format!("`{text}` says nothing about water without a temperature and a pressure"),
                format!("write {}", what.examples()),
            ));
        }
        let share = part_of_whole(what, text, typed.value)?;
        let mg = Trace::Water.mg_per_m3(share.as_part_per_million());
        return Ok(Single::new(mg, format!("{typed} by volume")));
    }
    let (value, place) = match text.split_once(" at ") {
        Some((value, place)) => (value, Some(place.trim())),
        None => (text, None),
    };
    if let Ok(typed) = parse::<Temperature>(value) {
        return point(what, typed, place);
    }
    mass(what, text)
}

/// A dew or frost point, at 1 atm unless a pressure is named.
fn point(
    what: Measurand,
    typed: Typed<Temperature>,
    place: Option<&str>,
) -> Result<Single, Mistake> {
    let pressure = match place {
        None | Some("1 atm" | "atmospheric pressure" | "1 bar abs") => None,
        Some(place) => Some(parse::<GaugePressure>(place).map_err(|e| {
            Mistake::new(e.cause(), format!("{} or `1 atm`, after `at`", e.remedy()))
        })?),
    };
    let p_pa = pressure
        .map_or(ATMOSPHERE, |typed| typed.value.above(ATMOSPHERE))
        .as_pascal();
    let (mg, relative) = held(typed.value, p_pa, what)?;
    let word = if typed.value.as_kelvin() < TRIPLE_K {
        "frost"
    } else {
        "dew"
    };
    let place = pressure.map_or("1 atm".to_owned(), |p| p.to_string());
    Ok(Single {
        // At 1 atm the conversion is surer than any instrument; at pressure it is not.
        conversion: if pressure.is_some() { relative } else { 0.0 },
        point: Some((typed.value, p_pa)),
        ..Single::new(mg, format!("{word} point {typed} at {place}"))
    })
}

/// Triple point of water, K: above it dew, below it frost.
const TRIPLE_K: f64 = 273.16;

/// What air saturated at this point holds, mg/m³ at 20 °C and 1 atm, and the
/// relative uncertainty of that.
pub(super) fn held(point: Temperature, p_pa: f64, what: Measurand) -> Result<(f64, f64), Mistake> {
    let t_k = point.as_kelvin();
    let phase = if t_k < TRIPLE_K {
        Phase::Ice
    } else {
        Phase::Liquid
    };
    let moist = Moist::new(&Gas::new(Composition::dry_air()));
    let found = moist.and_then(|moist| moist.saturated(p_pa, t_k, phase));
    let air = found.map_err(|error| {
        let remedy = "check the figure and its unit; what is drier than the instrument shows is \
                      written as `< -80 °C`";
        Mistake::new(format!("{} of {}", error, what.name()), remedy)
    })?;
    let mg = Trace::Water.mg_per_m3(air.mole_fraction * 1e6);
    Ok((mg, air.relative_uncertainty))
}
