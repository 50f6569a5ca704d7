//! The water of a run as a ribbon whose width is grams.
//!
//! Start at [`draw`]. Dots are vapour, waves are liquid; what is caught after each stage bends down
//! into the sump, what goes on to the purifier stands again in a lens, so many times larger.
//! Invariant: widths sum: what is drawn in leaves as caught, to the purifier, or stays as gas.

use insight::water::answer::{Drain, PurifierAnswer, WaterAnswer};

use super::figures::{grams, short, time};
use super::place::{Rect, spread};
use super::sheet::{Anchor, Sheet, at};
use super::text::{Pen, Words};
use super::{Drawing, Table};

/// Width of the ribbon, px.
const RIBBON: f64 = 112.0;
/// Its upper edge, its left end, the first cooler, and from one to the next.
const TOP: f64 = 66.0;
const LEFT: f64 = 16.0;
const FIRST: f64 = 168.0;
const NEXT: f64 = 148.0;
/// Size of the sump's column and of the lens.
const SUMP: f64 = 30.0;
const LENS: (f64, f64) = (256.0, 160.0);
/// Drains named, at most.
const DRAINS: usize = 8;

/// What a ledger shows.
#[derive(Debug, Clone, Copy)]
pub struct Ledger<'a> {
    /// The water of the run.
    pub water: &'a WaterAnswer,
    /// The drying bed after it.
    pub purifier: Option<&'a PurifierAnswer>,
}

/// The parts that sum, g.
#[derive(Debug, Clone, PartialEq)]
struct Parts {
    /// Drawn in, with what the separator's gas gave.
    all: f64,
    /// Caught after each stage.
    caught: Vec<f64>,
    /// On to the purifier as liquid: drops and overflow.
    liquid: f64,
    /// On to the purifier as vapour.
    vapour: f64,
    /// More in the separator's gas at the end than at the start.
    stays: f64,
    /// Less.
    gave: f64,
}

impl Parts {
    /// What a stage condenses and the separator misses turns up again later: what is caught is
    /// shared among the stages as they condense.
    fn of(water: &WaterAnswer) -> Parts {
        let number = |g: f64| if g.is_finite() { g.max(0.0) } else { 0.0 };
        let condensed: f64 = water.condensed_g.iter().map(|g| number(*g)).sum();
        let (separator, overflow) = (number(water.separator_g), number(water.overflow_g));
        let down = separator + overflow;
        let share = |g: &f64| match condensed > 0.0 {
            true => number(*g) / condensed * down,
            false => 0.0,
        };
        let mut caught: Vec<f64> = water.condensed_g.iter().map(share).collect();
        if condensed <= 0.0 && down > 0.0 {
            caught = vec![down];
        }
        let liquid = number(water.carried_g) + overflow;
        let on = number(water.to_purifier_g);
        let rest = number(water.intake_g) - separator - on;
        Parts {
            all: separator + on + rest.max(0.0),
            caught,
            liquid: liquid.min(on),
            vapour: (on - liquid).max(0.0),
            stays: rest.max(0.0),
            gave: (-rest).max(0.0),
        }
    }
}

/// Where things stand.
struct Plan {
    parts: Parts,
    /// px a gram.
    scale: f64,
    coolers: Vec<f64>,
    sump_x: f64,
    sump_y: f64,
    width: f64,
}

/// The ledger as a ribbon.
pub fn draw(ledger: &Ledger) -> Drawing {
    let water = ledger.water;
    let parts = Parts::of(water);
    let scale = match parts.all > 0.0 {
        true => RIBBON / parts.all,
        false => 0.0,
    };
    let coolers: Vec<f64> = (0..parts.caught.len().max(1))
        .map(|i| FIRST + NEXT * i as f64)
        .collect();
    let sump_x = coolers.last().copied().unwrap_or(FIRST) + 128.0;
    let tail = RIBBON - parts.caught.iter().sum::<f64>() * scale;
    let plan = Plan {
        sump_y: TOP + tail.max(0.0) + 46.0,
        width: sump_x + SUMP + 178.0 + LENS.0 + 12.0,
        parts,
        scale,
        coolers,
        sump_x,
    };
    let mut sheet = Sheet::default();
    plan.vapour(&mut sheet);
    plan.caught(&mut sheet);
    plan.heads(&mut sheet);
    let bottom = plan.sump(&mut sheet, water);
    plan.lens(&mut sheet, ledger);
    let height = bottom.max(28.0 + LENS.1 + 12.0);
    let title = format!("Where {} g of water go", grams(plan.parts.all));
    Drawing::new(title, described(ledger), (plan.width, height), sheet)
}

