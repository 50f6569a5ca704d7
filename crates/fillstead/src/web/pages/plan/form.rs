//! The question as inputs, with what is known and what is wrong beside each.

use insight::cylinder::answer::Refusal;
use insight::fault::CATALOGUE;
use station::Station;

use crate::usecase::Trouble;
use crate::usecase::plan::query::MOST_CYLINDERS;
use crate::usecase::plan::{Choice, Plan, Row};
use crate::web::page::sentence;

/// The form.
pub struct Form {
    /// Rows with a cylinder.
    pub rows: Vec<RowView>,
    /// Rows still empty, by their numbers.
    pub blanks: Vec<usize>,
    /// Cylinders to choose from.
    pub cylinders: Vec<Choice>,
    /// Kinds to choose from.
    pub kinds: Vec<Choice>,
    /// Inputs of one text each.
    pub fields: Vec<FieldView>,
    /// Inputs that are folded away.
    pub more_fields: Vec<FieldView>,
    /// Whether one of those is used.
    pub more_open: bool,
    /// Cylinders stand in water.
    pub water_bath: bool,
    /// Faults asked for, and one empty place.
    pub faults: Vec<String>,
    /// What is wrong with them.
    pub fault_error: Option<String>,
    /// Faults there are: as typed, and what each means.
    pub fault_choices: Vec<(&'static str, &'static str)>,
    /// How cylinders follow each other here.
    pub hoses: String,
}

/// A row of the job.
pub struct RowView {
    /// Counted from one.
    pub number: usize,
    /// The cylinder.
    pub id: String,
    /// Its pressure before filling.
    pub start: String,
    /// What it is.
    pub about: String,
    /// When it left last.
    pub last: Option<String>,
    /// Whether it is one of the choices.
    pub known: bool,
    /// What was typed wrong.
    pub error: Option<String>,
    /// Why it must not be filled, with the way forward.
    pub refusals: Vec<(String, String)>,
}

/// An input of one text.
pub struct FieldView {
    /// Its name in the address.
    pub name: &'static str,
    /// What people call it.
    pub label: &'static str,
    /// As typed, or as the book knows it.
    pub value: String,
    /// What is taken where nothing is typed.
    pub usual: String,
    /// Where the value comes from, or what may be typed.
    pub hint: String,
    /// What is wrong.
    pub error: Option<String>,
}

/// Both sentences of a trouble.
pub fn told(trouble: &Trouble) -> String {
    format!("{} {}", sentence(&trouble.what), sentence(&trouble.remedy))
}

/// Both sentences of a refusal.
pub fn refused(refusal: &Refusal) -> (String, String) {
    (sentence(&refusal.what), sentence(&refusal.way_forward))
}

/// The form of a plan.
pub fn form(plan: &Plan) -> Form {
    let rows: Vec<RowView> = plan
        .rows
        .iter()
        .enumerate()
        .map(|(i, row)| row_view(plan, i, row))
        .collect();
    let blanks = if plan.query.more { 3 } else { 1 };
    let next = rows.len() + 1;
    let (cylinders, kinds) = plan
        .choices
        .iter()
        .cloned()
        .partition(|choice| !choice.kind);
    let mut faults = plan.query.faults.clone();
    faults.push(String::new());
    let query = &plan.query;
    Form {
        blanks: (next..next + blanks)
            .filter(|n| *n <= MOST_CYLINDERS)
            .collect(),
        rows,
        cylinders,
        kinds,
        fields: fields(plan),
        more_fields: more_fields(plan),
        more_open: !query.until.is_empty() || !query.stored.is_empty() || query.water_bath,
        water_bath: query.water_bath,
        fault_error: error(plan, "fault"),
        faults,
        fault_choices: CATALOGUE.iter().map(|e| (e.example, e.meaning)).collect(),
        hoses: hoses(&plan.station),
    }
}

