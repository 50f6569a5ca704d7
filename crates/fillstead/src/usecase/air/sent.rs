//! Results as a laboratory or a person sends them, made a results file.
//!
//! Start at [`Sent::understood`]. A results file stays as it is. Else each line is a quantity with
//! its value and unit, parted by a tab, a semicolon, a comma, a colon or an equals sign; a heading
//! may name the columns. Not here: what the values mean ([`super`], `insight::air`).

use csv::{ReaderBuilder, StringRecord};
use insight::air::Measurand;
use station::Date;

use super::read::{SAMPLE_KEYS, problem};
use super::{AirProblem, AirReport, Text, judge_file};

/// No results of a sample come near this many bytes.
pub const MOST_BYTES: usize = 64 << 10;

/// Results as a results file.
#[derive(Debug, Default)]
pub struct Sent {
    /// The file.
    pub text: String,
    /// Headings of columns that say nothing of the result.
    pub left_aside: Vec<String>,
    /// For each line of the file the line of what was sent; empty where they are the same.
    lines: Vec<usize>,
}

/// A line of results, or of the sample.
struct Line {
    number: usize,
    key: String,
    value: String,
    of_sample: bool,
}

/// Which cell is what.
struct Columns {
    quantity: usize,
    value: usize,
    unit: Option<usize>,
    uncertainty: Option<usize>,
}

/// Words in headings: what the column holds, by the names people give it.
const HEADINGS: [(&str, &[&str]); 4] = [
    (
        "quantity",
        &[
            "quantity",
            "parameter",
            "component",
            "analyte",
            "substance",
            "gas",
            "test",
            "name",
        ],
    ),
    (
        "value",
        &["value", "result", "results", "found", "measured", "amount"],
    ),
    ("unit", &["unit", "units"]),
    ("uncertainty", &["uncertainty", "±", "+/-"]),
];

impl Sent {
    /// The results file that a text says, and every line that says nothing.
    pub fn understood(text: &str) -> (Sent, Vec<AirProblem>) {
        let text = text.trim_start_matches('\u{feff}').replace("\r\n", "\n");
        if text.len() > MOST_BYTES {
            let cause = format!("no results of one sample take {} kB", text.len() / 1000);
            let remedy = "send the results of one sample, one line a quantity";
            return (Sent::default(), vec![problem(None, cause, remedy)]);
        }
        if text.lines().any(|line| line.trim_start().starts_with('[')) {
            let sent = Sent {
                text,
                ..Sent::default()
            };
            return (sent, Vec::new());
        }
        table(&text)
    }

    /// Judges this by the standard of that name. Every problem is told with the line of what was
    /// sent.
    pub fn judge(&self, standard: &str, today: Date) -> Result<AirReport, Vec<AirProblem>> {
        let standard = Some(standard).filter(|name| !name.is_empty());
        judge_file(&self.text, standard, None, Some(today)).map_err(|mut problems| {
            for problem in problems.iter_mut().filter(|p| p.text == Text::Results) {
                problem.line = problem.line.map(|line| self.line(line));
            }
            problems
        })
    }

    fn line(&self, of_file: usize) -> usize {
        let line = self.lines.get(of_file.saturating_sub(1));
        line.copied().unwrap_or(of_file)
    }
}

/// A table, line by line.
fn table(text: &str) -> (Sent, Vec<AirProblem>) {
    let (mut sent, mut problems) = (Sent::default(), Vec::new());
    let mut lines: Vec<Line> = Vec::new();
    let mut columns = None;
    let mut first = true;
    for (i, line) in text.lines().enumerate() {
        let (number, line) = (i + 1, line.trim());
        if line.is_empty() || line.starts_with('#') {
            continue;
        }
        let cells = cells(line);
        if std::mem::take(&mut first) && is_heading(&cells) {
            match heading(&cells, &mut sent.left_aside) {
                Some(found) => columns = Some(found),
                None => problems.push(problem(
                    Some(number),
                    "no column of this heading holds the value",
                    "call that column value, or leave the heading out",
                )),
            }
            continue;
        }
        let found = row(number, &cells, columns.as_ref());
        let twice = |found: &Line| lines.iter().any(|other| other.key == found.key);
        match found {
            Ok(found) if twice(&found) => {
                let cause = format!("`{}` is given twice", found.key);
                let remedy = "keep the result of this sample, one line a quantity";
                problems.push(problem(Some(number), cause, remedy));
            }
            Ok(found) => lines.push(found),
            Err(told) => problems.push(told),
        }
    }
    write(&mut sent, &lines, text);
    (sent, problems)
}

