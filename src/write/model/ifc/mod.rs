//! The roof as IFC4 (ISO 16739-1:2018): a roof a block, a slab and a covering a face with their standard properties and
//! quantities, openings, chimneys, and the building within its walls as one solid.
//!
//! Nobody measured how thick a roof is, so a slab is a millimetre thick, upwards from the face, and has no width among its
//! quantities: what is thick in a building model is the designer's to say. Quantities are the answer's; what it does not
//! determine is left out.

mod elements;
mod shapes;
mod step;

use super::facts::{BODY, Model, Paint};
use elements::Elements;
use shapes::{Frame, Shapes, axes, direction, placement};
use step::{Step, list, real, string};

/// The roof as IFC text. The same roof gives the same bytes. O(triangles).
#[must_use]
pub fn ifc(model: &Model) -> String {
    let mut step = Step::default();
    let units = units(&mut step);
    let world = axes(&mut step, &Frame::level(0.0));
    // North as the site has it, seen from its +y axis.
    let north = model.north();
    let true_north = direction(&mut step, &[-north.sin(), north.cos()]);
    let context = step.add(format_args!("IFCGEOMETRICREPRESENTATIONCONTEXT($,'Model',3,1.E-6,{world},{true_north})"));
    let body = step
        .add(format_args!("IFCGEOMETRICREPRESENTATIONSUBCONTEXT('Body','Model',*,*,*,*,{context},$,.MODEL_VIEW.,$)"));
    let title = string(model.title);
    let id = step.global_id("project");
    let project = step.add(format_args!("IFCPROJECT({id},$,{title},$,$,$,$,({context}),{units})"));
    let place = placement(&mut step, None, &Frame::level(0.0));
    let id = step.global_id("site");
    let site = step.add(format_args!("IFCSITE({id},$,'site',$,$,{place},$,$,.ELEMENT.,$,$,$,$,$)"));
    let place = placement(&mut step, Some(place), &Frame::level(0.0));
    let id = step.global_id("building");
    let building = step.add(format_args!("IFCBUILDING({id},$,{title},$,$,{place},$,$,.ELEMENT.,$,$,$)"));
    for (whole, part) in [(project, site), (site, building)] {
        let id = step.global_id("part");
        step.add(format_args!("IFCRELAGGREGATES({id},$,$,$,{whole},({part}))"));
    }
    let mut elements = Elements { step, shapes: Shapes::new(body), place, model };
    let mut contained: Vec<_> =
        model.blocks().iter().filter_map(|(block, faces)| elements.roof(block, faces)).collect();
    contained.extend(elements.chimneys());
    if model.is_closed() {
        let shape = elements.shapes.solid(&mut elements.step, model.solid, Paint::Body);
        let place = placement(&mut elements.step, Some(place), &Frame::level(0.0));
        let id = elements.step.global_id(BODY);
        contained.push(elements.step.add(format_args!(
            "IFCBUILDINGELEMENTPROXY({id},$,'building within its walls',$,$,{place},{shape},$,.NOTDEFINED.)"
        )));
    }
    let mut step = elements.step;
    if !contained.is_empty() {
        let id = step.global_id("contained");
        let contained = list(contained);
        step.add(format_args!("IFCRELCONTAINEDINSPATIALSTRUCTURE({id},$,$,$,{contained},{building})"));
    }
    step.file(model.title, model.job.and_then(|job| job.date.as_deref()), "IFC4")
}

/// Metres, square metres, cubic metres, degrees.
fn units(step: &mut Step) -> step::Id {
    let mut units = vec![
        step.add("IFCSIUNIT(*,.LENGTHUNIT.,$,.METRE.)"),
        step.add("IFCSIUNIT(*,.AREAUNIT.,$,.SQUARE_METRE.)"),
        step.add("IFCSIUNIT(*,.VOLUMEUNIT.,$,.CUBIC_METRE.)"),
    ];
    let radian = step.add("IFCSIUNIT(*,.PLANEANGLEUNIT.,$,.RADIAN.)");
    let none = step.add("IFCDIMENSIONALEXPONENTS(0,0,0,0,0,0,0)");
    let size = real(std::f64::consts::PI / 180.0);
    let size = step.add(format_args!("IFCMEASUREWITHUNIT(IFCPLANEANGLEMEASURE({size}),{radian})"));
    units.push(step.add(format_args!("IFCCONVERSIONBASEDUNIT({none},.PLANEANGLEUNIT.,'DEGREE',{size})")));
    step.add(format_args!("IFCUNITASSIGNMENT({})", list(units)))
}