fn hoses(station: &Station) -> String {
    match station.whip.count {
        0 | 1 => {
            "One hose: cylinders fill one after the other. Stop the machine to change; with the \
                  fill valve shut the tower runs up to the relief valve quickly."
                .to_owned()
        }
        n => format!(
            "{n} hoses: so many cylinders fill together, then the next. Stop the machine to change; \
             with the fill valves shut the tower runs up to the relief valve quickly."
        ),
    }
}

fn row_view(plan: &Plan, index: usize, row: &Row) -> RowView {
    RowView {
        number: index + 1,
        id: row.id.clone(),
        start: row.start.clone(),
        about: row.about.clone(),
        last: row.last.clone(),
        known: plan.choices.iter().any(|choice| choice.id == row.id),
        error: row.trouble.as_ref().map(told),
        refusals: row.refusals().iter().map(refused).collect(),
    }
}

fn error(plan: &Plan, name: &str) -> Option<String> {
    let own = plan.troubles.iter().filter(|t| t.field == Some(name));
    let told: Vec<String> = own.map(told).collect();
    (!told.is_empty()).then(|| told.join(" "))
}

fn field(
    plan: &Plan,
    name: &'static str,
    label: &'static str,
    value: &str,
    usual: String,
    hint: String,
) -> FieldView {
    FieldView {
        name,
        label,
        value: value.to_owned(),
        usual,
        hint,
        error: error(plan, name),
    }
}

/// `read 2026-05-20 19:40, entry 12`, while the value is still that one.
fn read(noted: Option<&crate::usecase::plan::Noted>, value: &str, else_: &str) -> String {
    match noted {
        Some(noted) if noted.typed == value => format!("read {}, entry {}", noted.when, noted.seq),
        _ => else_.to_owned(),
    }
}

fn fields(plan: &Plan) -> Vec<FieldView> {
    let (query, known, station) = (&plan.query, &plan.known, &plan.station);
    let show = |p: quantity::GaugePressure| {
        quantity::show(p, station.units.preferred::<quantity::GaugePressure>(), 0)
    };
    let now = station.now.tower.map(show);
    let pmv = station.pmv.as_ref().map(|pmv| show(pmv.closes));
    let air = quantity::show(
        station.intake.temperature,
        station.units.preferred::<quantity::Temperature>(),
        0,
    );
    let humid = format!("{:.0} %", station.intake.humidity.as_ratio() * 100.0);
    vec![
        field(
            plan,
            "to",
            "Fill to, on the gauge",
            &query.to,
            "its rating".to_owned(),
            "never above the rating".to_owned(),
        ),
        field(
            plan,
            "tower",
            "Tower now",
            &query.tower,
            now.or(pmv).unwrap_or_else(|| "0".to_owned()),
            read(
                known.tower.as_ref(),
                &query.tower,
                "read its gauge before the start",
            ),
        ),
        field(
            plan,
            "intake-temperature",
            "Intake air",
            &query.intake_temperature,
            air,
            read(
                known.intake_temperature.as_ref(),
                &query.intake_temperature,
                "a thermometer at the intake",
            ),
        ),
        field(
            plan,
            "humidity",
            "Humidity",
            &query.humidity,
            humid,
            read(
                known.humidity.as_ref(),
                &query.humidity,
                "relative, of that air",
            ),
        ),
        field(
            plan,
            "drain-every",
            "Drain every",
            &query.drain_every,
            "when due".to_owned(),
            "a time, due, or never".to_owned(),
        ),
        field(
            plan,
            "change-over",
            "Time to change",
            &query.change_over,
            "4 min".to_owned(),
            "machine off, between cylinders".to_owned(),
        ),
    ]
}

fn more_fields(plan: &Plan) -> Vec<FieldView> {
    let query = &plan.query;
    vec![
        field(
            plan,
            "until",
            "Run until",
            &query.until,
            "full".to_owned(),
            "full, or a time whatever happens".to_owned(),
        ),
        field(
            plan,
            "stored",
            "Stood for",
            &query.stored,
            "not counted".to_owned(),
            "matters where the tower lost its pressure".to_owned(),
        ),
    ]
}
