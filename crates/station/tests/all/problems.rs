//! Every kind of problem: a file that has it, the kinds found there, and the whole wording.

use crate::common::{BASE, all};
use station::{ProblemId, read};

/// A spoilt file: its name, what is replaced in the base file, what is added, the ids expected.
struct Case(
    &'static str,
    &'static str,
    &'static str,
    &'static str,
    &'static [&'static str],
);

const CASES: &[Case] = &[
    Case("empty", BASE, "", "", &["empty-file"]),
    Case("only_remarks", BASE, "# nothing yet\n", "", &["empty-file"]),
    Case(
        "unquoted",
        "\"232 bar\"\nch",
        "232 bar\nch",
        "[tower]\nwall_mass = 9,5 kg\n",
        &["not-toml", "not-toml"],
    ),
    Case("no_value", "\"100 L/min\"", "", "", &["not-toml"]),
    Case(
        "open_quote",
        "\"100 L/min\"",
        "\"100 L/min",
        "",
        &["not-toml"],
    ),
    Case("open_heading", "[relief]", "[relief", "", &["not-toml"]),
    Case(
        "no_equals",
        "name = \"Test shed\"",
        "name: Test shed",
        "",
        &["not-toml"],
    ),
    Case(
        "table_twice",
        "",
        "",
        "[relief]\nreseats = \"230 bar\"\n",
        &["not-toml"],
    ),
    Case(
        "key_twice",
        "lifts = \"255 bar\"",
        "lifts = \"255 bar\"\nlifts = \"260 bar\"",
        "",
        &["not-toml"],
    ),
    Case(
        "unknown_table",
        "",
        "",
        "[burstdisk]\nbursts = \"300 bar\"\n",
        &["unknown-table"],
    ),
    Case(
        "unknown_key_near",
        "charging_rate",
        "charging-rate",
        "",
        &["unknown-key"],
    ),
    Case(
        "unknown_key_elsewhere",
        "",
        "",
        "[vent]\nopens = \"100 bar\"\n",
        &["unknown-key"],
    ),
    Case(
        "unknown_key_at_the_top",
        "[station]",
        "humidity = \"60 %\"\n[station]",
        "",
        &["unknown-key"],
    ),
    Case(
        "unknown_key_far",
        "",
        "",
        "[vent]\ncolour = \"red\"\n",
        &["unknown-key"],
    ),
    Case(
        "missing_key",
        "",
        "",
        "[pmv]\ncloses = \"70 bar\"\n",
        &["missing"],
    ),
    Case(
        "missing_tables",
        BASE,
        "[intake]\nhumidity = \"50 %\"\n",
        "",
        &["missing", "missing"],
    ),
    Case(
        "missing_delivery",
        "charging_rate = \"100 L/min\"\n",
        "",
        "",
        &["missing"],
    ),
    Case(
        "missing_speed",
        "charging_rate = \"100 L/min\"\n",
        "[[compressor.stage]]\nswept_volume = \"90 mL\"\n",
        "",
        &["missing"],
    ),
    Case(
        "missing_volume",
        "water_volume = \"12 L\"\n",
        "",
        "",
        &["missing"],
    ),
    Case("empty_words", "\"Test shed\"", "\" \"", "", &["missing"]),
    Case(
        "bare_number",
        "",
        "",
        "[separator]\nvolume = 2.2\n",
        &["wrong-type"],
    ),
    Case(
        "bare_number_us",
        "name = \"Test shed\"",
        "name = \"Test shed\"\nunits = \"us\"",
        "[intake]\ntemperature = 75\n",
        &["wrong-type"],
    ),
    Case(
        "not_a_number",
        "",
        "",
        "[whip]\ncount = true\n",
        &["wrong-type"],
    ),
    Case(
        "not_a_list",
        "",
        "",
        "[gauge]\nname = \"g\"\n",
        &["wrong-type"],
    ),
    Case(
        "not_one_table",
        "",
        "",
        "[[vent]]\nbore = \"2 mm\"\n",
        &["wrong-type"],
    ),
    Case(
        "not_an_order",
        "",
        "",
        "[air_path]\norder = \"check\"\n",
        &["wrong-type"],
    ),
    Case(
        "flag_in_quotes",
        "name = \"Test shed\"",
        "name = \"Test shed\"\ninvented = \"yes\"",
        "",
        &["wrong-type"],
    ),
    Case(
        "pressures_not_a_table",
        "",
        "",
        "[now]\ncylinders = \"50 bar\"\n",
        &["wrong-type"],
    ),
    Case(
        "unit_missing",
        "",
        "",
        "[pmv]\nopens = \"100\"\ncloses = \"70 bar\"\n",
        &["unit-missing"],
    ),
    Case(
        "unit_unknown",
        "\"255 bar\"",
        "\"255 bars\"",
        "",
        &["quantity-unreadable"],
    ),
    Case(
        "decimal_comma",
        "",
        "",
        "[separator]\nvolume = \"0,6 L\"\n",
        &["quantity-unreadable"],
    ),
    Case(
        "wrong_kind",
        "\"255 bar\"",
        "\"25 °C\"",
        "",
        &["quantity-unreadable"],
    ),
    Case(
        "absolute",
        "\"255 bar\"",
        "\"256 bar abs\"",
        "",
        &["quantity-unreadable"],
    ),
    Case(
        "placeholder",
        "\"255 bar\"",
        "\"... bar\"",
        "",
        &["quantity-unreadable"],
    ),
    Case(
        "too_much",
        "",
        "",
        "[intake]\nhumidity = \"160 %\"\n",
        &["out-of-range"],
    ),
    Case(
        "too_little",
        "",
        "",
        "[separator]\nvolume = \"0 L\"\n",
        &["out-of-range"],
    ),
    Case(
        "wrong_unit_for_stamp",
        "\"232 bar\"\nch",
        "\"232 kPa\"\nch",
        "",
        &["out-of-range"],
    ),
    Case(
        "number_out_of_range",
        "",
        "",
        "[[gauge]]\nname = \"g\"\nreads = \"line\"\nspan = \"400 bar\"\nclass = 16\n",
        &["out-of-range"],
    ),
    Case(
        "stage_count_out_of_range",
        "charging_rate",
        "stage_count = 9\ncharging_rate",
        "",
        &["out-of-range"],
    ),
    Case(
        "unknown_word_near",
        "",
        "",
        "[tower]\nmaterial = \"aluminum alloy\"\n",
        &["unknown-word"],
    ),
    Case(
        "unknown_word",
        "",
        "",
        "[intake]\nplace = \"boat\"\n",
        &["unknown-word"],
    ),
    Case(
        "unknown_reads",
        "",
        "",
        "[[gauge]]\nname = \"g\"\nreads = \"panel\"\nspan = \"400 bar\"\n",
        &["unknown-word"],
    ),
    Case(
        "unknown_element",
        "",
        "",
        "[air_path]\norder = [\"check\", \"separator\", \"filter\", \"purifier\", \"relief\"]\n",
        &["unknown-word"],
    ),
    Case(
        "not_a_date",
        "",
        "",
        "[purifier]\nchanged = \"14.3.2026\"\n",
        &["not-a-date"],
    ),
    Case(
        "no_such_day",
        "",
        "",
        "[[cylinder]]\nid = \"A\"\nkind = \"twelve\"\ntested = \"2025-02-29\"\n",
        &["not-a-date"],
    ),
    Case(
        "charging_and_fad",
        "charging_rate = \"100 L/min\"",
        "charging_rate = \"100 L/min\"\nfree_air_delivery = \"110 L/min\"",
        "",
        &["said-twice"],
    ),
    Case(
        "altitude_and_pressure",
        "name = \"Test shed\"",
        "name = \"Test shed\"\naltitude = \"300 m\"\nambient_pressure = \"977 mbar\"",
        "",
        &["said-twice"],
    ),
    Case(
        "two_sizes",
        "water_volume = \"12 L\"",
        "water_volume = \"12 L\"\nfree_air = \"2600 L\"",
        "",
        &["said-twice"],
    ),
    Case(
        "duplicate_cylinder",
        "",
        "",
        "[[cylinder]]\nid = \"A\"\nkind = \"twelve\"\n[[cylinder]]\nid = \"A\"\nkind = \"twelve\"\n",
        &["duplicate-id"],
    ),
    Case(
        "unknown_kind",
        "",
        "",
        "[[cylinder]]\nid = \"A\"\nkind = \"twelv\"\n",
        &["unknown-id"],
    ),
    Case(
        "unknown_now",
        "",
        "",
        "[now.cylinders]\nB7 = \"50 bar\"\n",
        &["unknown-id"],
    ),
    Case(
        "adsorbent_near",
        "",
        "",
        "[[purifier.bed]]\nkind = \"drying\"\nadsorbent = \"13-X\"\nmass = \"400 g\"\n",
        &["adsorbent-unknown"],
    ),
    Case(
        "adsorbent",
        "",
        "",
        "[[purifier.bed]]\nkind = \"drying\"\nadsorbent = \"rice\"\nmass = \"400 g\"\n",
        &["adsorbent-unknown"],
    ),
    Case(
        "pmv_closes_above_opens",
        "",
        "",
        "[pmv]\nopens = \"70 bar\"\ncloses = \"100 bar\"\n",
        &["pmv-closes-above-opens"],
    ),
    Case(
        "pmv_above_working",
        "",
        "",
        "[pmv]\nopens = \"240 bar\"\ncloses = \"100 bar\"\n",
        &["pmv-above-working"],
    ),
    Case(
        "relief_reseats_above_lifts",
        "lifts = \"255 bar\"",
        "lifts = \"255 bar\"\nreseats = \"3700 psi\"",
        "",
        &["relief-reseats-above-lifts"],
    ),
    Case(
        "relief_below_working",
        "\"255 bar\"",
        "\"225 bar\"",
        "",
        &["relief-below-working"],
    ),
    Case(
        "disc_below_relief",
        "",
        "",
        "[burst_disc]\nbursts = \"268 bar\"\n",
        &["disc-below-relief"],
    ),
    Case(
        "relief_missing",
        "[relief]\nlifts = \"255 bar\"\n",
        "",
        "",
        &["relief-missing"],
    ),
    Case(
        "tower_rating",
        "",
        "",
        "[tower]\nrated_pressure = \"250 bar\"\n[burst_disc]\nbursts = \"4350 psi\"\n",
        &["relief-above-tower", "disc-above-tower"],
    ),
    Case(
        "whip_below_working",
        "",
        "",
        "[whip]\nrated_pressure = \"200 bar\"\n",
        &["whip-below-working"],
    ),
    Case(
        "vessel_above_working",
        "",
        "",
        "[[bank]]\nid = \"B\"\nwater_volume = \"50 L\"\nworking_pressure = \"300 bar\"\n",
        &["vessel-above-working"],
    ),
    Case(
        "test_below_working",
        "water_volume",
        "test_pressure = \"200 bar\"\nwater_volume",
        "",
        &["test-below-working"],
    ),
    Case(
        "gauge_span_short",
        "",
        "",
        "[[gauge]]\nname = \"g\"\nreads = \"tower\"\nspan = \"250 bar\"\n",
        &["gauge-span-short"],
    ),
    Case(
        "gauge_stage_unknown",
        "charging_rate",
        "stage_count = 3\ncharging_rate",
        "[[gauge]]\nname = \"g\"\nreads = \"stage 4\"\nspan = \"250 bar\"\n",
        &["gauge-stage-unknown"],
    ),
    Case(
        "stages",
        "charging_rate = \"100 L/min\"\n",
        "speed = \"1450 rpm\"\nstage_count = 3\n[[compressor.stage]]\nswept_volume = \"90 mL\"\nrated_pressure = \"10 bar\"\nrelief = \"12 bar\"\n[[compressor.stage]]\nswept_volume = \"90 mL\"\n",
        "",
        &[
            "stage-count-contradicts",
            "stage-relief-above-rating",
            "stages-not-falling",
        ],
    ),
    Case(
        "delivery_order",
        "charging_rate = \"100 L/min\"\n",
        "[[compressor.delivery]]\nat = \"200 bar\"\nfree_air = \"95 L/min\"\n[[compressor.delivery]]\nat = \"50 bar\"\nfree_air = \"100 L/min\"\n",
        "",
        &["delivery-not-rising", "delivery-grows"],
    ),
    Case(
        "delivery_one_row",
        "charging_rate = \"100 L/min\"\n",
        "[[compressor.delivery]]\nat = \"200 bar\"\nfree_air = \"95 L/min\"\n",
        "",
        &["delivery-not-rising"],
    ),
    Case(
        "element_without_table",
        "",
        "",
        "[air_path]\norder = [\"check\", \"separator\", \"purifier\", \"gauge\", \"relief\", \"pmv\"]\n",
        &["element-without-table", "element-without-table"],
    ),
    Case(
        "table_without_element",
        "",
        "",
        "[air_path]\norder = [\"check\", \"separator\", \"purifier\"]\n",
        &["table-without-element"],
    ),
    Case(
        "element_twice",
        "",
        "",
        "[air_path]\norder = [\"check\", \"separator\", \"check\", \"purifier\", \"separator\", \"relief\"]\n",
        &["element-twice"],
    ),
    Case(
        "path_order",
        "",
        "",
        "[air_path]\norder = [\"pmv\", \"separator\", \"purifier\", \"relief\"]\n[pmv]\nopens = \"100 bar\"\ncloses = \"70 bar\"\n",
        &["pmv-before-separator", "relief-after-pmv"],
    ),
    Case(
        "no_cylinder_kind",
        "[[cylinder_kind]]\nid = \"twelve\"\nwater_volume = \"12 L\"\nworking_pressure = \"232 bar\"\n",
        "",
        "",
        &["no-cylinder-kind"],
    ),
];

