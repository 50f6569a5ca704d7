#!/usr/bin/env python3
"""Independent reference in Python: scipy Radau + CoolProp, for a small high-pressure
breathing-air station.

Written only from the physical description; no code and no numbers are shared with
the Rust engine.  Properties: CoolProp HEOS "Air" (pseudo-pure, real gas; Lemmon et
al., J. Phys. Chem. Ref. Data 29 (2000) 331).  Integrator: scipy solve_ivp (Radau by
default), one call per discrete mode, terminal events located by Brent on the dense
output.  Needs numpy, scipy and CoolProp.

    station_model.py case.json [--method LSODA] [--rtol 1e-8] [--out result.json]

Its results stand beside the cases in crates/physics/tests/data/independent-model.

MODEL  (SI, absolute pressure inside; bar gauge and deg C only at the edge)

  compressor --> TOWER (m,U) --PMV+check--> LINE (m,U) <--orifice--> CYLINDERS (m,U,Tw)
                  |  |  |                     |
              relief disc leak              bleed            (all four to atmosphere)

  control volume    dm/dt = sum mdot ;  dU/dt = sum mdot*h_upstream + Q
                    T from u(rho,T)=U/m (Newton on the EOS), p=p(rho,T)
  compressor        mdot = rho(p_amb,T_amb) * FAD * eta(p_tower) ; arrives with
                    h(p_tower, T_amb + approach);
                    eta = eta_low + (eta_full-eta_low)*min(1, p_g/p_full_g)
  orifice           mdot = CdA*sqrt(p1*rho1)*psi(r)*lam,  r = p2/p1, k = 1.4 fixed,
                    real-gas rho1; r <= r_c: choked;
                    psi = sqrt(2k/(k-1)*(r^(2/k)-r^((k+1)/k)));
                    lam = (dp/(dp+dp_lin))^1.5, dp = p1-p2, dp_lin = 10 kPa: flow ~ dp^2
                    as dp -> 0+, so the check valve is C1 at dp = 0.  (With a kink there
                    a run that rests on the check valve costs 10^6 steps: measured.)
  PMV               closed->open at p_tower >= open ; open->closed at p_tower <= close;
                    never passes reverse flow (check valve)
  relief            closed->open at set, open->closed at reseat (hysteretic pop valve)
  burst disc        opens once at p_burst, stays open
  cylinder          gas -hA_in- lumped wall (C, Tw) -hA_out- ambient
  tower             gas -UA- ambient; or, if "wall" is given, gas -hA_in- wall -UA- ambient
  operator          compressor on at start_s; off when cylinder 0 reaches target_barg or at
                    stop_at_s; at the stop the cylinder valves may be shut; bleed opens
                    bleed_open_after_s later for bleed_duration_s
  "disconnected": true on a cylinder keeps its valve shut for the whole run.

After a burst the run ends at run.stop_after_burst_barg (default 50): an unheated
blow-down to 1 bar would cross the two-phase dome, where this model says nothing.
"""
import argparse, json, math, sys, time
import numpy as np
from scipy.integrate import solve_ivp
from CoolProp import AbstractState
import CoolProp as CP

BAR, KELVIN, MM2, LITRE = 1e5, 273.15, 1e-6, 1e-3
K_GAS = 1.4
R_CRIT = (2 / (K_GAS + 1)) ** (K_GAS / (K_GAS - 1))
DP_LIN = 1e4
T_FLOOR = 120.0                       # K; below this the gas model is not meant to be used


class Gas:
    """One EOS handle per control volume, so that T is warm-started."""

    def __init__(self):
        self.a = AbstractState("HEOS", "Air")
        self.T = 293.15

    def from_pT(self, p, T):
        self.a.update(CP.PT_INPUTS, p, T)
        return self.a.rhomass(), self.a.umass(), self.a.hmass()

    def from_rho_u(self, rho, u):
        """-> p, T, h.  Newton on T at constant rho (u is monotone in T: cv > 0)."""
        a, T = self.a, self.T
        for _ in range(60):
            a.update(CP.DmassT_INPUTS, rho, T)
            dT = (u - a.umass()) / a.cvmass()
            T = min(max(T + dT, 0.5 * T), 2.0 * T)
            if T < 65.0:
                raise FloatingPointError("temperature below EOS range")
            if abs(dT) < 1e-12 * T:
                break
        else:
            raise FloatingPointError("u(rho,T) inversion did not converge")
        a.update(CP.DmassT_INPUTS, rho, T)
        self.T = T
        return a.p(), T, a.hmass()


