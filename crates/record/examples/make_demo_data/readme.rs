//! The workshop's README: what each file is about and what is true of it.

use std::fmt::{self, Write as _};

use solver::OffsetCircle;

use crate::bench::SIGMA_ARCMIN;
use crate::hands;
use crate::pictures;
use crate::readings::Story;
use crate::sessions;
use crate::year::{self, study, truth};

pub(crate) fn text(
    stories: &[Story],
    year: &[year::Told],
    second: &year::SecondShop,
) -> Result<String, fmt::Error> {
    let mut text = String::from(HEAD);
    write!(
        text,
        "- `hands/`: {}. Nobody has a key, so nothing here is sealed.\n\
         \nIn all three tables a circle is given by its true values: centre x, y; radius; direction at ring \
         zero, counter-clockwise from right. Readings scatter round it by {SIGMA_ARCMIN}′, each axis.\n\n\
         ## Sessions\n\n| file in `sessions/` | left circle | right circle | story |\n|---|---|---|---|\n",
        hands::told()
    )?;
    for told in sessions::told() {
        row(&mut text, told.file, &told.left, &told.right, told.story)?;
    }
    the_year(&mut text, year)?;
    let (x, y) = year::second_shop::KNOCKED_ARCMIN;
    let (unit, copy) = (&second.unit, &second.copy);
    write!(
        text,
        "\n## A second shop\n\n`second-shop/` is another shop, to be looked at beside this one (*Other shops*, \
         `samepoint shop FOLDER FOLDER`). Unit {unit} was sent there as it was left, and read on two benches of \
         its own, rings and locks untouched: Bench 7 adds nothing, the right graticule of Bench 8 was knocked by \
         {x}′, {y}′. A copy of `{copy}` came along with the unit and counts once.\n",
    )?;
    write!(
        text,
        "\n## Readings\n\nFor `samepoint solve`.\n\n\
         | file in `readings/` | left circle | right circle | story |\n|---|---|---|---|\n"
    )?;
    for story in stories {
        row(&mut text, story.file, &story.left, &story.right, story.story)?;
    }
    write!(
        text,
        "\n## Pictures\n\nFor `samepoint picture`, with `cameras/Bench 2.ron`: what a camera where the eye \
         would be sees on Bench 2, drawn with its noise. Places are the true ones, in divisions.\n\n\
         | file in `pictures/` | story |\n|---|---|\n"
    )?;
    for taken in pictures::taken() {
        writeln!(text, "| `{}` | {} |", taken.file, taken.story)?;
    }
    Ok(text)
}

/// What is planted in the year, and its sessions.
fn the_year(text: &mut String, year: &[year::Told]) -> fmt::Result {
    let minus = |value: f64| value.to_string().replace('-', "\u{2212}");
    let (bore_x, bore_y) = truth::SANDPIPER_LEFT_ARCMIN;
    write!(
        text,
        "\n## A year of the shop\n\nSixty sessions from 2025-12-02 to 2026-11-13 and what is to be found in \
         them. Bores, tubes and eyepieces are drawn: a tube puts its circle off by {}′ (standard deviation, \
         each axis).\n\n\
         - Sandpiper: every left bore is off by {}′, {}′. Redshank and Turnstone bores are true.\n\
         - Bench 4 wanders from {} on, by {}′ in 30 days to the right; its check file says so, but nobody \
         drew limits until November. Bench 5 stands still.\n\
         - {} reads in a hurry: readings scatter by {}′ instead of {SIGMA_ARCMIN}′.\n\
         - Shims do {} of what the thin-lens model says: the seats give.\n\
         - A Turnstone’s locks turn each ring by {}° clockwise on tightening; other locks do not.\n\
         - Three Turnstones have circles that do not meet, and the best compromise fails.\n\
         - One ring is numbered backwards, one file is forged, one is damaged, one session was returned \
         and waits, one is a supervisor’s blind check, one was read on a bench that shows only the \
         difference, and two units came back: each says so below.\n\n\
         `checks/`: the standard is a fixed mirror at 12′, −7′, read twice a channel on twelve days of \
         December 2025 and every Monday since. `studies/`: five units, three hands, three trials; units \
         differ by {}′, hands by {}′, repeats by {}′ (standard deviations, each axis).\n\n\
         The circles are those the unit came with; what the bench adds is given apart. The seed is one of \
         sixty tried, so that nothing else comes out as different by chance.\n\n\
         | file in `sessions/` | left circle | right circle | bench adds | story |\n|---|---|---|---|---|\n",
        truth::TUBES_ARCMIN,
        minus(bore_x),
        minus(bore_y),
        truth::WANDERS_FROM,
        truth::WANDERS_ARCMIN.0,
        truth::HURRIED,
        truth::HURRIED_SIGMA_ARCMIN,
        truth::SHIM_SHARE,
        truth::TURNSTONE_LOCKS_DEG,
        study::UNITS_ARCMIN,
        study::HANDS_ARCMIN,
        study::REPEATS_ARCMIN,
    )?;
    for told in year {
        let (left, right) = (circle(&told.left), circle(&told.right));
        let zero = format!("{:.1}′, {:.1}′", told.zero.x_arcmin, told.zero.y_arcmin);
        writeln!(text, "| `{}` | {left} | {right} | {zero} | {} |", told.file, told.story)?;
    }
    Ok(())
}

const HEAD: &str = "\
# An invented workshop

Nothing here is real: no unit, housing, bench or hand exists, and no figure was measured. The folder
is a shop as `samepoint` keeps one, for trying things out and for the tests. All of it is made by
`cargo run -p record --example make_demo_data`, byte for byte the same each time.

- `stations/`: Bench 2 reads arcminutes. Bench 3 reads divisions of 2′, with the right graticule the
  other way round and boresight off zero; its calibration runs out on 2026-11-30. Benches 4 and 5 read
  arcminutes; Bench 6 shows only how far the channels differ.
- `windows/`: Shop window and Strict window (the year's) are invented; the other three have published
  sources, each named in its file, and were made for other instruments.
- `housings/`: Heron B swings about hinges, has inverting tubes and takes shims. Plover slides, has
  straight-through tubes and rings that click every 2°. Redshank and Sandpiper are hinged and take
  shims, Turnstone slides and has cam locks.
- `units/`: five units, two or three of them in trouble; those of the year are not kept on the shelf.
- `cameras/`: a camera on Bench 2, its map told by nine marks.
- `shelf.ron`: for `samepoint shelf`. 0155 and its parts are known from its session; bores of 0171 and 0172,
  four tubes and four eyepieces are as stated by invented papers; of 0173, T-2307 and E-3307 nothing is known.
  0152 is in use: it was built of parts that papers state, and its session tells what came of that.
- `sessions/`, `checks/`, `studies/`, `readings/`, `pictures/`, `second-shop/`: below.
";

fn row(
    text: &mut String,
    file: &str,
    left: &OffsetCircle,
    right: &OffsetCircle,
    story: &str,
) -> fmt::Result {
    writeln!(text, "| `{file}` | {} | {} | {story} |", circle(left), circle(right))
}

fn circle(circle: &OffsetCircle) -> String {
    let phase = circle.phase.map_or(0.0, |phase| phase.zero_deg);
    let text = format!(
        "{}′, {}′; {}′; {}°",
        circle.centre.x_arcmin, circle.centre.y_arcmin, circle.radius_arcmin, phase
    );
    text.replace('-', "\u{2212}")
}
