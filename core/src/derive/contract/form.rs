//! The form of the results as JSON: structs of their own, named as `core/results.schema.json`
//! names them. What each field means stands there.

use serde::Serialize;

/// A place: x and y in inches.
pub(super) type Place = [f64; 2];
/// A ring or line of places.
pub(super) type Course = Vec<Place>;

#[derive(Serialize)]
pub(super) struct Document {
    pub(super) schema: u32,
    pub(super) slab: Slab,
    pub(super) concrete: Concrete,
    pub(super) forms: Forms,
    pub(super) steel: Steel,
    pub(super) base: Base,
    pub(super) foam: Foam,
    pub(super) tube: Tube,
    pub(super) heat: Heat,
    pub(super) joints: Joints,
    pub(super) pour: Pour,
    pub(super) subgrade: Subgrade,
    pub(super) takeoff: Vec<Quantity>,
    pub(super) price: Price,
    pub(super) findings: Vec<FoundHere>,
}

#[derive(Serialize)]
pub(super) struct Slab {
    pub(super) area_ft2: f64,
    pub(super) perimeter_ft: f64,
    pub(super) outline_in: Course,
    pub(super) openings_in: Vec<Course>,
}

#[derive(Serialize)]
pub(super) struct Concrete {
    pub(super) floor_yd3: f64,
    pub(super) edges_yd3: f64,
    pub(super) strips_yd3: f64,
    pub(super) pads_yd3: f64,
    pub(super) recesses_yd3: f64,
    pub(super) slopes_yd3: f64,
    pub(super) displaced_yd3: f64,
    pub(super) net_yd3: f64,
    pub(super) allowance_yd3: f64,
    pub(super) order_yd3: f64,
    pub(super) loads_yd3: Vec<f64>,
}

#[derive(Serialize)]
pub(super) struct Forms {
    pub(super) length_ft: f64,
    pub(super) board_height_in: f64,
    pub(super) boards: Vec<StockCount>,
    pub(super) stakes: u32,
    pub(super) kickers: u32,
    pub(super) sides: Vec<FormSide>,
    pub(super) diagonals: Vec<Diagonal>,
}

#[derive(Serialize)]
pub(super) struct StockCount {
    pub(super) length_ft: f64,
    pub(super) count: u32,
}

#[derive(Serialize)]
pub(super) struct FormSide {
    pub(super) from_in: Place,
    pub(super) to_in: Place,
    pub(super) length_ft: f64,
    pub(super) boards_ft: Vec<f64>,
    pub(super) stakes: u32,
}

#[derive(Serialize)]
pub(super) struct Diagonal {
    pub(super) from_in: Place,
    pub(super) to_in: Place,
    pub(super) length_ft: f64,
    pub(super) of: String,
}

#[derive(Serialize)]
pub(super) struct Steel {
    pub(super) mesh: String,
    pub(super) mesh_count: u32,
    pub(super) mesh_lb: f64,
    pub(super) bars: Vec<Bars>,
    pub(super) chairs: u32,
    pub(super) ties: u32,
    pub(super) fibre_lb: f64,
}

#[derive(Serialize)]
pub(super) struct Bars {
    pub(super) size: u8,
    pub(super) length_ft: f64,
    pub(super) stock_bars: u32,
    pub(super) weight_lb: f64,
}

#[derive(Serialize)]
pub(super) struct Base {
    pub(super) stone_in_place_yd3: f64,
    pub(super) stone_loose_yd3: f64,
    pub(super) stone_tons: f64,
    pub(super) membrane_ft2: f64,
    pub(super) membrane_rolls: u32,
}

#[derive(Serialize)]
pub(super) struct Foam {
    pub(super) layers: Vec<FoamLayer>,
    pub(super) edge: EdgeFoam,
    pub(super) edge_at_doors: Option<EdgeFoam>,
}

#[derive(Serialize)]
pub(super) struct FoamLayer {
    pub(super) board_in: [f64; 3],
    pub(super) kerf_in: f64,
    pub(super) direction_deg: f64,
    pub(super) stagger_in: f64,
    pub(super) boards: u32,
    pub(super) bound: u32,
    pub(super) area_bound: u32,
    pub(super) gap_boards: u32,
    pub(super) bundles: u32,
    pub(super) cuts: u32,
    pub(super) waste: f64,
    pub(super) seam_ft: f64,
    pub(super) area_ft2: f64,
    pub(super) r_value: f64,
    pub(super) resistance_psi: f64,
    pub(super) strength_used: f64,
    pub(super) least_stagger_in: f64,
    pub(super) close_seams_in: Vec<Place>,
    pub(super) seams_over_seams_in: Vec<Place>,
    pub(super) area_in: Vec<Patch>,
    pub(super) pieces: Vec<Piece>,
}

