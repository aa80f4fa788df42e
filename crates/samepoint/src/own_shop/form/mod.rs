//! Forms for what a shop keeps: the fields of each kind, what they come to, and what is another than before.
//!
//! - [`fields`]: fields as typed; [`camera`], [`hand`], [`head_picture`], [`housing`], [`letterhead`], [`station`], [`window`],
//!   [`wording`]: a kind each;
//! - [`marks`]: the marks of a camera map as typed; [`desk`]: its picture, and where marks are put in it; [`fitted`]:
//!   what its marks come to.

pub(crate) mod camera;
pub(crate) mod desk;
pub(crate) mod fields;
pub(crate) mod fitted;
mod hand;
pub(crate) mod head_picture;
mod housing;
mod letterhead;
pub(crate) mod marks;
mod station;
mod window;
mod wording;

use jiff::civil::Date;
use record::{Checked as _, Edited, Graticule, Letterhead, StationMap};
use solver::Channel;

use desk::{CameraDesk, Opened};
use fields::{FieldKind, Fields, FormWrong};
use head_picture::HeadDesk;

/// What kind of thing is edited.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum KeptKind {
    /// Whose shop it is.
    Letterhead,
    /// The picture on its papers.
    HeadPicture,
    /// What it wants printed.
    Wording,
    /// A hand.
    Hand,
    /// A station.
    Station,
    /// A tolerance window.
    Window,
    /// A housing type.
    Housing,
    /// A camera map.
    Camera,
}

/// A form: a new thing, or one that is there.
#[derive(Clone, Debug, PartialEq)]
pub struct Form {
    /// Of what.
    pub of: KeptKind,
    /// What is there; `None`: it is new.
    pub before: Option<Edited>,
    /// As typed.
    pub fields: Fields,
    /// As the form began.
    began: Fields,
    /// What was refused.
    pub wrong: Option<FormWrong>,
    /// What was typed when Esc was pressed and warned of losing it.
    warned: Option<Fields>,
    /// Whether what was refused is to be scrolled to.
    pub show_wrong: bool,
    /// Where a camera map's marks are put in a picture; other kinds have none.
    pub desk: Option<Box<CameraDesk>>,
    /// Where the picture of the shop’s papers is chosen; other kinds have none.
    pub head: Option<Box<HeadDesk>>,
    /// Whether a session being set up asked for it, and takes what is kept.
    pub for_set_up: bool,
    /// What it was before, once asked for: until when, and what was another then.
    pub earlier: Option<Vec<(String, Vec<String>)>>,
    /// Where a station's map is from, and whether that needs a look.
    pub standing: Option<(Vec<String>, bool)>,
    /// The day it is.
    today: Date,
}

impl Form {
    /// A form of something that is there, or of something new.
    #[must_use]
    pub fn new(of: KeptKind, before: Option<Edited>, today: Date) -> Self {
        let fields = fields_of(of, before.as_ref(), today);
        Self {
            of,
            before,
            began: fields.clone(),
            fields,
            wrong: None,
            warned: None,
            show_wrong: false,
            desk: (of == KeptKind::Camera).then(Box::default),
            head: (of == KeptKind::HeadPicture).then(Box::default),
            for_set_up: false,
            earlier: None,
            standing: None,
            today,
        }
    }

    /// Fills a field in before a hand has typed anything: nothing would be lost with it.
    pub(crate) fn offer(&mut self, key: &str, text: &str) {
        for fields in [&mut self.fields, &mut self.began] {
            fields.fill(key, text);
        }
    }

    /// Shows the picture of a graticule, where marks can be put in it.
    pub(crate) fn show_graticule(&mut self, opened: Opened) {
        if let Some(desk) = &mut self.desk {
            desk.show(&mut self.fields, opened);
        }
    }

    /// Says why there is no picture.
    pub(crate) fn refuse_graticule(&mut self, why: String) {
        if let Some(desk) = &mut self.desk {
            desk.opening = false;
            desk.path.refused = Some(why);
        }
    }

    /// Whether something typed would be lost with it.
    #[must_use]
    pub fn is_changed(&self) -> bool {
        self.fields != self.began
    }

