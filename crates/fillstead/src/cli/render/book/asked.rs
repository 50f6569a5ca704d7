//! Answers to questions about the records, on paper.

use crate::cli::render::book::title;
use crate::cli::render::cylinder;
use crate::cli::render::page::{Table, item, paragraph};
use crate::cli::terminal::harmless;
use crate::usecase::book::cylinder::{CylinderPage, Register};
use crate::usecase::book::hours::{Count, FillsPage, HoursPage};
use crate::usecase::book::list::Row;
use crate::usecase::book::trace::{BatchPage, FillRow, OriginPage, Share, Test};
use crate::words::{counted, entry_numbers};

/// One cylinder.
pub fn cylinder(page: &CylinderPage) -> String {
    let what = format!("Cylinder {}", page.gate.cylinder);
    let mut text = title(&what, &page.station, page.invented) + "\n";
    text += &cylinder::answer(&page.gate);
    text += "\nHistory\n";
    text += &match page.history.is_empty() {
        true => "  nothing\n".to_owned(),
        false => history(&page.history),
    };
    harmless(&format!("{text}\nTimes in {}.\n", page.zone))
}

fn history(rows: &[Row]) -> String {
    let mut table = Table::new(2).right([0]);
    for row in rows {
        table.row([
            row.seq.to_string(),
            row.minute.clone(),
            row.author.clone(),
            row.called.clone(),
            super::line(row),
        ]);
    }
    table.text()
}

/// The register.
pub fn register(page: &Register) -> String {
    let mut text = title("Register", &page.station, page.invented);
    text += &format!("As of {}.\n", page.today);
    for lock in &page.locked {
        text += &item(&format!("FILLING IS LOCKED: {lock}."));
    }
    text.push('\n');
    let mut table = Table::new(0);
    table.row(
        [
            "cylinder",
            "size",
            "to",
            "in date until",
            "last fill",
            "state",
        ]
        .map(str::to_owned),
    );
    for row in &page.cylinders {
        let gate = &row.gate;
        let state = match (gate.may, gate.refusals.as_slice()) {
            (true, _) => "no reason found to stop".to_owned(),
            (false, refusals) => {
                let all: Vec<&str> = refusals.iter().map(|r| r.what.as_str()).collect();
                format!("DO NOT FILL: {}", all.join("; "))
            }
        };
        table.row([
            gate.cylinder.clone(),
            row.size.clone().unwrap_or_default(),
            gate.to
                .as_ref()
                .map(|to| to.stamped.clone())
                .unwrap_or_default(),
            gate.until
                .map(|until| until.to_string())
                .unwrap_or_default(),
            row.last_fill
                .as_ref()
                .map(|(minute, _)| minute.clone())
                .unwrap_or_default(),
            state,
        ]);
    }
    text += &match page.cylinders.is_empty() {
        true => "No cylinder is on the register: `book add BOOK cylinder`, or `book import`.\n"
            .to_owned(),
        false => table.text(),
    };
    for remark in &page.remarks {
        text += &item(&format!("{remark}."));
    }
    harmless(&text)
}

/// A batch.
pub fn batch(page: &BatchPage) -> String {
    let mut text = title("Batch trace", &page.station, page.invented);
    let from = page.from.as_deref().unwrap_or("the beginning of the book");
    let until = page.until.as_deref().unwrap_or("now");
    text += &paragraph(
        0,
        &format!(
            "From {from} to {until}: {}, {}, {}.",
            counted(page.fills.len(), "fill"),
            counted(page.cylinders.len(), "cylinder"),
            counted(page.persons.len(), "person")
        ),
    );
    text += "\nFills\n";
    text += &fill_rows(page.fills.iter());
    text += &shares("Cylinders", &page.cylinders);
    text += &shares("Persons", &page.persons);
    if !page.for_nobody.is_empty() {
        text += &item(&format!(
            "No person was entered for {}.",
            entry_numbers(&page.for_nobody)
        ));
    }
    text += "\nAround it\n";
    if !page.runs.is_empty() {
        text += &item(&format!("Runs started by {}.", entry_numbers(&page.runs)));
    }
    for cartridge in &page.cartridges {
        text += &item(&format!("Cartridge: {cartridge}."));
    }
    for found in &page.tests {
        text += &item(&test(found));
    }
    harmless(&(text + &unread(&page.unread)))
}

fn fill_rows<'a>(rows: impl Iterator<Item = &'a FillRow>) -> String {
    let mut table = Table::new(2).right([0]);
    let mut any = false;
    for row in rows {
        any = true;
        let through = if row.through_bank {
            " [through a bank]"
        } else {
            ""
        };
        table.row([
            row.entry.to_string(),
            row.when.clone(),
            format!("{}{through}", row.line),
        ]);
    }
    if any {
        table.text()
    } else {
        "  none\n".to_owned()
    }
}

