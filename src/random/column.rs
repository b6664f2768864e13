//! A column: one value for each trial of a block.

use std::array;
use std::ops::{Index, IndexMut};

/// Trials in a block. Decides the bits: the block is the counter of a stream.
pub const BLOCK: usize = 256;

/// One value of type `T` for each trial of a block.
#[derive(Debug, Clone, PartialEq)]
pub struct Column<T>(pub [T; BLOCK]);

impl<T: Copy> Column<T> {
    /// The same value in every trial.
    pub fn splat(value: T) -> Self {
        Self([value; BLOCK])
    }

    /// The value of each trial by its position in the block.
    #[inline]
    pub fn from_fn(f: impl FnMut(usize) -> T) -> Self {
        Self(array::from_fn(f))
    }
}

impl<T> Index<usize> for Column<T> {
    type Output = T;
    #[inline]
    fn index(&self, i: usize) -> &T {
        &self.0[i]
    }
}

impl<T> IndexMut<usize> for Column<T> {
    #[inline]
    fn index_mut(&mut self, i: usize) -> &mut T {
        &mut self.0[i]
    }
}
