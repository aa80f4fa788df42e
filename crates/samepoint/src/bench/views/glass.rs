//! Through the glass: where both crosshairs should stand on the station's graticule, in divisions.

use paper::words;
use paper::words::capital;
use record::{Graticule, Station};
use solver::{Channel, Direction, PerChannel};

use super::missing::NothingToShow;
use crate::bench::session::OpenSession;
use crate::views::round::RoundView;

/// What the graticule should show.
#[derive(Clone, Debug, PartialEq)]
pub struct GlassView {
    /// Lowest and highest x that is shown, divisions.
    pub x: [f64; 2],
    /// Lowest and highest y, divisions.
    pub y: [f64; 2],
    /// Whether those are the graticule's own; else it is not said how far that reaches.
    pub bounded: bool,
    /// Where boresight is on each channel's graticule.
    pub boresight: PerChannel<[f64; 2]>,
    /// Where each crosshair stands; `None` while that is not known.
    pub crosshair: PerChannel<Option<[f64; 2]>>,
    /// Where each should go.
    pub target: PerChannel<Option<[f64; 2]>>,
    /// The corners of the window round the left crosshair, on the right channel's graticule.
    pub window: Vec<[f64; 2]>,
    /// All of it in words.
    pub told: Vec<String>,
}

/// Room round what is shown where the graticule's own reach is not said, as a share.
const MARGIN: f64 = 0.15;

impl GlassView {
    /// For the open round.
    ///
    /// # Errors
    /// [`NothingToShow`].
    pub fn of(session: &OpenSession) -> Result<Self, NothingToShow> {
        let state = session.state();
        let station = state.station().ok_or(NothingToShow::Station)?;
        let picture = session.picture();
        let stands = stands(picture);
        if Channel::BOTH.iter().all(|&channel| stands[channel].is_none()) {
            return Err(NothingToShow::Readings);
        }
        let on =
            |channel: Channel, at: Direction| station.map[channel].divisions_from_direction(at);
        let crosshair = PerChannel::from_fn(|channel| stands[channel].map(|at| on(channel, at)));
        let setting = picture.setting;
        let target = PerChannel::from_fn(|channel| {
            setting.filter(|_| !picture.trying).map(|it| on(channel, it.points[channel]))
        });
        let window = state.window().map(|window| window.limits).zip(stands.left);
        let corners = window.map(|(window, left)| window.corners_round_left(left));
        let window: Vec<[f64; 2]> =
            corners.into_iter().flatten().map(|corner| on(Channel::Right, corner)).collect();
        let boresight = PerChannel::from_fn(|channel| station.map[channel].boresight_divisions);
        let mut shown = Self {
            x: [0.0; 2],
            y: [0.0; 2],
            bounded: station.graticule.is_some(),
            boresight,
            crosshair,
            target,
            window,
            told: told(picture, station, &stands, state.window().map(|window| window.limits)),
        };
        [shown.x, shown.y] = match &station.graticule {
            Some(Graticule { x_divisions, y_divisions, .. }) => [*x_divisions, *y_divisions],
            None => shown.extent(),
        };
        Ok(shown)
    }

    /// How far what is shown reaches.
    fn extent(&self) -> [[f64; 2]; 2] {
        let places = self
            .crosshair
            .iter()
            .chain(self.target.iter())
            .filter_map(|(_, at)| *at)
            .chain(self.window.iter().copied())
            .chain(self.boresight.iter().map(|(_, at)| *at));
        let mut reach = [[f64::INFINITY, f64::NEG_INFINITY]; 2];
        for at in places {
            for (axis, value) in reach.iter_mut().zip(at) {
                *axis = [axis[0].min(value), axis[1].max(value)];
            }
        }
        reach.map(|[low, high]| {
            let margin = (MARGIN * (high - low)).max(1.0);
            [low - margin, high + margin]
        })
    }
}

/// Where each crosshair stands: where it was read last, or at the setting that is tried.
fn stands(picture: &RoundView) -> PerChannel<Option<Direction>> {
    let tried = picture.setting.filter(|_| picture.trying);
    PerChannel::from_fn(|channel| match tried {
        Some(setting) => Some(setting.points[channel]),
        None => picture.place[channel].map(|reading| reading.direction),
    })
}

fn told(
    picture: &RoundView,
    station: &Station,
    stands: &PerChannel<Option<Direction>>,
    window: Option<solver::Window>,
) -> Vec<String> {
    let how = if picture.trying { "At the setting that is tried" } else { "As read last" };
    let mut told = vec![format!("{how}, in divisions of {}:", station.name)];
    for channel in Channel::BOTH {
        let name = capital(channel.word());
        let Some(at) = stands[channel] else {
            told.push(format!("{name} crosshair: not read in this round."));
            continue;
        };
        let divisions = station.map[channel].divisions_from_direction(at);
        let place = divisions.map(|value| words::number(value, 1)).join(", ");
        let off = station.graticule.as_ref().is_some_and(|graticule| {
            let out = |value: f64, [low, high]: [f64; 2]| value < low || value > high;
            out(divisions[0], graticule.x_divisions) || out(divisions[1], graticule.y_divisions)
        });
        let beyond = if off { ", beyond the graticule" } else { "" };
        told.push(format!("{name} crosshair: {place}{beyond}."));
    }
    if let (Some(window), Some(left), Some(right)) = (window, stands.left, stands.right) {
        let used = window.used_by(left, right);
        let inside = used.side_to_side.max(used.up_and_down) <= 1.0;
        let place = if inside { "inside" } else { "outside" };
        told.push(format!("The right crosshair is {place} the window round the left one."));
    }
    told
}
