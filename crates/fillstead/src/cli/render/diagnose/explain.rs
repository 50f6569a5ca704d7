//! How a diagnosis is computed, in plain words, and where that comes from.

use crate::cli::render::page::{item, paragraph};

const PARTS: [(&str, &str); 8] = [
    (
        "What is compared",
        "The station is run again and again in the same simulation that makes a forecast, each time \
         with something changed: a valve that opens early or late, a leak, a gauge that reads off, a \
         slow machine, a blocked purifier, and pairs of them. Each of these is a cause.",
    ),
    (
        "How settings are found",
        "For each cause its size, and what is not known of the machine (tolerances, pressures at the \
         start, the watch, the gauges' own errors), are moved until the run lies as near to the \
         readings as it can: least squares, each reading weighed by its own uncertainty, and what the \
         station file says weighed by its tolerance. What is told of a setting is what all causes say \
         of it together, each by its chance.",
    ),
    (
        "What counts as a reading's uncertainty",
        "The gauge's class and span (EN 837-1), how finely it can be read, and how closely the time \
         was written: minutes and seconds to about 4 s, a whole minute to about 8 s. The start on the \
         watch is fitted too.",
    ),
    (
        "How causes get their chance",
        "By Bayes' rule: how common a cause is, times how well it explains the readings, its freedom to \
         adjust paid for. Where no single cause explains them, pairs are tried. Chances add up to one, \
         together with `something not known here`. How common each cause is, is an estimate: it weighs \
         little against readings.",
    ),
    (
        "What observations do",
        "Air heard at the fill valve, a hissing relief valve, water drained: each is held against what \
         the run of a cause would have done at that moment. What was not understood is said so and \
         counts for nothing.",
    ),
    (
        "A reading that stands apart",
        "About two readings in a hundred are taken to be slips of the pen or the eye, and readings are \
         weighed so that one cannot drag the fit. One that lies far from all the others is told, with \
         what may have been meant, and nothing is left out in silence.",
    ),
    (
        "What to read next",
        "For each gauge and minute still to come, how far the leading causes would part there, weighed \
         by their chances: the expected gain of information. The same for checks by hand, less their \
         trouble.",
    ),
    (
        "When it cannot be told",
        "Where several causes explain the readings equally well, the answer is `cannot tell`; where none \
         does, `does not fit`. Both are answers. Nothing is called sound because it was not measured.",
    ),
];

const SOURCES: [&str; 6] = [
    "Bayesian comparison of models: D. J. C. MacKay, Information Theory, Inference, and Learning \
     Algorithms, Cambridge 2003, chapters 3 and 28.",
    "The next measurement by expected information: D. V. Lindley, On a measure of the information \
     provided by an experiment, Annals of Mathematical Statistics 27 (1956) 986.",
    "Errors with slips among them: N. L. Johnson, S. Kotz, N. Balakrishnan, Continuous Univariate \
     Distributions, Wiley 1994-1995, chapters 13 and 28.",
    "Readings with uncertainty: JCGM 100:2008 (GUM).",
    "Gauges, their class and span: EN 837-1.",
    "How common each cause is: common practice, no source; each cause says so.",
];

/// The page.
pub fn explanation() -> String {
    let mut text = "How a diagnosis is computed\n".to_owned();
    for (heading, says) in PARTS {
        text += &format!("\n{heading}\n{}", paragraph(2, says));
    }
    text += "\nSources\n";
    text + &SOURCES
        .iter()
        .map(|source| item(source))
        .collect::<String>()
}
