//! The sheets: one drawing, many outputs.