#[derive(Serialize)]
pub(super) struct Piece {
    pub(super) number: u32,
    pub(super) surface: &'static str,
    pub(super) kind: &'static str,
    pub(super) outline_in: Course,
    pub(super) face_in: Option<Course>,
    pub(super) holes_in: Vec<Course>,
    pub(super) board: u32,
    pub(super) on_board_in: Course,
    pub(super) holes_on_board_in: Vec<Course>,
    pub(super) course: u32,
}

#[derive(Serialize)]
pub(super) struct EdgeFoam {
    pub(super) strip_ft: f64,
    pub(super) boards: u32,
    pub(super) layer: Option<usize>,
    pub(super) board_in: [f64; 3],
    pub(super) kerf_in: f64,
    pub(super) strips: Vec<EdgeStrip>,
    pub(super) pieces: Vec<StripPiece>,
}

#[derive(Serialize)]
pub(super) struct EdgeStrip {
    pub(super) from_in: Place,
    pub(super) to_in: Place,
    pub(super) length_ft: f64,
    pub(super) height_in: f64,
}

#[derive(Serialize)]
pub(super) struct StripPiece {
    pub(super) number: u32,
    pub(super) surface: &'static str,
    pub(super) strip: usize,
    pub(super) outline_in: Course,
    pub(super) board: u32,
    pub(super) on_board_in: Course,
}

#[derive(Serialize)]
pub(super) struct Tube {
    pub(super) circuits: Vec<Circuit>,
    pub(super) coils: Vec<Coil>,
    pub(super) spacing_in: f64,
    pub(super) heated_ft2: f64,
    pub(super) zones: Vec<Zone>,
    pub(super) manifolds: Vec<Manifold>,
}

#[derive(Serialize)]
pub(super) struct Manifold {
    pub(super) id: u32,
    pub(super) name: String,
    pub(super) at_in: Place,
    pub(super) ports: Vec<Ports>,
    pub(super) leader_corridor_in: Vec<Patch>,
}

/// The two ports of a circuit.
#[derive(Serialize)]
pub(super) struct Ports {
    pub(super) circuit: String,
    pub(super) supply_in: Place,
    pub(super) return_in: Place,
}

#[derive(Serialize)]
pub(super) struct Zone {
    pub(super) id: u32,
    pub(super) name: String,
    pub(super) spacing_in: f64,
    pub(super) laid_spacing_in: f64,
    pub(super) heated_ft2: f64,
    pub(super) covered: f64,
    pub(super) area_in: Vec<Patch>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) edge_band: Option<EdgeBand>,
}

/// The edge band of a zone as laid.
#[derive(Serialize)]
pub(super) struct EdgeBand {
    pub(super) width_in: f64,
    pub(super) spacing_in: f64,
    pub(super) outside_wall_ft: f64,
    pub(super) along_ft: f64,
    pub(super) heated_ft2: f64,
    pub(super) covered: f64,
    pub(super) area_in: Vec<Patch>,
}

/// A part of the plan with its holes.
#[derive(Serialize)]
pub(super) struct Patch {
    pub(super) outline_in: Course,
    pub(super) holes_in: Vec<Course>,
}

#[derive(Serialize)]
pub(super) struct Circuit {
    pub(super) name: String,
    pub(super) zone: u32,
    pub(super) manifold: u32,
    pub(super) path_in: Course,
    pub(super) length_ft: f64,
    pub(super) leader_ft: f64,
    pub(super) supply_leader_ft: f64,
    pub(super) return_leader_ft: f64,
    pub(super) is_pinned: bool,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub(super) is_edge_band: bool,
    pub(super) limit_ft: f64,
    pub(super) least_radius_in: Option<f64>,
    pub(super) flow_gpm: f64,
    pub(super) head_ft: f64,
    pub(super) output_btuh: f64,
}

#[derive(Serialize)]
pub(super) struct Coil {
    pub(super) length_ft: f64,
    pub(super) cuts: Vec<String>,
    pub(super) left_ft: f64,
}

#[derive(Serialize)]
pub(super) struct Heat {
    pub(super) load_btuh: f64,
    pub(super) supply_f: f64,
    pub(super) return_f: f64,
    pub(super) up_btuh: f64,
    pub(super) down_btuh: f64,
    pub(super) edge_btuh: f64,
    pub(super) water_btuh: f64,
    pub(super) surface_mean_f: f64,
    pub(super) surface_max_f: f64,
    pub(super) surface_min_f: f64,
    pub(super) pump_gpm: f64,
    pub(super) pump_head_ft: f64,
    pub(super) fluid_gal: f64,
    pub(super) ground_iso_13370_btuh: f64,
    pub(super) ground_edge_factor_btuh: f64,
    pub(super) ground_season_btu: f64,
    pub(super) floors: Vec<HeatChoice>,
    pub(super) foams: Vec<FoamAlternative>,
}

#[derive(Serialize)]
pub(super) struct HeatChoice {
    pub(super) depth: &'static str,
    pub(super) axis_in: f64,
    pub(super) spacing_in: f64,
    pub(super) supply_f: f64,
    pub(super) en_1264_supply_f: f64,
    pub(super) down_share: f64,
    pub(super) ripple_f: f64,
    pub(super) surface_max_f: f64,
    pub(super) warm_up_h: f64,
    pub(super) time_constant_h: f64,
    pub(super) is_own: bool,
}

