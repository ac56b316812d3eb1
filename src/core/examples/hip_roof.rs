//! A hip roof from four corners: what its faces and edges measure, where its water goes, what its rafters are cut to.
//!
//! `cargo run -p eavewright-core --example hip_roof`

use eavewright_core::prelude::*;
use std::error::Error;

fn main() -> Result<(), Box<dyn Error>> {
    // The drip edge of a store 9.20 by 5.60 m, anticlockwise from above; an eave over every side. Change one `eave` to
    // `Role::Verge` and that end becomes a gable.
    let eave = Role::eave(Pitch::from_degrees(35.0)?);
    let footprint = Footprint::builder("store")
        .at_height(2.4)
        .corner(0.0, 0.0, eave.clone())
        .corner(9.2, 0.0, eave.clone())
        .corner(9.2, 5.6, eave.clone())
        .corner(0.0, 5.6, eave)
        .build()?;

    // Several footprints that touch or cross would be joined into one roof. What comes back has been verified: a closed
    // solid whose plan areas add up to the outline's.
    let roof = solve(&[footprint], &Options::default())?;

    println!("faces");
    for (_, face) in roof.roof_faces() {
        println!(
            "  {:10} {:7.3} m² on the slope, {:7.3} m² in plan",
            face.name(),
            roof.area(face).0,
            roof.plan_area(face).0
        );
    }
    println!("edges");
    for (kind, edges) in roof.edges_by_kind() {
        println!("  {:10} {:7.3} m in {}", kind.word(), roof.length_of(&edges).0, edges.len());
    }

    // Plan area whose water each eave carries away.
    println!("water");
    for catchment in drain(&roof).catchments {
        println!("  {:10} {:7.3} m²", roof.faces[catchment.face.index()].name(), catchment.plan_area().0);
    }

    // What the maker of the roof would doubt comes with it as data; a program that shows it to people words it.
    for finding in &roof.findings {
        println!("{:?}: {}", finding.severity(), finding.code());
    }
    println!(
        "ridge at {:.3} m, {:.2} m³ below it",
        roof.ridge_height().unwrap_or_default(),
        roof.volume.unwrap_or_default()
    );
    Ok(())
}
