//! What a template's text gives itself, laid over what it is based on.

use super::{FOUNDATION, TemplateError, built_in, no_such_template};
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

/// All values of a template, and those of them that its own text gives.
pub(super) fn laid(text: &str) -> Result<(Table, Vec<Leaf>), TemplateError> {
    let own = DeTable::parse(text)
        .map_err(|error| TemplateError::new(error.message()).at(text, error.span()))?;
    let mut leaves = Vec::new();
    gather_leaves(own.get_ref(), &mut Vec::new(), &mut leaves);
    let mut whole = base(text, &mut leaves)?;
    leaves.iter().for_each(|leaf| leaf.lay_over(&mut whole));
    Ok((whole, leaves))
}

/// The values that a template begins from. The key that says so is taken from its own.
fn base(text: &str, leaves: &mut Vec<Leaf>) -> Result<Table, TemplateError> {
    let position = leaves.iter().position(|leaf| leaf.keys == ["based-on"]);
    let based_on = position.map(|position| leaves.remove(position));
    let name = match &based_on {
        Some(leaf) => leaf.value.as_str().unwrap_or_default(),
        None if built_in(FOUNDATION) == Some(text) => return Ok(Table::new()),
        None => FOUNDATION,
    };
    let Some(base) = built_in(name).filter(|base| *base != text) else {
        let place = based_on.as_ref().map(|leaf| leaf.place.clone());
        return Err(no_such_template(name).at(text, place));
    };
    laid(base).map(|(whole, _)| whole)
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
