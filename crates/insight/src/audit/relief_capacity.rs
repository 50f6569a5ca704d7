//! Rule: the open relief valve passes what the compressor delivers.

use super::kit::{AuditInput, Finding, Look, Measure, Part, Severity, rule, source};
use physics::nozzle::{Orifice, ReliefDuty, api_520_area};
use quantity::Quantity as _;
use station::Relief;

rule! {
    /// ## What it looks at
    /// The passage of the final relief valve against the passage needed for all the
    /// compressor delivers at working pressure (its tolerance included), with the valve
    /// fully open. The need is computed twice: by the gas equation of API 520 Part I
    /// (k = 1.4, compressibility of real air) and by our real-gas nozzle.
    /// ## Why it matters
    /// A valve too small is open and the pressure rises all the same. On small machines
    /// the passage needed is a fraction of a millimetre: trouble is seldom the size,
    /// mostly a valve that sticks or is set wrong.
    /// ## When it stays silent
    /// Without a relief valve, or where the machine cannot be computed. It does not know
    /// pipes, springs and dirt.
    /// ## Source
    /// API Standard 520 Part I, gas, critical flow; Kd 0.975 for a certified valve and,
    /// where that is not known, 0.7 (common practice, no source). NACA Report 1135.
    /// ## Certainty
    /// The equation was seen in the documentation of an open library. Above about 100 bar
    /// k of the ideal gas is a rough guide.
    "relief-capacity", "Does the relief valve pass what the compressor delivers?"
}

/// Discharge coefficient of a certified valve (API 520).
const CERTIFIED: f64 = 0.975;
/// The same where nothing is known (common practice, no source).
const UNCERTIFIED: f64 = 0.7;
/// k of diatomic gases.
const K: f64 = 1.4;
/// Molar mass of dry air, kg/kmol.
const AIR: f64 = 28.9647;

/// What passes and what has to.
struct Sizes {
    flow_kg_h: f64,
    p1_bar: f64,
    api_mm2: f64,
    nozzle_mm2: f64,
    fitted_mm2: f64,
}

fn check(input: &AuditInput) -> Look {
    let Some(relief) = &input.station.relief else {
        return Look::silent("no final relief valve is described");
    };
    match sizes(input, relief) {
        Ok(sizes) => judge(input, &sizes),
        Err(why) => Look::silent(why),
    }
}

fn sizes(input: &AuditInput, relief: &Relief) -> Result<Sizes, String> {
    let machine = input.machine()?;
    let station = input.station;
    let more = 1.0 + station.tolerances.delivery.as_ratio();
    let working = machine.absolute(station.compressor.working_pressure);
    let flow = machine.flow(working) * more;
    let p1_pa = machine.absolute(relief.lifts) + relief.full_lift_above.si();
    let t_k = machine.ambient_k + station.compressor.cooler_approach.as_kelvin();
    let state = machine
        .gas
        .state_p_t(p1_pa, t_k)
        .map_err(|e| e.to_string())?;
    let duty = ReliefDuty {
        flow_kg_h: flow * 3600.0,
        t_k,
        z: state.z,
        molar_mass: AIR,
        k: K,
        p1_kpa: p1_pa / 1e3,
        kd: CERTIFIED,
    };
    let passage = Orifice { area_m2: CERTIFIED };
    let per_m2 = passage.flow(p1_pa, state.rho, machine.atmosphere_pa).mass;
    let bore = relief.bore.si();
    Ok(Sizes {
        flow_kg_h: duty.flow_kg_h,
        p1_bar: machine.gauge_bar(p1_pa),
        api_mm2: api_520_area(duty),
        nozzle_mm2: flow / per_m2 * 1e6,
        fitted_mm2: std::f64::consts::FRAC_PI_4 * bore * bore * 1e6,
    })
}

