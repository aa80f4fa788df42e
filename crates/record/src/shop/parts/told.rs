//! A plan in sentences and figures, as command line and window say it.

use solver::decision::ENOUGH;
use solver::remedy::shim::sentence;
use solver::shelf::{Match, MatchPlan, Totals};
use solver::{Channel, Direction, Uncertainty};

use super::foretold::Foretold;
use super::matching::Matching;
use crate::figures::{arcmin, counted, counted_s, degrees_short, percent, probability};
use crate::shown::one_line;

/// What a prediction is, and what its figures mean.
pub const PREDICTED: &str = "Predicted, not measured: nothing passes before it is read. Misaligned: by how much \
    where the window is used most. Inside: the chance that the rings, once read, can be set inside.";

/// Over what keeps parts from being matched.
pub const NOT_KNOWN: &str = "Not known, and so not matched";

/// What a plan comes to.
#[must_use]
pub fn totals(totals: &Totals) -> String {
    let units = counted_s(totals.units, "unit");
    if totals.units == 0 {
        return "0 units come inside".to_owned();
    }
    format!(
        "{units} inside, {} without a shim, {} of shims; window use {:.2} added up",
        totals.without_shim,
        counted(totals.leaves, "leaf", "leaves"),
        totals.window_use()
    )
}

/// Whether a plan is proved the best; where it is not, how much better another could be at the first step that
/// is open: units without a shim, units, leaves, window use.
#[must_use]
pub fn proof(plan: &MatchPlan) -> String {
    let (found, most) = (&plan.totals, &plan.bound);
    let not_proved =
        |of: &str, said: String| format!("Not proved of {of}: another choice could {said}.");
    if plan.proved {
        "Proved: no other choice of these parts does better.".to_owned()
    } else if most.without_shim > found.without_shim {
        let more = counted_s(most.without_shim - found.without_shim, "unit");
        not_proved(
            "any step",
            format!("have up to {more} more inside without a shim, {} in all", most.without_shim),
        )
    } else if most.units > found.units {
        let more = counted_s(most.units - found.units, "unit");
        let said = format!("have up to {more} more inside with shims, {} in all", most.units);
        format!(
            "Proved: none has more units inside without a shim. {}",
            not_proved("the rest", said)
        )
    } else if most.leaves < found.leaves {
        let fewer = counted(found.leaves - most.leaves, "leaf", "leaves");
        let said = not_proved("the shims", format!("do with up to {fewer} fewer"));
        format!("Proved: no other choice has more units inside. {said}")
    } else {
        let less = (found.window_use() - most.window_use()).max(0.0);
        let said = not_proved(
            "the window use",
            format!(
                "use up to {less:.3} less of it, added up, {} a unit",
                percent(less / found.units.max(1) as f64)
            ),
        );
        format!("Proved: no other choice has more units inside or fewer leaves of shims. {said}")
    }
}

/// A tube by its serial number, and how far it is turned.
#[must_use]
pub fn tube(serial: &str, turned_deg: f64) -> String {
    let serial = one_line(serial);
    if turned_deg == 0.0 {
        serial.into_owned()
    } else {
        format!("{serial} turned {}", degrees_short(turned_deg))
    }
}

/// Where a direction points, arcminutes to the right and up.
#[must_use]
pub fn place(at: Direction) -> String {
    format!("x {}, y {}", arcmin(at.x_arcmin), arcmin(at.y_arcmin))
}

/// Which way the two figures of a misalignment count, under a table whose heads are x and y.
pub const MISALIGNED_AXES: &str = "Misaligned x: positive where the eyes must diverge; y: where the right image is \
                                   high.";

/// Figures of a match for a table: crossing x and y, misalignment x and y, window use, what 95 % of trials stay
/// below, the chance of being inside.
#[must_use]
pub fn figures(one: &Match) -> [String; 5] {
    let told = &one.prediction;
    let both = |x_arcmin, y_arcmin| format!("{}, {}", arcmin(x_arcmin), arcmin(y_arcmin));
    [
        both(told.crossing.x_arcmin, told.crossing.y_arcmin),
        both(told.misalignment.x_arcmin, told.misalignment.y_arcmin),
        percent(told.window_use),
        told.chance.use_95.map_or_else(|| "–".to_owned(), percent),
        probability(told.chance.inside),
    ]
}

