//! The shop's answers as charts and sentences, worked out when they are asked for.

use jiff::civil::Date;
use paper::chart::ChartLook;
use paper::words;
use record::shop::survey::differ::Quantity;
use record::{By, SessionSummary, Survey};
use solver::Channel;

use super::chart::{Curve, Leads, Point, ShopChart};
use super::part::ShopPage;

/// Limits drawn in one chart.
const MOST_LIMITS: usize = 3;
/// Points of a drawn ellipse or band.
const SMOOTH: u16 = 72;

/// Charts and sentences.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ShopCharts {
    /// What is told beside the charts.
    pub told: Vec<String>,
    /// The charts.
    pub charts: Vec<ShopChart>,
}

/// What a part answers.
#[must_use]
pub(crate) fn answer(
    survey: &Survey,
    part: ShopPage,
    quantity: Quantity,
    by_hand: bool,
) -> ShopCharts {
    match part {
        // That of work is worked out beside.
        ShopPage::Sessions
        | ShopPage::Units
        | ShopPage::Troubles
        | ShopPage::Work
        | ShopPage::RoundRobin
        | ShopPage::Practice
        | ShopPage::OtherShops => ShopCharts::default(),
        ShopPage::Centres => centres(survey),
        ShopPage::Finishing => finishing(survey),
        ShopPage::PassRate => pass_rate(survey),
        ShopPage::Shims => shims(survey),
        ShopPage::Differences => differences(survey, quantity, by_hand),
        ShopPage::Locks => locks(survey),
        ShopPage::Stations => stations(survey),
    }
}

/// A session in a few words.
#[must_use]
pub(crate) fn session_words(session: &SessionSummary) -> String {
    let day = session.day.map_or_else(String::new, |day| day.to_string());
    format!("{} · {day} · {}", session.unit, session.hand)
}

pub(super) fn point(
    survey: &Survey,
    index: usize,
    at: [f64; 2],
    value: &str,
    look: ChartLook,
) -> Point {
    let session = survey.sessions.get(index).map(session_words).unwrap_or_default();
    let (leads, words) = (Leads::Session(index), format!("{session} · {value}"));
    Point { at, interval: None, leads, words, look }
}

const fn look(channel: Channel) -> ChartLook {
    match channel {
        Channel::Left => ChartLook::Left,
        Channel::Right => ChartLook::Right,
    }
}

fn named(name: &str) -> &str {
    if name.is_empty() { "not named" } else { name }
}

/// One chart a housing, both sides in it.
fn centres(survey: &Survey) -> ShopCharts {
    let mut charts: Vec<ShopChart> = Vec::new();
    for of in survey.centres() {
        let title = named(&of.housing).to_owned();
        if charts.last().is_none_or(|chart| chart.title != title) {
            charts.push(ShopChart {
                title,
                names: ["x ′, right".to_owned(), "y ′, up".to_owned()],
                true_shape: true,
                ..ShopChart::default()
            });
        }
        let Some(chart) = charts.last_mut() else { continue };
        let look = look(of.channel);
        chart.points.extend(of.points.iter().map(|(index, centre)| {
            let at = [centre.x_arcmin, centre.y_arcmin];
            let value = format!("{} centre {}", of.channel.word(), words::direction(*centre));
            point(survey, *index, at, &value, look)
        }));
        for (ellipse, dashed) in [(&of.of_next, true), (&of.of_mean, false)] {
            if let Some(ellipse) = ellipse {
                let mut path: Vec<[f64; 2]> =
                    ellipse.path(SMOOTH).into_iter().map(|p| [p.x_arcmin, p.y_arcmin]).collect();
                // Closed.
                path.extend(path.first().copied());
                chart.curves.push(Curve { points: path, dashed, look });
            }
        }
        chart.told.push(of.words());
    }
    for chart in &mut charts {
        chart.fit([&[0.0], &[0.0]]);
        chart.mark_numbers(["′", "′"]);
    }
    // The housing that is known best comes first.
    charts.sort_by_key(|chart| std::cmp::Reverse(chart.points.len()));
    let told = vec![
        "Squares left, triangles right. Solid ellipse: where the mean lies; dashed: where the next \
         unit is to be expected (95 % each)."
            .to_owned(),
    ];
    ShopCharts { told, charts }
}

