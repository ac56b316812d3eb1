//! What is told is what was counted: numbers of steps and lines in text, page and JSON agree digit for digit, and a roof is
//! told one gauge.

use super::{CARDS, Taken, examples, roofs, taken, try_taken};
use eavewright::cli::{sheet, takeoff};
use eavewright::drawing::Context;
use eavewright::drawing::job_sheet::Audience;
use eavewright::takeoff::card::{CoveringKind, TabShape};
use eavewright::wording::units::Format;
use serde_json::Value;

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// `takeoff --full`.
fn text_of(taken: &Taken) -> String {
    one_line(&takeoff::text(&taken.job, &taken.answer, &taken.order, true))
}

/// The job sheet as a page, its marks taken off.
fn page_of(taken: &Taken) -> String {
    let context = Context::of(&taken.job);
    let input = taken.sheet_input(&context, Audience::Own, false);
    let html = String::from_utf8(sheet::sheet(&input, sheet::FileFormat::Html).unwrap()).unwrap();
    let mut bare = String::new();
    let mut within = false;
    for letter in html.chars() {
        match letter {
            '<' => within = true,
            '>' => {
                within = false;
                bare.push(' ');
            }
            letter if !within => bare.push(letter),
            _ => {}
        }
    }
    let plain = bare.replace("&quot;", "\"").replace("&#39;", "'").replace("&apos;", "'").replace("&amp;", "&");
    one_line(&plain)
}

#[test]
fn every_step_and_line_of_the_json_stands_in_text_and_page_as_it_is() {
    let (mut steps, mut lines) = (0, 0);
    let jobs = roofs::jobs().into_iter().map(|(number, text)| (format!("job {number}"), text));
    for (name, text) in examples().into_iter().chain(jobs) {
        let Some(taken) = try_taken(&text, false) else { continue };
        let (told, page, json) = (text_of(&taken), page_of(&taken), taken.json());
        for step in json["work"].as_array().unwrap() {
            let message = one_line(step["message"].as_str().unwrap());
            assert!(told.contains(&message) && page.contains(&message), "{name}: {message}");
            for caution in step["cautions"].as_array().unwrap() {
                let caution = one_line(caution.as_str().unwrap());
                assert!(told.replace(" ! ", " ").contains(&caution) && page.contains(&caution), "{name}: {caution}");
            }
            steps += 1;
        }
        if taken.job.units.is_imperial() {
            continue;
        }
        for line in json["lines"].as_array().unwrap() {
            let quantity = line["quantity"].as_f64().unwrap();
            // Written by the test itself: pieces and tubes whole, metres and square metres to the centimetre.
            let laid = match line["unit"].as_str().unwrap() {
                "piece" => format!(" {quantity:.0} piece"),
                "tube" => format!(" {quantity:.0} tube"),
                "kg" => format!(" {quantity:.0} kg"),
                unit => format!(" {quantity:.2} {unit}"),
            };
            // The page tells small goods by their packs, a row a group, and what is cut from strips with the strips.
            let groups = json["small_goods"].as_array().unwrap().iter();
            let is_small =
                groups.flat_map(|group| group["items"].as_array().unwrap()).any(|item| *item == line["item"]);
            let on_page = match line["packs"].as_u64() {
                Some(packs) if is_small => {
                    format!(" {packs} {}", line["pack"].as_str().unwrap().split(' ').next().unwrap())
                }
                None if is_small || line["pack"] == "out of the strips" => format!(" {quantity:.0} "),
                _ => laid.clone(),
            };
            assert!(told.contains(&laid), "{name} {}: {laid}", line["item"]);
            let has_range = line["packs_high"].as_u64().is_some_and(|high| line["packs"].as_u64() != Some(high));
            assert!(is_small && has_range || page.contains(&on_page), "{name} {}: {on_page} on the page", line["item"]);
            lines += 1;
        }
    }
    assert!(steps > 100 && lines > 150, "{steps} steps, {lines} lines");
}

