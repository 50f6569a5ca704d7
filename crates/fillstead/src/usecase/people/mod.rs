//! Who may use a book over the network: names, roles and PINs in a file beside it.
//!
//! The file is `BOOK-people`, readable by its owner alone. A PIN is kept only as an Argon2id hash,
//! and neither PIN nor hash goes into the ledger, an export or a log; that somebody came, changed
//! or went is a note in the book. Start at [`add`] and [`sign::sign_in`].
//! Not here: which page needs which role (`web`).

mod file;
mod pin;
pub mod sign;
mod tries;

use std::net::IpAddr;
use std::path::Path;

use serde::{Deserialize, Serialize};

use super::book::add::{self as entries, Added};
use super::book::desk::Who;
use super::book::form::Form;
use crate::usecase::Trouble;
use crate::usecase::clock::now;
use crate::usecase::near::meant;
use sign::Denied;

/// What somebody may do, from least to most: each may what those before may.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Role {
    /// Reads.
    #[default]
    Onlooker,
    /// Writes entries: fills, runs, readings; corrects their own.
    Operator,
    /// Also station, rules, intervals, prices, corrections of others, import.
    Keeper,
}

impl Role {
    /// Every role.
    pub const ALL: [Role; 3] = [Role::Onlooker, Role::Operator, Role::Keeper];

    /// As it is typed and stored.
    pub fn name(self) -> &'static str {
        match self {
            Role::Onlooker => "onlooker",
            Role::Operator => "operator",
            Role::Keeper => "keeper",
        }
    }

    /// What it may do, in a line.
    pub fn may(self) -> &'static str {
        match self {
            Role::Onlooker => "reads",
            Role::Operator => "reads, and writes entries: fills, runs, readings",
            Role::Keeper => "reads, writes entries, and keeps station, rules, intervals and prices",
        }
    }

    /// The role of this name.
    pub fn named(name: &str) -> Result<Role, Trouble> {
        let plain = name.trim().to_lowercase();
        Role::ALL
            .into_iter()
            .find(|role| role.name() == plain)
            .ok_or_else(|| {
                let what = format!("there is no role called \"{name}\"");
                Trouble::new(what, meant(name, &Role::ALL.map(Role::name))).about("role")
            })
    }
}

/// Somebody who may use the book over the network.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Entry {
    /// As entries are signed.
    pub name: String,
    /// What they may do.
    pub role: Role,
    /// The PIN's hash in PHC form.
    pin: String,
    /// When the PIN was given, in seconds since 1970: earlier sessions have ended.
    since: i64,
}

/// Everybody, in the order in which they came.
pub fn list(book: &Path) -> Result<Vec<Entry>, Trouble> {
    file::people(book)
}

/// Whether anybody could sign in; else what to do about it.
pub fn somebody(book: &Path) -> Result<(), Trouble> {
    if !list(book)?.is_empty() {
        return Ok(());
    }
    let book = book.display();
    Err(Trouble::new(
        "nobody could sign in: this book has no people yet",
        format!("add the first with `fillstead people {book} add NAME --role keeper`"),
    ))
}

/// Lets somebody use the book over the network.
pub fn add(
    book: &Path,
    name: &str,
    role: Role,
    pin: &str,
    by: Option<&str>,
) -> Result<Added, Vec<Trouble>> {
    let one = |trouble: Trouble| vec![trouble];
    let name = fit(name).map_err(one)?;
    let _turn = file::turn();
    let mut people = list(book).map_err(one)?;
    if let Some(there) = people.iter().find(|entry| same(&entry.name, &name)) {
        let what = format!("{} is there already, as {}", there.name, there.role.name());
        let remedy = "choose another name, or give this one a new PIN or another role";
        return Err(one(Trouble::new(what, remedy).about("name")));
    }
    let hash = pin::hashed(pin, &name).map_err(one)?;
    let note = format!(
        "{name} may use this book over the network, as {}",
        role.name()
    );
    let added = noted(book, &note, by.unwrap_or(&name))?;
    people.push(Entry {
        name,
        role,
        pin: hash,
        since: seconds(),
    });
    file::keep_people(book, &people).map_err(one)?;
    Ok(added)
}

/// Nobody of this name may use the book over the network from now on.
pub fn remove(book: &Path, name: &str, by: Option<&str>) -> Result<Added, Vec<Trouble>> {
    let one = |trouble: Trouble| vec![trouble];
    let _turn = file::turn();
    let mut people = list(book).map_err(one)?;
    let entry = find(&mut people, name).map_err(one)?.clone();
    let note = format!(
        "{} may no longer use this book over the network",
        entry.name
    );
    keeper_left(&people, &entry.name).map_err(one)?;
    let added = noted(book, &note, by.unwrap_or(&entry.name))?;
    people.retain(|other| other.name != entry.name);
    file::keep_people(book, &people).map_err(one)?;
    sign::end_all(book, &entry.name).map_err(one)?;
    Ok(added)
}

