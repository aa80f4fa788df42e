//! The pictures that confirm readings rest on, made small for a report.

use paper::report::small_pictures::Small;
use paper::{GreyPicture, NotShown, SmallPicture, small_pictures_of};
use record::Account;
use record::review::read_again::NotRead;
use record::shop::PictureFound;

use super::file;

/// The most pixels of one's longer side: finer than paper shows at its size.
const LONGEST_PX: usize = 320;

/// This share of its pixels is darker than black, and as many brighter than white.
const BEYOND: f64 = 0.001;

/// Those that a session's report shows where they are wanted, each as it is kept in the shop.
pub(crate) fn small_pictures(account: &Account) -> Vec<SmallPicture> {
    let shop = account.beside.as_ref().map(|beside| beside.folder.as_path());
    let shown = |sha256: &str| {
        let bytes = PictureFound::bytes(shop.ok_or(NotShown::NoShop)?, sha256);
        let bytes = bytes.map_err(NotShown::NotThere)?;
        small(&bytes).map_err(NotShown::NotRead)
    };
    let all = small_pictures_of(account).into_iter();
    all.map(|said| SmallPicture { frame: said.seq, shown: shown(&said.body.picture_sha256) })
        .collect()
}

fn small(bytes: &[u8]) -> Result<Small, NotRead> {
    let (grey, of_px) = file::of_any_size(bytes).map_err(|why| NotRead(why.to_string()))?;
    let size = of_px.map(|pixels| usize::try_from(pixels).unwrap_or(usize::MAX));
    let picture = shrunk(&grey.pixels, size);
    picture
        .map(|picture| Small { picture, of_px })
        .ok_or_else(|| NotRead("it has no pixels".to_owned()))
}

/// The mean of whole pixels each, as many as make no side longer than that; and how many across and down.
pub(super) fn reduced(
    pixels: &[f32],
    [wide, high]: [usize; 2],
    longest_px: usize,
) -> Option<(Vec<f64>, [usize; 2])> {
    let longest = wide.max(high);
    if longest == 0 {
        return None;
    }
    let small = |side: usize| {
        if longest <= longest_px { side } else { (side * longest_px).div_ceil(longest) }
    };
    let [across, down] = [small(wide), small(high)];
    let mut sums = vec![(0.0_f64, 0_u32); across * down];
    for (y, row) in pixels.chunks_exact(wide).enumerate().take(high) {
        let into = y * down / high * across;
        for (x, value) in row.iter().enumerate() {
            if let Some((sum, count)) = sums.get_mut(into + x * across / wide) {
                *sum += f64::from(*value);
                *count += 1;
            }
        }
    }
    let means = sums.iter().map(|(sum, count)| sum / f64::from((*count).max(1))).collect();
    Some((means, [across, down]))
}

/// The same small, brightness from black to white.
fn shrunk(pixels: &[f32], size: [usize; 2]) -> Option<GreyPicture> {
    let (means, [across, down]) = reduced(pixels, size, LONGEST_PX)?;
    let mut sorted = means.clone();
    sorted.sort_by(f64::total_cmp);
    let last = sorted.len().saturating_sub(1);
    let beyond = (BEYOND * last as f64) as usize;
    let (dark, bright) = (*sorted.get(beyond)?, *sorted.get(last - beyond)?);
    let span = if bright > dark { bright - dark } else { 1.0 };
    // Beyond either end a value is the end's.
    let grey = means.iter().map(|mean| ((mean - dark) / span * 255.0).round() as u8).collect();
    GreyPicture::new([u32::try_from(across).ok()?, u32::try_from(down).ok()?], grey)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]
    use super::*;

    #[test]
    fn a_large_picture_is_made_of_means() {
        // Four by two pixels of one small one each, dark at the left, bright at the right.
        let [wide, high] = [4 * LONGEST_PX, 2];
        let row: Vec<f32> = (0..wide).map(|x| if x < wide / 2 { 10.0 } else { 30.0 }).collect();
        let small = shrunk(&[row.clone(), row].concat(), [wide, high]).unwrap();
        assert_eq!(small.size_px(), [LONGEST_PX as u32, 1]);
        let half = LONGEST_PX / 2;
        assert!(small.grey()[..half].iter().all(|grey| *grey == 0));
        assert!(small.grey()[half..].iter().all(|grey| *grey == 255));
    }

    #[test]
    fn a_small_picture_stays_as_it_is_and_a_flat_one_is_dark() {
        let small = shrunk(&[0.0, 51.0, 102.0, 255.0], [2, 2]).unwrap();
        assert_eq!((small.size_px(), small.grey()), ([2, 2], &[0, 51, 102, 255][..]));
        assert_eq!(shrunk(&[9.0; 6], [3, 2]).unwrap().grey(), [0; 6]);
        assert!(shrunk(&[], [0, 0]).is_none());
    }
}