def orifice(cda, p1, rho1, p2):
    """Forward-only flow, kg/s."""
    dp = p1 - p2
    if dp <= 0.0 or cda <= 0.0:
        return 0.0
    r = max(p2 / p1, R_CRIT)
    psi = math.sqrt(2 * K_GAS / (K_GAS - 1) * (r ** (2 / K_GAS) - r ** ((K_GAS + 1) / K_GAS)))
    return cda * math.sqrt(p1 * rho1) * psi * (dp / (dp + DP_LIN)) ** 1.5


class Station:
    def __init__(self, c):
        self.c = c
        amb = c["ambient"]
        self.Ta, self.pa = amb["T_C"] + KELVIN, amb["p_bar"] * BAR
        self.ncyl = len(c["cylinders"])
        self.gas = [Gas() for _ in range(2 + self.ncyl)]
        self.gin = Gas()
        self.rho_ref, _, _ = self.gin.from_pT(self.pa, self.Ta)
        self.h_amb = self.gin.from_pT(self.pa, self.Ta)[2]
        self.V = [c["tower"]["V_L"] * LITRE, c["line"]["V_L"] * LITRE] + \
                 [k["V_L"] * LITRE for k in c["cylinders"]]
        self.wall = c["tower"].get("wall")
        # state: [mt Ut Twt | ml Ul | (m U Tw)*ncyl | Min Hin Mout Hout Q Mrelief]
        self.nphys = 5 + 3 * self.ncyl
        self.n = self.nphys + 6
        self.mode = dict(comp=False, pmv=False, relief=False, burst=False, bleed=False,
                         valves=[not k.get("disconnected", False) for k in c["cylinders"]])

    def abs_p(self, barg):
        return barg * BAR + self.pa

    def barg(self, p):
        return (p - self.pa) / BAR

    def initial(self):
        y = np.zeros(self.n)
        blocks = [self.c["tower"], self.c["line"]] + self.c["cylinders"]
        idx = [0, 3] + [5 + 3 * i for i in range(self.ncyl)]
        for b, i, V, g in zip(blocks, idx, self.V, self.gas):
            rho, u, _ = g.from_pT(self.abs_p(b["p0_barg"]), b["T0_C"] + KELVIN)
            g.T = b["T0_C"] + KELVIN
            y[i], y[i + 1] = rho * V, rho * V * u
        y[2] = self.c["tower"]["T0_C"] + KELVIN
        for i, k in enumerate(self.c["cylinders"]):
            y[7 + 3 * i] = k["T0_C"] + KELVIN
        return y

    def thermo(self, y):
        """[(p,T,h,rho)] for tower, line, cylinders."""
        out = []
        for j, V in enumerate(self.V):
            i = 0 if j == 0 else 3 if j == 1 else 5 + 3 * (j - 2)
            rho = y[i] / V
            p, T, h = self.gas[j].from_rho_u(rho, y[i + 1] / y[i])
            out.append((p, T, h, rho))
        return out

    def p_tower(self, y):
        return self.gas[0].from_rho_u(y[0] / self.V[0], y[1] / y[0])[0]

    def p_cyl0(self, y):
        return self.gas[2].from_rho_u(y[5] / self.V[2], y[6] / y[5])[0]

    def rhs(self, t, y):
        c, m = self.c, self.mode
        try:
            th = self.thermo(y)
        except (ValueError, FloatingPointError, ZeroDivisionError):
            return np.full(self.n, np.nan)      # trial state outside the EOS: makes Radau cut its step
        (pt, Tt, ht, rt), (pl, Tl, hl, rl) = th[0], th[1]
        d = np.zeros(self.n)
        # compressor
        q = qh = 0.0
        if m["comp"]:
            k = c["compressor"]
            frac = min(1.0, max(0.0, self.barg(pt) / k["p_full_barg"]))
            eta = k["eta_low"] + (k["eta_full"] - k["eta_low"]) * frac
            q = self.rho_ref * k["fad_L_min"] / 60000.0 * eta
            qh = q * self.gin.from_pT(pt, self.Ta + k["approach_K"])[2]
        pmv = orifice(c["pmv"]["CdA_mm2"] * MM2, pt, rt, pl) if m["pmv"] else 0.0
        rel = orifice(c["relief"]["CdA_mm2"] * MM2, pt, rt, self.pa) if m["relief"] else 0.0
        brs = orifice(c["burst"]["CdA_mm2"] * MM2, pt, rt, self.pa) if m["burst"] else 0.0
        leak = orifice(c["tower"].get("leak_CdA_mm2", 0.0) * MM2, pt, rt, self.pa)
        bld = orifice(c["line"].get("bleed_CdA_mm2", 1.0) * MM2, pl, rl, self.pa) if m["bleed"] else 0.0
        vent_t = rel + brs + leak
        # tower
        UA = c["tower"]["UA_W_K"]
        if self.wall:
            qw = self.wall["hA_in_W_K"] * (y[2] - Tt)
            qamb_t = UA * (self.Ta - y[2])
            d[2] = (qamb_t - qw) / self.wall["C_J_K"]
        else:
            qw = qamb_t = UA * (self.Ta - Tt)
        d[0] = q - pmv - vent_t
        d[1] = qh - (pmv + vent_t) * ht + qw
        # line
        ql = c["line"].get("UA_W_K", 0.0) * (self.Ta - Tl)
        dml, dUl = pmv - bld, pmv * ht - bld * hl + ql
        qamb = qamb_t + ql
        # cylinders
        for i, k in enumerate(c["cylinders"]):
            pc, Tc, hc, rc = th[2 + i]
            j = 5 + 3 * i
            f = fh = 0.0
            if m["valves"][i]:
                cda = k["fill_CdA_mm2"] * MM2
                if pl >= pc:
                    f = orifice(cda, pl, rl, pc); fh = f * hl
                else:
                    f = -orifice(cda, pc, rc, pl); fh = f * hc
            qin = k["hA_in_W_K"] * (y[j + 2] - Tc)
            qout = k["hA_out_W_K"] * (self.Ta - y[j + 2])
            d[j], d[j + 1] = f, fh + qin
            d[j + 2] = (qout - qin) / k["wall_C_J_K"]
            dml -= f; dUl -= fh
            qamb += qout
        d[3], d[4] = dml, dUl
        d[self.nphys:] = (q, qh, vent_t + bld, vent_t * ht + bld * hl, qamb, rel)
        return d

    def jac(self, t, y):
        """Forward differences over physical states only (accumulators feed nothing back)."""
        J = np.zeros((self.n, self.n))
        f0 = self.rhs(t, y)
        for i in range(self.nphys):
            scale = abs(y[i])
            if i in (1, 4) or (i >= 5 and (i - 5) % 3 == 1):       # U: scale by m*cv*T
                scale = max(scale, 2e5 * abs(y[i - 1]))
            h = 1e-7 * max(scale, 1e-9)
            z = y.copy(); z[i] += h
            J[:, i] = (self.rhs(t, z) - f0) / (z[i] - y[i])
        return J

    def totals(self, y):
        m = y[0] + y[3] + sum(y[5 + 3 * i] for i in range(self.ncyl))
        U = y[1] + y[4] + sum(y[6 + 3 * i] for i in range(self.ncyl))
        U += sum(k["wall_C_J_K"] * y[7 + 3 * i] for i, k in enumerate(self.c["cylinders"]))
        if self.wall:
            U += self.wall["C_J_K"] * y[2]
        return m, U


