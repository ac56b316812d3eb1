//! Words for how a roof is laid: directions and the reasons for them.

use crate::takeoff::caps::CapsRun;

/// Why caps run the way they do.
#[must_use]
pub fn caps_run(why: CapsRun) -> &'static str {
    match why {
        CapsRun::UpTheHip => "from the eave up; the first cap doubled",
        CapsRun::FromEitherEnd => "from either end",
        CapsRun::TowardsWall => "towards the wall",
        CapsRun::AwayFromWind => "from the end away from the wind",
    }
}
