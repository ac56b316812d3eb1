//! Corners and edges found in rendered photos of which the truth is known: three buildings, ten cameras each, with blur,
//! noise, JPEG, cast shadows and a branch before an eave. Buildings and photos are invented.

use crate::scene::{Branch, Building, Scene, Spoilt, sight};
use eavewright_core::picture::line::{Search, straight};
use eavewright_core::picture::{Grey, corner_near, line_along};
use eavewright_core::survey::sight::Sight;
use nalgebra::Point3;
use support::survey::random::Random;

const SIZE: [f64; 2] = [2000.0, 1500.0];

/// Ten cameras about a building: how far, which way round (degrees), how high, how spoilt, whether a branch hangs before
/// the nearest eave.
fn cameras(building: &Building) -> Vec<(Sight, Spoilt)> {
    let spoilt = |blur, noise, quality| Spoilt { blur, noise, quality };
    let kinds =
        [spoilt(0.7, 1.5, 92), spoilt(0.9, 2.0, 85), spoilt(1.1, 3.0, 78), spoilt(0.8, 4.0, 90), spoilt(1.4, 2.0, 85)];
    let (middle, top) = {
        let count = building.points.len() as f64;
        let sum: nalgebra::Vector3<f64> = building.points.iter().map(|(_, at)| at.coords).sum();
        (sum / count, building.points.iter().map(|(_, at)| at.z).fold(0.0, f64::max))
    };
    (0..10)
        .map(|number| {
            let round = (f64::from(number) * 36.0 + 20.0).to_radians();
            let far = 9.5 + 0.6 * f64::from(number % 4);
            let from = [
                middle.x + far * round.cos(),
                middle.y + far * round.sin(),
                if number == 7 { 3.4 } else { 1.6 + 0.03 * f64::from(number) },
            ];
            let to = [middle.x, middle.y, 0.62 * top];
            let tilt = 0.02 * (f64::from(number) - 4.5) / 4.5;
            (sight(from, to, tilt, SIZE, -0.03), kinds[number as usize % kinds.len()])
        })
        .collect()
}

fn pixel(sight: &Sight, place: &Point3<f64>) -> Option<[f64; 2]> {
    let border = 60.0;
    let at = sight.pixel(place)?;
    let inside = at.x > border && at.y > border && at.x < SIZE[0] - border && at.y < SIZE[1] - border;
    inside.then_some([at.x, at.y])
}

/// What became of a number of searches.
#[derive(Default)]
struct Tally {
    tried: usize,
    refused: usize,
    /// Errors, pixels, and over their own sigma.
    off: Vec<f64>,
    over: Vec<f64>,
    /// Places on another edge that covers the one meant.
    other: usize,
}

impl Tally {
    fn rms(values: &[f64]) -> f64 {
        (values.iter().map(|value| value * value).sum::<f64>() / values.len().max(1) as f64).sqrt()
    }

    fn part(&self, share: f64) -> f64 {
        let mut sorted = self.off.clone();
        sorted.sort_by(f64::total_cmp);
        sorted.get(((sorted.len() as f64 * share) as usize).min(sorted.len().saturating_sub(1))).copied().unwrap_or(0.0)
    }

    fn describe(&self, name: &str) {
        println!(
            "{name:<24} {:>5} tried {:>4} refused  median {:.3}  95 % {:.3}  largest {:.3} px  off over sigma {:.2}{}",
            self.tried,
            self.refused,
            self.part(0.5),
            self.part(0.95),
            self.part(1.0),
            Self::rms(&self.over),
            if self.other > 0 { format!("  {} places on an edge that covers it", self.other) } else { String::new() }
        );
    }
}

#[test]
fn corners_and_edges_are_found_to_a_part_of_a_pixel_and_nothing_where_nothing_is() {
    found(&[0, 3, 7]);
}

#[test]
#[ignore = "ten cameras each; a minute of computing"]
fn corners_and_edges_from_ten_cameras() {
    // Those of the shorter test last.
    found(&[1, 2, 4, 5, 6, 8, 9, 0, 3, 7][..support::part_of(10).max(2)]);
}

