#!/usr/bin/env python3
"""Side by side, in one session: this engine and the independent model in Python.

Prints three tables (Markdown): whole runs at the same tolerance, the Python side's other
integrators, and one gas state from density and energy.  Run it by `./bench`, or alone:

    benches/against_python.py [--quick]

Times are the least of several runs, on one thread, without starting up, reading the case,
compiling or making the gas table: of the processor for Python, by the clock for the engine
(whose runs are too short to be interrupted often), so that a busy machine favours neither.
Both sides give the same events and samples and use the same equation for air.  "Same tolerance": the engine's relative tolerance is the model's rtol (its atol goes with it: 0.1 kg,
1e5 J and 10 K times rtol), and both may take steps of up to 60 s while something runs, which
is the engine's limit; the model's own, 20 s, would cost it more.
"""
import json
import os
import subprocess
import sys
import time
from pathlib import Path

os.environ["OMP_NUM_THREADS"] = "1"
ROOT = Path(__file__).resolve().parent.parent
CASES = ROOT / "crates/physics/tests/data/independent-model"
sys.path.insert(0, str(ROOT / "benches/independent_model"))

import CoolProp
import numpy
import scipy
import station_model

QUICK = "--quick" in sys.argv
TOLERANCES = [1e-5] if QUICK else [1e-4, 3e-5, 1e-5, 1e-6, 1e-8]
NAMES = ["s1_normal_fill", "s3_forgotten_operator"]
LONGEST_STEP_S = 60.0
TIGHT = 1e-8 if QUICK else 1e-10


def engine(tolerance):
    """{case: result} of the Rust side."""
    paths = [str(CASES / f"{name}.json") for name in NAMES]
    command = ["cargo", "bench", "--quiet", "-p", "physics", "--bench", "side_by_side", "--"]
    done = subprocess.run(command + [str(tolerance)] + paths, cwd=ROOT, stdout=subprocess.PIPE, check=True)
    results = map(json.loads, done.stdout.decode().splitlines())
    return {result["case"]: result for result in results}


def model(name, tolerance, method="Radau", runs=3):
    """The Python side's result, with the least time of `runs`."""
    case = json.loads((CASES / f"{name}.json").read_text())
    case["run"]["max_step_active_s"] = LONGEST_STEP_S
    least = float("inf")
    for _ in range(runs):
        started = time.process_time()
        result = station_model.simulate(case, method, tolerance)
        least = min(least, time.process_time() - started)
    result["seconds"] = {"least": least}
    return result


def events(result):
    return [(e["kind"], e["t_s"]) for e in result["events"] if e["kind"] != "valve_holding"]


def apart(one, other):
    """Largest difference in event times: (s, share of the time), or None where the order differs."""
    one, other = events(one), events(other)
    if [kind for kind, _ in one] != [kind for kind, _ in other]:
        return None
    gaps = [(abs(a - b), abs(a - b) / max(b, 1.0)) for (_, a), (_, b) in zip(one, other)]
    return max(gap for gap, _ in gaps), max(share for _, share in gaps)


def seconds(gap):
    return "other events" if gap is None else f"{gap[0]:.1e} s"


def runs():
    tight_ours = engine(TIGHT)
    tight_theirs = {name: model(name, TIGHT, runs=1) for name in NAMES}
    print("| case | tolerance | engine, ms | Python, ms | ratio | steps: engine; Python "
          "| own event error: engine; Python | event times apart |")
    print("|---|---|---|---|---|---|---|---|")
    for tolerance in TOLERANCES:
        all_ours = engine(tolerance)
        for name in NAMES:
            ours, theirs = all_ours[name], model(name, tolerance, runs=1 if QUICK else 3)
            ms = [1e3 * side["seconds"]["least"] for side in (ours, theirs)]
            gap = apart(ours, theirs)
            between = "other events" if gap is None else f"{gap[0]:.1e} s, {100 * gap[1]:.4f} %"
            print(f"| {name} | {tolerance:.0e} | {ms[0]:.2f} | {ms[1]:.0f} | {ms[1] / ms[0]:.0f} "
                  f"| {ours['stats']['steps']}; {theirs['stats']['steps']} "
                  f"| {seconds(apart(ours, tight_ours[name]))}; "
                  f"{seconds(apart(theirs, tight_theirs[name]))} | {between} |", flush=True)


def other_methods():
    print("| case | tolerance | Python integrator | ms | own event error |")
    print("|---|---|---|---|---|")
    name = NAMES[0]
    tight = model(name, TIGHT, runs=1)
    for tolerance in [1e-5] if QUICK else [1e-4, 1e-5, 1e-6]:
        for method in ["Radau", "BDF", "LSODA"]:
            try:
                result = model(name, tolerance, method, 1 if QUICK else 3)
            except (RuntimeError, ValueError) as error:
                print(f"| {name} | {tolerance:.0e} | {method} | failed: {error} | |")
                continue
            print(f"| {name} | {tolerance:.0e} | {method} | {1e3 * result['seconds']['least']:.0f} "
                  f"| {seconds(apart(result, tight))} |", flush=True)


def gas_states():
    """CoolProp's air at 1024 states over 200 to 450 K and 1 to 450 bar, as in benches/gas.rs."""
    gas = CoolProp.AbstractState("HEOS", "Air")
    states = []
    for i in range(1024):
        p, t = 1e5 + 449e5 * (i * 0.754877 % 1), 200 + 250 * (i * 0.56984 % 1)
        gas.update(CoolProp.PT_INPUTS, p, t)
        states.append((gas.rhomass(), gas.umass(), t))
    newton = station_model.Gas()

    def by_newton(rho, u, t):
        newton.T = t + 1.0
        newton.from_rho_u(rho, u)

    update = gas.update
    calls = {
        "(nothing: the loop and one trivial call)": lambda rho, u, t: gas.rhomass(),
        "update(DmassUmass_INPUTS)": lambda rho, u, t: update(CoolProp.DmassUmass_INPUTS, rho, u),
        "the model's Newton on DmassT_INPUTS, begun 1 K away": by_newton,
        "update(DmassT_INPUTS)": lambda rho, u, t: update(CoolProp.DmassT_INPUTS, rho, t),
    }
    print("| CoolProp, from Python | us a call | less loop and call |")
    print("|---|---|---|")
    nothing = None
    for what, call in calls.items():
        least = float("inf")
        for _ in range(3 if QUICK else 7):
            started = time.process_time()
            for rho, u, t in states:
                call(rho, u, t)
            least = min(least, (time.process_time() - started) / len(states) * 1e6)
        nothing = least if nothing is None else nothing
        print(f"| {what} | {least:.2f} | {least - nothing:.2f} |", flush=True)


def main():
    print(f"Python {sys.version.split()[0]}, numpy {numpy.__version__}, scipy {scipy.__version__}, "
          f"CoolProp {CoolProp.__version__}\n")
    runs()
    print()
    other_methods()
    print()
    gas_states()


if __name__ == "__main__":
    main()
