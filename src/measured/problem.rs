//! What is wrong with a file, and where.

use std::fmt;

/// One problem of a file of measured data.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileProblem {
    /// What the file is called.
    pub file: String,
    /// Line, from 1; none for the file as a whole.
    pub line: Option<usize>,
    /// Header of the column as written.
    pub column: Option<String>,
    /// What is wrong.
    pub message: String,
    /// What to do.
    pub hint: Option<String>,
}

impl fmt::Display for FileProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.file)?;
        if let Some(line) = self.line {
            write!(f, ", line {line}")?;
        }
        if let Some(column) = &self.column {
            write!(f, ", column \"{column}\"")?;
        }
        write!(f, ": {}", self.message)?;
        match &self.hint {
            Some(hint) => write!(f, "; {hint}"),
            None => Ok(()),
        }
    }
}

/// Lines of repeats that are named beside their number.
const NAMED: usize = 4;

/// Problems of one kind in one column.
struct Group {
    kind: &'static str,
    first: FileProblem,
    /// Lines of the first few repeats.
    lines: Vec<usize>,
    repeats: usize,
}

/// The problems of a file while it is read; repeats of a kind in a column are folded into one.
pub(super) struct Problems {
    file: String,
    groups: Vec<Group>,
}

impl Problems {
    pub(super) fn new(file: &str) -> Self {
        Self {
            file: file.to_owned(),
            groups: Vec::new(),
        }
    }

    /// Adds a problem of a kind at a line and a column.
    pub(super) fn add(
        &mut self,
        kind: &'static str,
        line: impl Into<Option<usize>>,
        column: Option<&str>,
        message: impl fmt::Display,
        hint: &str,
    ) {
        let line = line.into();
        let same = |g: &&mut Group| g.kind == kind && g.first.column.as_deref() == column;
        if let Some(group) = self.groups.iter_mut().find(same) {
            group.repeats += 1;
            group.lines.extend(line.filter(|_| group.repeats <= NAMED));
            return;
        }
        self.groups.push(Group {
            kind,
            first: FileProblem {
                file: self.file.clone(),
                line,
                column: column.map(str::to_owned),
                message: message.to_string(),
                hint: (!hint.is_empty()).then(|| hint.to_owned()),
            },
            lines: Vec::new(),
            repeats: 0,
        });
    }

    /// Whether there is one of these kinds.
    pub(super) fn has(&self, kinds: &[&str]) -> bool {
        self.groups.iter().any(|g| kinds.contains(&g.kind))
    }

    /// Whether there are none.
    pub(super) fn is_empty(&self) -> bool {
        self.groups.is_empty()
    }

    /// All of them in the order of their lines, those of the file as a whole first.
    pub(super) fn all(self) -> Vec<FileProblem> {
        let mut all: Vec<FileProblem> = self.groups.into_iter().map(Group::folded).collect();
        all.sort_by_key(|p| p.line);
        all
    }
}

impl Group {
    fn folded(self) -> FileProblem {
        let mut first = self.first;
        if self.repeats > 0 {
            first.message += &format!(" (and {} more like it", self.repeats);
            let more = if self.repeats > self.lines.len() {
                ", ..."
            } else {
                ""
            };
            let lines: Vec<String> = self.lines.iter().map(usize::to_string).collect();
            match self.lines.len() {
                0 => {}
                1 if more.is_empty() => first.message += &format!(", in line {}", lines[0]),
                _ => first.message += &format!(", in lines {}{more}", lines.join(", ")),
            }
            first.message.push(')');
        }
        first
    }
}

/// A text of a file as it can stand in a message: one line, not too long.
pub(super) fn shown(text: &str) -> String {
    const MOST: usize = 40;
    let plain = |c: char| if c.is_control() { ' ' } else { c };
    let mut out: String = text.chars().take(MOST).map(plain).collect();
    if text.chars().nth(MOST).is_some() {
        out.push_str("...");
    }
    out
}