/// The same in a sentence, the crossing with its uncertainty where that is known.
#[must_use]
pub fn figures_sentence(one: &Match) -> String {
    let [_, _, used, most, inside] = figures(one);
    let misaligned = crate::figures::misalignment(one.prediction.misalignment);
    let at = one.prediction.crossing;
    let u_arcmin = one.prediction.chance.crossing_u_arcmin;
    let off = |axis: usize| {
        let standard = u_arcmin?.get(axis).copied()?;
        Uncertainty { standard, freedom: f64::INFINITY }.half_width_95()
    };
    let part = |value: f64, off: Option<f64>| match off {
        Some(off) => format!("{} ± {}", arcmin(value), arcmin(off)),
        None => arcmin(value),
    };
    format!(
        "Crossing x {}, y {} · {misaligned} · window use {used}, in 95 % of trials at most {most} · inside \
         {inside}",
        part(at.x_arcmin, off(0)),
        part(at.y_arcmin, off(1)),
    )
}

/// What is to be thought of before a match is built: that it may well come out otherwise.
#[must_use]
pub fn caution(one: &Match) -> Option<String> {
    let inside = one.prediction.chance.inside;
    // As guarded verdicts have it.
    (inside < ENOUGH).then(|| {
        format!(
            "Too little is known of these parts to count on it: {} of the trials come inside.",
            percent(inside)
        )
    })
}

/// Degrees a tube of a match is turned.
const fn turn(turned: bool) -> f64 {
    if turned { 180.0 } else { 0.0 }
}

impl Matching {
    /// What was matched: what lies on the shelf, and what it is known from.
    #[must_use]
    pub fn about(&self) -> [String; 2] {
        let over = self.ipd_mm.map_or_else(
            || ", at rest".to_owned(),
            |ipd_mm| format!(", over the swing from {ipd_mm:.1} mm"),
        );
        [
            format!(
                "On the shelf: {}, {}, {}; {}{over}",
                counted_s(self.housings.len(), "housing"),
                counted_s(self.tubes.len(), "tube"),
                counted_s(self.eyepieces.len(), "eyepiece"),
                one_line(&self.window.name),
            ),
            format!("Known from {} and from what is stated", counted_s(self.sessions, "session")),
        ]
    }

    /// A tube of a match, and how far it is turned.
    #[must_use]
    pub fn tube_words(&self, one: &Match, channel: Channel) -> String {
        tube(self.names(one).tubes[channel], turn(one.turned[channel]))
    }

    /// A match's shims, a sentence each.
    #[must_use]
    pub fn shim_words(&self, one: &Match) -> Vec<String> {
        let each = Channel::BOTH.into_iter();
        each.filter_map(|channel| Some(sentence(channel, one.shims[channel].as_ref()?))).collect()
    }

    /// A match in one line.
    #[must_use]
    pub fn in_words(&self, one: &Match) -> String {
        let names = self.names(one);
        let shims = match one.leaves() {
            0 => "no shim".to_owned(),
            leaves => counted(leaves, "leaf", "leaves"),
        };
        one_line(&format!(
            "{}, tubes {} and {}, eyepieces {} and {}, {shims}, window use {}",
            names.unit,
            self.tube_words(one, Channel::Left),
            self.tube_words(one, Channel::Right),
            names.eyepieces.left,
            names.eyepieces.right,
            percent(one.prediction.window_use)
        ))
        .into_owned()
    }

