//! Forecasts what a solution-calorimetry procedure will deliver.
