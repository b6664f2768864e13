//! Problems of a scenario as people and programs read them.

use crate::scenario::{Problem, Severity};
use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};
use serde_json::{Value, json};

/// Each problem with the line it stands in, marked; then their number.
pub fn problems_text(name: &str, text: &str, problems: &[Problem], colour: bool) -> String {
    let renderer = if colour {
        Renderer::styled()
    } else {
        Renderer::plain()
    };
    let mut out = String::new();
    for p in problems {
        let level = match p.severity {
            Severity::Error => Level::ERROR,
            Severity::Warning => Level::WARNING,
        };
        let title = if p.path.is_empty() {
            p.message.clone()
        } else {
            format!("{}: {}", p.path, p.message)
        };
        let mut group = Group::with_title(level.primary_title(title.as_str()));
        if let Some(span) = &p.span {
            let mark = AnnotationKind::Primary.span(span.clone());
            group = group.element(Snippet::source(text).path(name).annotation(mark));
        }
        if let Some(hint) = &p.hint {
            group = group.element(Level::HELP.message(hint.as_str()));
        }
        out.push_str(&renderer.render(&[group]));
        out.push_str("\n\n");
    }
    out
}

/// The same as a list for programs.
pub fn problems_json(text: &str, problems: &[Problem]) -> Value {
    let list: Vec<Value> = problems
        .iter()
        .map(|p| {
            let position = p.position(text);
            json!({
                "severity": match p.severity { Severity::Error => "error", Severity::Warning => "warning" },
                "path": p.path,
                "message": p.message,
                "hint": p.hint,
                "line": position.map(|x| x.0),
                "column": position.map(|x| x.1),
            })
        })
        .collect();
    Value::Array(list)
}
