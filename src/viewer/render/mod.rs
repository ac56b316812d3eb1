//! From an answer to a picture: scene, camera, shaders, labels, and what lies under the pointer.

pub mod camera;
pub mod canvas;
pub mod courses;
pub mod facts;
pub mod gpu;
pub mod labels;
pub mod legend;
pub mod pick;
pub mod picker;
pub mod scene;
pub mod section;
pub mod shadow;
pub mod shot;
pub mod shown;
pub mod stage;
pub mod style;
pub mod theme;
pub mod water;
