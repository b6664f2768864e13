//! From bytes to text: the encodings in which spreadsheets and loggers write.

use super::problem::Problems;
use super::sheet::END;
use encoding_rs::{Encoding, UTF_8, UTF_16BE, UTF_16LE, WINDOWS_1252};

/// The text of a file with `\n` at the end of each line, and what was assumed about its encoding.
pub(super) fn decoded(
    bytes: &[u8],
    most: usize,
    problems: &mut Problems,
) -> Option<(String, Option<String>)> {
    if bytes.len() > most {
        let message = format!(
            "{:.1} MB, and at most {} MB are read",
            bytes.len() as f64 / 1e6,
            most / 1_000_000
        );
        problems.add(
            "size",
            None,
            None,
            message,
            "split it, or leave out what is not needed",
        );
        return None;
    }
    if bytes.starts_with(b"PK\x03\x04") || bytes.starts_with(b"\xd0\xcf\x11\xe0") {
        let message = "a workbook in the spreadsheet's own format, not text";
        problems.add("workbook", None, None, message, "save the sheet as CSV");
        return None;
    }
    let (encoding, note) = encoding(bytes);
    // Takes off a byte order mark.
    let (text, _, wrong) = encoding.decode(bytes);
    if wrong || text.contains(['\0', END]) {
        let message = format!("not text: some of it cannot be read as {}", encoding.name());
        problems.add("encoding", None, None, message, "save it as CSV in UTF-8");
        return None;
    }
    let text = if text.contains('\r') {
        text.replace("\r\n", "\n").replace('\r', "\n")
    } else {
        text.into_owned()
    };
    Some((text, note))
}

/// By its byte order mark; else UTF-16 if every other byte is 0, as it is of ASCII; else UTF-8, or Windows-1252 where it
/// is no UTF-8.
fn encoding(bytes: &[u8]) -> (&'static Encoding, Option<String>) {
    let said = |e: &'static Encoding| (e, Some(format!("read as {}", e.name())));
    if let Some((marked, _)) = Encoding::for_bom(bytes) {
        return if marked == UTF_8 {
            (marked, None)
        } else {
            said(marked)
        };
    }
    let head = &bytes[..bytes.len().min(1000) & !1];
    let zeros = |at: usize| head.iter().skip(at).step_by(2).filter(|b| **b == 0).count();
    let (even, odd) = (zeros(0), zeros(1));
    match (even, odd) {
        (0, n) if 4 * n > head.len() => said(UTF_16LE),
        (n, 0) if 4 * n > head.len() => said(UTF_16BE),
        _ if std::str::from_utf8(bytes).is_ok() => (UTF_8, None),
        _ => {
            let note = "not UTF-8: read as Windows-1252".to_owned();
            (WINDOWS_1252, Some(note))
        }
    }
}