fn text(case: &Case) -> String {
    let Case(name, from, to, add, _) = case;
    assert!(BASE.contains(from), "{name}: nothing to replace");
    let spoilt = if from.is_empty() {
        BASE.to_owned()
    } else {
        BASE.replacen(from, to, 1)
    };
    spoilt + add
}

/// Lists without anything in them say nothing.
#[test]
fn empty_lists() {
    for list in ["stage = []", "delivery = []"] {
        let text = BASE.replace("charging_rate = \"100 L/min\"", list);
        let found: Vec<&str> = read(&text).problems.iter().map(|p| p.id.slug()).collect();
        assert_eq!(found, ["missing"], "{text}");
    }
}

#[test]
fn base_is_sound() {
    assert_eq!(all(BASE), "");
    assert!(read(BASE).usable().is_some());
}

/// Exactly these problems, no others.
#[test]
fn ids() {
    for case in CASES {
        let text = text(case);
        let found: Vec<&str> = read(&text).problems.iter().map(|p| p.id.slug()).collect();
        assert_eq!(found, case.4, "{}\n{text}\n{}", case.0, all(&text));
    }
}

/// The whole wording, with the text under each label.
#[test]
fn wording() {
    for case in CASES {
        insta::with_settings!({ omit_expression => true, prepend_module_to_snapshot => false }, {
            insta::assert_snapshot!(case.0, all(&text(case)));
        });
    }
}

#[test]
fn every_kind_is_shown() {
    for id in ProblemId::ALL {
        assert!(
            CASES.iter().any(|c| c.4.contains(&id.slug())),
            "no case for {id}"
        );
    }
}

/// A contradiction names both places; everything has a remedy.
#[test]
fn labels_and_remedies() {
    for case in CASES {
        for problem in read(&text(case)).problems {
            assert!(
                !problem.labels.is_empty() && !problem.remedy.is_empty(),
                "{problem:?}"
            );
            assert!(
                !problem.message.ends_with('.') && !problem.remedy.ends_with('.'),
                "{problem:?}"
            );
        }
    }
}

/// One mistake of each sort in one file: all are found in one reading.
#[test]
fn reading_does_not_stop() {
    let text = BASE.replace("255 bar", "225 bar").replace("12 L", "12")
        + "[pmv]\nopens = \"70\"\ncloses = \"100 bar\"\n[whip]\ncount = 0\nlength = \"2 m\"\n";
    let found: Vec<&str> = read(&text).problems.iter().map(|p| p.id.slug()).collect();
    let expected = [
        "relief-below-working",
        "unit-missing",
        "unit-missing",
        "out-of-range",
        "unknown-key",
    ];
    assert_eq!(found, expected);
}
