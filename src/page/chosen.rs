//! The template that a lesson chooses in its header.

use super::template::{Template, TemplateError, built_in_names};
use crate::findings::nearest::nearest;
use crate::findings::rules::header_value;
use crate::findings::source::Spanned;
use crate::findings::{Finding, Ground};
use crate::lesson::Lesson;
use crate::lesson::folder::{Folder, Refusal};

/// The lesson's template, from its own folder where it isn't built in.
///
/// # Errors
///
/// The finding at the header's value where there is no such template, or where it can't be used.
pub fn template(lesson: &Lesson<'_>, folder: &dyn Folder) -> Result<Template, Box<Finding>> {
    match &lesson.header.template {
        None => Template::load("handout", |_| None).map_err(|error| unusable(&error, None).into()),
        Some(named) if Template::is_built_in(&named.value) => {
            Template::load(&named.value, |_| None)
                .map_err(|error| unusable(&error, Some(named)).into())
        }
        Some(named) => own(named, folder),
    }
}

fn own(named: &Spanned<String>, folder: &dyn Folder) -> Result<Template, Box<Finding>> {
    let bytes = folder.read(&named.value).map_err(|refusal| refused(named, refusal))?;
    if bytes.len() > Template::LARGEST {
        let (size, most) = (bytes.len(), Template::LARGEST);
        let why = format!("has {size} bytes; one has at most {most}");
        return Err(at(named, &why).into());
    }
    let text = String::from_utf8(bytes).map_err(|_| at(named, "is not UTF-8"))?;
    Template::parse(&text).map_err(|error| unusable(&error, Some(named)).into())
}

fn at(named: &Spanned<String>, why: &str) -> Finding {
    header_value::template(named.span, &named.value, why)
}

fn refused(named: &Spanned<String>, refusal: Refusal) -> Finding {
    let names: Vec<String> = built_in_names().map(|name| format!("`{name}`")).collect();
    let note = format!(
        "the built-in templates are {}; any other is a file in the lesson's folder",
        names.join(", ")
    );
    let finding = at(named, &refusal.to_string()).note(note);
    match nearest(&named.value, built_in_names(), 2) {
        Some(near) => finding.fix(format!("`{near}`"), named.span, near, Ground::Choice),
        None => finding,
    }
}

fn unusable(error: &TemplateError, named: Option<&Spanned<String>>) -> Finding {
    match named {
        Some(named) => at(named, &format!("can't be used: {error}")),
        None => header_value::asked_template(error.to_string()),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::lesson::folder::MemoryFolder;

    #[test]
    fn a_template_that_cannot_be_used_is_told_at_its_name() {
        let folder = MemoryFolder::default()
            .with("good.toml", "based-on = \"handout\"\n")
            .with("bad.toml", "based-on = \"handout\"\n[body]\nsize = 1.0\n")
            .with("binary.toml", *b"\xFF\xFE")
            .with("large.toml", vec![b'#'; (1 << 20) + 1]);
        for (name, message) in [
            ("chart", None),
            ("good.toml", None),
            ("handuot", Some("the template `handuot` is missing")),
            ("../good.toml", Some("the template `../good.toml` is outside the lesson's folder")),
            ("binary.toml", Some("the template `binary.toml` is not UTF-8")),
            (
                "large.toml",
                Some("the template `large.toml` has 1048577 bytes; one has at most 1048576"),
            ),
            ("bad.toml", Some("the template `bad.toml` can't be used: line 3: ")),
        ] {
            let text = format!("---\ntitle: T\ntemplate: {name}\n---\n");
            let checked = crate::check("a.md", text.as_bytes(), &folder);
            let found = checked.findings.first();
            assert_eq!(found.is_some(), message.is_some(), "{name}: {found:?}");
            if let (Some(found), Some(message)) = (found, message) {
                assert!(found.message.starts_with(message), "{}", found.message);
                assert_eq!(found.rule.name, "header-value");
                assert_eq!(checked.source.slice(found.span), name);
            }
        }
        let near = crate::check("a.md", b"---\ntitle: T\ntemplate: handuot\n---\n", &folder);
        assert_eq!(near.findings[0].fixes[0].replace, "handout");
    }
}
