#!/usr/bin/env python3
"""Readings of known faults from the independent model, for the tests of the diagnosis.

    readings.py [seed]      needs numpy, scipy and CoolProp, as station_model.py does

Each fault is put into the case s1 (crates/physics/tests/data/independent-model), run, and read as
somebody would read it: eight readings by two gauges of 400 bar and class 1.6 (normal errors of half
the class, a third of it the same in all readings of a gauge), a watch that is off by some seconds,
to the nearest 2 bar. The readings go to crates/insight/tests/data/independent/NAME.csv; the first
line says what is wrong. crates/insight/tests/data/independent/station.toml describes the same
station as its owner would.
"""
import copy, json, pathlib, random, sys
import station_model

ROOT = pathlib.Path(__file__).resolve().parents[2]
CASE = ROOT / "crates/physics/tests/data/independent-model/s1_normal_fill.json"
OUT = ROOT / "crates/insight/tests/data/independent"

# name, the cause that the diagnosis should find, what is changed in the case, gauges off by
FAULTS = [
    ("sound", "healthy", {}, {}),
    ("slow_25", "slow_delivery", {"compressor.fad_L_min": 75.0}, {}),
    ("slow_35", "slow_delivery", {"compressor.fad_L_min": 65.0}, {}),
    ("pmv_low_70", "pmv_opens_early", {"pmv.open_barg": 70.0, "pmv.close_barg": 48.0}, {}),
    ("pmv_low_60", "pmv_opens_early", {"pmv.open_barg": 60.0, "pmv.close_barg": 40.0}, {}),
    ("pmv_high_140", "pmv_opens_late", {"pmv.open_barg": 140.0, "pmv.close_barg": 100.0}, {}),
    ("pmv_open", "pmv_does_not_hold", {"pmv.open_barg": 1.0, "pmv.close_barg": 0.2}, {}),
    ("pmv_shut", "pmv_stuck_shut", {"pmv.open_barg": 900.0, "pmv.close_barg": 800.0}, {}),
    ("relief_205", "relief_lifts_early", {"relief.set_barg": 205.0, "relief.reseat_barg": 188.0}, {}),
    ("relief_180", "relief_lifts_early", {"relief.set_barg": 180.0, "relief.reseat_barg": 165.0}, {}),
    ("leak_20", "tower_leak", {"tower.leak_CdA_mm2": 0.0074}, {}),
    ("leak_35", "tower_leak", {"tower.leak_CdA_mm2": 0.0130}, {}),
    ("tower_gauge_high", "tower_gauge_reads_high", {}, {"tower": 20.0}),
    ("tower_gauge_low", "tower_gauge_reads_low", {}, {"tower": -16.0}),
    ("line_gauge_high", "line_gauge_reads_high", {}, {"line": 18.0}),
    ("line_gauge_low", "line_gauge_reads_low", {}, {"line": -20.0}),
]
START = {"tower": 20.0, "line": 40.0, "cylinder": 40.0}
ERROR = 0.016 * 400.0


def changed(case, changes):
    case = copy.deepcopy(case)
    case["tower"]["p0_barg"] = START["tower"]
    case["line"]["p0_barg"] = START["line"]
    case["cylinders"][0]["p0_barg"] = START["cylinder"]
    # the hose, once undone, stays open
    case["operator"]["bleed_duration_s"] = 4000.0
    case["run"].update(t_end_s=3600.0, sample_every_s=5.0, rtol=1e-6)
    for path, value in changes.items():
        part, key = path.split(".")
        case[part][key] = value
    return case


def read(result, off, dice):
    stopped = next((e["t_s"] for e in result["events"] if e["kind"] == "compressor_off"), None)
    stop = stopped if stopped is not None else 1500.0
    moments = [(30, "tower"), (60, "tower"), (100, "tower"), (0.35 * stop, "tower"),
               (0.6 * stop, "line"), (0.95 * stop, "tower"), (0.95 * stop + 10, "line")]
    last = (stop + 900.0, "tower") if stopped is not None else (0.7 * stop, "tower")
    moments = sorted(moments + [last])
    same = {gauge: dice.gauss(0, ERROR / 6) for gauge in ("tower", "line")}
    clock = dice.gauss(0, 4)
    rows = []
    for t, gauge in moments:
        seen = max(0.0, t + dice.gauss(0, 3))
        sample = min(result["samples"], key=lambda s: abs(s["t_s"] - seen))
        true = sample["tower_barg"] if gauge == "tower" else sample["line_barg"]
        shown = true + off.get(gauge, 0.0) + same[gauge] + dice.gauss(0, ERROR / 2.5)
        said = max(0.0, t + clock)
        rows.append((f"{int(said // 60)}:{int(said % 60):02d}", gauge, f"{2 * round(max(0.0, shown) / 2)} bar"))
    return rows


def main():
    seed = int(sys.argv[1]) if len(sys.argv) > 1 else 1
    case = json.loads(CASE.read_text())
    OUT.mkdir(parents=True, exist_ok=True)
    for number, (name, cause, changes, off) in enumerate(FAULTS):
        result = station_model.simulate(changed(case, changes), "Radau", 1e-6)
        rows = read(result, off, random.Random(1000 * seed + number))
        text = f"# {cause}\ntime,gauge,reading,observed\n"
        text += "".join(f"{t},{gauge},{value},\n" for t, gauge, value in rows)
        (OUT / f"{name}.csv").write_text(text)
        print(name, [e["kind"] + f" {e['t_s']:.0f}" for e in result["events"]][:6], rows)


if __name__ == "__main__":
    main()
