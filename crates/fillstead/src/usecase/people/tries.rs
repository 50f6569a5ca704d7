//! Wrong tries to sign in: how long to wait after them, for a name and for an address.
//!
//! From the fifth wrong try on, the wait doubles from half a minute to a quarter of an hour, and no
//! further: tries made while waiting do not count, so nobody can make a wait longer by knocking. A
//! person at an address they have signed in from before waits for that address alone, so that
//! knocking from elsewhere does not shut them out. A day without a try forgets them.

use std::net::IpAddr;

use serde::{Deserialize, Serialize};

/// Wrong tries before the first wait.
const FREE: u32 = 5;
/// The first wait, s.
const FIRST_S: i64 = 30;
/// The longest, s.
const LONGEST_S: i64 = 900;
/// After so long without a try they are forgotten, s.
const FORGOTTEN_S: i64 = 86_400;
/// So many are kept; the oldest make room.
const MOST: usize = 2000;

/// Tries with one name, or from one address.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Tries {
    /// Whose: the hash of a name, or an address.
    of: String,
    /// How many in a row.
    count: u32,
    /// When the last was.
    last: i64,
    /// No try counts before.
    until: i64,
}

/// Seconds left to wait; none where a try may be made.
pub fn left(tries: &[Tries], of: &str, now: i64) -> Option<i64> {
    let tries = tries.iter().find(|tries| tries.of == of)?;
    // A clock put back must not make a wait longer than it was meant.
    Some((tries.until - now).min(LONGEST_S)).filter(|left| *left > 0)
}

/// Counts a try that is about to be made; it is forgiven if it is right.
pub fn count(all: &mut Vec<Tries>, of: &str, now: i64) {
    all.retain(|tries| now - tries.last < FORGOTTEN_S);
    if all.iter().all(|tries| tries.of != of) {
        if all.len() >= MOST {
            let oldest = (0..all.len()).min_by_key(|&i| all[i].last);
            oldest.map(|oldest| all.remove(oldest));
        }
        all.push(Tries {
            of: of.to_owned(),
            count: 0,
            last: now,
            until: now,
        });
    }
    if let Some(tries) = all.iter_mut().find(|tries| tries.of == of) {
        tries.count = tries.count.saturating_add(1);
        tries.last = now;
        let doubled = tries.count.checked_sub(FREE).map(|over| over.min(10));
        tries.until = doubled.map_or(now, |times| now + (FIRST_S << times).min(LONGEST_S));
    }
}

/// Forgets the tries of one.
pub fn forgive(all: &mut Vec<Tries>, of: &str) {
    all.retain(|tries| tries.of != of);
}

/// What counts as one address: of IPv6 the first 64 bits, which one machine may choose from.
pub fn address(from: IpAddr) -> String {
    match from.to_canonical() {
        IpAddr::V4(v4) => format!("from {v4}"),
        IpAddr::V6(v6) => {
            let [a, b, c, d, ..] = v6.segments();
            format!("from {a:x}:{b:x}:{c:x}:{d:x}::/64")
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_wait_doubles_and_has_an_end() {
        let (mut all, mut now, mut waits) = (Vec::new(), 1000, Vec::new());
        for _ in 0..12 {
            assert_eq!(left(&all, "a", now), None);
            count(&mut all, "a", now);
            let wait = left(&all, "a", now).unwrap_or(0);
            waits.push(wait);
            now += wait;
        }
        assert_eq!(waits, [0, 0, 0, 0, 30, 60, 120, 240, 480, 900, 900, 900]);
        assert_eq!(left(&all, "b", now), None);
        // A clock that was put back a year.
        assert_eq!(left(&all, "a", now - 31_536_000), Some(900));
        forgive(&mut all, "a");
        assert!(all.is_empty());
    }

    #[test]
    fn a_day_forgets_and_a_flood_is_bounded() {
        let mut all = Vec::new();
        for i in 0..5000 {
            count(&mut all, &format!("{i}"), i);
        }
        assert_eq!(all.len(), MOST);
        count(&mut all, "late", 5000 + FORGOTTEN_S);
        assert_eq!(all.len(), 1);
    }

    #[test]
    fn one_machine_is_one_address() {
        let of = |text: &str| address(text.parse().unwrap());
        assert_eq!(of("2001:db8:1:2:3:4:5:6"), of("2001:db8:1:2:ffff::1"));
        assert_ne!(of("2001:db8:1:2::1"), of("2001:db8:1:3::1"));
        assert_eq!(of("::ffff:192.168.1.5"), of("192.168.1.5"));
        assert_ne!(of("192.168.1.5"), of("192.168.1.6"));
    }
}
