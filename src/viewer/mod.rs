//! The window, and pictures without a display.
//!
//! | module | what |
//! |---|---|
//! | [`backend`] | what the window asks of the program around it |
//! | [`background_task`], [`deferred`] | longer work beside the window, called off at wish |
//! | [`widgets`], [`icons`], [`signs`] | tools, tabs and headings, their icons, their names for those who do not see them; signs before words |
//! | [`render`] | from an answer to a picture: scene, camera, shaders, labels, what lies under the pointer; [`render::shot`] without a display |
//! | [`editors`] | [`editors::forms`]: what is typed, a page for each part of the file; [`editors::views`]: what the middle shows, one file a view |
//! | [`app`] | [`app::state`]: the window's state; files, undo, keys, bars, the panel of meanings, solving beside the window |

pub mod app;
pub mod backend;
pub mod background_task;
pub mod deferred;
pub mod editors;
pub mod icons;
pub mod render;
pub mod signs;
pub mod widgets;
