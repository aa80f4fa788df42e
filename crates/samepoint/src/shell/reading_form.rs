//! Ring, x and y of a reading that is kept with its station's map, as a check's or a study's is: typed,
//! refused beside its field, and taken as it stands.

use egui::{Id, Ui};
use record::{ReadingUnit, Station, StationMap, Typed};
use solver::Channel;

use crate::theme::Palette;
use crate::widgets::{NumberChain, NumberField};

/// A field of the form, in the order Enter goes through them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum ReadingField {
    /// The ring angle.
    Ring,
    /// Across.
    X,
    /// Up.
    Y,
}

/// A reading being typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ReadingForm {
    /// Ring angle as typed; empty is none.
    pub ring: String,
    /// Across, as typed.
    pub x: String,
    /// Up, as typed.
    pub y: String,
    /// What was refused, in which field if it was one, and why.
    pub refused: Option<(Option<ReadingField>, String)>,
    /// The field that should have the keyboard in the next frame.
    pub focus: Option<ReadingField>,
}

/// What was typed, as a station reads it.
#[derive(Clone, Debug, PartialEq)]
pub struct TypedReading {
    /// The ring angle, degrees.
    pub ring_deg: Option<Typed>,
    /// Across, as typed.
    pub x: Typed,
    /// Up, as typed.
    pub y: Typed,
    /// The unit x and y were typed in.
    pub unit: ReadingUnit,
    /// The channel's map as the station has it.
    pub map: StationMap,
}

impl ReadingForm {
    /// An empty one that waits in a field.
    #[must_use]
    pub fn at(field: Option<ReadingField>) -> Self {
        Self { focus: field, ..Self::default() }
    }

    /// The reading typed.
    ///
    /// # Errors
    /// Which field is wrong, and how.
    pub fn typed(
        &self,
        station: &Station,
        channel: Channel,
    ) -> Result<TypedReading, (ReadingField, String)> {
        let parse = |field, text: &str| {
            Typed::by_hand(text.trim()).map_err(|why: record::Error| (field, why.to_string()))
        };
        let ring_deg = match self.ring.trim() {
            "" => None,
            typed => Some(parse(ReadingField::Ring, typed)?),
        };
        let (x, y) = (parse(ReadingField::X, &self.x)?, parse(ReadingField::Y, &self.y)?);
        station
            .on_graticule(channel, station.usual_unit, [x.value(), y.value()], false)
            .map_err(|why| (ReadingField::X, why.to_string()))?;
        Ok(TypedReading { ring_deg, x, y, unit: station.usual_unit, map: station.map[channel] })
    }
}

/// How the form stands in its place.
pub(crate) struct ReadingFormLook<'a, I> {
    /// What is read, told before each field's name.
    pub of: &'a str,
    /// The sign of the unit of x and y.
    pub sign: &'a str,
    /// Width of a field, points.
    pub width: f32,
    /// Letters that are commands where no number has been begun.
    pub commands: &'a [char],
    /// Each field's lasting id.
    pub id: I,
}

/// Shows the fields beside each other: whether Enter left the last, and letters that are commands.
pub(crate) fn reading_form_ui(
    ui: &mut Ui,
    palette: &Palette,
    form: &mut ReadingForm,
    look: &ReadingFormLook<'_, impl Fn(ReadingField) -> Id>,
) -> (bool, Vec<char>) {
    if let Some(field) = form.focus.take() {
        ui.memory_mut(|memory| memory.request_focus((look.id)(field)));
    }
    let wrong = form.refused.as_ref().and_then(|(field, _)| *field);
    let mut chain = NumberChain::begun();
    for (field, name, unit, text, hint) in [
        (ReadingField::Ring, "ring", "°", &mut form.ring, "none"),
        (ReadingField::X, "x", look.sign, &mut form.x, ""),
        (ReadingField::Y, "y", look.sign, &mut form.y, ""),
    ] {
        let shown = NumberField {
            id: (look.id)(field),
            name: &format!("{name} {unit}"),
            full_name: &format!("{} {name}", look.of),
            width: look.width,
            hint,
            refused: wrong == Some(field),
            commands: look.commands,
        };
        let response = chain.field_ui(ui, palette, field, &shown, text);
        if response.changed() && wrong.is_none_or(|wrong| wrong == field) {
            form.refused = None;
        }
    }
    let (entered, letters) = chain.heard(ui);
    form.focus = match entered {
        Some(ReadingField::Ring) => Some(ReadingField::X),
        Some(ReadingField::X) => Some(ReadingField::Y),
        Some(ReadingField::Y) | None => None,
    };
    (entered == Some(ReadingField::Y), letters)
}
