//! The first page, for the customer: what it is, how it came, how it leaves, and what to mind.
//!
//! The plot and the cautions stay on it. What is too long for that is cut with a … and stands whole at the top of the next.

use record::shown::in_lines;
use record::{Account, Conclusion, Measured, Verdict};
use solver::{Channel, PerChannel};

use super::block::{
    Block, Rank, TextLook, cut_pair, cut_paragraph, label_room_pt, pair, paragraph,
};
use super::first_picture::{PLOT_PT, PlotRoom, beside_picture};
use super::flow::Flow;
use super::letterhead::ShopHead;
use super::looking;
use super::standing::{loud, marks, sentences};
use super::table::{ReportTable, Ruled, words};
use super::who::{LabelledText, station_pairs, unit_pairs};
use super::wording;
use crate::cautions::CAUTIONS;
use crate::glossary::{AS_FOUND, AS_LEFT, Plainly, meaning};
use crate::palette::Colour;
use crate::words::{arcmin, at_least, direction, form_for, misalignment, percent, sentence};

/// Labels of the unit and station columns.
const LABEL_PT: f64 = 62.0;
/// Between two columns.
const BETWEEN_PT: f64 = 16.0;
/// Between two parts of the page.
const GAP_PT: f64 = 5.0;
/// Of a sentence that is cut stand at most so many lines.
const SENTENCE_LINES: usize = 4;
/// Cut shorter than this, in points, the verdict says too little: names are cut before.
const LEAST_SAID_PT: f64 = 62.0;
/// What says that something is cut.
const POINTER: &str = "What is left out here or ends with … stands whole on the next page.";

/// How much is cut, so that the plot stays.
#[derive(Clone, Copy)]
struct Cut {
    /// Whether the shop's own caution goes overleaf.
    own_caution: bool,
    /// Whether the verdict's sentences are cut to the room there is.
    verdict: bool,
    /// How many lines anything else may have.
    lines: usize,
}

/// What is tried, least cut first.
const CUTS: [Cut; 5] = [
    Cut { own_caution: false, verdict: false, lines: usize::MAX },
    Cut { own_caution: true, verdict: false, lines: usize::MAX },
    Cut { own_caution: true, verdict: true, lines: usize::MAX },
    Cut { own_caution: true, verdict: true, lines: 2 },
    Cut { own_caution: true, verdict: true, lines: 1 },
];

/// What the page says, before anything has a place.
struct PageSays<'a> {
    account: &'a Account,
    head: ShopHead<'a>,
    verdict: Vec<(String, TextLook)>,
    unit: Vec<LabelledText>,
    station: Vec<LabelledText>,
    table: ReportTable,
    beside: Vec<(String, Vec<String>)>,
    own_caution: String,
}

/// Blocks of the page, and what they do not say whole.
struct MadePage {
    above: Block,
    below: Block,
    shown: PlotRoom,
    after: Block,
    overleaf: Vec<(String, String)>,
}

impl MadePage {
    fn height_pt(&self) -> f64 {
        let blocks = [&self.above, &self.below, &self.after].map(Block::height_pt);
        blocks.iter().sum::<f64>() + self.shown.height_pt()
    }
}

