//! Drawing a scene with OpenGL: programs, buffers and an anti-aliased target, through three-d's safe wrappers.
//!
//! The picture is drawn into a target of its own and copied into the window, so that it is equally smooth whatever the
//! window's surface can do, and drawn again only when something changed.

use super::scene::{Scene, UNSUREST_SHADE};
use super::shadow::{self, Shadow};
use super::theme::{self, Palette};
use eframe::glow;
use nalgebra::{Matrix4, Point3, Vector3};
use std::sync::Arc;
use three_d::{
    Blend, ClearState, Context, CoreError, Cull, DepthTest, InstanceBuffer, Interpolation, Mat4, Program, RenderStates,
    RenderTarget, RenderTargetMultisample, ScissorBox, Texture2D, TextureDataType, Vec2, Vec3, Vec4, VertexBuffer,
    Viewport, Wrapping, WriteMask,
};

/// Samples a pixel; every OpenGL 3.3 has as many.
const SAMPLES: u32 = 4;

/// Width of a texture that holds facts in rows.
const ACROSS: usize = 1024;

/// The shaders, by name: vertex and fragment source.
pub const SHADERS: [(&str, &str, &str); 5] = [
    ("faces", include_str!("../../../shaders/faces.vert"), include_str!("../../../shaders/faces.frag")),
    ("lines", include_str!("../../../shaders/lines.vert"), include_str!("../../../shaders/lines.frag")),
    ("cap", include_str!("../../../shaders/cap.vert"), include_str!("../../../shaders/cap.frag")),
    ("ground", include_str!("../../../shaders/ground.vert"), include_str!("../../../shaders/ground.frag")),
    ("present", include_str!("../../../shaders/present.vert"), include_str!("../../../shaders/present.frag")),
];

/// Why nothing can be drawn.
#[derive(Debug, thiserror::Error)]
pub enum GpuError {
    /// The driver refuses a shader or has no context.
    #[error("the graphics driver refuses to draw: {0}")]
    Driver(#[from] CoreError),
}

/// A line to draw: ends, pen (width, dash, gap, dot in pixels), colour with opacity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stroke {
    /// One end, metres in the scene.
    pub from: [f32; 3],
    /// The other.
    pub to: [f32; 3],
    /// Width, dash, gap, dot.
    pub style: [f32; 4],
    /// Red, green, blue, opacity.
    pub ink: [f32; 4],
}

/// What to draw and how.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// Pixels of the target.
    pub size: [u32; 2],
    /// Pixels of the target a point of the screen.
    pub scale: f32,
    /// From scene to clip space.
    pub matrix: Matrix4<f64>,
    /// The eye, metres in the scene.
    pub eye: Point3<f64>,
    /// Colours.
    pub palette: &'static Palette,
    /// How faces are shaded.
    pub shade: super::scene::Shade,
    /// Face under the pointer.
    pub hovered: Option<usize>,
    /// Chosen face.
    pub chosen: Option<usize>,
    /// What lies beyond this plane is cut away: n · p > d.
    pub section: Option<(Vector3<f64>, f64)>,
    /// Distance of height lines, metres.
    pub contour: f64,
    /// Time of running water.
    pub seconds: f32,
    /// Corner colours, of the scene's own shade.
    pub tints: Arc<Vec<[f32; 4]>>,
    /// Of each face's plane, as [`super::scene::variances`] gives them.
    pub variances: Arc<Vec<[f32; 4]>>,
    /// Edges and marks.
    pub strokes: Arc<Vec<Stroke>>,
    /// On the ground, of what the section leaves.
    pub shadow: Arc<Shadow>,
    /// Lines that no section cuts away.
    pub marks: Arc<Vec<Stroke>>,
    /// Areas over the roof.
    pub caps: Vec<Cap>,
    /// Whether marks and cap are seen through the roof.
    pub over: bool,
}

/// An area that is filled or hatched over the roof.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Cap {
    /// Corners of triangles, three in a row each, metres in the scene.
    pub places: Arc<Vec<[f32; 3]>>,
    /// Red, green, blue, opacity.
    pub tone: [f32; 4],
    /// Whether it is hatched as cut material is.
    pub hatched: bool,
}

/// OpenGL objects for one scene after another.
pub struct Gpu {
    context: Context,
    faces: Program,
    lines: Program,
    cap: Program,
    ground: Program,
    present: Program,
    quad: VertexBuffer<[f32; 2]>,
    square: VertexBuffer<[f32; 2]>,
    whole: VertexBuffer<[f32; 2]>,
    loaded: Option<Loaded>,
    target: Option<Target>,
    drawn: Option<(u64, Picture)>,
}

