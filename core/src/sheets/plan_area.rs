//! A plan on a sheet: its scale, its turn, its room, and the labels that find room in it.
//!
//! Method: the plan is turned so that its longest side runs level (few slabs stand askew to
//! themselves), put at the largest listed scale that leaves bands for dimensions, and drawn into
//! a window. When it is larger than one sheet at the scale asked for (or at 1/8 in to the foot
//! when no larger listed scale fits), further sheets show it in tiles with match lines.

use super::frame::{self, Draft};
use super::pieces::{self, Piece};
use super::plan_marks::{DIMENSIONS, NOTES, spot};
use super::spread::{self, Spread};
use crate::drawing::dimension::{Dimension, RunningRow, Station};
use crate::drawing::page::Role;
use crate::drawing::place::Label;
use crate::drawing::text::{BUILT_SIZE, NOTE_SIZE, Text};
use crate::drawing::tile::{self, Tile};
use crate::drawing::{
    Affine, Dash, Ink, Layer, Mark, Pen, Placer, Rect, Scale, Shape, Spot, Vec2, View, clip, path,
    symbol,
};
use crate::geometry::Point;
use crate::job::Job;
use crate::plan::Plan;
use crate::units::{Length, show_length};

/// Smallest drawing that is read without a lens, plan inches to a paper inch: 1/8 in to the foot.
const SMALLEST: f64 = 96.0;
/// What neighbouring tiles share, in points.
const OVERLAP: f64 = 36.0;

/// The plan's own frame: turned so that its longest side is level.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlanFrame {
    /// Cosine and sine of the turn of the plan on paper.
    pub turn: Vec2,
    /// Box round the slab in the turned axes (inches, about the origin).
    pub bounds: Rect,
}

impl PlanFrame {
    /// The frame of a plan.
    #[must_use]
    pub fn of(plan: &Plan) -> Self {
        let longest = plan
            .rim
            .iter()
            .map(|side| side.segment.end() - side.segment.start())
            .max_by(|a, b| a.length().total_cmp(&b.length()))
            .unwrap_or_default();
        // A quarter turn more or less keeps sides level or upright: take the smallest turn.
        let quarter = std::f64::consts::FRAC_PI_2;
        let angle = longest.angle();
        let turned = -(angle - quarter * (angle / quarter).round());
        let turned = if turned.abs() < 1e-4 { 0.0 } else { turned };
        let turn = path::direction(turned);
        let frame = Self { turn, bounds: Rect::ZERO };
        let spots = plan.region.outer.iter().map(|&point| frame.turned(point));
        let bounds = spots.fold(None, |rect: Option<Rect>, at| {
            let here = Rect::new(at.x, at.y, at.x, at.y);
            Some(rect.map_or(here, |rect| rect.union(here)))
        });
        Self { turn, bounds: bounds.unwrap_or(Rect::ZERO) }
    }

    /// A place of the plan in the turned axes.
    #[must_use]
    pub fn turned(&self, at: Point) -> Spot {
        Spot::new(self.turn.x * at.x - self.turn.y * at.y, self.turn.y * at.x + self.turn.x * at.y)
    }

    /// How far it is turned, radians counter-clockwise.
    #[must_use]
    pub fn angle(&self) -> f64 {
        crate::units::exact_math::atan2(self.turn.y, self.turn.x)
    }

    /// Inches from the west edge and from the south edge of the slab's box (as turned).
    #[must_use]
    pub fn from_edges(&self, at: Point) -> (f64, f64) {
        let here = self.turned(at);
        (here.x - self.bounds.x0, here.y - self.bounds.y0)
    }

    /// The view that puts the middle of the slab's box at a spot of the paper.
    fn view(&self, scale: Scale, middle: Spot) -> View {
        let center = self.bounds.center();
        // Back from the turned axes to the plan.
        let plan_spot = Spot::new(
            self.turn.x * center.x + self.turn.y * center.y,
            -self.turn.y * center.x + self.turn.x * center.y,
        );
        View { scale, plan_spot, paper_spot: middle, turn: self.turn }
    }
}

