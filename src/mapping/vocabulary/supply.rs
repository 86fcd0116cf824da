//! Words of the supply: systems, conductors, bonding.

use super::Row;
use crate::outlet::Field;

pub(super) const fn of(field: Field) -> &'static [Row] {
    match field {
        Field::System => SYSTEM,
        Field::Phases => PHASES,
        Field::Bonding => BONDING,
        _ => &[],
    }
}

/// The forms of a pair of voltages: either order, with `V`, and what stands behind them.
macro_rules! pair {
    ($low:literal, $high:literal $(, $tail:literal)*) => {
        &[
            concat!($low, "/", $high), concat!($low, "/", $high, "v"), concat!($low, "/", $high, " v"),
            concat!($low, "/", $high, " volts"), concat!($low, "v/", $high, "v"),
            concat!($high, "/", $low), concat!($high, "/", $low, "v"), concat!($high, "/", $low, " v"),
            concat!($high, "/", $low, " volts"), concat!($high, "v/", $low, "v"),
            concat!($high, "y/", $low, "v"), concat!($high, "y/", $low, " v"),
            concat!($high, "wye/", $low), concat!($high, "wye/", $low, "v"),
            concat!($low, "/", $high, "y"), concat!($low, "/", $high, "y v"),
            concat!($low, "/", $high, " wye"), concat!($low, "/", $high, "v wye"),
            concat!($high, "/", $low, " wye"),
            $(
                concat!($low, "/", $high, $tail), concat!($low, "/", $high, "v", $tail),
                concat!($low, "/", $high, " v", $tail),
                concat!($high, "/", $low, $tail), concat!($high, "/", $low, "v", $tail),
                concat!($high, "y/", $low, $tail), concat!($high, "y/", $low, "v", $tail),
            )*
        ]
    };
}

macro_rules! wye {
    ($low:literal, $high:literal) => {
        pair!(
            $low,
            $high,
            " 3ph 4w",
            " 3ph, 4w",
            ", 3ph, 4w",
            " 3 ph 4 w",
            ", 3 ph, 4 w",
            " 3ø 4w",
            ", 3ø, 4w",
            " 3φ 4w",
            " 3 phase 4 wire",
            ", 3 phase, 4 wire"
        )
    };
}

// Left out: a bare 240/120, which may be the high leg; 240 V delta, which may be that, grounded at a
// corner or not at all; 277 or 120 alone, which is a voltage.
const SYSTEM: &[Row] = &[
    (
        "120/240",
        &[
            "120/240v",
            "120/240 v",
            "120v/240v",
            "120/240 volts",
            "120/240 1ph",
            "120/240v 1ph",
            "120/240 v 1ph",
            "120/240 1ph 3w",
            "120/240v 1ph 3w",
            "120/240v 1ph, 3w",
            "120/240v, 1ph, 3w",
            "120/240 1ø",
            "120/240v 1ø",
            "120/240v 1ø 3w",
            "120/240v, 1ø, 3w",
            "120/240 single phase",
            "120/240v single phase",
            "120/240 1 phase 3 wire",
            "120/240v 1 phase 3 wire",
            "240/120 single phase",
            "split phase",
            "single phase 120/240",
            "120/240 split phase",
            "120/240v split phase",
        ],
    ),
    ("208Y/120", wye!("120", "208")),
    ("480Y/277", wye!("277", "480")),
    ("600Y/347", wye!("347", "600")),
    (
        "240/120-high-leg",
        &[
            "high leg",
            "high leg delta",
            "highleg",
            "wild leg",
            "240/120 high leg delta",
            "240/120v high leg",
            "240/120v high leg delta",
            "120/240 high leg",
            "120/240 high leg delta",
            "120/240v high leg",
            "120/240v high leg delta",
            "240 high leg delta",
            "240v high leg delta",
        ],
    ),
    ("240-delta", &["240 delta ungrounded", "240v delta ungrounded", "240v ungrounded delta"]),
    (
        "240-delta-corner",
        &[
            "240v corner grounded delta",
            "240 corner grounded delta",
            "240v delta corner grounded",
            "240 delta corner grounded",
        ],
    ),
    ("480-delta", &["480 delta ungrounded", "480v delta ungrounded", "480v ungrounded delta"]),
    (
        "480-delta-corner",
        &[
            "480v corner grounded delta",
            "480 corner grounded delta",
            "480v delta corner grounded",
            "480 delta corner grounded",
        ],
    ),
];

// Left out: L1 to L3 and colours, which name other conductors from system to system.
const PHASES: &[Row] =
    &[("N", &["neutral", "neut", "neutre", "neutro", "nulleiter", "neutralleiter"])];

const BONDING: &[Row] = &[
    ("jumper", &["bonding jumper", "equipment bonding jumper", "bond jumper"]),
    ("self-grounding", &["self grounding device", "self grounding yoke", "selfgrounding"]),
    (
        "metal-to-metal",
        &["direct metal to metal", "metal to metal contact", "direct metal to metal contact"],
    ),
    ("isolated", &["isolated ground", "isolated grounding"]),
    ("none", &["no", "no bond", "not bonded", "unbonded"]),
];
