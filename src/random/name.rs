//! The identity of a stream of draws, and the generator of each of its cells.

use rand::SeedableRng;
use rand::rngs::Xoshiro256PlusPlus;

/// A stable 64-bit hash of a text (FNV-1a, then scrambled): the name of a source or of a leg.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Tag(u64);

impl Tag {
    /// The tag of a text. The same text gives the same tag for ever: it decides the bits.
    pub const fn of(text: &str) -> Self {
        let bytes = text.as_bytes();
        let mut hash = 0xCBF2_9CE4_8422_2325u64;
        let mut i = 0;
        while i < bytes.len() {
            hash = (hash ^ bytes[i] as u64).wrapping_mul(0x0000_0100_0000_01B3);
            i += 1;
        }
        Self(scramble(hash))
    }
}

/// Who asks for draws: which error source, in which leg (or of which instrument), in which run, at
/// which attempt of that run. Group-wide errors have run 0 and attempt 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Name {
    /// The error source.
    pub source: Tag,
    /// The leg, instrument or substance that the error belongs to; the empty text if all share it.
    pub leg: Tag,
    /// Replicate number, counted from 0.
    pub run: u32,
    /// Repeat of that run, counted from 0.
    pub attempt: u32,
}

impl Name {
    /// A draw that one trial makes once.
    pub const fn once(source: Tag, leg: Tag) -> Self {
        Self::run(source, leg, 0, 0)
    }

    /// A draw of one run.
    pub const fn run(source: Tag, leg: Tag, run: u32, attempt: u32) -> Self {
        Self {
            source,
            leg,
            run,
            attempt,
        }
    }

    /// The stream key: `hash(seed, source, leg, run, attempt)`.
    pub const fn key(self, seed: u64) -> u64 {
        let hash = fold(fold(scramble(seed), self.source.0), self.leg.0);
        fold(hash, ((self.run as u64) << 32) | self.attempt as u64)
    }
}

/// The generator of one cell of draws: (stream key, block of trials, reading). No cell depends on another
/// one, so cells can be made in any order, on any thread, or not at all, and a sampler may use as many
/// words as it likes without moving anyone else's draws.
#[derive(Debug, Clone)]
pub struct Cell(pub(super) Xoshiro256PlusPlus);

impl Cell {
    /// xoshiro256++ (Blackman and Vigna, ACM Trans. Math. Softw. 47 (2021) 36), seeded by a hash of the three.
    #[inline]
    pub fn new(key: u64, block: u64, reading: u32) -> Self {
        let seed = fold(fold(key, block), u64::from(reading));
        Self(Xoshiro256PlusPlus::seed_from_u64(seed))
    }
}

/// The output function of SplitMix64, a bijective scrambler of 64 bits (Steele, Lea and Flood, OOPSLA 2014).
#[inline]
const fn scramble(mut z: u64) -> u64 {
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}

/// Folds one more word into a hash.
#[inline]
pub(super) const fn fold(hash: u64, word: u64) -> u64 {
    scramble(
        hash.rotate_left(25)
            .wrapping_add(0x9E37_79B9_7F4A_7C15)
            .wrapping_add(scramble(word)),
    )
}
