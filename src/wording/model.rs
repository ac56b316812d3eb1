//! Sentences about models: why one is not written.

/// A name whose ending says no kind of model.
#[must_use]
pub fn no_kind(path: &str, endings: &[&str]) -> String {
    let (last, others) = endings.split_last().unwrap_or((&"", &[]));
    format!("{path}: the ending says no kind of model; expected {} or {last}", others.join(", "))
}

/// A scale or a base for what is not printed.
#[must_use]
pub fn not_printed(path: &str) -> String {
    format!("{path}: --scale and --base are for models to be printed; expected a name that ends in .3mf or .stl")
}

/// A roof of faces alone, where a solid is asked for.
#[must_use]
pub fn no_walls() -> &'static str {
    "this roof is given by points and faces: it has no walls and so is no solid; write it as .glb, .obj, .ifc, .dxf or .city.json"
}

/// An edge of a solid that is not between two faces. Metres.
#[must_use]
pub fn open_edge(from: [f64; 3], to: [f64; 3]) -> String {
    let place = |[x, y, z]: [f64; 3]| format!("({x:.3}, {y:.3}, {z:.3})");
    no_solid(&format!("the edge from {} to {} m is not between two faces", place(from), place(to)))
}

/// A solid of another volume than its roof's. Cubic metres.
#[must_use]
pub fn other_volume(expected: f64, found: f64) -> String {
    no_solid(&format!("it would hold {found:.6} m³ where the roof and its overhangs have {expected:.6} m³"))
}

fn no_solid(what: &str) -> String {
    format!(
        "the model of this roof is no solid, so none is written: {what}; the roof itself, its areas and its drawings are \
         checked and hold"
    )
}