/// Fills the first page; whether the next one is begun, with what is not whole on the first.
pub(super) fn page(account: &Account, head: ShopHead<'_>, flow: &mut Flow<'_>) -> bool {
    let mut plainly = Plainly::default();
    let says = PageSays {
        account,
        head,
        verdict: verdict(account, &mut plainly),
        unit: unit_pairs(&account.session),
        station: station_pairs(&account.session),
        table: came_and_leaves(account, &mut plainly),
        beside: beside_picture(account, &mut plainly),
        own_caution: in_lines(wording::of(account).map_or("", |own| own.caution.trim())),
    };
    // Without a caution of the shop's own nothing is gained by moving it.
    let adds = |cut: &Cut| cut.verdict || !cut.own_caution || !says.own_caution.is_empty();
    let found = CUTS.into_iter().filter(adds).find_map(|cut| fitting(&says, cut, flow));
    let fits = found.is_some();
    // What no cutting helps: the plot comes before all that can go on overleaf.
    let made = found.unwrap_or_else(|| {
        let [.., last] = CUTS;
        let [.., plot_pt] = PLOT_PT;
        says.made(last, plot_pt, Some(0.0), flow)
    });
    let shown = made.shown.drawn(account, flow);
    flow.place(made.above);
    if fits {
        flow.place(made.below);
        flow.place(shown);
    } else {
        flow.place(shown);
        flow.place(made.below);
    }
    flow.place(made.after);
    if made.overleaf.is_empty() {
        return false;
    }
    flow.new_page();
    flow.heading("From the first page, whole");
    overleaf(&made.overleaf, flow);
    true
}

/// The page with the largest plot that it holds, cut so much.
fn fitting<'a>(says: &PageSays<'a>, cut: Cut, flow: &Flow<'_>) -> Option<MadePage> {
    let left_pt = flow.left_pt();
    let held = |plot_pt| {
        let made = says.made(cut, plot_pt, None, flow);
        (made.height_pt() <= left_pt).then_some(made)
    };
    let [largest, between @ .., smallest] = PLOT_PT;
    // Where the smallest has no room, those between have none.
    let smaller = || held(smallest).map(|made| between.into_iter().find_map(held).unwrap_or(made));
    let whole = held(largest).or_else(smaller);
    if whole.is_some() || !cut.verdict {
        return whole;
    }
    let [.., plot_pt] = PLOT_PT;
    let without = says.made(cut, plot_pt, Some(0.0), flow).height_pt();
    let room_pt = left_pt - without;
    (room_pt >= LEAST_SAID_PT).then(|| says.made(cut, plot_pt, Some(room_pt), flow))
}

/// What the first page cuts, whole.
fn overleaf(said: &[(String, String)], flow: &mut Flow<'_>) {
    let (letters, width_pt) = (flow.letters(), flow.width_pt());
    let look = TextLook::BODY;
    let label_pt = label_room_pt(letters, said.iter().map(|(label, _)| &**label), LABEL_PT, look);
    for (label, says) in said {
        flow.place(pair(letters, label, says, label_pt, width_pt, look));
    }
    flow.gap(2.0 * GAP_PT);
}