#[allow(clippy::too_many_lines)]
fn found(chosen: &[usize]) {
    let mut random = Random::new(77);
    let (mut all_corners, mut all_edges, mut all_nothing) = (Tally::default(), Tally::default(), Tally::default());
    for building in [Building::hip(), Building::gable(), Building::wing()] {
        let scene = Scene::new(&building);
        let (mut corners, mut edges, mut nothing) = (Tally::default(), Tally::default(), Tally::default());
        for (number, (sight, spoilt)) in cameras(&building).iter().enumerate() {
            if !chosen.contains(&number) {
                continue;
            }
            let visible: Vec<(usize, [f64; 2])> = (0..building.points.len())
                .filter(|&point| scene.sees(sight, &building.points[point].1))
                .filter_map(|point| Some((point, pixel(sight, &building.points[point].1)?)))
                .collect();
            // A branch hangs across the middle of the first edge that is seen whole, every third photo.
            let seen_edges: Vec<[usize; 2]> = building
                .edges()
                .into_iter()
                .filter(|pair| pair.iter().all(|end| visible.iter().any(|(point, _)| point == end)))
                .collect();
            let branches: Vec<Branch> = match seen_edges.first() {
                Some(pair) if number % 3 == 0 => {
                    let [a, b] = pair.map(|end| visible.iter().find(|(point, _)| *point == end).unwrap().1);
                    let middle = [0, 1].map(|k| f64::midpoint(a[k], b[k]));
                    vec![([middle[0] - 60.0, middle[1] - 170.0], [middle[0] + 25.0, middle[1] + 120.0], 26.0)]
                }
                _ => Vec::new(),
            };
            // Places on sky, grass, boards and shingles where no edge of the roof is within reach.
            let empty: Vec<[f64; 2]> = (0..12)
                .map(|_| [100.0 + 1800.0 * random.unit(), 100.0 + 1300.0 * random.unit()])
                .filter(|at| far_from_edges(&building, sight, *at, 60.0))
                .collect();
            let wanted: Vec<[f64; 2]> = empty.iter().copied().chain(visible.iter().map(|(_, at)| *at)).collect();
            let grey = scene.photo(sight, *spoilt, &branches, &wanted, 19.0, number as u64);
            for (point, truth) in &visible {
                let hidden = branches.iter().any(|branch| near(*truth, branch) < branch.2 + 30.0);
                if hidden {
                    continue;
                }
                let click = [truth[0] + 5.0 * random.signed(), truth[1] + 5.0 * random.signed()];
                corners.tried += 1;
                match corner_near(&grey, click, 12.0) {
                    Ok(corner) => {
                        let off = (corner.at[0] - truth[0]).hypot(corner.at[1] - truth[1]);
                        if std::env::var("TELL").is_ok() {
                            println!(
                                "{} {number} {}: {off:.2} ± {:.2} {} edges {:?}",
                                building.name,
                                building.points[*point].0,
                                corner.sigma(),
                                corner.edges.len(),
                                truth
                            );
                        }
                        corners.off.push(off);
                        corners.over.push(off / corner.sigma() / 2.0_f64.sqrt());
                    }
                    Err(why) => {
                        if std::env::var("TELL").is_ok() {
                            println!("{} {number} {}: {why:?} {truth:?}", building.name, building.points[*point].0);
                        }
                        corners.refused += 1;
                    }
                }
            }
            for pair in &seen_edges {
                edge(&building, sight, &grey, *pair, &mut random, &mut edges);
            }
            for at in &empty {
                nothing.tried += 1;
                match corner_near(&grey, *at, 12.0) {
                    Ok(corner) => {
                        if std::env::var("TELL").is_ok() {
                            println!(
                                "{} {number} found at {at:?}: {:?} ± {:.2}",
                                building.name,
                                corner.at,
                                corner.sigma()
                            );
                        }
                        nothing.off.push(0.0);
                    }
                    Err(_) => nothing.refused += 1,
                }
            }
        }
        corners.describe(&format!("{} corners", building.name));
        edges.describe(&format!("{} edges", building.name));
        println!("{} nothing: {} tried, {} refused", building.name, nothing.tried, nothing.refused);
        for (all, some) in [(&mut all_corners, corners), (&mut all_edges, edges), (&mut all_nothing, nothing)] {
            all.tried += some.tried;
            all.refused += some.refused;
            all.other += some.other;
            all.off.extend(some.off);
            all.over.extend(some.over);
        }
    }
    all_corners.describe("all corners");
    all_edges.describe("all edges");
    println!("nothing there: {} tried, {} refused", all_nothing.tried, all_nothing.refused);
    assert!(
        all_corners.tried > 12 * chosen.len() && all_corners.refused * 6 < all_corners.tried,
        "{} refused",
        all_corners.refused
    );
    assert!(all_corners.part(0.5) < 0.22 && all_corners.part(0.95) < 0.8, "{}", all_corners.part(0.95));
    assert!((0.5..1.6).contains(&Tally::rms(&all_corners.over)), "{}", Tally::rms(&all_corners.over));
    assert!(
        all_edges.tried > 12 * chosen.len() && all_edges.refused * 20 < all_edges.tried,
        "{} refused",
        all_edges.refused
    );
    assert!(all_edges.part(0.5) < 0.08 && all_edges.part(0.95) < 0.4, "{}", all_edges.part(0.95));
    assert!(all_edges.other * 20 < all_edges.off.len());
    assert!((all_nothing.tried - all_nothing.refused) * 50 < all_nothing.tried, "{} found", all_nothing.off.len());
}

