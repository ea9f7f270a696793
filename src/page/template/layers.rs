//! What a template's text gives itself, laid over what it is based on.

use super::{FOUNDATION, Template, TemplateError, built_in, no_such_template};
use serde::Deserialize;
use std::ops::Range;
use toml::de::{DeTable, DeValue};
use toml::{Spanned, Table, Value};

/// One value of a template's own text, and the keys that lead to it.
pub(super) struct Leaf {
    keys: Vec<String>,
    value: Value,
    /// Where in the text it is given, in bytes.
    pub place: Range<usize>,
}

impl Leaf {
    /// Puts it into a table in the place of what is there.
    pub fn lay_over(&self, table: &mut Table) {
        let Some((last, path)) = self.keys.split_last() else { return };
        let mut table = table;
        for key in path {
            let inner = table.entry(key.clone()).or_insert_with(|| Value::Table(Table::new()));
            if !inner.is_table() {
                *inner = Value::Table(Table::new());
            }
            let Some(inner) = inner.as_table_mut() else { return };
            table = inner;
        }
        table.insert(last.clone(), self.value.clone());
    }

    /// Whether it gives the value that a dotted key names, or a part of it.
    pub fn is_about(&self, key: &str) -> bool {
        let own = self.keys.join(".");
        own == key || own.strip_prefix(key).is_some_and(|rest| rest.starts_with('.'))
    }
}

/// The values that a template begins from, and those that it gives itself.
pub(super) fn base_and_leaves(
    own: &DeTable<'_>,
    text: &str,
) -> Result<(Table, Vec<Leaf>), TemplateError> {
    let mut leaves = Vec::new();
    gather_leaves(own, &mut Vec::new(), &mut leaves);
    let position = leaves.iter().position(|leaf| leaf.keys == ["based-on"]);
    let based_on = position.map(|position| leaves.remove(position));
    let name = match &based_on {
        Some(leaf) => leaf.value.as_str().unwrap_or_default(),
        None if built_in(FOUNDATION) == Some(text) => return Ok((Table::new(), leaves)),
        None => FOUNDATION,
    };
    let Some(base_text) = built_in(name).filter(|base| *base != text) else {
        let place = based_on.as_ref().map(|leaf| leaf.place.clone());
        return Err(no_such_template(name).at(text, place));
    };
    let base_own = DeTable::parse(base_text).map_err(|e| TemplateError::new(e.message()))?;
    let (mut base, base_leaves) = base_and_leaves(base_own.get_ref(), base_text)?;
    base_leaves.iter().for_each(|leaf| leaf.lay_over(&mut base));
    Ok((base, leaves))
}

fn gather_leaves(table: &DeTable<'_>, keys: &mut Vec<String>, leaves: &mut Vec<Leaf>) {
    for (key, value) in table {
        keys.push(key.get_ref().to_string());
        match value.get_ref() {
            DeValue::Table(inner) => gather_leaves(inner, keys, leaves),
            _ => leaves.push(Leaf {
                keys: keys.clone(),
                value: plain_value(value),
                place: key.span().start..value.span().end,
            }),
        }
        keys.pop();
    }
}

/// The value without its places; what no template uses (a date, an array) is kept as its kind's
/// name, so that the message about it can say what stands there.
fn plain_value(value: &Spanned<DeValue<'_>>) -> Value {
    match value.get_ref() {
        DeValue::String(words) => Value::String(words.to_string()),
        DeValue::Boolean(truth) => Value::Boolean(*truth),
        DeValue::Integer(number) => i64::from_str_radix(number.as_str(), number.radix())
            .map_or_else(|_| Value::String(number.as_str().to_owned()), Value::Integer),
        DeValue::Float(number) => number
            .as_str()
            .parse()
            .map_or_else(|_| Value::String(number.as_str().to_owned()), Value::Float),
        other => Value::String(other.type_str().to_owned()),
    }
}

/// The error of the first value that is wrong when it alone is laid over the base.
pub(super) fn first_wrong_leaf(
    base: &Table,
    leaves: &[Leaf],
    text: &str,
    whole: &str,
) -> TemplateError {
    let wrong = leaves.iter().find_map(|leaf| {
        let mut table = base.clone();
        leaf.lay_over(&mut table);
        let error = Template::deserialize(Value::Table(table)).err()?;
        let message = format!("`{}`: {}", leaf.keys.join("."), error.message());
        Some(TemplateError::new(message).at(text, Some(leaf.place.clone())))
    });
    wrong.unwrap_or_else(|| TemplateError::new(whole))
}