impl PageSays<'_> {
    /// The page cut so much, with a plot of a side; of the verdict what a height holds, where one is given.
    fn made(&self, cut: Cut, plot_pt: f64, said_pt: Option<f64>, flow: &Flow<'_>) -> MadePage {
        let mut overleaf = Vec::new();
        let head = self.head(cut, flow, &mut overleaf);
        let said = match said_pt {
            None => said_whole(&self.verdict, flow),
            Some(room_pt) => said_in(&self.verdict, room_pt, flow, &mut overleaf),
        };
        let who = self.who_and_where(cut, flow, &mut overleaf);
        let table = self.table(cut, flow, &mut overleaf);
        let shown = PlotRoom::new(self.account, &self.beside, plot_pt, cut.lines, flow);
        overleaf.extend(shown.cut.iter().cloned());
        let mut after = Block::gap(6.0).then(cautions(flow));
        if !self.own_caution.is_empty() {
            if cut.own_caution {
                overleaf.push(("Caution of the shop".to_owned(), self.own_caution.clone()));
            } else {
                let own =
                    paragraph(flow.letters(), &self.own_caution, flow.width_pt(), TextLook::BODY);
                after = after.then(Block::gap(3.0)).then(own);
            }
        }
        let pointer = match (cut.verdict || cut.own_caution, overleaf.is_empty()) {
            (true, false) => paragraph(flow.letters(), POINTER, flow.width_pt(), TextLook::QUIET),
            _ => Block::default(),
        };
        MadePage {
            above: head.then(said).then(pointer).then(Block::gap(GAP_PT)),
            below: who.then(Block::gap(4.0)).then(table).then(Block::gap(8.0)),
            shown,
            after,
            overleaf,
        }
    }

    /// Whose shop it is, as the shop says now (nothing where it has no letterhead), what the page is of, and the verdict.
    fn head(&self, cut: Cut, flow: &Flow<'_>, overleaf: &mut Vec<(String, String)>) -> Block {
        let (letters, whole_pt) = (flow.letters(), flow.width_pt());
        let width_pt = self.head.room_pt(whole_pt);
        let mut all = Block::default();
        let mut put = |label: &str, text: &str, look, most: usize| {
            let (shown, whole) = cut_paragraph(letters, text, width_pt, look, most);
            all.0.extend(shown.0);
            if !whole {
                overleaf.push((label.to_owned(), text.to_owned()));
            }
        };
        if let Some(head) = self.head.letterhead {
            put("Shop", &head.name, TextLook::BODY.bold(), cut.lines);
            if !head.address.trim().is_empty() {
                // An address is lines.
                put(
                    "Address",
                    &in_lines(&head.address),
                    TextLook::BODY,
                    cut.lines.saturating_mul(3),
                );
            }
            all.0.extend(Block::gap(GAP_PT).0);
        }
        let unit = self.account.session.unit().map_or("not named", |unit| unit.name.as_str());
        let look = TextLook::BODY.bold().sized(15.0).ranked(Rank::Title);
        let (title, _) = cut_paragraph(letters, &super::title(unit), width_pt, look, cut.lines);
        let verdict = self.account.verdict();
        // Nothing is green that is not signed, came back or cannot be relied on: its mark says what it is.
        let marked = !marks(self.account).is_empty();
        let colour = match verdict {
            Some(Verdict::Pass) if marked => Colour::INK,
            Some(Verdict::Pass) => Colour::INSIDE,
            Some(Verdict::Fail) => Colour::LOOK,
            _ => Colour::INK,
        };
        let look = TextLook::BODY.bold().sized(21.0).coloured(colour);
        let verdict = paragraph(letters, loud(verdict), width_pt, look);
        let words = all.then(title).then(Block::gap(3.0)).then(verdict);
        self.head.beside(words, letters, whole_pt)
    }

    fn who_and_where(
        &self,
        cut: Cut,
        flow: &Flow<'_>,
        overleaf: &mut Vec<(String, String)>,
    ) -> Block {
        let column_pt = (flow.width_pt() - BETWEEN_PT) / 2.0;
        let left = pairs(flow, column_pt, &self.unit, cut.lines, overleaf);
        let right = pairs(flow, column_pt, &self.station, cut.lines, overleaf);
        left.beside(right, column_pt + BETWEEN_PT)
    }

    fn table(&self, cut: Cut, flow: &Flow<'_>, overleaf: &mut Vec<(String, String)>) -> Block {
        let letters = flow.letters();
        let ruled = Ruled::new(&self.table.columns, letters, flow.width_pt());
        let head = ruled.head();
        self.table.rows.iter().fold(head, |block, row| {
            let shown = row.iter().enumerate().map(|(place, text)| {
                // A third of the page's width holds so many letters a line.
                let most = cut.lines.saturating_mul(40);
                match text.char_indices().nth(most) {
                    None => text.clone(),
                    Some((end, _)) => {
                        let label = row.first().filter(|_| place > 0).unwrap_or(text);
                        overleaf.push((label.clone(), text.clone()));
                        format!("{}…", text.get(..end).unwrap_or(text).trim_end())
                    }
                }
            });
            block.then(ruled.line(shown.collect::<Vec<_>>()))
        })
    }
}

