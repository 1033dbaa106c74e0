//! Icons as lines on a board of 24 by 24, drawn here, so that they scale and take any colour.

use crate::canvas::tools::ToolKind;
use egui::{Color32, Painter, Pos2, Rect, Shape, Stroke, Vec2};
use slabloom_core::findings::Severity;

/// One piece of an icon.
enum Piece {
    /// A line through points.
    Line(&'static [(f32, f32)]),
    /// A closed line.
    Ring(&'static [(f32, f32)]),
    /// A filled closed shape without inside corners.
    Solid(&'static [(f32, f32)]),
    /// A circle.
    Circle(f32, f32, f32),
    /// A filled circle.
    Dot(f32, f32, f32),
    /// A dashed line.
    Dashes(&'static [(f32, f32)]),
}

use Piece::{Circle, Dashes, Dot, Line, Ring, Solid};

const fn tool_pieces(kind: ToolKind) -> &'static [Piece] {
    match kind {
        ToolKind::Select => {
            &[Solid(&[(6.0, 3.0), (18.5, 13.0), (11.5, 14.0)]), Line(&[(11.0, 12.0), (15.5, 20.5)])]
        }
        ToolKind::Walls => &[
            Line(&[(4.0, 19.0), (4.0, 5.0), (14.0, 5.0), (14.0, 12.0)]),
            Dashes(&[(14.0, 12.0), (20.0, 19.0)]),
            Dot(4.0, 19.0, 1.8),
            Dot(4.0, 5.0, 1.8),
            Dot(14.0, 5.0, 1.8),
        ],
        ToolKind::AddRectangle => &[
            Line(&[(3.0, 20.0), (3.0, 10.0), (9.0, 10.0)]),
            Line(&[(3.0, 20.0), (21.0, 20.0), (21.0, 10.0)]),
            Ring(&[(9.0, 4.0), (21.0, 4.0), (21.0, 10.0), (9.0, 10.0)]),
            Line(&[(15.0, 12.5), (15.0, 17.5)]),
            Line(&[(12.5, 15.0), (17.5, 15.0)]),
        ],
        ToolKind::TakeRectangle => &[
            Line(&[(10.0, 4.0), (3.0, 4.0), (3.0, 20.0), (21.0, 20.0), (21.0, 12.0)]),
            Line(&[(10.0, 4.0), (10.0, 12.0), (21.0, 12.0)]),
            Dashes(&[(10.0, 4.0), (21.0, 4.0), (21.0, 12.0)]),
            Line(&[(9.5, 16.0), (14.5, 16.0)]),
        ],
        ToolKind::Corner => {
            &[Line(&[(3.0, 18.0), (12.0, 7.0), (21.0, 18.0)]), Circle(12.0, 7.0, 3.2)]
        }
        ToolKind::Opening => &[
            Ring(&[(3.0, 4.0), (21.0, 4.0), (21.0, 20.0), (3.0, 20.0)]),
            Ring(&[(8.0, 9.0), (16.0, 9.0), (16.0, 16.0), (8.0, 16.0)]),
            Line(&[(8.0, 9.0), (16.0, 16.0)]),
            Line(&[(16.0, 9.0), (8.0, 16.0)]),
        ],
        ToolKind::Pipe => &[Circle(12.0, 12.0, 7.5), Circle(12.0, 12.0, 4.5)],
        ToolKind::Drain => &[
            Circle(12.0, 12.0, 8.0),
            Line(&[(6.5, 9.0), (17.5, 9.0)]),
            Line(&[(4.5, 12.0), (19.5, 12.0)]),
            Line(&[(6.5, 15.0), (17.5, 15.0)]),
        ],
        ToolKind::Column => &[
            Solid(&[(8.5, 8.5), (15.5, 8.5), (15.5, 15.5), (8.5, 15.5)]),
            Ring(&[(12.0, 2.5), (21.5, 12.0), (12.0, 21.5), (2.5, 12.0)]),
        ],
        ToolKind::Strip => &[
            Dashes(&[(3.0, 8.0), (21.0, 8.0)]),
            Dashes(&[(3.0, 16.0), (21.0, 16.0)]),
            Line(&[(3.0, 12.0), (21.0, 12.0)]),
        ],
        ToolKind::Pad => &[
            Line(&[(3.0, 7.0), (21.0, 7.0)]),
            Line(&[
                (3.0, 11.0),
                (7.0, 11.0),
                (7.0, 18.0),
                (17.0, 18.0),
                (17.0, 11.0),
                (21.0, 11.0),
            ]),
        ],
        ToolKind::Zone => &[
            Ring(&[(3.0, 4.0), (21.0, 4.0), (21.0, 20.0), (3.0, 20.0)]),
            Line(&[
                (7.0, 16.0),
                (7.0, 8.0),
                (10.5, 8.0),
                (10.5, 16.0),
                (14.0, 16.0),
                (14.0, 8.0),
                (17.0, 8.0),
                (17.0, 16.0),
            ]),
        ],
        ToolKind::KeepOut => &[
            Ring(&[(4.0, 5.0), (20.0, 5.0), (20.0, 19.0), (4.0, 19.0)]),
            Line(&[(4.0, 12.0), (11.0, 5.0)]),
            Line(&[(4.0, 19.0), (18.0, 5.0)]),
            Line(&[(12.0, 19.0), (20.0, 11.0)]),
        ],
        ToolKind::Manifold => &[
            Ring(&[(3.0, 5.0), (21.0, 5.0), (21.0, 10.0), (3.0, 10.0)]),
            Line(&[(6.5, 10.0), (6.5, 19.0)]),
            Line(&[(10.0, 10.0), (10.0, 19.0)]),
            Line(&[(14.0, 10.0), (14.0, 19.0)]),
            Line(&[(17.5, 10.0), (17.5, 19.0)]),
        ],
        ToolKind::Circuit => &[
            Line(&[(4.0, 20.0), (4.0, 5.0), (20.0, 5.0), (20.0, 10.0), (9.0, 10.0), (9.0, 20.0)]),
            Circle(4.0, 20.0, 1.6),
            Circle(9.0, 20.0, 1.6),
        ],
        ToolKind::Joint => &[
            Line(&[(3.0, 6.0), (10.5, 6.0), (12.0, 12.0), (13.5, 6.0), (21.0, 6.0)]),
            Line(&[(3.0, 19.0), (21.0, 19.0)]),
            Dashes(&[(12.0, 12.0), (12.0, 19.0)]),
        ],
        ToolKind::IsolationJoint => &[
            Ring(&[(3.0, 6.0), (10.0, 6.0), (10.0, 18.0), (3.0, 18.0)]),
            Ring(&[(14.0, 6.0), (21.0, 6.0), (21.0, 18.0), (14.0, 18.0)]),
            Dashes(&[(12.0, 4.0), (12.0, 20.0)]),
        ],
        ToolKind::ConstructionJoint => &[
            Line(&[(3.0, 6.0), (12.0, 6.0), (12.0, 18.0), (3.0, 18.0)]),
            Dashes(&[(12.0, 6.0), (21.0, 6.0)]),
            Dashes(&[(12.0, 18.0), (21.0, 18.0)]),
            Line(&[(14.5, 9.0), (14.5, 15.0)]),
        ],
        ToolKind::StartCorner => &[
            Line(&[(3.0, 3.0), (3.0, 21.0), (21.0, 21.0)]),
            Ring(&[(3.0, 13.0), (14.0, 13.0), (14.0, 21.0), (3.0, 21.0)]),
            Dashes(&[(14.0, 13.0), (21.0, 13.0)]),
            Dashes(&[(9.0, 13.0), (9.0, 5.0), (21.0, 5.0)]),
            Dot(3.0, 21.0, 2.2),
        ],
        ToolKind::FoamZone => &[
            Ring(&[(3.0, 4.0), (21.0, 4.0), (21.0, 20.0), (3.0, 20.0)]),
            Line(&[(3.0, 9.3), (21.0, 9.3)]),
            Line(&[(3.0, 14.7), (21.0, 14.7)]),
            Line(&[(12.0, 4.0), (12.0, 9.3)]),
            Line(&[(8.0, 9.3), (8.0, 14.7)]),
            Line(&[(15.0, 14.7), (15.0, 20.0)]),
        ],
        ToolKind::Shot => &[
            Line(&[(12.0, 14.0), (5.0, 21.0)]),
            Line(&[(12.0, 14.0), (19.0, 21.0)]),
            Line(&[(12.0, 14.0), (12.0, 21.0)]),
            Ring(&[(7.0, 8.0), (17.0, 8.0), (17.0, 13.0), (7.0, 13.0)]),
            Line(&[(17.0, 10.5), (22.0, 10.5)]),
            Line(&[(12.0, 8.0), (12.0, 4.0)]),
        ],
        ToolKind::Measure => &[
            Ring(&[(2.0, 8.0), (22.0, 8.0), (22.0, 16.0), (2.0, 16.0)]),
            Line(&[(6.0, 8.0), (6.0, 12.0)]),
            Line(&[(10.0, 8.0), (10.0, 11.0)]),
            Line(&[(14.0, 8.0), (14.0, 12.0)]),
            Line(&[(18.0, 8.0), (18.0, 11.0)]),
        ],
        ToolKind::PictureScale => &[
            Ring(&[(3.0, 3.0), (21.0, 3.0), (21.0, 14.0), (3.0, 14.0)]),
            Line(&[(6.0, 16.5), (6.0, 21.5)]),
            Line(&[(18.0, 16.5), (18.0, 21.5)]),
            Line(&[(6.0, 19.0), (18.0, 19.0)]),
        ],
        ToolKind::PictureSquare => &[
            Ring(&[(6.0, 3.0), (21.0, 6.5), (18.0, 17.0), (3.0, 13.5)]),
            Line(&[(3.0, 20.5), (21.0, 20.5)]),
        ],
        ToolKind::PictureMove => &[
            Ring(&[(3.0, 3.0), (15.0, 3.0), (15.0, 12.0), (3.0, 12.0)]),
            Dashes(&[(9.0, 20.0), (9.0, 15.0)]),
            Line(&[(12.0, 15.0), (20.0, 20.0)]),
            Line(&[(20.0, 15.0), (20.0, 20.0), (15.0, 20.0)]),
        ],
    }
}

fn draw(painter: &Painter, rect: Rect, pieces: &[Piece], color: Color32) {
    let scale = rect.width().min(rect.height()) / 24.0;
    let corner = rect.center() - Vec2::splat(12.0 * scale);
    let at = |(x, y): (f32, f32)| corner + Vec2::new(x, y) * scale;
    let points =
        |points: &[(f32, f32)]| points.iter().map(|point| at(*point)).collect::<Vec<Pos2>>();
    let stroke = Stroke::new((1.7 * scale).max(1.2), color);
    for piece in pieces {
        match piece {
            Line(line) => drop(painter.add(Shape::line(points(line), stroke))),
            Ring(line) => drop(painter.add(Shape::closed_line(points(line), stroke))),
            Solid(line) => {
                painter.add(Shape::convex_polygon(points(line), color, Stroke::NONE));
            }
            Circle(x, y, radius) => {
                painter.circle_stroke(at((*x, *y)), radius * scale, stroke);
            }
            Dot(x, y, radius) => {
                painter.circle_filled(at((*x, *y)), radius * scale, color);
            }
            Dashes(line) => {
                painter.extend(Shape::dashed_line(&points(line), stroke, 2.6 * scale, 2.2 * scale));
            }
        }
    }
}

/// Draws the icon of a tool.
pub fn tool(painter: &Painter, rect: Rect, kind: ToolKind, color: Color32) {
    draw(painter, rect, tool_pieces(kind), color);
}

/// Draws a turn back (undo), or its mirror image (redo).
pub fn turn(painter: &Painter, rect: Rect, is_back: bool, color: Color32) {
    const BACK: &[Piece] = &[
        Line(&[
            (5.0, 9.0),
            (14.0, 9.0),
            (18.0, 11.0),
            (19.0, 14.5),
            (17.0, 18.0),
            (13.0, 19.0),
            (8.0, 19.0),
        ]),
        Line(&[(9.0, 4.5), (4.5, 9.0), (9.0, 13.5)]),
    ];
    const FORTH: &[Piece] = &[
        Line(&[
            (19.0, 9.0),
            (10.0, 9.0),
            (6.0, 11.0),
            (5.0, 14.5),
            (7.0, 18.0),
            (11.0, 19.0),
            (16.0, 19.0),
        ]),
        Line(&[(15.0, 4.5), (19.5, 9.0), (15.0, 13.5)]),
    ];
    draw(painter, rect, if is_back { BACK } else { FORTH }, color);
}

/// Draws the mark of a severity: an octagon, a triangle, a ring; the shape alone tells them apart.
pub fn severity(
    painter: &Painter,
    rect: Rect,
    severity: Severity,
    color: Color32,
    ground: Color32,
) {
    const STOP: &[Piece] = &[Solid(&[
        (8.0, 2.5),
        (16.0, 2.5),
        (21.5, 8.0),
        (21.5, 16.0),
        (16.0, 21.5),
        (8.0, 21.5),
        (2.5, 16.0),
        (2.5, 8.0),
    ])];
    const STOP_MARK: &[Piece] =
        &[Line(&[(8.0, 8.0), (16.0, 16.0)]), Line(&[(16.0, 8.0), (8.0, 16.0)])];
    const WARN: &[Piece] = &[
        Ring(&[(12.0, 3.0), (22.0, 20.5), (2.0, 20.5)]),
        Line(&[(12.0, 9.0), (12.0, 14.5)]),
        Dot(12.0, 17.5, 1.3),
    ];
    const NOTE: &[Piece] =
        &[Circle(12.0, 12.0, 9.0), Line(&[(12.0, 11.0), (12.0, 17.0)]), Dot(12.0, 7.5, 1.4)];
    match severity {
        Severity::Stop => {
            draw(painter, rect, STOP, color);
            draw(painter, rect, STOP_MARK, ground);
        }
        Severity::Warn => draw(painter, rect, WARN, color),
        Severity::Note => draw(painter, rect, NOTE, color),
    }
}

/// Draws the mark of the program: a slab with tube in it, in plan.
pub fn mark(painter: &Painter, rect: Rect, ink: Color32, accent: Color32) {
    const SLAB: &[Piece] =
        &[Ring(&[(3.0, 3.0), (21.0, 3.0), (21.0, 15.0), (15.0, 15.0), (15.0, 21.0), (3.0, 21.0)])];
    const TUBE: &[Piece] =
        &[Line(&[(6.5, 21.0), (6.5, 7.0), (17.5, 7.0), (17.5, 11.0), (11.0, 11.0), (11.0, 21.0)])];
    draw(painter, rect, SLAB, ink);
    draw(painter, rect, TUBE, accent);
}
