//! A calibration's sheet put into a file, for the window and the command line.

use std::path::Path;

use paper::{PaperSize, ShopHead};
use record::Shop;
use record::calibrations::noted::review_in_shop;
use record::file::Disk;

use crate::pictures::head;
use crate::report_file::{NotWritten, ReportRefusal, write_sheet};

/// Works a calibration out again and writes its sheet under a name that ends in .pdf; an earlier sheet is replaced.
///
/// # Errors
/// One message that names the file and says what to do.
pub(crate) fn write_calibration_sheet(
    calibration: &Path,
    to: &Path,
    paper: PaperSize,
    disk: &dyn Disk,
) -> Result<(), NotWritten> {
    let review = review_in_shop(calibration, disk)
        .map_err(|why| ReportRefusal::Table(why).of(calibration))?;
    // The shop it lies in says whose it is.
    let shop =
        calibration.parent().and_then(Path::parent).and_then(|folder| Shop::load(folder).ok());
    let picture =
        shop.as_ref().and_then(|shop| head::kept(&shop.folder, shop.head_picture.as_ref()));
    let head = ShopHead {
        letterhead: shop.as_ref().and_then(|shop| shop.letterhead.as_ref()),
        picture: picture.as_ref(),
    };
    let name = calibration.file_name().unwrap_or_default().to_string_lossy();
    let bytes = paper::calibration_sheet(&review, head, &name, paper)
        .map_err(|why| ReportRefusal::Paper(why).of(calibration))?;
    write_sheet(calibration, to, &bytes)
}
