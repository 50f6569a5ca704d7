//! From bytes to letters: the encodings in which spreadsheets save texts.
//!
//! Not here: what stands in the text ([`super::sheet`]).

use encoding_rs::{Encoding, UTF_8, UTF_16BE, UTF_16LE, WINDOWS_1252};

use crate::usecase::Trouble;

/// The text, and how it was read.
pub fn text_of(bytes: &[u8]) -> Result<(String, String), Trouble> {
    if let Some((encoding, mark)) = Encoding::for_bom(bytes) {
        return decoded(
            encoding,
            bytes.get(mark..).unwrap_or_default(),
            "by its mark",
        );
    }
    if let Some(encoding) = wide(bytes) {
        return decoded(encoding, bytes, "by its zero bytes");
    }
    if let Ok(text) = std::str::from_utf8(bytes) {
        return Ok((text.to_owned(), "UTF-8".to_owned()));
    }
    if bytes.contains(&0) {
        return Err(Trouble::new(
            "it is neither a text nor a spreadsheet",
            "save the list from the spreadsheet as .csv, .xlsx or .ods",
        ));
    }
    decoded(WINDOWS_1252, bytes, "it is not UTF-8")
}

fn decoded(
    encoding: &'static Encoding,
    bytes: &[u8],
    why: &str,
) -> Result<(String, String), Trouble> {
    let (text, damaged) = encoding.decode_without_bom_handling(bytes);
    if damaged {
        let what = format!("it holds letters that are not {}", encoding.name());
        return Err(Trouble::new(what, "save it again as UTF-8"));
    }
    let how = match encoding == UTF_8 {
        true => "UTF-8 with a mark".to_owned(),
        false => format!("{} ({why})", encoding.name()),
    };
    Ok((text.into_owned(), how))
}

/// UTF-16 without its mark: every second byte of a plain text is zero.
fn wide(bytes: &[u8]) -> Option<&'static Encoding> {
    let head = bytes.get(..bytes.len().min(4096)).unwrap_or_default();
    let half = head.len() / 2;
    let zeros = |from: usize| {
        head.iter()
            .skip(from)
            .step_by(2)
            .filter(|b| **b == 0)
            .count()
    };
    let (even, odd) = (zeros(0), zeros(1));
    match half {
        0..4 => None,
        _ if odd * 10 > half * 7 && even == 0 => Some(UTF_16LE),
        _ if even * 10 > half * 7 && odd == 0 => Some(UTF_16BE),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Code points of the Unicode standard; Windows-1252 as tabulated by the WHATWG Encoding
    /// Standard: 0xFC is ü, 0xB0 is °, 0x96 an en dash.
    #[test]
    fn every_way_spreadsheets_save_texts_is_read() {
        let text = "Prüfung;° –";
        let wide: Vec<u8> = text.encode_utf16().flat_map(u16::to_le_bytes).collect();
        let marked = [&b"\xff\xfe"[..], &wide].concat();
        let big: Vec<u8> = "\u{feff}Prüfung;° –"
            .encode_utf16()
            .flat_map(u16::to_be_bytes)
            .collect();
        for (bytes, how) in [
            (text.as_bytes().to_vec(), "UTF-8"),
            (
                [b"\xef\xbb\xbf", text.as_bytes()].concat(),
                "UTF-8 with a mark",
            ),
            (marked, "UTF-16LE (by its mark)"),
            (big, "UTF-16BE (by its mark)"),
            (
                b"Pr\xfcfung;\xb0 \x96".to_vec(),
                "windows-1252 (it is not UTF-8)",
            ),
        ] {
            assert_eq!(text_of(&bytes).unwrap(), (text.to_owned(), how.to_owned()));
        }
        let plain: Vec<u8> = "Cylinder;Owner"
            .encode_utf16()
            .flat_map(u16::to_le_bytes)
            .collect();
        assert_eq!(text_of(&plain).unwrap().0, "Cylinder;Owner");
    }

    #[test]
    fn no_text_is_told() {
        assert!(
            text_of(b"\x7fELF\0\xff\0\x01")
                .unwrap_err()
                .what
                .contains("neither")
        );
    }
}
