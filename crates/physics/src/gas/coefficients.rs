//! GERG-2008 coefficients for the five components of breathing gas. Those of
//! dry air as one fluid are in [`super::air`].
//!
//! Numbers only; the formulas that use them are in [`super::helmholtz`],
//! [`super::ideal`] and [`super::mixture`].
//!
//! **Source** O. Kunz, W. Wagner, "The GERG-2008 Wide-Range Equation of State
//! for Natural Gases and Other Mixtures", J. Chem. Eng. Data 57 (2012)
//! 3032-3091; the same figures stand in ISO 20765-2. Critical pressures and
//! acentric factors (used only for the dew-point guard in [`super::phase`])
//! are those of the reference equations of each fluid, from memory.

/// One term n·δ^d·τ^t·exp(−δ^c) of a pure fluid; c = 0 means no exponential.
pub(super) type PureTerm = (f64, i32, f64, i32);

/// One term n·δ^d·τ^t·exp(−η(δ−ε)² − β(δ−γ)) of a departure function.
pub(super) struct DepartureTerm {
    pub(super) n: f64,
    pub(super) d: i32,
    pub(super) t: f64,
    pub(super) eta: f64,
    pub(super) epsilon: f64,
    pub(super) beta: f64,
    pub(super) gamma: f64,
}

/// A pure component as GERG-2008 describes it.
pub(super) struct Fluid {
    /// Molar mass, kg/mol.
    pub(super) molar_mass: f64,
    /// Critical density, mol/m³.
    pub(super) critical_density: f64,
    /// Critical temperature, K.
    pub(super) critical_t_k: f64,
    /// Critical pressure, Pa.
    pub(super) critical_p_pa: f64,
    /// Acentric factor, 1.
    pub(super) acentric: f64,
    /// Constant part of the ideal-gas heat capacity cv⁰/R*, 1.
    pub(super) ideal_constant: f64,
    /// (n, ϑ) of the sinh terms; ϑ is reduced by the critical temperature.
    pub(super) ideal_sinh: &'static [(f64, f64)],
    /// (n, ϑ) of the cosh terms.
    pub(super) ideal_cosh: &'static [(f64, f64)],
    /// Residual terms.
    pub(super) terms: &'static [PureTerm],
}

/// Reducing parameters of a pair (i, j), indices into [`FLUIDS`], in the order the source fits them.
pub(super) struct Pair {
    pub(super) i: usize,
    pub(super) j: usize,
    pub(super) beta_v: f64,
    pub(super) gamma_v: f64,
    pub(super) beta_t: f64,
    pub(super) gamma_t: f64,
}

/// Gas constant of GERG-2008, J/(mol·K).
pub(super) const R_MOLAR: f64 = 8.314_472;

/// Older gas constant, J/(mol·K), in which the ideal-gas terms were fitted.
pub(super) const R_IDEAL: f64 = 8.314_51;

/// The components, in the order every mole-fraction array uses.
pub(super) const FLUIDS: [&Fluid; 5] = [&NITROGEN, &OXYGEN, &ARGON, &HELIUM, &CARBON_DIOXIDE];

/// Position of nitrogen in [`FLUIDS`].
pub(super) const N2: usize = 0;
/// Position of helium.
pub(super) const HE: usize = 3;
/// Position of carbon dioxide.
pub(super) const CO2: usize = 4;

/// Nitrogen.
pub(super) const NITROGEN: Fluid = Fluid {
    molar_mass: 28.0134e-3,
    critical_density: 11.1839e3,
    critical_t_k: 126.192,
    critical_p_pa: 3.3958e6,
    acentric: 0.0372,
    ideal_constant: 2.50031,
    ideal_sinh: &[(0.13732, 5.25182262), (0.90066, 13.788988208)],
    ideal_cosh: &[(-0.1466, 5.393067706)],
    terms: &[
        (0.59889711801201, 1, 0.125, 0),
        (-1.6941557480731, 1, 1.125, 0),
        (0.24579736191718, 2, 0.375, 0),
        (-0.23722456755175, 2, 1.125, 0),
        (0.017954918715141, 4, 0.625, 0),
        (0.014592875720215, 4, 1.5, 0),
        (0.10008065936206, 1, 0.625, 1),
        (0.7315711538553, 1, 2.625, 1),
        (-0.88372272336366, 1, 2.75, 1),
        (0.31887660246708, 2, 2.125, 1),
        (0.20766491728799, 3, 2.0, 1),
        (-0.019379315454158, 6, 1.75, 1),
        (-0.16936641554983, 2, 4.5, 2),
        (0.13546846041701, 3, 4.75, 2),
        (-0.033066712095307, 3, 5.0, 2),
        (-0.060690817018557, 4, 4.0, 2),
        (0.012797548292871, 4, 4.5, 2),
        (0.0058743664107299, 2, 7.5, 3),
        (-0.018451951971969, 3, 14.0, 3),
        (0.0047226622042472, 4, 11.5, 3),
        (-0.0052024079680599, 5, 26.0, 6),
        (0.043563505956635, 6, 28.0, 6),
        (-0.036251690750939, 6, 30.0, 6),
        (-0.0028974026866543, 7, 16.0, 6),
    ],
};

