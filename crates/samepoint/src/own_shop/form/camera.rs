//! A camera map: of which station, of what size its pictures are, and the marks that it is made of.

use record::Checked as _;
use record::fact::{Camera, Lines};

use super::fields::{FieldKind, Fields, FormField, FormWrong};
use super::marks::{self, MARKS};
use crate::pictures::Seeing;

/// The field of its station.
pub(crate) const STATION: &str = "station";

/// The fields of its size.
pub(super) const SIZE: [&str; 2] = ["size_px.width", "size_px.height"];

const LINES: [&str; 2] = ["brighter than what is round them", "darker than what is round them"];

/// The field that says how the graticule's own lines look; only marking asks for it.
const OWN_LINES: &str = "own_lines";
const OWN: [&str; 2] = ["as the crosshair’s", "the other way round"];

pub(super) fn fields(of: Option<&Camera>) -> Fields {
    let mut fields = Vec::new();
    if of.is_none() {
        fields.push(
            FormField::new("name", "Name of the camera map", FieldKind::Words)
                .hint("such as Bench 2, left of the lamp"),
        );
    }
    let lines = of.map_or(LINES[0], |camera| LINES[usize::from(camera.lines == Lines::Dark)]);
    let size = |place: usize| of.map(|camera| camera.size_px[place] as f64);
    fields.extend([
        FormField::new(STATION, "Station it looks into", FieldKind::Words)
            .hint("its name, as the shop has it")
            .holds(of.map(|camera| camera.station.clone()).unwrap_or_default()),
        FormField::new(SIZE[0], "Width of its pictures, px", FieldKind::Number)
            .hint("from the picture")
            .number(size(0)),
        FormField::new(SIZE[1], "Height of its pictures, px", FieldKind::Number)
            .hint("from the picture")
            .why(
                "A map holds for pictures of this size alone, with the camera where it stands now.",
            )
            .number(size(1)),
        FormField::new("lines", "The crosshair’s lines are", FieldKind::OneOf(&LINES)).holds(lines),
        FormField::new(OWN_LINES, "The graticule’s lines are", FieldKind::OneOf(&OWN))
            .holds(OWN[0]),
        FormField::new(MARKS, "Marks", FieldKind::Marks)
            .heading("Marks")
            .holds(of.map(|camera| marks::text_of(&camera.marks)).unwrap_or_default()),
    ]);
    Fields(fields)
}

/// Whether the graticule's own lines are darker than what is round them.
pub(super) fn graticule_is_dark(fields: &Fields) -> bool {
    (fields.chosen("lines") == 1) != (fields.chosen(OWN_LINES) == 1)
}

/// Width and height of its pictures as typed.
pub(super) fn size_px(fields: &Fields) -> Result<[u64; 2], FormWrong> {
    let side = |key: &'static str| {
        let value = fields.number(key)?;
        let whole = value.fract() == 0.0 && (1.0..=65_535.0).contains(&value);
        if whole {
            Ok(value as u64)
        } else {
            let name = fields.field(key).map_or("", |field| field.name);
            Err(FormWrong {
                key: Some(key),
                why: format!("{name}: a whole number from 1 to 65535."),
            })
        }
    };
    Ok([side(SIZE[0])?, side(SIZE[1])?])
}

pub(super) fn value(fields: &Fields, before: Option<&Camera>) -> Result<Camera, FormWrong> {
    let rows = marks::rows(&fields.text_as_is(MARKS));
    let marks = rows.iter().enumerate().map(|(place, row)| row.mark(place));
    let camera = Camera {
        name: before.map_or_else(|| fields.text("name"), |camera| camera.name.clone()),
        station: fields.text(STATION),
        size_px: size_px(fields)?,
        lines: if fields.chosen("lines") == 1 { Lines::Dark } else { Lines::Bright },
        marks: marks.collect::<Result<_, _>>()?,
    };
    // What the map itself refuses says more than a count.
    let no_map = |why: &reader::MapError| FormWrong {
        key: Some(MARKS),
        why: paper::words::capital(&format!("{why}.")),
    };
    let named = !camera.name.is_empty() && !camera.station.is_empty();
    match Seeing::of(camera.clone()) {
        Err(why) if named => Err(no_map(&why)),
        _ => camera.check().map(|()| camera).map_err(|why| fields.refused(&why)),
    }
}