/// What the verdict rests on, each sentence as it looks.
fn verdict(account: &Account, plainly: &mut Plainly) -> Vec<(String, TextLook)> {
    let bold = TextLook::BODY.bold();
    let mut said = Vec::new();
    if let Ok(conclusion) = &account.conclusion {
        // A station that cannot be shown to read right marks the verdict itself.
        let look = bold.coloured(Colour::LOOK);
        said.extend(conclusion.marks().map(|mark| (format!("Marked: {mark}."), look)));
    }
    if account.verdict() == Some(Verdict::Undecided) {
        said.push((meaning("undecided").unwrap_or_default().to_owned(), TextLook::BODY));
    }
    let told = verdict_sentences(account).into_iter();
    said.extend(told.map(|sentence| (plainly.told(&sentence), TextLook::BODY)));
    said.extend(sentences(account).into_iter().map(|sentence| (sentence, bold)));
    said
}

fn said_whole(said: &[(String, TextLook)], flow: &Flow<'_>) -> Block {
    said.iter().fold(Block::default(), |block, (text, look)| {
        block.then(paragraph(flow.letters(), text, flow.width_pt(), *look))
    })
}

/// As much of it as a height holds: what was measured first, then what is bold, since that says why the verdict may not
/// be relied on.
fn said_in(
    said: &[(String, TextLook)],
    room_pt: f64,
    flow: &Flow<'_>,
    overleaf: &mut Vec<(String, String)>,
) -> Block {
    let is_bold = |place: usize| said.get(place).is_some_and(|(_, look)| look.is_bold());
    let measured = (0..said.len()).find(|place| !is_bold(*place));
    let mut order: Vec<usize> = (0..said.len()).collect();
    order.sort_by_key(|&place| (Some(place) != measured, !is_bold(place)));
    let mut left_pt = room_pt;
    let mut shown = vec![Block::default(); said.len()];
    for place in order {
        let Some((text, look)) = said.get(place) else { continue };
        let most = ((left_pt / look.line_pt() + 1e-6) as usize).min(SENTENCE_LINES);
        let (block, whole) = cut_paragraph(flow.letters(), text, flow.width_pt(), *look, most);
        left_pt -= block.height_pt();
        if let Some(own) = shown.get_mut(place) {
            *own = block;
        }
        if !whole {
            overleaf.push(("Verdict".to_owned(), text.clone()));
        }
    }
    shown.into_iter().fold(Block::default(), Block::then)
}

fn verdict_sentences(account: &Account) -> Vec<String> {
    let conclusion = match &account.conclusion {
        Ok(conclusion) => conclusion,
        Err(why) => return vec![sentence(&why.to_string())],
    };
    let Some(measured) = &conclusion.measured else {
        return vec![
            "Not measured: no confirm readings of both channels with the rings locked. What is said \
             of a setting below is a prediction."
                .to_owned(),
        ];
    };
    let mut said: Vec<String> = core::iter::once(measured)
        .chain(&conclusion.elsewhere)
        .flat_map(measured_sentences)
        .collect();
    said.push(rule_sentence(account, conclusion));
    let unmarked = conclusion.caveats.iter().filter(|caveat| !caveat.marks());
    let unmarked: Vec<String> = unmarked.map(|caveat| sentence(&caveat.to_string())).collect();
    if !unmarked.is_empty() {
        said.push(unmarked.join(" "));
    }
    said
}

/// What was measured at one position, and how sure that is.
fn measured_sentences(measured: &Measured) -> Vec<String> {
    let PerChannel { left, right } = measured.readings;
    let mut said = vec![format!(
        "Measured {} by {left} left and {right} right readings: {}; pointing {} from boresight; window \
         use {}.",
        measured.position,
        misalignment(measured.misalignment),
        arcmin(measured.boresight_arcmin),
        percent(measured.window_use.worst()),
    )];
    if let Some(judged) = &measured.judgement {
        said.push(format!(
            "The probability that it is inside is at least {}.",
            at_least(judged.inside_at_least())
        ));
    }
    if let Some(outlook) = measured.outlook {
        said.push(sentence(&outlook.sentence()));
    }
    said
}

