//! Pages as plain text, for whoever has them read aloud: the document's parts in the order in which they are read,
//! figures told in words. All that is printed stands in it once; rules, running heads and feet are left out.

use crate::ink::{Document, Item, Label, Part, PartId, Role};
use crate::words::paper::{figure, told as words};
use crate::words::{Lang, capital};

/// How wide a line is at most, in characters; a single word may be wider.
const WIDTH: usize = 80;
/// How far anything stands in at most, so that words have room beside it.
const DEEPEST: usize = 40;
/// How far what belongs to an item of a list stands in, in characters.
const INDENT: usize = 4;

/// A document as text, its last line ended.
pub fn text(document: &Document) -> String {
    let mut reader = Reader::of(document);
    for page in &document.pages {
        reader.items(&page.drawing.items, None);
    }
    let mut sheet = Sheet::default();
    reader.tell_all(None, 0, &mut sheet);
    sheet.text
}

/// What stands in each part.
struct Reader<'a> {
    lang: Lang,
    parts: &'a [Part],
    /// The words of each part, those of links among them too.
    words: Vec<String>,
    /// Whether something of it is on a page.
    shown: Vec<bool>,
    /// The parts in each.
    within: Vec<Vec<PartId>>,
    /// The outermost parts.
    outermost: Vec<PartId>,
}

