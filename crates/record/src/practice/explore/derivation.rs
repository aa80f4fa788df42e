//! How a preset's numbers come about: the formula, the numbers put in, the result, line by line, so that
//! they can be worked out again with paper and pencil.

use solver::angle::ARCMIN_PER_RAD;
use solver::optics::Lateral;
use solver::swing::Bridge;
use solver::{Channel, Direction, PerChannel};

use super::model::Model;
use super::preset::Preset;
use crate::error::Error;
use crate::figures::{arcmin, arcmin_fine, direction, number};

/// One line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DerivationLine {
    /// What is worked out, and by which formula.
    pub formula: String,
    /// The same with the numbers put in.
    pub put_in: String,
    /// What it gives.
    pub result: String,
}

fn line(formula: &str, put_in: String, result: String) -> DerivationLine {
    DerivationLine { formula: formula.to_owned(), put_in, result }
}

/// Arcminutes for a radian, as a hand types it.
const RAD: &str = "3437.75′";

fn mm(value: f64) -> String {
    number(value, 3)
}

fn pair(place: Lateral) -> String {
    format!("({}, {}) mm", mm(place.x_mm), mm(place.y_mm))
}

impl Preset {
    /// The derivation of the answer for a model, whatever was made of it.
    ///
    /// # Errors
    /// As [`Preset::answer`].
    pub fn derivation(self, model: &Model) -> Result<Vec<DerivationLine>, Error> {
        let mut lines = circles(model);
        match self {
            Self::MatchedBores | Self::OneDistanceOnly => {
                lines.extend(crossings(model));
                lines.extend(swing(model)?);
            }
            Self::BarelyMeeting => lines.extend(room(model)),
            Self::Nested => lines.extend(gap(model)),
            Self::OneGoodCrossing => lines.extend(crossings(model)),
            Self::DioptreError => lines.extend(dioptres(model)),
            Self::RingPlay => lines.extend(play(model)),
            Self::WrongFlip => lines.extend(flip(model)),
        }
        Ok(lines)
    }
}

/// Centre and radius of each circle.
fn circles(model: &Model) -> Vec<DerivationLine> {
    let focal_mm = model.optics.eyepiece_mm();
    let circles = model.circles();
    let mut lines = Vec::new();
    for channel in Channel::BOTH {
        let made = &model.channels[channel];
        let placed = made.placed_on_shims();
        let sum = placed.tube_in + placed.tube_out + placed.tube_image
            - placed.objective
            - placed.eyepiece;
        lines.push(line(
            &format!(
                "{channel} centre = (tube front + tube rear + image offset − objective − eyepiece)/f_e × {RAD}"
            ),
            format!("{} / {} mm × {RAD}", pair(sum), number(focal_mm, 1)),
            direction(circles[channel].centre),
        ));
        lines.push(line(
            &format!("{channel} radius = decentre/f_e × {RAD}"),
            format!("{} mm / {} mm × {RAD}", mm(made.decentre.length_mm()), number(focal_mm, 1)),
            arcmin(circles[channel].radius_arcmin),
        ));
    }
    lines
}

fn apart(model: &Model) -> f64 {
    let PerChannel { left, right } = model.circles();
    left.centre.distance_arcmin(right.centre)
}

/// Where the circles cross.
fn crossings(model: &Model) -> Vec<DerivationLine> {
    let PerChannel { left, right } = model.circles();
    let d = apart(model);
    let away = left.centre.boresight_arcmin();
    if d < 1e-6 {
        return vec![line(
            "nearest place of one circle = |radius − distance of its centre|",
            format!("|{} − {}|", arcmin(left.radius_arcmin), arcmin(away)),
            arcmin((left.radius_arcmin - away).abs()),
        )];
    }
    let (r, s) = (left.radius_arcmin, right.radius_arcmin);
    let along = (d * d + r * r - s * s) / (2.0 * d);
    let half_squared = r * r - along * along;
    let mut lines = vec![
        line(
            "distance d of the centres = √(Δx² + Δy²)",
            format!(
                "√({}² + {}²)",
                number(right.centre.x_arcmin - left.centre.x_arcmin, 1),
                number(right.centre.y_arcmin - left.centre.y_arcmin, 1)
            ),
            arcmin(d),
        ),
        line(
            "chord's foot from the left centre, a = (d² + r_L² − r_R²)/2d",
            format!(
                "({}² + {}² − {}²)/(2 × {})",
                number(d, 1),
                number(r, 1),
                number(s, 1),
                number(d, 1)
            ),
            arcmin(along),
        ),
    ];
    if half_squared < 0.0 {
        return lines;
    }
    let half = half_squared.sqrt();
    let towards = (right.centre - left.centre) * (1.0 / d);
    let across = Direction::new(-towards.y_arcmin, towards.x_arcmin);
    lines.push(line(
        "half the chord, h = √(r_L² − a²)",
        format!("√({}² − {}²)", number(r, 1), number(along, 1)),
        arcmin(half),
    ));
    for (sign, word) in [(1.0, "+"), (-1.0, "−")] {
        let place = left.centre + towards * along + across * (sign * half);
        lines.push(line(
            &format!("crossing = left centre + a along the centres {word} h across"),
            direction(place),
            format!("{} from boresight", arcmin(place.boresight_arcmin())),
        ));
    }
    lines
}