#[derive(Serialize)]
pub(super) struct FoamAlternative {
    pub(super) thickness_in: f64,
    pub(super) r_value: f64,
    pub(super) boards_cost: Option<f64>,
    pub(super) loss_btuh: f64,
    pub(super) season_btu: f64,
    pub(super) season_cost: Option<f64>,
    pub(super) is_own: bool,
}

#[derive(Serialize)]
pub(super) struct Joints {
    pub(super) lines: Vec<Joint>,
    pub(super) panels: Vec<Panel>,
    pub(super) max_spacing_ft: f64,
    pub(super) saw_ft: f64,
    pub(super) saw_bound_ft: f64,
    pub(super) tees: u32,
    pub(super) proposals: Vec<JointProposal>,
    pub(super) crossings: Vec<Crossing>,
}

/// Another layout to choose from.
#[derive(Serialize)]
pub(super) struct JointProposal {
    pub(super) name: String,
    pub(super) spacing_ft: f64,
    pub(super) saw_ft: f64,
    pub(super) tees: u32,
    pub(super) panels: u32,
    pub(super) worst_aspect: f64,
}

#[derive(Serialize)]
pub(super) struct Joint {
    pub(super) name: String,
    pub(super) kind: &'static str,
    pub(super) from_in: Place,
    pub(super) to_in: Place,
    pub(super) length_ft: f64,
    pub(super) saw_depth_in: f64,
}

#[derive(Serialize)]
pub(super) struct Panel {
    pub(super) outline_in: Course,
    pub(super) long_ft: f64,
    pub(super) short_ft: f64,
    pub(super) aspect: f64,
}

#[derive(Serialize)]
pub(super) struct Crossing {
    pub(super) joint: String,
    pub(super) circuit: String,
    pub(super) at_in: Place,
    pub(super) clearance_in: f64,
    pub(super) needs_sleeve: bool,
}

#[derive(Serialize)]
pub(super) struct Pour {
    pub(super) truck_lines: Vec<TruckLine>,
    pub(super) truck_interval_min: f64,
    pub(super) trucks_needed: u32,
    pub(super) placing_min: f64,
    pub(super) evaporation_lb_ft2_h: Option<f64>,
    pub(super) still_to_order_yd3: Option<f64>,
    pub(super) even_loads_yd3: Vec<f64>,
    pub(super) live_edge_min: f64,
}

#[derive(Serialize)]
pub(super) struct TruckLine {
    pub(super) truck: u32,
    pub(super) line_in: Vec<[Place; 2]>,
    pub(super) placed_yd3: f64,
}

#[derive(Serialize)]
pub(super) struct Subgrade {
    pub(super) shots: usize,
    pub(super) out_of_tolerance: usize,
    pub(super) cut_yd3: f64,
    pub(super) fill_yd3: f64,
    pub(super) extra_concrete_yd3: f64,
    pub(super) balance_raise_in: f64,
    pub(super) clear_raise_in: f64,
}

#[derive(Serialize)]
pub(super) struct Quantity {
    pub(super) key: String,
    pub(super) item: String,
    pub(super) quantity: f64,
    pub(super) unit: &'static str,
}

#[derive(Serialize)]
pub(super) struct Price {
    pub(super) lines: Vec<PriceLine>,
    pub(super) stages: Vec<Stage>,
    pub(super) cost: f64,
    pub(super) overhead: f64,
    pub(super) margin: f64,
    pub(super) tax: f64,
    pub(super) total: f64,
    pub(super) per_ft2: f64,
    pub(super) alternates: Vec<Alternate>,
}

#[derive(Serialize)]
pub(super) struct Stage {
    pub(super) stage: &'static str,
    pub(super) amount: f64,
}

#[derive(Serialize)]
pub(super) struct Alternate {
    pub(super) name: String,
    pub(super) total: f64,
    pub(super) difference: f64,
    pub(super) stages: Vec<Stage>,
    pub(super) changed: Vec<ChangedLine>,
    pub(super) unpriced: Vec<String>,
    pub(super) down_btuh: f64,
}

#[derive(Serialize)]
pub(super) struct ChangedLine {
    pub(super) item: String,
    pub(super) own: f64,
    pub(super) alternate: f64,
}

#[derive(Serialize)]
pub(super) struct PriceLine {
    pub(super) item: String,
    pub(super) quantity: f64,
    pub(super) unit: String,
    pub(super) rate: f64,
    pub(super) amount: f64,
}

#[derive(Serialize)]
pub(super) struct FoundHere {
    pub(super) level: &'static str,
    pub(super) rule: &'static str,
    pub(super) at_in: Option<Place>,
    pub(super) message: String,
    pub(super) source: &'static str,
    pub(super) remedy: String,
}
