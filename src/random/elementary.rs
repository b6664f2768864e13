//! Elementary functions from one portable implementation.
//!
//! The functions of the standard library call whatever the platform's C library holds, and two
//! libraries differ in the last bit. What the chain itself needs comes from the crate `libm` instead (the
//! FreeBSD/musl routines): plain IEEE operations in a fixed order, no fused multiply-add. Square root,
//! absolute value, floor and rounding are exact by IEEE 754 and may be used from the standard library.

pub use libm::{erfc, exp, expm1 as exp_m1, log as ln, log10, pow};
