//! The template that a lesson chooses in its header.

use super::template::{Template, TemplateError, built_in_names};
use crate::findings::nearest::nearest;
use crate::findings::rules::header_value;
use crate::findings::source::Spanned;
use crate::findings::{Finding, Findings, Ground};
use crate::lesson::Lesson;
use crate::lesson::world::{Refusal, World};

/// The template that a lesson names, from its own folder where it isn't built in. One that isn't there or
/// can't be used is a fault at the header's value, and the lesson looks as if it named none.
pub fn template(
    lesson: &Lesson<'_>,
    world: &dyn World,
    findings: &mut Findings,
) -> Option<Template> {
    let named = lesson.header.template.as_ref()?;
    let template = if Template::is_built_in(&named.value) {
        Template::load(&named.value, |_| None).map_err(|error| unusable(&error, named).into())
    } else {
        own(named, world)
    };
    template.map_err(|fault: Box<Finding>| findings.add(*fault)).ok()
}

fn own(named: &Spanned<String>, world: &dyn World) -> Result<Template, Box<Finding>> {
    let bytes = world.read(&named.value).map_err(|refusal| refused(named, refusal))?;
    if bytes.len() > Template::LARGEST {
        let (size, most) = (bytes.len(), Template::LARGEST);
        let why = format!("has {size} bytes; one has at most {most}");
        return Err(at(named, &why).into());
    }
    let text = String::from_utf8(bytes).map_err(|_| at(named, "is not UTF-8"))?;
    Template::parse(&text).map_err(|error| unusable(&error, named).into())
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

fn unusable(error: &TemplateError, named: &Spanned<String>) -> Finding {
    at(named, &format!("can't be used: {error}"))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::blocks;
    use crate::findings::{Finding, Findings, Source};
    use crate::lesson;
    use crate::lesson::world::MemoryWorld;

    /// What is told of the template of a name, with the place that is marked.
    fn told(name: &str, folder: &MemoryWorld) -> Option<(Finding, String)> {
        let text = format!("---\ntitle: T\ntemplate: {name}\n---\n");
        let mut findings = Findings::default();
        let source = Source::new("a.md", text.as_bytes());
        let lesson = lesson::read(&source, &blocks::kinds(), folder, &mut findings);
        assert!(findings.list().is_empty(), "{findings:?}");
        super::template(&lesson, folder, &mut findings);
        let fault = findings.list().first()?.clone();
        let marked = source.slice(fault.span).to_owned();
        Some((fault, marked))
    }

    #[test]
    fn a_template_that_cannot_be_used_is_told_at_its_name() {
        let folder = MemoryWorld::default()
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