fn rule_sentence(account: &Account, conclusion: &Conclusion) -> String {
    let window = account.session.window().map_or("", |window| window.name.as_str());
    let (rule, means) = (conclusion.rule.word(), conclusion.rule.means());
    format!("Judged by the {rule} rule of the window “{window}”: {means}.")
}

fn pairs(
    flow: &Flow<'_>,
    width_pt: f64,
    pairs: &[LabelledText],
    most_lines: usize,
    overleaf: &mut Vec<(String, String)>,
) -> Block {
    let letters = flow.letters();
    let said = || pairs.iter().filter(|(_, says)| !says.trim().is_empty());
    let look = TextLook::BODY;
    let label_pt = label_room_pt(letters, said().map(|(label, _)| *label), LABEL_PT, look);
    said().fold(Block::default(), |block, (label, says)| {
        let whole = pair(letters, label, says, label_pt, width_pt, look);
        // A label may take as many lines itself.
        if whole.0.len() <= most_lines.saturating_add(1) {
            return block.then(whole);
        }
        overleaf.push(((*label).to_owned(), says.clone()));
        block.then(cut_pair(letters, label, says, (label_pt, width_pt), most_lines))
    })
}

fn came_and_leaves(account: &Account, plainly: &mut Plainly) -> ReportTable {
    let found = record::as_found(&account.session);
    let left = account.conclusion.as_ref().ok().and_then(|conclusion| conclusion.measured.as_ref());
    let no = || "not measured".to_owned();
    let mut table =
        ReportTable::new(vec![words("", 0.26), words(AS_FOUND, 0.37), words(AS_LEFT, 0.37)]);
    for column in &mut table.columns {
        column.look = TextLook::BODY;
    }
    for channel in Channel::BOTH {
        let crosshair = |point, count| {
            let (one, many) = ("1 reading".to_owned(), format!("mean of {count} readings"));
            format!("{} ({})", direction(point), form_for(count, one, many))
        };
        let found = found
            .and_then(|found| Some(crosshair(found.points[channel]?, found.readings[channel])));
        let left = left.map(|left| crosshair(left.points[channel], left.readings[channel]));
        let name = format!("{} crosshair", channel.word());
        table.row([name, found.unwrap_or_else(no), left.unwrap_or_else(no)]);
    }
    let together = found.and_then(|found| found.together);
    table.row([
        "what it asks".to_owned(),
        together.map_or_else(no, |both| misalignment(both.misalignment)),
        left.map_or_else(no, |left| misalignment(left.misalignment)),
    ]);
    table.row([
        plainly.told("from boresight"),
        together.map_or_else(no, |both| arcmin(both.boresight_arcmin)),
        left.map_or_else(no, |left| arcmin(left.boresight_arcmin)),
    ]);
    table.row([
        plainly.told("window use"),
        together.and_then(|both| both.window_use).map_or_else(no, |used| percent(used.worst())),
        left.map_or_else(no, |left| percent(left.window_use.worst())),
    ]);
    table.row(["looking test".to_owned(), "–".to_owned(), looking::as_left(account)]);
    table
}

fn cautions(flow: &Flow<'_>) -> Block {
    let letters = flow.letters();
    let column_pt = (flow.width_pt() - BETWEEN_PT) / 2.0;
    let look = TextLook::QUIET.sized(6.4);
    let column = |cautions: &[&str]| {
        cautions.iter().fold(Block::default(), |block, caution| {
            block.then(paragraph(letters, caution, column_pt, look)).then(Block::gap(1.5))
        })
    };
    let (left, right) = CAUTIONS.split_at(CAUTIONS.len().div_ceil(2) - 1);
    let head = paragraph(letters, "Cautions", flow.width_pt(), TextLook::BODY.bold());
    let both = column(left).beside(column(right), column_pt + BETWEEN_PT);
    head.then(both)
}
