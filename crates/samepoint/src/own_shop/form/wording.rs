//! What a shop wants printed in its reports.

use record::Wording;

use super::fields::{FieldKind, Fields, FormField};

pub(super) fn fields(of: Option<&Wording>) -> Fields {
    let of = of.cloned().unwrap_or_default();
    let words = |key, name| FormField::new(key, name, FieldKind::Words).hint("nothing");
    Fields(vec![
        words("above_signatures", "Above the signatures")
            .holds(of.above_signatures)
            .why("A paragraph of the shop’s own: terms, an accreditation, how to complain."),
        words("caution", "Caution of the shop’s own")
            .holds(of.caution)
            .why("It stands after the usual cautions, and takes the place of none."),
        words("footer", "Foot of every page")
            .holds(of.footer)
            .why("One line, at most 120 letters, below the line that names the session."),
    ])
}

pub(super) fn value(fields: &Fields) -> Wording {
    Wording {
        above_signatures: fields.text("above_signatures"),
        caution: fields.text("caution"),
        footer: fields.text("footer"),
    }
}