struct Loaded {
    serial: u64,
    places: VertexBuffer<[f32; 3]>,
    normals: VertexBuffer<[f32; 3]>,
    frames: VertexBuffer<[f32; 2]>,
    facts: VertexBuffer<[f32; 4]>,
    tints: VertexBuffer<[f32; 4]>,
    shadow: Texture2D,
    courses: Texture2D,
    variances: Texture2D,
}

struct Target {
    samples: RenderTargetMultisample<[u8; 4], f32>,
    finished: Texture2D,
}

impl Gpu {
    /// Compiles the shaders on a current OpenGL context.
    ///
    /// # Errors
    /// [`GpuError`] with the driver's own words.
    pub fn new(gl: Arc<glow::Context>) -> Result<Self, GpuError> {
        let context = Context::from_gl_context(gl)?;
        let [faces, lines, cap, ground, present] =
            SHADERS.map(|(_, vert, frag)| Program::from_source(&context, vert, frag));
        Ok(Self {
            faces: faces?,
            lines: lines?,
            cap: cap?,
            ground: ground?,
            present: present?,
            quad: VertexBuffer::new_with_data(
                &context,
                &[[0.0, -1.0], [1.0, -1.0], [1.0, 1.0], [0.0, -1.0], [1.0, 1.0], [0.0, 1.0]],
            ),
            square: VertexBuffer::new_with_data(
                &context,
                &[[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]],
            ),
            whole: VertexBuffer::new_with_data(&context, &[[-1.0, -1.0], [3.0, -1.0], [-1.0, 3.0]]),
            context,
            loaded: None,
            target: None,
            drawn: None,
        })
    }

    /// Draws the picture into a target of its own, unless it is the one drawn last.
    pub fn draw(&mut self, scene: &Scene, picture: &Picture) {
        if self.drawn.as_ref().is_some_and(|(serial, drawn)| *serial == scene.serial && drawn == picture) {
            return;
        }
        self.load(scene, picture);
        self.fit_target(picture.size);
        let (Some(loaded), Some(target)) = (&self.loaded, &self.target) else { return };
        let [r, g, b] = theme::shader_colour(picture.palette.paper);
        target.samples.clear(ClearState::color_and_depth(r, g, b, 1.0, 1.0));
        let drawn = target.samples.write::<CoreError>(|| {
            self.draw_ground(scene, picture, loaded);
            self.draw_faces(scene, picture, loaded);
            picture.caps.iter().for_each(|cap| self.draw_cap(picture, cap));
            let through = if picture.over { DepthTest::Always } else { DepthTest::LessOrEqual };
            self.draw_lines(scene, picture, &picture.strokes, section(picture), DepthTest::LessOrEqual);
            self.draw_lines(scene, picture, &picture.marks, [0.0; 4], through);
            Ok(())
        });
        debug_assert!(drawn.is_ok());
        target.samples.resolve_color_to(&target.finished.as_color_target(None));
        self.drawn = Some((scene.serial, picture.clone()));
    }

    /// Copies the finished picture into the default framebuffer of `screen` pixels, at a place counted from its lower
    /// left, within a clip.
    pub fn present(&self, screen: [u32; 2], at: [i32; 2], clip: ScissorBox) {
        let Some(target) = &self.target else { return };
        let viewport =
            Viewport { x: at[0], y: at[1], width: target.finished.width(), height: target.finished.height() };
        let states =
            RenderStates { depth_test: DepthTest::Always, write_mask: WriteMask::COLOR, ..RenderStates::default() };
        let target_screen = RenderTarget::screen(&self.context, screen[0], screen[1]);
        let written = target_screen.write_partially::<CoreError>(clip, || {
            self.present.use_texture("finished", &target.finished);
            self.present.use_vertex_attribute("corner", &self.whole);
            self.present.draw_arrays(states, viewport, 3);
            Ok(())
        });
        debug_assert!(written.is_ok());
    }

    /// The finished picture's pixels, rows from the top.
    #[must_use]
    pub fn read(&self) -> Vec<[u8; 4]> {
        self.target.as_ref().map(|target| target.finished.as_color_target(None).read()).unwrap_or_default()
    }

