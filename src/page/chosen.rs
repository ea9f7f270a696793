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
        let message =
            format!("the template `{}` has {size} bytes; one has at most {most}", named.value);
        return Err(at(named, message).into());
    }
    let text = String::from_utf8(bytes)
        .map_err(|_| at(named, format!("the template `{}` is not UTF-8", named.value)))?;
    Template::parse(&text).map_err(|error| unusable(&error, named).into())
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

fn unusable(error: &TemplateError, named: &Spanned<String>) -> Finding {
    at(named, format!("the template `{}` can't be used: {error}", named.value))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::lesson::world::MemoryWorld;

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