/// Gives somebody another role, from their next request on.
pub fn change_role(
    book: &Path,
    name: &str,
    role: Role,
    by: Option<&str>,
) -> Result<Added, Vec<Trouble>> {
    let one = |trouble: Trouble| vec![trouble];
    let _turn = file::turn();
    let mut people = list(book).map_err(one)?;
    let entry = find(&mut people, name).map_err(one)?.clone();
    if entry.role == role {
        let what = format!("{} is {} already", entry.name, role.name());
        let trouble = Trouble::new(what, "choose another role, or leave it");
        return Err(one(trouble.about("role")));
    }
    keeper_left(&people, &entry.name).map_err(one)?;
    let note = format!(
        "{} uses this book over the network as {} now, no longer as {}",
        entry.name,
        role.name(),
        entry.role.name()
    );
    let added = noted(book, &note, by.unwrap_or(&entry.name))?;
    find(&mut people, name).map_err(one)?.role = role;
    file::keep_people(book, &people).map_err(one)?;
    Ok(added)
}

/// Whether there is a keeper besides this person, should they be one: else nobody could look after
/// the others over the network.
fn keeper_left(people: &[Entry], name: &str) -> Result<(), Trouble> {
    let keepers = people.iter().filter(|entry| entry.role == Role::Keeper);
    let keepers: Vec<&str> = keepers.map(|entry| entry.name.as_str()).collect();
    if keepers != [name] {
        return Ok(());
    }
    let what = format!("{name} is the only keeper, and a book needs one");
    let remedy = "make somebody else keeper first";
    Err(Trouble::new(what, remedy).about("role"))
}

/// Gives somebody a new PIN. Where they were signed in they no longer are, and wrong tries with
/// their name are forgotten.
pub fn new_pin(
    book: &Path,
    name: &str,
    pin: &str,
    by: Option<&str>,
) -> Result<Added, Vec<Trouble>> {
    let one = |trouble: Trouble| vec![trouble];
    let _turn = file::turn();
    let mut people = list(book).map_err(one)?;
    let entry = find(&mut people, name).map_err(one)?;
    let name = entry.name.clone();
    entry.pin = pin::hashed(pin, &name).map_err(one)?;
    entry.since = seconds();
    let note = format!("{name} has a new PIN for the network");
    let added = noted(book, &note, by.unwrap_or(&name))?;
    file::keep_people(book, &people).map_err(one)?;
    sign::end_all(book, &name).map_err(one)?;
    Ok(added)
}

/// Why somebody keeps the PIN they have.
#[derive(Debug)]
pub enum Kept {
    /// The PIN they gave as theirs was not looked at, or is not theirs.
    Denied(Denied),
    /// What is wrong with the new one.
    Wrong(Vec<Trouble>),
}

/// Somebody who is signed in gives themselves a new PIN: the one they have is asked, as at the
/// sign-in. Everywhere else they are signed in no longer; the token for this browser.
pub fn own_pin(
    book: &Path,
    name: &str,
    (old, new): (&str, &str),
    from: IpAddr,
) -> Result<String, Kept> {
    let now = seconds();
    let entry = sign::proven(book, name, old, from, now).map_err(Kept::Denied)?;
    if old == new {
        let trouble = Trouble::new("that is the PIN you have", "choose another one");
        return Err(Kept::Wrong(vec![trouble.about("pin")]));
    }
    new_pin(book, &entry.name, new, Some(&entry.name)).map_err(Kept::Wrong)?;
    let _turn = file::turn();
    // The new PIN is a moment old at least.
    sign::begin(book, &entry.name, None, seconds().max(now)).map_err(|t| Kept::Wrong(vec![t]))
}

/// The PIN, where it was typed the same twice.
pub fn twice<'p>(first: &'p str, again: &str) -> Result<&'p str, Trouble> {
    match first == again {
        true => Ok(first),
        false => {
            let trouble = Trouble::new("the two are not the same", "type it again, slowly");
            Err(trouble.about("pin"))
        }
    }
}

fn find<'p>(people: &'p mut [Entry], name: &str) -> Result<&'p mut Entry, Trouble> {
    let names: Vec<String> = people.iter().map(|entry| entry.name.clone()).collect();
    let known = people.iter_mut().find(|entry| same(&entry.name, name));
    known.ok_or_else(|| {
        let names: Vec<&str> = names.iter().map(String::as_str).collect();
        let what = format!("there is nobody called \"{}\"", name.trim());
        let remedy = match names.is_empty() {
            true => "add them first".to_owned(),
            false => meant(name, &names),
        };
        Trouble::new(what, remedy).about("name")
    })
}

/// Names differ in more than case and space around them.
fn same(a: &str, b: &str) -> bool {
    a.trim().to_lowercase() == b.trim().to_lowercase()
}

/// A name that can sign entries.
fn fit(name: &str) -> Result<String, Trouble> {
    let name = name.trim();
    let fits =
        !name.is_empty() && name.chars().count() <= 80 && !name.chars().any(char::is_control);
    match fits {
        true => Ok(name.to_owned()),
        false => Err(Trouble::new(
            "a name has 1 to 80 letters and no line breaks",
            "give name or initials as entries are to be signed, like MK",
        )
        .about("name")),
    }
}

/// Writes a note in the book.
fn noted(book: &Path, text: &str, by: &str) -> Result<Added, Vec<Trouble>> {
    let form = Form::named("note").map_err(|trouble| vec![trouble])?;
    let who = Who {
        by: Some(by),
        ..Who::default()
    };
    entries::add(
        book,
        form,
        &vec![("text".to_owned(), text.to_owned())],
        &who,
    )
}

/// Seconds since 1970 by this machine's clock.
pub fn seconds() -> i64 {
    now().0.div_euclid(1_000_000)
}
