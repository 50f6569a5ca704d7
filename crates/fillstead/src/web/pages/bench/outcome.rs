//! What came of it: a drill and its result, a question and its answers, who named the fault.
//!
//! Not here: the bench as it stands ([`super::view`]).

use insight::bench::Act;
use insight::bench::drill::Mark;

use crate::draw::figures::time;
use crate::usecase::bench::Look;

/// A drill as the class sees it: what is right stands in it only at its end.
pub struct DrillView {
    /// What it is called.
    pub title: &'static str,
    /// What is given.
    pub given: &'static str,
    /// Time until it ends.
    pub left: String,
    /// The result.
    pub result: Option<ResultView>,
}

/// How a drill went.
pub struct ResultView {
    /// Whether it was passed.
    pub passed: bool,
    /// In a sentence.
    pub words: String,
    /// Act, due, done, by whom, how that counts, why, and whether it is good.
    pub rows: Vec<([String; 6], bool)>,
    /// What must not be: when, what, why.
    pub slips: Vec<[String; 3]>,
    /// What is said afterwards.
    pub debrief: &'static str,
    /// From where.
    pub source: &'static str,
}

/// A question as one person sees it.
pub struct QuestionView {
    /// What is asked.
    pub ask: &'static str,
    /// Option, how many chose it (once this person has), whether it is right, whether it is theirs.
    pub options: Vec<(String, Option<usize>, bool, bool)>,
    /// Why, once answered.
    pub because: Option<(String, &'static str)>,
    /// How many have answered.
    pub answered: usize,
}

/// Who said what was wrong, the last first.
pub(super) fn named(look: &Look) -> Vec<(String, bool)> {
    let one = |said: &insight::bench::state::Said| {
        let who = said.who.as_deref().unwrap_or("somebody");
        let right = if said.right { "right" } else { "no" };
        let words = format!("{}, {who}: {}: {right}", time(said.t_s as f64), said.label);
        (words, said.right)
    };
    look.state.named.iter().rev().map(one).collect()
}

/// An act of a drill in words.
pub fn act_words(key: &str) -> String {
    Act::named(key, 0).map_or_else(|| key.to_owned(), Act::words)
}

/// The drill, its result at its end.
pub(super) fn drill(look: &Look) -> Option<DrillView> {
    let (drill, score) = look.drill.as_ref()?;
    let at = |s: Option<u64>| s.map_or("-".to_owned(), |s| time(s as f64));
    let rows = score.rows.iter().map(|row| {
        let due = match (row.due_s, row.last_s) {
            (Some(from), Some(to)) => format!("{} to {}", at(Some(from)), at(Some(to))),
            _ => "-".to_owned(),
        };
        let who = row.who.clone().unwrap_or_default();
        let cells = [
            act_words(&row.act),
            due,
            at(row.done_s),
            who,
            row.mark.words().to_owned(),
            row.why.clone(),
        ];
        (cells, row.mark == Mark::InTime)
    });
    let slips = score.slips.iter().map(|slip| {
        let who = slip
            .who
            .as_ref()
            .map_or(String::new(), |who| format!(" ({who})"));
        [
            time(slip.t_s as f64),
            format!("{}{who}", act_words(&slip.what)),
            slip.why.clone(),
        ]
    });
    let besides = match score.slips.len() {
        0 => String::new(),
        n => format!(", {n} that must not be"),
    };
    let words = format!(
        "{} of {} in time{besides}.",
        score.in_time,
        score.rows.len()
    );
    let left = drill.seconds.saturating_sub(look.state.t_s);
    Some(DrillView {
        title: &drill.title,
        given: &drill.given,
        left: time(left as f64),
        result: score.ended_s.is_some().then(|| ResultView {
            passed: score.passed,
            words,
            rows: rows.collect(),
            slips: slips.collect(),
            debrief: &drill.debrief,
            source: &drill.source,
        }),
    })
}

/// The question as this person sees it.
pub(super) fn question(look: &Look) -> Option<QuestionView> {
    let asked = look.question.as_ref()?;
    let mine = asked.mine;
    let options = asked.question.options.iter().enumerate();
    let counts = &asked.counts;
    let one = |(i, (text, right)): (usize, &(String, bool))| {
        let count = mine.and_then(|_| counts.get(i).copied());
        (
            text.clone(),
            count,
            *right && mine.is_some(),
            mine == Some(i),
        )
    };
    Some(QuestionView {
        ask: &asked.question.ask,
        options: options.map(one).collect(),
        because: mine.map(|_| (asked.because.clone(), asked.question.source.as_str())),
        answered: counts.iter().sum(),
    })
}