/// Oxygen.
pub(super) const OXYGEN: Fluid = Fluid {
    molar_mass: 31.9988e-3,
    critical_density: 13.63e3,
    critical_t_k: 154.595,
    critical_p_pa: 5.043e6,
    acentric: 0.0222,
    ideal_constant: 2.50146,
    ideal_sinh: &[(1.07558, 14.461722565)],
    ideal_cosh: &[(1.01334, 7.223325463)],
    terms: &[
        (0.88878286369701, 1, 0.25, 0),
        (-2.4879433312148, 1, 1.125, 0),
        (0.59750190775886, 1, 1.5, 0),
        (0.0096501817061881, 2, 1.375, 0),
        (0.07197042871277, 3, 0.25, 0),
        (0.00022337443000195, 7, 0.875, 0),
        (0.18558686391474, 2, 0.625, 1),
        (-0.03812936803576, 5, 1.75, 1),
        (-0.15352245383006, 1, 3.625, 2),
        (-0.026726814910919, 4, 3.625, 2),
        (-0.025675298677127, 3, 14.5, 3),
        (0.0095714302123668, 4, 12.0, 3),
    ],
};

/// Argon.
pub(super) const ARGON: Fluid = Fluid {
    molar_mass: 39.948e-3,
    critical_density: 13.407429659e3,
    critical_t_k: 150.687,
    critical_p_pa: 4.863e6,
    acentric: -0.00219,
    ideal_constant: 1.5,
    ideal_sinh: &[],
    ideal_cosh: &[],
    terms: &[
        (0.85095714803969, 1, 0.25, 0),
        (-2.400322294348, 1, 1.125, 0),
        (0.54127841476466, 1, 1.5, 0),
        (0.016919770692538, 2, 1.375, 0),
        (0.068825965019035, 3, 0.25, 0),
        (0.00021428032815338, 7, 0.875, 0),
        (0.17429895321992, 2, 0.625, 1),
        (-0.033654495604194, 5, 1.75, 1),
        (-0.13526799857691, 1, 3.625, 2),
        (-0.016387350791552, 4, 3.625, 2),
        (-0.024987666851475, 3, 14.5, 3),
        (0.0088769204815709, 4, 12.0, 3),
    ],
};

/// Helium.
pub(super) const HELIUM: Fluid = Fluid {
    molar_mass: 4.002602e-3,
    critical_density: 17.399e3,
    critical_t_k: 5.1953,
    critical_p_pa: 0.22746e6,
    acentric: -0.385,
    ideal_constant: 1.5,
    ideal_sinh: &[],
    ideal_cosh: &[],
    terms: &[
        (-0.45579024006737, 1, 0.0, 0),
        (1.2516390754925, 1, 0.125, 0),
        (-1.5438231650621, 1, 0.75, 0),
        (0.020467489707221, 4, 1.0, 0),
        (-0.34476212380781, 1, 0.75, 1),
        (-0.020858459512787, 3, 2.625, 1),
        (0.016227414711778, 5, 0.125, 1),
        (-0.057471818200892, 5, 1.25, 1),
        (0.019462416430715, 5, 2.0, 1),
        (-0.03329568012302, 2, 1.0, 2),
        (-0.010863577372367, 1, 4.5, 3),
        (-0.022173365245954, 2, 5.0, 3),
    ],
};

