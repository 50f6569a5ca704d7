//! Findings, the gravest first: what is so, the numbers, what to do, where it stands.

use insight::audit::{Finding, Measure, Severity, Source};

use crate::cli::render::page::{Table, paragraph};

/// All findings, under what their severities mean.
pub fn text(findings: &[Finding]) -> String {
    if findings.is_empty() {
        return String::new();
    }
    let groups = findings.chunk_by(|a, b| a.severity == b.severity);
    let mut text = groups.map(group).collect::<Vec<_>>().join("\n");
    text += "\n";
    text += &paragraph(
        0,
        "Parts carry the same numbers on the ladder. `fillstead audit --explain RULE` prints a \
         rule's page.",
    );
    text
}

/// Findings of one severity.
fn group(findings: &[Finding]) -> String {
    let Some(first) = findings.first() else {
        return String::new();
    };
    let all: Vec<String> = findings.iter().map(one).collect();
    format!("{}\n\n{}", first.severity.meaning(), all.join("\n"))
}

/// How a finding of this severity is called.
fn word(severity: Severity) -> &'static str {
    match severity {
        Severity::Stop => "stop",
        Severity::FixBeforeNextRun => "fix first",
        Severity::LookInto => "look into",
        Severity::Note => "note",
    }
}

fn one(finding: &Finding) -> String {
    let claim = format!("{}: {}", word(finding.severity), finding.claim);
    let source = &finding.source;
    let rows = [
        ("rule", finding.rule.to_owned()),
        ("parts", parts(finding)),
        ("why", finding.why.clone()),
        ("numbers", numbers(&finding.evidence)),
        (
            "margin",
            finding.margin.as_ref().map_or(String::new(), margin),
        ),
        ("remedy", finding.remedy.clone()),
        ("source", place(source)),
        ("certainty", source.certainty.to_owned()),
    ];
    let mut table = Table::new(4);
    for (name, says) in rows.into_iter().filter(|(_, says)| !says.is_empty()) {
        table.row([name.to_owned(), says]);
    }
    paragraph(2, &claim) + &table.text()
}

/// `8 relief valve, 9 burst disc`.
fn parts(finding: &Finding) -> String {
    let mut names: Vec<String> = Vec::new();
    for part in &finding.parts {
        let name = match part.balloon {
            Some(number) => format!("{number} {}", part.name),
            None => part.name.clone(),
        };
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names.join(", ")
}

/// `relief lifts 255 bar; disc bursts 300 bar`.
fn numbers(evidence: &[Measure]) -> String {
    let one = |measure: &Measure| format!("{} {}", measure.what, measure.shown);
    evidence.iter().map(one).collect::<Vec<_>>().join("; ")
}

/// `-7.5 bar (room): overstepped`.
fn margin(margin: &Measure) -> String {
    let over = if margin.value < 0.0 {
        ": overstepped"
    } else {
        ""
    };
    format!("{} ({}){over}", margin.shown, margin.what)
}

/// Document, edition and clause.
fn place(source: &Source) -> String {
    let edition = match source.edition {
        "" => String::new(),
        said if said.starts_with("edition") => format!(" ({said})"),
        said => format!(" (edition: {said})"),
    };
    let clause = match source.clause {
        "" => String::new(),
        clause => format!("; {clause}"),
    };
    format!("{}{edition}{clause}", source.document)
}
