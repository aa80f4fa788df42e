//! A tolerance window: its limits, the rule that decides, and where they come from.

use record::{NamedWindow, Rule};

use super::fields::{FieldKind, Fields, FormField, FormWrong};

/// A rule as it is chosen.
const fn told(rule: Rule) -> &'static str {
    match rule {
        Rule::Guarded => "guarded: uncertainty counts in the decision",
        Rule::Simple => "simple: the measured value alone decides",
    }
}

const RULES: [&str; 2] = {
    let [simple, guarded] = Rule::ALL;
    [told(simple), told(guarded)]
};

pub(super) fn fields(of: Option<&NamedWindow>) -> Fields {
    let limits = of.map(|window| window.limits);
    let mut fields = Vec::new();
    if of.is_none() {
        fields.push(FormField::new("name", "Name of the window", FieldKind::Words));
    }
    let rule = told(of.map(|window| window.rule).unwrap_or_default());
    fields.extend([
        FormField::new("source", "Source", FieldKind::Words)
            .hint(record::window::SOURCE_NAMES)
            .why("A window without a source judges nothing: every verdict names it.")
            .holds(of.map(|window| window.source.clone()).unwrap_or_default()),
        FormField::new("convergence", "Convergence ′", FieldKind::Number)
            .heading("Limits, each more than 0")
            .number(limits.map(|limits| limits.convergence_arcmin())),
        FormField::new("divergence", "Divergence ′", FieldKind::Number)
            .number(limits.map(|limits| limits.divergence_arcmin())),
        FormField::new("dipvergence", "Dipvergence ′", FieldKind::Number)
            .number(limits.map(|limits| limits.dipvergence_arcmin())),
        FormField::new("boresight", "Boresight ′", FieldKind::Number)
            .hint("not limited")
            .number(limits.and_then(|limits| limits.boresight_arcmin())),
        FormField::new("rule", "Rule", FieldKind::OneOf(&RULES)).holds(rule),
        FormField::new(
            "far_point_share",
            "Parallax at the far point, share of convergence",
            FieldKind::Number,
        )
        .hint("not said")
        .why("Up to 1: how much of the convergence limit the looking test’s distance may use up.")
        .number(of.and_then(|window| window.far_point_share)),
        FormField::new("note", "Note", FieldKind::Words)
            .holds(of.map(|window| window.note.clone()).unwrap_or_default()),
    ]);
    Fields(fields)
}

/// The limits alone, for the drawing.
pub(super) fn limits(fields: &Fields) -> Result<solver::Window, FormWrong> {
    let [convergence, divergence, dipvergence] =
        ["convergence", "divergence", "dipvergence"].map(|key| fields.number(key));
    let limits =
        solver::Window::new(convergence?, divergence?, dipvergence?, fields.maybe("boresight")?);
    limits.map_err(|why| {
        let key = match &why {
            solver::Error::WindowLimit { limit, .. } => {
                ["convergence", "divergence", "dipvergence", "boresight"]
                    .into_iter()
                    .find(|key| key == limit)
            }
            _ => None,
        };
        FormWrong { key, why: paper::words::capital(&format!("{why}.")) }
    })
}

pub(super) fn value(
    fields: &Fields,
    before: Option<&NamedWindow>,
) -> Result<NamedWindow, FormWrong> {
    Ok(NamedWindow {
        name: before.map_or_else(|| fields.text("name"), |window| window.name.clone()),
        source: fields.text("source"),
        limits: limits(fields)?,
        rule: Rule::ALL.get(fields.chosen("rule")).copied().unwrap_or_default(),
        far_point_share: fields.maybe("far_point_share")?,
        note: fields.text("note"),
    })
}
