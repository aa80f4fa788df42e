//! A station's calibration on one page: its numbers with their uncertainty, residuals as a table and drawn, to which day
//! it holds, whose it is, and the chain it can be found in.

use record::calibrations::told::{map_words, with_half_width};
use record::calibrations::{Arrows, CalibrationOutcome, CalibrationReview};
use record::review::State;
use record::{PerChannel, shown};
use solver::Channel;
use solver::direction::Direction;

use super::block::{Block, Rank, TextLook, paragraph};
use super::flow::{Flow, RunningHead};
use super::letterhead::ShopHead;
use super::table::{ReportTable, figures, words};
use super::{PaperSize, pdf};
use crate::error::Error;
use crate::ink::{Align, Ink, PagePoint, Pen};
use crate::letters::{Face, Letters};
use crate::marks;
use crate::palette::{Colour, channel as channel_colour};
use crate::words::{arcmin_fine, capital, number};

/// A drawing of residuals is this wide and high, points.
const PLOT_PT: f64 = 150.0;

/// Draws the sheet of a calibration as PDF. `head`: whose sheet it is; `file`: its name; the same calibration gives the same bytes.
///
/// # Errors
/// As [`report()`](super::report()).
pub fn calibration_sheet(
    review: &CalibrationReview,
    head: ShopHead<'_>,
    file: &str,
    paper: PaperSize,
) -> Result<Vec<u8>, Error> {
    let letters = Letters::load();
    let means = &review.means;
    let mut flow = Flow::new(&letters, paper, page_marks(review));
    let title = format!("Calibration of station {}", means.station());
    let (width_pt, look) = (flow.width_pt(), TextLook::BODY.bold().sized(15.0).ranked(Rank::Title));
    let room_pt = head.room_pt(width_pt);
    let words = paragraph(&letters, &title, room_pt, look).then(head.lines(&letters, room_pt));
    flow.place(head.beside(words, &letters, width_pt));
    flow.gap(4.0);
    for objection in &review.objections {
        flow.paragraph(
            &format!("{}.", capital(objection)),
            TextLook::BODY.bold().coloured(Colour::LOOK),
        );
    }
    for line in said(review, file) {
        flow.paragraph(&line, TextLook::BODY);
    }
    let outcomes =
        PerChannel { left: means.outcome(Channel::Left), right: means.outcome(Channel::Right) };
    flow.heading("The maps");
    for (channel, outcome) in outcomes.iter() {
        let name = capital(channel.word());
        match outcome {
            Err(gap) => flow.paragraph(&format!("{}.", capital(&gap.to_string())), TextLook::BODY),
            Ok(outcome) => {
                flow.paragraph(&format!("{name}: {}.", map_words(&outcome.found)), TextLook::BODY);
                for finding in &outcome.found.findings {
                    flow.paragraph(
                        &format!("{name}: {finding}."),
                        TextLook::BODY.bold().coloured(Colour::LOOK),
                    );
                }
            }
        }
    }
    numbers(review, &outcomes, &mut flow);
    residuals(&outcomes, &mut flow);
    for line in means.left_out() {
        flow.paragraph(&format!("{}.", capital(&line)), TextLook::BODY);
    }
    plots(&outcomes, &mut flow);
    flow.gap(4.0);
    if let Some(why) = head.missing() {
        flow.paragraph(&why, TextLook::BODY);
    }
    for line in CAUTIONED {
        flow.paragraph(line, TextLook::SMALL);
    }
    flow.tell_numbers();
    let running = RunningHead {
        title,
        issue: String::new(),
        foot: format!("Last line of the calibration {}", review.last_line),
    };
    let pages = flow.finish(&running);
    let about = pdf::DocumentInfo {
        title: running.title,
        program: means
            .journal
            .header
            .as_ref()
            .map_or_else(String::new, |header| header.program.clone()),
        producer: marks::CALIBRATION_PRODUCER,
        id: review.last_line.clone(),
        made: means.last.map(pdf::date_time),
        from: None,
    };
    pdf::pdf(&pages, paper.size_pt(), &letters, about)
}

