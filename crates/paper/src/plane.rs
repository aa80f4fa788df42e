//! The plane of differences on paper: what a station showed that shows no directions, what the rings can reach, and what
//! the setting leaves; its words are the screen's too.

use record::Differences;
use solver::relative::RelativeSolution;
use solver::{Misalignment, Window};

use crate::ink::{Align, Ink, PagePoint, Pen, rectangle};
use crate::label_places::{Area, TakenPlaces};
use crate::letters::{Face, Letters};
use crate::palette::Colour;
use crate::words::{arcmin, counted_s, misalignment, number};

/// What is what in it.
pub const PLANE_KEY: &str = "Diamonds: readings. Two rings: what the rings can reach. Box: the window. Filled \
                             dot: what the setting leaves.";

/// Words along its edges, points.
const EDGE_PT: f64 = 7.0;
/// Half a diamond.
const MARK_PT: f64 = 3.4;
/// What the setting leaves: its dot's radius.
const SET_PT: f64 = 2.6;
/// From the upper edge of words to their line.
const ASCENT_PT: f64 = 5.9;
/// The same to their lower edge.
const LINE_PT: f64 = 8.0;
/// A number farther than this from its diamond is led to it by a line.
const LEADER_PT: f64 = 9.0;

/// The plane in words: how many readings, how far the rings reach, and what the setting leaves.
#[must_use]
pub fn plane_words(
    readings: usize,
    solution: Option<&RelativeSolution>,
    left: Option<Misalignment>,
) -> String {
    let mut told = format!(
        "{} of the difference, right less left. The middle is where both crosshairs agree.",
        counted_s(readings, "reading")
    );
    if let Some([near, far]) = solution.map(RelativeSolution::reach_arcmin) {
        told.push_str(&format!(
            " Turning both rings reaches every difference between the two rings drawn: from {} to {} \
             away from the difference of the centres of the circles.",
            arcmin(near),
            arcmin(far)
        ));
    }
    if let Some(left) = left {
        told.push_str(&format!(" Set there, {}.", misalignment(left)));
    }
    told
}

/// The same for who cannot see it.
#[must_use]
pub fn plane_alt(told: &str) -> String {
    format!("Differences, right less left. {told}")
}

/// Draws it in a square of a side in points; `numbers`: what each reading is called by.
pub(crate) fn plane(
    found: &Differences,
    numbers: &[usize],
    window: Option<Window>,
    side_pt: f64,
    letters: &Letters,
) -> Vec<Ink> {
    let solution = found.answer.as_ref().and_then(|answer| answer.as_ref().ok());
    let half = half_arcmin(found, solution, window);
    let mut sheet = Sheet {
        middle_pt: side_pt / 2.0,
        scale: side_pt / (2.0 * half),
        letters,
        places: TakenPlaces::within(Area {
            from: [EDGE_PT / 2.0; 2],
            to: [side_pt - EDGE_PT / 2.0; 2],
        }),
        ink: Vec::new(),
    };
    let frame = rectangle([0.0; 2], [side_pt; 2]);
    sheet.path(frame.clone(), true, Pen::fill(Colour::WHITE));
    sheet.ink.push(Ink::Clip { from: [0.0; 2], to: [side_pt; 2] });
    for axis in [[[-half, 0.0], [half, 0.0]], [[0.0, -half], [0.0, half]]] {
        let points = axis.map(|at| sheet.place(at)).to_vec();
        sheet.path(points, false, Pen::line(Colour::GRID, 1.2));
    }
    if let Some(solution) = solution {
        let centre = sheet.place(xy(solution.fit.between));
        for reach in solution.reach_arcmin() {
            let (radius_pt, pen) = (reach * sheet.scale, Pen::line(Colour::LINE, 0.8));
            sheet.ink.push(Ink::Circle { centre, radius_pt, pen });
        }
    }
    if let Some(window) = &window {
        let up = window.dipvergence_arcmin();
        let (low, high) = (-window.convergence_arcmin(), window.divergence_arcmin());
        let corners = [[low, -up], [high, -up], [high, up], [low, up]];
        let points = corners.map(|at| sheet.place(at)).to_vec();
        sheet.path(points, true, Pen::line(Colour::INSIDE, 1.2));
    }
    let places = || found.problem.readings.iter().map(|reading| xy(reading.misalignment));
    for at in places() {
        let [x, y] = sheet.place(at);
        let corners = [[0.0, -MARK_PT], [MARK_PT, 0.0], [0.0, MARK_PT], [-MARK_PT, 0.0]];
        let points = corners.iter().map(|[dx, dy]| [x + dx, y + dy]).collect();
        let pen = Pen { fill: Some(Colour::WHITE), ..Pen::line(Colour::INK, 0.9) };
        sheet.places.mark([x, y], MARK_PT);
        sheet.path(points, true, pen);
    }
    if let Some(set) = &found.set {
        let (centre, pen) = (sheet.place(xy(set.setting.misalignment)), Pen::fill(Colour::INK));
        sheet.places.mark(centre, SET_PT);
        sheet.ink.push(Ink::Circle { centre, radius_pt: SET_PT, pen });
    }
    let (middle, near, far) = (side_pt / 2.0, 4.0, side_pt - 4.0);
    sheet.words([far, middle - 3.0], "eyes diverge", Align::Right);
    sheet.words([near, middle - 3.0], "eyes converge", Align::Left);
    sheet.words([middle, near + EDGE_PT], "right image high", Align::Middle);
    sheet.words([middle, far], "left image high", Align::Middle);
    let across = format!("{}′ across", number(2.0 * half, 0));
    sheet.words([far, far], &across, Align::Right);
    for (at, number) in places().zip(numbers) {
        sheet.numbered(at, *number);
    }
    sheet.ink.push(Ink::ClipEnd);
    sheet.path(frame, true, Pen::line(Colour::LINE, 0.8));
    sheet.ink
}

