//! What confirming comes to, made ready to look at: once per change of the facts.

use paper::words;
use paper::words::capital;
use record::fact::Verdict;
use record::practice::WITHHELD;
use record::review::otherwise;
use record::{
    Caveat, Conclusion, Derived, LockShift, Measured, NoConclusion, Rule, Session, SessionKind,
    Together, as_found, far_point, lock_shifts,
};
use solver::decision::Judgement;
use solver::{Channel, Direction, Solution, Window};

use crate::views::off_by::OffByLine;
use crate::views::round::UNANSWERED;
use crate::widgets::Tone;

/// What marks the verdict on an invented unit.
const PRACTICE: &str = "Practice on an invented unit: it says nothing about a real one.";

/// Everything the confirm panel and the signing sheet show of a session.
#[derive(Clone, Debug, PartialEq)]
pub struct ConfirmView {
    /// The verdict in large words.
    pub verdict: &'static str,
    /// How it is meant.
    pub tone: Tone,
    /// Why there is none, or what marks it.
    pub marks: Vec<String>,
    /// What else limits it.
    pub caveats: Vec<String>,
    /// What was measured where the unit was set up.
    pub measured: Vec<String>,
    /// What would settle it.
    pub outlook: Option<String>,
    /// Each confirm reading beside what was predicted of it.
    pub off_by: Vec<OffByLine>,
    /// Probabilities, when they are known.
    pub chances: Vec<(&'static str, String)>,
    /// What was measured at other positions.
    pub elsewhere: Vec<(Tone, String)>,
    /// The misalignment against the window.
    pub chart: Option<WindowChart>,
    /// What tightening did.
    pub shifts: Vec<String>,
    /// As found beside as left.
    pub beside: Vec<FoundBesideLeft>,
    /// How far the point of a looking test must be.
    pub far_point: String,
    /// The rule, in a sentence.
    pub rule: String,
    /// The window and where it is from.
    pub window: String,
    /// How many readings it rests on.
    pub rests_on: String,
    /// Whether there is a verdict to sign.
    pub can_be_signed: bool,
}

/// A line of *as found* beside *as left*.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FoundBesideLeft {
    /// What.
    pub name: &'static str,
    /// As found.
    pub found: String,
    /// As left.
    pub left: String,
}

/// The misalignment against the window.
#[derive(Clone, Debug, PartialEq)]
pub struct WindowChart {
    /// The limits.
    pub window: Window,
    /// How far inside them the guard band lies, x and y, arcminutes.
    pub guard_arcmin: Option<[f64; 2]>,
    /// Mean misalignments: the set-up position's first, x and y, arcminutes.
    pub points: Vec<[f64; 2]>,
    /// Whether a mean that lies inside may be called good.
    pub answered: bool,
    /// The same in words.
    pub telling: String,
}

impl ConfirmView {
    /// Works it out.
    #[must_use]
    pub fn new(
        account: &Derived<'_>,
        solution: Option<&Solution>,
        shop: Option<&record::Beside>,
    ) -> Self {
        let (session, conclusion) = (account.session(), account.conclusion());
        let window = session.window();
        let mut picture = Self {
            verdict: "no verdict",
            tone: Tone::Look,
            marks: Vec::new(),
            caveats: Vec::new(),
            measured: Vec::new(),
            outlook: None,
            off_by: OffByLine::all(session, solution),
            chances: Vec::new(),
            elsewhere: Vec::new(),
            chart: None,
            shifts: shifts(session, solution),
            beside: beside(session, conclusion.ok()),
            far_point: far_point_words(session),
            rule: window.map_or_else(String::new, |window| rule_words(window.rule)),
            window: window.map_or_else(
                || "no tolerance window".to_owned(),
                |window| format!("{} · {}", window.name, window.source),
            ),
            rests_on: String::new(),
            can_be_signed: conclusion.is_ok() || session.withholds(),
        };
        let kind = session.header.as_ref().map(|header| &header.kind);
        match conclusion {
            Ok(conclusion) => picture.tell(conclusion, session),
            Err(why) => picture.marks.push(no_verdict(why)),
        }
        let mut others = otherwise::changed(session);
        others.extend(shop.into_iter().flat_map(|shop| otherwise::in_shop(session, shop)));
        let others = others.iter().map(|found| format!("{}.", capital(&found.to_string())));
        picture.marks.extend(others);
        if session.withholds() {
            picture.verdict = "withheld";
            picture.tone = Tone::Plain;
            picture.marks = vec![WITHHELD.to_owned()];
        }
        if matches!(kind, Some(SessionKind::Practice(_))) {
            picture.marks.push(PRACTICE.to_owned());
        }
        picture
    }

