//! The port against another coding of the same equation.

use crate::data::{Table, Worst};
use physics::gas::{Composition, Gas};

const FRACTIONS: [&str; 5] = ["x_n2", "x_o2", "x_ar", "x_he", "x_co2"];

/// `tests/data/gerg2008_port.csv`: crate aga8 0.6.1, made from the public-domain
/// NIST code for AGA Report 8 part 2 (GERG-2008).
#[test]
fn equals_the_nist_code_for_gerg_2008() {
    let table = Table::read(include_str!("../data/gerg2008_port.csv"));
    let mut worst =
        ["p", "z", "dp_drho", "dp_dt", "cv", "cp", "w"].map(|what| Worst::new(what, 1e-9));
    let mut differences = ["u", "h", "s"].map(|what| Worst::new(what, 1e-9));
    let mut first = None;
    for row in table.rows() {
        let x = FRACTIONS.map(|name| row.get(name));
        let gas = Gas::mixture(Composition::new(x).unwrap());
        let m = gas.molar_mass();
        let (t, d) = (row.get("T_K"), row.get("d_mol_l"));
        let state = gas.state_rho_t(d * 1e3 * m, t).unwrap();
        let mix = row.text("mix");
        let place = || format!("{mix} {t} K {d} mol/l");
        let pairs = [
            (state.p_pa, row.get("p_kPa") * 1e3),
            (state.z, row.get("z")),
            (state.dp_drho_t, row.get("dp_dd") / m),
            (state.dp_dt_rho, row.get("dp_dt") * 1e3),
            (state.cv, row.get("cv") / m),
            (state.cp, row.get("cp") / m),
            (state.w, row.get("w_m_s")),
        ];
        for (worst, (got, want)) in worst.iter_mut().zip(pairs) {
            worst.see(got, want, want, place);
        }
        // Energies have their own zero in each code: compare against the first
        // state of the same mixture, on the scale of R·T (entropies, of R).
        let mine = [state.u, state.h, state.s].map(|v| v * m);
        let theirs = ["u", "h", "s"].map(|name| row.get(name));
        let (mix_0, mine_0, theirs_0) = *first.get_or_insert((mix, mine, theirs));
        if mix != mix_0 {
            first = Some((mix, mine, theirs));
            continue;
        }
        for k in 0..3 {
            let scale = 8.314 * if k == 2 { 1.0 } else { t };
            differences[k].see(mine[k] - mine_0[k], theirs[k] - theirs_0[k], scale, place);
        }
    }
    worst.iter().chain(&differences).for_each(Worst::check);
}
