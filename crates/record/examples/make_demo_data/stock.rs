//! What lies on the invented shelf, and what is stated of it.

use record::{Stock, StockEyepiece, StockHousing, StockTube};
use solver::PerChannel;

const KIND: &str = "Heron B";
/// What the bore report and the certificates state, standard, each axis.
const U_MM: f64 = 0.003;

fn housing(unit: &str, bores_mm: Option<[[f64; 2]; 2]>) -> StockHousing {
    StockHousing {
        unit: unit.into(),
        housing: KIND.into(),
        offset_mm: bores_mm.map(|[left, right]| PerChannel { left, right }),
        u_mm: bores_mm.map(|_| U_MM),
        source: bores_mm.map(|_| format!("bore report {unit}, invented")).unwrap_or_default(),
        ..StockHousing::default()
    }
}

fn tube(serial: &str, offset_mm: Option<[f64; 2]>) -> StockTube {
    StockTube {
        serial: serial.into(),
        housing: KIND.into(),
        may_turn: true,
        offset_mm,
        u_mm: offset_mm.map(|_| U_MM),
        source: offset_mm.map(|_| format!("certificate {serial}, invented")).unwrap_or_default(),
        ..StockTube::default()
    }
}

fn eyepiece(serial: &str, decentre_mm: Option<f64>) -> StockEyepiece {
    StockEyepiece {
        serial: serial.into(),
        housing: KIND.into(),
        decentre_mm,
        u_mm: decentre_mm.map(|_| U_MM),
        source: decentre_mm.map(|_| format!("certificate {serial}, invented")).unwrap_or_default(),
        ..StockEyepiece::default()
    }
}

/// 0155 and its parts are known from its session; 0152 went together of certified parts, and its session tells
/// what came of that; of 0173, T-2307 and E-3307 nothing is known.
pub(crate) fn stock() -> Stock {
    let out = |mut one: StockHousing| {
        one.in_use = true;
        one
    };
    let out_tube = |mut one: StockTube| {
        one.in_use = true;
        one
    };
    let out_eyepiece = |mut one: StockEyepiece| {
        one.in_use = true;
        one
    };
    Stock {
        window: "Shop window".into(),
        ipd_mm: Some(64.0),
        most_leaves: 4,
        housings: vec![
            housing("0155", None),
            housing("0171", Some([[0.055, -0.030], [0.020, -0.045]])),
            housing("0172", Some([[-0.070, 0.035], [-0.025, 0.060]])),
            housing("0173", None),
            out(housing("0152", Some([[0.030, -0.020], [-0.035, 0.030]]))),
        ],
        tubes: vec![
            tube("T-0155L", None),
            tube("T-0155R", None),
            tube("T-2301", Some([0.062, 0.018])),
            tube("T-2302", Some([-0.041, -0.053])),
            tube("T-2303", Some([0.012, 0.071])),
            tube("T-2304", Some([-0.058, 0.027])),
            tube("T-2307", None),
            out_tube(tube("T-0152L", Some([0.016, -0.013]))),
            out_tube(tube("T-0152R", Some([-0.022, 0.010]))),
        ],
        eyepieces: vec![
            eyepiece("E-0155L", None),
            eyepiece("E-0155R", None),
            eyepiece("E-3301", Some(0.094)),
            eyepiece("E-3302", Some(0.110)),
            eyepiece("E-3303", Some(0.126)),
            eyepiece("E-3304", Some(0.141)),
            eyepiece("E-3307", None),
            out_eyepiece(eyepiece("E-0152L", Some(0.222))),
            out_eyepiece(eyepiece("E-0152R", Some(0.188))),
        ],
        note: String::new(),
    }
}
