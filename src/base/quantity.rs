//! Lengths and pitches as people write them: `11' 3 1/2"`, `7:12`, `70 %`.
