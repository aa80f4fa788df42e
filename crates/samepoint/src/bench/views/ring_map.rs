//! The ring map: window use over both rings, what passes, where the setting stands in it.

use paper::words;
use solver::setting::ring_map::RingMap;
use solver::setting::slack;
use solver::{Channel, PerChannel};

use super::missing::NothingToShow;
use crate::bench::session::OpenSession;

/// Rings a side: 3° apart, finer than the map is drawn on a small screen.
const SIZE: usize = 120;

/// Window use at which the shade of the map changes.
pub(crate) const LEVELS: [f64; 4] = [0.5, 1.0, 2.0, 4.0];

/// Ring places of one shade side by side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Run {
    /// The right ring's place, degrees, and the left ring's first and last.
    pub right_deg: f64,
    /// The left ring's, from and to, degrees.
    pub left_deg: [f64; 2],
    /// How many of [`LEVELS`] are passed.
    pub level: usize,
}

/// The map.
#[derive(Clone, Debug, PartialEq)]
pub struct RingMapView {
    /// One step of the map, degrees.
    pub step_deg: f64,
    /// Its shades, row by row.
    pub runs: Vec<Run>,
    /// The outline of what passes: pieces of line in ring degrees, left and right.
    pub outline: Vec<[[f64; 2]; 2]>,
    /// Ring angles of the crossings, the nearest first.
    pub crossings: Vec<[f64; 2]>,
    /// The setting on screen.
    pub setting: Option<[f64; 2]>,
    /// Where the rings were read last.
    pub now: Option<[f64; 2]>,
    /// How far both rings may slip together from the setting, degrees.
    pub together_deg: Option<f64>,
    /// In words.
    pub told: String,
}

impl RingMapView {
    /// For the open round.
    ///
    /// # Errors
    /// [`NothingToShow`].
    pub fn of(session: &OpenSession) -> Result<Self, NothingToShow> {
        let picture = session.picture();
        let solution = picture.solution.as_ref();
        let fits =
            solution.and_then(solver::Solution::both_fits).ok_or(NothingToShow::RingMapCircles)?;
        if !picture.judged {
            return Err(NothingToShow::Fit);
        }
        let circles = PerChannel::from_fn(|channel| &fits[channel].circle);
        let window = session.state().window().ok_or(NothingToShow::RingMapWindow)?.limits;
        let map = RingMap::new(circles, &window, SIZE).ok_or(NothingToShow::RingMapAngles)?;
        let pair = |deg: PerChannel<Option<f64>>| Some([deg.left?, deg.right?]);
        let crossings = solution
            .and_then(|solution| solution.meeting.as_ref())
            .into_iter()
            .flat_map(solver::Meeting::crossings)
            .filter_map(|crossing| {
                pair(PerChannel::from_fn(|channel| circles[channel].ring_for(crossing.point)))
            })
            .collect();
        let together_deg = picture
            .setting
            .and_then(|setting| slack(circles, setting.points, &window))
            .map(|slack| slack.together_deg);
        let passing = map.values.iter().filter(|used| **used <= 1.0).count();
        let share = words::percent(passing as f64 / map.values.len() as f64);
        let about = match together_deg {
            Some(deg) => {
                format!("From the setting both rings may slip {}° together.", words::number(deg, 0))
            }
            None => "The setting is not inside the window.".to_owned(),
        };
        Ok(Self {
            step_deg: 360.0 / map.size as f64,
            runs: runs(&map),
            outline: map.outline(),
            crossings,
            setting: picture.setting.and_then(|setting| pair(setting.ring_deg)),
            now: pair(PerChannel::from_fn(|channel| {
                picture.place[channel].and_then(|reading| reading.ring_deg)
            })),
            together_deg,
            told: format!("{share} of all pairs of ring angles are inside the window. {about}"),
        })
    }
}

fn runs(map: &RingMap) -> Vec<Run> {
    let step_deg = 360.0 / map.size as f64;
    // What is no number is in no level but the last.
    let level = |used: f64| LEVELS.len() - LEVELS.iter().filter(|limit| used <= **limit).count();
    let mut runs: Vec<Run> = Vec::new();
    for right in 0..map.size {
        let right_deg = right as f64 * step_deg;
        let mut here: Option<Run> = None;
        for left in 0..map.size {
            let level = level(map.at(left, right));
            let from = left as f64 * step_deg;
            match &mut here {
                Some(run) if run.level == level => run.left_deg[1] = from + step_deg,
                _ => {
                    runs.extend(here.take());
                    here = Some(Run { right_deg, left_deg: [from, from + step_deg], level });
                }
            }
        }
        runs.extend(here);
    }
    runs
}

/// The name of a ring's axis.
#[must_use]
pub(crate) fn axis(channel: Channel) -> String {
    format!("{channel} ring °")
}