/// Carbon dioxide.
pub(super) const CARBON_DIOXIDE: Fluid = Fluid {
    molar_mass: 44.0095e-3,
    critical_density: 10.624978698e3,
    critical_t_k: 304.1282,
    critical_p_pa: 7.3773e6,
    acentric: 0.22394,
    ideal_constant: 2.50002,
    ideal_sinh: &[(2.04452, 3.022758166), (2.03366, 1.589964364)],
    ideal_cosh: &[(-1.06044, 2.844425476), (0.01393, 1.12159609)],
    terms: &[
        (0.52646564804653, 1, 0.0, 0),
        (-1.4995725042592, 1, 1.25, 0),
        (0.27329786733782, 2, 1.625, 0),
        (0.12949500022786, 3, 0.375, 0),
        (0.15404088341841, 3, 0.375, 1),
        (-0.58186950946814, 3, 1.375, 1),
        (-0.18022494838296, 4, 1.125, 1),
        (-0.095389904072812, 5, 1.375, 1),
        (-0.0080486819317679, 6, 0.125, 1),
        (-0.03554775127309, 6, 1.625, 1),
        (-0.28079014882405, 1, 3.75, 2),
        (-0.082435890081677, 4, 3.5, 2),
        (0.010832427979006, 1, 7.5, 3),
        (-0.0067073993161097, 1, 8.0, 3),
        (-0.0046827907600524, 3, 6.0, 3),
        (-0.028359911832177, 3, 16.0, 3),
        (0.019500174744098, 4, 11.0, 3),
        (-0.21609137507166, 5, 24.0, 5),
        (0.43772794926972, 5, 26.0, 5),
        (-0.22130790113593, 5, 28.0, 5),
        (0.015190189957331, 5, 24.0, 6),
        (-0.0153809489533, 5, 26.0, 6),
    ],
};

/// Pairs fitted to mixture data; a pair not listed has all four equal to 1.
pub(super) const PAIRS: &[Pair] = &[
    // N2-O2
    Pair {
        i: 0,
        j: 1,
        beta_v: 0.999521770,
        gamma_v: 0.997082328,
        beta_t: 0.997190589,
        gamma_t: 0.995157044,
    },
    // N2-Ar
    Pair {
        i: 0,
        j: 2,
        beta_v: 1.004166412,
        gamma_v: 1.002212182,
        beta_t: 0.999069843,
        gamma_t: 0.990034831,
    },
    // N2-He
    Pair {
        i: 0,
        j: 3,
        beta_v: 0.969501055,
        gamma_v: 0.932629867,
        beta_t: 0.692868765,
        gamma_t: 1.471831580,
    },
    // N2-CO2
    Pair {
        i: 0,
        j: 4,
        beta_v: 0.977794634,
        gamma_v: 1.047578256,
        beta_t: 1.005894529,
        gamma_t: 1.107654104,
    },
    // O2-Ar
    Pair {
        i: 1,
        j: 2,
        beta_v: 0.999746847,
        gamma_v: 0.993907223,
        beta_t: 1.000023103,
        gamma_t: 0.990430423,
    },
    // CO2-Ar
    Pair {
        i: 4,
        j: 2,
        beta_v: 1.008392428,
        gamma_v: 1.029205465,
        beta_t: 0.996512863,
        gamma_t: 1.050971635,
    },
    // CO2-He
    Pair {
        i: 4,
        j: 3,
        beta_v: 0.846647561,
        gamma_v: 0.864141549,
        beta_t: 0.768377630,
        gamma_t: 3.207456948,
    },
];

/// Departure function of nitrogen and carbon dioxide, the only pair here
/// that has one; its weight F is 1.
pub(super) const NITROGEN_CO2: [DepartureTerm; 6] = [
    DepartureTerm {
        n: 0.28661625028399,
        d: 2,
        t: 1.85,
        eta: 0.0,
        epsilon: 0.0,
        beta: 0.0,
        gamma: 0.0,
    },
    DepartureTerm {
        n: -0.10919833861247,
        d: 3,
        t: 1.4,
        eta: 0.0,
        epsilon: 0.0,
        beta: 0.0,
        gamma: 0.0,
    },
    DepartureTerm {
        n: -1.137403208227,
        d: 1,
        t: 3.2,
        eta: 0.25,
        epsilon: 0.5,
        beta: 0.75,
        gamma: 0.5,
    },
    DepartureTerm {
        n: 0.76580544237358,
        d: 1,
        t: 2.5,
        eta: 0.25,
        epsilon: 0.5,
        beta: 1.0,
        gamma: 0.5,
    },
    DepartureTerm {
        n: 0.0042638000926819,
        d: 1,
        t: 8.0,
        eta: 0.0,
        epsilon: 0.5,
        beta: 2.0,
        gamma: 0.5,
    },
    DepartureTerm {
        n: 0.17673538204534,
        d: 2,
        t: 3.75,
        eta: 0.0,
        epsilon: 0.5,
        beta: 3.0,
        gamma: 0.5,
    },
];
