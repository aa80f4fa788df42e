//! What a shop wants printed in its reports.

use record::Wording;
use record::shown::in_lines;

use super::fields::{FieldKind, Fields, FormField};

pub(super) fn fields(of: Option<&Wording>) -> Fields {
    let of = of.cloned().unwrap_or_default();
    let words = |key, name, kind| FormField::new(key, name, kind).hint("nothing");
    Fields(vec![
        words("above_signatures", "Above the signatures", FieldKind::Paragraph)
            .holds(in_lines(&of.above_signatures))
            .why("A paragraph of the shop’s own: terms, an accreditation, how to complain."),
        words("caution", "Caution of the shop’s own", FieldKind::Paragraph)
            .holds(in_lines(&of.caution))
            .why("It stands after the usual cautions, and takes the place of none."),
        words("footer", "Foot of every page", FieldKind::Words)
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
