//! The work a run takes. A recorded figure shows that work changed, not that the answer is
//! right: where it changed on purpose, `cargo xtask bless` records the new one.

use insight::forecast::request::Request;
use insight::forecast::run_once;

/// Filling the boathouse's first cylinder, from start to last bleed and rest.
#[test]
fn one_run_at_the_boathouse() {
    let file = include_str!("../../../stations/boathouse.toml");
    let station = station::read(file).station.expect("the file is sound");
    let effort = run_once(&station, &Request::default()).expect("it can be run");
    insta::assert_snapshot!(
        "one_run_at_the_boathouse",
        format!(
            "steps {}  rejected {}  evaluations {}",
            effort.steps, effort.rejected, effort.evaluations
        )
    );
}