fn shares(heading: &str, shares: &[Share]) -> String {
    let mut table = Table::new(2);
    for share in shares {
        table.row([share.name.clone(), entry_numbers(&share.fills)]);
    }
    match shares.is_empty() {
        true => String::new(),
        false => format!("\n{heading}\n{}", table.text()),
    }
}

fn test(test: &Test) -> String {
    format!(
        "Air test of {} (entry {}) {}: {}.",
        test.day,
        test.entry,
        test.outcome,
        test.sentence.trim_end_matches('.')
    )
}

fn unread(numbers: &[u64]) -> String {
    match numbers.is_empty() {
        true => String::new(),
        false => item(&format!(
            "This program cannot read {} and the answer may be incomplete: use the Fillstead that \
             wrote them.",
            entry_numbers(numbers)
        )),
    }
}

/// Where air came from.
pub fn origins(page: &OriginPage) -> String {
    let what = format!("Air of {}", page.of);
    let mut text = title(&what, &page.station, page.invented);
    if page.fills.is_empty() {
        text += "No fill is recorded.\n";
    }
    for row in &page.fills {
        text += &format!("\nEntry {}, {}\n", row.fill.entry, row.fill.when);
        text += &paragraph(2, &row.fill.line);
        if !row.through.is_empty() {
            text += &item(&format!(
                "Through banks filled by {}.",
                entry_numbers(&row.through)
            ));
        }
        text += &match row.run {
            Some(run) => item(&format!("Made in the run of entry {run}.")),
            None => item("No run is recorded at that time."),
        };
        let cartridge = row.cartridge.as_deref().unwrap_or("none is recorded");
        text += &item(&format!("Cartridge: {cartridge}."));
        for (side, found) in [("before", &row.test_before), ("after", &row.test_after)] {
            match found {
                Some(found) => text += &item(&format!("Last {side} it: {}", test(found))),
                None => text += &item(&format!("No air test {side} it.")),
            }
        }
    }
    harmless(&(text + &unread(&page.unread)))
}

/// Counts of fills.
pub fn fills(page: &FillsPage) -> String {
    let mut text = title("Fills", &page.station, page.invented);
    text += &paragraph(
        0,
        &format!(
            "{}, {}, {} for which somebody answered; {} of {:.1} h.",
            counted(page.fills, "fill"),
            counted(page.refusals, "refusal"),
            page.overridden,
            counted(page.runs, "run"),
            page.minutes / 60.0
        ),
    );
    text += &counts("By person", &page.by_person);
    text += &counts("By cylinder", &page.by_cylinder);
    harmless(&(text + &unread(&page.unread)))
}

fn counts(heading: &str, counts: &[Count]) -> String {
    let mut table = Table::new(2).right([1, 2]);
    table.row(["", "fills", "refusals"].map(str::to_owned));
    for count in counts {
        let name = count
            .name
            .clone()
            .unwrap_or_else(|| "nobody entered".to_owned());
        table.row([name, count.fills.to_string(), count.refusals.to_string()]);
    }
    format!("\n{heading}\n{}", table.text())
}

/// Running hours.
pub fn hours(page: &HoursPage) -> String {
    let mut text = title("Running hours", &page.station, page.invented);
    let meter = match page.meter_h {
        Some(hours) => format!("The hour meter showed {hours:.1} h last."),
        None => "The hour meter was never written down.".to_owned(),
    };
    let all = page.in_book;
    text += &paragraph(
        0,
        &format!(
            "{meter} Since the book began {:.1} h: {:.1} h by the meter, {:.1} h by the times of start \
             and stop.",
            all.hours, all.by_meter_h, all.by_clock_h
        ),
    );
    if let Some(start) = page.running {
        text += &format!("The machine is running since entry {start}.\n");
    }
    if !page.since.is_empty() {
        text += "\nSince\n";
        let mut table = Table::new(2).right([2, 3]);
        table.row(["part", "day", "entry", "hours", "what"].map(str::to_owned));
        for since in &page.since {
            table.row([
                since.part.to_owned(),
                since.day.clone(),
                since.entry.to_string(),
                format!("{:.1} h", since.since.hours),
                since.done.clone(),
            ]);
        }
        text += &table.text();
    }
    if !page.doubts.is_empty() {
        text += "\nWhat does not fit together\n";
        for doubt in &page.doubts {
            text += &item(&format!("{doubt}."));
        }
    }
    harmless(&(text + &unread(&page.unread)))
}