const CAUTIONED: [&str; 3] = [
    "± is 95 %. The map’s own uncertainty comes from its readings and from what each deviation is uncertain by (least \
     squares, GUM JCGM 100:2008, 5.1 and 5.2); what all deviations have in common is the certificate’s (type B, 4.3) and \
     is added at boresight. Repeating readings makes the first smaller, not the second.",
    "It holds for the station as it stood: zeroed anew, moved or mended it is to be calibrated again, whatever day is \
     printed here. The check standard, read each day, shows whether it still reads so.",
    "A station’s source may be infrared and invisible: never look into a collimator unaided. A calibration releases no \
     unit; local codes, the maintenance manual and licensed practice govern.",
];

fn page_marks(review: &CalibrationReview) -> Vec<String> {
    match review.state {
        State::Signed => Vec::new(),
        state => vec![state.word().to_uppercase()],
    }
}

/// Certificate, days, hand and chain.
fn said(review: &CalibrationReview, file: &str) -> Vec<String> {
    let mut said = Vec::new();
    let means = &review.means;
    if let Some(terms) = &means.terms {
        said.push(format!(
            "Certificate {}. Done on {}; the last day it holds is {}.",
            terms.certificate, terms.done, terms.due
        ));
        let sigma = terms.sigma.as_ref().map_or_else(
            || "told by the scatter about the map".to_owned(),
            |sigma| format!("{} divisions, stated", sigma.shown()),
        );
        let common = [&terms.common_x, &terms.common_y]
            .map(|typed| typed.as_ref().map_or_else(|| "0".to_owned(), record::Typed::shown));
        said.push(format!(
            "Standard uncertainty of a reading, each axis: {sigma}. Of what all deviations have in common: {}′ across, \
             {}′ up.",
            common[0], common[1]
        ));
    }
    if let Some(signed) = &means.signed {
        said.push(format!("Signed by {} on {}.", signed.hand, signed.time.date()));
    }
    let line = review.signing_line.as_deref().unwrap_or("none");
    said.push(format!("File {}; the line that signs it: {line}.", shown::one_line(file)));
    said
}

type Outcomes = PerChannel<Result<CalibrationOutcome, record::calibrations::CalibrationGap>>;

/// Every number with its 95 % half width.
fn numbers(review: &CalibrationReview, outcomes: &Outcomes, flow: &mut Flow<'_>) {
    let mut table = ReportTable::new(vec![
        words("channel", 10.0),
        figures("turn, degrees", 16.0),
        figures("x, ′ per division", 17.0),
        figures("y, ′ per division", 17.0),
        figures("boresight x, divisions", 20.0),
        figures("boresight y, divisions", 20.0),
    ]);
    for (channel, outcome) in outcomes.iter() {
        let Ok(CalibrationOutcome { found, .. }) = outcome else { continue };
        let widths = found.half_widths_95();
        let [x, y] = found.arcmin_per_division;
        let [zero_x, zero_y] = found.boresight_divisions;
        let values = [found.rotation_deg, x, y, zero_x, zero_y];
        let cells = values.iter().enumerate().map(|(at, value)| {
            with_half_width(*value, widths.and_then(|widths| widths.get(at).copied()))
        });
        table.row(std::iter::once(channel.word().to_owned()).chain(cells));
    }
    flow.gap(3.0);
    flow.table(table);
    let Some(signed) = review.means.signed.as_ref().map(|signed| &signed.body) else { return };
    let each = signed.maps.iter().map(|(channel, map)| {
        let [x, y] = map.own_u_arcmin.map(|u| number(u, 3));
        format!("{channel} {x}′ across, {y}′ up")
    });
    let own: Vec<String> = each.collect();
    let [x, y] = signed.common_u_arcmin.map(|u| number(u, 3));
    flow.paragraph(
        &format!(
            "Standard uncertainty of boresight, as signed and as the station’s reference: {}; shared by both channels {x}′ \
             across, {y}′ up.",
            own.join("; ")
        ),
        TextLook::BODY,
    );
}

