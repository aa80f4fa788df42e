//! A hand: initials, what it may do, from when to when, its keys.

use jiff::civil::Date;
use record::{Hand, HandKey, HandRole};

use super::fields::{FieldKind, Fields, FormField, FormWrong};

const ROLES: [(&str, &str, HandRole); 3] = [
    ("roles.trainee", "Trainee: reads and logs, signs nothing", HandRole::Trainee),
    ("roles.technician", "Technician: signs", HandRole::Technician),
    ("roles.supervisor", "Supervisor: countersigns and returns", HandRole::Supervisor),
];

/// Its fields; initials are chosen once, when it is new.
pub(super) fn fields(of: Option<&Hand>, today: Date) -> Fields {
    let mut fields = Vec::new();
    if of.is_none() {
        fields.push(
            FormField::new("initials", "Initials", FieldKind::Words)
                .why("They stand beside every reading. They cannot be changed later."),
        );
    }
    fields.push(
        FormField::new("name", "Name in full", FieldKind::Words)
            .hint("can wait")
            .holds(of.map(|hand| hand.name.clone()).unwrap_or_default()),
    );
    for (place, (key, name, role)) in ROLES.into_iter().enumerate() {
        let has = of.is_some_and(|hand| hand.roles.contains(&role));
        let field = FormField::new(key, name, FieldKind::Tick).ticked(has);
        fields.push(if place == 0 { field.heading("What this hand may do") } else { field });
    }
    let day = |day: Option<Date>| day.map(|day| day.to_string()).unwrap_or_default();
    fields.push(
        FormField::new("from", "In force from", FieldKind::Words)
            .hint("2026-11-25")
            .holds(day(Some(of.map_or(today, |hand| hand.from)))),
    );
    fields.push(
        FormField::new("until", "Last day in force", FieldKind::Words)
            .hint("still in force")
            .why("Who leaves keeps its initials and gets a last day: what it signed stays right.")
            .holds(day(of.and_then(|hand| hand.until))),
    );
    fields.push(
        FormField::new("keys", "Public key to add", FieldKind::Words)
            .hint("the line of its .pub file; can wait")
            .why("With a key its signatures can be sealed. The private part stays with its owner."),
    );
    fields.push(
        FormField::new("note", "Note", FieldKind::Words)
            .holds(of.map(|hand| hand.note.clone()).unwrap_or_default()),
    );
    Fields(fields)
}

/// What they come to.
pub(super) fn value(
    fields: &Fields,
    before: Option<&Hand>,
    today: Date,
) -> Result<Hand, FormWrong> {
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