/// Half the side of what is in sight, arcminutes.
fn half_arcmin(
    found: &Differences,
    solution: Option<&RelativeSolution>,
    window: Option<Window>,
) -> f64 {
    let far = |at: Misalignment, beyond: f64| {
        let [x, y] = xy(at);
        x.abs().max(y.abs()) + beyond
    };
    let read = found.problem.readings.iter().map(|reading| far(reading.misalignment, 0.0));
    let reach = solution.map(|solution| far(solution.fit.between, solution.reach_arcmin()[1]));
    let limits = window.iter().flat_map(|window| {
        [window.convergence_arcmin(), window.divergence_arcmin(), window.dipvergence_arcmin()]
    });
    let most = read.chain(reach).chain(limits).fold(5.0, f64::max);
    1.08 * if most.is_finite() { most } else { 5.0 }
}

const fn xy(at: Misalignment) -> [f64; 2] {
    [at.x_arcmin, at.y_arcmin]
}

struct Sheet<'a> {
    middle_pt: f64,
    scale: f64,
    letters: &'a Letters,
    /// What is taken.
    places: TakenPlaces,
    ink: Vec<Ink>,
}

impl Sheet<'_> {
    fn place(&self, [x, y]: [f64; 2]) -> PagePoint {
        [self.middle_pt + x * self.scale, self.middle_pt - y * self.scale]
    }

    fn path(&mut self, points: Vec<PagePoint>, closed: bool, pen: Pen) {
        self.ink.push(Ink::Path { points, closed, pen });
    }

    fn words(&mut self, at: PagePoint, text: &str, align: Align) {
        let wide_pt = self.letters.width_pt(text, Face::Plain, EDGE_PT);
        let left = match align {
            Align::Left => at[0],
            Align::Middle => at[0] - wide_pt / 2.0,
            Align::Right => at[0] - wide_pt,
        };
        self.places.words(Area::sized([left, at[1] - ASCENT_PT], [wide_pt, LINE_PT]));
        self.put(at, text, align);
    }

    /// What a reading is called by, beside its diamond.
    fn numbered(&mut self, at: [f64; 2], number: usize) {
        let ([x, y], text) = (self.place(at), number.to_string());
        let size = [self.letters.width_pt(&text, Face::Plain, EDGE_PT), LINE_PT];
        let wanted = Area::sized([x + MARK_PT + 2.0, y - LINE_PT / 2.0], size);
        let area = self.places.take([x, y], wanted);
        let (far_pt, near) = area.nearest_to([x, y]);
        if far_pt > LEADER_PT {
            self.path(vec![[x, y], near], false, Pen::line(Colour::QUIET, 0.4));
        }
        self.put([area.from[0], area.from[1] + ASCENT_PT], &text, Align::Left);
    }

    fn put(&mut self, at: PagePoint, text: &str, align: Align) {
        let (face, size_pt, colour) = (Face::Plain, EDGE_PT, Colour::QUIET);
        self.ink.push(Ink::Words { at, text: text.to_owned(), face, size_pt, colour, align });
    }
}
