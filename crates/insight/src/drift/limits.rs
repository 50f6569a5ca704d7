//! Tolerances from the station file and uncertainties from its gauges.

use super::Setting;
use quantity::Quantity as _;
use station::{Gauge, Reads, Station};

/// What a setting should be, SI, and how far it may lie from that.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tolerance {
    /// As specified.
    pub specified: f64,
    /// Lowest; none where lower does not matter.
    pub low: Option<f64>,
    /// Highest; none where higher does not matter.
    pub high: Option<f64>,
}

/// The band of a setting: the station file's figure and tolerance. A machine that fills faster
/// than its figure is not out of tolerance. None where the valve is not in the file.
pub fn tolerance_of(setting: Setting, station: &Station) -> Option<Tolerance> {
    let t = &station.tolerances;
    let (specified, share) = match setting {
        Setting::PmvOpens => (station.pmv.as_ref()?.opens.si(), t.pmv),
        Setting::PmvCloses => (station.pmv.as_ref()?.closes.si(), t.pmv),
        Setting::ReliefLifts => (station.relief.as_ref()?.lifts.si(), t.relief),
        Setting::ReliefReseats => (station.relief.as_ref()?.reseats.si(), t.relief),
        Setting::ChargingRate => (1.0, t.delivery),
    };
    let by = share.as_ratio() * specified;
    let upper = setting != Setting::ChargingRate;
    Some(Tolerance {
        specified,
        low: Some(specified - by),
        high: upper.then_some(specified + by),
    })
}

/// Standard uncertainty of one reading of the finest gauge that reads there, Pa. None without one.
///
/// u² = (class/100 · span)² / 3 + (resolution)² / 12
///
/// Class as bounds of an even distribution (EN 837-1; JCGM 100:2008, 4.3.7), resolution likewise
/// (JCGM 100:2008, F.2.2.1). Without a resolution in the file a hundredth of the span is taken:
/// half a division of an ordinary dial (common practice, no source).
pub fn gauge_uncertainty(station: &Station, reads: Reads) -> Option<f64> {
    let there = station.gauges.iter().filter(|g| g.reads == reads);
    there.map(uncertainty).min_by(f64::total_cmp)
}

fn uncertainty(gauge: &Gauge) -> f64 {
    let span = gauge.span.si();
    let class = gauge.greatest_error().si();
    let step = gauge.resolution.map_or(0.01 * span, |r| r.si());
    (class * class / 3.0 + step * step / 12.0).sqrt()
}
