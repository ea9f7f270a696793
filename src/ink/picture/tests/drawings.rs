//! SVGs within pages.

use super::*;

#[test]
fn an_svg_is_drawn_on_white_at_300_dots_an_inch() {
    let svg = br#"<svg xmlns="http://www.w3.org/2000/svg" width="96" height="48"><rect width="48" height="48"/></svg>"#;
    let picture = on_page(svg);
    assert_eq!((picture.columns, picture.rows), (300, 150));
    assert_eq!((picture.width, picture.height), (pt(72.0), pt(36.0)));
    let dots = picture.data.bytes();
    assert_eq!((dots.first(), dots.last()), (Some(&0), Some(&255)));
}

#[test]
fn an_svg_sees_no_other_file_and_says_so() {
    let here = env!("CARGO_MANIFEST_DIR");
    for name in
        [&format!("{here}/Cargo.toml"), "a.png", "file:///etc/hosts", "https://example.org/a.png"]
    {
        let image = svg(&format!(r#"<image width="9" height="9" href="{name}"/>"#));
        assert_eq!(trouble(&image), PictureError::OtherFile, "{name}");
    }
    assert_eq!(trouble(&svg(r#"<use href="other.svg#a"/>"#)), PictureError::OtherFile);
}

#[test]
fn pictures_within_an_svg_are_drawn_or_told() {
    use png_library::{BitDepth, ColorType as Kind};
    let image = |bytes: &[u8], kind: &str| {
        let data = crate::ink::svg::base64(bytes);
        svg(&format!(r#"<image width="96" height="96" href="data:image/{kind};base64,{data}"/>"#))
    };
    let red = png_of((2, 2), RGB, |_| {}, &[255, 0, 0].repeat(4));
    assert_eq!(corners(&read_one(&image(&red, "png")).unwrap().sheet), [RED; 4]);
    let turned = four_squares(|encoder| encoder.add_exif_metadata(&exif_data(6)).unwrap());
    let seen = read_one(&image(&turned, "jpeg")).unwrap().sheet;
    assert_eq!(corners(&seen), [BLUE, RED, WHITE, GREEN]);
    for (bytes, kind) in [
        (&red[..red.len() - 20], "png"),
        (&turned[..turned.len() - 20], "jpeg"),
        (b"GIF89a\x01\0\x01\0\0\0\0;", "gif"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "svg+xml"),
        (b"", "png"),
    ] {
        assert_eq!(trouble(&image(bytes, kind)), PictureError::Within, "{kind}");
    }
    let large = png_of((2000, 2000), (Kind::Grayscale, BitDepth::One), |_| {}, &[0; 250 * 2000]);
    let again = String::from_utf8(image(&large, "png")).unwrap();
    let [head, inner] =
        [&again[..again.find("<image").unwrap()], &again[again.find("<image").unwrap()..]];
    let many = format!("{head}{}</svg>", inner.trim_end_matches("</svg>").repeat(40));
    assert_eq!(trouble(many.as_bytes()), PictureError::Work);
}

#[test]
fn shapes_that_reach_too_far_are_told_and_panic_nowhere() {
    for path in [
        "M0 0L1e10 1e10L0 1e10Z",
        "M-1e10 -1e10L1e10 1e10 1e10 0Z",
        "M0 0C1e10 0 1e10 1e10 -1e10 1e10",
        "M1e10 1e10h5v5z",
        "M0 0L1e38 1e38",
    ] {
        for stroke in ["", "stroke='red' stroke-width='1e9'", "stroke='red' opacity='.5'"] {
            let far = svg(&format!(r#"<path d="{path}" {stroke}/>"#));
            assert_eq!(trouble(&far), PictureError::Far, "{path} {stroke}");
        }
    }
    let near = svg(
        r##"<path d="M-30000 -30000L30000 30000 30000 0Z" stroke="#000" stroke-width="1000"/>"##,
    );
    assert!(read_one(&near).is_ok());
}

#[test]
fn an_svg_that_nests_too_deep_is_told() {
    let deep =
        |levels: usize| svg(&format!("{}<rect/>{}", "<g>".repeat(levels), "</g>".repeat(levels)));
    assert!(read_one(&deep(DEEPEST_SVG - 5)).is_ok());
    assert_eq!(trouble(&deep(2000)), PictureError::Deep);
    assert_eq!(trouble(&deep(200_000)), PictureError::Deep);
    assert_eq!(trouble(&svg(r##"<g id="a"><use href="#a"/></g>"##)), PictureError::Deep);
}

#[test]
fn an_svg_that_asks_for_too_much_is_told() {
    let rect = r#"<rect width="96" height="96" opacity=".5"/>"#;
    let uses = (1..9).map(|level| {
        let inner = format!(r##"<use href="#a{}"/>"##, level - 1).repeat(10);
        format!(r#"<g id="a{level}">{inner}</g>"#)
    });
    let patterns = (1..9).map(|level| {
        let inner = format!(r#"<rect width="9" height="9" fill="url(#p{})"/>"#, level - 1);
        let frame = r#"width="9" height="9" patternUnits="userSpaceOnUse""#;
        format!(r#"<pattern id="p{level}" {frame}>{}</pattern>"#, inner.repeat(10))
    });
    let masks = (1..80).map(|level| {
        let before = level - 1;
        format!(r##"<mask id="m{level}" mask="url(#m{before})"><rect width="96" height="96" fill="#fff"/></mask>"##)
    });
    let clips = (1..80).map(|level| {
        let before = level - 1;
        format!(r##"<clipPath id="m{level}" clip-path="url(#m{before})"><rect width="2000" height="2000"/></clipPath>"##)
    });
    let shapes = r#"<rect width="9" height="9"/>"#.repeat(1000);
    let corners = format!(r#"<path d="M0 0{}"/>"#, "L9 9".repeat(1000));
    let marker = format!(r#"<marker id="m" markerWidth="9" markerHeight="9">{shapes}</marker>"#);
    let dashed = r##"<path stroke="#000" stroke-dasharray="0.0001" d="M0 0L96 96"/>"##;
    let blurs = format!(
        r#"<filter id="f">{}</filter>"#,
        "<feGaussianBlur stdDeviation='50'/>".repeat(1000)
    );
    let stop = |at: u32| format!(r#"<stop offset="{}"/>"#, f64::from(at) / 5000.0);
    let stops: String = (0..5000).map(stop).collect();
    for (name, inner) in [
        ("many shapes", rect.repeat(20_000)),
        ("uses of uses", format!("<g id='a0'>{rect}</g>{}<use href='#a8'/>", uses.collect::<String>())),
        ("patterns of patterns", format!(
            "<g id='p0'/>{}<rect width='96' height='96' fill='url(#p8)'/>", patterns.collect::<String>()
        )),
        ("masks of masks", format!("<mask id='m0'><rect width='96' height='96' fill='#fff'/></mask>{}<rect width='2000' height='2000' mask='url(#m79)'/>", masks.collect::<String>())),
        ("clips of clips", format!("<clipPath id='m0'><rect width='2000' height='2000'/></clipPath>{}<rect width='2000' height='2000' clip-path='url(#m79)'/>", clips.collect::<String>())),
        ("a marker at each corner", format!("{marker}<g marker-mid='url(#m)'>{corners}</g>")),
        ("markers by a style", format!("<style>path {{ marker: url(#m) }}</style>{marker}{corners}")),
        ("fine dashes", dashed.repeat(20)),
        ("dashes of letters' sizes", dashed.replace("0.0001", "0.001em")),
        ("many effects", format!("{blurs}<rect width='96' height='96' filter='url(#f)'/>")),
        ("layers in layers", format!("{}{rect}{}", "<g opacity='.9'><rect width='9999' height='9999'/>".repeat(90), "</g>".repeat(90))),
        ("a huge pattern", "<pattern id='p' width='90000' height='90000' patternUnits='userSpaceOnUse'><rect width='9' height='9'/></pattern><rect width='96' height='96' fill='url(#p)'/>".into()),
        ("many rules", format!("<style>{}</style>{}", "g g g rect{fill:red}".repeat(20_000), "<rect/>".repeat(2000))),
        ("many stops", format!("<linearGradient id='g'>{stops}</linearGradient>{}", "<rect width='96' height='96' fill='url(#g)'/>".repeat(10))),
    ] {
        let bytes = svg(&inner);
        let told = read_one(&bytes).err();
        assert_eq!(told, Some(PictureError::Work), "{name}");
    }
    assert_eq!(trouble(&svg(&" ".repeat(MOST_SVG_BYTES))), PictureError::Long);
}

#[test]
fn what_drawings_have_is_drawn() {
    let inner = r##"<style>.ink{fill:#f00}</style>
        <defs>
            <linearGradient id="g"><stop offset="0" stop-color="#f00"/><stop offset="1" stop-color="#f00"/></linearGradient>
            <pattern id="p" width="8" height="8" patternUnits="userSpaceOnUse"><rect width="8" height="8" fill="#f00"/></pattern>
            <clipPath id="c"><rect width="96" height="96"/></clipPath>
            <mask id="m"><rect width="96" height="96" fill="#fff"/></mask>
            <filter id="f" x="0" y="0" width="1" height="1"><feOffset/></filter>
            <marker id="k" markerWidth="4" markerHeight="4"><path d="M0 0h4v4z" fill="#f00"/></marker>
            <symbol id="s" viewBox="0 0 9 9"><rect class="ink" width="9" height="9"/></symbol>
        </defs>"##;
    for shape in [
        r#"<rect class="ink" width="96" height="96"/>"#,
        r#"<rect fill="url(#g)" width="96" height="96"/>"#,
        r#"<rect fill="url(#p)" width="96" height="96"/>"#,
        r##"<g clip-path="url(#c)" mask="url(#m)"><rect fill="#f00" width="96" height="96"/></g>"##,
        r##"<rect fill="#f00" filter="url(#f)" width="96" height="96"/>"##,
        r##"<path fill="none" stroke="#f00" stroke-width="96" marker-end="url(#k)" d="M0 48H90 96"/>"##,
        r##"<use href="#s" width="96" height="96"/>"##,
        r##"<path stroke="#f00" stroke-width="192" stroke-dasharray="50 0" d="M0 0H96"/>"##,
    ] {
        let sheet = read_one(&svg(&format!("{inner}{shape}"))).unwrap().sheet;
        assert_eq!(corners(&sheet), [RED; 4], "{shape}");
    }
}

#[test]
fn effects_whose_work_does_not_follow_their_size_are_told() {
    for effect in [
        "feTurbulence",
        "feMorphology",
        "feConvolveMatrix",
        "feDiffuseLighting",
        "feImage",
        "feDisplacementMap",
    ] {
        let inner = format!(
            "<filter id='f'><{effect} numOctaves='1000000' radius='9999'/></filter><rect width='9' height='9' filter='url(#f)'/>"
        );
        assert_eq!(trouble(&svg(&inner)), PictureError::Effect(effect.to_owned()));
    }
}

#[test]
fn the_pictures_of_a_lesson_share_a_budget() {
    let square = svg(r#"<rect width="9" height="9"/>"#);
    let mut budget = Budget { dots: 200_000, bytes: 1000 };
    assert!(read(&square, &mut budget).is_ok());
    assert!(budget.dots < 200_000 && budget.bytes == 1000 - square.len() as u64);
    assert!(read(&square, &mut budget).is_ok());
    assert_eq!(read(&square, &mut budget), Err(PictureError::Together), "by its dots");
    let mut budget = Budget { bytes: 50, ..Budget::default() };
    assert_eq!(read(&square, &mut budget), Err(PictureError::Together), "by its bytes");
}

#[test]
fn hundreds_of_references_embed_a_picture_once() {
    use crate::ink::{Document, Drawing, Fonts, Group, Item, Label, Page, Point};
    let noise: Vec<u8> = (0..64_u32 * 64 * 3).map(|at| ((at * at) >> 5) as u8).collect();
    let png = on_page(&png_of((64, 64), RGB, |_| {}, &noise));
    let jpeg = on_page(&jpeg_of(64, 64, &noise, ColorType::Rgb, |_| {}));
    for picture in [png, jpeg] {
        let document = |times: usize| {
            let mut drawing = Drawing::new(pt(400.0), pt(400.0));
            // Read anew each time, so that only what they hold is the same.
            let again = |at: usize| Picture {
                data: match &picture.data {
                    PictureData::Dots(dots) => PictureData::Dots(dots.to_vec().into()),
                    PictureData::Jpeg { bytes, grey } => {
                        PictureData::Jpeg { bytes: bytes.to_vec().into(), grey: *grey }
                    }
                },
                width: pt(10.0 + at as f32),
                ..picture.clone()
            };
            let items = (0..times).map(|at| Item::Picture(Point::default(), again(at % 7)));
            let label = Label::Artifact;
            drawing.items.push(Item::Group(Group {
                label,
                items: items.collect(),
                ..Group::default()
            }));
            Document { pages: vec![Page { drawing, ..Page::default() }], ..Document::default() }
        };
        let fonts = Fonts::new();
        let images = |times: usize| {
            let pdf = crate::ink::pdf::paint(&document(times), &fonts).unwrap();
            let pdf = lopdf::Document::load_mem(&pdf).unwrap();
            let is_image = |object: &lopdf::Object| {
                let stream = object.as_stream().ok();
                stream.is_some_and(|stream| stream.dict.has_type(b"XObject"))
            };
            pdf.objects.values().filter(|object| is_image(object)).count()
        };
        assert_eq!((images(1), images(1000)), (1, 1));
        let svg = |times: usize| crate::ink::svg::page(&document(times), 0, &fonts);
        assert_eq!(svg(1000).matches("data:image/").count(), 1);
        let painted =
            crate::ink::png::paint(&svg(1), 144.0, crate::ink::png::Ground::White).unwrap();
        let map = Pixmap::decode_png(&painted).unwrap();
        let middle = map.pixel(10, 40).unwrap();
        assert!([middle.red(), middle.green(), middle.blue()] != [255; 3], "the picture is drawn");
    }
}
