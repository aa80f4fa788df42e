//! `shelf.ron` in its words: `(format: 1, shelf: (window: "…", housings: […], tubes: […], eyepieces: […]))`.

use serde::{Deserialize, Serialize};

use super::stock::{Stock, StockEyepiece, StockHousing, StockTube, USUAL_LEAVES};
use crate::file::bad_field::BadField;
use crate::file::v1::wire::{Pair, Wire, wire_struct};
use crate::validate::Checked;

const fn yes() -> bool {
    true
}

const fn usual_leaves() -> u64 {
    USUAL_LEAVES
}

wire_struct!(StockWords for Stock {
    window: String,
    #[serde(default)]
    ipd_mm: Option<f64>,
    #[serde(default = "usual_leaves")]
    most_leaves: u64,
    #[serde(default)]
    housings: Vec<HousingWords>,
    #[serde(default)]
    tubes: Vec<TubeWords>,
    #[serde(default)]
    eyepieces: Vec<EyepieceWords>,
    #[serde(default)]
    note: String,
});
wire_struct!(HousingWords for StockHousing {
    unit: String,
    housing: String,
    #[serde(default)]
    in_use: bool,
    #[serde(default)]
    eyepieces: Option<Pair<String>>,
    #[serde(default)]
    offset_mm: Option<Pair<[f64; 2]>>,
    #[serde(default)]
    u_mm: Option<f64>,
    #[serde(default)]
    source: String,
});
wire_struct!(TubeWords for StockTube {
    serial: String,
    housing: String,
    #[serde(default)]
    in_use: bool,
    #[serde(default = "yes")]
    may_turn: bool,
    #[serde(default)]
    offset_mm: Option<[f64; 2]>,
    #[serde(default)]
    u_mm: Option<f64>,
    #[serde(default)]
    source: String,
});
wire_struct!(EyepieceWords for StockEyepiece {
    serial: String,
    housing: String,
    #[serde(default)]
    in_use: bool,
    #[serde(default)]
    decentre_mm: Option<f64>,
    #[serde(default)]
    u_mm: Option<f64>,
    #[serde(default)]
    source: String,
});

/// The file.
#[derive(Debug, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct ShelfFile {
    pub(crate) format: u32,
    shelf: StockWords,
}

impl Wire<Stock> for ShelfFile {
    fn write(from: &Stock) -> Self {
        Self { format: 1, shelf: Wire::write(from) }
    }

    fn read(self) -> Result<Stock, BadField> {
        let stock: Stock = self.shelf.read().map_err(|bad| bad.within("shelf"))?;
        stock.check().map_err(BadField::new)?;
        Ok(stock)
    }
}
