//! What stands at the head of the shop's papers.

use record::Letterhead;

use super::fields::{FieldKind, Fields, FormField};

pub(super) fn fields(of: Option<&Letterhead>) -> Fields {
    let of = of.cloned().unwrap_or_default();
    Fields(vec![
        FormField::new("name", "Name of the shop", FieldKind::Words).holds(of.name),
        FormField::new("address", "Address", FieldKind::Words).hint("can wait").holds(of.address),
    ])
}

pub(super) fn value(fields: &Fields) -> Letterhead {
    Letterhead { name: fields.text("name"), address: fields.text("address") }
}
