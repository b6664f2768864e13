//! The finished picture and the ways in which making one can fail.

use std::sync::{Arc, LazyLock};

use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree, fontdb};

use super::style::PNG_SCALE;

/// Why a picture could not be made.
#[derive(Debug, thiserror::Error)]
pub enum ChartError {
    /// Not a single number that could be drawn was given.
    #[error("nothing to draw: no finite value was given")]
    NoData,
    /// The drawing library refused to write.
    #[error("drawing failed: {0}")]
    Draw(String),
    /// The finished SVG could not be turned into pixels.
    #[error("cannot turn the picture into pixels: {0}")]
    Raster(String),
}

/// A finished picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// The picture as a complete SVG document; the same input gives the same bytes.
    pub svg: String,
}

/// Only the bundled fonts are known to the rasteriser, so that a PNG looks alike on a machine
/// without any fonts installed.
static FONTS: LazyLock<Arc<fontdb::Database>> = LazyLock::new(|| {
    let mut fonts = fontdb::Database::new();
    fonts.load_font_data(dejavu::sans::regular().to_vec());
    fonts.load_font_data(dejavu::sans::bold().to_vec());
    fonts.set_sans_serif_family("DejaVu Sans");
    Arc::new(fonts)
});

impl Picture {
    /// The picture as PNG bytes, at twice its nominal size so that it stays crisp on paper.
    ///
    /// # Errors
    ///
    /// [`ChartError::Raster`] when the SVG cannot be read or the pixels cannot be encoded; this
    /// does not happen to a picture that a chart of this module has made.
    pub fn png(&self) -> Result<Vec<u8>, ChartError> {
        raster(&self.tree()?, PNG_SCALE)
    }

    /// The same in small, so many pixels wide.
    ///
    /// # Errors
    ///
    /// As for [`Picture::png`].
    pub fn thumbnail(&self, width: u16) -> Result<Vec<u8>, ChartError> {
        let tree = self.tree()?;
        raster(&tree, f32::from(width) / tree.size().width())
    }

    /// The parsed form from which pixels are made.
    pub(super) fn tree(&self) -> Result<Tree, ChartError> {
        let options = Options {
            fontdb: Arc::clone(&FONTS),
            ..Options::default()
        };
        Tree::from_str(&self.svg, &options).map_err(|why| ChartError::Raster(why.to_string()))
    }
}

/// Pixels of a picture, so many for each nominal one, as PNG bytes.
fn raster(tree: &Tree, scale: f32) -> Result<Vec<u8>, ChartError> {
    let failed = |why: &dyn std::fmt::Display| ChartError::Raster(why.to_string());
    let size = tree.size().to_int_size().scale_by(scale);
    let size = size.ok_or_else(|| failed(&"the picture has no area"))?;
    let mut pixels = Pixmap::new(size.width(), size.height())
        .ok_or_else(|| failed(&"the picture is too large"))?;
    resvg::render(
        tree,
        Transform::from_scale(scale, scale),
        &mut pixels.as_mut(),
    );
    pixels.encode_png().map_err(|why| failed(&why))
}
