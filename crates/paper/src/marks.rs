//! How a report or a picture that this program wrote is told from any other file, so that no other
//! file is ever replaced by one.
//!
//! A few first bytes tell nothing: every PDF and every SVG has them. What is looked for is the whole
//! frame that the writers here put round their work: for PDF the one cross-reference table at its end,
//! the information dictionary it leads to, and the producer named there (ISO 32000-1, 7.5 and 14.3.3);
//! for SVG the first three lines and the last. A file that another program saved again, or added a
//! revision to, no longer has it. A bounded part is read, whatever the file's length.

use std::io::{self, Read, Seek, SeekFrom};

/// Who put a report together, in its information dictionary.
pub(crate) const PDF_PRODUCER: &str = "samepoint collimation report";

/// Who put a recall list together: another than a report's, so that neither takes the other's place.
pub(crate) const RECALL_PRODUCER: &str = "samepoint recall list";

/// Who put a calibration's sheet together.
pub(crate) const CALIBRATION_PRODUCER: &str = "samepoint calibration sheet";

/// Who put a shop's month together.
pub(crate) const MONTH_PRODUCER: &str = "samepoint monthly report";

/// Who put a label together.
pub(crate) const LABEL_PRODUCER: &str = "samepoint unit label";

/// The third line of a label.
pub(crate) const LABEL_SVG: &str = "<metadata id=\"written-by\">samepoint unit label</metadata>";

/// The third line of a shop's chart.
pub(crate) const CHART_SVG: &str = "<metadata id=\"written-by\">samepoint shop chart</metadata>";

/// The third line of a field plot.
pub(crate) const SVG: &str = "<metadata id=\"written-by\">samepoint field plot</metadata>";

/// The largest part looked at in one place, bytes.
const PART: u64 = 4096;

/// Whether a file is a report of [`report()`](crate::report()), to the last byte of its frame.
///
/// # Errors
/// What the file cannot be read for.
pub fn is_our_pdf<F: Read + Seek>(file: &mut F) -> io::Result<bool> {
    Ok(pdf_frame(file, PDF_PRODUCER)?.is_some())
}

/// Whether a file is a recall list of [`recall_list`](crate::recall_list), to the last byte of its frame.
///
/// # Errors
/// What the file cannot be read for.
pub fn is_our_recall_list<F: Read + Seek>(file: &mut F) -> io::Result<bool> {
    Ok(pdf_frame(file, RECALL_PRODUCER)?.is_some())
}

/// Whether a file is a calibration's sheet of [`calibration_sheet`](crate::calibration_sheet), to the last byte of
/// its frame.
///
/// # Errors
/// What the file cannot be read for.
pub fn is_our_calibration_sheet<F: Read + Seek>(file: &mut F) -> io::Result<bool> {
    Ok(pdf_frame(file, CALIBRATION_PRODUCER)?.is_some())
}

/// Whether a file is a shop's month of [`month_report`](crate::month_report), to the last byte of its frame.
///
/// # Errors
/// What the file cannot be read for.
pub fn is_our_month_report<F: Read + Seek>(file: &mut F) -> io::Result<bool> {
    Ok(pdf_frame(file, MONTH_PRODUCER)?.is_some())
}

/// Whether a file is a label of [`UnitLabel::pdf`](crate::label::UnitLabel::pdf), to the last byte of its frame.
///
/// # Errors
/// What the file cannot be read for.
pub fn is_our_label_pdf<F: Read + Seek>(file: &mut F) -> io::Result<bool> {
    Ok(pdf_frame(file, LABEL_PRODUCER)?.is_some())
}

