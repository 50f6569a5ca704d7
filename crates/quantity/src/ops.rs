//! Sums that keep their meaning: a point plus a difference is a point, a point
//! minus a point is a difference.
//!
//! Not here: sums of two points, and of gauge with absolute pressure, which
//! mean nothing.

use std::ops::{Add, Sub};

use crate::{
    AbsolutePressure, GaugePressure, PressureDifference, Quantity, Temperature,
    TemperatureDifference,
};

/// Gives a point on a scale its difference.
macro_rules! point {
    ($point:ident, $difference:ident) => {
        impl Add<$difference> for $point {
            type Output = $point;

            fn add(self, by: $difference) -> $point {
                Self::from_si(self.si() + by.si())
            }
        }

        impl Sub<$difference> for $point {
            type Output = $point;

            fn sub(self, by: $difference) -> $point {
                Self::from_si(self.si() - by.si())
            }
        }

        impl Sub for $point {
            type Output = $difference;

            fn sub(self, from: $point) -> $difference {
                $difference::from_si(self.si() - from.si())
            }
        }
    };
}

point!(GaugePressure, PressureDifference);
point!(AbsolutePressure, PressureDifference);
point!(Temperature, TemperatureDifference);
