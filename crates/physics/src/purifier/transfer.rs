//! How fast water gets from the air into a bead.
//!
//! Not here: how much it holds in the end (`isotherm`).

use super::{AIR_KG_MOL, GAS_CONSTANT, WATER_KG_MOL};
use std::f64::consts::PI;

/// Where the linear-driving-force coefficient k of dq/dt = k·(q* − q) comes from.
///
/// **Errors** The coefficient of [`Transfer::Beads`] is an estimate. It leaves
/// out diffusion along the pore surface, which helps, and the fall of ρ·D in
/// dense gas (some 10-20 %), which hinders. Near atmospheric pressure it gives
/// a fifth to a sixth of the 0.007 1/s that a public life-support simulation
/// uses for water on 13X and 5A; no measurement at 150-300 bar was found. Take
/// it as good from half to six times its value; [`super::Spread`] does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Transfer {
    /// A measured or chosen coefficient, 1/s, at every condition.
    Constant(f64),
    /// Computed from the beads and the state of the air.
    Beads(Beads),
}

/// Spherical beads with macropores between zeolite crystals.
///
/// Film and macropore in series, with the driving force expressed in loading:
///
/// k = c·D·y₀ / (ρ_b·q₀·r²) / (2/(3·Sh) + τ·(1 + D/D_K)/(15·ε))
///
/// | symbol | is | unit | taken from |
/// |---|---|---|---|
/// | c·D | molar density × diffusivity of vapour in air, P·D/(R·T) | mol/(m·s) | [`vapour_diffusivity`] |
/// | y₀, q₀ | vapour and the loading in equilibrium with it | 1, mol/kg | feed |
/// | ρ_b, r | density and radius of a bead | kg/m³, m | adsorbent |
/// | Sh | 2 + 1.1·Sc^(1/3)·Re^0.6 | 1 | mass flow per bed area |
/// | ε, τ | porosity and tortuosity of the macropores | 1 | adsorbent |
/// | D_K | 97·r_pore·√(T/M), Knudsen diffusivity | m²/s | adsorbent |
///
/// The 15 is Glueckauf's factor; 15·ε·D/(τ·r²) is a rate in the gas, and
/// c·y₀/(ρ_b·q₀) turns it into one in the loading. **With pressure:** molecular
/// diffusion makes c·D the same at all pressures, so k falls as y₀ does,
/// roughly as 1/P for saturated air. **With temperature:** k rises with
/// saturation. Since the life of a bed falls in the same measure, the number
/// of transfer units hardly changes. **With flow:** k rises slowly through Sh
/// while residence time falls, so the transfer zone lengthens.
/// **Source** E. Glueckauf, Trans. Faraday Soc. 51 (1955) 1540; N. Wakao,
/// T. Funazkri, Chem. Eng. Sci. 33 (1978) 1375 for Sh (Re 3 to 10⁴); all from
/// memory. Viscosity of dilute air and Sc = 0.63 are used at all pressures:
/// the film is some tenth of the resistance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beads {
    /// r, m.
    pub radius_m: f64,
    /// ε, macropore volume per bead volume.
    pub porosity: f64,
    /// τ, dimensionless.
    pub tortuosity: f64,
    /// Mean radius of a macropore, m.
    pub pore_radius_m: f64,
}

/// The state that sets a coefficient.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Around {
    pub t_k: f64,
    pub p_pa: f64,
    /// y₀, mol/mol.
    pub fraction: f64,
    /// q₀, mol/kg.
    pub loading: f64,
    /// ρ_b, kg/m³.
    pub bead_kg_m3: f64,
    /// Dry air per bed area, mol/(m²·s).
    pub air_mol_m2_s: f64,
}

impl Transfer {
    /// k, 1/s.
    pub(super) fn coefficient(&self, around: &Around) -> f64 {
        match self {
            Transfer::Constant(k) => *k,
            Transfer::Beads(beads) => beads.coefficient(around),
        }
    }
}

impl Beads {
    fn coefficient(&self, around: &Around) -> f64 {
        if around.fraction <= 0.0 || around.loading <= 0.0 {
            return 0.0;
        }
        let d = vapour_diffusivity(around.t_k, around.p_pa);
        let density_diffusivity = around.p_pa * d / (GAS_CONSTANT * around.t_k);
        let knudsen = 97.0 * self.pore_radius_m * (around.t_k / (WATER_KG_MOL * 1e3)).sqrt();
        let film = 2.0 / (3.0 * self.sherwood(around));
        let pore = self.tortuosity * (1.0 + d / knudsen) / (15.0 * self.porosity);
        let solid = around.bead_kg_m3 * around.loading * self.radius_m * self.radius_m;
        density_diffusivity * around.fraction / solid / (film + pore)
    }

    fn sherwood(&self, around: &Around) -> f64 {
        let viscosity = 1.85e-5 * (around.t_k / 298.15).powf(0.7);
        let reynolds = around.air_mol_m2_s * AIR_KG_MOL * 2.0 * self.radius_m / viscosity;
        2.0 + 1.1 * 0.63_f64.cbrt() * reynolds.powf(0.6)
    }
}

/// Diffusivity of water vapour in air, m²/s,
///
/// D = 2.178·10⁻⁵·(T/273.15 K)^1.81·(101325 Pa/P)
///
/// **Range** 250-373 K near atmospheric pressure, a few per cent; the 1/P is
/// that of a dilute gas and overstates D by 10-20 % at 300 bar. **Source**
/// W. J. Massman, Atmos. Environ. 32 (1998) 1111, value from memory; compared
/// in the tests with the Slattery-Bird correlation.
pub fn vapour_diffusivity(t_k: f64, p_pa: f64) -> f64 {
    2.178e-5 * (t_k / 273.15).powf(1.81) * (101_325.0 / p_pa)
}

/// Length that a round opening adds to a diffusion path at each mouth, m:
/// π·r/4, from the resistance 1/(4·D·r) of a disc on a half-space.
pub(super) fn mouth_length(area_m2: f64) -> f64 {
    PI / 4.0 * (area_m2 / PI).sqrt()
}
