//! Forecasts what a solution-calorimetry procedure will deliver.
pub mod quantity;
pub mod random;