/// A plan as it is drawn on one sheet.
pub struct PlanArea<'a> {
    /// The job.
    pub job: &'a Job,
    /// The sheet's title, without the word for its part.
    pub title: &'a str,
    /// The plan's frame.
    pub frame: PlanFrame,
    /// Plan to paper.
    pub view: View,
    /// What of the paper shows the plan.
    pub window: Rect,
    /// The window with the bands for dimensions.
    pub room: Rect,
    /// What is drawn so far.
    pub marks: Vec<Mark>,
    /// Where text stands.
    pub placer: Placer,
    /// Labels that found no room.
    pub unplaced: usize,
    map: Affine,
}

/// What a sheet with a plan shows.
pub struct PlanSheet<'a> {
    /// Its title.
    pub title: &'a str,
    /// What the drawing shows, in words.
    pub alt: String,
    /// Bands for dimensions left and right, above and below the plan, in points.
    pub band: (f64, f64),
    /// What stands beside the plan.
    pub pieces: Vec<Piece>,
    /// Draws the plan.
    pub draw: &'a dyn Fn(&mut PlanArea<'_>),
    /// Further sheets with tiles are worth their paper.
    pub is_tiled: bool,
}

/// The sheets of a plan: the whole of it, what its columns had no room for, and its tiles.
#[must_use]
pub fn plan_sheets(job: &Job, plan: &Plan, sheet: PlanSheet<'_>) -> Vec<Draft> {
    let frame = PlanFrame::of(plan);
    let plain = Spread::beside(job, Draft::new(job, sheet.title).body());
    let window = plain.plan_room.inflate(-sheet.band.0, -sheet.band.1);
    let is_metric = job.facts.display.rounding.system() == crate::units::UnitSystem::Metric;
    let (width, height) = (frame.bounds.width(), frame.bounds.height());
    let fitting = Scale::to_fit(width, height, window, is_metric);
    let asked =
        job.sheet_set.scale.map(|asked| asked.0).filter(|ratio| (1.0..=1e6).contains(ratio));
    // A scale by hand is kept where the plan fits; where it does not, the tiles keep it.
    let whole = asked.map_or(fitting, |ratio| Scale { ratio: ratio.max(fitting.ratio), is_metric });
    let tile_ratio = asked.unwrap_or(if is_metric { 100.0 } else { SMALLEST });
    let mut drafts = spread_sheets(job, &sheet, (frame, whole), &plain);
    // Free room beside and below the plan is taken where that saves a sheet. A step or two down in
    // scale is taken where all then stands on one sheet, as long as it is read without a lens.
    const STEPS_DOWN: usize = 2;
    let smaller = std::iter::successors(whole.smaller(), |scale| scale.smaller())
        .take_while(|scale| asked.is_none() && scale.ratio <= tile_ratio * 1.001)
        .take(STEPS_DOWN);
    let unplaced = drafts.unplaced;
    for scale in std::iter::once(whole).chain(smaller) {
        if drafts.sheets.len() == 1 {
            break;
        }
        let k = scale.points_per_inch();
        let needed = (width * k + sheet.band.0 * 2.0, height * k + sheet.band.1 * 2.0);
        let column = frame::column_width(job);
        // Wide columns below the plan break fewer rows; narrow ones hold more.
        for below in [column, spread::NARROWEST] {
            let fuller = plain.with_free_room(column, below, needed);
            let denser = spread_sheets(job, &sheet, (frame, scale), &fuller);
            let is_worth_it = scale == whole || denser.sheets.len() == 1;
            let is_fewer = denser.sheets.len() < drafts.sheets.len();
            if is_worth_it && is_fewer && denser.unplaced <= unplaced {
                drafts = denser;
            }
        }
    }
    let mut drafts = drafts.sheets;
    if sheet.is_tiled && asked.is_none() && drafts.len() > 1 {
        // Where a second sheet is needed anyhow, the plan may have the first for itself.
        let body = Draft::new(job, sheet.title).body();
        let window = body.inflate(-sheet.band.0, -sheet.band.1);
        let larger = Scale::to_fit(width, height, window, is_metric);
        if larger.ratio < whole.ratio && larger.ratio <= tile_ratio {
            let alone = spread_sheets(job, &sheet, (frame, larger), &Spread::alone(body)).sheets;
            if alone.len() <= drafts.len() {
                return alone;
            }
        }
    }
    if sheet.is_tiled && whole.ratio > tile_ratio * 1.001 {
        let large = LargePlan { job, frame, title: sheet.title, alt: &sheet.alt, band: sheet.band };
        drafts.extend(large.sheets(Scale { ratio: tile_ratio, is_metric }, sheet.draw));
    }
    drafts
}

