//! What the glass shows of the camera: its picture, what was found, circles and targets, and what is said of it.

use solver::{Channel, Direction, OffsetCircle, PerChannel};

use super::eyes::LiveFrame;
use super::following::Says;
use crate::app::App;
use crate::bench::session::OpenSession;
use crate::pictures::Seeing;
use crate::widgets::Tone;
use crate::widgets::chart::GreyTexture;

/// Points round a circle.
const ROUND: u16 = 120;

/// A frame as a texture.
pub(crate) struct FrameTexture {
    picture: GreyTexture,
    number: u64,
}

/// What is drawn.
pub(crate) struct LiveGlass {
    /// The picture, where there is one.
    pub(crate) picture: Option<LivePicture>,
    /// What is said, the first first.
    pub(crate) told: Vec<(Tone, String)>,
}

/// A picture and what lies over it, in its pixels.
pub(crate) struct LivePicture {
    pub(crate) grey: GreyTexture,
    /// Whether it is too old to be what is seen now.
    pub(crate) old: bool,
    /// What was found: the row's channel, the other, or not told.
    pub(crate) crosshairs: Vec<([f64; 2], Option<Channel>)>,
    pub(crate) circles: PerChannel<Vec<[f64; 2]>>,
    pub(crate) targets: PerChannel<Option<[f64; 2]>>,
}

impl App {
    /// What the glass shows of the camera; `None` where there is none.
    pub(crate) fn live_glass(&mut self, ctx: &egui::Context) -> Option<LiveGlass> {
        if !self.camera.live.is_there() {
            return None;
        }
        let told = self.live_told();
        let live = &mut self.camera.live;
        let is_current = live.current().is_some();
        let is_old = !is_current && !live.looks_again();
        let Some(now) = live.now.clone() else { return Some(LiveGlass { picture: None, told }) };
        let shown = shown(live.shown.take(), ctx, &now);
        let grey = shown.picture.clone();
        live.shown = Some(shown);
        let over = self.session.as_ref().filter(|session| session.told().is_ok());
        let (circles, targets) =
            over.map(|session| laid_over(session, &now.seeing)).unwrap_or_default();
        let picture = LivePicture {
            grey,
            old: is_old,
            crosshairs: if is_current { self.found(&now) } else { Vec::new() },
            circles,
            targets,
        };
        Some(LiveGlass { picture: Some(picture), told })
    }

    /// Where crosshairs were found, and whose they are.
    fn found(&self, now: &LiveFrame) -> Vec<([f64; 2], Option<Channel>)> {
        let Ok(found) = &now.found else { return Vec::new() };
        let mine = match self.frame_says(now) {
            Says::Reads(filled) => Some(filled.place),
            Says::Either(_) | Says::Doubted | Says::Nothing => None,
        };
        let channel = self.entry.channel;
        let whose =
            |place: usize| mine.map(|mine| if mine == place { channel } else { channel.other() });
        found
            .iter()
            .enumerate()
            .map(|(place, placed)| (placed.crosshair.px, whose(place)))
            .collect()
    }

    /// What is said of the camera.
    pub(crate) fn live_told(&self) -> Vec<(Tone, String)> {
        let live = &self.camera.live;
        let mut told = Vec::new();
        if let Some(over) = &live.over {
            told.extend(over.told().into_iter().map(|said| (Tone::Look, said)));
        }
        if let Some(sweep) = &self.camera.sweep {
            told.push((Tone::Plain, sweep.told()));
        }
        let since = live.now.as_ref().map(|now| now.frame.at);
        if let Some(running) = &live.running
            && !live.frozen
        {
            if live.looks_again() {
                told.push((Tone::Plain, "The camera looks.".to_owned()));
            } else if let Some(silence) = running.silence(since).filter(|_| !live.films_invented())
            {
                told.push((Tone::Look, silence));
            } else if since.is_none() {
                told.push((Tone::Plain, running.begins()));
            }
        }
        let Some(now) = live.current() else { return told };
        if live.frozen {
            told.push((
                Tone::Plain,
                format!("Frozen at frame {}; Ctrl+F goes on.", now.frame.number),
            ));
        }
        if let Some(under) = &now.background {
            let name = record::shown::path(&under.path);
            told.push((Tone::Plain, format!("Less {name}; Alt+Z ends it.")));
        }
        told.push(match (&now.found, self.frame_says(now)) {
            (Err(why), _) => (Tone::Look, format!("Not read: {why}.")),
            (Ok(_), Says::Reads(filled)) => {
                let logs = if self.camera.sweep.is_some() {
                    "The sweep logs it where it has moved."
                } else if !self.row_is_free() {
                    "The row keeps what you typed."
                } else if self.practice_unit().is_some() {
                    "Enter logs it, noted as told."
                } else {
                    "Enter logs it with this picture."
                };
                (Tone::Plain, format!("{} (95 %). {logs}", filled.words))
            }
            (Ok(_), Says::Either(both)) => (Tone::Look, either_words(self.entry.channel, &both)),
            (Ok(_), Says::Doubted) => (
                Tone::Look,
                "One crosshair of the two that were in view: whose it is cannot be told where it stands.".to_owned(),
            ),
            (Ok(_), Says::Nothing) => {
                (Tone::Look, "No station is set up to read it by.".to_owned())
            }
        });
        told
    }
}

fn either_words(channel: Channel, both: &[super::super::filling::Filled]) -> String {
    let places: Vec<String> = both.iter().map(|filled| filled.text.join(", ")).collect();
    format!(
        "Two crosshairs, at {}: which is the {channel} one’s is not known until its ring is turned. Alt+X freezes \
         the picture and takes one, then the other.",
        places.join(" and at ")
    )
}

/// The texture of a frame, made when it is another one than before.
fn shown(before: Option<FrameTexture>, ctx: &egui::Context, now: &LiveFrame) -> FrameTexture {
    let number = now.frame.number;
    match before {
        Some(shown) if shown.number == number => shown,
        Some(FrameTexture { mut picture, .. }) => {
            picture.set(now.image.clone());
            FrameTexture { picture, number }
        }
        None => FrameTexture { picture: GreyTexture::new(ctx, now.image.clone()), number },
    }
}

/// Circles and targets, in the picture's pixels.
type LaidOver = (PerChannel<Vec<[f64; 2]>>, PerChannel<Option<[f64; 2]>>);

/// Those of the open round.
fn laid_over(session: &OpenSession, seeing: &Seeing) -> LaidOver {
    let Some(station) = session.state().station() else { return LaidOver::default() };
    let picture = session.picture();
    let px = |channel: Channel, at: Direction| {
        seeing.map.px_from_divisions(station.map[channel].divisions_from_direction(at))
    };
    let circle = |channel: Channel| -> Option<OffsetCircle> {
        let fit = picture.solution.as_ref()?.fits[channel].as_ref().ok()?;
        Some(fit.circle)
    };
    let circles = PerChannel::from_fn(|channel| {
        let Some(circle) = circle(channel) else { return Vec::new() };
        let place = |k: u16| {
            let angle_rad = core::f64::consts::TAU * f64::from(k) / f64::from(ROUND);
            circle.centre + Direction::polar(circle.radius_arcmin, angle_rad)
        };
        // A circle that reaches beyond what the camera can see is not drawn in part.
        (0..ROUND).map(|k| px(channel, place(k))).collect::<Option<Vec<_>>>().unwrap_or_default()
    });
    let targets = PerChannel::from_fn(|channel| {
        let setting = picture.setting.filter(|_| !picture.trying)?;
        px(channel, setting.points[channel])
    });
    (circles, targets)
}
