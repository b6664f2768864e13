//! Forecasts what a solution-calorimetry procedure will deliver.
pub mod engine;
pub mod quantity;
pub mod random;
pub mod stats;