/// Numbers with a unit in a message, in SI; counts without one.
fn numbers(message: &str) -> Vec<(String, f64, f64)> {
    let words: Vec<&str> = message.split_whitespace().collect();
    let mut found = Vec::new();
    // "1000, 833.3 and 666.7 mm": the unit stands behind the last.
    let mut unit = "";
    for (index, word) in words.iter().enumerate().rev() {
        let bare = word.trim_matches(|letter: char| !letter.is_ascii_digit() && letter != '-');
        let Ok(number) = bare.parse::<f64>() else { continue };
        let next =
            words.get(index + 1).map_or("", |next| next.trim_end_matches(|letter: char| ".,;:)".contains(letter)));
        let digit =
            |at: usize| words.get(at).is_some_and(|word| word.starts_with(|letter: char| letter.is_ascii_digit()));
        let is_listed = (word.ends_with(',') && digit(index + 1)) || (next == "and" && digit(index + 2));
        unit = if is_listed { unit } else { next };
        // Half of the last digit told.
        let half = 0.5 * 10f64.powi(-i32::try_from(bare.split_once('.').map_or(0, |(_, after)| after.len())).unwrap());
        let factor = match unit {
            "mm" => 0.001,
            _ => 1.0,
        };
        found.push(((*word).to_owned(), number * factor, half * factor));
    }
    found
}

#[test]
fn every_number_of_a_step_is_one_of_its_values() {
    let mut traced = 0;
    for seed in 0..40 {
        let text = roofs::random(seed);
        for card in CARDS {
            let Some(taken) = try_taken(&format!("{text}\n[covering]\ncard = \"{card}\"\n"), false) else { continue };
            for step in taken.json()["work"].as_array().unwrap() {
                let values: Vec<f64> = step["values"]
                    .as_object()
                    .unwrap()
                    .values()
                    .flat_map(|value| match value {
                        Value::Array(list) => list.iter().map(|one| one.as_f64().unwrap()).collect(),
                        one => vec![one.as_f64().unwrap()],
                    })
                    .collect();
                // "course 1" counts from the eave; the courses' own numbers are values.
                let message = step["message"].as_str().unwrap().replace("course 1.", "").replace("course 1 up", "");
                for (word, number, half) in numbers(&message) {
                    let near = |value: &f64| (value.abs() - number.abs()).abs() <= half * 1.000_001 + 1e-9;
                    assert!(values.iter().any(near), "seed {seed} {card}: {word} of {message:?} is none of {values:?}");
                    traced += 1;
                }
            }
        }
    }
    assert!(traced > 5000, "{traced}");
}

/// A slate roof with a chimney: 182 mm are laid, and one gauge is told in step, chalk lines and step pieces.
#[test]
fn a_roof_is_told_one_gauge() {
    for card in ["slate", "strip-shingle"] {
        let taken = taken(&format!(
            "units = \"m\"\n[[block]]\nname = \"a\"\nheight = 2.4\nsides = [\n\
             {{ from = \"A\", length = 6, turn = \"L\", pitch = 35 }},\n{{ from = \"B\", length = 5, turn = \"L\", verge = true }},\n\
             {{ from = \"C\", length = 6, turn = \"L\", pitch = 35 }},\n{{ from = \"D\", length = 5, turn = \"L\", verge = true }} ]\n\
             [[opening]]\nface = \"a/A\"\nat = [2.0, 1.0]\nsize = [0.6, 0.6]\nkind = \"chimney\"\n[covering]\ncard = \"{card}\"\n"
        ));
        let gauge = taken.order.layouts[0].gauge;
        let courses = taken.steps("courses");
        assert!(courses.iter().all(|step| step["values"]["gauge"].as_f64().unwrap() == gauge));
        let opening = &taken.steps("opening")[0]["values"];
        assert!((opening["step_length"].as_f64().unwrap() - gauge - 0.05).abs() < 1e-12);
        let page = page_of(&taken);
        let told = format!("{:.1}", gauge * 1000.0);
        assert!(page.contains(&format!("gauge of {} mm", told.trim_end_matches(".0"))), "{card}");
        // The card's own gauge is told nowhere where another is laid.
        let CoveringKind::Unit(unit) = &taken.job.covering.card.covering else { continue };
        assert!((unit.gauge - gauge).abs() > 1e-3);
        assert!(!page.contains(&format!("gauge of {:.0} mm", unit.gauge * 1000.0)));
        // The course that the apron lies over has its butt below the chimney, the next one has not.
        let apron = opening["apron_course"].as_f64().unwrap();
        let below = taken.order.layouts[0].courses.iter().filter(|course| course.butt_v < 1.0).count();
        assert_eq!(below as f64, apron);
    }
}

