//! A document as a piece of HTML: headings, tables with their raw numbers beside, pictures with their words.

use crate::report::document::{Block, Cell, Column, Document, Extent, Kind, Place, Table};
use crate::report::draw::draw;
use crate::report::figure::Figure;
use crate::report::words;
use std::fmt::Write;

/// A table of more columns is set smaller on paper.
const BROAD: usize = 9;

/// Text with what HTML would take as its own replaced; `code` between grave accents.
pub fn escaped(text: &str) -> String {
    let safe = text
        .replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;");
    let mut out = String::with_capacity(safe.len());
    let parts: Vec<&str> = safe.split('`').collect();
    // An accent without its second stays what it is.
    let pairs = (parts.len() - 1) / 2;
    for (i, part) in parts.iter().enumerate() {
        match i {
            0 => {}
            i if i <= 2 * pairs => out.push_str(if i % 2 == 1 { "<code>" } else { "</code>" }),
            _ => out.push('`'),
        }
        out.push_str(part);
    }
    out
}

/// Sections and figures of a document, whose title and cautions stand on the page around it; names of anchors begin with
/// `prefix`.
pub fn document_html(d: &Document, prefix: &str) -> String {
    let mut out = String::new();
    for (i, section) in d.sections.iter().enumerate() {
        let id = format!("{prefix}-{i}");
        let heading = escaped(&section.title());
        let _ = writeln!(out, "<div><h3 id=\"{id}\">{heading}</h3>");
        for block in section.shown(Extent::Full) {
            push(&mut out, block, &section.title());
        }
        out.push_str("</div>\n");
        // After the answer in short, before what explains it.
        if i == 0 {
            d.figures.iter().for_each(|f| out += &figure(f, prefix));
        }
    }
    out
}

fn push(out: &mut String, block: &Block, heading: &str) {
    let list = |out: &mut String, tag: &str, all: &[String]| {
        let _ = writeln!(out, "<{tag}>");
        for entry in all {
            let _ = writeln!(out, "<li>{}</li>", escaped(entry));
        }
        let _ = writeln!(out, "</{tag}>");
    };
    match block {
        Block::Paragraph(words) => {
            let _ = writeln!(out, "<p>{}</p>", escaped(words));
        }
        Block::Note(words) => {
            let _ = writeln!(out, "<p class=\"note\">{}</p>", escaped(words));
        }
        Block::Sentences(all) => list(out, "ol", all),
        Block::List(all) => list(out, "ul", all),
        Block::Table(table) if table.name.is_empty() || !table.is_at(Place::Page) => {}
        Block::Table(table) => push_table(out, table, heading),
        Block::Code(text) => {
            let _ = writeln!(
                out,
                "<pre tabindex=\"0\">{}</pre>",
                escaped(&text.replace('`', "'"))
            );
        }
    }
}

/// A picture with its words; nothing where there is nothing to draw.
fn figure(figure: &Figure, id: &str) -> String {
    let Ok(picture) = draw(figure) else {
        return String::new();
    };
    let svg = own_names(&picture.svg, &format!("{id}-{}", figure.name));
    format!(
        "<figure>{svg}<figcaption>{}</figcaption></figure>\n",
        escaped(&figure.alt)
    )
}

/// A drawing whose inner names do not meet those of another one on the same page.
fn own_names(svg: &str, id: &str) -> String {
    let from = svg.find("<svg").unwrap_or(0);
    svg[from..]
        .replace("id=\"", &format!("id=\"{id}-"))
        .replace("url(#", &format!("url(#{id}-"))
        .replace("href=\"#", &format!("href=\"#{id}-"))
}

fn push_table(out: &mut String, table: &Table, heading: &str) {
    let columns: Vec<(usize, &Column)> = table.columns_at(Place::Page).collect();
    let class = match columns.len() > BROAD {
        true => "wide broad",
        false => "wide",
    };
    let _ = writeln!(
        out,
        "<div class=\"{class}\" tabindex=\"0\" role=\"region\" aria-label=\"{0}\"><table data-name=\"{1}\"><caption>{0}</caption><thead><tr>",
        escaped(heading),
        table.name
    );
    for (_, c) in &columns {
        let class = if c.is_number() { " class=\"n\"" } else { "" };
        let title = c.title();
        let _ = match title.is_empty() {
            true => write!(out, "<td></td>"),
            false => write!(out, "<th scope=\"col\"{class}>{}</th>", escaped(&title)),
        };
    }
    out.push_str("</tr></thead><tbody>\n");
    for row in &table.rows {
        out.push_str("<tr>");
        for (i, c) in &columns {
            let shown = escaped(&row[*i].shown(c.kind, &c.unit));
            let shown = match c.kind {
                Kind::Code => format!("<code>{shown}</code>"),
                _ => shown,
            };
            let _ = match &row[*i] {
                Cell::Missing(why) if c.is_number() => {
                    write!(out, "<td class=\"n\" title=\"{}\">–</td>", escaped(why))
                }
                Cell::Missing(why) => write!(out, "<td title=\"{}\">–</td>", escaped(why)),
                Cell::Number { value, .. } => {
                    write!(
                        out,
                        "<td class=\"n\" data-v=\"{value}\">{}</td>",
                        minus(&shown)
                    )
                }
                Cell::Interval { low, .. } => {
                    write!(
                        out,
                        "<td class=\"n\" data-v=\"{low}\">{}</td>",
                        minus(&shown)
                    )
                }
                Cell::Text(_) if c.is_number() => write!(out, "<td class=\"n\">{shown}</td>"),
                Cell::Text(_) => write!(out, "<td>{shown}</td>"),
            };
        }
        out.push_str("</tr>\n");
    }
    out.push_str("</tbody></table></div>\n");
}

/// Numbers with the sign that print has for them.
fn minus(number: &str) -> String {
    match number.contains('e') {
        true => number.to_owned(),
        false => words::minus(number),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_of_a_scenario_cannot_become_markup() {
        assert_eq!(escaped("a < b & `c`"), "a &lt; b &amp; <code>c</code>");
        assert_eq!(escaped("<script>\"`"), "&lt;script&gt;&quot;`");
    }
}
