//! A document on a screen of a given width, in brief or in full.

use super::grid::grid;
use crate::report::document::{Block, Cell, DEFERENCE, Document, Extent, Place, Section, Table};
use crate::report::words::wrapped;

/// What a text is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Screen {
    /// Characters of a line.
    pub width: usize,
    /// How much is shown.
    pub extent: Extent,
}

/// Indent of everything but headings.
const INDENT: &str = "  ";

/// The text, with line breaks and a last line that says where it comes from.
pub fn document_text(d: &Document, screen: Screen) -> String {
    let mut page = Page {
        screen,
        out: String::new(),
    };
    if !d.title.is_empty() {
        page.wrap(&d.title, "", "");
    }
    if screen.extent == Extent::Full && !d.summary.is_empty() {
        // As one paragraph, wherever the scenario breaks its lines.
        let words: Vec<&str> = d.summary.split_whitespace().collect();
        page.paragraph(&words.join(" "));
    }
    page.cautions(d);
    for section in &d.sections {
        let mut blocks = section.shown(screen.extent).peekable();
        if blocks.peek().is_some() {
            page.heading(&section.heading, &page.left_out(section));
            blocks.for_each(|block| page.block(block));
        }
    }
    page.out
}

struct Page {
    screen: Screen,
    out: String,
}

impl Page {
    fn wrap(&mut self, text: &str, first: &str, rest: &str) {
        self.out += &wrapped(text, self.screen.width, first, rest);
        self.out.push('\n');
    }

    fn paragraph(&mut self, text: &str) {
        self.wrap(text, INDENT, INDENT);
    }

    fn entry(&mut self, mark: &str, text: &str) {
        let first = format!("{INDENT}{mark} ");
        let rest = " ".repeat(first.chars().count());
        self.wrap(text, &first, &rest);
    }

    /// Capitals, and what must keep its letters behind them.
    fn heading(&mut self, text: &str, rest: &str) {
        if text.is_empty() {
            return;
        }
        self.out.push('\n');
        let (words, unit) = text.split_once(" | ").unwrap_or((text, ""));
        let all = [&words.to_uppercase(), unit, rest];
        let all: Vec<&str> = all.into_iter().filter(|part| !part.is_empty()).collect();
        self.wrap(&all.join(" "), "", "");
    }

    /// The rows of a table that are shown.
    fn rows<'a>(&self, table: &'a Table) -> Vec<&'a Vec<Cell>> {
        if self.screen.extent == Extent::Brief && !table.picked.is_empty() {
            let picked = table.picked.iter().take(table.most);
            return picked.filter_map(|i| table.rows.get(*i)).collect();
        }
        let most = match self.screen.extent {
            Extent::Brief => table.brief.min(table.most),
            Extent::Full => table.most,
        };
        table.rows.iter().take(most).collect()
    }

    /// How much of the first table of a section is shown, if not all.
    fn left_out(&self, section: &Section) -> String {
        let first = section
            .shown(self.screen.extent)
            .find_map(|block| match block {
                Block::Table(table) if table.is_at(Place::Screen) => Some(table),
                _ => None,
            });
        let counts = first.map(|t| (self.rows(t).len(), t.rows.len()));
        let short = counts.filter(|(shown, all)| shown < all);
        short.map_or(String::new(), |(shown, all)| format!("({shown} of {all})"))
    }

    fn cautions(&mut self, d: &Document) {
        let Some(cautions) = &d.cautions else {
            return;
        };
        self.heading("cautions", "");
        self.paragraph(DEFERENCE);
        if self.screen.extent == Extent::Full {
            for caution in &cautions.0 {
                self.entry("-", &caution.to_string());
            }
            return;
        }
        let (short, left_out) = cautions.short();
        let more = if left_out { " (all: --full)" } else { "" };
        if !short.is_empty() {
            self.paragraph(&format!("{short}{more}"));
        }
    }

    fn block(&mut self, block: &Block) {
        match block {
            Block::Paragraph(words) => self.paragraph(words),
            Block::Note(words) => self.entry("!", words),
            Block::Sentences(all) => {
                for (i, sentence) in all.iter().enumerate() {
                    self.entry(&format!("{}.", i + 1), sentence);
                }
            }
            Block::List(all) => all.iter().for_each(|entry| self.entry("-", entry)),
            Block::Table(table) if !table.is_at(Place::Screen) => {}
            Block::Table(table) => self.out += &grid(table, &self.rows(table), self.screen.width),
            Block::Code(text) => {
                for line in text.lines() {
                    self.out += &format!("    {line}\n");
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::document::{Column, KJ_PER_MOL};

    #[test]
    fn a_screen_shows_the_first_rows_and_says_how_many_more_there_are() {
        let items: Vec<f64> = (1..=12).map(|i| f64::from(i) * 1e3).collect();
        let table = Table::of("t", &items)
            .column(&items, Column::code("source"), |x| {
                Cell::text(format!("s{x}"))
            })
            .column(&items, Column::number("u", KJ_PER_MOL), |x| {
                Cell::figures(*x, 2)
            })
            .first(2, 10);
        let mut d = Document::new("Title", String::new());
        d.add(
            Section::new("how much")
                .with(Block::Table(table))
                .detail(Block::text("Why.")),
        );
        let text = |extent| document_text(&d, Screen { width: 40, extent });
        let brief = text(Extent::Brief);
        assert!(
            brief.contains("HOW MUCH (2 of 12)\n  source  u, kJ/mol\n  s1000         1.0\n"),
            "{brief}"
        );
        let full = text(Extent::Full);
        assert!(
            full.contains("(10 of 12)") && full.contains("Why."),
            "{full}"
        );
        if let (_, Block::Table(t)) = &mut d.sections[0].blocks[0] {
            *t = t.clone().picked(vec![4, 11]);
        }
        d.sections[0].heading = "how much | in kJ/mol".to_owned();
        let text = document_text(
            &d,
            Screen {
                width: 40,
                extent: Extent::Brief,
            },
        );
        assert!(text.contains("\nHOW MUCH in kJ/mol (2 of 12)\n"), "{text}");
        assert!(text.contains("s5000") && text.contains("s12000") && !text.contains("s1000 "));
    }
}
