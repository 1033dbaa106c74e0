//! A picture of the window without a display: the same frames, painted in software.

use super::Editor;
use super::settings::Settings;
use super::software_paint::SoftwarePainter;
use super::stages::Stage;
use super::theme::{self, ThemeChoice};
use egui::{Context, Pos2, RawInput, Rect, Vec2};
use slabloom_core::job::Job;
use std::time::{Duration, Instant};

/// What a picture shows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PictureOptions {
    /// Width in points.
    pub width: u32,
    /// Height in points.
    pub height: u32,
    /// Pixels for one point.
    pub scale: f32,
    /// The stage of the work.
    pub stage: Stage,
    /// The look.
    pub theme: ThemeChoice,
}

impl Default for PictureOptions {
    fn default() -> Self {
        Self {
            width: 1280,
            height: 800,
            scale: 1.0,
            stage: Stage::Forms,
            theme: ThemeChoice::Light,
        }
    }
}

/// Pixels of a picture: rows of red, green, blue and alpha.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Picture {
    /// Pixels in a row.
    pub width: u32,
    /// Rows.
    pub height: u32,
    /// Four bytes a pixel.
    pub rgba: Vec<u8>,
}

impl Picture {
    /// The picture as a PNG file.
    ///
    /// # Errors
    /// When the encoder fails.
    pub fn png(&self) -> Result<Vec<u8>, String> {
        use image::ImageEncoder;
        use image::codecs::png::{CompressionType, FilterType, PngEncoder};
        let mut bytes = Vec::new();
        PngEncoder::new_with_quality(&mut bytes, CompressionType::Best, FilterType::Adaptive)
            .write_image(&self.rgba, self.width, self.height, image::ExtendedColorType::Rgba8)
            .map_err(|error| format!("The picture could not be encoded: {error}"))?;
        Ok(bytes)
    }
}

/// How long a picture waits for results: far longer than any slab takes.
const PATIENCE: Duration = Duration::from_secs(120);

/// The window with a job in it, as a person would see it.
///
/// # Errors
/// When the results do not come.
pub fn render(job: Job, options: &PictureOptions) -> Result<Picture, String> {
    let context = Context::default();
    let mut editor = Editor::new(&context, job, None);
    editor.state.stage = options.stage;
    editor.state.settings = Settings { theme: options.theme, ..Settings::default() };
    theme::apply(&context, options.theme);
    let mut stage = Headless::new(context, options);
    let started = Instant::now();
    stage.frame(&mut editor);
    while editor.is_working() {
        if started.elapsed() > PATIENCE {
            return Err("The results did not come in time".to_owned());
        }
        std::thread::sleep(Duration::from_millis(5));
        stage.frame(&mut editor);
    }
    // Panels settle their sizes over two frames.
    stage.frame(&mut editor);
    stage.frame(&mut editor);
    Ok(stage.picture())
}

/// Runs frames of the editor and paints the last one.
pub struct Headless {
    context: Context,
    size: Vec2,
    scale: f32,
    painter: SoftwarePainter,
    last: Option<egui::FullOutput>,
    time: f64,
}

impl Headless {
    /// A stage for pictures of this size.
    #[must_use]
    pub fn new(context: Context, options: &PictureOptions) -> Self {
        let scale = options.scale.clamp(0.5, 4.0);
        let size = Vec2::new(options.width as f32, options.height as f32);
        let pixels = size * scale;
        Self {
            context,
            size,
            scale,
            painter: SoftwarePainter::new(pixels.x.round() as usize, pixels.y.round() as usize),
            last: None,
            time: 0.0,
        }
    }

    /// Runs one frame.
    pub fn frame(&mut self, editor: &mut Editor) {
        self.frame_with(editor, Vec::new());
    }

    /// Runs one frame with what a person does in it.
    pub fn frame_with(&mut self, editor: &mut Editor, events: Vec<egui::Event>) {
        self.frame_of(events, |ui| editor.frame(ui));
    }

    /// Runs one frame of anything.
    pub fn frame_of(&mut self, events: Vec<egui::Event>, content: impl FnMut(&mut egui::Ui)) {
        self.time += 1.0 / 30.0;
        let mut input = RawInput {
            screen_rect: Some(Rect::from_min_size(Pos2::ZERO, self.size)),
            time: Some(self.time),
            focused: true,
            max_texture_side: Some(8192),
            events,
            ..RawInput::default()
        };
        if let Some(viewport) = input.viewports.get_mut(&egui::ViewportId::ROOT) {
            viewport.native_pixels_per_point = Some(self.scale);
        }
        let mut output = self.context.run_ui(input, content);
        self.painter.update_textures(&output.textures_delta);
        output.textures_delta.clear();
        self.last = Some(output);
    }

    /// Turns the last frame into triangles, as the window does in each frame; how many there are.
    pub fn triangles(&mut self) -> usize {
        let Some(output) = self.last.take() else { return 0 };
        self.context
            .tessellate(output.shapes, output.pixels_per_point)
            .iter()
            .map(|primitive| match &primitive.primitive {
                egui::epaint::Primitive::Mesh(mesh) => mesh.indices.len() / 3,
                egui::epaint::Primitive::Callback(_) => 0,
            })
            .sum()
    }

    /// Paints the last frame.
    #[must_use]
    pub fn picture(mut self) -> Picture {
        if let Some(output) = self.last.take() {
            let primitives = self.context.tessellate(output.shapes, output.pixels_per_point);
            self.painter.paint(&primitives, output.pixels_per_point);
        }
        let pixels = self.size * self.scale;
        Picture {
            width: pixels.x.round() as u32,
            height: pixels.y.round() as u32,
            rgba: self.painter.rgba(),
        }
    }
}