    /// Whether it has just been said that what is typed would be lost: with another letter it is not said any more.
    #[must_use]
    pub fn asks_drop(&self) -> bool {
        self.warned.as_ref() == Some(&self.fields)
    }

    /// Says that what is typed would be lost.
    pub fn ask_drop(&mut self) {
        self.warned = Some(self.fields.clone());
    }

    /// Whether another is a form of the same thing.
    #[must_use]
    pub fn is_same_form(&self, other: &Self) -> bool {
        self.of == other.of && self.before == other.before
    }

    /// What the form is called.
    #[must_use]
    pub const fn title(&self) -> &'static str {
        match (self.of, self.before.is_some()) {
            (KeptKind::Letterhead, _) => "Name and address of the shop",
            (KeptKind::HeadPicture, _) => "Picture on the shop’s papers",
            (KeptKind::Wording, _) => "Words in the shop’s reports",
            (KeptKind::Hand, true) => "Change a hand",
            (KeptKind::Hand, false) => "Add a hand",
            (KeptKind::Station, true) => "Change a station",
            (KeptKind::Station, false) => "Add a station",
            (KeptKind::Window, true) => "Change a tolerance window",
            (KeptKind::Window, false) => "Add a tolerance window",
            (KeptKind::Housing, true) => "Change a housing",
            (KeptKind::Housing, false) => "Add a housing",
            (KeptKind::Camera, true) => "Change a camera map",
            (KeptKind::Camera, false) => "Add a camera map",
        }
    }

    /// What the thing is called; empty where it is new.
    #[must_use]
    pub fn name(&self) -> String {
        match &self.before {
            None | Some(Edited::Wording(_) | Edited::HeadPicture(_)) => String::new(),
            Some(Edited::Letterhead(known)) => known.name.clone(),
            Some(Edited::Hand(hand)) => hand.initials.clone(),
            Some(Edited::Station(station)) => station.name.clone(),
            Some(Edited::Window(window)) => window.name.clone(),
            Some(Edited::Housing(housing)) => housing.name.clone(),
            Some(Edited::Camera(camera)) => camera.name.clone(),
        }
    }

    /// What was refused that belongs to no field.
    #[must_use]
    pub fn unplaced(&self) -> Option<&str> {
        self.wrong.as_ref().filter(|wrong| wrong.key.is_none()).map(|wrong| wrong.why.as_str())
    }

    /// What it comes to.
    ///
    /// # Errors
    /// The first thing that is wrong, beside its field where it has one.
    pub fn value(&self) -> Result<Edited, FormWrong> {
        let (fields, before) = (&self.fields, self.before.as_ref());
        let refused = |why: record::Error| fields.refused(&why);
        Ok(match self.of {
            KeptKind::Letterhead => {
                let value: Letterhead = letterhead::value(fields);
                value.check().map_err(refused)?;
                Edited::Letterhead(value)
            }
            KeptKind::HeadPicture => {
                Edited::HeadPicture(head_picture::value(fields, self.head.as_deref())?)
            }
            KeptKind::Wording => {
                let value = wording::value(fields);
                value.check().map_err(refused)?;
                Edited::Wording(value)
            }
            KeptKind::Hand => {
                let before = before
                    .and_then(|of| if let Edited::Hand(hand) = of { Some(hand) } else { None });
                let value = hand::value(fields, before, self.today)?;
                value.check().map_err(refused)?;
                Edited::Hand(value)
            }
            KeptKind::Station => {
                let before = before
                    .and_then(|of| if let Edited::Station(of) = of { Some(&**of) } else { None });
                fields.filled_in(&["name"])?;
                let value = station::value(fields, before)?;
                value.check().map_err(refused)?;
                Edited::Station(Box::new(value))
            }
            KeptKind::Window => {
                let before =
                    before.and_then(|of| if let Edited::Window(of) = of { Some(of) } else { None });
                fields.filled_in(&["name", "source"])?;
                let value = window::value(fields, before)?;
                value.check().map_err(refused)?;
                Edited::Window(value)
            }
            KeptKind::Housing => {
                let before = before
                    .and_then(|of| if let Edited::Housing(of) = of { Some(of) } else { None });
                fields.filled_in(&["name"])?;
                let value = housing::value(fields, before)?;
                value.check().map_err(refused)?;
                Edited::Housing(value)
            }
            KeptKind::Camera => {
                let before =
                    before.and_then(|of| if let Edited::Camera(of) = of { Some(of) } else { None });
                Edited::Camera(camera::value(fields, before)?)
            }
        })
    }

    /// The limits of a window as typed, where they are limits.
    #[must_use]
    pub fn limits(&self) -> Option<solver::Window> {
        window::limits(&self.fields).ok()
    }

    /// The map of a station's channel as typed, where it is one, and its graticule.
    #[must_use]
    pub fn map(&self, channel: Channel) -> Option<(StationMap, Option<Graticule>)> {
        let map = station::map(&self.fields, channel).ok()?;
        let usable = map.arcmin_per_division.iter().all(|scale| *scale > 0.0);
        usable.then(|| (map, station::graticule(&self.fields).ok().flatten()))
    }

    /// The housing as typed, where it is one; what it is called does not matter to what is drawn.
    #[must_use]
    pub fn housing(&self) -> Option<record::Housing> {
        housing::value(&self.fields, None).ok()
    }

    /// What is another in this than in an earlier version: each field's name, then what stood there and what stands
    /// there now.
    #[must_use]
    pub fn differences(now: &Edited, then: &Edited, of: KeptKind, today: Date) -> Vec<String> {
        if let (Edited::HeadPicture(now), Edited::HeadPicture(then)) = (now, then) {
            return vec![format!("Picture: was {}, is {}", then.told(), now.told())];
        }
        let (now, then) = (fields_of(of, Some(now), today), fields_of(of, Some(then), today));
        let said = |text: &str, kind: FieldKind| match (text, kind) {
            ("", FieldKind::Tick) => "no".to_owned(),
            ("", _) => "nothing".to_owned(),
            (text, _) => text.to_owned(),
        };
        let pairs = now.0.iter().filter_map(|field| Some((field, then.field(field.key)?)));
        pairs
            .filter(|(now, then)| now.text != then.text)
            .flat_map(|(now, then)| {
                if now.kind == FieldKind::Marks {
                    return marks::differences(&now.text, &then.text);
                }
                let (was, is) = (said(&then.text, then.kind), said(&now.text, now.kind));
                vec![format!("{}: was {was}, is {is}", now.name)]
            })
            .collect()
    }
}

