//! The owner's own standard: read, used, and refused line by line.

use super::*;

/// Invented.
const CLUB: &str = "# Rules of a club of our own invention.
standard,Harbour Club
edition,2026
for,our own cylinders
quantity,at_most,unit,at_least,cylinder
oxygen,21.5,%,20,
carbon monoxide,3,ppm
co2,0.05,%,,
water,-60,°C,,over 200 bar
odour,none
interval,2,months
";

#[test]
fn an_own_standard_judges() {
    let club = Standard::read(CLUB).unwrap();
    assert_eq!(club.title(), "Harbour Club (2026)");
    let results = Results {
        sampled: None,
        values: GOOD
            .iter()
            .map(|(what, text)| Measured::new(*what, text))
            .collect(),
    };
    let answer = judge(&results, &club, &cylinder("300 bar")).unwrap();
    // 12 mg/m³ is some 16 ppm; frost at -60 °C is 10.7 ppm (1.08 Pa of 101325, IAPWS R14-08).
    assert_eq!(
        answer.sentence,
        "fails Harbour Club (2026): water 12 mg/m3 ± 10 %, at most -60 °C (for cylinders of over 200 bar)"
    );
    assert!(answer.quantities.iter().all(|q| !q.unverified));
    assert!(!answer.notes.iter().any(|n| n.contains("unverified")));
    let limit = answer.of(Measurand::CarbonDioxide).unwrap();
    assert_eq!(limit.outcome, Outcome::Passes);
    assert_eq!(answer.due.unwrap().every_months, 2);
    let known = standards().iter().chain([&club]);
    assert_eq!(find("harbour", known).unwrap().edition, "2026");
}

#[test]
fn mistakes_in_a_standard_have_their_line() {
    let text = "standard,Club
quantity,at_most,unit,at_least,certainty
oxigen,22,%,20,
carbon monoxide,-5,ppm
carbon dioxide,,ppm
oxygen,20,%,22
oil,5,ppm
odour,weak
oil,1,mg/m3,,sure
oil,1,mg/m3,,,,
interval,0,months
water,\"50,mg/m3
";
    let told: Vec<String> = Standard::read(text)
        .unwrap_err()
        .iter()
        .map(|m| m.to_string())
        .collect();
    let expected = [
        "line 3: `oxigen` is nothing an air test measures: did you mean `oxygen`?",
        "line 4: `-5 ppm` is below zero: there is no less than none: check the sign; what the \
         tube cannot show is written as `< 0.5 ppm`",
        "line 5: carbon dioxide has no limit in this line: fill at_least or at_most, or take the \
         line out",
        "line 6: 22 % is more than 20 %: exchange at_least and at_most",
        "line 7: `5 ppm` is not an amount of oil: write `0.1 mg/m3` or `< 0.1 mg/m3`",
        "line 8: `weak` is no limit of odour: write none or none significant",
        "line 9: `sure` is no certainty: use text, quoted, secondary, memory, owner",
        "line 10: this line has more cells than the heading: put a text with a comma in quotes",
        "line 11: `0` is no number of months: write a whole number from 1 to 240",
        "line 12: a quote is opened and not closed: close it on the same line",
        "the standard has no edition: add a line `edition,YEAR`",
        "the standard limits nothing: add limits, one a line",
    ];
    assert_eq!(told, expected);
}

#[test]
fn a_standard_without_a_table() {
    let told = |text| Standard::read(text).unwrap_err()[0].to_string();
    assert!(told("limits,5\n").starts_with("line 1: `limits` does not belong above the table"));
    assert!(told("quantity,at_most\n").contains("no column unit"));
    assert!(told("quantity,at_most,unit,colour\n").contains("`colour` is not a column"));
    assert!(told("").contains("has no name"));
}