fn finishing(survey: &Survey) -> ShopCharts {
    let all = survey.finishing(By::All);
    let Some(found) = all.first() else { return none("No unit was measured as left yet.") };
    let mut chart = over_time("Distance from boresight as left", "from boresight ′");
    let dated = found.points.iter().filter_map(|(index, value)| {
        let day = survey.sessions.get(*index)?.day?;
        let words = words::arcmin(*value);
        Some(point(survey, *index, [day_number(day), *value], &words, ChartLook::Plain))
    });
    chart.points = dated.collect();
    // More lines than a hand can tell apart are told in words.
    let limits = survey.boresight_limits();
    if limits.len() <= MOST_LIMITS {
        let named = |(limit, window): &(f64, String)| {
            (
                *limit,
                format!("limit {} of {}", words::arcmin(*limit), record::shown::one_line(window)),
            )
        };
        chart.limits = limits.iter().map(named).collect();
    }
    chart.fit([&[], &[0.0]]);
    let [from, to] = chart.extent[0];
    let [_, half, _, most] = found.quantiles_arcmin;
    for (value, dashed) in [(half, false), (most, true)] {
        let points = vec![[from, value], [to, value]];
        chart.curves.push(Curve { points, dashed, look: ChartLook::Quiet });
    }
    mark_days(&mut chart);
    chart.told.push(found.words());
    chart.told.push(survey.boresight_trend().words);
    for (limit, window) in &limits {
        let window = record::shown::one_line(window);
        chart.told.push(format!("Limit of window {window}: {}.", words::arcmin(*limit)));
    }
    chart.told.push("Solid line: half finish nearer; dashed: 95 % do.".to_owned());
    for by in [By::Housing, By::Station, By::Hand] {
        chart.told.extend(
            survey.finishing(by).iter().map(record::shop::survey::finishing::Finishing::words),
        );
    }
    ShopCharts { told: Vec::new(), charts: vec![chart] }
}

fn pass_rate(survey: &Survey) -> ShopCharts {
    let months = survey.pass_rate();
    if months.is_empty() {
        return none("No session came to a verdict yet.");
    }
    let mut chart = over_time("Passed in the first round, by month", "share");
    for month in &months {
        let Ok(day) = Date::new(month.year, month.month, 15) else { continue };
        let share = month.passed_first;
        chart.points.push(Point {
            at: [day_number(day), share.share()],
            interval: Some([share.low, share.high]),
            leads: Leads::Days(day.first_of_month(), day.last_of_month()),
            words: month.words(),
            look: ChartLook::Plain,
        });
    }
    let (passed, all) = months.iter().fold((0, 0), |(passed, all), month| {
        let share = month.passed_first;
        (passed + share.successes, all + share.trials)
    });
    let mean = passed as f64 / all.max(1) as f64;
    chart.fit([&[], &[0.0, 1.0]]);
    let points = chart.extent[0].map(|day| [day, mean]).to_vec();
    chart.curves.push(Curve { points, dashed: true, look: ChartLook::Quiet });
    mark_days(&mut chart);
    chart.marks[1] =
        [0.0, 0.25, 0.5, 0.75, 1.0].into_iter().map(|at| (at, words::percent(at))).collect();
    chart.told = vec![
        survey.pass_trend().words,
        format!("Dashed: all months together, {}.", words::percent(mean)),
    ];
    chart.told.extend(months.iter().map(record::shop::survey::pass_rate::MonthlyRate::words));
    let mut told = vec!["Bars: 95 % interval by Wilson’s score (Newcombe 1998).".to_owned()];
    told.extend(survey.risks.iter().map(record::shop::survey::risks::WindowRisk::words));
    ShopCharts { told, charts: vec![chart] }
}