fn fields_of(of: KeptKind, before: Option<&Edited>, today: Date) -> Fields {
    match (of, before) {
        (KeptKind::Letterhead, Some(Edited::Letterhead(before))) => {
            letterhead::fields(Some(before))
        }
        (KeptKind::HeadPicture, Some(Edited::HeadPicture(before))) => {
            head_picture::fields(Some(before))
        }
        (KeptKind::Wording, Some(Edited::Wording(before))) => wording::fields(Some(before)),
        (KeptKind::Hand, Some(Edited::Hand(before))) => hand::fields(Some(before), today),
        (KeptKind::Station, Some(Edited::Station(before))) => station::fields(Some(before)),
        (KeptKind::Window, Some(Edited::Window(before))) => window::fields(Some(before)),
        (KeptKind::Housing, Some(Edited::Housing(before))) => housing::fields(Some(before)),
        (KeptKind::Camera, Some(Edited::Camera(before))) => camera::fields(Some(before)),
        (KeptKind::Letterhead, _) => letterhead::fields(None),
        (KeptKind::HeadPicture, _) => head_picture::fields(None),
        (KeptKind::Wording, _) => wording::fields(None),
        (KeptKind::Hand, _) => hand::fields(None, today),
        (KeptKind::Station, _) => station::fields(None),
        (KeptKind::Window, _) => window::fields(None),
        (KeptKind::Housing, _) => housing::fields(None),
        (KeptKind::Camera, _) => camera::fields(None),
    }
}