    /// What a session that is begun with a match has on record of its prediction, as it was shown.
    #[must_use]
    pub fn prediction_words(&self, one: &Match) -> String {
        let told = &one.prediction;
        let [_, _, used, most, inside] = figures(one);
        let crossing = place(told.crossing);
        let misaligned = crate::figures::misalignment(told.misalignment);
        let circle = |channel: Channel| {
            format!(
                "{} circle about {} with a radius of {}",
                channel.word(),
                place(told.centres[channel]),
                arcmin(told.radii[channel].arcmin)
            )
        };
        one_line(&format!(
            "Parts chosen from the shelf. Predicted from {}, not measured: {}, {}; crossing {crossing}; \
             {misaligned}; window use {used}, in 95 % of trials at most {most}, inside {inside}.",
            counted_s(self.sessions, "session"),
            circle(Channel::Left),
            circle(Channel::Right),
        ))
        .into_owned()
    }
}

impl Foretold {
    /// Which unit of which parts, and whether it came out as predicted.
    #[must_use]
    pub fn title(&self) -> String {
        format!(
            "{}, round {} of {}: tubes {} and {}, eyepieces {} and {}: {}",
            one_line(&self.unit),
            self.round,
            one_line(&self.file),
            tube(&self.tubes.left, self.turned_deg.left),
            tube(&self.tubes.right, self.turned_deg.right),
            one_line(&self.eyepieces.left),
            one_line(&self.eyepieces.right),
            self.agreement(),
        )
    }

    /// Whether it came out as predicted.
    #[must_use]
    pub fn agreement(&self) -> &'static str {
        if self.against.agrees() {
            "as predicted, within the uncertainties"
        } else {
            "farther off than the uncertainties explain"
        }
    }

    /// A channel's circle, predicted beside read.
    #[must_use]
    pub fn circle_words(&self, channel: Channel) -> String {
        let (told, read) = (&self.prediction, &self.measured[channel]);
        let off = self.against.centre_off[channel];
        let [x, y] = self.against.centre_95[channel];
        format!(
            "{} centre: predicted {}; read {}; off by x {} ± {}, y {} ± {}; radius: predicted {}, read {}, off by {} ± {}",
            channel.word(),
            place(told.centres[channel]),
            place(read.centre),
            arcmin(off.x_arcmin),
            arcmin(x),
            arcmin(off.y_arcmin),
            arcmin(y),
            arcmin(told.radii[channel].arcmin),
            arcmin(read.radius_arcmin),
            arcmin(self.against.radius_off[channel]),
            arcmin(self.against.radius_95[channel]),
        )
    }

    /// The crossing, predicted beside read.
    #[must_use]
    pub fn crossing_words(&self) -> String {
        let read = self.crossing.map_or_else(
            || "read: the circles do not meet".to_owned(),
            |(at, used)| format!("read {}, window use {}", place(at), percent(used)),
        );
        format!(
            "crossing: predicted {}, window use {}; {read}",
            place(self.prediction.crossing),
            percent(self.prediction.window_use),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Each step of the objective that is open has its own words, and no later one is spoken of.
    #[test]
    fn the_first_step_that_is_open_is_told() {
        let totals = Totals { without_shim: 20, units: 24, leaves: 6, use_millionths: 2_500_000 };
        let told = |bound: Totals| {
            proof(&MatchPlan { totals, bound, proved: bound == totals, ..MatchPlan::default() })
        };
        assert_eq!(told(totals), "Proved: no other choice of these parts does better.");
        let bare = told(Totals { without_shim: 21, units: 30, leaves: 0, use_millionths: 0 });
        assert_eq!(
            bare,
            "Not proved of any step: another choice could have up to 1 unit more inside without a shim, 21 in all."
        );
        let shimmed = told(Totals { units: 26, leaves: 6, use_millionths: 0, ..totals });
        assert!(shimmed.contains("up to 2 units more inside with shims, 26 in all"), "{shimmed}");
        let leaves = told(Totals { leaves: 4, use_millionths: 0, ..totals });
        assert!(leaves.contains("do with up to 2 leaves fewer"), "{leaves}");
        let used = told(Totals { use_millionths: 2_260_000, ..totals });
        assert!(used.contains("use up to 0.240 less of it, added up, 1 % a unit"), "{used}");
    }
}
