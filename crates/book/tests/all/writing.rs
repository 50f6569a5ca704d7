//! Entries go in, come out as they were, and a correction changes what counts, not what was written.

use book::body::{Becomes, Correction, Packed};
use book::{Body, Book, BookError, Kind, Pen, Subject, Wanted};

use crate::common::{begun, draft, fill, first, folder, note};

#[test]
fn what_is_written_is_read() {
    let (path, mut pen) = begun("what_is_written_is_read");
    let written = pen.append(&draft(60, fill("A1", "3300 psi"))).unwrap();
    assert_eq!(written.seq, 2);
    assert_eq!(written.clock_behind, None);
    drop(pen);
    let book = Book::open(&path).unwrap();
    assert_eq!(book.head().unwrap(), Some((2, written.hash)));
    let entry = book.entry(2).unwrap().unwrap();
    assert_eq!(entry.computed_hash(), entry.hash);
    assert_eq!(entry.prev, book.entry(1).unwrap().unwrap().hash);
    assert_eq!(entry.body().unwrap(), Body::Fill(fill("A1", "3300 psi")));
}

#[test]
fn a_correction_counts_and_the_first_words_stay() {
    let (_, mut pen) = begun("a_correction_counts");
    pen.append(&draft(60, fill("A1", "232 bar"))).unwrap();
    let right = Body::Fill(fill("A2", "230 bar"));
    let correction = Correction {
        of: 2,
        why: "it was the other one".into(),
        becomes: Some(Becomes {
            happened: None,
            entry: Packed::of(&right).unwrap(),
        }),
    };
    pen.append(&draft(120, correction)).unwrap();
    let book = pen.book();
    let about = |name: &str| {
        let subject = Subject::Cylinder(name.into());
        let wanted = Wanted {
            about: Some(&subject),
            ..Wanted::default()
        };
        book.events(&wanted).unwrap()
    };
    assert_eq!(about("A1"), []);
    let event = about("A2").pop().unwrap();
    assert_eq!((event.seq, event.carrier), (2, 3));
    assert_eq!(event.body.unwrap(), right);
    let stays = book.entry(2).unwrap().unwrap();
    assert_eq!(stays.body().unwrap(), Body::Fill(fill("A1", "232 bar")));
    assert_eq!(book.corrections(2).unwrap().len(), 1);
}

#[test]
fn what_was_withdrawn_does_not_count() {
    let (_, mut pen) = begun("what_was_withdrawn");
    pen.append(&draft(60, fill("A1", "232 bar"))).unwrap();
    let withdrawn = Correction {
        of: 2,
        why: "entered twice".into(),
        becomes: None,
    };
    pen.append(&draft(90, withdrawn)).unwrap();
    let fills = Wanted {
        kinds: &[Kind::Fill],
        ..Wanted::default()
    };
    assert_eq!(pen.book().events(&fills).unwrap(), []);
    let all = Wanted {
        withdrawn: true,
        ..fills
    };
    let event = pen.book().events(&all).unwrap().pop().unwrap();
    assert!(event.withdrawn);
    assert_eq!(event.body.unwrap(), Body::Fill(fill("A1", "232 bar")));
}

#[test]
fn a_correction_of_nothing_is_refused_and_nothing_is_written() {
    let (_, mut pen) = begun("a_correction_of_nothing");
    for of in [0, 7] {
        let correction = Correction {
            of,
            why: "x".into(),
            becomes: None,
        };
        let error = pen.append(&draft(60, correction)).unwrap_err();
        assert!(matches!(error, BookError::Correction(_)), "{error}");
    }
    let other_kind = Correction {
        of: 1,
        why: "x".into(),
        becomes: Some(Becomes {
            happened: None,
            entry: Packed::of(&Body::Note(note("a"))).unwrap(),
        }),
    };
    let error = pen.append(&draft(60, other_kind)).unwrap_err();
    assert!(error.to_string().contains("another kind"), "{error}");
    assert_eq!(pen.book().head().unwrap().unwrap().0, 1);
}

#[test]
fn a_clock_that_goes_back_is_told() {
    let (_, mut pen) = begun("a_clock_that_goes_back");
    pen.append(&draft(3600, note("later"))).unwrap();
    let written = pen.append(&draft(3540, note("earlier"))).unwrap();
    assert_eq!(written.clock_behind.unwrap().as_secs(), 60);
    assert_eq!(pen.book().clock_went_back().unwrap(), [(3, 60.0)]);
}

#[test]
fn all_of_a_batch_or_none() {
    let (_, mut pen) = begun("all_of_a_batch_or_none");
    let wrong = Correction {
        of: 99,
        why: "x".into(),
        becomes: None,
    };
    let batch = [draft(1, note("a")), draft(2, wrong)];
    assert!(pen.append_all(&batch).is_err());
    assert_eq!(pen.book().head().unwrap().unwrap().0, 1);
    assert_eq!(pen.append_all(&batch[..1]).unwrap().len(), 1);
}

#[test]
fn a_second_writer_is_told_who_writes() {
    let (path, pen) = begun("a_second_writer");
    let error = Pen::open(&path, "another").unwrap_err();
    assert!(
        matches!(&error, BookError::Busy { holder } if holder == "a test"),
        "{error}"
    );
    assert!(Book::open(&path).is_ok());
    drop(pen);
    assert!(Pen::open(&path, "another").is_ok());
}

#[test]
fn a_book_is_not_begun_over_a_file() {
    let (path, pen) = begun("not_begun_over_a_file");
    drop(pen);
    assert!(matches!(
        Pen::begin(&path, "x", &first()),
        Err(BookError::Exists(_))
    ));
    let nowhere = folder("not_begun").join("no/such/club.book");
    let error = Pen::begin(&nowhere, "x", &first()).unwrap_err();
    assert!(error.to_string().contains("folder"), "{error}");
    assert!(matches!(Book::open(&nowhere), Err(BookError::Missing(_))));
}