/// The cells of a line, without quotes and spaces around them.
fn cells(line: &str) -> Vec<String> {
    let parted = ['\t', ';', ',']
        .into_iter()
        .find(|sign| line.contains(*sign));
    let Some(sign) = parted else {
        let parted = line.split_once([':', '=']).or_else(|| by_name(line));
        let cells = parted.map(|(a, b)| vec![a, b]);
        let cells = cells.unwrap_or_else(|| vec![line]);
        let plain = |cell: &str| cell.trim().trim_matches('"').trim().to_owned();
        return cells.into_iter().map(plain).collect();
    };
    let mut record = StringRecord::new();
    let mut reader = ReaderBuilder::new()
        .delimiter(u8::try_from(sign).unwrap_or(b','))
        .has_headers(false)
        .flexible(true)
        .from_reader(line.as_bytes());
    let mut cells: Vec<String> = match reader.read_record(&mut record) {
        Ok(true) => record.iter().map(|cell| cell.trim().to_owned()).collect(),
        _ => vec![line.to_owned()],
    };
    while cells.len() > 2 && cells.last().is_some_and(String::is_empty) {
        cells.pop();
    }
    cells
}

/// `CO 7 ppm`: nothing but spaces parts them. The longest name counts, and no word of it begins with
/// a figure or a sign: `CO 2 ppm` speaks of carbon monoxide.
fn by_name(line: &str) -> Option<(&str, &str)> {
    let names = |at: &usize| {
        let mut words = line[..*at].split_whitespace();
        words.all(|word| word.starts_with(char::is_alphabetic))
            && Measurand::named(&line[..*at]).is_some()
    };
    let mut spaces = line.rmatch_indices(char::is_whitespace);
    let at = spaces.find_map(|(at, _)| Some(at).filter(names))?;
    Some(line.split_at(at))
}

/// Letters and digits, small: a name however it is written.
fn plain(name: &str) -> String {
    let kept = name
        .chars()
        .filter(|c| c.is_alphanumeric() || "±+/".contains(*c));
    kept.flat_map(char::to_lowercase).collect()
}

/// The key of the sample that this is.
fn of_sample(name: &str) -> Option<&'static str> {
    let wanted = plain(name);
    SAMPLE_KEYS.into_iter().find(|key| plain(key) == wanted)
}

/// No number in it, and it begins with nothing that is measured.
fn is_heading(cells: &[String]) -> bool {
    let name = cells.first().map_or("", String::as_str);
    let number = |cell: &String| cell.contains(|c: char| c.is_ascii_digit());
    cells.len() > 1
        && heading_of(name).is_some()
        && Measurand::named(name).is_none()
        && !cells.iter().any(number)
}

fn heading_of(cell: &str) -> Option<&'static str> {
    let wanted = plain(cell);
    let found = HEADINGS
        .iter()
        .find(|(_, names)| names.contains(&wanted.as_str()));
    found.map(|(what, _)| *what)
}

fn heading(cells: &[String], left_aside: &mut Vec<String>) -> Option<Columns> {
    let at = |what: &str| cells.iter().position(|cell| heading_of(cell) == Some(what));
    let columns = Columns {
        quantity: at("quantity")?,
        value: at("value")?,
        unit: at("unit"),
        uncertainty: at("uncertainty"),
    };
    let other = cells
        .iter()
        .filter(|cell| heading_of(cell).is_none() && !cell.is_empty());
    left_aside.extend(other.cloned());
    Some(columns)
}

/// What a line says.
fn row(number: usize, cells: &[String], columns: Option<&Columns>) -> Result<Line, AirProblem> {
    const PLAIN: Columns = Columns {
        quantity: 0,
        value: 1,
        unit: Some(2),
        uncertainty: Some(3),
    };
    let columns_of = columns.unwrap_or(&PLAIN);
    let cell = |at: usize| cells.get(at).map_or("", String::as_str);
    let maybe = |at: Option<usize>| at.map_or("", cell);
    let (key, value) = (cell(columns_of.quantity), cell(columns_of.value));
    let (unit, off) = (maybe(columns_of.unit), maybe(columns_of.uncertainty));
    let told = |cause: String, remedy: String| Err(problem(Some(number), cause, remedy));
    if columns.is_none() && cells.len() > 4 {
        let cause = format!("this line has {} cells", cells.len());
        let remedy = "keep quantity, value, unit and uncertainty, or put a heading above that names \
                      the columns";
        return told(cause, remedy.to_owned());
    }
    if value.is_empty() {
        let examples = Measurand::named(key).map(Measurand::examples);
        let write = examples.unwrap_or("quantity, value and unit, like `carbon monoxide, 1 ppm`");
        let cause = format!("no value stands beside `{key}`");
        return told(cause, format!("write {write}"));
    }
    if unit.starts_with(|c: char| c.is_ascii_digit()) {
        let cause = format!("`{value},{unit}` is not clear: a comma parts the cells here");
        let remedy = "write a point as the decimal sign, or part the cells by semicolons";
        return told(cause, remedy.to_owned());
    }
    let off = off.trim_start_matches(['±', ' ']);
    let mut value = format!("{value} {unit}").trim().to_owned();
    if !off.is_empty() {
        value += &format!(" ± {off}");
    }
    let sample = of_sample(key);
    Ok(Line {
        number,
        key: sample.map_or_else(|| key.to_owned(), str::to_owned),
        value,
        of_sample: sample.is_some(),
    })
}

