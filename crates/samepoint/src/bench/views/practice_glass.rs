//! Through the glass at an invented unit: where its crosshairs stand at this look, on the station's
//! graticule and under a loupe. Reading it is the trainee's.

use paper::words;
use record::{Graticule, StationMap};
use solver::{Channel, PerChannel};

use super::glass::GlassView;
use super::missing::NothingToShow;
use crate::bench::practice_unit::OnBench;
use crate::bench::session::OpenSession;

/// What is seen.
#[derive(Clone, Debug, PartialEq)]
pub struct PracticeGlass {
    /// The whole graticule.
    pub glass: GlassView,
    /// A part of it, larger.
    pub loupe: Loupe,
    /// Where each ring should go, if that is known; degrees.
    pub target_deg: PerChannel<Option<f64>>,
    /// What each crosshair reads, in words.
    pub reads: PerChannel<String>,
    /// The graticule in words.
    pub telling: String,
}

/// A loupe over one crosshair.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Loupe {
    /// Whose.
    pub channel: Channel,
    /// The whole division in its middle, x and y.
    pub middle: [f64; 2],
    /// Where the crosshair stands, divisions.
    pub at: [f64; 2],
}

/// Divisions from the middle of the loupe to its edge.
pub(crate) const LOUPE_REACH: f64 = 3.5;

impl PracticeGlass {
    /// At this look, the loupe over a channel's crosshair.
    ///
    /// # Errors
    /// [`NothingToShow`].
    pub fn of(
        session: &OpenSession,
        unit: &OnBench,
        channel: Channel,
    ) -> Result<Self, NothingToShow> {
        let state = session.state();
        let station = state.station().ok_or(NothingToShow::Station)?;
        let seen = unit.seen();
        // The bench's own map: what the session's station says of it may be wrong, and planted.
        let at = PerChannel::from_fn(|of| StationMap::PLAIN.divisions_from_direction(seen[of]));
        let picture = session.picture();
        let setting = picture.setting;
        let target = PerChannel::from_fn(|of| {
            setting.map(|it| station.map[of].divisions_from_direction(it.points[of]))
        });
        let reads = PerChannel::from_fn(|of| {
            let [x, y] = at[of].map(|value| words::number(value, 1));
            format!("The {of} crosshair reads x {x}, y {y} divisions.")
        });
        let [x, y] = match &station.graticule {
            Some(Graticule { x_divisions, y_divisions, .. }) => [*x_divisions, *y_divisions],
            None => [[-180.0, 180.0]; 2],
        };
        // Reading it is the trainee's: it is told in words only where it was asked for, at its cost.
        let told = Channel::BOTH.map(|of| {
            if unit.tells(of) {
                reads[of].clone()
            } else {
                format!("The {of} crosshair is in sight.")
            }
        });
        let telling =
            format!("Through the glass, practice: an invented unit. {} {}", told[0], told[1]);
        Ok(Self {
            glass: GlassView {
                x,
                y,
                bounded: station.graticule.is_some(),
                boresight: PerChannel::from_fn(|of| station.map[of].boresight_divisions),
                crosshair: at.map(Some),
                target,
                window: Vec::new(),
                told: Vec::new(),
            },
            loupe: Loupe { channel, middle: at[channel].map(f64::round), at: at[channel] },
            target_deg: setting.map_or_else(PerChannel::default, |setting| setting.ring_deg),
            reads,
            telling,
        })
    }
}
