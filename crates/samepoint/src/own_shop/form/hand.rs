//! A hand: initials, what it may do, from when to when, its keys.

use jiff::civil::Date;
use record::{Hand, HandKey, Role};

use super::fields::{Field, Fields, Kind, Wrong};

const ROLES: [(&str, &str, Role); 3] = [
    ("roles.trainee", "Trainee: reads and logs, signs nothing", Role::Trainee),
    ("roles.technician", "Technician: signs", Role::Technician),
    ("roles.supervisor", "Supervisor: countersigns and returns", Role::Supervisor),
];

/// Its fields; initials are chosen once, when it is new.
pub(super) fn fields(of: Option<&Hand>, today: Date) -> Fields {
    let mut fields = Vec::new();
    if of.is_none() {
        fields.push(
            Field::new("initials", "Initials", Kind::Words)
                .why("They stand beside every reading. They cannot be changed later."),
        );
    }
    fields.push(
        Field::new("name", "Name in full", Kind::Words)
            .hint("can wait")
            .holds(of.map(|hand| hand.name.clone()).unwrap_or_default()),
    );
    for (place, (key, name, role)) in ROLES.into_iter().enumerate() {
        let has = of.is_some_and(|hand| hand.roles.contains(&role));
        let field = Field::new(key, name, Kind::Tick).ticked(has);
        fields.push(if place == 0 { field.heading("What this hand may do") } else { field });
    }
    let day = |day: Option<Date>| day.map(|day| day.to_string()).unwrap_or_default();
    fields.push(
        Field::new("from", "In force from", Kind::Words)
            .hint("2026-11-25")
            .holds(day(Some(of.map_or(today, |hand| hand.from)))),
    );
    fields.push(
        Field::new("until", "Last day in force", Kind::Words)
            .hint("still in force")
            .why("Who leaves keeps its initials and gets a last day: what it signed stays right.")
            .holds(day(of.and_then(|hand| hand.until))),
    );
    fields.push(
        Field::new("keys", "Public key to add", Kind::Words)
            .hint("the line of its .pub file; can wait")
            .why("With a key its signatures can be sealed. The private part stays with its owner."),
    );
    fields.push(
        Field::new("note", "Note", Kind::Words)
            .holds(of.map(|hand| hand.note.clone()).unwrap_or_default()),
    );
    Fields(fields)
}

/// What they come to.
pub(super) fn value(fields: &Fields, before: Option<&Hand>, today: Date) -> Result<Hand, Wrong> {
    let mut keys = before.map(|hand| hand.keys.clone()).unwrap_or_default();
    let line = fields.text("keys");
    if !line.is_empty() {
        // A key is good from the day it is listed: what was sealed before was not sealed with it.
        let from = before.map(|_| today);
        keys.push(HandKey { line, from, until: None });
    }
    let roles = ROLES.into_iter().filter(|(key, ..)| fields.is_ticked(key));
    Ok(Hand {
        initials: before.map_or_else(|| fields.text("initials"), |hand| hand.initials.clone()),
        name: fields.text("name"),
        roles: roles.map(|(.., role)| role).collect(),
        from: fields.day("from")?.unwrap_or(today),
        until: fields.day("until")?,
        keys,
        revoked: before.map(|hand| hand.revoked.clone()).unwrap_or_default(),
        note: fields.text("note"),
    })
}
