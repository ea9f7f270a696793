//! The tree of the document's parts, by which it is read to whoever can't see it (ISO 32000-1,
//! 14.7).

use super::content::{Area, Content};
use super::strings::{count, dictionary, name, sides, words};
use crate::ink::document::{Document, Part, PartId, Role};
use lopdf::{Dictionary, Object, ObjectId};

/// The structure type of a role (ISO 32000-1, 14.8.4).
pub(super) fn tag(role: Role) -> &'static str {
    match role {
        Role::Section => "Sect",
        Role::Heading(level) => heading(level),
        Role::Paragraph => "P",
        Role::List => "L",
        Role::ListItem => "LI",
        Role::ListLabel => "Lbl",
        Role::ListBody => "LBody",
        Role::Table => "Table",
        Role::TableRow => "TR",
        Role::TableHead => "TH",
        Role::TableCell => "TD",
        Role::Quote => "BlockQuote",
        Role::Code => "Code",
        Role::Figure => "Figure",
        Role::Caption => "Caption",
        Role::Link => "Link",
        Role::Span => "Span",
    }
}

fn heading(level: u8) -> &'static str {
    match level {
        0 | 1 => "H1",
        2 => "H2",
        3 => "H3",
        4 => "H4",
        5 => "H5",
        _ => "H6",
    }
}

/// A part's place in the tree.
#[derive(Default)]
struct Node {
    /// Its element in the file; `None` as long as nothing of it is on a page.
    element: Option<ObjectId>,
    /// What it holds, in reading order.
    kids: Vec<Kid>,
    /// Whether it has content of its own.
    has_content: bool,
}

/// What a part holds.
#[derive(Debug, Clone, Copy)]
enum Kid {
    Part(PartId),
    /// A marked piece of a page.
    Content {
        page: usize,
        mark: usize,
    },
    /// A place that leads somewhere.
    Link {
        page: usize,
        annotation: ObjectId,
    },
}

/// A link of a page in the file.
pub(super) struct PlacedLink {
    pub(super) part: PartId,
    pub(super) annotation: ObjectId,
}

/// Builds the tree.
pub(super) struct Tree<'a> {
    parts: &'a [Part],
    nodes: Vec<Node>,
    top: Vec<Kid>,
    root: ObjectId,
}