impl Plan {
    /// What is still vapour, cooler by cooler, along the upper edge.
    fn vapour(&self, sheet: &mut Sheet) {
        let mut left = RIBBON;
        let mut d = format!("M{} {}", at(LEFT), at(TOP + left));
        for (x, caught) in self.coolers.iter().zip(&self.parts.caught) {
            d += &format!("H{}", at(*x));
            left = (left - caught * self.scale).max(0.0);
            d += &format!("V{}", at(TOP + left));
        }
        let end = at(self.sump_x + SUMP);
        d += &format!("H{end}V{}H{}Z", at(TOP), at(LEFT));
        sheet.shape("well", &d);
        sheet.textured("p-vapour", &d);
        sheet.line("hairline", &d);
        let words = Words::new(Pen::Big, format!("{} g", grams(self.parts.all)));
        sheet.write(
            &words.class("halo"),
            (LEFT + 12.0, TOP + 50.0),
            Anchor::Start,
        );
        let drawn_in = Words::new(Pen::Note, "drawn in as vapour").class("halo");
        sheet.write(&drawn_in, (LEFT + 12.0, TOP + 66.0), Anchor::Start);
    }

    /// Ribbons bending down into the sump: the first stage's lowest.
    fn caught(&self, sheet: &mut Sheet) {
        let k = self.scale;
        let mut from = TOP + RIBBON;
        let all: f64 = self.parts.caught.iter().sum();
        let mut to = self.sump_y + all * k;
        for (x, caught) in self.coolers.iter().zip(&self.parts.caught) {
            let h = caught * k;
            let (upper, lower) = (from - h, from);
            let (end_upper, end_lower) = (to - h, to);
            let (sx, bend) = (self.sump_x, 0.5 * (self.sump_x - x));
            let d = format!(
                "M{x0} {u}C{c0} {u} {c1} {eu} {x1} {eu}V{el}C{c1} {el} {c0} {l} {x0} {l}Z",
                x0 = at(*x),
                u = at(upper),
                c0 = at(x + bend),
                c1 = at(sx - bend),
                x1 = at(sx),
                eu = at(end_upper),
                el = at(end_lower),
                l = at(lower)
            );
            if h >= 0.05 {
                sheet.shape("band", &d);
                sheet.textured("p-water", &d);
                sheet.line("hairline", &d);
            }
            from -= h;
            to -= h;
        }
    }

    /// Each cooler with what is caught there, above the ribbon.
    fn heads(&self, sheet: &mut Sheet) {
        let last = self.coolers.len();
        for (i, (x, caught)) in self.coolers.iter().zip(&self.parts.caught).enumerate() {
            sheet.straight("lead", (*x, TOP - 14.0), (*x, TOP + RIBBON));
            let symbol = if i + 1 == last {
                "s-separator"
            } else {
                "s-cooler"
            };
            sheet.symbol(symbol, Rect::new(x - 14.0, TOP - 42.0, 28.0, 28.0));
            let words = Words::new(Pen::Note, format!("caught after stage {}", i + 1));
            sheet.write(&words, (x + 17.0, TOP - 32.0), Anchor::Start);
            let value = Words::new(Pen::Value, format!("{} g", grams(*caught)));
            sheet.write(&value, (x + 17.0, TOP - 16.0), Anchor::Start);
        }
    }

