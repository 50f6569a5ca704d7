//! Where rules stand: document, edition, clause, and how sure that is.
//!
//! What was not seen in the document itself says so.

use serde::Serialize;

/// Where a rule stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Source {
    /// Standard, law or book.
    pub document: &'static str,
    /// Its edition, as far as known.
    pub edition: &'static str,
    /// Where in it.
    pub clause: &'static str,
    /// How sure that is.
    pub certainty: &'static str,
}

const fn source(
    document: &'static str,
    edition: &'static str,
    clause: &'static str,
    certainty: &'static str,
) -> Source {
    Source {
        document,
        edition,
        clause,
        certainty,
    }
}

const UNVERIFIED: &str = "from memory, unverified";
const ASME: &str = "ASME Boiler and Pressure Vessel Code, Section VIII Division 1";

/// Nothing but custom.
pub const PRACTICE: Source = source("common practice", "", "", "no source");
/// The order of the ladder: what each rule of protection asks, together.
pub const ORDER: Source = source(
    "common practice in the light of ASME VIII-1 UG-125 to UG-134",
    "",
    "",
    "no source for the order as a whole",
);
/// A vessel must have a relief valve.
pub const RECEIVER: Source = source(
    "29 CFR 1917.155 and 30 CFR 56/57.13011, air receivers",
    "current when seen",
    "relief valve, limit 110 % of the rated pressure, no valve between",
    "government pages; unverified for a machine outside those rules",
);
/// A single device is set no higher than the rating.
pub const SET: Source = source(
    ASME,
    "2010; since 2021 in Section XIII (from memory)",
    "UG-134(a): a single device is set no higher than the rated pressure",
    "seen in an article of the National Board, not in the code",
);
/// Pressure rises no more than a tenth above the rating.
pub const ACCUMULATION: Source = source(
    ASME,
    "1992 to 2019; since 2021 in Section XIII (from memory)",
    "UG-125(c): no more than 10 % above the rated pressure while relieving",
    "seen in a copy of the text",
);
/// Burst tolerance of a disc.
pub const DISC_TOLERANCE: Source = source(
    ASME,
    "to 2019",
    "UG-127(a)(1): a disc may burst 5 % either side of its mark above 40 psi",
    "seen in a handbook that quotes it",
);
/// Sizing of relief valves.
pub const SIZING: Source = source(
    "API Standard 520 Part I, gas, critical flow; NACA Report 1135 (1953), choked nozzle",
    "edition of API 520 not known",
    "A = W/(C Kd p1)·√(T Z/M)",
    "equation seen in the documentation of an open library",
);
/// Distance of working pressure from relief valve.
pub const NEAR_RELIEF: Source = source(
    "API Standard 520 Part I; ASME VIII-1, Appendix M",
    "not known",
    "work at no more than about 90 % of the set pressure",
    UNVERIFIED,
);
/// Distance of working pressure from disc.
pub const OPERATING_RATIO: Source = source(
    "Valve Selection Handbook",
    "edition not known",
    "p. 216, 248: working pressure over least burst pressure, 0.7 for plain discs",
    "0.7 seen in the handbook; 0.9 for reverse-buckling discs from memory, unverified",
);
/// How far a valve may be moved from its stamp.
pub const STAMP: Source = source(
    "California Code of Regulations, title 8",
    "current when seen",
    "§ 465(b): no more than 10 % to 250 psig, 5 % above, from the stamped pressure",
    "government page; other places have other rules",
);
/// What a cylinder may be filled to.
pub const FILL: Source = source(
    "49 CFR 173.301a(c), (d)",
    "current when seen",
    "no more than service pressure at 21 °C (70 °F)",
    "stored text of the rule; the same holds for stamps of other countries",
);
/// Discs and test pressure of cylinders.
pub const CYLINDER_DISC: Source = source(
    "CGA S-1.1",
    "not known",
    "a disc bursts no higher than the least test pressure",
    UNVERIFIED,
);
/// Hoses.
pub const HOSES: Source = source(
    "29 CFR 1910.430(c); 46 CFR 197.312 and 197.456",
    "current when seen",
    "burst at 4 times, proof test at 1.5 times the working pressure",
    "copies of the rules; they bind commercial diving in the US",
);
/// Gauges.
pub const GAUGES: Source = source(
    "EN 837-1",
    "1996",
    "table 11: greatest error is the class in percent of the span",
    "class seen in a copy of the standard; 75 % of the span at steady load from memory, unverified",
);
/// Discharge temperatures.
pub const HEAT: Source = source(
    "EN 1012-1",
    "2010",
    "discharge temperature of oil-lubricated pistons, about 160 to 220 °C by pressure",
    "the text was not seen; the figures are from memory and uncertain",
);
/// Intakes.
pub const INTAKE: Source = source(
    "29 CFR 1910.430(b)(2), read with OSHA CPL 02-00-151",
    "current when seen",
    "intakes stand away from exhaust",
    "government text; binds commercial diving in the US",
);
/// Enriched gas.
pub const ENRICHED: Source = source(
    "29 CFR 1910.134(i)(3)",
    "1998",
    "more than 23.5 % oxygen only in equipment made for oxygen",
    "seen on a secondary page",
);
/// Printed lives of cartridges.
pub const CARTRIDGE: Source = source(
    "the maker's figure in the station file; water by IAPWS G8-10 and G11-15",
    "2010, 2015",
    "extrapolated above 50 bar",
    "that printed lives hold at 20 °C is common practice, no source",
);
/// Drains.
pub const DRAIN: Source = source(
    "common practice; water by IAPWS G8-10 and G11-15",
    "2010, 2015",
    "a sump takes one missed drain, condensate foams to 1.3 to 2 times its volume",
    "no source for the rule; water extrapolated above 50 bar",
);
/// Water over pressure.
pub const WATER: Source = source(
    "IAPWS G8-10 and G11-15, with the fugacity of water",
    "2010, 2015",
    "extrapolated above 50 bar",
    "that a PMV stands well over half of working pressure is common practice, no source",
);
