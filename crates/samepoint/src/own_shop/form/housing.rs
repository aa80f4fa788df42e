//! A housing type: its optics, its seats for shims, how its pods move.

use record::{Adjustment, Hinge, Housing, Seat, ShimEnds, TubeKind};

use super::fields::{FieldKind, Fields, FormField, FormWrong, list};

const TUBES: [&str; 2] = ["turn the image over (inverting)", "leave the image (straight-through)"];
const MOVES: [&str; 3] = ["not said", "pods swing about hinges", "pods slide"];
const ENDS: [(&str, &str, ShimEnds); 3] = [
    ("seat.ends.front", "Shims may go at the front end", ShimEnds::Front),
    ("seat.ends.rear", "Shims may go at the rear end", ShimEnds::Rear),
    ("seat.ends.both", "Shims may go at both ends alike", ShimEnds::Both),
];
const HINGE: [&str; 2] = ["adjustment.spread_mm", "adjustment.arm_mm"];
const SEAT: [&str; 3] = ["seat.clock_deg", "seat.leaves_mm", "seat.largest_stack_mm"];

pub(super) fn fields(of: Option<&Housing>) -> Fields {
    let mut fields = Vec::new();
    if of.is_none() {
        fields
            .push(FormField::new("name", "Name of the housing", FieldKind::Words).hint("its type"));
    }
    let tube = of.map_or(TUBES[0], |housing| match housing.tube {
        TubeKind::Inverting => TUBES[0],
        TubeKind::StraightThrough => TUBES[1],
    });
    let (moves, hinge) = match of.map(|housing| housing.adjustment) {
        Some(Adjustment::Hinge(hinge)) => (MOVES[1], Some(hinge)),
        Some(Adjustment::Slide) => (MOVES[2], None),
        Some(Adjustment::Unknown) | None => (MOVES[0], None),
    };
    let seat = of.and_then(|housing| housing.seat.as_ref());
    let range = of.and_then(|housing| housing.ipd_range_mm);
    let optional = |key, name| FormField::new(key, name, FieldKind::Number).hint("not said");
    fields.extend([
        optional("objective_focal_mm", "Objective focal length, mm")
            .heading("Optics")
            .number(of.and_then(|housing| housing.objective_focal_mm)),
        optional("eyepiece_focal_mm", "Eyepiece focal length, mm")
            .why("What a shim or a decentred lens does follows from it; without it no shim is worked out.")
            .number(of.and_then(|housing| housing.eyepiece_focal_mm)),
        FormField::new("tube", "Its tubes", FieldKind::OneOf(&TUBES)).holds(tube),
        FormField::new("ring_step_deg", "Rings are set to, degrees", FieldKind::Number)
            .hint("1")
            .number(of.map(|housing| housing.ring_step_deg)),
        FormField::new("adjustment", "How the pods move", FieldKind::OneOf(&MOVES)).heading("Pods").holds(moves),
        optional(HINGE[0], "Hinges apart, mm").number(hinge.map(|hinge| hinge.spread_mm)),
        optional(HINGE[1], "From hinge to pod axis, mm").number(hinge.map(|hinge| hinge.arm_mm)),
        FormField::new("adjustment.pods_above", "Pods stand above their hinges in use", FieldKind::Tick)
            .ticked(hinge.is_none_or(|hinge| hinge.pods_above)),
        optional("ipd_range_mm.low", "Least interpupillary distance, mm")
            .number(range.map(|[low, _]| low)),
        optional("ipd_range_mm.high", "Greatest interpupillary distance, mm")
            .number(range.map(|[_, high]| high)),
        FormField::new(SEAT[0], "Clock positions for shims, degrees", FieldKind::Numbers)
            .heading("Seats for shims")
            .hint("such as 20 130 250; empty: takes none")
            .why("Degrees clockwise from up, seen from the eye side, with spaces between.")
            .holds(seat.map(|seat| list(&seat.clock_deg)).unwrap_or_default()),
        FormField::new(SEAT[1], "Shim leaves in stock, mm", FieldKind::Numbers)
            .hint("such as 0.02 0.05 0.10")
            .holds(seat.map(|seat| list(&seat.leaves_mm)).unwrap_or_default()),
        optional(SEAT[2], "Thickest stack that fits, mm")
            .number(seat.map(|seat| seat.largest_stack_mm)),
    ]);
    for (key, name, ends) in ENDS {
        let has = seat.map_or(ends == ShimEnds::Both, |seat| seat.ends.contains(&ends));
        fields.push(FormField::new(key, name, FieldKind::Tick).ticked(has));
    }
    fields.push(
        FormField::new("note", "Note", FieldKind::Words)
            .holds(of.map(|housing| housing.note.clone()).unwrap_or_default()),
    );
    Fields(fields)
}

pub(super) fn value(fields: &Fields, before: Option<&Housing>) -> Result<Housing, FormWrong> {
    let adjustment = match fields.chosen("adjustment") {
        1 => Adjustment::Hinge(Hinge {
            spread_mm: fields.number(HINGE[0])?,
            arm_mm: fields.number(HINGE[1])?,
            pods_above: fields.is_ticked("adjustment.pods_above"),
        }),
        chosen => {
            // What is typed for hinges is read all the same: it is refused where it stands, never passed over.
            fields.maybe(HINGE[0])?;
            fields.maybe(HINGE[1])?;
            if chosen == 2 { Adjustment::Slide } else { Adjustment::Unknown }
        }
    };
    let range = ["ipd_range_mm.low", "ipd_range_mm.high"];
    let ipd_range_mm = if fields.any(&range) {
        Some([fields.number(range[0])?, fields.number(range[1])?])
    } else {
        None
    };
    let seat = fields.any(&SEAT).then(|| -> Result<Seat, FormWrong> {
        let needed = |key: &'static str| -> Result<Vec<f64>, FormWrong> {
            let values = fields.numbers(key)?;
            if values.is_empty() { fields.number(key).map(|one| vec![one]) } else { Ok(values) }
        };
        let ends: Vec<ShimEnds> = ENDS
            .into_iter()
            .filter(|(key, ..)| fields.is_ticked(key))
            .map(|(.., ends)| ends)
            .collect();
        if ends.is_empty() {
            let why = "Say at which end shims may go.".to_owned();
            return Err(FormWrong { key: Some(ENDS[0].0), why });
        }
        Ok(Seat {
            clock_deg: needed(SEAT[0])?,
            ends,
            leaves_mm: needed(SEAT[1])?,
            largest_stack_mm: fields.number(SEAT[2])?,
        })
    });
    Ok(Housing {
        name: before.map_or_else(|| fields.text("name"), |housing| housing.name.clone()),
        objective_focal_mm: fields.maybe("objective_focal_mm")?,
        eyepiece_focal_mm: fields.maybe("eyepiece_focal_mm")?,
        tube: if fields.chosen("tube") == 1 {
            TubeKind::StraightThrough
        } else {
            TubeKind::Inverting
        },
        seat: seat.transpose()?,
        adjustment,
        ipd_range_mm,
        ring_step_deg: fields.or("ring_step_deg", 1.0)?,
        note: fields.text("note"),
    })
}
