//! The workshop's README: what each file is about and what is true of it.

use std::fmt::Write as _;

use solver::OffsetCircle;

use crate::bench::SIGMA_ARCMIN;
use crate::readings::Story;

pub(crate) fn text(stories: &[Story]) -> String {
    let mut text = String::from(HEAD);
    // Writing into a string cannot fail.
    let _ = write!(
        text,
        "\n## Readings\n\nFor `samepoint solve`. True values first, then read with {SIGMA_ARCMIN}′ of \
         spread each axis, to a tenth of an arcminute. A circle is given as centre x, y; radius; \
         direction at ring zero (counter-clockwise from right).\n\n\
         | file | left circle | right circle | story |\n|---|---|---|---|\n"
    );
    for story in stories {
        let _ = writeln!(
            text,
            "| `readings/{}` | {} | {} | {} |",
            story.file,
            circle(&story.left),
            circle(&story.right),
            story.story
        );
    }
    text
}

const HEAD: &str = "\
# An invented workshop

Nothing here is real: no unit, housing, bench or hand exists, and no figure was measured. The folder
is a shop as `samepoint` keeps one, for trying things out and for the tests. All of it is made by
`cargo run -p record --example make_demo_data`, byte for byte the same each time.
";

fn circle(circle: &OffsetCircle) -> String {
    let phase = circle.phase.map_or(0.0, |phase| phase.zero_deg);
    let text = format!(
        "{}′, {}′; {}′; {}°",
        circle.centre.x_arcmin, circle.centre.y_arcmin, circle.radius_arcmin, phase
    );
    text.replace('-', "\u{2212}")
}
