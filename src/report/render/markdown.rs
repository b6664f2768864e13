//! A document as Markdown, for a report that somebody goes on writing.

use crate::report::document::{Block, DEFERENCE, Document, Extent, Place, Table};
use crate::report::plain::{in_markdown, line};
use std::fmt::Write;

/// All of it.
pub fn document_markdown(d: &Document) -> String {
    let mut out = format!("# {}\n", in_markdown(&line(&d.title)));
    if !d.summary.is_empty() {
        let _ = write!(out, "\n{}\n", in_markdown(&d.summary));
    }
    if let Some(cautions) = &d.cautions {
        let _ = write!(out, "\n## Cautions\n\n{DEFERENCE}\n\n");
        for (of, texts) in cautions.by_thing() {
            let _ = writeln!(
                out,
                "- {}",
                in_markdown(&format!("{of}: {}", texts.join("; ")))
            );
        }
    }
    for section in &d.sections {
        let _ = write!(out, "\n## {}\n", in_markdown(&section.title()));
        for block in section.shown(Extent::Full) {
            out.push('\n');
            push(&mut out, block);
        }
    }
    for figure in &d.figures {
        let _ = write!(out, "\n![{}]({}.svg)\n", figure.alt, figure.name);
    }
    let _ = write!(out, "\n{}\n", d.provenance);
    out
}

fn push(out: &mut String, block: &Block) {
    let _ = match block {
        Block::Paragraph(words) => writeln!(out, "{}", in_markdown(words)),
        Block::Note(words) => writeln!(out, "> {}", in_markdown(words)),
        Block::Sentences(all) => {
            for (i, sentence) in all.iter().enumerate() {
                let _ = writeln!(out, "{}. {}", i + 1, in_markdown(sentence));
            }
            Ok(())
        }
        Block::List(all) => {
            for entry in all {
                let _ = writeln!(out, "- {}", in_markdown(entry));
            }
            Ok(())
        }
        Block::Table(table) if table.name.is_empty() || !table.is_at(Place::Page) => Ok(()),
        Block::Table(table) => {
            out.push_str(&table_markdown(table));
            Ok(())
        }
        Block::Code(text) => writeln!(out, "```\n{text}\n```"),
    };
}

fn table_markdown(table: &Table) -> String {
    let line = |cells: Vec<String>| format!("| {} |\n", cells.join(" | "));
    let columns: Vec<_> = table.columns_at(Place::Page).collect();
    let mut out = line(columns.iter().map(|(_, c)| c.title()).collect());
    let rule = |number: bool| if number { "---:" } else { "---" }.to_owned();
    out += &line(columns.iter().map(|(_, c)| rule(c.is_number())).collect());
    for row in &table.rows {
        let cell = |(i, c): &(usize, &crate::report::document::Column)| {
            in_markdown(&row[*i].shown(c.kind, &c.unit)).replace('|', "\\|")
        };
        out += &line(columns.iter().map(cell).collect());
    }
    out
}
