//! The run card by the whole program: from a station file, and from a book.

use crate::common::{document, folder, run_in, stations};

fn parsed(html: &str) -> String {
    let page = document(html);
    let main = page.descendants().find(|n| n.has_tag_name("main")).unwrap();
    let texts = main.descendants().filter_map(|n| n.text());
    texts.collect::<Vec<_>>().join("|")
}

/// The card's figures are those of the forecast beside it: the stop of the job and the relief valve
/// of the file.
#[test]
fn a_forecast_writes_its_card_once() {
    let folder = folder("card_forecast");
    let file = stations().join("boathouse.toml").display().to_string();
    let asked = [
        "forecast",
        &file,
        "--cylinder",
        "A1@50 bar",
        "--card",
        "card.html",
    ];
    let ran = run_in(&folder, &asked);
    assert_eq!(ran.exit, Some(0), "{}", ran.err);
    let page = std::fs::read_to_string(folder.join("card.html")).unwrap();
    let text = parsed(&page);
    for part in [
        "Fill, in this order|A1",
        "232 bar",
        "255 bar",
        "Should read",
        "STOP, DRAIN",
        "No book was asked",
    ] {
        assert!(
            text.contains(part) || text.replace('\n', "").contains(part),
            "{part}: {text}"
        );
    }
    assert!(page.contains("INVENTED") && !page.contains("<script"));
    let again = run_in(&folder, &asked);
    assert_eq!(again.exit, Some(2));
    assert!(again.err.contains("card.html"), "{}", again.err);
    let after = std::fs::read_to_string(folder.join("card.html")).unwrap();
    assert_eq!(after, page, "nothing is written over");
}

/// A book's card asks the gate: what must not be filled is left out with its reason, and alone it
/// gives no card.
#[test]
fn a_book_prints_a_card_for_what_may_be_filled() {
    let folder = folder("card_book");
    let file = stations().join("boathouse.toml").display().to_string();
    let said = |arguments: &[&str]| run_in(&folder, arguments);
    let begun = said(&[
        "book",
        "begin",
        "club.book",
        "--station",
        &file,
        "--rule",
        "uk",
        "--by",
        "MK",
    ]);
    assert_eq!(begun.exit, Some(0), "{}", begun.err);
    let condemned = said(&[
        "book",
        "add",
        "club.book",
        "condemn",
        "A2",
        "--why",
        "crack at the neck",
        "--by",
        "MK",
    ]);
    assert_eq!(condemned.exit, Some(0), "{}", condemned.err);
    let cylinder = "steel 7@60 bar";
    let both = [
        "book",
        "print",
        "club.book",
        "card",
        "--cylinder",
        cylinder,
        "--cylinder",
        "A2@60 bar",
    ];
    let card = said(&both);
    assert_eq!(card.exit, Some(0), "{}", card.err);
    let text = parsed(&card.out);
    assert!(text.contains("Do not fill by this card"), "{text}");
    assert!(
        text.contains("A2 is left out, it must not be filled"),
        "{text}"
    );
    let alone = said(&[
        "book",
        "print",
        "club.book",
        "card",
        "--cylinder",
        "A2@60 bar",
    ]);
    assert_eq!(alone.exit, Some(2));
    assert!(alone.err.contains("A2 must not be filled"), "{}", alone.err);
    let wrong = said(&["book", "print", "club.book", "card", "--humidity", "140 %"]);
    assert_eq!(wrong.exit, Some(2));
    assert!(
        wrong.err.contains("140 % is not between 0 % and 100 %"),
        "{}",
        wrong.err
    );
}
