//! What a unit is, what a quantity is, and finding a unit by its name.
//!
//! Not here: the tables of units, which stand with each quantity.

/// One unit of one quantity.
///
/// SI value = (number + offset) · scale. Only temperatures have an offset.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unit {
    /// The name printed after a number, such as `bar`.
    pub symbol: &'static str,
    /// Other names accepted when reading. Spaces do not matter.
    pub aliases: &'static [&'static str],
    /// SI units in one of this unit.
    pub scale: f64,
    /// Added to the number before scaling.
    pub offset: f64,
    /// The first letter is a metric prefix, m or M, whose case changes the
    /// size a thousand-million-fold; it must be typed as printed.
    pub prefixed: bool,
}

impl Unit {
    /// A unit in proportion to its SI unit.
    pub(crate) const fn new(
        symbol: &'static str,
        aliases: &'static [&'static str],
        scale: f64,
    ) -> Self {
        Self {
            symbol,
            aliases,
            scale,
            offset: 0.0,
            prefixed: false,
        }
    }

    /// The same unit with its zero moved.
    pub(crate) const fn offset(self, offset: f64) -> Self {
        Self { offset, ..self }
    }

    /// The same unit, strict about its first letter.
    pub(crate) const fn prefixed(self) -> Self {
        Self {
            prefixed: true,
            ..self
        }
    }

    /// The SI value of a number in this unit.
    #[must_use]
    pub const fn to_si(&self, number: f64) -> f64 {
        (number + self.offset) * self.scale
    }

    /// The number in this unit of an SI value.
    #[must_use]
    pub const fn number(&self, si: f64) -> f64 {
        si / self.scale - self.offset
    }

    /// The symbol and all aliases.
    pub(crate) fn names(&self) -> impl Iterator<Item = &'static str> {
        std::iter::once(self.symbol).chain(self.aliases.iter().copied())
    }
}

/// A kind of quantity: its name, its units, its SI value.
pub trait Quantity: Copy {
    /// What it is called in messages, without an article: `gauge pressure`.
    const NAME: &'static str;
    /// Every unit it is read and printed in.
    const UNITS: &'static [Unit];
    /// Accepted forms to show someone, separated by commas.
    const EXAMPLES: &'static str;
    /// The least SI value that can exist; minus infinity where there is none.
    const LEAST: f64 = f64::NEG_INFINITY;
    /// The unit counted by the last part of `12:30`, for a quantity that is
    /// also read that way and as `1 h 30 min`.
    const CLOCK: Option<&'static Unit> = None;
    /// The unit shown to people who work in metric units.
    const METRIC: &'static Unit;
    /// The unit shown to people who work in US units.
    const US: &'static Unit;

    /// From a value in the SI unit.
    fn from_si(si: f64) -> Self;

    /// The value in the SI unit.
    fn si(self) -> f64;

    /// The unit with this symbol or alias.
    #[must_use]
    fn unit(name: &str) -> Option<&'static Unit> {
        match find(Self::UNITS, name) {
            Lookup::Found(unit) => Some(unit),
            Lookup::CaseMatters(_) | Lookup::Unknown => None,
        }
    }
}

/// What looking for a unit gave.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Lookup {
    Found(&'static Unit),
    /// This unit would fit if m and M meant the same.
    CaseMatters(&'static Unit),
    Unknown,
}

/// Finds a unit by name: as written first, then in any case where the case
/// does not change the size.
pub(crate) fn find(units: &'static [Unit], name: &str) -> Lookup {
    // Most figures come as they are printed: there is nothing to make plain.
    if let Some(unit) = units.iter().find(|unit| unit.names().any(|n| n == name)) {
        return Lookup::Found(unit);
    }
    let name = plain(name);
    let exact = |unit: &&Unit| unit.names().any(|n| plain(n) == name);
    if let Some(unit) = units.iter().find(exact) {
        return Lookup::Found(unit);
    }
    let folded = name.to_lowercase();
    let same = |n: &&str| plain(n).to_lowercase() == folded;
    let mut near = Lookup::Unknown;
    for unit in units {
        let Some(known) = unit.names().find(same) else {
            continue;
        };
        if !unit.prefixed || known.chars().next() == name.chars().next() {
            return Lookup::Found(unit);
        }
        near = Lookup::CaseMatters(unit);
    }
    near
}

/// A unit's name without spaces and with one spelling for each sign.
fn plain(name: &str) -> String {
    let mut out = String::with_capacity(name.len());
    for c in name.chars().filter(|c| !c.is_whitespace()) {
        match c {
            '³' => out.push('3'),
            '²' => out.push('2'),
            'º' | '˚' => out.push('°'),
            'μ' => out.push('µ'),
            '℃' => out.push_str("°C"),
            '℉' => out.push_str("°F"),
            _ => out.push(c),
        }
    }
    out
}

/// Declares a quantity: the newtype, a constructor and a reader per unit, and
/// its [`Quantity`] implementation. `shown` gives the places in the table of
/// the metric and the US unit, `clock` that of the second.
macro_rules! quantity {
    (
        $(#[$doc:meta])*
        $type:ident: $name:literal, examples $examples:literal,
        shown $metric:literal $us:literal
        $(, least $least:literal)? $(, clock $clock:literal)?;
        $( $from:ident $reader:ident $unit:expr; )+
    ) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
        pub struct $type(f64);

        impl $type {
            $(
                #[doc = concat!("From a number in this unit: ", stringify!($from), ".")]
                #[must_use]
                pub const fn $from(number: f64) -> Self {
                    const UNIT: $crate::Unit = $unit;
                    Self(UNIT.to_si(number))
                }

                #[doc = concat!("The number in this unit: ", stringify!($from), ".")]
                #[must_use]
                pub const fn $reader(self) -> f64 {
                    const UNIT: $crate::Unit = $unit;
                    UNIT.number(self.0)
                }
            )+
        }

        impl $crate::Quantity for $type {
            const NAME: &'static str = $name;
            const UNITS: &'static [$crate::Unit] = &[$($unit),+];
            const EXAMPLES: &'static str = $examples;
            $(const LEAST: f64 = $least;)?
            $(const CLOCK: Option<&'static $crate::Unit> = Some(&Self::UNITS[$clock]);)?
            const METRIC: &'static $crate::Unit = &Self::UNITS[$metric];
            const US: &'static $crate::Unit = &Self::UNITS[$us];

            fn from_si(si: f64) -> Self {
                Self(si)
            }

            fn si(self) -> f64 {
                self.0
            }
        }
    };
}
pub(crate) use quantity;
