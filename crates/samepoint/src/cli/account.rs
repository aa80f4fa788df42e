//! The account of a session as JSON: keys are only ever added. `samepoint review --help` says what they
//! mean.

use record::conclusion::OnCircleWay;
use record::review::otherwise::{How, ReviewAspect};
use record::review::{Account, BlindWord, Follows, RoundAccount};
use record::{AnswerKind, Measured, Objection, SessionKind, Verdict, shown};
use serde::Serialize;
use solver::{Channel, PerChannel};

use super::beside;

/// Raised only when a key changes its meaning, which none should.
pub(super) const FORMAT: u32 = 1;

#[derive(Serialize)]
pub(super) struct AccountDocument<'a> {
    format: u32,
    session: Option<&'a str>,
    practice: bool,
    facts: usize,
    last_hash: &'a str,
    chain: &'static str,
    damage: Option<String>,
    rounds: Vec<RoundJson>,
    verdict: Option<&'static str>,
    no_verdict_because: Option<String>,
    rests_on: &'a [u64],
    caveats: Vec<String>,
    signed: Option<SignatureJson<'a>>,
    follows: Option<bool>,
    differences: Vec<String>,
    remarks: Vec<String>,
    state: String,
    exit_code: u8,
    exit_code_because: Vec<String>,
    last_time: Option<String>,
    unit: Option<&'a str>,
    housing: Option<&'a str>,
    station: Option<&'a str>,
    window: Option<WindowJson<'a>>,
    measured: Vec<PositionJson>,
    answer: Option<Answer<'a>>,
    said_after: Option<SaidAfterJson>,
    unknown_numbers: &'a [String],
    numbers_not_stored: &'a [String],
    on_circles: Vec<OnCircleJson>,
    shop: Option<String>,
    otherwise: Vec<OtherwiseJson<'a>>,
    blind_readings: Option<&'static str>,
    blind: Vec<BlindJson<'a>>,
    ledger: Option<beside::LedgerJson>,
    copies: Vec<beside::OtherFile>,
    recall: Option<beside::Recalled>,
    hands_listed: bool,
    seals_required: bool,
    hands_sha256: Option<HandsList<'a>>,
    answerable: Vec<ActJson<'a>>,
    pictures: Vec<beside::NamedPictureJson>,
    read_again: Vec<beside::ReadAgain>,
    handovers: Vec<HandoverJson>,
}

#[derive(Serialize)]
struct HandsList<'a> {
    named: &'a str,
    now: Option<&'a str>,
}

#[derive(Serialize)]
struct HandoverJson {
    fact: u64,
    hand: String,
    time: String,
    text: String,
    read: Vec<ReadJson>,
}

#[derive(Serialize)]
struct ReadJson {
    hand: String,
    time: String,
}

#[derive(Serialize)]
struct ActJson<'a> {
    fact: u64,
    act: &'static str,
    hand: &'a str,
    day: String,
    authority: String,
    line_hash: &'a str,
    sealed: bool,
    seals: Vec<SealJson>,
}

#[derive(Serialize)]
struct SealJson {
    fact: u64,
    state: &'static str,
    words: String,
}

#[derive(Serialize)]
struct RoundJson {
    number: usize,
    why: &'static str,
    as_found_readings: usize,
    log_readings: usize,
    confirm_readings: usize,
    withdrawn: usize,
    relation: Option<&'static str>,
    crossing_arcmin: Option<[f64; 2]>,
    left_ring_deg: Option<f64>,
    right_ring_deg: Option<f64>,
    left_closure_arcmin: Option<[f64; 2]>,
    right_closure_arcmin: Option<[f64; 2]>,
    left_centre_arcmin: Option<[f64; 2]>,
    right_centre_arcmin: Option<[f64; 2]>,
    left_radius_arcmin: Option<f64>,
    right_radius_arcmin: Option<f64>,
}

