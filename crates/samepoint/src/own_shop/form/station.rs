//! A station: where its divisions point, how well it reads, what it was calibrated with.

use record::station::READ_TO;
use record::{
    Calibration, Graticule, PerChannel, ReadingUnit, ReferenceUncertainty, Shows, Station,
    StationMap,
};
use solver::{Channel, Spread};

use super::fields::{FieldKind, Fields, FormField, FormWrong};

const SHOWS: [(&str, Shows); 3] = [
    ("one crosshair: a direction", Shows::Direction),
    ("only the difference of both", Shows::Relative),
    ("only inside or outside a box", Shows::Box),
];
const SHOWS_WORDS: [&str; 3] = [SHOWS[0].0, SHOWS[1].0, SHOWS[2].0];
const UNITS: [(&str, ReadingUnit); 5] = [
    ("divisions of its graticule", ReadingUnit::Divisions),
    ("arcminutes", ReadingUnit::Arcmin),
    ("milliradians", ReadingUnit::Mrad),
    ("mils of 1/6400 turn", ReadingUnit::Mil),
    ("prism dioptres", ReadingUnit::PrismDioptre),
];
const UNIT_WORDS: [&str; 5] = [UNITS[0].0, UNITS[1].0, UNITS[2].0, UNITS[3].0, UNITS[4].0];

