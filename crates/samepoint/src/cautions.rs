//! The cautions for this work, the same on screen and on paper.

pub use paper::cautions::CAUTIONS;
