//! The window, and pictures without a display.
//!
//! | module | what |
//! |---|---|
//! | [`backend`] | what the window asks of the program around it |
//! | [`desk`] | the window's state; [`forms`], [`views`], [`meaning_panel`] left to right, [`toolbar`] above and below |
//! | `deeds`, [`keys`] | what keys and buttons ask for, done; which key asks for what |
//! | [`forms`] | what is typed: a page for each part of the file, and its text |
//! | [`views`] | what the middle shows, one file a view: the roof on its [`canvas`], the plan |
//! | [`rows`], [`rename`] | the sides of the file as written; another name for something, wherever it is named |
//! | [`files`], [`dialog`] | opening, saving, writing; the system's dialogs |
//! | [`history`], [`keeper`] | undo and redo; unsaved text kept for a successor |
//! | [`errand`] | longer work beside the window, called off at wish |
//! | [`worker`] | solving beside the window, newest text first |
//! | [`scene`], [`stage`], [`gpu`] | from a roof to triangles, from what is switched on to a picture, from a picture to OpenGL |
//! | [`camera`], [`pick`], [`facts`], [`measure`] | where from, what lies under the pointer, what is said of it |
//! | [`section`] | the plane that cuts the roof |
//! | [`labels`], [`legend`] | text over the view |
//! | [`theme`], [`style`] | every colour and pen |
//! | [`shot`] | pictures without a display |
//! | [`window`] | the window on the system's desktop |

pub mod backend;
pub mod camera;
pub mod canvas;
pub mod courses;
mod deeds;
pub mod desk;
pub mod dialog;
pub mod errand;
pub mod facts;
pub mod files;
pub mod forms;
pub mod gpu;
pub mod history;
pub mod keeper;
pub mod keys;
pub mod labels;
pub mod later;
pub mod legend;
pub mod meaning_panel;
pub mod measure;
pub mod pick;
pub mod rename;
pub mod rows;
pub mod scene;
pub mod section;
pub mod shadow;
pub mod shot;
pub mod shown;
pub mod stage;
pub mod style;
pub mod theme;
pub mod toolbar;
pub mod views;
pub mod water;
pub mod window;
pub mod worker;
