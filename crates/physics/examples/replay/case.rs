//! A case file of the independent model, turned into a plant.
//!
//! Its coefficients are fixed numbers (constant films, a straight delivery
//! line), so the plant is built from them directly, without a station file.

use physics::curve::Curve;
use physics::gas::{Composition, Gas, GasTable};
use physics::heat::{GasFilm, OuterFilm};
use physics::machine::{Arriving, Delivery};
use physics::sim::{
    Action, AutoValve, Compressor, Disc, End, Gate, HandValve, Link, Plant, Start, Thermal, Vessel,
};
use serde_json::Value;
use std::sync::Arc;

pub const TOWER: usize = 0;
pub const LINE: usize = 1;
pub const FIRST_CYLINDER: usize = 2;
pub const BLEED: usize = 0;
const BAR: f64 = 1e5;
const ZERO_C: f64 = 273.15;

/// A case: the plant, its start and what the operator does.
pub struct Case {
    pub name: String,
    pub gas: Gas,
    pub plant: Plant,
    pub starts: Vec<Start>,
    /// Hand valves of the cylinders that are connected.
    pub connected: Vec<usize>,
    pub ambient_k: f64,
    pub start_s: f64,
    pub stop_at_s: Option<f64>,
    pub target_pa: Option<f64>,
    pub shut_on_stop: bool,
    pub bleed: Option<(f64, f64)>,
    pub end_s: f64,
    pub sample_every_s: f64,
    pub extra_samples_s: Vec<f64>,
    pub stop_after_burst_pa: f64,
    pub tolerance: f64,
}

/// Reads numbers by path, with the path in the error.
struct Reader<'a>(&'a Value);

impl Reader<'_> {
    fn find(&self, path: &str) -> Option<&Value> {
        path.split('.')
            .try_fold(self.0, |at, key| at.get(key))
            .filter(|v| !v.is_null())
    }

    fn number(&self, path: &str) -> Result<f64, String> {
        self.maybe(path)
            .ok_or_else(|| format!("`{path}` is missing or not a number"))
    }

    fn maybe(&self, path: &str) -> Option<f64> {
        self.find(path).and_then(Value::as_f64)
    }

    fn truth(&self, path: &str, otherwise: bool) -> bool {
        self.find(path)
            .and_then(Value::as_bool)
            .unwrap_or(otherwise)
    }
}

impl Case {
    pub fn read(json: &Value) -> Result<Case, String> {
        let r = Reader(json);
        let atmosphere_pa = r.number("ambient.p_bar")? * BAR;
        let ambient_k = r.number("ambient.T_C")? + ZERO_C;
        let absolute = |gauge_bar: f64| gauge_bar * BAR + atmosphere_pa;
        let start = |part: &Reader, prefix: &str| -> Result<Start, String> {
            Ok(Start {
                p_pa: absolute(part.number(&format!("{prefix}p0_barg"))?),
                t_k: part.number(&format!("{prefix}T0_C"))? + ZERO_C,
            })
        };
        let gas = Gas::new(Composition::dry_air());
        let cylinders: Vec<Reader> = json
            .get("cylinders")
            .and_then(Value::as_array)
            .ok_or("`cylinders` is missing")?
            .iter()
            .map(Reader)
            .collect();
        let mut starts = vec![start(&r, "tower.")?, start(&r, "line.")?];
        let mut vessels = vec![tower(&r, ambient_k)?, line(&r, ambient_k)?];
        let mut links = fixed_links(&r)?;
        let mut hand_valves = vec![HandValve {
            name: "bleed".into(),
        }];
        let mut connected = Vec::new();
        for (i, c) in cylinders.iter().enumerate() {
            starts.push(start(c, "")?);
            vessels.push(cylinder(c, i, ambient_k)?);
            links.push(Link {
                name: format!("fill valve {i}"),
                from: LINE,
                to: End::Vessel(FIRST_CYLINDER + i),
                area_m2: c.number("fill_CdA_mm2")? * 1e-6,
                two_way: true,
                gate: Gate::Hand(1 + i),
            });
            hand_valves.push(HandValve {
                name: format!("fill valve {i}"),
            });
            if !c.truth("disconnected", false) {
                connected.push(1 + i);
            }
        }
        let plant = Plant {
            gas: Arc::new(GasTable::new(&gas).map_err(|e| e.to_string())?),
            atmosphere_pa,
            vessels,
            links,
            valves: valves(&r, absolute)?,
            discs: vec![Disc {
                name: "burst disc".into(),
                senses: TOWER,
                bursts_pa: absolute(r.number("burst.p_barg")?),
            }],
            hand_valves,
            compressor: Some(compressor(&r, &gas, atmosphere_pa, ambient_k)?),
        };
        let bleed = r.maybe("operator.bleed_open_after_s");
        Ok(Case {
            name: r
                .find("name")
                .and_then(Value::as_str)
                .unwrap_or("case")
                .to_owned(),
            gas,
            plant,
            starts,
            connected,
            ambient_k,
            start_s: r.maybe("operator.start_s").unwrap_or(0.0),
            stop_at_s: r.maybe("operator.stop_at_s"),
            target_pa: r.maybe("operator.target_barg").map(absolute),
            shut_on_stop: r.truth("operator.close_valves_on_stop", true),
            bleed: bleed.zip(r.maybe("operator.bleed_duration_s")),
            end_s: r.number("run.t_end_s")?,
            sample_every_s: r.maybe("run.sample_every_s").unwrap_or(0.0),
            extra_samples_s: r
                .find("run.extra_samples_s")
                .and_then(Value::as_array)
                .map(|list| list.iter().filter_map(Value::as_f64).collect())
                .unwrap_or_default(),
            stop_after_burst_pa: absolute(r.maybe("run.stop_after_burst_barg").unwrap_or(50.0)),
            tolerance: 1e-6,
        })
    }
}