#[derive(Serialize)]
struct SignatureJson<'a> {
    seq: u64,
    hand: &'a str,
    verdict: &'static str,
    rule: &'static str,
    outdated: bool,
    time: String,
    program: &'a str,
    round: u64,
    window: Option<u64>,
    station: Option<u64>,
    statement: &'a str,
}

#[derive(Serialize)]
struct Answer<'a> {
    kind: &'static str,
    seq: u64,
    hand: &'a str,
    time: String,
    comment: &'a str,
    /// `None` of a return.
    line_found: Option<bool>,
}

#[derive(Serialize)]
struct SaidAfterJson {
    first: u64,
    kind: &'static str,
    count: usize,
}

#[derive(Serialize)]
struct OnCircleJson {
    channel: &'static str,
    readings: &'static str,
    way: &'static str,
    count: usize,
    off_arcmin: f64,
    u_arcmin: f64,
    probability: f64,
    explained_arcmin: f64,
    off: bool,
}

#[derive(Serialize)]
struct OtherwiseJson<'a> {
    what: &'static str,
    name: &'a str,
    fact: u64,
    how: &'static str,
    words: String,
}

#[derive(Serialize)]
struct BlindJson<'a> {
    file: &'a str,
    agrees: Option<bool>,
    words: Vec<String>,
}

#[derive(Serialize)]
struct WindowJson<'a> {
    name: &'a str,
    source: &'a str,
    rule: &'static str,
    convergence_arcmin: f64,
    divergence_arcmin: f64,
    dipvergence_arcmin: f64,
    boresight_arcmin: Option<f64>,
}

#[derive(Serialize)]
struct PositionJson {
    position: String,
    verdict: &'static str,
    left_readings: usize,
    right_readings: usize,
    left_arcmin: [f64; 2],
    right_arcmin: [f64; 2],
    misalignment_arcmin: [f64; 2],
    boresight_arcmin: f64,
    window_use: f64,
    probability_misalignment: Option<f64>,
    probability_boresight: Option<f64>,
    probability_at_least: Option<f64>,
    misalignment_covariance_arcmin2: Option<[[f64; 2]; 2]>,
}

pub(super) fn document(account: &Account) -> AccountDocument<'_> {
    let conclusion = account.conclusion.as_ref();
    let session = &account.session;
    let (unknown_numbers, numbers_not_stored): (&[String], &[String]) = match &account.follows {
        Follows::Yes { unknown, missing } => (unknown, missing),
        _ => (&[], &[]),
    };
    AccountDocument {
        format: FORMAT,
        session: account.header().map(|header| header.session.as_str()),
        practice: account
            .header()
            .is_some_and(|header| matches!(header.kind, SessionKind::Practice(_))),
        facts: account.facts,
        last_hash: &account.last_hash,
        chain: account.chain.word(),
        damage: account.chain.trouble(),
        rounds: account.rounds.iter().map(round).collect(),
        verdict: account.verdict().map(Verdict::word),
        no_verdict_because: conclusion.err().map(ToString::to_string),
        rests_on: conclusion.map_or(&[], |conclusion| conclusion.rests_on.as_slice()),
        caveats: conclusion.map_or_else(
            |_| Vec::new(),
            |conclusion| conclusion.caveats.iter().map(ToString::to_string).collect(),
        ),
        signed: account.signature().map(signature),
        follows: match &account.follows {
            Follows::Yes { .. } => Some(true),
            Follows::No(_) => Some(false),
            Follows::CannotTell(_) | Follows::NothingStored => None,
        },
        differences: match &account.follows {
            Follows::No(differences) => differences.iter().map(ToString::to_string).collect(),
            _ => Vec::new(),
        },
        remarks: account.remarks().iter().map(ToString::to_string).collect(),
        state: account.state_words(),
        exit_code: account.exit_code(),
        exit_code_because: account.objections().iter().map(Objection::to_string).collect(),
        last_time: account.last_time.map(|time| time.to_string()),
        unit: session.unit().map(|unit| unit.name.as_str()),
        housing: session.unit().map(|unit| unit.housing.as_str()),
        station: session.station().map(|station| station.name.as_str()),
        window: session.window().map(window),
        measured: conclusion
            .map_or_else(|_| Vec::new(), |known| known.positions().map(position).collect()),
        answer: answer(account),
        said_after: account.said_after.as_ref().map(|said| SaidAfterJson {
            first: said.first,
            kind: said.what,
            count: said.count,
        }),
        unknown_numbers,
        numbers_not_stored,
        on_circles: conclusion
            .map_or_else(|_| Vec::new(), |known| known.on_circles.iter().map(on_circle).collect()),
        shop: account.beside.as_ref().map(|shop| shown::path(&shop.folder)),
        otherwise: account.otherwise.iter().map(otherwise).collect(),
        blind_readings: BlindWord::of(&account.blind).map(BlindWord::word),
        blind: account.blind.iter().map(blind).collect(),
        ledger: beside::ledger(account),
        copies: beside::copies(account),
        recall: beside::recalled(account),
        hands_listed: account.answerable.listed,
        seals_required: account.answerable.seals_required,
        hands_sha256: account
            .answerable
            .list
            .as_ref()
            .map(|list| HandsList { named: &list.named, now: list.now.as_deref() }),
        answerable: account.answerable.acts.iter().map(act).collect(),
        pictures: beside::pictures(account),
        read_again: beside::read_again(account),
        handovers: session.handovers().into_iter().map(handover).collect(),
    }
}

