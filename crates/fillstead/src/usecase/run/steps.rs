//! What stands in the lists of a run: what to look at before the start, what to do now, how to shut
//! down. From the station's air path where it matters; otherwise common practice, no source. The
//! maker's manual comes first, and the page says so.

use station::{Drive, Element, Station};

use super::stage::Stage;

/// Something to look at before the start, as it is kept in the book and as it is asked.
pub struct Check {
    /// As it is kept.
    pub key: &'static str,
    /// As it is asked.
    pub text: &'static str,
}

/// What to look at before the start.
pub fn before_start(station: &Station) -> Vec<Check> {
    let check = |key, text| Check { key, text };
    let engine = matches!(
        station.compressor.drive,
        Some(Drive::Petrol | Drive::Diesel)
    );
    let mut all = vec![match engine {
        true => check(
            "intake upwind",
            "Intake upwind, well away from this engine's exhaust and any other. Outdoors",
        ),
        false => check(
            "intake upwind",
            "Intake in clean air: no engine runs near it, no smoke, no paint",
        ),
    }];
    all.extend([
        check("oil level", "Oil level between its marks, machine level"),
        check("drains shut", "All drains shut"),
        check("cooling air", "Cooling air free on all sides"),
        check(
            "hose sound",
            "Hose and fittings sound, nothing stands before the burst disc",
        ),
        check("valves open", "Cylinder valve and fill valve open, slowly"),
    ]);
    if station.vent.is_some() {
        all.insert(3, check("vent shut", "Tower vent shut"));
    }
    all
}

/// Whether an open drain lets the purifier's air out too.
pub fn drain_empties_tower(station: &Station) -> bool {
    let path = &station.air_path;
    !path.check_between(Element::Separator, Element::Purifier)
}

/// What the person does or watches in a stage, each with whether it is the one to do first.
pub fn steps(stage: Stage, station: &Station, on_line: &str) -> Vec<String> {
    let own = |texts: &[&str]| texts.iter().map(|t| (*t).to_owned()).collect();
    match stage {
        Stage::Filling => vec![
            format!("Hand on {on_line}: warm, not hot"),
            "Stand clear of the burst disc's outlet".to_owned(),
        ],
        Stage::DrainDue => vec![
            "Open the drain slowly, stand clear of it".to_owned(),
            "Wait until it blows dry".to_owned(),
            match drain_empties_tower(station) {
                true => "Shut it at once: it lets the tower's air out too",
                false => "Shut it. The gauge dips, then climbs",
            }
            .to_owned(),
        ],
        Stage::StopDue => own(&[
            "Look at the fill gauge",
            "At the stop: switch the machine off",
        ]),
        Stage::Over => own(&[
            "Switch the machine off",
            "Leave the fill valve open",
            "Do not loosen the hose",
        ]),
        _ => Vec::new(),
    }
}

/// The list of the shut-down, each step with the stage that ends when it is done.
pub fn shut_down(station: &Station, on_line: &str) -> Vec<(String, Stage)> {
    let drain = match drain_empties_tower(station) {
        true => "Open the drain briefly, then shut it: left open it empties the purifier",
        false => "Open the drain until it blows dry, then shut it",
    };
    vec![
        ("Read the fill gauge".to_owned(), Stage::GaugeAtStop),
        (format!("Shut the valve of {on_line}"), Stage::Bleed),
        ("Shut the fill valve".to_owned(), Stage::Bleed),
        ("Open the hose bleed. Wait for 0".to_owned(), Stage::Bleed),
        (format!("Only now disconnect {on_line}"), Stage::LastDrain),
        (drain.to_owned(), Stage::LastDrain),
    ]
}

/// Something that goes wrong, what to do at once, and what is kept of it.
pub struct Wrong {
    /// Its name in the request.
    pub key: &'static str,
    /// What somebody notices.
    pub what: &'static str,
    /// What to do at once.
    pub now: &'static [&'static str],
    /// What to think of then.
    pub then: &'static str,
}

/// What goes wrong, by what somebody notices. Common practice, no source.
pub const WRONG: &[Wrong] = &[
    Wrong {
        key: "relief lifts",
        what: "The relief valve blows",
        now: &[
            "Switch the machine off",
            "Stand clear of its outlet and of the burst disc",
        ],
        then: "It did its work. Never load it, plug it or turn it to keep filling. Find out what drove \
               the pressure up before the machine runs again.",
    },
    Wrong {
        key: "hiss",
        what: "Something hisses",
        now: &[
            "Step back, and switch the machine off",
            "Look and listen only. Touch no fitting",
        ],
        then: "Let the pressure down to 0 first, through bleed and vent. Undo or mend nothing that \
               holds pressure, not even a little.",
    },
    Wrong {
        key: "no delivery",
        what: "No air arrives",
        now: &[
            "Look at the tower gauge",
            "If it nears the working pressure: switch the machine off",
        ],
        then: "Fill valve, cylinder valve or PMV stay shut where the tower rises; a drain or vent is \
               open where it does not.",
    },
    Wrong {
        key: "gauge races",
        what: "The gauge races up",
        now: &["Switch the machine off", "Leave the fill valve as it is"],
        then: "A valve is shut, or a very small cylinder hangs on the line. With the fill valve shut \
               the tower reaches its relief valve in seconds.",
    },
    Wrong {
        key: "noise or heat",
        what: "It knocks, smokes or is too hot",
        now: &[
            "Switch the machine off",
            "Let it stand and cool. Open nothing hot",
        ],
        then: "Hot stages spoil the air and the oil. A competent person looks at it before it runs \
               again.",
    },
];
