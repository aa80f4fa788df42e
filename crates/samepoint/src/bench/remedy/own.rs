//! A remedy of the trainee's own: in an examination nothing is listed or predicted, so what is done is said
//! part by part, from what the housing's seats take.

use record::Session;
use record::remedies::KnownOfUnit;
use solver::optics::ShimEnds;
use solver::remedy::rank::RemedyAction as Done;
use solver::remedy::shim::{ChannelShim, shims_of};
use solver::{Channel, PerChannel};

/// A caution belongs beside what is done by hand.
pub(crate) const OWN_CAUTION: &str =
    "Battery out first; open a unit only as its maintenance manual directs.";

/// What is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OwnKind {
    /// Shims under one tube or both.
    Shims,
    /// The eyepieces change sides.
    SwapEyepieces,
    /// The tubes change sides.
    SwapTubes,
    /// A tube is turned half way round.
    Turn(Channel),
}

impl OwnKind {
    /// All of them, as they are listed.
    pub const ALL: [Self; 5] = [
        Self::Shims,
        Self::SwapEyepieces,
        Self::SwapTubes,
        Self::Turn(Channel::Left),
        Self::Turn(Channel::Right),
    ];

    /// What a button calls it.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::Shims => "Shims",
            Self::SwapEyepieces => "Swap eyepieces",
            Self::SwapTubes => "Swap tubes",
            Self::Turn(Channel::Left) => "Turn the left tube",
            Self::Turn(Channel::Right) => "Turn the right tube",
        }
    }
}

/// A shim as it is chosen; one without a height is none.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct OwnShim {
    /// Height of a stack, micrometres.
    pub height_um: Option<u32>,
    /// Which of the seat's clock positions.
    pub clock: usize,
    /// Which of the seat's ends.
    pub ends: usize,
}

/// What is chosen.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OwnRemedy {
    /// What is done; `None` until it is said.
    pub kind: Option<OwnKind>,
    /// The shims, where those are it.
    pub shims: PerChannel<OwnShim>,
    /// What was refused.
    pub refused: Option<String>,
}

/// What the housing's seats take.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Takes {
    /// Clock positions, degrees.
    pub clocks_deg: Vec<f64>,
    /// Ends.
    pub ends: Vec<ShimEnds>,
    /// Heights of a stack, micrometres, the least first.
    pub heights_um: Vec<u32>,
    shims: Vec<ChannelShim>,
}

impl Takes {
    /// Of a session's housing; nothing where it says no seat or no optics.
    #[must_use]
    pub fn of(session: &Session) -> Self {
        let KnownOfUnit { seat: Some(seat), effect: Some(effect), .. } =
            KnownOfUnit::of_session(session, &[])
        else {
            return Self::default();
        };
        let shims = shims_of(&seat, &effect).unwrap_or_default();
        let mut heights_um: Vec<u32> = shims.iter().map(micrometres).collect();
        heights_um.sort_unstable();
        heights_um.dedup();
        Self { clocks_deg: seat.clocks_deg, ends: seat.ends, heights_um, shims }
    }

    fn shim(&self, chosen: OwnShim) -> Option<&ChannelShim> {
        let height_um = chosen.height_um?;
        let (clock_deg, ends) = (self.clocks_deg.get(chosen.clock)?, self.ends.get(chosen.ends)?);
        self.shims.iter().find(|shim| {
            shim.ends == *ends
                && (shim.clock_deg - clock_deg).abs() < 1e-9
                && micrometres(shim) == height_um
        })
    }
}

fn micrometres(shim: &ChannelShim) -> u32 {
    (shim.thickness_mm() * 1000.0).round() as u32
}

/// Which ends, in words.
#[must_use]
pub(crate) const fn ends_words(ends: ShimEnds) -> &'static str {
    match ends {
        ShimEnds::Front => "front end",
        ShimEnds::Rear => "rear end",
        ShimEnds::Both => "full length",
    }
}

/// What is still to be said of a remedy, in a sentence.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NotChosen {
    /// What is done.
    #[error("Say what you do: shims, a swap, or a tube turned.")]
    Kind,
    /// Of which shim.
    #[error("Choose how thick a shim is to be.")]
    Thickness,
}

impl OwnRemedy {
    /// What is done, from what the seats take.
    ///
    /// # Errors
    /// [`NotChosen`].
    pub fn done(&self, takes: &Takes) -> Result<Done, NotChosen> {
        Ok(match self.kind.ok_or(NotChosen::Kind)? {
            OwnKind::Shims => {
                let shims = PerChannel::from_fn(|of| takes.shim(self.shims[of]).cloned());
                if shims.iter().all(|(_, shim)| shim.is_none()) {
                    return Err(NotChosen::Thickness);
                }
                Done::Shims(shims)
            }
            OwnKind::SwapEyepieces => Done::EyepieceSwap,
            OwnKind::SwapTubes => Done::TubeSwap,
            OwnKind::Turn(channel) => Done::TubeTurn(channel),
        })
    }
}