fn handover(left: record::Handover) -> HandoverJson {
    let read = |(hand, time): (String, record::Stamp)| ReadJson { hand, time: time.to_string() };
    HandoverJson {
        fact: left.seq,
        hand: left.hand,
        time: left.time.to_string(),
        text: left.text,
        read: left.read.into_iter().map(read).collect(),
    }
}

fn act(act: &record::review::ActAccount) -> ActJson<'_> {
    let seal = |seal: &record::review::SealAccount| SealJson {
        fact: seal.seq,
        state: seal.state.word(),
        words: seal.state.to_string(),
    };
    ActJson {
        fact: act.seq,
        act: act.word,
        hand: &act.hand,
        day: act.day.to_string(),
        authority: match &act.authority {
            record::Authority::NotChecked => "not checked".to_owned(),
            record::Authority::Held(_) => "held".to_owned(),
            record::Authority::Without(why) => why.to_string(),
        },
        line_hash: &act.line_hash,
        sealed: act.is_sealed(),
        seals: act.seals.iter().map(seal).collect(),
    }
}

fn on_circle(held: &record::conclusion::OnCircle) -> OnCircleJson {
    OnCircleJson {
        channel: held.channel.word(),
        readings: held.readings.word(),
        way: match held.way {
            OnCircleWay::Across => "across",
            OnCircleWay::Along => "along",
        },
        count: held.count,
        off_arcmin: held.departure.off_arcmin,
        u_arcmin: held.departure.u.standard,
        probability: held.departure.p_value,
        explained_arcmin: held.explained_arcmin,
        off: held.is_off(),
    }
}

fn otherwise(found: &record::Otherwise) -> OtherwiseJson<'_> {
    let (what, name) = match &found.what {
        ReviewAspect::Window(name) => ("window", name),
        ReviewAspect::Station(name) => ("station", name),
        ReviewAspect::Unit(name) => ("unit", name),
        ReviewAspect::Camera(name) => ("camera map", name),
    };
    let how = match &found.how {
        How::InShop { .. } => "not as in the shop",
        How::NotInShop { .. } => "not in the shop",
        How::Changed { .. } => "changed within the session",
    };
    OtherwiseJson { what, name, fact: found.seq, how, words: found.to_string() }
}

fn blind(found: &record::Blind) -> BlindJson<'_> {
    BlindJson { file: &found.file, agrees: found.agrees(), words: found.words() }
}

fn signature(signature: &record::Signature) -> SignatureJson<'_> {
    let signed = &signature.signed;
    SignatureJson {
        seq: signature.seq,
        hand: &signature.hand,
        verdict: signed.verdict.word(),
        rule: signed.rule.word(),
        outdated: signature.outdated,
        time: signature.time.to_string(),
        program: &signed.program,
        round: signed.round,
        window: signed.window,
        station: signed.station,
        statement: &signed.statement,
    }
}

