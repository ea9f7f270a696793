//! What the program says of itself: pages, rules and licences.

use super::*;

#[test]
fn about_all_prints_every_rule() {
    let run = Place::new("about-all").run(&["about", "all"]);
    for rule in fretleaf::findings::rules::RULES {
        assert!(run.out.contains(&format!("| `{}` | {} |", rule.name, rule.weight.name())));
        assert!(run.out.contains(&rule.page()), "{}", rule.name);
    }
}

/// The packages that the program is built from, by `Cargo.lock`: each name with its version.
fn packages() -> BTreeSet<(String, String)> {
    let read = |name: &str| {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(name);
        fs::read_to_string(path).unwrap().parse::<toml::Table>().unwrap()
    };
    let (manifest, lock) = (read("Cargo.toml"), read("Cargo.lock"));
    let text = |table: &toml::Value, key: &str| table[key].as_str().unwrap().to_owned();
    let locked = lock["package"].as_array().unwrap();
    let mut left: Vec<String> =
        manifest["dependencies"].as_table().unwrap().keys().cloned().collect();
    let mut found = BTreeSet::new();
    while let Some(wanted) = left.pop() {
        // A name, and its version where there are several.
        let (name, version) = wanted.split_once(' ').unwrap_or((&wanted, ""));
        let package = locked.iter().find(|package| {
            text(package, "name") == name
                && (version.is_empty() || text(package, "version") == version)
        });
        let package = package.unwrap();
        if found.insert((text(package, "name"), text(package, "version"))) {
            let uses = package.get("dependencies").and_then(toml::Value::as_array);
            left.extend(uses.into_iter().flatten().map(|name| name.as_str().unwrap().to_owned()));
        }
    }
    found
}

#[test]
fn the_licences_of_all_that_is_in_the_program_are_printed() {
    let run = Place::new("licences").run(&["about", "licences"]);
    assert_eq!(run.status, 0, "{}", run.err);
    let listed: BTreeSet<(String, String)> = run
        .out
        .lines()
        .filter_map(|line| line.strip_prefix("- ")?.split_once(": "))
        .filter(|(_, licence)| !licence.is_empty())
        .filter_map(|(package, _)| package.split_once(' '))
        .map(|(name, version)| (name.to_owned(), version.to_owned()))
        .collect();
    let packages = packages();
    let missing: Vec<_> = packages.difference(&listed).collect();
    assert!(packages.len() > 100 && missing.is_empty(), "run .ci/third-party.py: {missing:?}");
    for words in
        ["SIL OPEN FONT LICENSE Version 1.1", "Bitstream Vera", "Tavmjong Bah", "Apache License"]
    {
        assert!(run.out.contains(words), "{words}");
    }
}

#[test]
fn about_prints_a_rule_and_offers_the_nearest() {
    let place = Place::new("about");
    assert!(place.run(&["about", "spelling"]).out.starts_with("# spelling (fault)"));
    let run = place.run(&["about", "speling"]);
    assert_eq!(run.status, 2);
    assert!(run.err.contains("did you mean `spelling`?"), "{}", run.err);
    assert!(place.run(&["about"]).out.lines().count() > 30);
}

#[test]
fn about_prints_a_page_of_what_can_be_written_and_offers_the_nearest() {
    let place = Place::new("about-pages");
    assert!(place.run(&["about", "riff"]).out.starts_with("# riff\n"));
    let run = place.run(&["about", "hedaer"]);
    assert_eq!(run.status, 2);
    assert!(run.err.contains("did you mean `header`?"), "{}", run.err);
    let (all, list) = (place.run(&["about", "all"]).out, place.run(&["about"]).out);
    for page in fretleaf::help::pages() {
        assert!(all.contains(&page.text()), "{}", page.name);
        assert!(list.contains(&format!("{:18} {}\n", page.name, page.summary())), "{}", page.name);
    }
}