    /// The sump's column with its drains; its lower end on the sheet.
    fn sump(&self, sheet: &mut Sheet, water: &WaterAnswer) -> f64 {
        let h = self.parts.caught.iter().sum::<f64>() * self.scale;
        let column = Rect::new(self.sump_x, self.sump_y, SUMP, h);
        sheet.rect("band", column);
        sheet.texture("p-water", column);
        sheet.frame("m", column);
        let drains: Vec<&Drain> = water.drains.iter().filter(|d| d.ml.is_finite()).collect();
        let ml: f64 = drains.iter().map(|d| d.ml.max(0.0)).sum();
        let mut y = self.sump_y;
        let mut middles = Vec::new();
        for drain in &drains {
            let part = h * drain.ml.max(0.0) / ml.max(f64::MIN_POSITIVE);
            if y > self.sump_y {
                sheet.straight("hairline", (self.sump_x, y), (self.sump_x + SUMP + 5.0, y));
            }
            middles.push((y + 0.5 * part, 18.0));
            y += part;
        }
        middles.truncate(DRAINS);
        let low = spread(
            &middles,
            self.sump_y - 6.0,
            (self.sump_y + h + 40.0).max(190.0),
        );
        let x = self.sump_x + SUMP + 14.0;
        for ((drain, (from, _)), y) in drains.iter().zip(&middles).zip(&low) {
            let d = format!(
                "M{} {}L{} {}",
                at(self.sump_x + SUMP),
                at(*from),
                at(x),
                at(*y)
            );
            sheet.line("lead", &d);
            sheet.symbol("m-action", Rect::new(x + 2.0, y - 7.0, 14.0, 14.0));
            let words = Words::new(Pen::Note, format!("drain {}", time(drain.t_s)));
            let words = words.then(Pen::Value, format!("{} mL", short(drain.ml, 0)));
            sheet.write(&words, (x + 20.0, y + 4.3), Anchor::Start);
        }
        let mut bottom = (self.sump_y + h).max(low.last().map_or(0.0, |y| y + 10.0));
        if drains.len() > DRAINS {
            bottom += 16.0;
            let more = format!("and {} more", drains.len() - DRAINS);
            sheet.say(Pen::Note, more, (x + 20.0, bottom), Anchor::Start);
        }
        let most = format!(
            "Sump: most at once {} of {} mL, oil included.",
            short(water.sump_ml, 0),
            short(water.sump_capacity_ml, 0)
        );
        bottom = (bottom + 20.0).max(28.0 + LENS.1 + 18.0);
        sheet.say(Pen::Note, most, (self.sump_x, bottom), Anchor::Start);
        bottom + 12.0
    }

    /// What goes on, so many times larger.
    fn lens(&self, sheet: &mut Sheet, ledger: &Ledger) {
        let (w, h) = LENS;
        let (x, y) = (self.width - w - 8.0, 28.0);
        let parts = &self.parts;
        let on = (parts.liquid + parts.vapour) * self.scale;
        let times = factor(on, 56.0);
        let tail = self.sump_x + SUMP;
        let (from, to) = (at(tail), at(x));
        let small = at(TOP + on.max(0.6));
        let large = on * times;
        sheet.line(
            "lead",
            &format!(
                "M{from} {}L{to} {}M{from} {small}L{to} {}",
                at(TOP),
                at(y),
                at(y + large)
            ),
        );
        let frame = Rect::new(x, y, w, h);
        sheet.rect("ground", frame);
        let bed = x + 118.0;
        let vapour = Rect::new(x, y, bed - x, parts.vapour * self.scale * times);
        sheet.rect("well", vapour);
        sheet.texture("p-vapour", vapour);
        let liquid = Rect {
            y: y + vapour.h,
            h: parts.liquid * self.scale * times,
            ..vapour
        };
        if liquid.h >= 0.05 {
            sheet.rect("band", liquid);
            sheet.texture("p-water", liquid);
        }
        sheet.straight("hairline", (x, y + large), (bed, y + large));
        sheet.frame("", frame);
        sheet.symbol("s-purifier", Rect::new(bed - 6.0, y + 16.0, 60.0, 104.0));
        let to_purifier = Words::new(
            Pen::Value,
            format!("{} g", grams(parts.liquid + parts.vapour)),
        );
        let line = |i: f64| (x + 10.0, y + large + 18.0 + 15.0 * i);
        sheet.write(&to_purifier, line(0.0), Anchor::Start);
        sheet.say(Pen::Note, "to the purifier,", line(1.0), Anchor::Start);
        let liquid = format!("{} g liquid", grams(parts.liquid));
        sheet.say(Pen::Note, liquid, line(2.0), Anchor::Start);
        self.past(sheet, ledger, (bed + 54.0, y), times);
        let size = match times {
            t if t > 1.0 => format!("drawn {} times larger", short(times, 0)),
            _ => "drawn to the same scale".to_owned(),
        };
        sheet.say(Pen::Note, size, (x + w - 8.0, y + h - 8.0), Anchor::End);
    }