fn shims(survey: &Survey) -> ShopCharts {
    let found = survey.shims(None);
    if found.points.is_empty() {
        return none("No shim was measured after it was predicted yet.");
    }
    let mut chart = ShopChart {
        title: "What shims did".to_owned(),
        names: ["predicted shift ′".to_owned(), "measured along it ′".to_owned()],
        true_shape: true,
        ..ShopChart::default()
    };
    chart.points = found
        .points
        .iter()
        .map(|shim| {
            let at = [shim.predicted_arcmin, shim.measured_arcmin];
            let value = format!(
                "{} predicted {}, measured {}",
                shim.channel.word(),
                words::arcmin(shim.predicted_arcmin),
                words::arcmin(shim.measured_arcmin)
            );
            point(survey, shim.session, at, &value, look(shim.channel))
        })
        .collect();
    chart.fit([&[0.0], &[0.0]]);
    let [from, to] = chart.extent[0];
    let as_predicted = vec![[from, from], [to, to]];
    chart.curves.push(Curve { points: as_predicted, dashed: true, look: ChartLook::Quiet });
    let places: Vec<f64> =
        (0..=SMOOTH).map(|k| from + (to - from) * f64::from(k) / f64::from(SMOOTH)).collect();
    let bands: Vec<_> = places.iter().filter_map(|at| found.band_at(*at)).collect();
    for times in [0.0, -1.0, 1.0] {
        let curve = |half: fn(&record::shop::survey::shims::BandAt) -> f64| -> Vec<[f64; 2]> {
            bands
                .iter()
                .map(|band| [band.predicted_arcmin, band.line_arcmin + times * half(band)])
                .collect()
        };
        let points = curve(|band| band.mean_half_arcmin);
        let mean = times == 0.0;
        chart.curves.push(Curve {
            points,
            dashed: false,
            look: if mean { ChartLook::Plain } else { ChartLook::Quiet },
        });
        if !mean {
            let points = curve(|band| band.next_half_arcmin);
            chart.curves.push(Curve { points, dashed: true, look: ChartLook::Quiet });
        }
    }
    chart.fit([&[0.0], &[0.0]]);
    chart.mark_numbers(["′", "′"]);
    chart.told.push(found.words());
    let housings: std::collections::BTreeSet<&str> = found
        .points
        .iter()
        .filter_map(|shim| survey.sessions.get(shim.session))
        .map(|session| session.housing.as_str())
        .collect();
    for housing in housings {
        let of = survey.shims(Some(housing));
        chart.told.push(format!("{}: {}", named(housing), of.words()));
    }
    let told = vec![
        "Solid middle line: the line fitted, between its 95 % band; dashed: where the next shim will lie. The \
         straight dashed line is as predicted."
            .to_owned(),
    ];
    ShopCharts { told, charts: vec![chart] }
}

fn differences(survey: &Survey, quantity: Quantity, by_hand: bool) -> ShopCharts {
    let by = if by_hand { By::Hand } else { By::Station };
    let found = survey.differ(by, quantity);
    let name = quantity.word();
    let mut chart = ShopChart {
        title: format!("{}, by {}", words::capital(name), by.word()),
        names: [by.word().to_owned(), name.to_owned()],
        ..ShopChart::default()
    };
    for (place, group) in found.groups.iter().enumerate() {
        let x = place as f64;
        chart.marks[0].push((x, named(&group.name).to_owned()));
        chart.points.extend(group.points.iter().map(|(index, value)| {
            let words = format!("{}: {}", named(&group.name), words::number(*value, 2));
            point(survey, *index, [x, *value], &words, ChartLook::Plain)
        }));
        let median = group.middle.median;
        let points = vec![[x - 0.25, median], [x + 0.25, median]];
        chart.curves.push(Curve { points, dashed: false, look: ChartLook::Plain });
    }
    chart.fit([&[-0.5, found.groups.len() as f64 - 0.5], &[]]);
    let unit = if quantity == Quantity::WindowUse { "" } else { "′" };
    chart.marks[1] = super::chart::round_marks(chart.extent[1], unit);
    chart.told = found.words();
    let told = vec![
        "Bars: medians. Groups that differ need not be to blame: a hand that gets the hard units \
         finishes farther out."
            .to_owned(),
    ];
    ShopCharts { told, charts: vec![chart] }
}