/// `Some` where every part of the frame is in its place.
fn pdf_frame<F: Read + Seek>(file: &mut F, producer: &str) -> io::Result<Option<()>> {
    let length = file.seek(SeekFrom::End(0))?;
    if !part(file, 0, length)?.starts_with(b"%PDF-1.7\n") {
        return Ok(None);
    }
    // …trailer <<…/Info 33 0 R…>> startxref 66053 %%EOF
    let end = part(file, length.saturating_sub(PART), length)?;
    let end = String::from_utf8_lossy(&end);
    let Some((before, at)) = end
        .trim_end_matches('\n')
        .strip_suffix("%%EOF")
        .and_then(|text| text.trim_end().rsplit_once("startxref"))
    else {
        return Ok(None);
    };
    let Some((_, trailer)) = before.rsplit_once("trailer") else { return Ok(None) };
    // An earlier revision: somebody else went on with the file.
    if trailer.contains("/Prev") {
        return Ok(None);
    }
    let info = trailer.split_once("/Info ").and_then(|(_, rest)| rest.split_once(" 0 R"));
    let (Ok(table), Some(Ok(info))) =
        (at.trim().parse::<u64>(), info.map(|(number, _)| number.parse::<u64>()))
    else {
        return Ok(None);
    };
    // xref, 0 36, then twenty bytes an object: where each begins.
    let head = part(file, table, length)?;
    let mut lines = head.split_inclusive(|&byte| byte == b'\n');
    let (Some(b"xref\n"), Some(range)) = (lines.next(), lines.next()) else { return Ok(None) };
    let rows = 5 + range.len() as u64;
    let Some(row) = info.checked_mul(20).and_then(|row| row.checked_add(table + rows)) else {
        return Ok(None);
    };
    let row = part(file, row, length)?;
    let place = row.get(..10).and_then(|digits| str::from_utf8(digits).ok());
    let Some(Ok(place)) = place.map(str::parse::<u64>) else { return Ok(None) };
    let object = part(file, place, length)?;
    let object = String::from_utf8_lossy(&object);
    let Some(object) = object.strip_prefix(&format!("{info} 0 obj\n")) else { return Ok(None) };
    let object = object.split("endobj").next().unwrap_or_default();
    Ok(object.contains(&format!("/Producer({producer})")).then_some(()))
}

/// How every picture of ours begins.
pub(crate) const XML: &str = r#"<?xml version="1.0" encoding="UTF-8"?>"#;

/// Whether a file is a field plot of [`svg`](crate::svg()), to the last byte of its frame.
///
/// # Errors
/// What the file cannot be read for.
pub fn is_our_svg<F: Read + Seek>(file: &mut F) -> io::Result<bool> {
    svg_frame(file, SVG)
}

/// Whether a file is a label of [`UnitLabel::svg`](crate::label::UnitLabel::svg), to the last byte of its frame.
///
/// # Errors
/// What the file cannot be read for.
pub fn is_our_label_svg<F: Read + Seek>(file: &mut F) -> io::Result<bool> {
    svg_frame(file, LABEL_SVG)
}

fn svg_frame<F: Read + Seek>(file: &mut F, written_by: &str) -> io::Result<bool> {
    let length = file.seek(SeekFrom::End(0))?;
    let head = part(file, 0, length)?;
    let mut lines = head.split(|&byte| byte == b'\n');
    let begins = lines.next() == Some(XML.as_bytes())
        && lines.next().is_some_and(|line| {
            line.starts_with(br#"<svg xmlns="http://www.w3.org/2000/svg" width=""#)
                && line.ends_with(br#" role="img" aria-labelledby="title desc">"#)
        })
        && lines.next() == Some(written_by.as_bytes());
    Ok(begins && part(file, length.saturating_sub(PART), length)?.ends_with(b"\n</svg>\n"))
}

/// At most [`PART`] bytes from a place on; none beyond the end.
fn part<F: Read + Seek>(file: &mut F, from: u64, length: u64) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    if from < length {
        file.seek(SeekFrom::Start(from))?;
        file.by_ref().take(PART).read_to_end(&mut bytes)?;
    }
    Ok(bytes)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]
    use std::io::Cursor;

    use super::*;
    use crate::field::{Field, field_scene};

    #[test]
    fn a_plot_of_ours_is_known_and_others_are_not() {
        let ours = crate::svg(&field_scene(&Field::default()), [300.0, 300.0]);
        let known = |text: &str| is_our_svg(&mut Cursor::new(text.as_bytes())).unwrap();
        assert!(known(&ours));
        // Saved again by another program, cut, gone on with, only alike.
        assert!(!known(&ours.replace("<svg ", "<svg version=\"1.1\" ")));
        assert!(!known(&ours.replace(SVG, "")));
        assert!(!known(ours.trim_end()));
        assert!(!known(&format!("{ours}<!-- mine -->\n")));
        assert!(!known("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg></svg>\n"));
        assert!(!known(""));
    }

    /// Whatever stands where offsets should, it ends without a panic.
    #[test]
    fn broken_frames_are_not_ours() {
        for end in [
            "trailer\n<</Info 33 0 R>>\nstartxref\n18446744073709551615\n%%EOF",
            "trailer\n<</Info 18446744073709551615 0 R>>\nstartxref\n9\n%%EOF",
            "xref\n0 1\ntrailer\n<</Info 0 0 R>>\nstartxref\n9\n%%EOF",
            "startxref%%EOF",
            "%%EOF",
            "",
        ] {
            let file = format!("%PDF-1.7\n{end}");
            assert!(!is_our_pdf(&mut Cursor::new(file.as_bytes())).unwrap(), "{end}");
        }
    }
}