/// What the pods' swing makes of the place that is set.
fn swing(model: &Model) -> Result<Vec<DerivationLine>, Error> {
    let Bridge::Hinge { spread_mm, arm_mm } = model.bridge else { return Ok(Vec::new()) };
    let set_mm = model.set_at_ipd_mm;
    let place = model.place()?;
    let out = place.left.midpoint(place.right).boresight_arcmin();
    let mut lines = Vec::new();
    for ipd_mm in model.ipd_range_mm {
        let rolled_deg = model.bridge.swing_deg(set_mm, ipd_mm)?;
        let beta = |ipd: f64| {
            format!(
                "arccos(({} − {})/(2 × {}))",
                number(ipd, 0),
                number(spread_mm, 0),
                number(arm_mm, 0)
            )
        };
        lines.push(line(
            &format!(
                "at {} mm the pods roll by ψ = β₀ − β, cos β = (ipd − spread)/2 arm",
                number(ipd_mm, 0)
            ),
            format!("{} − {}", beta(set_mm), beta(ipd_mm)),
            format!("{}°", number(rolled_deg, 2)),
        ));
        let split = 2.0 * out * rolled_deg.to_radians().sin().abs();
        lines.push(line(
            "that splits a shared direction by 2 |X| sin ψ",
            format!("2 × {} × sin {}°", arcmin(out), number(rolled_deg.abs(), 2)),
            arcmin(split),
        ));
    }
    Ok(lines)
}

fn room(model: &Model) -> Vec<DerivationLine> {
    let PerChannel { left, right } = model.circles();
    let d = apart(model);
    let room = left.radius_arcmin + right.radius_arcmin - d;
    let focal_mm = model.optics.eyepiece_mm();
    vec![
        line(
            "room = r_L + r_R − distance of the centres",
            format!(
                "{} + {} − {}",
                number(left.radius_arcmin, 2),
                number(right.radius_arcmin, 2),
                number(d, 2)
            ),
            arcmin_fine(room),
        ),
        line(
            "bore error at one end = room × f_e/3437.75′",
            format!("{} × {} mm / {RAD}", arcmin_fine(room), number(focal_mm, 1)),
            format!("{} mm", number(room * focal_mm / ARCMIN_PER_RAD, 4)),
        ),
        line(
            "at both ends together half of it: each moves the centre by t/f_e",
            format!("{} mm / 2", number(room * focal_mm / ARCMIN_PER_RAD, 4)),
            format!("{} mm", number(room * focal_mm / ARCMIN_PER_RAD / 2.0, 4)),
        ),
    ]
}

fn gap(model: &Model) -> Vec<DerivationLine> {
    let PerChannel { left, right } = model.circles();
    let d = apart(model);
    let (large, small) =
        (left.radius_arcmin.max(right.radius_arcmin), left.radius_arcmin.min(right.radius_arcmin));
    let inside = d < large - small;
    let clear = if inside { large - small - d } else { d - large - small };
    let focal_mm = model.optics.eyepiece_mm();
    let (formula, put_in) = if inside {
        (
            "gap = larger radius − smaller − distance of the centres",
            format!("{} − {} − {}", number(large, 1), number(small, 1), number(d, 1)),
        )
    } else {
        (
            "gap = distance of the centres − both radii",
            format!("{} − {} − {}", number(d, 1), number(large, 1), number(small, 1)),
        )
    };
    vec![
        line(formula, put_in, arcmin(clear)),
        line(
            "a full-length shim t moves a centre by 2 t/f_e: t = gap × f_e/(2 × 3437.75′)",
            format!("{} × {} mm / (2 × {RAD})", arcmin(clear), number(focal_mm, 1)),
            format!("{} mm", mm(clear * focal_mm / ARCMIN_PER_RAD / 2.0)),
        ),
    ]
}

fn dioptres(model: &Model) -> Vec<DerivationLine> {
    let shift = |channel: Channel| {
        let made = &model.channels[channel];
        line(
            &format!("{channel} shift = h × D (Prentice's rule); 1 mm × 1 D = 1 mrad = 3.438′"),
            format!("{} × {} D × 3.438′", pair(made.eye_off), number(made.dioptre, 1)),
            direction(made.dioptre_shift()),
        )
    };
    Channel::BOTH.map(shift).to_vec()
}

fn play(model: &Model) -> Vec<DerivationLine> {
    let right = model.circles().right;
    let play_deg = model.channels.right.ring_play_deg;
    let chord = 2.0 * right.radius_arcmin * (play_deg / 2.0).to_radians().sin();
    vec![line(
        "from the other side the cell stands the whole play away: chord 2 r sin(play/2)",
        format!("2 × {} × sin({}°/2)", arcmin(right.radius_arcmin), number(play_deg, 1)),
        arcmin(chord),
    )]
}

fn flip(model: &Model) -> Vec<DerivationLine> {
    let centre = model.circles().left.centre;
    let seen = if model.channels.left.map_flipped { -centre.x_arcmin } else { centre.x_arcmin };
    vec![
        line(
            "the map says x = −g where x = g is so",
            format!("−({})", arcmin(centre.x_arcmin)),
            arcmin(seen),
        ),
        line(
            "a shim for what is seen moves the centre by −x seen",
            format!("{} − ({})", arcmin(centre.x_arcmin), arcmin(seen)),
            arcmin(centre.x_arcmin - seen),
        ),
    ]
}
