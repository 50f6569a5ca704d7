//! Carbon and catalyst beds: the order of beds, and what they can hold.
//!
//! Not here: their chemistry. A catalyst for carbon monoxide is no licence to
//! take in exhaust; keep the intake clean and have the air analysed.

use super::PurifierError;
use super::error::{Bounds, FRACTION};
use thiserror::Error;

/// What a bed is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BedKind {
    /// Takes up water.
    Drying,
    /// Takes up oil vapour and smells.
    Carbon,
    /// Turns carbon monoxide into carbon dioxide, mole for mole, while dry.
    Catalyst,
}

/// What is wrong with an order of beds. Positions count from the inlet, from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum OrderProblem {
    /// A catalyst with no drying bed before it but one after.
    #[error(
        "the catalyst (bed {}) stands before the drying bed (bed {}); moist air stops it from \
         working: put it after", .catalyst + 1, .drying + 1
    )]
    CatalystBeforeDrying {
        /// Position of the catalyst.
        catalyst: usize,
        /// Position of the first drying bed.
        drying: usize,
    },
    /// A catalyst and no drying bed at all.
    #[error("the catalyst (bed {}) has no drying bed before it; moist air stops it from working", .catalyst + 1)]
    CatalystWithoutDrying {
        /// Position of the catalyst.
        catalyst: usize,
    },
    /// Carbon before the first drying bed.
    #[error(
        "the carbon (bed {}) stands before the drying bed (bed {}); water takes up room that oil \
         vapour needs: usually it stands after", .carbon + 1, .drying + 1
    )]
    CarbonBeforeDrying {
        /// Position of the carbon.
        carbon: usize,
        /// Position of the first drying bed.
        drying: usize,
    },
}

/// What is wrong with beds in this order, inlet first; empty if nothing is.
///
/// **Source** that humidity stops an ambient-temperature copper-manganese
/// oxide catalyst: general literature. That carbon stands behind the drying
/// bed: common practice, no source. The maker's order stands above both.
pub fn check_order(beds: &[BedKind]) -> Vec<OrderProblem> {
    let drying = beds.iter().position(|b| *b == BedKind::Drying);
    let problem = |(here, bed): (usize, &BedKind)| match (bed, drying) {
        (BedKind::Catalyst, None) => Some(OrderProblem::CatalystWithoutDrying { catalyst: here }),
        (BedKind::Catalyst, Some(drying)) if here < drying => {
            Some(OrderProblem::CatalystBeforeDrying {
                catalyst: here,
                drying,
            })
        }
        (BedKind::Carbon, Some(drying)) if here < drying => {
            Some(OrderProblem::CarbonBeforeDrying {
                carbon: here,
                drying,
            })
        }
        _ => None,
    };
    beds.iter().enumerate().filter_map(problem).collect()
}

/// A drying bed lets through more than its catalyst bears.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
#[error(
    "air with {outlet_fraction} mol/mol of water reaches the catalyst, more than {limit}; take it \
     as not working until the drying bed is changed"
)]
pub struct WetCatalyst {
    /// Mole fraction leaving the drying bed.
    pub outlet_fraction: f64,
    /// The limit it was compared with.
    pub limit: f64,
}

/// Whether the air leaving the drying bed is too moist for the catalyst. The
/// limit is the maker's; none with a source is known here.
pub fn catalyst_air(
    outlet_fraction: f64,
    limit: f64,
) -> Result<Option<WetCatalyst>, PurifierError> {
    FRACTION.check(outlet_fraction)?;
    FRACTION.check(limit)?;
    Ok((outlet_fraction > limit).then_some(WetCatalyst {
        outlet_fraction,
        limit,
    }))
}

/// Oil vapour that activated carbon holds, kg per kg, low and high: common
/// practice, no source. Depends on the oil, its vapour pressure and moisture.
pub const CARBON_OIL_CAPACITY: (f64, f64) = (0.05, 0.20);

/// Running time in which `mass_kg` of carbon takes up `oil_kg_s` of oil
/// vapour, s, low and high, by [`CARBON_OIL_CAPACITY`] alone. Droplets, which
/// the separator should have caught, shorten it without bound. Infinite
/// without oil.
pub fn carbon_seconds(mass_kg: f64, oil_kg_s: f64) -> Result<(f64, f64), PurifierError> {
    if mass_kg.is_nan() || mass_kg <= 0.0 {
        return Err(PurifierError::EmptyBed { mass_kg });
    }
    OIL.check(oil_kg_s)?;
    let (low, high) = CARBON_OIL_CAPACITY;
    let seconds = |share: f64| {
        if oil_kg_s > 0.0 {
            share * mass_kg / oil_kg_s
        } else {
            f64::INFINITY
        }
    };
    Ok((seconds(low), seconds(high)))
}

const OIL: Bounds = Bounds {
    what: "oil vapour reaching the carbon",
    low: 0.0,
    high: 1.0,
    unit: "kg/s",
    remedy: "give the vapour per time, from zero up",
};
