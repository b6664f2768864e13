//! The loosest tolerances as the scenario would state them, to be copied.

use crate::design::{Answer, Looseness, Loosest};
use crate::report::document::{Block, Section};
use crate::scenario::SourceId;

/// A window that may be more than so many times as wide costs little.
const WIDE: f64 = 3.0;

/// A line for each key.
fn lines(all: &[&Loosest]) -> String {
    let each = all.iter().flat_map(|x| {
        let own = x.set.iter().enumerate();
        own.map(|(i, (key, text))| {
            let further = if i == 0 { "" } else { "  " };
            format!("{further}{key} = \"{text}\"")
        })
    });
    each.collect::<Vec<_>>().join("\n")
}

/// What to write into the scenario: one tolerance, or all of them.
pub(super) fn statements(l: &Looseness) -> Section {
    let changes = |x: &&Loosest| matches!(x.answer, Answer::Factor(_)) && !x.set.is_empty();
    let alone: Vec<&Loosest> = l.tolerances.iter().filter(changes).collect();
    let mut section = Section::new("the loosest, as the scenario would state it");
    if alone.is_empty() {
        return section;
    }
    section = section
        .detail(Block::text(
            "One at a time, cut to three figures and simulated once more; indented lines belong to the one above. An \
             unreasonably large value says that this error hardly matters.",
        ))
        .detail(Block::Code(lines(&alone)));
    if changes(&&l.together) {
        section = section
            .detail(Block::text("Or all together:"))
            .detail(Block::Code(lines(&[&l.together])));
    }
    let wide = |x: &Loosest| match x.answer {
        Answer::Any(_) => true,
        Answer::Factor(f) => f.value > WIDE,
        Answer::Never(_) => false,
    };
    let window = |x: &&Loosest| x.source.is_some_and(|s| s.id == SourceId::Window);
    if l.tolerances.iter().filter(window).any(wide) {
        section = section.detail(Block::text(
            "A wide window of the mass costs little here; `joulecast sweep` shows what the target mass itself does.",
        ));
    }
    section
}
