//! Faces by points against real roofs and closed forms.
//!
//! Sources: roofs of open city models, Zurich (CC0) and Vienna (CC BY 4.0, City of Vienna; both licences from memory),
//! one object a record in `data/points_roofs.json`, whose areas, pitches and edges an independent script computed from
//! the published polygons; closed forms of plane geometry elsewhere.

mod meeting;
mod model;
mod real;
mod refused;
