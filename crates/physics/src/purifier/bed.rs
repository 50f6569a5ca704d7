//! The drying bed: its state, what is asked of it and what it answers.
//!
//! Not here: the arithmetic of a pass (`column`) and of standing idle (`rest`).

use super::error::{Bounds, FRACTION, PRESSURE, SECONDS, TEMPERATURE};
use super::{Adsorbent, PurifierError, TothAt, WATER_KG_MOL, column};

/// How a bed is packed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Packing {
    /// Dry adsorbent, kg.
    pub mass_kg: f64,
    /// Length along the flow, m.
    pub length_m: f64,
    /// Cells it is divided into; a hundred resolves it well.
    pub cells: usize,
}

impl Packing {
    /// A bed of this mass and length in a hundred cells.
    pub fn new(mass_kg: f64, length_m: f64) -> Packing {
        Packing {
            mass_kg,
            length_m,
            cells: 100,
        }
    }
}

/// How far a bed departs from the published figures: factors on the
/// isotherm's loadings and on the transfer coefficient.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tuning {
    /// Share of the published loading that is usable.
    pub capacity: f64,
    /// Factor on k.
    pub transfer: f64,
}

impl Default for Tuning {
    /// As published.
    fn default() -> Tuning {
        Tuning {
            capacity: 1.0,
            transfer: 1.0,
        }
    }
}

/// Air going into a bed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Feed {
    /// Flow of dry air, mol/s.
    pub air_mol_s: f64,
    /// Water vapour, mol per mol of moist air.
    pub water_fraction: f64,
    /// Absolute pressure in the bed, Pa.
    pub p_pa: f64,
    /// Temperature of the bed, K. Fitted range of the isotherms 273-373 K.
    pub t_k: f64,
    /// f: vapour that saturated air holds here over what the ideal law says;
    /// 1 for an ideal mixture, about 2.4 at 300 bar and 20 °C.
    pub enhancement: f64,
}

impl Feed {
    /// The partial pressure to use in an isotherm, p = y·P/f, kPa.
    ///
    /// In equilibrium the water in the gas and in the bed have one chemical
    /// potential. Pressing on the bed raises it in the adsorbed water much as
    /// it does in liquid water (equal molar volumes are assumed), so that what
    /// counts is the relative saturation: y/y_s = y·P/(f·p_s). Times p_s this
    /// is p. It leaves out nitrogen and carbon dioxide sharing the adsorbent.
    pub fn effective_kpa(&self) -> f64 {
        self.water_fraction * self.p_pa / self.enhancement * 1e-3
    }

    /// Moles of water per mole of dry air.
    pub(super) fn ratio(&self) -> f64 {
        self.water_fraction / (1.0 - self.water_fraction)
    }

    /// The feed, if every number in it makes sense.
    pub(super) fn checked(&self) -> Result<&Feed, PurifierError> {
        FLOW.check(self.air_mol_s)?;
        FRACTION.check(self.water_fraction)?;
        PRESSURE.check(self.p_pa)?;
        TEMPERATURE.check(self.t_k)?;
        ENHANCEMENT.check(self.enhancement)?;
        Ok(self)
    }
}

/// What became of the water in one pass. In = taken + out, to rounding.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Passed {
    /// How long the air flowed, s.
    pub seconds: f64,
    /// Water that came in, mol.
    pub in_mol: f64,
    /// Water that left with the air, mol.
    pub out_mol: f64,
    /// Water the bed gained, mol; negative while it gives water up.
    pub taken_mol: f64,
    /// Mole fraction of water in the air that left, over the whole pass.
    pub outlet_fraction: f64,
    /// Mole fraction over the last step of the pass.
    pub final_fraction: f64,
    /// Steps computed, rejected ones included.
    pub steps: u32,
}

/// A drying bed with the water it holds, cell by cell from the inlet on.
#[derive(Debug, Clone, PartialEq)]
pub struct Bed {
    pub(super) adsorbent: Adsorbent,
    pub(super) packing: Packing,
    pub(super) tuning: Tuning,
    /// Loading of each cell, mol/kg.
    pub(super) cells: Vec<f64>,
}

