"""An independent integration of the drying bed, for breakthrough.csv.

The loadings are advanced by scipy's adaptive Runge-Kutta (explicit, order 5);
at every evaluation the quasi-steady gas is found cell by cell with scipy's
brentq. No code, step control or approximation of time is shared with the Rust
column. Cells are halved once for an extrapolation. Per cell of mass m:

    G (Yin - Y) = m k (q*(Y) - q)        dq/dt = k (q*(Y) - q)

q* by the Toth equation with the 13X parameters of Wang & LeVan (2009), as
they print it. Run: python3 breakthrough.py > breakthrough.csv
"""

from math import exp, log

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

R = 8.314462618
T, P, F = 313.15, 301.013e5, 2.0821
# 100 L/min at 25 degC, 60 % relative humidity (1.901 kPa of vapour), dry part.
G = (101325.0 - 1901.0) * 0.1 / 60.0 / (R * 298.15)
Y_FEED = F * 7384.9 / P
RATIO = Y_FEED / (1.0 - Y_FEED)
MASS = 0.2
A = 3.634e-6 * exp(6852.0 / T)
B = 2.408e-7 * exp(6852.0 / T)
TOTH = 0.3974 - 4.199 / T


def toth(ratio):
    p_kpa = ratio / (1.0 + ratio) * P / F * 1e-3
    return A * p_kpa / (1.0 + (B * p_kpa) ** TOTH) ** (1.0 / TOTH)


def leaving(inlet, q, mk):
    """Y of a cell: root of the gas balance in log Y; below 1e-30 taken as none."""

    def excess(log_y):
        y = exp(log_y)
        return G * (inlet - y) - mk * (toth(y) - q)

    low, high = log(1e-30), log(inlet + mk * q / G + 1e-29)
    return exp(brentq(excess, low, high, xtol=1e-12)) if excess(low) > 0.0 else 0.0


def gas(q, mk):
    out, inlet = np.empty_like(q), RATIO
    for i, held in enumerate(q):
        inlet = leaving(inlet, held, mk) if inlet > 0.0 or held > 0.0 else 0.0
        out[i] = inlet
    return out


def run(cells, k, hours):
    m = MASS / cells

    def rhs(_, q):
        y = gas(np.maximum(q, 0.0), m * k)
        inlet = np.concatenate(([RATIO], y[:-1]))
        return G * (inlet - y) / m

    times = np.asarray(hours) * 3600.0
    solved = solve_ivp(rhs, (0.0, times[-1]), np.zeros(cells), t_eval=times,
                       rtol=1e-5, atol=1e-5, max_step=0.5 / k)
    assert solved.success, solved.message
    states = [np.maximum(q, 0.0) for q in solved.y.T]
    share = np.array([gas(q, m * k)[-1] / RATIO for q in states])
    return share, np.array([q.mean() * MASS for q in states])


def main():
    print("# outlet/inlet (mole ratio) and water held, mol; 200 g of 13X, 40 degC, 301.013 bar a,")
    print("# f 2.0821, saturated, 100 L/min at 25 degC, 60 %: made by breakthrough.py")
    print("k_per_s,hours,share,held_mol")
    for k in (2e-5, 5e-5, 1e-4):
        hours = [2, 4, 8, 12, 14, 16, 18, 20, 22, 24, 28, 32, 40]
        (coarse, held), (fine, more) = run(150, k, hours), run(300, k, hours)
        for i, h in enumerate(hours):
            share, water = max(2.0 * fine[i] - coarse[i], 0.0), 2.0 * more[i] - held[i]
            print(f"{k},{h},{share:.6f},{water:.6f}", flush=True)


if __name__ == "__main__":
    main()
