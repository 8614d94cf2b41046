// What a print stands on: from when its own foot holds it. Grade and reason: docs/facts.md.

/** Plastic of the piece itself on the bed that holds it without support, mm2 (4 cm2). Common practice, no source. */
export const SURE_FOOT_MM2 = 400;
