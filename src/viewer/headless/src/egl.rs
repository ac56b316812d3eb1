//! A context by EGL: its device platform and an off-screen surface.

use super::NoContext;
use glutin::api::egl::{
    config::Config, context::PossiblyCurrentContext, device::Device, display::Display, surface::Surface,
};
use glutin::config::{ConfigSurfaceTypes, ConfigTemplateBuilder};
use glutin::context::{ContextApi, ContextAttributesBuilder, Version};
use glutin::display::GetGlDisplay;
use glutin::prelude::{GlConfig, GlDisplay, NotCurrentGlContext};
use glutin::surface::{PbufferSurface, SurfaceAttributesBuilder};
use std::num::NonZeroU32;
use std::sync::Arc;

/// An OpenGL context, current on the thread that made it, with an off-screen surface of a fixed size as its default
/// framebuffer.
pub struct Headless {
    gl: Arc<glow::Context>,
    size: [u32; 2],
    _context: PossiblyCurrentContext,
    _surface: Surface<PbufferSurface>,
}

impl Headless {
    /// A context whose off-screen surface is `size` pixels, on the first device that can do it. A size of 0 counts as 1.
    ///
    /// # Errors
    /// [`NoContext`] when the system has no EGL or no device that serves.
    pub fn new(size: [u32; 2]) -> Result<Self, NoContext> {
        let devices = Device::query_devices().map_err(|error| NoContext::NoEgl(Box::new(error)))?;
        let (mut count, mut last) = (0, glutin_none());
        for device in devices {
            count += 1;
            match Self::on(&device, size) {
                Ok(headless) => return Ok(headless),
                Err(error) => last = error.to_string(),
            }
        }
        Err(NoContext::NoDevice { devices: count, last })
    }

    /// OpenGL's functions. They may be called only on the thread that made this context and while it lives.
    #[must_use]
    pub fn gl(&self) -> Arc<glow::Context> {
        Arc::clone(&self.gl)
    }

    /// What draws, in the driver's own words.
    #[must_use]
    pub fn renderer(&self) -> String {
        use glow::HasContext;
        // SAFETY: the context is current on the thread it was made on, which `&self` can't leave: it is not `Sync`.
        unsafe { self.gl.get_parameter_string(glow::RENDERER) }
    }

    /// The size of the default framebuffer in pixels.
    #[must_use]
    pub fn size(&self) -> [u32; 2] {
        self.size
    }

    fn on(device: &Device, size: [u32; 2]) -> Result<Self, glutin::error::Error> {
        // SAFETY: no raw display is passed, so there is none that could be invalid.
        let display = unsafe { Display::with_device(device, None) }?;
        let template =
            ConfigTemplateBuilder::new().with_surface_type(ConfigSurfaceTypes::PBUFFER).with_alpha_size(8).build();
        // SAFETY: the template names no native window.
        let configs = unsafe { display.find_configs(template) }?;
        // Anti-aliasing is done in targets of our own: the plainest configuration is the one to take.
        let config = configs.min_by_key(|config| (config.num_samples(), config.depth_size()));
        let config = config.ok_or_else(not_found)?;
        let surface = Self::surface(&config, size)?;
        let attributes =
            ContextAttributesBuilder::new().with_context_api(ContextApi::OpenGl(Some(Version::new(3, 3)))).build(None);
        // SAFETY: no raw window handle is passed.
        let context = unsafe { display.create_context(&config, &attributes) }?;
        let context = context.make_current(&surface)?;
        // SAFETY: the context is current on this thread, and the loader is that of its own display.
        let gl = unsafe { glow::Context::from_loader_function_cstr(|name| display.get_proc_address(name)) };
        Ok(Self { gl: Arc::new(gl), size, _context: context, _surface: surface })
    }

    fn surface(config: &Config, [width, height]: [u32; 2]) -> Result<Surface<PbufferSurface>, glutin::error::Error> {
        let at_least_one = |side| NonZeroU32::new(side).unwrap_or(NonZeroU32::MIN);
        let attributes =
            SurfaceAttributesBuilder::<PbufferSurface>::new().build(at_least_one(width), at_least_one(height));
        // SAFETY: an off-screen surface refers to nothing outside EGL.
        unsafe { config.display().create_pbuffer_surface(config, &attributes) }
    }
}

fn not_found() -> glutin::error::Error {
    glutin::error::ErrorKind::NotFound.into()
}

fn glutin_none() -> String {
    "no device was listed".to_owned()
}
