//! PINs: which are refused, and the hash that is kept of one.
//!
//! Argon2id (RFC 9106) with the least cost that the OWASP Password Storage Cheat Sheet names: 19 MiB
//! of memory, 2 passes, 1 lane. A six-digit PIN could be guessed from its hash all the same; what
//! keeps it is that the file is private and that tries over the network are few ([`super::tries`]).

use argon2::password_hash::{PasswordHasher, PasswordVerifier};
use argon2::{Algorithm, Argon2, Params, Version};

use crate::usecase::Trouble;

/// Memory in KiB: 19 MiB.
const MEMORY_KIB: u32 = 19 * 1024;
/// Passes over it.
const PASSES: u32 = 2;
/// Lanes.
const LANES: u32 = 1;

/// Digits of a PIN, at least.
const LEAST_DIGITS: usize = 6;
/// Letters of a passphrase, at least (NIST SP 800-63B-4, 3.1.1.2, asks 8 of one used with another
/// factor).
const LEAST_LETTERS: usize = 8;
/// Nobody types more.
const MOST_BYTES: usize = 200;

/// What people choose first, and others try first.
const COMMON: [&str; 16] = [
    "password",
    "passwort",
    "passwd",
    "qwerty",
    "qwertz",
    "azerty",
    "letmein",
    "welcome",
    "iloveyou",
    "admin",
    "secret",
    "monkey",
    "dragon",
    "fillstead",
    "abc123",
    "compressor",
];

/// The hash of a PIN for somebody of this name, or why it is refused.
pub fn hashed(pin: &str, name: &str) -> Result<String, Trouble> {
    if let Some(why) = weak(pin, name) {
        let remedy = "choose 6 digits or more without a pattern or a year, or some words together";
        return Err(Trouble::new(why, remedy).about("pin"));
    }
    let hash = argon2().and_then(|argon2| argon2.hash_password(pin.as_bytes()).ok());
    hash.map(|hash| hash.to_string()).ok_or_else(|| {
        Trouble::new(
            "the PIN cannot be kept: this machine gave no random numbers",
            "try again, or restart the machine",
        )
    })
}

/// Whether this is the PIN of that hash. Takes as long where there is no hash.
pub fn matches(pin: &str, hash: Option<&str>) -> bool {
    let Some(argon2) = argon2().filter(|_| pin.len() <= MOST_BYTES) else {
        return false;
    };
    match hash {
        Some(hash) => argon2.verify_password(pin.as_bytes(), hash).is_ok(),
        None => {
            let mut out = [0; Params::DEFAULT_OUTPUT_LEN];
            let _ = argon2.hash_password_into(pin.as_bytes(), &[0; 16], &mut out);
            false
        }
    }
}

fn argon2() -> Option<Argon2<'static>> {
    let params = Params::new(MEMORY_KIB, PASSES, LANES, None).ok()?;
    Some(Argon2::new(Algorithm::Argon2id, Version::V0x13, params))
}

/// Why a PIN is refused.
fn weak(pin: &str, name: &str) -> Option<String> {
    let plain = pin.trim().to_lowercase();
    let letters = plain.chars().count();
    let digits = plain.bytes().all(|b| b.is_ascii_digit());
    let (name, told) = (name.trim().to_lowercase(), |why: &str| Some(why.to_owned()));
    if pin.len() > MOST_BYTES {
        return Some(format!("a PIN has at most {MOST_BYTES} bytes"));
    }
    if digits && letters < LEAST_DIGITS {
        return Some(format!("a PIN of {letters} digits is too short"));
    }
    if !digits && letters < LEAST_LETTERS {
        return Some(format!("a passphrase of {letters} letters is too short"));
    }
    if even(&plain) {
        return told("the PIN counts up, counts down or repeats one sign");
    }
    if repeats(&plain) {
        return told("the PIN repeats a short pattern");
    }
    if digits && has_year(&plain) {
        return told("the PIN begins or ends with a year, which others try first");
    }
    if COMMON
        .iter()
        .any(|word| plain.contains(word) && letters < word.len() + 6)
    {
        return told("the PIN is among those that others try first");
    }
    (!name.is_empty() && plain.contains(&name) && letters < name.chars().count() + 6)
        .then(|| "the PIN holds the name".to_owned())
}

/// Every sign is the same step after the one before: 123456, 987654, 111111.
fn even(pin: &str) -> bool {
    let signs: Vec<i64> = pin.chars().map(|c| i64::from(u32::from(c))).collect();
    let steps: Vec<i64> = signs.windows(2).map(|pair| pair[1] - pair[0]).collect();
    let round = |step: i64| step.rem_euclid(10);
    let all_digits = pin.bytes().all(|b| b.is_ascii_digit());
    let step = |s: &i64| if all_digits { round(*s) } else { *s };
    let first = steps.first().map(step);
    first.is_some_and(|first| {
        ([-1, 0, 1].contains(&first) || all_digits && first == 9)
            && steps.iter().all(|s| step(s) == first)
    })
}

/// A pattern of up to three signs, again and again: 121212, 123123.
fn repeats(pin: &str) -> bool {
    let signs: Vec<char> = pin.chars().collect();
    (1..=3).any(|long| {
        signs.len() >= 2 * long
            && signs
                .iter()
                .zip(signs.iter().skip(long))
                .all(|(a, b)| a == b)
    })
}

/// A year of a life so far at the begin or at the end.
fn has_year(pin: &str) -> bool {
    let year = |text: Option<&str>| {
        let year = text.and_then(|text| text.parse::<u32>().ok());
        year.is_some_and(|year| (1930..2060).contains(&year))
    };
    year(pin.get(..4)) || year(pin.len().checked_sub(4).and_then(|at| pin.get(at..)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_others_try_first_is_refused_with_its_reason() {
        for (pin, reason) in [
            ("12345", "too short"),
            ("123456", "counts up"),
            ("890123", "counts up"),
            ("987654", "counts up, counts down"),
            ("000000", "repeats one sign"),
            ("121212", "pattern"),
            ("471471", "pattern"),
            ("202648", "year"),
            ("481999", "year"),
            ("password1", "try first"),
            ("abcdefgh", "counts up"),
            ("short", "too short"),
            ("marianne1", "holds the name"),
            ("", "too short"),
        ] {
            let why = weak(pin, "Marianne").unwrap_or_else(|| panic!("{pin} was taken"));
            assert!(why.contains(reason), "{pin}: {why}");
        }
        for pin in [
            "583914",
            "40915827",
            "wet hose on a cold morning",
            "marianne fills on friday",
        ] {
            assert_eq!(weak(pin, "Marianne"), None, "{pin}");
        }
        assert!(weak(&"ab3".repeat(100), "MK").is_some());
    }

    /// The form and the least cost that the OWASP Password Storage Cheat Sheet names for Argon2id:
    /// m = 19456 KiB, t = 2, p = 1.
    #[test]
    fn a_hash_says_what_it_cost_and_holds_no_pin() {
        let (a, b) = (
            hashed("583914", "MK").unwrap(),
            hashed("583914", "MK").unwrap(),
        );
        assert!(a.starts_with("$argon2id$v=19$m=19456,t=2,p=1$"), "{a}");
        assert!(a != b && !a.contains("583914"));
        assert!(matches("583914", Some(&a)) && matches("583914", Some(&b)));
        assert!(!matches("583915", Some(&a)) && !matches("", Some(&a)));
        assert!(!matches("583914", None) && !matches("583914", Some("no hash")));
    }
}