impl<'a> Reader<'a> {
    fn of(document: &'a Document) -> Reader<'a> {
        let parts = document.parts.as_slice();
        let lang = Lang::parse(&document.language).unwrap_or_default();
        let (words, shown) = (vec![String::new(); parts.len()], vec![false; parts.len()]);
        let (mut within, mut outermost) = (vec![Vec::new(); parts.len()], Vec::new());
        for (index, part) in parts.iter().enumerate() {
            let around = part.parent.and_then(|parent| within.get_mut(parent.0));
            around.unwrap_or(&mut outermost).push(PartId(index));
        }
        Reader { lang, parts, words, shown, within, outermost }
    }

    /// Gathers the words of items that lie in a part.
    fn items(&mut self, items: &[Item], part: Option<PartId>) {
        for item in items {
            match item {
                Item::Group(group) => match self.said_instead(&group.label) {
                    Some(words) => self.take(part, &words),
                    None => {
                        let inner = self.part_of(&group.label, part);
                        self.items(&group.items, inner);
                    }
                },
                Item::Text(_, text) => self.take(part, &text.characters()),
                Item::Path(_) | Item::Picture(..) => self.take(part, ""),
            }
        }
    }

    /// The part that a group within a part belongs to: a link to what it stands in, and whatever is in a figure to
    /// that.
    fn part_of(&self, label: &Label, around: Option<PartId>) -> Option<PartId> {
        match label {
            Label::None | Label::Words { .. } | Label::Layer(_) | Label::Mirrorable => around,
            Label::Artifact => None,
            Label::Part(id) => match self.role(*id)? {
                Role::Link | Role::Span => around,
                _ if around.and_then(|id| self.role(id)) == Some(Role::Figure) => around,
                _ => Some(*id),
            },
        }
    }

    /// What is said in the place of the words in a group, where it is a part that has words of its own; it is said once,
    /// wherever the part goes on.
    fn said_instead(&mut self, label: &Label) -> Option<String> {
        let Label::Part(id) = label else { return None };
        let part = self.parts.get(id.0).filter(|part| part.role == Role::Span)?;
        let is_said = self.shown.get_mut(id.0).map(|shown| std::mem::replace(shown, true))?;
        match (part.words.as_str(), is_said) {
            ("", _) => None,
            (_, true) => Some(String::new()),
            (words, false) => Some(words.to_owned()),
        }
    }

    fn role(&self, id: PartId) -> Option<Role> {
        self.parts.get(id.0).map(|part| part.role)
    }

    fn take(&mut self, part: Option<PartId>, words: &str) {
        let Some(id) = part else { return };
        let end = if self.role(id) == Some(Role::Code) { "\n" } else { "" };
        if let (Some(shown), Some(own)) = (self.shown.get_mut(id.0), self.words.get_mut(id.0)) {
            *shown = true;
            own.push_str(words);
            own.push_str(end);
        }
    }

    /// Tells the parts in one, or the outermost, so far from the left.
    fn tell_all(&self, within: Option<PartId>, left: usize, sheet: &mut Sheet) {
        self.inner(within).iter().for_each(|id| self.tell(*id, left, sheet));
    }

    fn inner(&self, within: Option<PartId>) -> &[PartId] {
        let inner = within.map_or(Some(&self.outermost), |id| self.within.get(id.0));
        inner.map_or(&[], Vec::as_slice)
    }

    fn tell(&self, id: PartId, left: usize, sheet: &mut Sheet) {
        let Some(part) = self.parts.get(id.0) else { return };
        let own = self.own(id);
        match part.role {
            Role::Heading(_) => sheet.heading(&own),
            Role::Caption => {
                let told = figure::told(self.printed(id));
                sheet.caption(&self.lang.said(&told));
            }
            Role::Figure if self.is_shown(id) => sheet.figure(&part.words, left),
            Role::Figure => {}
            Role::Table => self.table(id, left, sheet),
            Role::List if left > 0 => {
                sheet.air = 0;
                self.tell_all(Some(id), left, sheet);
            }
            Role::List => {
                sheet.space();
                self.tell_all(Some(id), left, sheet);
                sheet.space();
            }
            Role::ListItem => self.item(id, left, sheet),
            Role::Code => sheet.code(self.printed(id), left),
            Role::Quote => {
                sheet.paragraph(&self.lang.said(words::QUOTED), left);
                self.tell_all(Some(id), left + INDENT, sheet);
            }
            _ => {
                sheet.paragraph(&own, left);
                self.tell_all(Some(id), left, sheet);
            }
        }
    }

    fn is_shown(&self, id: PartId) -> bool {
        self.shown.get(id.0).copied().unwrap_or_default()
    }

    /// The words of a part alone, as they are printed.
    fn printed(&self, id: PartId) -> &str {
        self.words.get(id.0).map_or("", String::as_str)
    }

    /// The same in one line.
    fn own(&self, id: PartId) -> String {
        one_line(self.printed(id))
    }

    /// All words in a part, in one line.
    fn whole(&self, id: PartId) -> String {
        let inner = self.inner(Some(id)).iter().map(|id| self.whole(*id));
        let all: Vec<String> = std::iter::once(self.own(id)).chain(inner).collect();
        one_line(&all.join(" "))
    }

    /// An item of a list: its label before its first words, what a task's box says for the box.
    fn item(&self, id: PartId, left: usize, sheet: &mut Sheet) {
        let [label, bodies @ ..] = self.inner(Some(id)) else { return };
        let said = self.parts.get(label.0).map_or("", |part| part.words.as_str());
        let label = match said {
            "" => self.own(*label),
            said => format!("{}:", capital(said)),
        };
        sheet.begin(label, left);
        bodies.iter().for_each(|body| self.tell(*body, left + INDENT, sheet));
        sheet.end(left);
    }

    /// A table row by row, each cell behind what its column is called.
    fn table(&self, id: PartId, left: usize, sheet: &mut Sheet) {
        let mut heads: Vec<String> = Vec::new();
        sheet.space();
        for row in self.inner(Some(id)) {
            let cells = self.inner(Some(*row));
            let told = || cells.iter().map(|cell| self.whole(*cell));
            if cells.iter().all(|cell| self.role(*cell) == Some(Role::TableHead)) {
                heads = told().collect();
                continue;
            }
            let named = told().enumerate().filter(|(_, cell)| !cell.is_empty());
            let named = named.map(|(column, cell)| match heads.get(column) {
                Some(head) if !head.is_empty() => format!("{head}: {cell}"),
                _ => cell,
            });
            sheet.line(&named.collect::<Vec<_>>().join("; "), left);
        }
        sheet.space();
    }
}

fn one_line(words: &str) -> String {
    words.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The text while it is written.
#[derive(Default)]
struct Sheet {
    text: String,
    /// How many empty lines are to stand before the next words.
    air: usize,
    /// What stands before the next words, and where.
    label: Option<(String, usize)>,
}

impl Sheet {
    /// Has an empty line stand before the next words.
    fn space(&mut self) {
        self.air = self.air.max(1);
    }

    fn heading(&mut self, words: &str) {
        self.air = 2;
        self.line(words, 0);
        self.space();
    }

    fn paragraph(&mut self, words: &str, left: usize) {
        if words.is_empty() {
            return;
        }
        if self.label.is_none() {
            self.space();
        }
        self.line(words, left);
        self.space();
    }

    /// A caption, its number told as that of a figure; the figure's words follow at once.
    fn caption(&mut self, words: &str) {
        self.space();
        self.line(words, 0);
    }

    /// A figure's words, line by line.
    fn figure(&mut self, words: &str, left: usize) {
        words.lines().for_each(|line| self.line(line, left));
        self.space();
    }

    /// Lines as they stand.
    fn code(&mut self, lines: &str, left: usize) {
        self.space();
        for line in lines.lines() {
            self.break_line();
            self.text.push_str(&" ".repeat(left));
            self.text.push_str(line.trim_end());
            self.text.push('\n');
        }
        self.space();
    }

    /// Has a label stand before the next words.
    fn begin(&mut self, label: String, left: usize) {
        self.label = Some((label, left));
    }

    /// Ends an item: its label is written where no words followed it, and the next one stands beneath it.
    fn end(&mut self, left: usize) {
        if self.label.is_some() {
            self.line(" ", left);
        }
        self.air = 0;
    }

    /// Words in lines of the sheet's width, so far from the left; nothing where there are none.
    fn line(&mut self, words: &str, left: usize) {
        if words.is_empty() {
            return;
        }
        self.break_line();
        let (first, from) = self.label.take().unwrap_or((String::new(), left));
        let (mut used, left) = (from.min(DEEPEST), left.min(DEEPEST));
        self.text.push_str(&" ".repeat(used));
        let words = first.split_whitespace().chain(words.split_whitespace());
        for (index, word) in words.enumerate() {
            let long = word.chars().count();
            if index > 0 && used + 1 + long > WIDTH {
                self.text.push('\n');
                self.text.push_str(&" ".repeat(left));
                used = left;
            } else if index > 0 {
                self.text.push(' ');
                used += 1;
            }
            self.text.push_str(word);
            used += long;
        }
        self.text.push('\n');
    }

    /// Leaves the lines empty that are to be.
    fn break_line(&mut self) {
        let air = std::mem::take(&mut self.air);
        if !self.text.is_empty() {
            self.text.push_str(&"\n".repeat(air));
        }
    }
}