fn tower(r: &Reader, ambient_k: f64) -> Result<Vessel, String> {
    let outside = OuterFilm::Constant(r.number("tower.UA_W_K")?);
    let thermal = match r.maybe("tower.wall.C_J_K") {
        None => Thermal::Bare(outside),
        Some(capacity_j_k) => {
            let inside = GasFilm::Constant(r.number("tower.wall.hA_in_W_K")?);
            Thermal::Walled {
                capacity_j_k,
                inside,
                outside,
            }
        }
    };
    let volume_m3 = r.number("tower.V_L")? * 1e-3;
    Ok(Vessel {
        name: "tower".into(),
        volume_m3,
        surroundings_k: ambient_k,
        thermal,
    })
}

fn line(r: &Reader, ambient_k: f64) -> Result<Vessel, String> {
    let film = OuterFilm::Constant(r.maybe("line.UA_W_K").unwrap_or(0.0));
    let volume_m3 = r.number("line.V_L")? * 1e-3;
    let thermal = Thermal::Bare(film);
    Ok(Vessel {
        name: "line".into(),
        volume_m3,
        surroundings_k: ambient_k,
        thermal,
    })
}

fn cylinder(c: &Reader, index: usize, ambient_k: f64) -> Result<Vessel, String> {
    Ok(Vessel {
        name: format!("cylinder {index}"),
        volume_m3: c.number("V_L")? * 1e-3,
        surroundings_k: ambient_k,
        thermal: Thermal::Walled {
            capacity_j_k: c.number("wall_C_J_K")?,
            inside: GasFilm::Constant(c.number("hA_in_W_K")?),
            outside: OuterFilm::Constant(c.number("hA_out_W_K")?),
        },
    })
}

/// Links that every case has: PMV, relief, disc, tower leak, bleed.
fn fixed_links(r: &Reader) -> Result<Vec<Link>, String> {
    let link = |name: &str, from, to, mm2: f64, gate| Link {
        name: name.into(),
        from,
        to,
        area_m2: mm2 * 1e-6,
        two_way: false,
        gate,
    };
    let leak = r.maybe("tower.leak_CdA_mm2").unwrap_or(0.0);
    let bleed = r.maybe("line.bleed_CdA_mm2").unwrap_or(1.0);
    Ok(vec![
        link(
            "pmv",
            TOWER,
            End::Vessel(LINE),
            r.number("pmv.CdA_mm2")?,
            Gate::Auto(0),
        ),
        link(
            "relief",
            TOWER,
            End::Atmosphere,
            r.number("relief.CdA_mm2")?,
            Gate::Auto(1),
        ),
        link(
            "burst disc",
            TOWER,
            End::Atmosphere,
            r.number("burst.CdA_mm2")?,
            Gate::Disc(0),
        ),
        link("tower leak", TOWER, End::Atmosphere, leak, Gate::Open),
        link("bleed", LINE, End::Atmosphere, bleed, Gate::Hand(BLEED)),
    ])
}

fn valves(r: &Reader, absolute: impl Fn(f64) -> f64) -> Result<Vec<AutoValve>, String> {
    let valve = |name: &str, opens: f64, closes: f64, action| AutoValve {
        name: name.into(),
        senses: TOWER,
        opens_pa: absolute(opens),
        closes_pa: absolute(closes),
        fully_open_pa: absolute(opens) + BAR,
        action,
    };
    let stuck = r.truth("relief.stuck_shut", false);
    let relief = if stuck {
        Action::StuckShut
    } else {
        Action::Snap
    };
    Ok(vec![
        valve(
            "pmv",
            r.number("pmv.open_barg")?,
            r.number("pmv.close_barg")?,
            Action::Snap,
        ),
        valve(
            "relief",
            r.number("relief.set_barg")?,
            r.number("relief.reseat_barg")?,
            relief,
        ),
    ])
}

/// Delivery falls in a straight line from `eta_low` at 0 to `eta_full` at
/// `p_full`, constant beyond; air arrives at ambient plus `approach`.
fn compressor(
    r: &Reader,
    gas: &Gas,
    atmosphere_pa: f64,
    ambient_k: f64,
) -> Result<Compressor, String> {
    let text = |e: physics::gas::GasError| e.to_string();
    let rho = gas.state_p_t(atmosphere_pa, ambient_k).map_err(text)?.rho;
    let full = rho * r.number("compressor.fad_L_min")? / 60_000.0;
    let p_full = r.number("compressor.p_full_barg")? * BAR;
    let (low, high) = (
        r.number("compressor.eta_low")?,
        r.number("compressor.eta_full")?,
    );
    let points = [
        (atmosphere_pa, full * low),
        (atmosphere_pa + p_full, full * high),
    ];
    let slope = full * (high - low) / p_full;
    let flow = Curve::with_slopes(&points, vec![slope, slope]).map_err(|e| e.to_string())?;
    let arriving = ambient_k + r.number("compressor.approach_K")?;
    let arriving = Arriving::at_one(Arc::new(gas.isotherm(arriving).map_err(text)?));
    Ok(Compressor {
        into: TOWER,
        delivery: Delivery::of_curve(flow, arriving),
    })
}