    /// The round was left alone, and nobody has said yet that nothing was touched: a pass is not green.
    pub(crate) fn leave_unanswered(&mut self) {
        if self.verdict == Verdict::Pass.word() {
            self.marks.insert(0, UNANSWERED.to_owned());
        }
        self.take_green_away();
    }

    /// A pass stays one, and is not green: something it stands on was not shown.
    fn take_green_away(&mut self) {
        if self.tone == Tone::Good {
            self.tone = Tone::Look;
        }
        for (tone, _) in &mut self.elsewhere {
            *tone = if *tone == Tone::Good { Tone::Plain } else { *tone };
        }
        if let Some(chart) = &mut self.chart {
            chart.answered = false;
        }
    }

    fn tell(&mut self, conclusion: &Conclusion, session: &Session) {
        self.verdict = conclusion.verdict.word();
        self.tone = match conclusion.verdict {
            Verdict::Pass => Tone::Good,
            Verdict::Fail | Verdict::Undecided => Tone::Look,
            Verdict::NotMeasured => Tone::Plain,
        };
        let (marks, caveats): (Vec<&Caveat>, Vec<&Caveat>) =
            conclusion.caveats.iter().partition(|caveat| caveat.marks());
        let sentence = |caveat: &Caveat| format!("{}.", capital(&caveat.to_string()));
        self.marks = marks.into_iter().map(sentence).collect();
        self.caveats = caveats.into_iter().map(sentence).collect();
        let Some(measured) = &conclusion.measured else {
            self.measured = vec![
                "Read both channels with the locks tight: nothing is judged before.".to_owned(),
            ];
            return;
        };
        self.rests_on = words::counted_s(conclusion.rests_on.len(), "reading");
        self.measured = measured_words(measured);
        self.chances = chances(measured.judgement.as_ref());
        let undecided = conclusion.positions().find_map(|at| Some((at.position, at.outlook?)));
        self.outlook = undecided
            .map(|(position, outlook)| capital(&format!("{position}: {}.", outlook.sentence())));
        self.elsewhere = conclusion.elsewhere.iter().map(elsewhere_words).collect();
        self.chart = session.window().map(|window| chart(conclusion, measured, window.limits));
        // Nothing shows that the station reads right.
        if !self.marks.is_empty() {
            self.take_green_away();
        }
    }

    /// Whether nothing was measured that could be judged.
    #[must_use]
    pub fn measured_nothing(&self) -> bool {
        self.rests_on.is_empty()
    }

    /// What must be seen of the readings themselves: each that lies off, then the last of each channel.
    pub fn off_by_told(&self) -> impl Iterator<Item = &OffByLine> {
        let last = |channel| self.off_by.iter().rev().find(move |line| line.channel == channel);
        let is_off = |line: &&OffByLine| line.tone == Tone::Look;
        let last = Channel::BOTH.into_iter().filter_map(last).filter(move |line| !is_off(line));
        self.off_by.iter().filter(is_off).chain(last)
    }

    /// The picture in one sentence, for assistive technology.
    #[must_use]
    pub fn telling(&self) -> String {
        let mut words = vec![format!("Verdict {}.", self.verdict)];
        words.extend(self.marks.iter().cloned());
        words.extend(self.measured.iter().cloned());
        words.extend(self.outlook.iter().cloned());
        words.join(" ")
    }
}

fn no_verdict(why: &NoConclusion) -> String {
    format!("{}.", capital(&why.to_string()))
}

fn rule_words(rule: Rule) -> String {
    format!("{}: {}", rule.word(), rule.means())
}

fn measured_words(measured: &Measured) -> Vec<String> {
    let counts = measured.readings;
    vec![
        format!("{}.", capital(&words::misalignment(measured.misalignment))),
        format!(
            "{} from boresight; window use {}.",
            words::arcmin(measured.boresight_arcmin),
            words::percent(measured.window_use.worst())
        ),
        format!(
            "Means of {} left and {}.",
            counts.left,
            words::counted_s(counts.right, "right reading")
        ),
    ]
}

fn elsewhere_words(measured: &Measured) -> (Tone, String) {
    let tone = if measured.verdict == Verdict::Pass { Tone::Good } else { Tone::Look };
    let chance = measured.judgement.map_or_else(String::new, |judged| {
        format!(", inside with at least {}", words::at_least(judged.inside_at_least()))
    });
    let at = capital(&measured.position.to_string());
    let eyes = words::misalignment(measured.misalignment);
    (tone, format!("{at}: {}{chance}; {eyes}.", measured.verdict.word()))
}

