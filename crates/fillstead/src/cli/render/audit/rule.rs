//! The explanation of a rule, as a page.

use insight::audit::Rule;

use crate::cli::render::page::paragraph;

/// Name and question of the rule, then its sections.
pub fn explanation(rule: &Rule) -> String {
    let sections = sections(rule);
    let one = |(heading, text): &(String, String)| format!("\n{heading}\n{}", paragraph(2, text));
    format!(
        "{}: {}\n{}",
        rule.id,
        rule.title,
        sections.iter().map(one).collect::<String>()
    )
}

/// Heading and text of each section, without the marks of the rule's own file.
pub fn sections(rule: &Rule) -> Vec<(String, String)> {
    let mut sections: Vec<(String, String)> = Vec::new();
    for line in rule.explanation.iter().map(|line| line.trim()) {
        match (line.strip_prefix("## "), sections.last_mut()) {
            (Some(heading), _) => sections.push((heading.to_owned(), String::new())),
            (None, Some((_, text))) if text.is_empty() => text.push_str(line),
            (None, Some((_, text))) => {
                text.push(' ');
                text.push_str(line);
            }
            (None, None) => sections.push((String::new(), line.to_owned())),
        }
    }
    sections
}