fn locks(survey: &Survey) -> ShopCharts {
    let found = survey.locks();
    if found.is_empty() {
        return none("No unit was read with its locks open and tight yet.");
    }
    let mut chart = ShopChart {
        title: "What tightening does to the rings".to_owned(),
        names: ["housing".to_owned(), "turn °, clockwise".to_owned()],
        ..ShopChart::default()
    };
    for (place, of) in found.iter().enumerate() {
        let x = place as f64;
        let name = format!("{} {}", named(&of.housing), of.channel);
        chart.marks[0].push((x, name));
        chart.points.extend(of.points.iter().map(|(index, turned_deg)| {
            let value = format!("{} {}°", of.channel.word(), words::number(*turned_deg, 1));
            point(survey, *index, [x, *turned_deg], &value, look(of.channel))
        }));
        let median = of.middle.median;
        let points = vec![[x - 0.3, median], [x + 0.3, median]];
        chart.curves.push(Curve { points, dashed: !of.turns(), look: ChartLook::Plain });
    }
    chart.fit([&[-0.5, found.len() as f64 - 0.5], &[0.0]]);
    chart.marks[1] = super::chart::round_marks(chart.extent[1], "°");
    chart.told = found.iter().map(record::shop::survey::locks::LockTurns::words).collect();
    ShopCharts {
        told: vec!["Bars: medians, dashed where no turn is shown.".to_owned()],
        charts: vec![chart],
    }
}

/// Whether sessions show a station's zero wandering; its check charts stand beside.
fn stations(survey: &Survey) -> ShopCharts {
    let mut charts = Vec::new();
    for drift in survey.drift() {
        let mut chart = over_time(
            &format!("{}, {} of the middle of both centres", drift.station, drift.axis.word()),
            "′",
        );
        let day_zero = day_number(drift.first_day);
        chart.points = drift
            .points
            .iter()
            .map(|(index, days, value)| {
                let words = words::arcmin(*value);
                point(survey, *index, [day_zero + days, *value], &words, ChartLook::Plain)
            })
            .collect();
        chart.fit([&[], &[0.0]]);
        if let Some(line) = drift.line {
            let [from, to] = chart.extent[0];
            let points = [from, to].map(|day| [day, line.at(day - day_zero)]).to_vec();
            let dashed = !drift.wanders();
            chart.curves.push(Curve { points, dashed, look: ChartLook::Plain });
        }
        mark_days(&mut chart);
        chart.told.push(drift.words());
        charts.push(chart);
    }
    let told = vec![
        "The middle of both centres moves with a station whose zero wanders. Units scatter much more \
         than that: the check standard should have told long before."
            .to_owned(),
    ];
    ShopCharts { told, charts }
}

pub(super) fn none(why: &str) -> ShopCharts {
    ShopCharts { told: vec![why.to_owned()], charts: Vec::new() }
}

pub(super) fn over_time(title: &str, up: &str) -> ShopChart {
    ShopChart {
        title: title.to_owned(),
        names: ["day".to_owned(), up.to_owned()],
        ..ShopChart::default()
    }
}

/// Days since 1970-01-01.
pub(super) fn day_number(day: Date) -> f64 {
    f64::from(day.duration_since(Date::constant(1970, 1, 1)).as_hours() as i32) / 24.0
}

/// Marks at months, or at every third, along x; round numbers along y.
pub(super) fn mark_days(chart: &mut ShopChart) {
    let [from, to] = chart.extent[0];
    let epoch = Date::constant(1970, 1, 1);
    let day = |number: f64| {
        let days = jiff::Span::new().try_days(number.floor() as i64).ok()?;
        epoch.checked_add(days).ok()
    };
    let (Some(first), Some(last)) = (day(from), day(to)) else { return };
    let months = i32::from(last.year() - first.year()) * 12 + i32::from(last.month())
        - i32::from(first.month());
    let every = (months / 8).max(1);
    let mut marks = Vec::new();
    for k in (0..=months).step_by(usize::try_from(every).unwrap_or(1)) {
        let month = i32::from(first.month()) - 1 + k;
        let year = first.year() + i16::try_from(month / 12).unwrap_or_default();
        let month = i8::try_from(month % 12 + 1).unwrap_or(1);
        if let Ok(at) = Date::new(year, month, 1) {
            let at_day = day_number(at);
            if (from..=to).contains(&at_day) {
                marks.push((at_day, format!("{year}-{month:02}")));
            }
        }
    }
    chart.marks[0] = if marks.len() < 2 {
        [first, last]
            .into_iter()
            .map(|at| (day_number(at).clamp(from, to), at.to_string()))
            .collect()
    } else {
        marks
    };
    chart.marks[1] = super::chart::round_marks(chart.extent[1], "");
}
