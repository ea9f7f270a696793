//! The type faces of the paper, which the page is set in too.

/// A face and its media type (RFC 8081), by the name of its file. The crate of the prose face lists its fonts without
/// naming them; each is asked for by a fixed number, as the library does, so that only those are in the program.
pub fn of(name: &str) -> Option<(&'static str, &'static [u8])> {
    let listed = typst_assets::fonts;
    let otf = |face| Some(("font/otf", face));
    match name {
        "serif.otf" => listed().next().and_then(otf),
        "serif-italic.otf" => listed().nth(2).and_then(otf),
        "serif-semibold.otf" => listed().nth(4).and_then(otf),
        "signs.ttf" => {
            Some(("font/ttf", include_bytes!("../../../templates/fonts/FretleafSigns.ttf")))
        }
        _ => None,
    }
}
