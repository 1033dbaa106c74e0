//! Core against values, peers and random shapes from outside the project.
#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "tests stand outside the core: they may use the platform's floats and read a case count"
)]

mod board_cutting;
mod concrete;
mod contract;
mod cutting;
mod edge_band;
mod exchange;
mod floor_map;
mod foam;
mod forms_and_steel;
mod furnished_sheets;
mod fuzz_twins;
mod heating;
mod heating_tables;
mod hydraulics;
mod independent;
mod job_file;
mod joint_wishes;
mod joints;
mod plan;
mod pour;
mod pour_day;
mod section;
mod settled_heat;
mod shapes;
mod sheet_figures;
mod sheets;
mod tube;
mod tube_jobs;
mod tube_patterns;
mod validity;
mod walls;
