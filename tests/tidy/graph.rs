//! Which file names which: paths read from the tokens of every source, so that comments, strings and statements over
//! several lines are read as the compiler reads them; a name that is passed on is followed to where it is made.

use proc_macro2::{Delimiter, TokenStream, TokenTree};
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

/// A module by its path from the crate's root.
pub type Module = Vec<String>;

/// A `use` of one name.
struct Use {
    path: Vec<String>,
    name: String,
    passed_on: bool,
}

struct Source {
    file: PathBuf,
    uses: Vec<Use>,
    /// Paths of two parts and more in the code itself.
    paths: Vec<Vec<String>>,
}

/// Files that name one another.
pub struct Circle {
    /// In the order of their modules.
    pub files: Vec<PathBuf>,
    /// Which names which, and how.
    pub names: Vec<String>,
}

/// The sources of a crate and what they name.
pub struct Graph {
    sources: BTreeMap<Module, Source>,
}

/// What `::` ties together.
fn words(trees: &[TokenTree]) -> Vec<Vec<String>> {
    let mut found = Vec::new();
    let mut at = 0;
    while at < trees.len() {
        let TokenTree::Ident(first) = &trees[at] else {
            at += 1;
            continue;
        };
        let mut path = vec![first.to_string()];
        at += 1;
        while colons(trees, at) {
            let Some(TokenTree::Ident(next)) = trees.get(at + 2) else { break };
            path.push(next.to_string());
            at += 3;
        }
        found.push(path);
    }
    found
}

fn colons(trees: &[TokenTree], at: usize) -> bool {
    let colon = |at: usize| matches!(trees.get(at), Some(TokenTree::Punct(mark)) if mark.as_char() == ':');
    colon(at) && colon(at + 1)
}

fn is_word(tree: Option<&TokenTree>, word: &str) -> bool {
    matches!(tree, Some(TokenTree::Ident(found)) if found == word)
}

fn is_mark(tree: Option<&TokenTree>, mark: char) -> bool {
    matches!(tree, Some(TokenTree::Punct(found)) if found.as_char() == mark)
}

/// The names of a tree of `use`.
fn use_tree(trees: &[TokenTree], before: &[String], passed_on: bool, found: &mut Vec<Use>) {
    let mut path = before.to_vec();
    let mut at = 0;
    while at < trees.len() {
        match &trees[at] {
            TokenTree::Ident(word) if word == "as" => {
                if let Some(TokenTree::Ident(name)) = trees.get(at + 1) {
                    found.push(Use { path, name: name.to_string(), passed_on });
                }
                return;
            }
            TokenTree::Ident(word) => path.push(word.to_string()),
            TokenTree::Punct(mark) if mark.as_char() == '*' => path.push("*".to_owned()),
            TokenTree::Group(group) => {
                let inner: Vec<TokenTree> = group.stream().into_iter().collect();
                for part in inner.split(|tree| is_mark(Some(tree), ',')) {
                    if !part.is_empty() {
                        use_tree(part, &path, passed_on, found);
                    }
                }
                return;
            }
            _ => {}
        }
        at += 1;
    }
    if path.last().is_some_and(|last| last == "self") {
        path.pop();
    }
    if let Some(name) = path.last().cloned() {
        found.push(Use { path, name, passed_on });
    }
}

/// Reads uses and paths, tests left out.
fn read(stream: TokenStream, source: &mut Source) {
    let trees: Vec<TokenTree> = stream.into_iter().collect();
    let (mut at, mut start) = (0, 0);
    while at < trees.len() {
        let end = if is_test(&trees, at) {
            let ends = |tree: &TokenTree| match tree {
                TokenTree::Group(group) => group.delimiter() == Delimiter::Brace,
                other => is_mark(Some(other), ';'),
            };
            trees[at..].iter().position(ends).map_or(trees.len(), |end| at + end + 1)
        } else if is_word(trees.get(at), "use") {
            let end = trees[at..].iter().position(|tree| is_mark(Some(tree), ';')).map_or(trees.len(), |end| at + end);
            let before = at.checked_sub(1).and_then(|before| trees.get(before));
            let is_limited = matches!(before, Some(TokenTree::Group(_))) && at > 1 && is_word(trees.get(at - 2), "pub");
            use_tree(&trees[at + 1..end], &[], is_word(before, "pub") || is_limited, &mut source.uses);
            end + 1
        } else if let TokenTree::Group(group) = &trees[at] {
            read(group.stream(), source);
            at + 1
        } else {
            at += 1;
            continue;
        };
        source.paths.extend(words(&trees[start..at]));
        (at, start) = (end, end);
    }
    source.paths.extend(words(&trees[start.min(trees.len())..]));
}

/// Whether an attribute that keeps an item for tests begins here.
fn is_test(trees: &[TokenTree], at: usize) -> bool {
    let Some(TokenTree::Group(group)) = trees.get(at + 1) else { return false };
    is_mark(trees.get(at), '#') && group.stream().to_string().replace(' ', "") == "cfg(test)"
}

