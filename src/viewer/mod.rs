//! The window, and pictures without a display.
