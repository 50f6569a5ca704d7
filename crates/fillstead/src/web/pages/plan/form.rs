//! The question as inputs, with what is known and what is wrong beside each.

use insight::cylinder::answer::Refusal;
use insight::fault::CATALOGUE;
use quantity::{GaugePressure, Temperature};
use station::Station;

use crate::usecase::plan::query::MOST_CYLINDERS;
use crate::usecase::plan::{Choice, Noted, Plan, Row};
use crate::web::page::{in_sentences, sentence};

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
        error: row.trouble.as_ref().map(in_sentences),
        refusals: row.refusals().iter().map(refused).collect(),
    }
}

fn error(plan: &Plan, name: &str) -> Option<String> {
    let own = plan.troubles.iter().filter(|t| t.field == Some(name));
    let told: Vec<String> = own.map(in_sentences).collect();
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
fn read(noted: Option<&Noted>, value: &str, else_: &str) -> String {
    match noted {
        Some(noted) if noted.typed == value => format!("read {}, entry {}", noted.when, noted.seq),
        _ => else_.to_owned(),
    }
}

fn fields(plan: &Plan) -> Vec<FieldView> {
    let (query, known) = (&plan.query, &plan.known);
    let usual = usual(&plan.station);
    let to = ("to", "Fill to, on the gauge", &query.to);
    let tower = ("tower", "Tower now", &query.tower);
    let air = (
        "intake-temperature",
        "Intake air",
        &query.intake_temperature,
    );
    let humidity = ("humidity", "Humidity", &query.humidity);
    let drain = ("drain-every", "Drain every", &query.drain_every);
    let change = ("change-over", "Time to change", &query.change_over);
    let noted = |noted: &Option<Noted>, value: &str, hint: &str| read(noted.as_ref(), value, hint);
    let tower_hint = noted(&known.tower, tower.2, "read its gauge before the start");
    let air_hint = noted(
        &known.intake_temperature,
        air.2,
        "a thermometer at the intake",
    );
    let humid_hint = noted(&known.humidity, humidity.2, "relative, of that air");
    let one =
        |(name, label, value): (&'static str, &'static str, &String), usual: &str, hint: &str| {
            field(plan, name, label, value, usual.to_owned(), hint.to_owned())
        };
    vec![
        one(to, "its rating", "never above the rating"),
        one(tower, &usual.tower, &tower_hint),
        one(air, &usual.air, &air_hint),
        one(humidity, &usual.humidity, &humid_hint),
        one(drain, "when due", "a time, due, or never"),
        one(change, "4 min", "machine off, between cylinders"),
    ]
}

/// What the station file says where nothing is typed.
struct Usual {
    tower: String,
    air: String,
    humidity: String,
}

fn usual(station: &Station) -> Usual {
    let pressure = station.units.preferred::<GaugePressure>();
    let tower = station
        .now
        .tower
        .or(station.pmv.as_ref().map(|pmv| pmv.closes));
    let temperature = station.units.preferred::<Temperature>();
    Usual {
        tower: tower.map_or_else(|| "0".to_owned(), |p| quantity::show(p, pressure, 0)),
        air: quantity::show(station.intake.temperature, temperature, 0),
        humidity: format!("{:.0} %", station.intake.humidity.as_ratio() * 100.0),
    }
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