fn chances(judged: Option<&Judgement>) -> Vec<(&'static str, String)> {
    judged.map_or_else(Vec::new, |judged| {
        vec![
            ("misalignment inside", words::probability(judged.in_box)),
            ("boresight inside", words::probability(judged.in_boresight)),
            ("both, at least", words::at_least(judged.inside_at_least())),
        ]
    })
}

fn chart(conclusion: &Conclusion, measured: &Measured, window: Window) -> WindowChart {
    let points: Vec<[f64; 2]> = conclusion
        .positions()
        .map(|at| [at.misalignment.x_arcmin, at.misalignment.y_arcmin])
        .collect();
    let guard_arcmin = measured
        .judgement
        .filter(|judged| judged.rule.asks_uncertainty())
        .map(|judged| judged.guard_arcmin);
    let guard = guard_arcmin.map_or_else(String::new, |[x, y]| {
        format!(" The guard band is {} and {} wide.", words::arcmin(x), words::arcmin(y))
    });
    let telling = format!(
        "Misalignment against the window: {}. Limits: convergence {}, divergence {}, dipvergence {}.{guard}",
        words::misalignment(measured.misalignment),
        words::arcmin(window.convergence_arcmin()),
        words::arcmin(window.divergence_arcmin()),
        words::arcmin(window.dipvergence_arcmin()),
    );
    WindowChart { window, guard_arcmin, points, answered: true, telling }
}

fn shifts(session: &Session, solution: Option<&Solution>) -> Vec<String> {
    let Some(round) = session.round() else { return Vec::new() };
    let shifts = lock_shifts(session, round);
    Channel::BOTH
        .into_iter()
        .filter_map(|channel| {
            let shift = shifts[channel]?;
            Some(shift_words(channel, &shift, solution))
        })
        .collect()
}

fn shift_words(channel: Channel, shift: &LockShift, solution: Option<&Solution>) -> String {
    let moved = shift.shift();
    let fit = solution.and_then(|solution| solution.fits[channel].as_ref().ok());
    let turned =
        fit.and_then(|fit| shift.turned_deg(&fit.circle)).map_or_else(String::new, |deg| {
            format!(", as if the ring had turned {}", words::turn(deg))
        });
    format!(
        "Tightening moved the {channel} crosshair by {}{turned}.",
        words::direction(Direction::new(moved.x_arcmin, moved.y_arcmin))
    )
}

fn beside(session: &Session, conclusion: Option<&Conclusion>) -> Vec<FoundBesideLeft> {
    let found = as_found(session);
    let left = conclusion.and_then(|conclusion| conclusion.measured);
    if found.is_none() && left.is_none() {
        return Vec::new();
    }
    let none = || "–".to_owned();
    let points = |channel: Channel| {
        let found = found.and_then(|found| found.points[channel]);
        [found, left.map(|left| left.points[channel])]
            .map(|point| point.map_or_else(none, words::direction))
    };
    let together = found.and_then(|found| found.together);
    let pair = |of_found: fn(Together) -> String, of_left: fn(Measured) -> String| {
        [together.map_or_else(none, of_found), left.map_or_else(none, of_left)]
    };
    let rows: [(&'static str, [String; 2]); 5] = [
        ("left channel", points(Channel::Left)),
        ("right channel", points(Channel::Right)),
        ("apart", pair(|found| apart(found.misalignment), |left| apart(left.misalignment))),
        (
            "boresight",
            pair(
                |found| words::arcmin(found.boresight_arcmin),
                |left| words::arcmin(left.boresight_arcmin),
            ),
        ),
        (
            "window use",
            pair(
                |found| {
                    found
                        .window_use
                        .map_or_else(|| "–".to_owned(), |used| words::percent(used.worst()))
                },
                |left| words::percent(left.window_use.worst()),
            ),
        ),
    ];
    rows.into_iter().map(|(name, [found, left])| FoundBesideLeft { name, found, left }).collect()
}

fn apart(misalignment: solver::Misalignment) -> String {
    words::direction(Direction::new(misalignment.x_arcmin, misalignment.y_arcmin))
}

fn far_point_words(session: &Session) -> String {
    match far_point(session) {
        Some(needed) => format!(
            "The point must be at least {} m away: nearer, parallax at {} mm takes more than {} of \
             the convergence limit.",
            words::number(needed.distance_m.ceil(), 0),
            words::number(needed.ipd_mm, 0),
            words::percent(needed.share),
        ),
        None => "How far the point must be is not known: it takes a tolerance window and an \
                 interpupillary distance."
            .to_owned(),
    }
}