/// What a channel's map is asked by: key and name, left and right.
struct MapFields {
    key: [&'static str; 2],
    name: [&'static str; 2],
}

impl MapFields {
    fn of(&self, channel: Channel) -> (&'static str, &'static str) {
        let place = usize::from(channel == Channel::Right);
        (self.key[place], self.name[place])
    }
}

macro_rules! asked {
    ($key:literal, $name:literal) => {
        MapFields {
            key: [concat!("map.left.", $key), concat!("map.right.", $key)],
            name: [concat!("Left ", $name), concat!("Right ", $name)],
        }
    };
}

const FLIP_X: MapFields = asked!("flip_x", "x runs the other way");
const FLIP_Y: MapFields = asked!("flip_y", "y runs the other way");
const ROTATION: MapFields = asked!("rotation_deg", "turned by, degrees");
const SCALE_X: MapFields = asked!("arcmin_per_division.x", "x, ′ per division");
const SCALE_Y: MapFields = asked!("arcmin_per_division.y", "y, ′ per division");
const ZERO_X: MapFields = asked!("boresight_divisions.x", "boresight x, divisions");
const ZERO_Y: MapFields = asked!("boresight_divisions.y", "boresight y, divisions");

const GRATICULE: [(&str, &str); 4] = [
    ("graticule.x_divisions.low", "Lowest x line, divisions"),
    ("graticule.x_divisions.high", "Highest x line, divisions"),
    ("graticule.y_divisions.low", "Lowest y line, divisions"),
    ("graticule.y_divisions.high", "Highest y line, divisions"),
];
const REFERENCE: [(&str, &str); 6] = [
    ("reference.common_u_arcmin.x", "Reference, common, x ′"),
    ("reference.common_u_arcmin.y", "Reference, common, y ′"),
    ("reference.own_u_arcmin.left.x", "Reference, left alone, x ′"),
    ("reference.own_u_arcmin.left.y", "Reference, left alone, y ′"),
    ("reference.own_u_arcmin.right.x", "Reference, right alone, x ′"),
    ("reference.own_u_arcmin.right.y", "Reference, right alone, y ′"),
];
const CALIBRATION: [&str; 3] = ["calibration.certificate", "calibration.done", "calibration.due"];

pub(super) fn fields(of: Option<&Station>) -> Fields {
    let mut fields = Vec::new();
    if of.is_none() {
        fields.push(
            FormField::new("name", "Name of the station", FieldKind::Words).hint("such as Bench 1"),
        );
    }
    let shows = of.map_or(Shows::Direction, |station| station.shows);
    let unit = of.map_or(ReadingUnit::Divisions, |station| station.usual_unit);
    let word = |words: &[(&'static str, Shows)]| {
        words.iter().find(|(_, is)| *is == shows).map_or("", |(word, _)| *word)
    };
    fields.push(
        FormField::new("shows", "What it shows at one look", FieldKind::OneOf(&SHOWS_WORDS))
            .holds(word(&SHOWS)),
    );
    let usual = UNITS.iter().find(|(_, is)| *is == unit).map_or("", |(word, _)| *word);
    fields.push(
        FormField::new("usual_unit", "Usually read in", FieldKind::OneOf(&UNIT_WORDS)).holds(usual),
    );
    for channel in Channel::BOTH {
        map_fields(&mut fields, channel, of.map(|station| station.map[channel]));
    }
    let number = |key, name| FormField::new(key, name, FieldKind::Number).hint("not said");
    let spread = of.map(|station| station.spread);
    fields.push(
        number("sigma_arcmin", "Scatter of a reading, ′")
            .heading("How well it reads, standard uncertainties")
            .why("Each axis. Not said: it is estimated from each round.")
            .number(spread.and_then(|spread| spread.sigma_arcmin)),
    );
    fields.push(
        FormField::new("ring_sigma_deg", "Scatter of a ring angle, degrees", FieldKind::Number)
            .hint("0")
            .number(spread.map(|spread| spread.ring_sigma_deg)),
    );
    let reference = of.map(|station| station.reference).unwrap_or_default();
    let own = reference.own_u_arcmin;
    let values = [reference.common_u_arcmin, own.left, own.right].concat();
    for ((key, name), value) in REFERENCE.into_iter().zip(values) {
        let field = FormField::new(key, name, FieldKind::Number)
            .hint("0")
            .number((value != 0.0).then_some(value));
        fields.push(if key == REFERENCE[5].0 {
            field.why("From the certificate. Repeating readings does not make these smaller.")
        } else {
            field
        });
    }
    let graticule = of.and_then(|station| station.graticule);
    let lines = graticule.map(|lines| [lines.x_divisions, lines.y_divisions].concat());
    for (place, (key, name)) in GRATICULE.into_iter().enumerate() {
        let value = lines.as_ref().and_then(|lines| lines.get(place).copied());
        let field = number(key, name).number(value);
        fields.push(if place == 0 { field.heading("Its graticule") } else { field });
    }
    fields.push(
        number(READ_TO, "Read to, divisions")
            .why("What lies beyond the lines is refused when it is typed: nobody can have read it.")
            .number(graticule.and_then(|lines| lines.read_to_divisions)),
    );
    let calibration = of.and_then(|station| station.calibration.clone());
    let day = |day: Option<jiff::civil::Date>| day.map(|day| day.to_string()).unwrap_or_default();
    fields.extend([
        FormField::new(CALIBRATION[0], "Certificate", FieldKind::Words)
            .heading("Calibration")
            .hint("its number, or who did it")
            .holds(calibration.as_ref().map(|known| known.certificate.clone()).unwrap_or_default()),
        FormField::new(CALIBRATION[1], "Calibrated on", FieldKind::Words)
            .hint("2026-11-25")
            .holds(day(calibration.as_ref().and_then(|known| known.done))),
        FormField::new(CALIBRATION[2], "Calibration holds to", FieldKind::Words)
            .hint("2027-11-24")
            .why("Yearly is common practice. Every verdict says when it has run out.")
            .holds(day(calibration.as_ref().map(|known| known.due))),
        FormField::new("note", "Note", FieldKind::Words)
            .hint("lamp class, where it stands")
            .holds(of.map(|station| station.note.clone()).unwrap_or_default()),
    ]);
    Fields(fields)
}

fn map_fields(fields: &mut Vec<FormField>, channel: Channel, map: Option<StationMap>) {
    let field = |asked: &MapFields, kind| {
        let (key, name) = asked.of(channel);
        FormField::new(key, name, kind)
    };
    let heading = match channel {
        Channel::Left => "Left channel: from divisions to directions",
        Channel::Right => "Right channel: from divisions to directions",
    };
    let plain = StationMap::PLAIN;
    let map = map.unwrap_or(plain);
    fields.extend([
        field(&FLIP_X, FieldKind::Tick).heading(heading).ticked(map.flip_x),
        field(&FLIP_Y, FieldKind::Tick)
            .why(
                "Ticked where the number falls when the crosshair goes right, or up, as the user sees it. Flips come \
                 first, then the turn, then the scale.",
            )
            .ticked(map.flip_y),
        field(&ROTATION, FieldKind::Number).hint("0").number((map.rotation_deg != 0.0).then_some(map.rotation_deg)),
        field(&SCALE_X, FieldKind::Number).hint("1").number(Some(map.arcmin_per_division[0])),
        field(&SCALE_Y, FieldKind::Number).hint("1").number(Some(map.arcmin_per_division[1])),
        field(&ZERO_X, FieldKind::Number).hint("0").number(Some(map.boresight_divisions[0])),
        field(&ZERO_Y, FieldKind::Number)
            .hint("0")
            .why("What is read at the collimated target without a viewer.")
            .number(Some(map.boresight_divisions[1])),
    ]);
}

/// The map of a channel alone, for the drawing.
pub(super) fn map(fields: &Fields, channel: Channel) -> Result<StationMap, FormWrong> {
    let number = |asked: &MapFields, usual| fields.or(asked.of(channel).0, usual);
    Ok(StationMap {
        flip_x: fields.is_ticked(FLIP_X.of(channel).0),
        flip_y: fields.is_ticked(FLIP_Y.of(channel).0),
        rotation_deg: number(&ROTATION, 0.0)?,
        arcmin_per_division: [number(&SCALE_X, 1.0)?, number(&SCALE_Y, 1.0)?],
        boresight_divisions: [number(&ZERO_X, 0.0)?, number(&ZERO_Y, 0.0)?],
    })
}

/// The graticule alone.
pub(super) fn graticule(fields: &Fields) -> Result<Option<Graticule>, FormWrong> {
    let keys = GRATICULE.map(|(key, _)| key);
    let read_to_divisions = fields.maybe(READ_TO)?;
    if !fields.any(&keys) && read_to_divisions.is_none() {
        return Ok(None);
    }
    let [x_low, x_high, y_low, y_high] = keys.map(|key| fields.number(key));
    Ok(Some(Graticule {
        x_divisions: [x_low?, x_high?],
        y_divisions: [y_low?, y_high?],
        read_to_divisions,
    }))
}

pub(super) fn value(fields: &Fields, before: Option<&Station>) -> Result<Station, FormWrong> {
    let [left, right] = Channel::BOTH.map(|channel| map(fields, channel));
    let [common_x, common_y, left_x, left_y, right_x, right_y] =
        REFERENCE.map(|(key, _)| fields.or(key, 0.0));
    let calibration = if fields.any(&CALIBRATION) {
        let missing = || FormWrong {
            key: Some(CALIBRATION[2]),
            why: "Calibration holds to: say to which day, or leave all of the calibration empty."
                .to_owned(),
        };
        Some(Calibration {
            certificate: fields.text(CALIBRATION[0]),
            done: fields.day(CALIBRATION[1])?,
            due: fields.day(CALIBRATION[2])?.ok_or_else(missing)?,
        })
    } else {
        None
    };
    Ok(Station {
        name: before.map_or_else(|| fields.text("name"), |station| station.name.clone()),
        shows: SHOWS.get(fields.chosen("shows")).map_or(Shows::Direction, |(_, shows)| *shows),
        usual_unit: UNITS
            .get(fields.chosen("usual_unit"))
            .map_or(ReadingUnit::Divisions, |(_, unit)| *unit),
        map: PerChannel { left: left?, right: right? },
        spread: Spread {
            sigma_arcmin: fields.maybe("sigma_arcmin")?,
            ring_sigma_deg: fields.or("ring_sigma_deg", 0.0)?,
        },
        reference: ReferenceUncertainty {
            own_u_arcmin: PerChannel { left: [left_x?, left_y?], right: [right_x?, right_y?] },
            common_u_arcmin: [common_x?, common_y?],
        },
        graticule: graticule(fields)?,
        calibration,
        checked: before.and_then(|station| station.checked.clone()),
        note: fields.text("note"),
    })
}
