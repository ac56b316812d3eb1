//! Roofs through the kernel, from corners and roles.

use eavewright::base::finding::Finding as _;
use eavewright::base::units::Pitch;
use eavewright::input::card;
use eavewright::outline::footprint::{Footprint, Ring, Role, Side, TakesOver};
use eavewright::roof::analysis::drainage::drain;
use eavewright::roof::{Options, Roof, solve};
use eavewright::takeoff::model::{Covering, Laying, Prices, Scope, Waste};
use eavewright::takeoff::{Finding, TakeOff, TakeoffInput, take_off};
use eavewright::wording::units::Format;
use eavewright::wording::{self, order};
use nalgebra::Point2;

/// An eave of this pitch in degrees.
pub fn eave(degrees: f64) -> Role {
    Role::Eave { pitch: Pitch::from_degrees(degrees).unwrap(), breaks: Vec::new() }
}

/// A block named `store` at 2.40 m; role i stands over the side from corner i.
pub fn footprint(corners: &[(f64, f64)], roles: &[Role]) -> Footprint {
    let side = |(index, (&(x, y), role)): (usize, (&(f64, f64), &Role))| Side {
        name: char::from(b'A' + u8::try_from(index).unwrap()).to_string().into(),
        start: Point2::new(x, y),
        height: 2.4,
        role: role.clone(),
    };
    let sides: Vec<Side> = corners.iter().zip(roles).enumerate().map(side).collect();
    Footprint {
        name: "store".into(),
        height: 2.4,
        rings: vec![Ring { sides }],
        walls: None,
        take_over: TakesOver::Flatter,
    }
}

/// The roof over it.
pub fn solved(corners: &[(f64, f64)], roles: &[Role]) -> Roof {
    solve(&[footprint(corners, roles)], &Options::default()).unwrap()
}

/// A rectangle with one role for its long sides and one for its short ones.
pub fn rectangle(width: f64, depth: f64, long: Role, short: Role) -> Roof {
    solved(&[(0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth)], &[long.clone(), short.clone(), long, short])
}

/// Twelve sides, some 300 m2 at 35 degrees: an H of hips.
pub fn twelve_sided() -> Roof {
    let corners = [
        (0.0, 0.0),
        (6.0, 0.0),
        (6.0, 5.0),
        (14.0, 5.0),
        (14.0, 0.0),
        (20.0, 0.0),
        (20.0, 16.0),
        (14.0, 16.0),
        (14.0, 11.0),
        (6.0, 11.0),
        (6.0, 16.0),
        (0.0, 16.0),
    ];
    solved(&corners, &vec![eave(35.0); 12])
}

/// A covering of one of the tool's own cards, from the layout, without prices.
pub fn covering(name: &str) -> Covering {
    Covering {
        card: card::named(name).unwrap(),
        waste: Waste::Layout,
        laying: Laying::default(),
        prices: Prices::default(),
        old_roof: None,
        scope: Scope::default(),
    }
}

/// The take-off of a roof without openings.
pub fn taken_off(roof: &Roof, covering: &Covering) -> TakeOff {
    take_off(&TakeoffInput {
        roof,
        drainage: &drain(roof),
        openings: &[],
        covering,
        wind_from: None,
        timbers: &[],
        north: 0.0,
        area_sd: None,
    })
}

/// A T with gables: main 10.0 x 6.0, wing 4.0 wide and 3.0 out, 40 degrees. Valleys 2 x 3.289 m, area 93.989 m2.
pub fn t_plan() -> Roof {
    let corners = [(0.0, 0.0), (3.0, 0.0), (3.0, -3.0), (7.0, -3.0), (7.0, 0.0), (10.0, 0.0), (10.0, 6.0), (0.0, 6.0)];
    let roles = [eave(40.0), eave(40.0), Role::Verge, eave(40.0), eave(40.0), Role::Verge, eave(40.0), Role::Verge];
    solved(&corners, &roles)
}

/// Fails where a number is not what is expected.
pub fn near(found: f64, expected: f64, tolerance: f64) {
    assert!((found - expected).abs() <= tolerance, "found {found}, expected {expected}");
}

/// What a line of the order comes to.
pub fn quantity(answer: &TakeOff, item: &str) -> f64 {
    answer.line(item).unwrap_or_else(|| panic!("no line {item}")).quantity.value().unwrap()
}

/// The net area of the roof, square metres.
pub fn area(answer: &TakeOff) -> f64 {
    answer.area.value().unwrap()
}

/// How the quantity of a line comes about, in metres.
pub fn detail(answer: &TakeOff, item: &str) -> String {
    order::detail(answer.line(item).unwrap_or_else(|| panic!("no line {item}")), Format::default()).unwrap()
}

/// What a finding of this code says, in metres.
pub fn message(answer: &TakeOff, roof: &Roof, code: &str) -> String {
    let found =
        answer.findings.iter().find(|found| found.code() == code).unwrap_or_else(|| panic!("no finding {code}"));
    wording::takeoff::finding(found, roof, Format::default())
}

/// Codes of all findings.
pub fn codes(answer: &TakeOff) -> Vec<&'static str> {
    answer.findings.iter().map(Finding::code).collect()
}
