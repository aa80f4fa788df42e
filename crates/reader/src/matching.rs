//! Which flat line belongs to which upright one, where several cross.

/// Two lines that may be a crosshair.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Pair {
    pub(crate) flat: usize,
    pub(crate) upright: usize,
    /// How unlike a crosshair they look: squares of standard deviations.
    pub(crate) cost: f64,
}

/// By how much the second best must be worse, squares of standard deviations.
const CLEARLY: f64 = 16.0;

/// The one way of pairing as many lines as can be that is clearly better than any other; `None` where
/// none is. Of each way there are at most two lines.
pub(crate) fn chosen(pairs: &[Pair]) -> Option<Vec<Pair>> {
    let mut ways: Vec<(f64, Vec<Pair>)> = Vec::new();
    for (place, one) in pairs.iter().enumerate() {
        ways.push((one.cost, vec![*one]));
        for other in &pairs[place + 1..] {
            if one.flat != other.flat && one.upright != other.upright {
                ways.push((one.cost + other.cost, vec![*one, *other]));
            }
        }
    }
    let most = ways.iter().map(|(_, pairs)| pairs.len()).max()?;
    ways.retain(|(_, pairs)| pairs.len() == most);
    // A line over that crosses one of these may be the other crosshair's, hidden by this one's.
    if most == 1 && pairs.len() > 1 {
        return None;
    }
    ways.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (best, chosen) = ways.first()?;
    let clear = ways.get(1).is_none_or(|(second, _)| *second >= best + CLEARLY);
    clear.then(|| chosen.clone())
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn pair(flat: usize, upright: usize, cost: f64) -> Pair {
        Pair { flat, upright, cost }
    }

    #[test]
    fn two_crosshairs_are_told_apart_or_refused() {
        let alike = [pair(0, 0, 1.0), pair(0, 1, 1.5), pair(1, 0, 2.0), pair(1, 1, 1.0)];
        assert_eq!(chosen(&alike), None);
        let clear = [pair(0, 0, 1.0), pair(0, 1, 30.0), pair(1, 0, 20.0), pair(1, 1, 2.0)];
        assert_eq!(chosen(&clear), Some(vec![clear[0], clear[3]]));
        // Short arms: only the true ones cross.
        assert_eq!(chosen(&[alike[0], alike[3]]), Some(vec![alike[0], alike[3]]));
        // One line too many: which of both it is cannot be told.
        assert_eq!(chosen(&[alike[0], alike[1]]), None);
        assert_eq!(chosen(&[alike[0], clear[1]]), None);
        assert_eq!(chosen(&[]), None);
    }
}
