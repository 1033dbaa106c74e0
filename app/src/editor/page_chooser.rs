//! The pages of a PDF to trace over, small and side by side, to choose one by looking.

use super::Editor;
use super::file_door::Thumbnail;
use crate::editor::requests::Requests;
use crate::editor::theme::Palette;
use crate::files::MOST_PAGES;
use crate::widgets::{note, wrapped};
use egui::{Button, ColorImage, Context, Role, TextureHandle, TextureOptions, Ui, WidgetInfo};
use slabloom_core::edit::Edit;
use slabloom_core::job::underlay::{PlanPicture, Underlay};
use std::sync::mpsc::{Receiver, TryRecvError};

/// The room of a page with its number, screen points.
const CELL: egui::Vec2 = egui::vec2(148.0, 150.0);
/// The longer side of a page in it.
const PAGE_SIDE: f32 = 122.0;

/// The pages, as far as they are drawn.
pub struct PageChooser {
    arriving: Option<Receiver<Thumbnail>>,
    pages: Vec<SmallPage>,
    /// How many pages the file has.
    count: u32,
}

/// A page as it is shown.
struct SmallPage {
    number: u32,
    drawn: Result<TextureHandle, String>,
}

impl PageChooser {
    /// How many pages are drawn so far.
    #[must_use]
    pub fn drawn(&self) -> usize {
        self.pages.len()
    }

    /// Whether more pages are coming.
    #[must_use]
    pub const fn is_drawing(&self) -> bool {
        self.arriving.is_some()
    }
}

impl Editor {
    /// Offers the pages of the picture's file.
    pub(super) fn choose_page(&mut self) {
        let state = &mut self.state;
        let Some(picture) = &state.job().underlay.picture else {
            state.say("Lay a plan picture first");
            return;
        };
        if state.picture.pages() < 2 {
            state.say("The plan picture has no other page");
            return;
        }
        let arriving = Some(self.door.draw_thumbnails(picture, state.file.path.as_deref()));
        let count = state.picture.pages();
        state.pages = Some(PageChooser { arriving, pages: Vec::new(), count });
    }

    /// Takes pages as they are drawn.
    pub(super) fn poll_pages(&mut self, context: &Context) {
        let Some(chooser) = &mut self.state.pages else { return };
        // A few in a frame: each is a texture to hand over.
        for _ in 0..4 {
            let Some(arriving) = &chooser.arriving else { return };
            match arriving.try_recv() {
                Ok((number, image)) => {
                    let drawn = image.map(|image| {
                        let size = [image.width, image.height];
                        let pixels = ColorImage::from_rgba_unmultiplied(size, &image.rgba);
                        let name = format!("page {number}");
                        context.load_texture(name, pixels, TextureOptions::LINEAR)
                    });
                    chooser.pages.push(SmallPage { number, drawn });
                    context.request_repaint();
                }
                Err(TryRecvError::Empty) => {
                    context.request_repaint_after(std::time::Duration::from_millis(50));
                    return;
                }
                Err(TryRecvError::Disconnected) => chooser.arriving = None,
            }
        }
    }

    /// The window with the pages, while one is chosen.
    pub(super) fn pages_window(&mut self, ui: &Ui, ask: &mut Requests) {
        let Some(picture) = self.state.job().underlay.picture.clone() else {
            self.state.pages = None;
            return;
        };
        let Some(chooser) = &self.state.pages else { return };
        let palette = self.state.settings.theme.palette();
        let mut is_open = true;
        let mut chosen = None;
        egui::Window::new("Which page is the plan?")
            .open(&mut is_open)
            .collapsible(false)
            .default_pos(super::WINDOW_AT)
            .default_width(4.0 * CELL.x + 40.0)
            .show(ui.ctx(), |ui| chosen = pages_ui(chooser, &picture, palette, ui));
        if let Some(page) = chosen {
            is_open = false;
            if page != picture.page {
                // Another page is another drawing: what was measured on the last does not hold.
                let picture = PlanPicture { page, is_to_scale: false, ..picture };
                ask.edit(Edit::SetUnderlay(Underlay { picture: Some(picture) }));
            }
        }
        if !is_open {
            self.state.pages = None;
        }
    }
}

/// The pages in rows; the one that was clicked.
fn pages_ui(
    chooser: &PageChooser,
    picture: &PlanPicture,
    palette: &Palette,
    ui: &mut Ui,
) -> Option<u32> {
    let mut chosen = None;
    let drawn = chooser.pages.len();
    if chooser.is_drawing() {
        note(ui, format!("{drawn} of {} pages are drawn…", chooser.count.min(MOST_PAGES)));
    } else if chooser.count > MOST_PAGES {
        note(
            ui,
            format!(
                "The first {MOST_PAGES} of {} pages; write the number of a later one in the panel",
                chooser.count
            ),
        );
    } else {
        note(ui, "Click the page to trace over.");
    }
    let height = (ui.ctx().content_rect().height() - 220.0).clamp(CELL.y, 640.0);
    egui::ScrollArea::vertical().max_height(height).auto_shrink([false, true]).show(ui, |ui| {
        let columns = ((ui.available_width() / CELL.x) as usize).max(1);
        for row in chooser.pages.chunks(columns) {
            ui.horizontal_top(|ui| {
                for page in row {
                    if page_ui(page, page.number == picture.page, palette, ui) {
                        chosen = Some(page.number);
                    }
                }
            });
        }
    });
    chosen
}

/// A page with its number; whether it was clicked.
fn page_ui(page: &SmallPage, is_current: bool, palette: &Palette, ui: &mut Ui) -> bool {
    let mut is_clicked = false;
    ui.allocate_ui_with_layout(CELL, egui::Layout::top_down(egui::Align::Center), |ui| {
        ui.set_min_width(CELL.x);
        match &page.drawn {
            Ok(texture) => {
                let size = texture.size_vec2();
                let size = size * (PAGE_SIDE / size.max_elem().max(1.0));
                let image = egui::Image::new((texture.id(), size));
                let stroke = egui::Stroke::new(1.0, palette.ink_soft);
                let button = Button::image(image).selected(is_current).stroke(stroke);
                let response = ui.add(button);
                response.widget_info(|| {
                    let name = format!("Page {}", page.number);
                    WidgetInfo::selected(Role::Button, true, is_current, name)
                });
                is_clicked = response.clicked();
            }
            Err(why) => {
                wrapped(ui, egui::RichText::new(format!("▲ {why}")).color(palette.stop));
            }
        }
        let now = if is_current { ", the one shown" } else { "" };
        ui.label(format!("{}{now}", page.number));
    });
    is_clicked
}