/// A plan's sheets, and how many labels found no room on them.
struct SpreadOut {
    sheets: Vec<Draft>,
    unplaced: usize,
}

/// The plan and its columns on a sheet, and the sheets that carry on what they do not hold.
fn spread_sheets(
    job: &Job,
    sheet: &PlanSheet<'_>,
    (frame, scale): (PlanFrame, Scale),
    spread: &Spread,
) -> SpreadOut {
    let mut draft = Draft::new(job, sheet.title);
    let window = spread.plan_room.inflate(-sheet.band.0, -sheet.band.1);
    let view = frame.view(scale, window.center());
    let mut area = PlanArea::new((job, sheet.title), frame, view, window, spread.plan_room);
    (sheet.draw)(&mut area);
    let mut rest = sheet.pieces.clone();
    let unplaced = area.unplaced;
    if unplaced > 0 {
        rest.push(Piece::Note(format!(
            "{unplaced} labels found no room at this scale; the tables list what they say."
        )));
    }
    draft.page.add(Role::Figure { alt: sheet.alt.clone() }, area.marks);
    let rules = spread.rules();
    draft.page.add(Role::Artifact, rules);
    for &column in &spread.columns {
        rest = pieces::fill(&mut draft.page, rest, column);
    }
    draft.scale = Some(scale);
    draft.turned = Some(frame.angle());
    let mut drafts = vec![draft];
    drafts.extend(frame::continued(job, sheet.title, rest));
    SpreadOut { sheets: drafts, unplaced }
}

/// A plan that is too small beside its column: drawn again without it.
struct LargePlan<'a> {
    job: &'a Job,
    frame: PlanFrame,
    title: &'a str,
    alt: &'a str,
    band: (f64, f64),
}