    fn load(&mut self, scene: &Scene, picture: &Picture) {
        if let Some(loaded) = self.loaded.as_mut().filter(|loaded| loaded.serial == scene.serial) {
            let stale = self.drawn.as_ref().is_none_or(|(_, drawn)| !Arc::ptr_eq(&drawn.tints, &picture.tints));
            if stale {
                loaded.tints.fill(&picture.tints);
            }
            if self.drawn.as_ref().is_none_or(|(_, drawn)| !Arc::ptr_eq(&drawn.variances, &picture.variances)) {
                loaded.variances = table(&self.context, &picture.variances);
            }
            if self.drawn.as_ref().is_none_or(|(_, drawn)| !Arc::ptr_eq(&drawn.shadow, &picture.shadow)) {
                loaded.shadow.fill(&picture.shadow.pixels);
            }
            return;
        }
        let corners = &scene.corners;
        let side = u32::try_from(shadow::SIDE).unwrap_or_default();
        let texture = Texture2D::new_empty::<u8>(
            &self.context,
            side,
            side,
            Interpolation::Linear,
            Interpolation::Linear,
            None,
            Wrapping::ClampToEdge,
            Wrapping::ClampToEdge,
        );
        texture.fill(&picture.shadow.pixels);
        self.loaded = Some(Loaded {
            serial: scene.serial,
            places: VertexBuffer::new_with_data(&self.context, &corners.places),
            normals: VertexBuffer::new_with_data(&self.context, &corners.normals),
            frames: VertexBuffer::new_with_data(&self.context, &corners.frames),
            facts: VertexBuffer::new_with_data(&self.context, &corners.facts),
            tints: VertexBuffer::new_with_data(&self.context, &picture.tints),
            shadow: texture,
            courses: table(&self.context, &scene.courses),
            variances: table(&self.context, &picture.variances),
        });
    }

    fn draw_cap(&self, picture: &Picture, cap: &Cap) {
        if cap.places.is_empty() {
            return;
        }
        let program = &self.cap;
        program.use_uniform("view_projection", matrix(&picture.matrix));
        program.use_uniform("tone", Vec4::from(cap.tone));
        program.use_uniform("ink", Vec3::from(theme::shader_colour(picture.palette.ink)));
        program.use_uniform("hatched", f32::from(u8::from(cap.hatched)));
        program.use_uniform("scale", picture.scale);
        let places = VertexBuffer::new_with_data(&self.context, &cap.places);
        program.use_vertex_attribute("position", &places);
        let states = RenderStates {
            depth_test: if picture.over { DepthTest::Always } else { DepthTest::LessOrEqual },
            write_mask: if picture.over { WriteMask::COLOR } else { WriteMask::COLOR_AND_DEPTH },
            blend: Blend::TRANSPARENCY,
            cull: Cull::None,
        };
        let count = u32::try_from(cap.places.len()).unwrap_or(u32::MAX);
        program.draw_arrays(states, viewport(picture.size), count);
    }

    fn fit_target(&mut self, [width, height]: [u32; 2]) {
        let fits = |target: &Target| (target.finished.width(), target.finished.height()) == (width, height);
        if self.target.as_ref().is_some_and(fits) {
            return;
        }
        self.target = None;
        self.target = Some(Target {
            samples: RenderTargetMultisample::new(&self.context, width, height, SAMPLES),
            finished: Texture2D::new_empty::<[u8; 4]>(
                &self.context,
                width,
                height,
                Interpolation::Nearest,
                Interpolation::Nearest,
                None,
                Wrapping::ClampToEdge,
                Wrapping::ClampToEdge,
            ),
        });
    }

    fn draw_ground(&self, scene: &Scene, picture: &Picture, loaded: &Loaded) {
        let program = &self.ground;
        let [grid, cast] = picture.palette.ground;
        let centre = [scene.centre.x, scene.centre.y, 0.0].map(single);
        let reach = single(scene.radius * 2.6);
        program.use_uniform("view_projection", matrix(&picture.matrix));
        program.use_uniform("centre", Vec3::from(centre));
        program.use_uniform("reach", reach);
        program.use_uniform("ink", Vec3::from(theme::shader_colour(picture.palette.ink)));
        program.use_uniform("grid", grid);
        program.use_uniform("depth_of_shadow", cast);
        let Shadow { low, size, .. } = *picture.shadow;
        let box_of = [low[0], low[1], size, size].map(single);
        program.use_uniform("shadow_box", Vec4::from(box_of));
        program.use_texture("shadow", &loaded.shadow);
        program.use_vertex_attribute("corner", &self.square);
        let states = RenderStates {
            depth_test: DepthTest::Less,
            write_mask: WriteMask::COLOR,
            blend: Blend::TRANSPARENCY,
            cull: Cull::None,
        };
        program.draw_arrays(states, viewport(picture.size), 6);
    }

