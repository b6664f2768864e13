//! Checks of the sampler, the engine and the statistics from outside: what another program that
//! used the crate would see. They answer three different questions: did the numbers change
//! (pinned values), are they wrong (independent references), do they bite (spoiled inputs).

mod budget;
mod catalogue;
mod design;
mod judge;
mod multivariate;
mod pins;
mod printed_errors;
mod published;
mod ranking;
mod samplers;
mod special;
mod streams;
mod tails;
mod treatments;
