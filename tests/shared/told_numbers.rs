//! What must hold of every number that is told in words.

/// Fails where a text tells a number by digits that mean nothing, nothing or all where it is neither, or
/// a way round of what does not turn.
#[track_caller]
pub(crate) fn numbers_mean_something(said: &str) {
    for (number, line) in said.lines().flat_map(|line| numbers(line).map(move |n| (n, line))) {
        let decimals = number.split_once('.').map_or(0, |(_, decimals)| decimals.len());
        assert!(decimals <= 4, "{number} in {line:?}");
    }
    for (line, words) in said.lines().flat_map(|line| NEVER.map(|words| (line, words))) {
        // 10.0° is no 0.0°.
        let mut rest = line;
        while let Some((before, after)) = rest.split_once(words) {
            let part = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '−');
            assert!(before.ends_with(part), "{words:?} in {line:?}");
            rest = after;
        }
    }
}

const NEVER: [&str; 8] = [
    "0.0° clockwise",
    "0.0° counter-clockwise",
    "0° clockwise",
    "0° counter-clockwise",
    "no more than 0 %",
    "ring 360°",
    "clock 360°",
    "NaN",
];

fn numbers(line: &str) -> impl Iterator<Item = &str> {
    line.split(|c: char| !c.is_ascii_digit() && c != '.').map(|text| text.trim_matches('.'))
}
