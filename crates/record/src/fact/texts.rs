//! Every text in a fact, without exception: the one door through which a text from outside comes.
//!
//! What a hand typed or a file holds is kept letter by letter, and a text may hold what is no letter: a
//! line feed, a command to the terminal, a mark that turns the reading direction. So nothing outside
//! the file sees a fact as it stands: [`plain`] shows each such mark as its number, and the fold, the
//! timeline and all that follows from them read facts after that.
//!
//! Each struct is taken apart without `..`: a text that a new fact brings does not compile until it
//! stands here.

use std::borrow::Cow;

use smol_str::SmolStr;
use solver::PerChannel;

use super::camera::{Camera, Frame};
use super::reading::Reading;
use super::sign::{Countersigned, Number, Returned, Sealed, Signed};
use super::work::{
    Continued, Exercise, Header, LookingTest, Note, NotedPicture, Precondition, PreconditionItem,
    RemedyTaken, RoundOpened, SessionKind, SettingChosen, Setup, ShownPrediction, Withdrawn,
};
use super::{Body, Fact};
use crate::housing::Housing;
use crate::shown;
use crate::station::{Calibration, DailyCheck, Station};
use crate::unit::{Eyepiece, Tube, Unit};
use crate::window::NamedWindow;

/// Something that holds texts from outside.
pub trait Texts {
    /// Shows each text.
    fn texts<'a>(&'a self, each: &mut dyn FnMut(&'a str));
    /// Hands each text over to be changed.
    fn texts_mut(&mut self, each: &mut dyn FnMut(&mut String));
}

/// A fact with every text on one line and its marks visible.
#[must_use]
pub fn plain<B: Texts + Clone>(fact: &Fact<B>) -> Cow<'_, Fact<B>> {
    let mut hidden = false;
    fact.texts(&mut |text| hidden |= shown::is_changed(text));
    if !hidden {
        return Cow::Borrowed(fact);
    }
    let mut fact = fact.clone();
    plainly(&mut fact);
    Cow::Owned(fact)
}

/// The same of several.
#[must_use]
pub fn plain_facts<B: Texts + Clone>(facts: &[Fact<B>]) -> Cow<'_, [Fact<B>]> {
    if facts.iter().all(|fact| matches!(plain(fact), Cow::Borrowed(_))) {
        return Cow::Borrowed(facts);
    }
    Cow::Owned(facts.iter().map(|fact| plain(fact).into_owned()).collect())
}

/// Makes every text of something plain, as it stands.
pub(crate) fn plainly(of: &mut impl Texts) {
    of.texts_mut(&mut |text| {
        if shown::is_changed(text) {
            *text = shown::paragraphs(text);
        }
    });
}

impl Texts for String {
    fn texts<'a>(&'a self, each: &mut dyn FnMut(&'a str)) {
        each(self);
    }
    fn texts_mut(&mut self, each: &mut dyn FnMut(&mut String)) {
        each(self);
    }
}

impl Texts for SmolStr {
    fn texts<'a>(&'a self, each: &mut dyn FnMut(&'a str)) {
        each(self);
    }
    fn texts_mut(&mut self, each: &mut dyn FnMut(&mut String)) {
        let mut text = self.to_string();
        each(&mut text);
        *self = text.into();
    }
}

impl<T: Texts> Texts for Option<T> {
    fn texts<'a>(&'a self, each: &mut dyn FnMut(&'a str)) {
        self.iter().for_each(|held| held.texts(each));
    }
    fn texts_mut(&mut self, each: &mut dyn FnMut(&mut String)) {
        self.iter_mut().for_each(|held| held.texts_mut(each));
    }
}

impl<T: Texts> Texts for Vec<T> {
    fn texts<'a>(&'a self, each: &mut dyn FnMut(&'a str)) {
        self.iter().for_each(|held| held.texts(each));
    }
    fn texts_mut(&mut self, each: &mut dyn FnMut(&mut String)) {
        self.iter_mut().for_each(|held| held.texts_mut(each));
    }
}

impl<T: Texts> Texts for PerChannel<T> {
    fn texts<'a>(&'a self, each: &mut dyn FnMut(&'a str)) {
        self.left.texts(each);
        self.right.texts(each);
    }
    fn texts_mut(&mut self, each: &mut dyn FnMut(&mut String)) {
        self.left.texts_mut(each);
        self.right.texts_mut(each);
    }
}

