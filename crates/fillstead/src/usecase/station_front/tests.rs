//! Parts of findings lead to where they are written down.

use super::*;

#[test]
fn every_part_has_its_form() {
    for (balloon, name) in [
        (Some(1), "intake"),
        (Some(2), "stage 1"),
        (Some(4), "last stage"),
        (Some(5), "separator"),
        (Some(6), "tower"),
        (Some(6), "cartridge"),
        (Some(7), "PMV"),
        (Some(8), "relief valve"),
        (Some(9), "burst disc"),
        (Some(11), "fill hose"),
        (Some(12), "steel 12"),
        (None, "bank B1"),
        (None, "gauge panel"),
    ] {
        let table = table_of(balloon, name);
        assert!(
            station::form::table_named(table).is_some(),
            "{name}: {table}"
        );
    }
    assert_eq!(table_of(Some(6), "cartridge"), "purifier");
}