/// Deviation by deviation.
fn residuals(outcomes: &Outcomes, flow: &mut Flow<'_>) {
    flow.heading("Residuals: where the map puts what was read, less where it is known to be");
    let mut table = ReportTable::new(vec![
        words("channel", 9.0),
        figures("no.", 5.0),
        words("known deviation x, y", 33.0),
        figures("u", 8.0),
        figures("read", 7.0),
        figures("off, x", 10.0),
        figures("off, y", 10.0),
        figures("by the others", 12.0),
    ]);
    for (channel, outcome) in outcomes.iter() {
        let Ok(CalibrationOutcome { found, known }) = outcome else { continue };
        for ((place, known), residual) in known.iter().enumerate().zip(&found.residuals) {
            let Some(residual) = residual else { continue };
            let left_out = residual.left_out.map(Direction::boresight_arcmin);
            let u = known
                .taken
                .u
                .as_ref()
                .map_or_else(|| "none".to_owned(), |u| format!("{}′", u.shown()));
            table.row([
                channel.word().to_owned(),
                (place + 1).to_string(),
                known.words(),
                u,
                format!("{} ×", residual.readings),
                arcmin_fine(residual.off.x_arcmin),
                arcmin_fine(residual.off.y_arcmin),
                left_out.map_or_else(|| "not told".to_owned(), arcmin_fine),
            ]);
        }
    }
    flow.table(table);
}

/// Both channels' residuals, drawn side by side.
fn plots(outcomes: &Outcomes, flow: &mut Flow<'_>) {
    let mut drawn: Option<Block> = None;
    for (channel, outcome) in outcomes.iter() {
        let Ok(outcome) = outcome else { continue };
        let block = plot(channel, &outcome.arrows(), flow.letters());
        drawn = Some(match drawn.take() {
            None => block,
            Some(left) => left.beside(block, PLOT_PT + 40.0),
        });
    }
    if let Some(drawn) = drawn {
        flow.gap(4.0);
        flow.place_whole(drawn);
    }
}

fn plot(channel: Channel, arrows: &Arrows, letters: &Letters) -> Block {
    let half = PLOT_PT / 2.0;
    let at = |[x, y]: [f64; 2]| -> PagePoint {
        let per = half / arrows.reach_arcmin;
        [(half + x * per).clamp(0.0, PLOT_PT), (half - y * per).clamp(0.0, PLOT_PT)]
    };
    let line = |from: PagePoint, to: PagePoint, pen: Pen| Ink::Path {
        points: vec![from, to],
        closed: false,
        pen,
    };
    let grid = Pen::line(Colour::GRID, 0.6);
    let mut ink =
        vec![line([0.0, half], [PLOT_PT, half], grid), line([half, 0.0], [half, PLOT_PT], grid)];
    let colour = channel_colour(channel);
    for [from, to] in &arrows.each {
        let (from, to) = (at(*from), at(*to));
        ink.push(line(from, to, Pen::line(colour, 1.4)));
        ink.push(Ink::Circle { centre: from, radius_pt: 2.2, pen: Pen::line(Colour::INK, 0.7) });
        ink.push(Ink::Circle { centre: to, radius_pt: 1.4, pen: Pen::fill(colour) });
    }
    ink.push(Ink::Words {
        at: [PLOT_PT, half - 2.0],
        text: format!("{}′", number(arrows.reach_arcmin, 0)),
        face: Face::Plain,
        size_pt: 6.5,
        colour: Colour::QUIET,
        align: Align::Right,
    });
    let told = format!(
        "{} channel: ring, the known deviation; dot, where the map puts what was read, {} times as far as it is.",
        capital(channel.word()),
        number(arrows.larger, 0)
    );
    let words = paragraph(letters, &told, PLOT_PT, TextLook::SMALL);
    Block::picture(letters, PLOT_PT + 3.0, ink, told).then(words)
}
