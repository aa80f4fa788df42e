//! What must hold for every input.
