//! What stands at the head of the shop's papers.

use record::Letterhead;
use record::shown::in_lines;

use super::fields::{FieldKind, Fields, FormField};

pub(super) fn fields(of: Option<&Letterhead>) -> Fields {
    let of = of.cloned().unwrap_or_default();
    Fields(vec![
        FormField::new("name", "Name of the shop", FieldKind::Words).holds(of.name),
        FormField::new("address", "Address", FieldKind::Paragraph)
            .hint("can wait")
            .holds(in_lines(&of.address)),
    ])
}

pub(super) fn value(fields: &Fields) -> Letterhead {
    Letterhead { name: fields.text("name"), address: fields.text("address") }
}