    fn past(&self, sheet: &mut Sheet, ledger: &Ledger, (x, y): (f64, f64), times: f64) {
        let Some(past) = ledger.water.to_cylinder_g.filter(|g| g.is_finite()) else {
            return;
        };
        let h = (past.max(0.0) * self.scale * times).max(0.6);
        sheet.rect(
            "solid",
            Rect::new(x - 6.0, y, self.width - 8.0 - x + 6.0, h.min(20.0)),
        );
        let value = Words::new(Pen::Note, format!("{} g", grams(past)));
        sheet.write(&value, (self.width - 14.0, y + 34.0), Anchor::End);
        sheet.say(
            Pen::Note,
            "past",
            (self.width - 14.0, y + 49.0),
            Anchor::End,
        );
        sheet.say(
            Pen::Note,
            "the bed",
            (self.width - 14.0, y + 64.0),
            Anchor::End,
        );
    }
}

/// The largest of 1, 2 and 5 times a power of ten that keeps `size` within `most`.
fn factor(size: f64, most: f64) -> f64 {
    if size <= 0.0 || size.is_nan() {
        return 1.0;
    }
    let steps = (0..7).flat_map(|power| [1.0, 2.0, 5.0].map(|n| n * 10f64.powi(power)));
    steps.take_while(|n| size * n <= most).last().unwrap_or(1.0)
}

/// Where the water goes, in grams and as a share of what came.
pub fn table(ledger: &Ledger) -> Table {
    let parts = Parts::of(ledger.water);
    let mut table = Table::new("Where the water goes", &["Where", "Grams", "Share"]);
    let mut row = |what: String, g: f64| {
        let share = 100.0 * g / parts.all.max(f64::MIN_POSITIVE);
        table.row([what, grams(g), format!("{} %", short(share, 1))]);
    };
    row("drawn in as vapour".into(), ledger.water.intake_g);
    if parts.gave > 0.0 {
        row("given off by the separator's gas".into(), parts.gave);
    }
    for (i, caught) in parts.caught.iter().enumerate() {
        row(format!("caught after stage {}", i + 1), *caught);
    }
    row("to the purifier as vapour".into(), parts.vapour);
    row("to the purifier as liquid".into(), parts.liquid);
    if parts.stays > 0.0 {
        row("stays in the separator's gas".into(), parts.stays);
    }
    if let Some(past) = ledger.water.to_cylinder_g {
        row("of that past the drying bed".into(), past);
    }
    table
}

/// Everything the drawing says, in sentences.
fn described(ledger: &Ledger) -> String {
    let table = table(ledger);
    let rows = table.rows.iter().map(|row| match &row[..] {
        [what, g, ..] => format!("{what}: {g} g"),
        _ => String::new(),
    });
    let mut said: Vec<String> = rows.collect();
    let drain = |d: &Drain| format!("drain at {}: {} mL", time(d.t_s), short(d.ml, 0));
    said.extend(ledger.water.drains.iter().map(drain));
    if let Some(bed) = ledger.purifier {
        let (before, after) = (grams(bed.held_before_g), grams(bed.held_g));
        said.push(format!(
            "The drying bed held {before} g before and {after} g after"
        ));
    }
    format!("{}.", said.join(". "))
}
