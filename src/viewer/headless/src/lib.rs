//! An OpenGL context without a display: EGL's device platform and an off-screen surface.
//!
//! Loading OpenGL's functions and making an EGL display are `unsafe` by nature. They stand here, in a crate of their own
//! of one page, so that the program itself can forbid `unsafe` throughout. Where a system has no EGL the crate compiles
//! all the same and says so when it is asked.

#[cfg(not(target_vendor = "apple"))]
mod egl;
#[cfg(not(target_vendor = "apple"))]
pub use egl::Headless;

#[cfg(any(target_vendor = "apple", test))]
#[cfg_attr(test, allow(dead_code))]
mod elsewhere;
#[cfg(target_vendor = "apple")]
pub use elsewhere::Headless;

/// Why there is no context.
#[derive(Debug, thiserror::Error)]
pub enum NoContext {
    /// The system has no EGL library, or one without devices.
    #[error("no EGL library was found, or it knows no device")]
    NoEgl(#[source] Box<dyn std::error::Error + Send + Sync>),
    /// EGL is there; none of its devices gives OpenGL 3.3 or better with an off-screen surface.
    #[error("EGL is there, but none of its {devices} devices draws OpenGL 3.3 off screen: {last}")]
    NoDevice {
        /// How many were tried.
        devices: usize,
        /// What the last one said.
        last: String,
    },
    /// The system draws by another way than EGL.
    #[error("this system has none; `view FILE` opens the window")]
    NotHere,
}

#[cfg(test)]
mod tests {
    #[test]
    fn a_system_without_egl_says_what_to_do() {
        let refused = super::elsewhere::Headless::new([16, 16]).err();
        assert!(refused.is_some_and(|error| error.to_string().contains("view FILE")));
    }
}