fn answer(account: &Account) -> Option<Answer<'_>> {
    let answer = account.signature()?.answer.as_ref()?;
    let (kind, comment) = match &answer.kind {
        AnswerKind::Countersigned(agreed) => ("countersigned", &agreed.comment),
        AnswerKind::Returned(returned) => ("returned", &returned.comment),
    };
    Some(Answer {
        kind,
        seq: answer.seq,
        hand: &answer.hand,
        time: answer.time.to_string(),
        comment,
        line_found: account.countersigned_line_found,
    })
}

fn window(window: &record::NamedWindow) -> WindowJson<'_> {
    let limits = &window.limits;
    WindowJson {
        name: &window.name,
        source: &window.source,
        rule: window.rule.word(),
        convergence_arcmin: limits.convergence_arcmin(),
        divergence_arcmin: limits.divergence_arcmin(),
        dipvergence_arcmin: limits.dipvergence_arcmin(),
        boresight_arcmin: limits.boresight_arcmin(),
    }
}

fn position(measured: &Measured) -> PositionJson {
    let judged = measured.judgement.as_ref();
    let point = |channel: Channel| {
        let point = measured.points[channel];
        [point.x_arcmin, point.y_arcmin]
    };
    PositionJson {
        position: measured.position.to_string(),
        verdict: measured.verdict.word(),
        left_readings: measured.readings.left,
        right_readings: measured.readings.right,
        left_arcmin: point(Channel::Left),
        right_arcmin: point(Channel::Right),
        misalignment_arcmin: [measured.misalignment.x_arcmin, measured.misalignment.y_arcmin],
        boresight_arcmin: measured.boresight_arcmin,
        window_use: measured.window_use.worst(),
        probability_misalignment: judged.map(|judged| judged.in_box),
        probability_boresight: judged.map(|judged| judged.in_boresight),
        probability_at_least: judged.map(solver::decision::Judgement::inside_at_least),
        misalignment_covariance_arcmin2: judged.map(|judged| judged.misalignment_covariance),
    }
}

fn round(round: &RoundAccount) -> RoundJson {
    let [as_found_readings, log_readings, confirm_readings] = round.readings;
    let solution = round.solution.as_ref().and_then(|solution| solution.as_ref().ok());
    let meeting = solution.and_then(|solution| solution.meeting.as_ref());
    let nearest = meeting.and_then(|meeting| meeting.nearest());
    let rings = nearest.map_or(PerChannel { left: None, right: None }, |nearest| nearest.ring_deg);
    let closure = |channel: Channel| {
        round.closure[channel]
            .as_ref()
            .map(|closure| [closure.difference.x_arcmin, closure.difference.y_arcmin])
    };
    let circle = |channel: Channel| Some(solution?.fits[channel].as_ref().ok()?.circle);
    let centre =
        |channel| circle(channel).map(|circle| [circle.centre.x_arcmin, circle.centre.y_arcmin]);
    let radius_arcmin = |channel| circle(channel).map(|circle| circle.radius_arcmin);
    RoundJson {
        number: round.number,
        why: round.why.word(),
        as_found_readings,
        log_readings,
        confirm_readings,
        withdrawn: round.withdrawn,
        relation: meeting.map(|meeting| meeting.relation.word()),
        crossing_arcmin: nearest.map(|nearest| [nearest.point.x_arcmin, nearest.point.y_arcmin]),
        left_ring_deg: rings.left,
        right_ring_deg: rings.right,
        left_closure_arcmin: closure(Channel::Left),
        right_closure_arcmin: closure(Channel::Right),
        left_centre_arcmin: centre(Channel::Left),
        right_centre_arcmin: centre(Channel::Right),
        left_radius_arcmin: radius_arcmin(Channel::Left),
        right_radius_arcmin: radius_arcmin(Channel::Right),
    }
}
