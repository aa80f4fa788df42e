//! Lines that hands write on: a name and signature, and a day.

use super::block::{Band, Block, TextLook, paragraph, zipped};
use super::flow::Flow;
use crate::ink::{Ink, Pen};
use crate::palette::Colour;

/// What a hand writes on, points high.
const WRITE_ON_PT: f64 = 26.0;

/// A line for each of these, all on one page.
pub(super) fn lines(flow: &mut Flow<'_>, labels: &[&str]) {
    let width_pt = flow.width_pt();
    let line = |label: &str| {
        let (label_pt, name_pt) = (width_pt * 0.34, width_pt * 0.36);
        let small = |text: &str| paragraph(flow.letters(), text, label_pt, TextLook::SMALL);
        let down = |block: Block| Block::gap(WRITE_ON_PT - 10.0).then(block);
        let columns = vec![
            (down(small(label)), 0.0),
            (rule_at(name_pt - 12.0), label_pt),
            (down(small("on")), label_pt + name_pt),
            (rule_at(width_pt - label_pt - name_pt - 18.0), label_pt + name_pt + 18.0),
        ];
        zipped(columns, 2.0)
    };
    let all = labels.iter().fold(Block::gap(10.0), |block, label| block.then(line(label)));
    flow.place_whole(all);
}

/// A line to write on, at the foot of its height.
fn rule_at(width_pt: f64) -> Block {
    let points = vec![[0.0, WRITE_ON_PT], [width_pt, WRITE_ON_PT]];
    let ink = Ink::Path { points, closed: false, pen: Pen::line(Colour::QUIET, 0.6) };
    Block(vec![Band { height_pt: WRITE_ON_PT, ink: vec![ink] }])
}
