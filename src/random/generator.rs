//! The generator: xoshiro256++ in eight interleaved lanes, seeded by SplitMix64.
//!
//! Sources: Blackman and Vigna, "Scrambled linear pseudorandom number generators", ACM Trans.
//! Math. Softw. 47 (2021) 36 (xoshiro256++); Steele, Lea and Flood, OOPSLA 2014 (SplitMix64, the
//! seeding that the authors of xoshiro recommend). Both are checked against the crate
//! `rand_xoshiro` in the tests.
//!
//! A cell of draws is (stream key, block of trials, reading). Its seed is a hash of the three; the
//! lanes take the SplitMix64 sequence of that seed, four words each. Trial `i` of a block is step
//! `i / 8` of lane `i % 8`. No cell depends on another one, so cells can be made in any order, on
//! any thread, or not at all. Lanes are separate arrays of plain additions, shifts and rotations:
//! the compiler turns them into vector code on whatever width the target has, with the same bits.

use super::column::BLOCK;

/// Number of interleaved generators; decides the bits.
pub const LANES: usize = 8;

const GOLDEN: u64 = 0x9E37_79B9_7F4A_7C15;

/// The output function of SplitMix64: a bijective scrambler of 64 bits.
#[inline]
pub const fn scramble(mut z: u64) -> u64 {
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}

/// Folds one more word into a hash.
#[inline]
pub const fn fold(hash: u64, word: u64) -> u64 {
    scramble(
        hash.rotate_left(25)
            .wrapping_add(GOLDEN)
            .wrapping_add(scramble(word)),
    )
}

/// The seed of one cell of draws.
#[inline]
pub const fn cell_seed(key: u64, block: u64, reading: u64) -> u64 {
    fold(fold(key, block), reading)
}

/// Fills a column with what `convert` makes of the 64-bit words of the cell with this seed.
#[inline(always)]
fn fill<T>(seed: u64, out: &mut [T; BLOCK], convert: impl Fn(u64) -> T) {
    let mut state = [[0u64; LANES]; 4];
    let mut z = seed;
    for lane in 0..LANES {
        for word in &mut state {
            z = z.wrapping_add(GOLDEN);
            word[lane] = scramble(z);
        }
    }
    let [s0, s1, s2, s3] = &mut state;
    for step in out.chunks_exact_mut(LANES) {
        for i in 0..LANES {
            let word = s0[i]
                .wrapping_add(s3[i])
                .rotate_left(23)
                .wrapping_add(s0[i]);
            step[i] = convert(word);
            let t = s1[i] << 17;
            s2[i] ^= s0[i];
            s3[i] ^= s1[i];
            s1[i] ^= s2[i];
            s0[i] ^= s3[i];
            s2[i] ^= t;
            s3[i] = s3[i].rotate_left(45);
        }
    }
}

/// Fills a column with raw 64-bit words of the cell with this seed.
#[inline]
pub fn words(seed: u64, out: &mut [u64; BLOCK]) {
    fill(seed, out, |word| word);
}

/// A 64-bit word as a number in the open interval (0, 1): the midpoints of 2^52 equal cells, so
/// that neither end is ever reached and u and 1 - u are equally likely.
#[inline]
pub fn unit_interval(word: u64) -> f64 {
    const HALF_STEP_BELOW_ONE: f64 = 1.0 - f64::EPSILON / 2.0;
    f64::from_bits(0x3FF0_0000_0000_0000 | (word >> 12)) - HALF_STEP_BELOW_ONE
}

/// Fills a column with uniform numbers of the cell with this seed.
#[inline]
pub fn uniforms(seed: u64, out: &mut [f64; BLOCK]) {
    fill(seed, out, unit_interval);
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand_xoshiro::rand_core::{Rng, SeedableRng};
    use rand_xoshiro::{SplitMix64, Xoshiro256PlusPlus};

    #[test]
    fn every_lane_is_the_reference_generator_seeded_by_the_reference_seeder() {
        for seed in [0, 1, 0xDEAD_BEEF_0BAD_CAFE] {
            let mut ours = [0u64; BLOCK];
            words(seed, &mut ours);
            let mut seeder = SplitMix64::from_seed(seed.to_le_bytes());
            for lane in 0..LANES {
                let mut bytes = [0u8; 32];
                for part in bytes.chunks_exact_mut(8) {
                    part.copy_from_slice(&seeder.next_u64().to_le_bytes());
                }
                let mut reference = Xoshiro256PlusPlus::from_seed(bytes);
                for step in 0..BLOCK / LANES {
                    assert_eq!(ours[step * LANES + lane], reference.next_u64());
                }
            }
        }
    }

    #[test]
    fn the_interval_is_open_and_symmetric() {
        let (low, high) = (unit_interval(0), unit_interval(u64::MAX));
        assert!(low > 0.0 && high < 1.0);
        assert_eq!(low, 1.0 - high);
        assert_eq!(unit_interval(0x8000_0000_0000_0000) - 0.5, low);
    }

    #[test]
    fn first_words_are_pinned() {
        // Changing any of these changes every published number: see CHANGELOG, "values that change".
        let mut w = [0u64; BLOCK];
        words(cell_seed(1, 0, 0), &mut w);
        assert_eq!(w[..3], PINNED);
    }
    const PINNED: [u64; 3] = [
        16_049_395_998_331_703_429,
        1_553_916_752_918_739_514,
        14_248_729_806_937_685_452,
    ];
}