    fn draw_faces(&self, scene: &Scene, picture: &Picture, loaded: &Loaded) {
        if scene.corners.places.is_empty() {
            return;
        }
        let program = &self.faces;
        let number = |face: Option<usize>| face.map_or(-1.0, |face| single(face as f64));
        program.use_uniform("view_projection", matrix(&picture.matrix));
        program.use_uniform("shade", picture.shade.number());
        program.use_uniform("sun", Vec3::from(vector(&shadow::sun())));
        program.use_uniform("ink", Vec3::from(theme::shader_colour(picture.palette.joint)));
        program.use_uniform("water_ink", Vec3::from(theme::shader_colour(picture.palette.water)));
        program.use_uniform("accent", Vec3::from(theme::shader_colour(picture.palette.accent)));
        program.use_uniform("hovered", number(picture.hovered));
        program.use_uniform("chosen", number(picture.chosen));
        program.use_uniform("base_height", single(scene.origin.z));
        program.use_uniform("contour", single(picture.contour));
        program.use_texture("courses", &loaded.courses);
        program.use_uniform("seconds", picture.seconds);
        program.use_texture("variances", &loaded.variances);
        let scale = picture.palette.scale.map(|step| Vec3::from(theme::shader_colour(step)));
        program.use_uniform_array("steps", &scale);
        program.use_uniform("unsurest", single(UNSUREST_SHADE));
        program.use_uniform("section", Vec4::from(section(picture)));
        program.use_uniform("is_sheet", i32::from(scene.is_sheet));
        program.use_vertex_attribute("position", &loaded.places);
        program.use_vertex_attribute("normal", &loaded.normals);
        program.use_vertex_attribute("frame", &loaded.frames);
        program.use_vertex_attribute("facts", &loaded.facts);
        program.use_vertex_attribute("tint", &loaded.tints);
        let count = u32::try_from(scene.corners.places.len()).unwrap_or(u32::MAX);
        program.draw_arrays(RenderStates::default(), viewport(picture.size), count);
    }

    fn draw_lines(
        &self,
        scene: &Scene,
        picture: &Picture,
        strokes: &[Stroke],
        section: [f32; 4],
        depth_test: DepthTest,
    ) {
        if strokes.is_empty() {
            return;
        }
        let program = &self.lines;
        let [width, height] = picture.size;
        program.use_uniform("view_projection", matrix(&picture.matrix));
        program.use_uniform("viewport", Vec2::new(single(f64::from(width)), single(f64::from(height))));
        program.use_uniform("eye", Vec3::from(vector(&picture.eye.coords)));
        program.use_uniform("lift", single(0.006 * scene.radius));
        program.use_uniform("scale", picture.scale);
        program.use_uniform("section", Vec4::from(section));
        let of = |part: fn(&Stroke) -> [f32; 4]| -> Vec<[f32; 4]> { strokes.iter().map(part).collect() };
        let ends_of = |part: fn(&Stroke) -> [f32; 3]| -> Vec<[f32; 3]> { strokes.iter().map(part).collect() };
        // The buffers must live until they are drawn.
        let starts = InstanceBuffer::new_with_data(&self.context, &ends_of(|stroke| stroke.from));
        let ends = InstanceBuffer::new_with_data(&self.context, &ends_of(|stroke| stroke.to));
        let styles = InstanceBuffer::new_with_data(&self.context, &of(|stroke| stroke.style));
        let inks = InstanceBuffer::new_with_data(&self.context, &of(|stroke| stroke.ink));
        program.use_vertex_attribute("corner", &self.quad);
        program.use_instance_attribute("from_place", &starts);
        program.use_instance_attribute("to_place", &ends);
        program.use_instance_attribute("style", &styles);
        program.use_instance_attribute("ink", &inks);
        let states =
            RenderStates { depth_test, write_mask: WriteMask::COLOR, blend: Blend::TRANSPARENCY, cull: Cull::None };
        let count = u32::try_from(strokes.len()).unwrap_or(u32::MAX);
        program.draw_arrays_instanced(states, viewport(picture.size), 6, count);
    }
}

/// Facts in rows of a texture, for `texelFetch`.
fn table<const N: usize>(context: &Context, facts: &[[f32; N]]) -> Texture2D
where
    [f32; N]: TextureDataType,
{
    let rows = facts.len().div_ceil(ACROSS).max(1);
    let mut facts = facts.to_vec();
    facts.resize(rows * ACROSS, [0.0; N]);
    let side = |count: usize| u32::try_from(count).unwrap_or_default();
    let texture = Texture2D::new_empty::<[f32; N]>(
        context,
        side(ACROSS),
        side(rows),
        Interpolation::Nearest,
        Interpolation::Nearest,
        None,
        Wrapping::ClampToEdge,
        Wrapping::ClampToEdge,
    );
    texture.fill(&facts);
    texture
}

fn viewport([width, height]: [u32; 2]) -> Viewport {
    Viewport::new_at_origo(width, height)
}

#[allow(clippy::cast_possible_truncation)]
fn single(value: f64) -> f32 {
    value as f32
}

fn vector(v: &Vector3<f64>) -> [f32; 3] {
    [v.x, v.y, v.z].map(single)
}

fn matrix(m: &Matrix4<f64>) -> Mat4 {
    let columns: [[f32; 4]; 4] = m.map(single).into();
    Mat4::from(columns)
}

fn section(picture: &Picture) -> [f32; 4] {
    picture.section.map_or([0.0; 4], |(normal, distance)| {
        let [x, y, z] = vector(&normal);
        [x, y, z, single(distance)]
    })
}