/// The results file of these lines, with what was sent below it as a remark.
fn write(sent: &mut Sent, lines: &[Line], text: &str) {
    let mut put = |line: String, number: usize| {
        sent.text += &(line + "\n");
        sent.lines.push(number);
    };
    for (table, of_sample) in [("[sample]", true), ("[results]", false)] {
        let here: Vec<&Line> = lines.iter().filter(|l| l.of_sample == of_sample).collect();
        if here.is_empty() && of_sample {
            continue;
        }
        put(table.to_owned(), here.first().map_or(1, |line| line.number));
        for line in here {
            put(
                format!("{} = {}", quoted(&line.key), value(line)),
                line.number,
            );
        }
    }
    put("# As it was sent:".to_owned(), 1);
    for (i, line) in text.lines().enumerate() {
        let remark: String = line
            .chars()
            .filter(|c| !c.is_control() || *c == '\t')
            .collect();
        put(format!("# {remark}"), i + 1);
    }
}

/// A value as the file has it: yes and no without quotes.
fn value(line: &Line) -> String {
    match (line.key.as_str(), line.value.to_lowercase().as_str()) {
        ("oil_free" | "invented", "yes" | "true") => "true".to_owned(),
        ("oil_free" | "invented", "no" | "false") => "false".to_owned(),
        _ => quoted(&line.value),
    }
}

/// A text in quotes: what JSON writes, the results file reads.
pub fn quoted(text: &str) -> String {
    serde_json::Value::from(text.replace('\u{7f}', "")).to_string()
}

#[cfg(test)]
mod tests {
    use super::*;
    use insight::air::Overall;

    fn today() -> Date {
        Date::parse("2026-05-20").unwrap()
    }

    fn given(text: &str) -> Vec<(String, String)> {
        let (sent, problems) = Sent::understood(text);
        assert_eq!(problems, [], "{text}");
        let report = sent.judge("EN 12021", today());
        let verdict = report
            .unwrap_or_else(|p| panic!("{p:?}: {}", sent.text))
            .verdict;
        let measured = verdict
            .quantities
            .into_iter()
            .filter_map(|q| Some((q.what, q.given?)));
        measured
            .map(|(what, given)| (what.name().to_owned(), given))
            .collect()
    }

    /// The same sample in every form: what is read is what stands there.
    #[test]
    fn every_form_says_the_same() {
        let file = "[results]\nco = \"< 1 ppm\"\noil = \"0.1 mg/m3 ± 0.05 mg/m3\"\n";
        let wanted = given(file);
        assert_eq!(wanted.len(), 2);
        for text in [
            "co, < 1 ppm\noil, 0.1 mg/m3 ± 0.05 mg/m3",
            "# a remark\r\n\r\nCarbon monoxide;< 1;ppm\r\nOil mist;0.1;mg/m3;0.05 mg/m3\r\n",
            "Carbon_Monoxide\t< 1 ppm\nOIL\t0.1\tmg/m3\t± 0.05 mg/m3",
            "CO < 1 ppm\nOil mist 0.1 mg/m3 ± 0.05 mg/m3",
            "CO: < 1 ppm\noil = \"0.1 mg/m3 ± 0.05 mg/m3\"",
            "Parameter,Method,Result,Units,Uncertainty,Limit\nCarbon monoxide,tube,< 1,ppm,,5\nOil,\
             filter,0.1,mg/m3,0.05 mg/m3,0.5\n",
            "\u{feff}\"Result\",\"Component\"\n\"< 1 ppm\",\"CO\"\n\"0.1 mg/m3 ± 0.05 mg/m3\",\"oil\"\n",
        ] {
            assert_eq!(given(text), wanted, "{text}");
        }
        let (sent, _) = Sent::understood("Parameter,Method,Result,Limit\nco,tube,1 ppm,5\n");
        assert_eq!(sent.left_aside, ["Method", "Limit"]);
    }