/// `texts!(Struct { fields with texts; fields without });` and `texts!(enum Enum { variants that hold
/// texts; variants that hold none; variants that hold nothing });`, all of them.
macro_rules! texts {
    ($of:ident $(<$part:ident>)? { $($text:ident),*; $($other:ident),* }) => {
        impl $(<$part: $crate::fact::texts::Texts>)? $crate::fact::texts::Texts for $of $(<$part>)? {
            fn texts<'a>(&'a self, each: &mut dyn FnMut(&'a str)) {
                let (Self { $($text,)* $($other: _,)* }, _) = (self, &each);
                $($crate::fact::texts::Texts::texts($text, each);)*
            }
            fn texts_mut(&mut self, each: &mut dyn FnMut(&mut String)) {
                let (Self { $($text,)* $($other: _,)* }, _) = (self, &each);
                $($crate::fact::texts::Texts::texts_mut($text, each);)*
            }
        }
    };
    (enum $of:ident { $($text:ident),*; $($other:ident),*; $($none:ident),* }) => {
        impl $crate::fact::texts::Texts for $of {
            fn texts<'a>(&'a self, each: &mut dyn FnMut(&'a str)) {
                match self {
                    $(Self::$text(held) => $crate::fact::texts::Texts::texts(held, each),)*
                    $(Self::$other(_) => {})*
                    $(Self::$none => {})*
                }
            }
            fn texts_mut(&mut self, each: &mut dyn FnMut(&mut String)) {
                match self {
                    $(Self::$text(held) => $crate::fact::texts::Texts::texts_mut(held, each),)*
                    $(Self::$other(_) => {})*
                    $(Self::$none => {})*
                }
            }
        }
    };
}
pub(crate) use texts;

impl<B: Texts> Texts for Fact<B> {
    fn texts<'a>(&'a self, each: &mut dyn FnMut(&'a str)) {
        let Self { seq: _, time: _, hand, body } = self;
        each(hand);
        body.texts(each);
    }
    fn texts_mut(&mut self, each: &mut dyn FnMut(&mut String)) {
        let Self { seq: _, time: _, hand, body } = self;
        each(hand);
        body.texts_mut(each);
    }
}

texts!(enum Body {
    Header, Setup, Precondition, Station, Window, Housing, Unit, RoundOpened, Reading, Withdrawn,
    SettingChosen, RemedyTaken, LookingTest, Note, Picture, Signed, Countersigned, Returned,
    Sealed, Camera, Frame;
    Undo, Redo;
});

texts!(Header { program, session, kind, continues; format });
texts!(enum SessionKind { Practice; ; Real });
texts!(Exercise { name; seed });
texts!(Continued { file, session, last_hash; facts });
texts!(Setup { job, customer, complaint, note; ipd_mm, dioptre });
texts!(Precondition { item, note; done });
texts!(enum PreconditionItem {
    Other; ;
    StationChecked, UnitIdentified, DioptresAtZero, ObjectivesAtInfinity, IpdSet, UnitSeated, LampLow,
    CautionsRead
});
texts!(RoundOpened { note; why });
// Numbers as typed hold digits and signs and nothing else.
texts!(Reading { ; round, purpose, swing_stop, ipd_mm, lock, reseated, dioptre, seen });
texts!(Withdrawn { reason; reading });
texts!(SettingChosen {
    reason;
    round, source, ring_deg, points_arcmin, misalignment_arcmin, boresight_arcmin, window_use,
    worst_window_use
});
texts!(RemedyTaken { prediction, note; round, remedy });
texts!(ShownPrediction {
    words;
    circles, crossing_arcmin, crossing_u_arcmin, ring_deg, window_use, worst_window_use, basis
});
texts!(LookingTest { observer, note; distance_m, result });
texts!(Note { text; about });
texts!(NotedPicture { hash, extension, caption; about });
texts!(Signed { program, numbers, statement; round, verdict, rule, window, station, rests_on });
texts!(Number { name; value });
texts!(Countersigned { last_hash, comment, hands_sha256; signature });
texts!(Returned { comment; signature });
// A seal is armour of many lines and is read as such; it is checked, never shown.
texts!(Sealed { ; seq, sshsig });
texts!(Camera { name, station; size_px, lines, marks });
texts!(Frame { picture_sha256, background_sha256; reading, read, crosshairs });

texts!(Station {
    name, calibration, checked, note;
    shows, usual_unit, map, spread, reference, graticule
});
texts!(Calibration { certificate; done, due });
texts!(DailyCheck { note; time, passed });
texts!(NamedWindow { name, source, note; limits, rule, far_point_share });
texts!(Housing {
    name, note;
    objective_focal_mm, eyepiece_focal_mm, tube, seat, adjustment, ipd_range_mm, ring_step_deg
});
texts!(Unit { name, housing, tubes, eyepieces, note; shims });
texts!(Tube { serial; turned_deg });
texts!(Eyepiece { serial; ring });

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]
    use super::*;
    use crate::stamp::Stamp;

    fn note(text: &str) -> Fact {
        let body = Body::Note(Note { text: text.into(), about: None });
        let time = Stamp::from_unix_milliseconds(0).unwrap();
        Fact { seq: 2, time, hand: "SH".into(), body }
    }

    #[test]
    fn only_facts_that_hide_something_are_copied() {
        assert!(matches!(plain(&note("Δ′ − 機")), Cow::Borrowed(_)));
        let shown = plain(&note("a\nSigned “pass” by SH")).into_owned();
        assert_eq!(shown, note("a ↵ Signed “pass” by SH"));
    }
}
