//! The cautions for this work. Common practice and public handbook knowledge; local codes, the
//! maintenance manual and licensed practice govern wherever they say otherwise.

/// One caution a line.
pub const CAUTIONS: [&str; 9] = [
    "Bright light damages a powered tube: keep the room dark, the lamp at minimum and raised \
     slowly, caps on; cap and switch off before room lights.",
    "The station's source may be infrared and invisible: never look into a collimator unaided; \
     follow its lamp or laser class; never sun or laser through a viewer.",
    "The supply inside makes high voltage, and charge can remain or return: take the battery out, \
     open only as the maintenance manual directs.",
    "A broken tube may scatter glass and its screen is toxic: eye protection, gloves, do not touch \
     or breathe it; a cut needs medical aid.",
    "Lithium cells burn when shorted; a swollen, hot or hissing cell: leave it, keep away.",
    "Opening a purged housing lets moisture in.",
    "Looking test: stand still, after dark, no bright lights in view, do not walk or drive; stop \
     on headache or lasting double vision.",
    "Export and possession may be regulated; a pass here is not release for flight, driving or duty.",
    "Where a local code, a maintenance manual or licensed practice says otherwise, that governs.",
];