def simulate(c, method="Radau", rtol=1e-8):
    s = Station(c)
    y = s.initial()
    m0, U0 = s.totals(y)
    op, run, mode = c["operator"], c["run"], s.mode
    t, t_end = 0.0, run["t_end_s"]
    P = {k: s.abs_p(v) for k, v in dict(
        open=c["pmv"]["open_barg"], close=c["pmv"]["close_barg"], set=c["relief"]["set_barg"],
        reseat=c["relief"]["reseat_barg"], burst=c["burst"]["p_barg"]).items()}
    target = op.get("target_barg")
    stuck = c["relief"].get("stuck_shut", False)
    timed = [(op.get("start_s", 0.0), "compressor_on")]
    if op.get("stop_at_s") is not None:
        timed.append((op["stop_at_s"], "compressor_off"))
    samples, events, stats = [], [], dict(steps=0, nfev=0, segments=0)
    every = run["sample_every_s"]
    sample_t = list(np.arange(0.0, t_end + 1e-9, every)) if every else [0.0, t_end]
    extra = run.get("extra_samples_s", [])
    sample_t = sorted(set(map(float, sample_t)) | set(map(float, extra)))
    burst_stop = s.abs_p(run.get("stop_after_burst_barg", 50.0))

    def snap(tt, yy):
        th = s.thermo(yy)
        return {"t_s": float(tt), "tower_barg": s.barg(th[0][0]), "tower_C": th[0][1] - KELVIN,
                "line_barg": s.barg(th[1][0]), "line_C": th[1][1] - KELVIN,
                "cyl_barg": [s.barg(x[0]) for x in th[2:]],
                "cyl_C": [x[1] - KELVIN for x in th[2:]],
                "wall_C": [yy[7 + 3 * i] - KELVIN for i in range(s.ncyl)]}

    def log(kind, tt, yy):
        e = snap(tt, yy); e["kind"] = kind
        events.append(e)

    def apply(kind, tt):
        if kind == "compressor_on": mode["comp"] = True
        elif kind == "compressor_off":
            mode["comp"] = False
            if op.get("close_valves_on_stop", True):
                mode["valves"] = [False] * s.ncyl
            if op.get("bleed_open_after_s") is not None:
                timed.append((tt + op["bleed_open_after_s"], "bleed_open"))
                timed.append((tt + op["bleed_open_after_s"] + op["bleed_duration_s"], "bleed_close"))
        elif kind == "bleed_open": mode["bleed"] = True
        elif kind == "bleed_close": mode["bleed"] = False
        elif kind == "pmv_open": mode["pmv"] = True
        elif kind == "pmv_close": mode["pmv"] = False
        elif kind == "relief_open": mode["relief"] = True
        elif kind == "relief_reseat": mode["relief"] = False
        elif kind == "burst": mode["burst"] = True

    def guards():
        """(kind, function -> fires when rising through 0). Pressures in bar: well scaled."""
        g = []
        if mode["pmv"]: g.append(("pmv_close", lambda tt, yy: (P["close"] - s.p_tower(yy)) / BAR))
        else:           g.append(("pmv_open", lambda tt, yy: (s.p_tower(yy) - P["open"]) / BAR))
        if not stuck:
            if mode["relief"]: g.append(("relief_reseat", lambda tt, yy: (P["reseat"] - s.p_tower(yy)) / BAR))
            else:              g.append(("relief_open", lambda tt, yy: (s.p_tower(yy) - P["set"]) / BAR))
        if not mode["burst"]: g.append(("burst", lambda tt, yy: (s.p_tower(yy) - P["burst"]) / BAR))
        else: g.append(("stop_after_burst", lambda tt, yy: (burst_stop - s.p_tower(yy)) / BAR))
        if mode["comp"] and target is not None:
            g.append(("target_reached", lambda tt, yy: (s.p_cyl0(yy) - s.abs_p(target)) / BAR))
        return g

    atol = np.full(s.n, 1e-9)                       # kg
    for i in [1, 4] + [6 + 3 * j for j in range(s.ncyl)] + [s.nphys + 1, s.nphys + 3, s.nphys + 4]:
        atol[i] = 1e-3                              # J
    atol[2] = 1e-7
    for j in range(s.ncyl): atol[7 + 3 * j] = 1e-7  # K
    atol *= rtol / 1e-8
    stop, si = False, 0
    wall0 = time.perf_counter()
    while t < t_end and not stop:
        # 1. actions due now, and guards already satisfied (also covers initialisation)
        for _ in range(50):
            due = sorted(x for x in timed if x[0] <= t + 1e-12)
            if due:
                timed.remove(due[0]); apply(due[0][1], t); log(due[0][1], t, y); continue
            hot = next((k for k, g in guards() if g(t, y) > 1e-9), None)
            if hot is None: break
            if hot == "stop_after_burst": stop = True; break
            kind = "compressor_off" if hot == "target_reached" else hot
            if kind == "compressor_off": log("target_reached", t, y)
            apply(kind, t); log(kind, t, y)
        else:
            raise RuntimeError("mode switching does not settle at t=%g" % t)
        if stop: break
        # 2. integrate to the next timed action or the first guard
        t_next = min([t_end] + [x[0] for x in timed if x[0] > t])
        gs = guards()
        evs = []
        for kind, g in gs:
            def e(tt, yy, g=g): return g(tt, yy)
            e.terminal, e.direction = True, 1
            evs.append(e)
        active = mode["comp"] or mode["bleed"] or mode["relief"] or mode["burst"]
        kw = dict(max_step=run.get("max_step_active_s", 20.0)) if active else {}
        if method == "Radau" or method == "BDF": kw["jac"] = s.jac
        sol = solve_ivp(s.rhs, (t, t_next), y, method=method, rtol=rtol, atol=atol,
                        dense_output=True, events=evs, first_step=min(1e-4, 0.5 * (t_next - t)), **kw)
        if sol.status < 0: raise RuntimeError(sol.message)
        stats["steps"] += len(sol.t) - 1; stats["nfev"] += sol.nfev; stats["segments"] += 1
        t1 = float(sol.t[-1])
        while si < len(sample_t) and sample_t[si] <= t1 + 1e-9:
            samples.append(snap(sample_t[si], sol.sol(min(sample_t[si], t1)))); si += 1
        t, y = t1, sol.y[:, -1].copy()
        if sol.status == 1:
            k = min((i for i in range(len(evs)) if len(sol.t_events[i])), key=lambda i: sol.t_events[i][0])
            kind = gs[k][0]
            if kind == "stop_after_burst": log(kind, t, y); break
            if kind == "target_reached":
                log(kind, t, y); kind = "compressor_off"
            apply(kind, t); log(kind, t, y)
    # balances
    m1, U1 = s.totals(y)
    a = y[s.nphys:]
    settled = []
    g = Gas()
    for i, V in enumerate(s.V[2:]):
        g.a.update(CP.DmassT_INPUTS, y[5 + 3 * i] / V, s.Ta)
        settled.append(s.barg(g.a.p()))
    seen, counts = {}, {}
    for e in events: counts[e["kind"]] = counts.get(e["kind"], 0) + 1
    return {
        "case": c.get("name"), "method": method, "rtol": rtol,
        "events": events, "event_counts": counts, "samples": samples, "final": snap(t, y),
        "balance": {
            "mass_residual_kg": m1 - m0 - a[0] + a[2],
            "mass_residual_rel": (m1 - m0 - a[0] + a[2]) / max(m1, m0),
            "energy_residual_J": U1 - U0 - a[1] + a[3] - a[4],
            "energy_residual_rel": (U1 - U0 - a[1] + a[3] - a[4]) / max(abs(a[1]), abs(U1 - U0), 1.0),
            "mass_delivered_kg": a[0], "mass_vented_kg": a[2], "mass_relieved_kg": a[5],
            "heat_from_ambient_J": a[4]},
        "cylinder_settled_barg_at_T_amb": settled,
        "cylinder_mass_kg": [y[5 + 3 * i] for i in range(s.ncyl)],
        "stats": dict(stats, wall_s=time.perf_counter() - wall0),
    }


def main():
    ap = argparse.ArgumentParser()
    ap.add_argument("case"); ap.add_argument("--method", default="Radau")
    ap.add_argument("--rtol", type=float, default=None); ap.add_argument("--out")
    ap.add_argument("--summary", action="store_true", help="events and totals only, no samples")
    a = ap.parse_args()
    c = json.load(open(a.case))
    r = simulate(c, a.method, a.rtol or c["run"].get("rtol", 1e-8))
    if a.summary:
        r["samples"] = []
    txt = json.dumps(r, indent=1)
    if a.out: open(a.out, "w").write(txt + "\n")
    else: print(txt)


if __name__ == "__main__":
    main()
