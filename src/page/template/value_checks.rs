//! What can be wrong with a template's values, and by which keys; what no single key shows too:
//! whether they go together.

use super::Template;
use crate::ink::measure::{Leading, Measure, TypeSize};
use crate::ink::{Pt, pt};
use crate::lesson::header::Paper;
use toml::{Table, Value};

/// The narrowest and the lowest column: assumed, so that six strings and their boxes have room, and
/// a third of a sheet.
pub(super) const LEAST_COLUMN: (Pt, Pt) = (pt(200.0), pt(280.0));

/// Values that can't be used.
pub(super) struct Fault {
    /// Their dotted keys, the one that is told first.
    pub keys: Vec<String>,
    /// What is wrong with them.
    pub message: String,
}

impl Fault {
    /// A value that can't be read.
    pub fn of(error: &serde_path_to_error::Error<toml::de::Error>) -> Fault {
        let key = error.path().to_string();
        let message = format!("`{key}`: {}", error.inner().message());
        Fault { keys: vec![key], message }
    }
}

/// Lines of type stand neither too close for its size nor too far apart, in whatever table has both.
/// A size that is wrong by itself is told where it is read.
pub(super) fn check_leadings(table: &Table, path: &[&str]) -> Result<(), Fault> {
    let number = |key: &str| table.get(key).and_then(number);
    let pair = number("size").filter(|size| TypeSize::allows(*size)).zip(number("leading"));
    if let Some((size, leading)) = pair.filter(|(size, own)| !Leading::of(*size).contains(own)) {
        let [key, beside] = ["leading", "size"].map(|key| [path, &[key]].concat().join("."));
        let (least, most) = Leading::of(size).into_inner();
        let message = format!(
            "`{key}`: {leading} pt where {least} to {most} pt is allowed beside a size of {size} pt"
        );
        return Err(Fault { keys: vec![key, beside], message });
    }
    let mut inner = table.iter().filter_map(|(key, value)| Some((key, value.as_table()?)));
    inner.try_for_each(|(key, inner)| check_leadings(inner, &[path, &[key]].concat()))
}

/// The number that a value is.
pub(super) fn number(value: &Value) -> Option<f32> {
    match value {
        Value::Integer(number) => Some(*number as f32),
        Value::Float(number) => Some(*number as f32),
        _ => None,
    }
}

/// The template's own paper must leave a column, and so must A4 and Letter, since a reader may ask for either.
pub(super) fn check_column(template: &Template) -> Result<(), Fault> {
    for paper in [template.paper, Paper::A4, Paper::Letter] {
        let (width, height) = Template::paper_size(paper);
        let margins = template.margins_on(paper);
        let across = (width - margins.left - margins.right, LEAST_COLUMN.0);
        let down = (height - margins.top - margins.bottom, LEAST_COLUMN.1);
        for (column, least) in [across, down] {
            if column < least {
                let message = format!(
                    "the margins leave a column of {column:.0} pt; {least:.0} pt is the least"
                );
                return Err(Fault { keys: vec!["margins".to_owned()], message });
            }
        }
    }
    Ok(())
}
