//! No two files import each other, however many lie between: each can be read
//! after those that it names. A file that only hands a name on (`pub use`) does
//! not import it; the tie goes to the file where the name is at home.

use super::lexer::{code, shipped, tokens};
use super::rules::File;
use std::collections::{BTreeMap, BTreeSet};

type Path = Vec<String>;

/// A name that a `use` brings in, and where it leads.
struct Use {
    name: String,
    path: Path,
    handed_on: bool,
}

struct Module {
    file: String,
    uses: Vec<Use>,
    /// All words but those of its `use`s.
    rest: Vec<String>,
}

impl Module {
    fn of(file: &File) -> Module {
        let words = tokens(&shipped(&code(&file.text)));
        let words: Vec<String> = words.into_iter().map(|token| token.text).collect();
        let mut module = Module { file: file.name.clone(), uses: Vec::new(), rest: Vec::new() };
        let mut at = 0;
        while at < words.len() {
            if words[at] != "use" {
                module.rest.push(words[at].clone());
                at += 1;
                continue;
            }
            let handed_on = at > 0 && ["pub", ")"].contains(&words[at - 1].as_str());
            let mut found = Vec::new();
            at = tree(&words, at + 1, &[], &mut found);
            let uses = found.into_iter().map(|(name, path)| Use { name, path, handed_on });
            module.uses.extend(uses);
        }
        module
    }
}

/// Reads one tree of a `use`, groups in braces and all, and gives the place
/// behind it.
fn tree(words: &[String], at: usize, above: &[String], found: &mut Vec<(String, Path)>) -> usize {
    let (mut at, mut path) = (at, above.to_vec());
    loop {
        match words[at].as_str() {
            "{" => {
                at += 1;
                while words[at] != "}" {
                    at = tree(words, at, &path, found);
                    at += usize::from(words[at] == ",");
                }
                return at + 1;
            }
            "self" if !path.is_empty() => {}
            word => path.push(word.to_owned()),
        }
        at += 1;
        match words[at].as_str() {
            "::" => at += 1,
            "as" => {
                found.push((words[at + 1].clone(), path));
                return at + 2;
            }
            _ => {
                found.push((path[path.len() - 1].clone(), path));
                return at;
            }
        }
    }
}

/// The modules of the library by their paths.
pub struct House(BTreeMap<Path, Module>);

impl House {
    pub fn of(files: &[File]) -> House {
        let library = files.iter().filter(|file| file.name != "src/main.rs");
        let modules = library.map(|file| {
            let name = file.name.trim_start_matches("src/").trim_end_matches(".rs");
            let words = name.split('/').filter(|word| !["mod", "lib"].contains(word));
            (words.map(str::to_owned).collect(), Module::of(file))
        });
        House(modules.collect())
    }

    /// The module that a path leads to, and whether to something in it. `None`
    /// for what a file has itself, and for libraries.
    fn leads(&self, from: &Path, path: &[String], deep: u8) -> Option<(Path, bool)> {
        let mut here = from.clone();
        for (n, word) in path.iter().enumerate() {
            match word.as_str() {
                "crate" => here.clear(),
                "self" => {}
                "super" => drop(here.pop()),
                _ => {
                    let below = [here.as_slice(), std::slice::from_ref(word)].concat();
                    let mut uses = self.0.get(&here).into_iter().flat_map(|module| &module.uses);
                    let used = uses.find(|one| one.name == *word && one.path != [&**word]);
                    // A module and something handed on may have one name.
                    let last = n + 1 == path.len();
                    match used.filter(|_| deep > 0) {
                        Some(used) if last || !self.0.contains_key(&below) => {
                            match self.leads(&here, &used.path, deep - 1)? {
                                (there, false) => here = there,
                                something => return Some(something),
                            }
                        }
                        _ if self.0.contains_key(&below) => here = below,
                        _ => return (n > 0).then_some((here, true)),
                    }
                }
            }
        }
        Some((here, false))
    }

    /// The modules that one takes something from.
    fn ties(&self, from: &Path) -> BTreeSet<Path> {
        let Module { uses, rest, .. } = &self.0[from];
        let taken = uses.iter().filter(|one| !one.handed_on);
        let mut paths: Vec<Path> = taken.map(|one| one.path.clone()).collect();
        for (at, word) in rest.iter().enumerate() {
            let before = at.checked_sub(1).map_or("", |n| &rest[n]);
            if ["::", ".", "mod", "fn"].contains(&before) {
                continue;
            }
            let more = rest[at + 1..].chunks(2).take_while(|two| {
                two[0] == "::"
                    && two.get(1).is_some_and(|word| word.starts_with(char::is_alphabetic))
            });
            paths.push([word.clone()].into_iter().chain(more.map(|two| two[1].clone())).collect());
        }
        let led = paths.iter().filter_map(|path| self.leads(from, path, 8));
        led.filter(|(there, something)| *something && there != from)
            .map(|(there, _)| there)
            .collect()
    }

    /// The ties that lie on a circle: file and file that it imports.
    pub fn circles(&self) -> Vec<[&str; 2]> {
        let keys = self.0.keys();
        let ties: BTreeMap<Path, BTreeSet<Path>> =
            keys.map(|path| (path.clone(), self.ties(path))).collect();
        let file = |path: &Path| self.0[path].file.as_str();
        let mut found = Vec::new();
        for (from, there) in &ties {
            let back = there.iter().filter(|there| reached(&ties, there).contains(from));
            found.extend(back.map(|there| [file(from), file(there)]));
        }
        found
    }
}

fn reached<'a>(ties: &'a BTreeMap<Path, BTreeSet<Path>>, from: &'a Path) -> BTreeSet<&'a Path> {
    let (mut seen, mut waiting) = (BTreeSet::new(), vec![from]);
    while let Some(next) = waiting.pop() {
        waiting.extend(ties[next].iter().filter(|there| seen.insert(*there)));
    }
    seen
}

#[test]
fn no_files_import_each_other() {
    let files = super::source();
    let house = House::of(&files);
    let said = |[file, other]: [&str; 2]| format!("{file} imports {other}, and that leads back");
    let faults: Vec<String> = house.circles().into_iter().map(said).collect();
    assert!(faults.is_empty(), "\n{}\n", faults.join("\n"));
}