/// A post's edge begins at the corner that was pointed at; produced upwards it crosses another edge twelve pixels off, where no
/// corner is.
#[test]
fn the_line_of_an_edge_that_begins_farther_off_makes_no_corner() {
    let building = Building::wing();
    let (sight, spoilt) = cameras(&building)[7];
    let truth = pixel(&sight, &building.place("W1")).unwrap();
    for seed in 0..3 {
        let grey = Scene::new(&building).photo(&sight, spoilt, &[], &[truth], 19.0, seed);
        let Ok(corner) = corner_near(&grey, [truth[0] + 1.0, truth[1] - 6.0], 12.0) else { continue };
        let off = (corner.at[0] - truth[0]).hypot(corner.at[1] - truth[1]);
        assert!(off < 1.0, "{seed}: {off} ± {}", corner.sigma());
    }
}

fn near(at: [f64; 2], (from, to, _): &Branch) -> f64 {
    let way = [to[0] - from[0], to[1] - from[1]];
    let off = [at[0] - from[0], at[1] - from[1]];
    let share = ((off[0] * way[0] + off[1] * way[1]) / (way[0] * way[0] + way[1] * way[1])).clamp(0.0, 1.0);
    (off[0] - share * way[0]).hypot(off[1] - share * way[1])
}

fn on_another(building: &Building, sight: &Sight, but: [usize; 2], at: [f64; 2]) -> bool {
    building.edges().iter().filter(|pair| **pair != but).any(|pair| {
        let trail = sight.trail(pair.map(|point| building.points[point].1), [0.0, 1.0]);
        trail.windows(2).any(|p| near(at, &([p[0].x, p[0].y], [p[1].x, p[1].y], 0.0)) < 0.5)
    })
}

fn far_from_edges(building: &Building, sight: &Sight, at: [f64; 2], far: f64) -> bool {
    building.edges().iter().all(|pair| {
        let ends = pair.map(|point| building.points[point].1);
        let feet = ends.map(|end| Point3::new(end.x, end.y, 0.0));
        [ends, feet, [ends[0], feet[0]], [ends[1], feet[1]]].iter().all(|ends| {
            let trail = sight.trail(*ends, [0.0, 1.0]);
            trail.windows(2).all(|p| near(at, &([p[0].x, p[0].y], [p[1].x, p[1].y], 0.0)) > far)
        })
    })
}

/// A line drawn by hand within four pixels of an edge finds it.
fn edge(building: &Building, sight: &Sight, grey: &Grey, pair: [usize; 2], random: &mut Random, tally: &mut Tally) {
    let ends = pair.map(|point| building.points[point].1);
    let trail = sight.trail(ends, [0.0, 1.0]);
    let [a, b] = [0.06, 0.94].map(|share| {
        let at = sight.pixel(&(ends[0] + (ends[1] - ends[0]) * share)).unwrap();
        [at.x + 3.0 * random.signed(), at.y + 3.0 * random.signed()]
    });
    let stations = straight(a, b, 4.0);
    tally.tried += 1;
    let search = Search { reach: 6.0, along: 2, alone: true, piece: 12 };
    match line_along(grey, &stations, &search) {
        Ok(line) => {
            for place in &line.places {
                let off = trail
                    .windows(2)
                    .map(|p| near(place.at, &([p[0].x, p[0].y], [p[1].x, p[1].y], 0.0)))
                    .fold(f64::INFINITY, f64::min);
                // Two edges may cover each other in a picture: the one behind is as true.
                let is_other = off > 1.0 && on_another(building, sight, pair, place.at);
                if is_other {
                    tally.other += 1;
                    continue;
                }
                if std::env::var("TELL").is_ok() && off > 0.3 {
                    let names = pair.map(|point| building.points[point].0);
                    println!(
                        "{} edge {names:?}: {off:.2} ± {:.2} {:?} {} places",
                        building.name,
                        place.sigma,
                        place.at,
                        line.places.len()
                    );
                }
                tally.off.push(off);
                tally.over.push(off / place.sigma);
            }
        }
        Err(why) => {
            if std::env::var("TELL").is_ok() {
                let names = pair.map(|point| building.points[point].0);
                println!("{} edge {names:?}: {why:?}", building.name);
            }
            tally.refused += 1;
        }
    }
}
