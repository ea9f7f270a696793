//! The template that a lesson chooses in its header.

use super::template::{Template, TemplateError, built_in_names};
use crate::findings::Span;
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
        let message =
            format!("the template `{}` has {size} bytes; one has at most {most}", named.value);
        return Err(at(named, message).into());
    }
    let text = String::from_utf8(bytes)
        .map_err(|_| at(named, format!("the template `{}` is not UTF-8", named.value)))?;
    Template::parse(&text).map_err(|error| unusable(&error, Some(named)).into())
}

fn at(named: &Spanned<String>, message: String) -> Finding {
    Finding::new(&header_value::RULE, named.span, message)
}

fn refused(named: &Spanned<String>, refusal: Refusal) -> Finding {
    let names: Vec<String> = built_in_names().map(|name| format!("`{name}`")).collect();
    let note = format!(
        "the built-in templates are {}; any other is a file in the lesson's folder",
        names.join(", ")
    );
    let finding = at(named, format!("the template `{}` {refusal}", named.value)).note(note);
    match nearest(&named.value, built_in_names(), 2) {
        Some(near) => finding.fix(format!("`{near}`"), named.span, near, Ground::Choice),
        None => finding,
    }
}

fn unusable(error: &TemplateError, named: Option<&Spanned<String>>) -> Finding {
    match named {
        Some(named) => at(named, format!("the template `{}` can't be used: {error}", named.value)),
        None => Finding::new(&header_value::RULE, Span::default(), error.to_string()),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::findings::{Finding, Findings, Source};
    use crate::lesson;
    use crate::lesson::folder::MemoryFolder;

    /// What is told of the template of a name, with the place that is marked.
    fn told(name: &str, folder: &MemoryFolder) -> Option<(Finding, String)> {
        let text = format!("---\ntitle: T\ntemplate: {name}\n---\n");
        let mut findings = Findings::default();
        let source = Source::new("a.md", text.as_bytes(), &mut findings);
        let lesson = lesson::read(&source, folder, &mut findings);
        assert!(findings.list().is_empty(), "{findings:?}");
        let fault = super::template(&lesson, folder).err()?;
        let marked = source.slice(fault.span).to_owned();
        Some((*fault, marked))
    }

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
            let found = told(name, &folder);
            assert_eq!(found.is_some(), message.is_some(), "{name}: {found:?}");
            if let (Some((found, marked)), Some(message)) = (found, message) {
                assert!(found.message.starts_with(message), "{}", found.message);
                assert_eq!((found.rule.name, marked.as_str()), ("header-value", name));
            }
        }
        let (near, _) = told("handuot", &folder).unwrap();
        assert_eq!(near.fixes[0].replace, "handout");
    }
}
