//! Small controls that panels share: fields that read what people write, rows of figures.

mod drawing;
mod fields;
mod rows;

pub use drawing::drawing;
pub use fields::{
    Choice, choice_field, forget_refusal, length_field, number_field, refuse, text_field,
    toggle_field,
};
pub use rows::{
    IconLook, chip, finding_row, icon_button, kept_heading, note, quantity_row, section, wrapped,
};