/// First pieces as laid, not as the card would have them: the starter of a gable of 5 x 4 m begins otherwise than course 1.
#[test]
fn starter_and_courses_of_a_gable_are_told_as_they_were_laid() {
    let taken = taken(&roofs::gable(5.0, 4.0, 35.0));
    let layout = &taken.order.layouts[0];
    let width = |course: usize| {
        let [left, right] = layout.courses[course].pieces[0].extent();
        right - left
    };
    let courses = &taken.steps("courses")[0];
    let first: Vec<f64> =
        courses["values"]["first"].as_array().unwrap().iter().map(|one| one.as_f64().unwrap()).collect();
    for (course, told) in first.iter().cycle().take(layout.courses.len()).enumerate() {
        assert!((width(course) - told).abs() < 1e-9, "course {}: {} told {told}", course + 1, width(course));
    }
    let starter = taken.steps("starter")[0]["values"]["first"].as_f64().unwrap();
    let [left, right] = layout.starter[0].extent();
    assert!((right - left - starter).abs() < 1e-9);
    // A quarter of a tab at least between their joints.
    assert!(((starter - first[0]).abs() - 0.0) > 0.333 / 4.0 - 1e-6, "{starter} under {}", first[0]);
}

#[test]
fn what_the_trade_does_stands_in_the_steps() {
    let describe = |change: &dyn Fn(&mut eavewright::takeoff::model::Covering)| {
        let mut card = super::solved::covering("strip-shingle");
        change(&mut card);
        let roof =
            super::solved::rectangle(6.0, 5.0, super::solved::eave(35.0), eavewright::outline::footprint::Role::Verge);
        let taken = super::solved::taken_off(&roof, &card);
        let listed = eavewright::wording::work::listed(&taken.work, &roof, Format::default());
        let steps =
            listed.into_iter().map(|step| format!("{}: {} {}", step.title, step.message, step.cautions.join(" ")));
        steps.collect::<Vec<_>>().join("\n")
    };
    let plain = describe(&|_| {});
    // Common practice, no source.
    for words in [
        "Bend each pack before it is opened",
        "Swept clean",
        "driven straight, heads flush",
        "film on the back stays on",
        "Below 10 °C seals do not stick",
        "keep off the sunny side",
        "Extra adhesive along edges",
        "dabs of 25 mm: too much makes blisters",
        "warm each cap on its back before it is bent",
        "Laps face away from the wind; where instructions differ, the maker's hold",
    ] {
        assert!(plain.contains(words), "{words}\n{plain}");
    }
    let strip = |change: fn(&mut eavewright::takeoff::card::Strip)| {
        describe(&|card| {
            let CoveringKind::Strip(strip) = &mut card.card.covering else { panic!() };
            change(strip);
        })
    };
    assert!(strip(|strip| strip.peel = true).contains("Peel the film"));
    let rounded = strip(|strip| strip.tab = TabShape::Rounded);
    assert!(rounded.contains("Caps cut from strips as rectangles") && !plain.contains("as rectangles"));
    assert!(!strip(|strip| strip.bend_above = None).contains("warm each cap"));
}

/// Joints beside a valley that courses run through are moved (common practice, no source): the repeat holds there no more,
/// and the step says so.
#[test]
fn a_repeat_that_valleys_break_is_not_told_as_if_it_held() {
    use eavewright::takeoff::model::ValleyMethod;
    let describe = |method: ValleyMethod| {
        let mut covering = super::solved::covering("strip-shingle");
        covering.laying.valley = method;
        let roof = super::solved::t_plan();
        let taken = super::solved::taken_off(&roof, &covering);
        let listed = eavewright::wording::work::listed(&taken.work, &roof, Format::default());
        let courses = listed.into_iter().filter(|step| step.title.starts_with("Courses (") || step.title == "Courses");
        courses.map(|step| step.message.contains("stand off this repeat")).collect::<Vec<bool>>()
    };
    let closed = describe(ValleyMethod::Closed);
    assert!(closed.contains(&true) && closed.contains(&false), "{closed:?}");
    assert!(!describe(ValleyMethod::Open).contains(&true));
}
