//! Core against values, peers and random shapes from outside the project.

mod cutting;
mod heating;
mod hydraulics;
mod validity;