fn judge(input: &AuditInput, sizes: &Sizes) -> Look {
    let needed = sizes.api_mm2.max(sizes.nozzle_mm2);
    let certain = needed * CERTIFIED / UNCERTIFIED;
    let numbers = format!(
        "{:.1} kg/h at {} needs {:.4} mm² by API 520 and {:.4} mm² by the real-gas nozzle; the \
         valve has {:.4} mm²",
        sizes.flow_kg_h,
        input.say(sizes.p1_bar),
        sizes.api_mm2,
        sizes.nozzle_mm2,
        sizes.fitted_mm2
    );
    let (severity, what) = match sizes.fitted_mm2 {
        fitted if fitted < needed => (Severity::FixBeforeNextRun, "too small"),
        fitted if fitted < certain => (Severity::LookInto, "barely large enough"),
        _ => return Look::fine(numbers),
    };
    let claim = format!("The relief valve is {what} for what the compressor delivers: {numbers}.");
    let area = |what: &str, value| input.figure(what, value, "mm²", 4);
    let diameter = |mm2: f64| -> Measure {
        let bore = (mm2 / std::f64::consts::FRAC_PI_4).sqrt();
        input.figure("least bore", bore, "mm", 2)
    };
    let finding = Finding::new(severity, source::SIZING, claim)
        .why("With the valve fully open the pressure goes on rising towards the disc.")
        .remedy(
            "Check `bore` in [relief] against the valve's certificate, and the delivery. If both \
             are right, ask whoever services the compressor for a valve of sufficient capacity.",
        )
        .on([&Part::relief(), &Part::stage(1, 1)])
        .with(input.figure("delivered, tolerance included", sizes.flow_kg_h, "kg/h", 2))
        .with(input.bar("valve fully open", sizes.p1_bar))
        .with(area("needed by API 520", sizes.api_mm2))
        .with(area("needed by the real-gas nozzle", sizes.nozzle_mm2))
        .with(area("fitted", sizes.fitted_mm2))
        .with(diameter(certain))
        .margin(area("room", sizes.fitted_mm2 - certain));
    Look::found(finding)
}

#[cfg(test)]
mod tests {
    use super::super::testing::{claims, found, metric, station, with};
    use super::*;

    /// 100 L/min at 20 °C and 1 atm, set 330 bar, 10 % over, 60 °C, Kd 0.975: 7.2246 kg/h,
    /// p1 36401.3 kPa abs, 0.02771 mm² with Z 1.17743 (worked from API 520 apart from
    /// this program, with CoolProp's Z): a hole of 0.19 mm.
    #[test]
    fn the_worked_example() {
        let text = r#"
            station = { name = "Sizing", invented = true }
            intake = { temperature = "20 °C" }
            compressor = { working_pressure = "300 bar", free_air_delivery = "100 L/min", cooler_approach = "40 K" }
            relief = { lifts = "330 bar", full_lift_above = "33 bar" }
            tolerances = { delivery = "0 %" }
        "#;
        let station = station(text);
        let input = AuditInput::new(&station);
        let sizes = sizes(&input, station.relief.as_ref().unwrap()).unwrap();
        let near = |value: f64, source: f64, part: f64| {
            assert!(
                (value / source - 1.0).abs() < part,
                "{value}, source {source}"
            );
        };
        near(sizes.flow_kg_h, 7.2246, 2e-3);
        near(sizes.p1_bar, 363.0, 1e-6);
        near(sizes.api_mm2, 0.02771, 3e-3);
        // the two ways agree: 849.742 against 849.765 kg/h for the same hole in the source
        near(sizes.nozzle_mm2, sizes.api_mm2, 1e-3);
    }

    #[test]
    fn fires_for_a_pinhole() {
        let text = with(metric(), "reseats = \"240 bar\"", "bore = \"0.15 mm\"");
        let [one] = &found("relief-capacity", &text)[..] else {
            panic!()
        };
        assert_eq!(one.severity, Severity::FixBeforeNextRun);
        let unsure = with(metric(), "reseats = \"240 bar\"", "bore = \"0.24 mm\"");
        assert_eq!(
            found("relief-capacity", &unsure)[0].severity,
            Severity::LookInto
        );
    }

    #[test]
    fn silent_for_the_usual_valve() {
        assert_eq!(claims("relief-capacity", metric()), [""; 0]);
    }
}
