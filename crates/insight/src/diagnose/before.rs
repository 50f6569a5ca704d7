//! Pressures before the start, reckoned back from the first readings by what the machine nominally
//! delivers: only where the search begins, with a wide doubt.
//!
//! Not here: the search.

use super::space::{Datum, Told};
use station::{Capacity, Output, Reads, Station};

/// So long after the start a tower reading still tells of the start, s.
const EARLY_S: f64 = 180.0;
/// Two readings this far apart tell how fast the tower rises, s.
const APART_S: f64 = 15.0;

/// Tower and cylinders before the start, bar.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Before {
    pub tower: Option<f64>,
    pub cylinders: Option<f64>,
}

/// Reckons back. `litres` is the water volume of all cylinders on the line.
pub(super) fn before(station: &Station, data: &[Datum], litres: Option<f64>) -> Before {
    let Some(flow) = nominal(station) else {
        return Before::default();
    };
    let housing = station.separator.volume.as_litre() + station.purifier.volume.as_litre();
    // ideal gas at one temperature, bar a second: near enough for a beginning
    let rise = flow / 60.0 / housing.max(0.1);
    let opens = station.pmv.as_ref().map_or(0.0, |p| p.opens.as_bar());
    let tower = tower(&sorted(data, Reads::Tower), opens, rise);
    let wait = (opens - tower.unwrap_or(opens)).max(0.0) / rise;
    let cylinders = litres.and_then(|litres| {
        let rise = flow / 60.0 / litres.max(0.1);
        let line = sorted(data, Reads::Line);
        let filling = |d: &&&Datum| d.t_s > wait + 60.0 && d.value > opens + 5.0;
        let towers = sorted(data, Reads::Tower);
        let one = line.first().or(towers.iter().find(filling))?;
        Some((one.value - rise * (one.t_s - wait).max(0.0)).max(0.0))
    });
    Before { tower, cylinders }
}

fn sorted(data: &[Datum], reads: Reads) -> Vec<&Datum> {
    let mut of: Vec<&Datum> = data
        .iter()
        .filter(|d| d.what == Told::Gauge(reads))
        .collect();
    of.sort_by(|a, b| a.t_s.total_cmp(&b.t_s));
    of
}

/// Before the PMV opens the tower rises evenly: back along the first two readings, or along the
/// nominal rise from one.
fn tower(readings: &[&Datum], opens: f64, rise: f64) -> Option<f64> {
    let early = |d: &&&Datum| d.t_s <= EARLY_S && d.value < opens;
    let early: Vec<&&Datum> = readings.iter().filter(early).collect();
    let first = early.first()?;
    let later = early.iter().find(|d| d.t_s - first.t_s >= APART_S);
    let seen = later.map(|d| (d.value - first.value) / (d.t_s - first.t_s));
    let rise = seen.map_or(rise, |seen| seen.clamp(0.4 * rise, 2.0 * rise));
    Some((first.value - rise * first.t_s).max(0.0))
}

/// Free air delivered by the station file, L/min.
fn nominal(station: &Station) -> Option<f64> {
    match &station.compressor.output {
        Output::ChargingRate(rate) | Output::FreeAirDelivery(rate) => {
            Some(rate.as_litre_per_minute())
        }
        Output::Delivery(points) => points.first().map(|p| p.free_air.as_litre_per_minute()),
        Output::Stages(_) => None,
    }
}

/// Water volume of a cylinder or kind, L, where the file gives it.
pub(super) fn litres(station: &Station, id: &str) -> Option<f64> {
    let single = station.cylinders.iter().find(|c| c.id == id);
    let kind = single.map_or(id, |c| c.kind.as_str());
    let kind = station.cylinder_kinds.iter().find(|k| k.id == kind)?;
    match kind.vessel.capacity {
        Capacity::Water(volume) => Some(volume.as_litre()),
        Capacity::FreeAir(_) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn datum(t_s: f64, reads: Reads, value: f64) -> Datum {
        Datum {
            line: 1,
            t_s,
            t_sd_s: 4.0,
            what: Told::Gauge(reads),
            value,
            sd: 2.0,
            crowd: 1.0,
        }
    }

    /// 100 L/min into 2 L: 100/60/2 = 0.833 bar a second; into a 12 L cylinder 0.139.
    #[test]
    fn the_start_is_reckoned_back() {
        let text = include_str!("../../../../stations/boathouse.toml");
        let station = station::read(text).station.unwrap();
        let data = [
            datum(30.0, Reads::Tower, 45.0),
            datum(600.0, Reads::Line, 120.0),
        ];
        let found = before(&station, &data, Some(12.0));
        assert!((found.tower.unwrap() - 20.0).abs() < 0.1);
        // the line waits (100 − 20)/0.833 = 96 s: 120 − 0.1389·504 = 50
        assert!((found.cylinders.unwrap() - 50.0).abs() < 0.2);
        let two = [
            datum(30.0, Reads::Tower, 50.0),
            datum(60.0, Reads::Tower, 80.0),
        ];
        assert!((before(&station, &two, None).tower.unwrap() - 20.0).abs() < 1e-9);
        assert_eq!(before(&station, &[], Some(12.0)), Before::default());
        // once air flows nothing can be reckoned back
        let late = [datum(30.0, Reads::Tower, 104.0)];
        assert_eq!(before(&station, &late, None).tower, None);
        assert_eq!(litres(&station, "A1"), Some(12.0));
        assert_eq!(litres(&station, "nobody"), None);
    }
}
