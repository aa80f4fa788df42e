//! Whose crosshair is whose, where a picture shows two.

use solver::{Channel, Direction, PerChannel};

/// One crosshair of two stands clearly nearer where a channel was read last with at most this share of the
/// other's distance; a choice of the program's own, no source.
const CLEARLY_NEARER: f64 = 0.25;

/// Farther off than this the other channel does not stand where it was read last, arcminutes: several times what a
/// hand scatters by; a choice of the program's own, no source.
const STAYED_ARCMIN: f64 = 1.0;

/// The place among the crosshairs of the one that is this channel's; `None` where that cannot be told.
///
/// A picture of one crosshair shows the channel that the hand reads. Of two, the one that stands where the other
/// channel was read last is the other's: its ring was not turned since. `seen` holds each crosshair's direction
/// through that channel's map, arcminutes, and `last` where each channel was read last in this round.
pub(crate) fn whose(
    channel: Channel,
    seen: &[PerChannel<Direction>],
    last: PerChannel<Option<Direction>>,
) -> Option<usize> {
    match seen {
        [_] => Some(0),
        [one, two] => {
            let other = channel.other();
            let stood = last[other]?;
            let [first, second] =
                [one, two].map(|crosshair| crosshair[other].distance_arcmin(stood));
            let stays = |near: f64, far: f64| near <= STAYED_ARCMIN.min(CLEARLY_NEARER * far);
            if stays(first, second) {
                Some(1)
            } else if stays(second, first) {
                Some(0)
            } else {
                None
            }
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_one_that_did_not_move_is_the_others() {
        let at = |x, y| PerChannel { left: Direction::new(x, y), right: Direction::new(x, y) };
        let both = [at(6.0, 8.0), at(-8.0, -3.0)];
        let last = |left, right| PerChannel { left, right };
        let stood = Some(Direction::new(-8.1, -3.0));
        assert_eq!(whose(Channel::Left, &both, last(None, stood)), Some(0));
        assert_eq!(whose(Channel::Right, &both, last(stood, None)), Some(0));
        // Where only its own channel was read nothing tells how far the ring was turned since.
        assert_eq!(whose(Channel::Left, &both, last(stood, None)), None);
        assert_eq!(whose(Channel::Left, &both, last(None, None)), None);
        // It was turned since.
        let turned = Some(Direction::new(-8.0, -5.0));
        assert_eq!(whose(Channel::Left, &both, last(None, turned)), None);
        // Between both.
        let between = Some(Direction::new(-1.0, 2.5));
        assert_eq!(whose(Channel::Left, &both, last(None, between)), None);
        assert_eq!(whose(Channel::Left, &both[..1], last(None, None)), Some(0));
        assert_eq!(whose(Channel::Left, &[], last(None, None)), None);
    }
}
