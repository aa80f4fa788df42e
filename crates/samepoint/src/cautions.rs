//! The cautions for this work, the same on screen and on paper.

pub(crate) use paper::cautions::CAUTIONS;