impl Bed {
    /// A newly filled bed. `residual` is the water it came with, kg/kg of dry
    /// adsorbent: zero if perfectly activated; 0.01-0.02 as delivered is
    /// common practice, no source.
    pub fn fresh(
        adsorbent: Adsorbent,
        packing: Packing,
        residual: f64,
    ) -> Result<Bed, PurifierError> {
        CELLS.check(packing.cells as f64)?;
        let loading = RESIDUAL.check(residual)? / WATER_KG_MOL;
        Bed::restore(adsorbent, packing, vec![loading; packing.cells])
    }

    /// A bed as it was left: `loading` in mol/kg, inlet first, one number per
    /// cell. The number of cells is that of `loading`.
    pub fn restore(
        adsorbent: Adsorbent,
        packing: Packing,
        loading: Vec<f64>,
    ) -> Result<Bed, PurifierError> {
        if packing.mass_kg.is_nan() || packing.mass_kg <= 0.0 {
            return Err(PurifierError::EmptyBed {
                mass_kg: packing.mass_kg,
            });
        }
        MASS.check(packing.mass_kg)?;
        LENGTH.check(packing.length_m)?;
        CELLS.check(loading.len() as f64)?;
        check_adsorbent(&adsorbent)?;
        for q in &loading {
            LOADING.check(*q)?;
        }
        Ok(Bed {
            packing: Packing {
                cells: loading.len(),
                ..packing
            },
            adsorbent,
            tuning: Tuning::default(),
            cells: loading,
        })
    }

    /// The same bed, departing from the published figures by these factors.
    pub fn tuned(mut self, tuning: Tuning) -> Result<Bed, PurifierError> {
        CAPACITY.check(tuning.capacity)?;
        FACTOR.check(tuning.transfer)?;
        self.tuning = tuning;
        Ok(self)
    }

    /// Sends air through for `seconds` at unchanging conditions.
    pub fn pass(&mut self, feed: &Feed, seconds: f64) -> Result<Passed, PurifierError> {
        let mut passing = column::Passing::new(self, feed, seconds)?;
        while passing.step(self).is_some() {}
        Ok(passing.passed(self))
    }

    /// Water held, kg.
    pub fn held_kg(&self) -> f64 {
        self.held_mol() * WATER_KG_MOL
    }

    /// Water the bed could still take from this air if it flowed for ever, kg;
    /// negative when the air is drier than the bed. How much of it can be
    /// used before the outlet is too wet, [`super::remaining`] says.
    pub fn room_kg(&self, feed: &Feed) -> Result<f64, PurifierError> {
        let q = self
            .isotherm(feed.checked()?.t_k)
            .loading(feed.effective_kpa());
        Ok(q * self.packing.mass_kg * WATER_KG_MOL - self.held_kg())
    }

    /// k of dq/dt = k·(q* − q) in this air, 1/s. Its reference is the moister
    /// of the feed and the air in equilibrium with the wettest cell.
    pub fn transfer_coefficient(&self, feed: &Feed) -> Result<f64, PurifierError> {
        Ok(column::coefficient(self, feed.checked()?))
    }

    /// Loading of each cell from the inlet on, mol/kg: what to store.
    pub fn loading(&self) -> &[f64] {
        &self.cells
    }

    /// How it is packed.
    pub fn packing(&self) -> &Packing {
        &self.packing
    }

    /// What it is filled with.
    pub fn adsorbent(&self) -> &Adsorbent {
        &self.adsorbent
    }

    /// Cross-section across the flow, m²: mass/(bulk density × length).
    pub fn area_m2(&self) -> f64 {
        self.packing.mass_kg / (self.adsorbent.bulk_kg_m3 * self.packing.length_m)
    }

    pub(super) fn held_mol(&self) -> f64 {
        self.cells.iter().sum::<f64>() * self.cell_kg()
    }