impl<'a> Tree<'a> {
    /// The tree of a document's parts, with an element for each part that has something on a page.
    pub(super) fn new(
        document: &'a Document,
        contents: &[Content],
        links: &[Vec<PlacedLink>],
        file: &mut lopdf::Document,
    ) -> Tree<'a> {
        let nodes = document.parts.iter().map(|_| Node::default()).collect();
        let root = file.new_object_id();
        let mut tree = Tree { parts: &document.parts, nodes, top: Vec::new(), root };
        for (page, (content, links)) in contents.iter().zip(links).enumerate() {
            for (mark, &part) in content.marks.iter().enumerate() {
                tree.add(part, Kid::Content { page, mark }, file);
            }
            for link in links {
                tree.add(link.part, Kid::Link { page, annotation: link.annotation }, file);
            }
        }
        tree.keep_empty_cells(file);
        tree.sort();
        tree
    }

    /// Adds to what a part holds.
    fn add(&mut self, part: PartId, kid: Kid, file: &mut lopdf::Document) {
        self.attach(part, file);
        if let Some(node) = self.nodes.get_mut(part.0) {
            node.kids.push(kid);
            node.has_content = true;
        }
    }

    /// Gives a part and those around it their places in the tree.
    fn attach(&mut self, part: PartId, file: &mut lopdf::Document) {
        let mut next = Some(part);
        while let Some(part) = next {
            let Some(node) = self.nodes.get_mut(part.0) else { return };
            if node.element.is_some() {
                return;
            }
            node.element = Some(file.new_object_id());
            next = self.parent(part);
            match next.and_then(|parent| self.nodes.get_mut(parent.0)) {
                Some(parent) => parent.kids.push(Kid::Part(part)),
                None => self.top.push(Kid::Part(part)),
            }
        }
    }

    /// The part around a part, which stands before it.
    fn parent(&self, part: PartId) -> Option<PartId> {
        self.parts.get(part.0)?.parent.filter(|&parent| parent < part)
    }

    /// An empty cell keeps its column.
    fn keep_empty_cells(&mut self, file: &mut lopdf::Document) {
        for (index, part) in self.parts.iter().enumerate() {
            if matches!(part.role, Role::TableHead | Role::TableCell) {
                self.attach(PartId(index), file);
            }
        }
    }

    /// Parts that hold only parts hold them in the document's order, wherever they were drawn.
    fn sort(&mut self) {
        let order = |kid: &Kid| match kid {
            Kid::Part(id) => id.0,
            Kid::Content { .. } | Kid::Link { .. } => usize::MAX,
        };
        self.top.sort_by_key(order);
        for node in self.nodes.iter_mut().filter(|node| !node.has_content) {
            node.kids.sort_by_key(order);
        }
    }

    /// A part's element.
    pub(super) fn element(&self, part: PartId) -> Option<ObjectId> {
        self.nodes.get(part.0)?.element
    }

    /// Puts the elements into the file; gives the tree's root entry for the catalogue.
    pub(super) fn put(
        &self,
        contents: &[Content],
        links: &[Vec<PlacedLink>],
        pages: &[ObjectId],
        file: &mut lopdf::Document,
    ) -> ObjectId {
        let root = file.new_object_id();
        let mut top = dictionary([("S", name("Document")), ("P", Object::Reference(root))]);
        top.set("K", self.kids(&self.top, None, pages));
        file.set_object(self.root, top);
        let mut levels = Levels::default();
        for (index, (part, node)) in self.parts.iter().zip(&self.nodes).enumerate() {
            if let Some(element) = node.element {
                let tag = levels.tag(part.role);
                let entry = self.entry(PartId(index), part, node, tag, contents, pages);
                file.set_object(element, entry);
            }
        }
        let parents = file.add_object(self.parent_tree(contents, links));
        let keys = count(contents.len() + links.iter().flatten().count());
        file.set_object(
            root,
            dictionary([
                ("Type", name("StructTreeRoot")),
                ("K", Object::Reference(self.root)),
                ("ParentTree", Object::Reference(parents)),
                ("ParentTreeNextKey", keys),
            ]),
        );
        root
    }

    fn entry(
        &self,
        id: PartId,
        part: &Part,
        node: &Node,
        tag: &str,
        contents: &[Content],
        pages: &[ObjectId],
    ) -> Dictionary {
        let around = self.parent(id).and_then(|parent| self.element(parent)).unwrap_or(self.root);
        let mut entry = dictionary([("S", name(tag)), ("P", Object::Reference(around))]);
        let page = node.kids.iter().find_map(|kid| match *kid {
            Kid::Content { page, .. } | Kid::Link { page, .. } => Some(page),
            Kid::Part(_) => None,
        });
        if let Some(&page) = page.and_then(|page| pages.get(page)) {
            entry.set("Pg", Object::Reference(page));
        }
        if !node.kids.is_empty() {
            entry.set("K", self.kids(&node.kids, page, pages));
        }
        if part.role == Role::Figure || !part.words.is_empty() {
            entry.set("Alt", words(&part.words));
        }
        let area = page.and_then(|page| contents.get(page)?.figures.get(&id));
        if let Some(attributes) = attributes(part.role, area) {
            entry.set("A", attributes);
        }
        entry
    }

    /// What an element holds; pieces of the element's own page are told by their numbers alone.
    fn kids(&self, kids: &[Kid], own: Option<usize>, pages: &[ObjectId]) -> Object {
        let page_of = |page: usize| pages.get(page).map_or(Object::Null, |&id| id.into());
        let kids = kids.iter().filter_map(|kid| match *kid {
            Kid::Part(part) => self.element(part).map(Object::Reference),
            Kid::Content { page, mark } if own == Some(page) => Some(count(mark)),
            Kid::Content { page, mark } => Some(Object::Dictionary(dictionary([
                ("Type", name("MCR")),
                ("Pg", page_of(page)),
                ("MCID", count(mark)),
            ]))),
            Kid::Link { page, annotation } => Some(Object::Dictionary(dictionary([
                ("Type", name("OBJR")),
                ("Pg", page_of(page)),
                ("Obj", Object::Reference(annotation)),
            ]))),
        });
        Object::Array(kids.collect())
    }

    /// The way back, from a page's marked pieces and from links to their elements: the pages' keys
    /// come first, the links' behind them.
    fn parent_tree(&self, contents: &[Content], links: &[Vec<PlacedLink>]) -> Dictionary {
        let element = |&part: &PartId| self.element(part).map_or(Object::Null, Object::Reference);
        let of_pages = contents
            .iter()
            .map(|content| Object::Array(content.marks.iter().map(element).collect()));
        let of_links = links.iter().flatten().map(|link| element(&link.part));
        let entries = of_pages.chain(of_links).enumerate();
        let numbers = entries.flat_map(|(key, entry)| [count(key), entry]).collect();
        dictionary([("Nums", Object::Array(numbers))])
    }
}

/// What else is known about an element.
fn attributes(role: Role, area: Option<&Area>) -> Option<Object> {
    let entries = match role {
        Role::Figure => {
            let area = area?;
            dictionary([
                ("O", name("Layout")),
                ("Placement", name("Block")),
                ("BBox", sides([area.left, area.bottom, area.right, area.top])),
            ])
        }
        Role::TableHead => dictionary([("O", name("Table")), ("Scope", name("Column"))]),
        _ => return None,
    };
    Some(Object::Dictionary(entries))
}

/// The levels of headings: none may be left out on the way down (ISO 14289-1, 7.4.2).
#[derive(Default)]
struct Levels {
    last: u8,
}

impl Levels {
    fn tag(&mut self, role: Role) -> &'static str {
        let Role::Heading(level) = role else { return tag(role) };
        self.last = level.clamp(1, 6).min(self.last.saturating_add(1));
        heading(self.last)
    }
}
