//! Three pressures kept apart: absolute, gauge, and a difference of either.
//!
//! Not here: what the atmosphere is at a place; the caller brings it.

use crate::unit::{Unit, quantity};

/// Pound-force per square inch in pascal: 0.45359237 kg · 9.80665 m/s² over
/// (0.0254 m)². NIST SP 811 (2008), appendix B.8, gives 6.894757 E+03.
const PSI: f64 = 0.453_592_37 * 9.806_65 / (0.0254 * 0.0254);

/// Conventional inch of mercury in pascal, NIST SP 811 (2008), appendix B.8.
const INCH_OF_MERCURY: f64 = 3386.389;

/// Declares a pressure whose symbols and aliases are made by the macro named.
macro_rules! pressure {
    (
        $(#[$doc:meta])*
        $type:ident: $name:literal, examples $examples:literal, $mark:ident
        $(, least $least:literal)?; $( $extra:tt )*
    ) => {
        quantity! {
            $(#[$doc])*
            $type: $name, examples $examples, shown 0 1 $(, least $least)?;
            bar as_bar $mark!("bar", 1e5);
            psi as_psi $mark!("psi", PSI, "lb/in2", "lbf/in2");
            megapascal as_megapascal $mark!("MPa", 1e6).prefixed();
            kilopascal as_kilopascal $mark!("kPa", 1e3);
            mbar as_mbar $mark!("mbar", 100.0).prefixed();
            hectopascal as_hectopascal $mark!("hPa", 100.0);
            pascal as_pascal $mark!("Pa", 1.0);
            $( $extra )*
        }
    };
}

/// A gauge unit: unmarked, or marked g.
macro_rules! gauge {
    ($symbol:literal, $scale:expr $(, $alias:literal)*) => {
        Unit::new(
            $symbol,
            &[
                concat!($symbol, "g"), concat!($symbol, "(g)"), concat!($symbol, "gauge"),
                concat!($symbol, "(gauge)") $(, $alias)*
            ],
            $scale,
        )
    };
}

/// An absolute unit: printed with `abs`, read with or without it.
macro_rules! absolute {
    ($symbol:literal, $scale:expr $(, $alias:literal)*) => {
        Unit::new(
            concat!($symbol, " abs"),
            &[
                $symbol, concat!($symbol, "a"), concat!($symbol, "(a)"),
                concat!($symbol, "(abs)"), concat!($symbol, "abs."),
                concat!($symbol, "absolute") $(, $alias)*
            ],
            $scale,
        )
    };
}

/// A unit of difference: never marked.
macro_rules! difference {
    ($symbol:literal, $scale:expr $(, $alias:literal)*) => {
        Unit::new($symbol, &[$($alias),*], $scale)
    };
}

pressure! {
    /// Pressure as a dial shows it: above the surrounding atmosphere. SI unit
    /// Pa. May be negative, down to a vacuum.
    GaugePressure: "gauge pressure",
    examples "232 bar, 3300 psi, 23.2 MPa, 23200 kPa", gauge;
}

pressure! {
    /// Pressure above a perfect vacuum. SI unit Pa, never negative.
    AbsolutePressure: "absolute pressure",
    examples "1013 mbar, 1.013 bar abs, 14.7 psi abs, 101.3 kPa", absolute, least 0.0;
    inch_of_mercury as_inch_of_mercury absolute!("inHg", INCH_OF_MERCURY);
}

pressure! {
    /// A span of pressure, such as a tolerance or a drop. SI unit Pa, either
    /// sign. The same for gauge and absolute.
    PressureDifference: "pressure difference",
    examples "5 bar, 70 psi, 0.5 MPa, 500 kPa", difference;
}

impl GaugePressure {
    /// The absolute pressure, given the atmosphere around the gauge.
    #[must_use]
    pub const fn above(self, atmosphere: AbsolutePressure) -> AbsolutePressure {
        AbsolutePressure(self.0 + atmosphere.0)
    }
}

impl AbsolutePressure {
    /// What a gauge in this atmosphere shows.
    #[must_use]
    pub const fn gauge(self, atmosphere: AbsolutePressure) -> GaugePressure {
        GaugePressure(self.0 - atmosphere.0)
    }
}