    pub(super) fn cell_kg(&self) -> f64 {
        self.packing.mass_kg / self.cells.len() as f64
    }

    /// The isotherm as tuned.
    pub(super) fn isotherm(&self, t_k: f64) -> TothAt {
        self.adsorbent.isotherm.at(t_k).scaled(self.tuning.capacity)
    }
}

/// An adsorbent from outside must have a usable isotherm and density.
fn check_adsorbent(adsorbent: &Adsorbent) -> Result<(), PurifierError> {
    let toth = &adsorbent.isotherm;
    POSITIVE.check(toth.a0)?;
    POSITIVE.check(toth.b0)?;
    TOTH_E.check(toth.e_k)?;
    for t_k in [TEMPERATURE.low, TEMPERATURE.high] {
        TOTH_T.check(toth.t0 + toth.c_k / t_k)?;
    }
    BULK.check(adsorbent.bulk_kg_m3)?;
    VOID.check(adsorbent.void_fraction)?;
    match adsorbent.transfer {
        super::Transfer::Constant(k) => POSITIVE.check(k).map(drop),
        super::Transfer::Beads(beads) => {
            BEAD_RADIUS.check(beads.radius_m)?;
            POROSITY.check(beads.porosity)?;
            TORTUOSITY.check(beads.tortuosity)?;
            PORE_RADIUS.check(beads.pore_radius_m).map(drop)
        }
    }
}

macro_rules! bounds {
    ($($name:ident: $what:literal, $low:expr, $high:expr, $unit:literal, $remedy:literal;)+) => {
        $(const $name: Bounds = Bounds {
            what: $what, low: $low, high: $high, unit: $unit, remedy: $remedy,
        };)+
    };
}

bounds! {
    FLOW: "flow of dry air", 0.0, 1e4, "mol/s", "give a flow from zero up, towards the outlet";
    ENHANCEMENT: "enhancement factor", 0.9, 20.0, "", "take it from the moisture model, or 1 for an ideal mixture";
    MASS: "mass of adsorbent", 1e-6, 1e4, "kg", "give the mass that was filled in";
    LENGTH: "length of the bed", 1e-3, 100.0, "m", "measure the filled length along the flow";
    CELLS: "number of cells", 1.0, 10_000.0, "", "a hundred is a good number";
    RESIDUAL: "water in the new adsorbent", 0.0, 0.5, "kg/kg", "give water per dry adsorbent, 0.02 for two per cent";
    LOADING: "loading of a cell", 0.0, 60.0, "mol/kg", "start from a new bed if the stored state is damaged";
    CAPACITY: "share of the published capacity", 0.01, 2.0, "", "give 1 for the published isotherm";
    FACTOR: "factor on the transfer coefficient", 1e-6, 1e6, "", "give 1 for the estimate as it stands";
    POSITIVE: "coefficient of the adsorbent", 1e-300, 1e300, "", "check the adsorbent's data";
    TOTH_E: "temperature coefficient E of the isotherm", 0.0, 3e4, "K", "check the adsorbent's data";
    TOTH_T: "exponent t of the isotherm", 0.05, 2.0, "", "check the adsorbent's data";
    BULK: "bulk density", 50.0, 3000.0, "kg/m3", "check the adsorbent's data";
    VOID: "void fraction", 0.1, 0.9, "", "check the adsorbent's data";
    BEAD_RADIUS: "radius of a bead", 1e-5, 0.02, "m", "check the adsorbent's data";
    POROSITY: "porosity of a bead", 0.01, 0.95, "", "check the adsorbent's data";
    TORTUOSITY: "tortuosity of a bead", 1.0, 20.0, "", "check the adsorbent's data";
    PORE_RADIUS: "radius of a pore", 1e-9, 1e-4, "m", "check the adsorbent's data";
}

/// A duration that can be computed.
pub(super) fn checked_seconds(seconds: f64) -> Result<f64, PurifierError> {
    SECONDS.check(seconds)
}
