//! Whose initials the invented shop knows: who signs, who answers, who learns, who left.

use jiff::civil::{Date, date};
use record::{Hand, HandRole};

use HandRole::{Supervisor, Technician, Trainee};

/// Everybody who is listed. Nobody has a key: a private one would have to lie beside it.
pub(crate) fn listed() -> Vec<Hand> {
    let hand = |initials: &str, roles: &[HandRole], from: Date, note: &str| Hand {
        initials: initials.into(),
        name: String::new(),
        roles: roles.to_vec(),
        from,
        until: None,
        keys: Vec::new(),
        revoked: Vec::new(),
        note: note.into(),
    };
    vec![
        hand("SH", &[Technician, Supervisor], date(2023, 5, 8), ""),
        hand("MB", &[Technician, Supervisor], date(2026, 9, 1), "Stands in for SH."),
        hand("JO", &[Technician], date(2024, 3, 4), ""),
        hand("KT", &[Technician], date(2024, 9, 2), ""),
        hand("RB", &[Technician], date(2025, 6, 16), ""),
        hand("MS", &[Technician], date(2026, 2, 2), "Learned on Bench 4 until then."),
        hand("AL", &[Trainee], date(2026, 10, 5), "Reads and logs; signs nothing yet."),
        Hand {
            until: Some(date(2025, 11, 28)),
            ..hand(
                "TW",
                &[Technician],
                date(2021, 1, 11),
                "Left before the year that is kept here.",
            )
        },
    ]
}

/// Everybody in one line for the README.
pub(crate) fn told() -> String {
    let each = listed().into_iter().map(|hand| {
        let role = hand.roles.last().map_or("", |role| role.word());
        let until = hand.until.map_or_else(String::new, |until| format!(" until {until}"));
        format!("{} {role} from {}{until}", hand.initials, hand.from)
    });
    each.collect::<Vec<_>>().join(", ")
}
