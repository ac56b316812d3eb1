//! Roof files to begin from: `new SHAPE`.

/// A roof file to begin from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Template {
    /// What it is asked for by.
    pub shape: &'static str,
    /// One line for people.
    pub about: &'static str,
    /// A commented roof file that reads without a complaint.
    pub text: &'static str,
}

/// Every shape there is a template for.
pub const TEMPLATES: &[Template] = &[
    Template { shape: "hip", about: "a slope from every side", text: include_str!("templates/hip.toml") },
    Template { shape: "gable", about: "two slopes between gable ends", text: include_str!("templates/gable.toml") },
    Template { shape: "lshape", about: "two legs with a valley", text: include_str!("templates/lshape.toml") },
    Template { shape: "leanto", about: "one slope against a wall", text: include_str!("templates/leanto.toml") },
    Template { shape: "points", about: "slopes by their measured points", text: include_str!("templates/points.toml") },
];

/// The template of a shape. The name is taken without regard to case, hyphens and blanks: `lean-to`, `L shape`.
///
/// # Errors
/// The shapes there are, in a sentence.
pub fn template(shape: &str) -> Result<&'static Template, String> {
    let plain = |text: &str| text.to_lowercase().replace(['-', '_', ' '], "");
    let wanted = plain(shape);
    TEMPLATES.iter().find(|template| template.shape == wanted).ok_or_else(|| {
        let shapes: Vec<String> =
            TEMPLATES.iter().map(|template| format!("{} ({})", template.shape, template.about)).collect();
        format!("there is no shape {shape:?}, expected one of {}", shapes.join(", "))
    })
}