impl LargePlan<'_> {
    /// One sheet where the whole plan fits at this scale or a larger one, else tiles.
    fn sheets(&self, scale: Scale, draw: &dyn Fn(&mut PlanArea<'_>)) -> Vec<Draft> {
        let body = Draft::new(self.job, self.title).body();
        let window = body.inflate(-self.band.0, -self.band.1);
        let (width, height) = (self.frame.bounds.width(), self.frame.bounds.height());
        let fitting = Scale::to_fit(width, height, window, scale.is_metric);
        if fitting.ratio <= scale.ratio {
            // A scale asked for by hand is kept; else the largest that fits is taken.
            let is_asked = self.job.sheet_set.scale.is_some();
            let scale = if is_asked { scale } else { fitting };
            let view = self.frame.view(scale, window.center());
            return vec![self.sheet(
                "large",
                scale,
                PlanArea::new((self.job, self.title), self.frame, view, window, body),
                draw,
            )];
        }
        let k = scale.points_per_inch();
        let (width, height) = (width * k, height * k);
        let all = tile::tiles(width, height, window, OVERLAP);
        all.iter()
            .map(|tile| {
                let middle = Spot::new(
                    window.x0 + width / 2.0 - tile.part.x0,
                    window.y0 + height / 2.0 - tile.part.y0,
                );
                let view = self.frame.view(scale, middle);
                let mut area =
                    PlanArea::new((self.job, self.title), self.frame, view, window, body);
                area.key(tile, &all);
                self.sheet(&format!("part {}", tile.name), scale, area, draw)
            })
            .collect()
    }

    fn sheet(
        &self,
        part: &str,
        scale: Scale,
        mut area: PlanArea<'_>,
        draw: &dyn Fn(&mut PlanArea<'_>),
    ) -> Draft {
        let mut draft = Draft::new(self.job, format!("{}, {part}", self.title));
        draw(&mut area);
        draft.page.add(Role::Figure { alt: format!("{}, {part}", self.alt) }, area.marks);
        draft.scale = Some(scale);
        draft.turned = Some(self.frame.angle());
        draft
    }
}

impl<'a> PlanArea<'a> {
    fn new(
        (job, title): (&'a Job, &'a str),
        frame: PlanFrame,
        view: View,
        window: Rect,
        room: Rect,
    ) -> Self {
        Self {
            job,
            title,
            frame,
            view,
            window,
            room,
            marks: Vec::new(),
            placer: Placer::new(room),
            unplaced: 0,
            map: view.paper_from_plan(),
        }
    }

    /// A place of the plan on paper.
    #[must_use]
    pub fn to_paper(&self, at: Point) -> Spot {
        self.map * spot(at)
    }

    /// The slab's box on paper.
    #[must_use]
    pub fn slab_box(&self) -> Rect {
        let k = self.view.scale.points_per_inch();
        let center = self.view.paper_spot;
        let (half_x, half_y) =
            (self.frame.bounds.width() * k / 2.0, self.frame.bounds.height() * k / 2.0);
        Rect::new(center.x - half_x, center.y - half_y, center.x + half_x, center.y + half_y)
    }

    /// Whether a spot of the paper lies in the window.
    #[must_use]
    pub fn shows(&self, at: Spot) -> bool {
        self.window.inflate(0.5, 0.5).contains(at)
    }

    /// Draws plan marks; text keeps off their lines.
    pub fn plan(&mut self, marks: &[Mark]) {
        self.draw(marks, true);
    }

    /// Draws plan marks over which text may stand: other trades' lines.
    pub fn beneath(&mut self, marks: &[Mark]) {
        self.draw(marks, false);
    }

    /// Keeps text that is still to come off plan marks that were drawn beneath.
    pub fn keep_clear(&mut self, marks: &[Mark]) {
        for mark in marks {
            if let Shape::Stroke { path, .. } = mark.mapped(self.map).shape {
                self.placer.avoid(&path);
            }
        }
    }

    fn draw(&mut self, marks: &[Mark], is_kept_clear: bool) {
        let window = self.window.inflate(1.0, 1.0);
        for mark in marks {
            let Some(mark) = clip::clip(&mark.mapped(self.map), window) else { continue };
            if is_kept_clear && let Shape::Stroke { path, pen } = &mark.shape {
                // The slab's edge is the worst line to stand on: it counts as three.
                let weight =
                    if pen.width >= Pen::WIDE.width && pen.dash == Dash::Solid { 3 } else { 1 };
                for _ in 0..weight {
                    self.placer.avoid(path);
                }
            }
            self.marks.push(mark);
        }
    }

    /// A label about a place of the plan, in the middle of it or near it.
    pub fn label(&mut self, layer: Layer, at: Point, (words, size): (&str, f64), tag: u64) {
        let text = Text::new(self.to_paper(at), size, words).centered();
        let mut label = Label::new(layer, text);
        label.tag = tag;
        let (up, side) = (size * 1.15, label.text.width() / 2.0 + size * 0.8);
        label.others = [
            (0.0, -up),
            (0.0, up),
            (side, 0.0),
            (-side, 0.0),
            (side, -up),
            (-side, -up),
            (side, up),
            (-side, up),
        ]
        .map(|(x, y)| label.text.at + Vec2::new(x, y))
        .to_vec();
        self.put(label);
    }

    /// A label whose text must not leave its own place: none is drawn where it has no room.
    pub fn label_within(&mut self, layer: Layer, text: Text, tag: u64) -> bool {
        if !self.shows(text.at) || !self.placer.is_free(&text) || !self.placer.is_off_lines(&text) {
            return false;
        }
        self.placer.take_text(&text);
        // Other trades' gray lines may run here: the text stands on a patch of paper.
        let patch = path::polygon(&text.corners());
        self.marks.push(Mark::fill(layer, patch, Ink::Paper).tagged(tag));
        self.marks.push(Mark::text(layer, text).tagged(tag));
        true
    }

    /// A label as it is asked for.
    pub fn put(&mut self, mut label: Label) {
        if !self.shows(label.about.unwrap_or(label.text.at)) {
            return;
        }
        let key = label_key(self.title, label.tag, &label.text.content);
        let moved = self.job.sheet_set.moved_labels.iter().find(|moved| moved.key == key);
        if let Some(moved) = moved {
            // A label that a person moved stands where they put it, if it is free there.
            let hand = label.text.at + Vec2::new(moved.right, moved.down);
            label.others.insert(0, label.text.at);
            label.text.at = hand;
        }
        match self.placer.place(&label) {
            Some(marks) => self.marks.extend(marks),
            None => self.unplaced += 1,
        }
    }

    /// A number in a circle at a place of the plan, or beside it on a callout.
    pub fn balloon(&mut self, at: Point, (say, size): (&str, f64), others: &[Point], tag: u64) {
        let (half_width, half_height) = symbol::balloon_size(size, say);
        let spots = std::iter::once(at).chain(others.iter().copied());
        let mut best: Option<(usize, Spot)> = None;
        for place in spots {
            let at = self.to_paper(place);
            let rect =
                Rect::from_center_size(at, (half_width * 2.0 + 2.0, half_height * 2.0 + 2.0));
            if !self.shows(at) || !self.placer.is_free_rect(rect) {
                continue;
            }
            let crossings = self.placer.crossings_of_rect(rect);
            if best.is_none_or(|(least, _)| crossings < least) {
                best = Some((crossings, at));
            }
        }
        let Some((_, at)) = best else {
            let text = Text::new(self.to_paper(at), size, say).bold().centered();
            let mut label = Label::new(DIMENSIONS, text);
            label.tag = tag;
            self.put(label);
            return;
        };
        self.placer.take_rect(Rect::from_center_size(at, (half_width * 2.0, half_height * 2.0)));
        let marks = symbol::balloon(DIMENSIONS, at, size, say);
        self.marks.extend(marks.into_iter().map(|mark| mark.tagged(tag)));
    }

    /// A length beside two places of the plan; `out` is a step of length 1 on paper.
    pub fn dimension(
        &mut self,
        (from, to): (Point, Point),
        out: Vec2,
        offset: f64,
        what: (&str, f64, u64),
    ) {
        let (label, size, tag) = what;
        let dimension = Dimension {
            from: self.to_paper(from),
            to: self.to_paper(to),
            out,
            offset,
            label: label.to_owned(),
            size,
            layer: DIMENSIONS,
            tag,
        };
        if !self.shows(dimension.from) || !self.shows(dimension.to) {
            return;
        }
        match dimension.draw(&mut self.placer) {
            Some(marks) => self.marks.extend(marks),
            None => self.unplaced += 1,
        }
    }

    /// A row of running figures; stations outside the window are left to other sheets.
    pub fn running(&mut self, row: &RunningRow, stations: Vec<Station>) {
        use crate::drawing::dimension::RowSide;
        let window = self.window.inflate(0.5, 0.5);
        let shown: Vec<Station> = stations
            .into_iter()
            .filter(|station| match row.side {
                RowSide::Left | RowSide::Right => (window.y0..=window.y1).contains(&station.at),
                RowSide::Above | RowSide::Below => (window.x0..=window.x1).contains(&station.at),
            })
            .map(|station| {
                // A line that goes on beyond the window is taken up at the window's rim.
                let from = match row.side {
                    RowSide::Left | RowSide::Right => station.from.clamp(window.x0, window.x1),
                    RowSide::Above | RowSide::Below => station.from.clamp(window.y0, window.y1),
                };
                Station { from, ..station }
            })
            .collect();
        let (marks, left_out) = row.draw(&shown, &mut self.placer);
        self.marks.extend(marks);
        self.unplaced += left_out;
    }

    /// A length as the job shows it.
    #[must_use]
    pub fn length(&self, inches: f64) -> String {
        length(self.job, inches)
    }

    /// Which tile this is, on a small map of all, with match lines at its inner sides.
    fn key(&mut self, tile: &Tile, all: &[Tile]) {
        const SIDE: f64 = 17.0;
        let corner = Spot::new(self.room.x1 - 76.0, self.room.y0);
        let mut marks = Vec::new();
        for other in all {
            let (x, y) = (
                corner.x + f64::from(other.column) * SIDE,
                corner.y + f64::from(other.row) * SIDE * 0.7,
            );
            let cell = path::rectangle(Rect::new(x, y, x + SIDE, y + SIDE * 0.7));
            if other.name == tile.name {
                marks.push(Mark::fill(NOTES, cell.clone(), Ink::MidGray));
            }
            marks.push(Mark::stroke(NOTES, cell, Pen::FINE));
        }
        let columns = all.iter().map(|tile| tile.column).max().unwrap_or(0);
        let rows = all.iter().map(|tile| tile.row).max().unwrap_or(0);
        let height = f64::from(rows + 1) * SIDE * 0.7;
        let width = (f64::from(columns + 1) * SIDE).max(60.0);
        let name = Text::new(Spot::new(corner.x, corner.y + height + 11.0), NOTE_SIZE, &*tile.name);
        self.placer.take_rect(Rect::new(
            corner.x - 2.0,
            corner.y,
            (corner.x + width).min(self.room.x1),
            corner.y + height + 14.0,
        ));
        marks.push(Mark::text(NOTES, name.bold()));
        let w = self.window;
        let half = OVERLAP / 2.0;
        let mut match_line = |from: Spot, to: Spot| {
            let pen = Pen::MEDIUM.dashed(Dash::LongDashDoubleDot).inked(Ink::DarkGray);
            marks.push(Mark::stroke(NOTES, path::line(from, to), pen));
        };
        if tile.column > 0 {
            match_line(Spot::new(w.x0 + half, w.y0), Spot::new(w.x0 + half, w.y1));
        }
        if tile.column < columns {
            match_line(Spot::new(w.x1 - half, w.y0), Spot::new(w.x1 - half, w.y1));
        }
        if tile.row > 0 {
            match_line(Spot::new(w.x0, w.y0 + half), Spot::new(w.x1, w.y0 + half));
        }
        if tile.row < rows {
            match_line(Spot::new(w.x0, w.y1 - half), Spot::new(w.x1, w.y1 - half));
        }
        self.marks.extend(marks);
    }
}

/// The key under which a label that a person moved is kept: the sheet and what the label is about,
/// so that it holds when the words change; labels about nothing that has an id go by their words.
#[must_use]
pub fn label_key(sheet: &str, tag: u64, words: &str) -> String {
    if tag == 0 { format!("{sheet}: {words}") } else { format!("{sheet}: {tag:x}") }
}

/// Text size of numbers that get built: capitals 1/8 in high, a little less on the smallest
/// papers, where the tiles at full size carry them.
#[must_use]
pub fn built_size(job: &Job) -> f64 {
    use crate::job::sheet_set::Paper;
    match job.sheet_set.paper {
        Paper::Letter | Paper::A4 => 10.8,
        _ => BUILT_SIZE,
    }
}

/// A length as the job shows it.
#[must_use]
pub fn length(job: &Job, inches: f64) -> String {
    show_length(Length::inches(inches), job.facts.display.rounding)
}
