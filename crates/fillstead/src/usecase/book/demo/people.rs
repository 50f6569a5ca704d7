//! Who fills, whose cylinders there are. All invented: nobody behind these initials exists.

/// Who runs the machine.
pub const OPERATORS: [&str; 4] = ["EM", "TR", "JH", "OL"];

/// For whom cylinders are filled.
pub const MEMBERS: [&str; 11] = [
    "EM", "TR", "JH", "OL", "BW", "NS", "KF", "AV", "PD", "GU", "a guest",
];

/// A cylinder of the story.
#[derive(Clone, Copy, Debug)]
pub struct Cylinder {
    /// What it is called.
    pub id: &'static str,
    /// Its kind in the station file.
    pub kind: &'static str,
    /// Whose it is.
    pub owner: &'static str,
    /// Serial number.
    pub serial: &'static str,
    /// How often it comes, against the others.
    pub comes: f64,
    /// Days from its last pressure test to the first day of the story.
    pub tested: i32,
    /// Days from its last visual inspection to then.
    pub visual: i32,
}

/// What a cylinder's gauge shows that is full, bar.
pub fn full_bar(kind: &str) -> f64 {
    match kind {
        "aluminium 10" => 200.0,
        _ => 232.0,
    }
}

/// Its rating, bar: lines are shared by one rating only.
pub fn rated_bar(kind: &str) -> f64 {
    match kind {
        "aluminium 10" => 200.0,
        "rescue" => 300.0,
        _ => 232.0,
    }
}

const fn cylinder(
    (id, kind): (&'static str, &'static str),
    (owner, serial): (&'static str, &'static str),
    comes: f64,
    (tested, visual): (i32, i32),
) -> Cylinder {
    Cylinder {
        id,
        kind,
        owner,
        serial,
        comes,
        tested,
        visual,
    }
}

/// Fails its visual inspection, and is condemned.
pub const RUSTY: &str = "A6";
/// Falls out of its pressure test; tested again later. Its days are set by the story.
pub const UNTESTED: &str = "M2";
/// Falls out of its visual inspection, and stays so.
pub const UNSEEN: &str = "C3";
/// Of these the first that is set aside comes back late to be released.
pub const LATE: [&str; 4] = ["M1", "C2", "C1", "P2"];
/// Of these the first that is set aside stays so.
pub const FORGOTTEN: [&str; 4] = ["R1", "D2", "D1", "P3"];

/// Every cylinder.
pub const CYLINDERS: [Cylinder; 17] = [
    cylinder(("A1", "steel 12"), ("club", "AN-0101"), 1.0, (420, 210)),
    cylinder(("A2", "steel 12"), ("club", "AN-0102"), 1.0, (420, 210)),
    cylinder(("A3", "steel 12"), ("club", "AN-0103"), 1.0, (610, 330)),
    cylinder(("A4", "steel 12"), ("club", "AN-0104"), 1.0, (610, 330)),
    cylinder(("A5", "steel 12"), ("club", "AN-0105"), 1.0, (250, 250)),
    cylinder(("A6", "steel 12"), ("club", "AN-0106"), 0.9, (980, 470)),
    cylinder(("C1", "steel 15"), ("TR", "AN-0131"), 0.8, (300, 300)),
    cylinder(("C2", "steel 15"), ("JH", "AN-0132"), 0.8, (700, 120)),
    cylinder(("C3", "steel 15"), ("KF", "AN-0140"), 0.7, (1000, 0)),
    cylinder(("P1", "steel 7"), ("club", "AN-0203"), 0.6, (190, 190)),
    cylinder(("P2", "steel 7"), ("club", "AN-0204"), 0.6, (190, 190)),
    cylinder(("P3", "steel 7"), ("NS", "AN-0211"), 0.4, (530, 80)),
    cylinder(("M1", "steel 12"), ("GU", "AN-0117"), 0.6, (450, 160)),
    cylinder(("M2", "steel 12"), ("BW", "AN-0118"), 0.7, (0, 260)),
    cylinder(("D1", "aluminium 10"), ("AV", "AN-0301"), 0.5, (350, 350)),
    cylinder(("D2", "aluminium 10"), ("PD", "AN-0302"), 0.4, (150, 150)),
    cylinder(
        ("R1", "rescue"),
        ("rescue boat", "AN-0401"),
        0.25,
        (400, 400),
    ),
];

/// The cylinder of this name.
pub fn named(id: &str) -> Option<&'static Cylinder> {
    CYLINDERS.iter().find(|cylinder| cylinder.id == id)
}
