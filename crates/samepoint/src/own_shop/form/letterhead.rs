//! What stands at the head of the shop's papers.

use record::Letterhead;

use super::fields::{Field, Fields, Kind};

pub(super) fn fields(of: Option<&Letterhead>) -> Fields {
    let of = of.cloned().unwrap_or_default();
    Fields(vec![
        Field::new("name", "Name of the shop", Kind::Words).holds(of.name),
        Field::new("address", "Address", Kind::Words).hint("can wait").holds(of.address),
    ])
}

pub(super) fn value(fields: &Fields) -> Letterhead {
    Letterhead { name: fields.text("name"), address: fields.text("address") }
}