impl Graph {
    /// Of the sources below a folder. `files`: each file's path from that folder, and its text.
    pub fn of(files: &[(PathBuf, String)]) -> Self {
        let mut sources = BTreeMap::new();
        for (file, text) in files {
            let mut source = Source { file: file.clone(), uses: Vec::new(), paths: Vec::new() };
            read(text.parse().unwrap_or_else(|error| panic!("{}: {error}", file.display())), &mut source);
            sources.insert(module_of(file), source);
        }
        Self { sources }
    }

    /// The module that a path leads to from a module: followed through names that modules pass on.
    fn target(&self, from: &Module, path: &[String], seen: &mut BTreeSet<(Module, Vec<String>)>) -> Option<Module> {
        if !seen.insert((from.clone(), path.to_vec())) {
            return None;
        }
        let mut at = from.clone();
        let mut rest = path;
        match rest.first()?.as_str() {
            "crate" => {
                at = Vec::new();
                rest = &rest[1..];
            }
            "self" => rest = &rest[1..],
            "super" => {
                while rest.first().is_some_and(|word| word == "super") {
                    at.pop();
                    rest = &rest[1..];
                }
            }
            first => {
                let child: Module = at.iter().cloned().chain([first.to_owned()]).collect();
                if !self.sources.contains_key(&child) {
                    let known = self.sources.get(from)?.uses.iter().find(|known| known.name == first)?;
                    if known.path.len() == 1 && known.path[0] == first {
                        return None;
                    }
                    let through: Vec<String> = known.path.iter().chain(&rest[1..]).cloned().collect();
                    return self.target(from, &through, seen);
                }
            }
        }
        while let Some(next) = rest.first() {
            let child: Module = at.iter().cloned().chain([next.clone()]).collect();
            if self.sources.contains_key(&child) {
                at = child;
                rest = &rest[1..];
                continue;
            }
            let source = self.sources.get(&at)?;
            let known = source.uses.iter().find(|known| &known.name == next);
            return match known {
                Some(known) => {
                    let through: Vec<String> = known.path.iter().chain(&rest[1..]).cloned().collect();
                    Some(self.target(&at, &through, seen).unwrap_or(at))
                }
                None => Some(at),
            };
        }
        Some(at)
    }

    /// Every module that a module names, itself aside, with the first path that does. What it passes on of the modules
    /// within it is not named: that is what a module's own page is for.
    pub fn names(&self, module: &Module) -> BTreeMap<Module, String> {
        let mut named = BTreeMap::new();
        let source = &self.sources[module];
        let uses = source.uses.iter().map(|one| (&one.path, one.passed_on));
        let paths = source.paths.iter().filter(|path| path.len() > 1).map(|path| (path, false));
        for (path, passed_on) in uses.chain(paths) {
            if let Some(target) = self.target(module, path, &mut BTreeSet::new())
                && &target != module
                && !(passed_on && target.starts_with(module))
            {
                named.entry(target).or_insert_with(|| path.join("::"));
            }
        }
        named
    }

    /// Every module with its file.
    pub fn modules(&self) -> impl Iterator<Item = (&Module, &Path)> {
        self.sources.iter().map(|(module, source)| (module, source.file.as_path()))
    }

    /// Files that lead to one another by what they name: the strongly connected parts of the graph.
    pub fn circles(&self) -> Vec<Circle> {
        let modules: Vec<&Module> = self.sources.keys().collect();
        let index: BTreeMap<&Module, usize> =
            modules.iter().enumerate().map(|(index, module)| (*module, index)).collect();
        let named: Vec<BTreeMap<Module, String>> = modules.iter().map(|module| self.names(module)).collect();
        let next: Vec<Vec<usize>> =
            named.iter().map(|named| named.keys().filter_map(|module| index.get(module).copied()).collect()).collect();
        let mut reach: Vec<BTreeSet<usize>> = Vec::with_capacity(modules.len());
        for start in 0..modules.len() {
            let (mut seen, mut open) = (BTreeSet::new(), next[start].clone());
            while let Some(at) = open.pop() {
                if seen.insert(at) {
                    open.extend(&next[at]);
                }
            }
            reach.push(seen);
        }
        let mut circles = Vec::new();
        let mut told = BTreeSet::new();
        for start in 0..modules.len() {
            let circle: Vec<usize> =
                reach[start].iter().copied().filter(|&other| reach[other].contains(&start)).collect();
            if circle.is_empty() || !told.insert(circle.clone()) {
                continue;
            }
            let paths = circle.iter().flat_map(|&from| {
                let to = circle.iter().filter(move |&&to| to != from);
                let named = &named;
                let modules = &modules;
                to.filter_map(move |&to| {
                    let path = named[from].get(modules[to])?;
                    Some(format!("{} names {path}", self.sources[modules[from]].file.display()))
                })
            });
            let files = circle.iter().map(|&at| self.sources[modules[at]].file.clone()).collect();
            circles.push(Circle { files, names: paths.collect() });
        }
        circles
    }
}

fn module_of(file: &Path) -> Module {
    let mut parts: Module =
        file.with_extension("").components().map(|part| part.as_os_str().to_string_lossy().into_owned()).collect();
    if parts.last().is_some_and(|last| last == "mod" || last == "lib" || last == "main") {
        parts.pop();
    }
    parts
}
