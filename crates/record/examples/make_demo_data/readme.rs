//! The workshop's README: what each file is about and what is true of it.

use std::fmt::{self, Write as _};

use solver::OffsetCircle;

use crate::bench::SIGMA_ARCMIN;
use crate::readings::Story;
use crate::sessions;

pub(crate) fn text(stories: &[Story]) -> Result<String, fmt::Error> {
    let mut text = String::from(HEAD);
    write!(
        text,
        "\nIn both tables a circle is given by its true values: centre x, y; radius; direction at ring \
         zero, counter-clockwise from right. Readings scatter round it by {SIGMA_ARCMIN}′, each axis.\n\n\
         ## Sessions\n\n| file in `sessions/` | left circle | right circle | story |\n|---|---|---|---|\n"
    )?;
    for told in sessions::told() {
        row(&mut text, told.file, &told.left, &told.right, told.story)?;
    }
    write!(
        text,
        "\n## Readings\n\nFor `samepoint solve`.\n\n\
         | file in `readings/` | left circle | right circle | story |\n|---|---|---|---|\n"
    )?;
    for story in stories {
        row(&mut text, story.file, &story.left, &story.right, story.story)?;
    }
    Ok(text)
}

const HEAD: &str = "\
# An invented workshop

Nothing here is real: no unit, housing, bench or hand exists, and no figure was measured. The folder
is a shop as `samepoint` keeps one, for trying things out and for the tests. All of it is made by
`cargo run -p record --example make_demo_data`, byte for byte the same each time.

- `stations/`: Bench 2 reads arcminutes. Bench 3 reads divisions of 2′, with the right graticule the
  other way round and boresight off zero; its calibration runs out on 2026-11-30.
- `windows/`: the shop's own, invented; the others have published sources, each named in its file,
  and were made for other instruments.
- `housings/`: Heron B swings about hinges, has inverting tubes and takes shims. Plover slides, has
  straight-through tubes and rings that click every 2°.
- `units/`: five units, two or three of them in trouble.
- `sessions/`, `readings/`: below.
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
