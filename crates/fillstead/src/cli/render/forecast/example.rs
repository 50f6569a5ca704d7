//! A small invented forecast for tests of the page.

use insight::forecast::answer::{
    Assumption, BalanceAnswer, Band, CylinderEnd, CylinderSample, EffortAnswer, Forecast, Sample,
};

use insight::water::answer::{Drain, Range, WaterAnswer};

/// A band of so much either way.
pub fn band(median: f64, by: f64) -> Band {
    Band {
        low: median - by,
        median,
        high: median + by,
    }
}

/// One cylinder, filled in ten minutes.
pub fn forecast() -> Forecast {
    Forecast {
        station: "Test shed".into(),
        invented: true,
        events: Vec::new(),
        samples: (0..=10).map(|minute| sample(f64::from(minute))).collect(),
        cylinders: vec![cylinder()],
        without_pmv: None,
        water: Some(WaterAnswer {
            intake_g: 20.0,
            condensed_g: vec![10.0, 8.0],
            separator_g: 19.0,
            sump_ml: 20.0,
            sump_capacity_ml: 90.0,
            to_purifier_g: 0.3,
            carried_g: 0.0,
            overflow_g: 0.0,
            below_pmv_g: 0.0,
            to_purifier_ideal_g: 0.2,
            to_cylinder_g: None,
            drain_interval_min: Some(30.0),
            drain_interval: Some(Range {
                low: 20.0,
                mid: 30.0,
                high: 40.0,
            }),
            drain_rule: "an example".into(),
            drains: vec![Drain {
                t_s: 600.0,
                ml: 20.0,
            }],
            uncertainty: 0.05,
            residual: 0.0,
        }),
        water_missing: None,
        purifier: None,
        pmv_settings: Vec::new(),
        balance: BalanceAnswer {
            mass: 0.0,
            energy: 3e-9,
            delivered_kg: 2.5,
            let_out_kg: vec![("bleed".into(), 0.02)],
            work_kwh: 0.4,
        },
        stopped_because: "every cylinder is full".into(),
        members: 200,
        members_failed: Vec::new(),
        assumed: vec![Assumption {
            what: "whip empty".into(),
            why: "not given".into(),
        }],
        effort: EffortAnswer {
            steps: 1,
            rejected: 0,
            evaluations: 8,
        },
    }
}

fn sample(minute: f64) -> Sample {
    let bar = 50.0 + 15.0 * minute;
    let tower_bar = bar.max(100.0);
    Sample {
        t_s: 60.0 * minute,
        tower_bar,
        tower_c: 25.0,
        line_bar: bar,
        stages_bar: vec![3.9, 28.0],
        running: true,
        tower: band(tower_bar, 4.0),
        cylinders: vec![CylinderSample {
            id: "A1".into(),
            bar,
            gas_c: 30.0,
            wall_c: 25.0,
            band: band(bar, 4.0),
        }],
    }
}

fn cylinder() -> CylinderEnd {
    CylinderEnd {
        id: "A1".into(),
        kind: "twelve".into(),
        water_litres: 12.0,
        rated: "200 bar".into(),
        rated_bar: 200.0,
        start_bar: 50.0,
        stop_bar: 200.0,
        full_s: Some(600.0),
        full: Some(band(600.0, 20.0)),
        settled_bar_15c: 182.0,
        settled_bar_21c: 187.0,
        settled_15c: band(182.0, 2.0),
        settled_21c: band(187.0, 2.0),
        stop_for_rating_bar: 219.0,
        reference_c: 15.0,
        gas_c_max: 40.0,
        wall_c_max: 35.0,
        fastest_bar_min: 15.0,
        air_kg: 2.6,
        air_added_kg: 1.9,
        free_litres: 2120.0,
    }
}
