//! How much: volume, free volume, mass, time and length.
//!
//! Factors are exact and from NIST SP 811 (2008), appendix B.8: inch, foot,
//! pound, ounce and the cubes of the first two.

use crate::unit::{Unit, quantity};

const INCH: f64 = 0.0254;
const FOOT: f64 = 0.3048;
/// Cubic foot in m³; the product of three feet, exact to the last digit.
pub(crate) const CUBIC_FOOT: f64 = 0.028_316_846_592;
const CUBIC_INCH: f64 = 0.000_016_387_064;
const POUND: f64 = 0.453_592_37;

const CUBIC_FOOT_NAMES: &[&str] = &[
    "ft3",
    "ft^3",
    "cubic foot",
    "cubic feet",
    "cu. ft.",
    "cu. ft",
    "cf",
];
const LITRE_NAMES: &[&str] = &["liter", "litre", "liters", "litres", "dm3", "dm^3"];
const CUBIC_METRE_NAMES: &[&str] = &["m^3", "cubic metre", "cubic meter"];

quantity! {
    /// The space inside something: a cylinder's water volume, a sump. SI unit
    /// m³, never negative.
    Volume: "volume", examples "2.2 L, 90 mL, 0.5 cu ft, 730 cu in", shown 0 1, least 0.0;
    litre as_litre Unit::new("L", LITRE_NAMES, 1e-3);
    cubic_foot as_cubic_foot Unit::new("cu ft", CUBIC_FOOT_NAMES, CUBIC_FOOT);
    cubic_inch as_cubic_inch
        Unit::new("cu in", &["in3", "in^3", "cubic inch", "cubic inches", "cu. in."], CUBIC_INCH);
    millilitre as_millilitre
        Unit::new("mL", &["milliliter", "millilitre"], 1e-6).prefixed();
    cubic_centimetre as_cubic_centimetre Unit::new("cm3", &["cm^3", "cc", "ccm"], 1e-6);
    cubic_metre as_cubic_metre Unit::new("m3", CUBIC_METRE_NAMES, 1.0);
}

quantity! {
    /// Gas by the volume it takes when let out. SI unit m³, never negative.
    ///
    /// The pressure and temperature it is let out to are **not** part of this
    /// type: the caller states them wherever it is turned into a mass.
    FreeVolume: "volume of free gas", examples "80 cu ft, 2400 L, 2.4 m3", shown 0 1, least 0.0;
    litre as_litre Unit::new("L", LITRE_NAMES, 1e-3);
    cubic_foot as_cubic_foot Unit::new("cu ft", CUBIC_FOOT_NAMES, CUBIC_FOOT);
    cubic_metre as_cubic_metre Unit::new("m3", CUBIC_METRE_NAMES, 1.0);
}

quantity! {
    /// Mass. SI unit kg, never negative.
    Mass: "mass", examples "12.5 kg, 350 g, 27 lb, 12 oz", shown 0 1, least 0.0;
    kilogram as_kilogram Unit::new("kg", &["kilogram", "kilograms"], 1.0);
    pound as_pound Unit::new("lb", &["lbs", "lbm", "lb.", "pound", "pounds"], POUND);
    gram as_gram Unit::new("g", &["gram", "grams"], 1e-3);
    milligram as_milligram Unit::new("mg", &["milligram"], 1e-6).prefixed();
    ounce as_ounce Unit::new("oz", &["oz.", "ounce", "ounces"], POUND / 16.0);
}

quantity! {
    /// A length of time. SI unit s, either sign. `12:30` is twelve minutes
    /// thirty seconds; `1:02:30` has hours before them.
    TimeSpan: "time", examples "90 min, 1 h 30 min, 12:30 (minutes:seconds), 45 s",
    shown 0 0, clock 1;
    minute as_minute Unit::new("min", &["m", "min.", "mins", "minute", "minutes"], 60.0);
    second as_second Unit::new("s", &["sec", "sec.", "secs", "second", "seconds"], 1.0);
    hour as_hour Unit::new("h", &["hr", "hrs", "hour", "hours"], 3600.0);
    day as_day Unit::new("d", &["day", "days"], 86_400.0);
}

quantity! {
    /// Length, bore or height above the sea. SI unit m, either sign.
    Length: "length", examples "4 mm, 0.16 in, 250 m, 820 ft", shown 0 1;
    metre as_metre Unit::new("m", &["metre", "meter", "metres", "meters"], 1.0);
    foot as_foot Unit::new("ft", &["ft.", "foot", "feet", "'"], FOOT);
    millimetre as_millimetre Unit::new("mm", &["millimetre", "millimeter"], 1e-3).prefixed();
    centimetre as_centimetre Unit::new("cm", &["centimetre", "centimeter"], 1e-2);
    inch as_inch Unit::new("in", &["in.", "inch", "inches", "\"", "″"], INCH);
}