    #[test]
    fn lines_of_the_sample_are_its_own() {
        let text = "Date;2026-05-04\npoint;cylinder\ncylinder pressure;300 bar\noil free;no\n\
                    Laboratory;A \"lab\"\ninvented;yes\nco;9 ppm";
        let (sent, problems) = Sent::understood(text);
        assert_eq!(problems, []);
        let report = sent.judge("EN 12021", today()).unwrap();
        assert_eq!(report.sample.date.as_deref(), Some("2026-05-04"));
        assert_eq!(report.sample.laboratory.as_deref(), Some("A \"lab\""));
        assert!(report.sample.invented);
        assert_eq!(report.verdict.overall, Overall::Fails);
        // What was sent stands in what the book keeps.
        assert!(
            sent.text.contains("# Laboratory;A \"lab\""),
            "{}",
            sent.text
        );
    }

    /// Where only spaces part them, a figure is never taken for a part of the name.
    #[test]
    fn a_figure_is_no_part_of_a_name() {
        let read = given("CO 2 ppm\nCO2 430 ppm\nodour none");
        let of = |name: &str| {
            read.iter()
                .find(|(n, _)| n == name)
                .map(|(_, v)| v.as_str())
        };
        assert_eq!(of("carbon monoxide"), Some("2 ppm"));
        assert_eq!(of("carbon dioxide"), Some("430 ppm"));
        assert_eq!(of("odour"), Some("none"));
    }

    #[test]
    fn every_problem_has_the_line_that_was_sent() {
        let text = "# from the lab\nco,1,5 ppm\noxigen,20.9 %\noil,5 ppm\nwater\nco2,1,ppm,2,x,y\n\
                    date,2026-02-30\nn2,78 %\nn2,78 %\nodour,none";
        let (sent, mut problems) = Sent::understood(text);
        problems.extend(sent.judge("EN 12021", today()).unwrap_err());
        problems.sort_by_key(|problem| problem.line);
        let told: Vec<String> = problems.iter().map(ToString::to_string).collect();
        let starts = [
            "line 2: `1,5 ppm` is not clear",
            "line 3: `oxigen` is nothing an air test measures: did you mean `oxygen`?",
            "line 5: no value stands beside `water`: write `25 mg/m3`",
            "line 6: this line has 6 cells",
            "line 7: `2026-02-30` is no day of the calendar",
            "line 9: `n2` is given twice",
        ];
        for (told, start) in told.iter().zip(starts) {
            assert!(told.starts_with(start), "{told}");
        }
        assert_eq!(told.len(), starts.len(), "{told:#?}");
        // Values are judged once the lines can be read.
        let (sent, _) = Sent::understood("# x\n\noil,5 ppm\n");
        let told = sent.judge("EN 12021", today()).unwrap_err();
        assert!(
            told[0].to_string().starts_with("line 3: `5 ppm` is not"),
            "{told:?}"
        );
    }

    #[test]
    fn what_is_no_table_is_told() {
        for (text, start) in [
            (
                "quantity,limit\nco,5 ppm\n",
                "line 1: no column of this heading",
            ),
            ("hello\n", "line 1: no value stands beside `hello`"),
            (
                &"co,1 ppm\n".repeat(10_000),
                "no results of one sample take 90 kB",
            ),
        ] {
            let (_, problems) = Sent::understood(text);
            assert!(problems[0].to_string().starts_with(start), "{problems:?}");
        }
        let (sent, problems) = Sent::understood(" \n");
        assert_eq!(problems, []);
        let told = sent.judge("EN 12021", today()).unwrap_err();
        assert!(told[0].cause.starts_with("no result is given"), "{told:?}");
        let told = sent.judge("", today()).unwrap_err();
        assert!(
            told[0].cause.starts_with("no standard is named"),
            "{told:?}"
        );
    }

    /// A text may hold anything and be cut anywhere.
    #[test]
    fn whatever_is_sent_is_answered() {
        let text = "Parameter;Result;Unit;±\n\"co;< 1;ppm;\u{7f}\noil = \\\"x\ta\u{1}\";;;\nwater:-8 °C at 200 bar";
        for at in (0..text.len()).filter(|&at| text.is_char_boundary(at)) {
            let (sent, problems) = Sent::understood(&text[..at]);
            if let Err(told) = sent.judge("EN 12021", today()) {
                assert!(!told.is_empty());
                let not_toml = |p: &&AirProblem| p.cause.starts_with("this cannot be read");
                assert_eq!(
                    told.iter().find(not_toml),
                    None,
                    "{}: {problems:?}",
                    sent.text
                );
            }
        }
    }
}
