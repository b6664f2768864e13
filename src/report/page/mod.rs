//! One page with everything that was asked of a scenario: a single file without network, to read and to print.
//!
//! With scripts off all of it is there; with scripts tables sort and a study of two numbers can be looked up.

pub(in crate::report) mod json;
mod study;

pub use study::Study;

use super::document::{Cautions, DEFERENCE, Document};
use super::render::{document_html, escaped};
use std::fmt::Write;

/// A part of the page.
#[derive(Debug, Clone, Default)]
pub struct Chapter {
    /// Name of its anchor.
    pub id: &'static str,
    /// Its heading.
    pub heading: String,
    /// What it says.
    pub documents: Vec<Document>,
    /// A study to be looked up.
    pub study: Option<Study>,
    /// Text to be copied as it is.
    pub code: String,
    /// Finished HTML of our own, such as a rendered topic of the manual.
    pub html: String,
}

/// The whole page.
#[derive(Debug, Clone, Default)]
pub struct Page {
    /// Title of the scenario.
    pub title: String,
    /// Its summary.
    pub summary: String,
    /// What must be read before the work.
    pub cautions: Cautions,
    /// The parts in order.
    pub chapters: Vec<Chapter>,
    /// Where all of it comes from.
    pub provenance: String,
}

impl Page {
    /// The page as one HTML file.
    pub fn html(&self) -> String {
        let title = escaped(&self.title);
        let mut out = format!(
            "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" \
             content=\"width=device-width, initial-scale=1\">\n<title>{title}</title>\n<style>{}</style>\n</head>\n<body>\n\
             <header>\n<h1>{title}</h1>\n<p class=\"summary\">{}</p>\n<p class=\"origin\">{}</p>\n</header>\n",
            include_str!("style.css"),
            escaped(&self.summary),
            escaped(&self.provenance),
        );
        out.push_str("<nav aria-label=\"Contents\"><ul>\n");
        for chapter in &self.chapters {
            let _ = writeln!(
                out,
                "<li><a href=\"#{}\">{}</a></li>",
                chapter.id,
                escaped(&chapter.heading)
            );
        }
        out.push_str("</ul></nav>\n<main>\n");
        let _ = writeln!(
            out,
            "<section class=\"cautions\" aria-labelledby=\"cautions\"><h2 id=\"cautions\">Cautions</h2>\n<p>{DEFERENCE}</p>\n<ul>"
        );
        for (of, texts) in self.cautions.by_thing() {
            let _ = writeln!(
                out,
                "<li><b>{}</b>: {}</li>",
                escaped(of),
                escaped(&texts.join("; "))
            );
        }
        out.push_str("</ul></section>\n");
        for chapter in &self.chapters {
            chapter.push(&mut out);
        }
        let _ = write!(
            out,
            "</main>\n<footer class=\"origin\"><p>{}</p></footer>\n<script>{}</script>\n</body>\n</html>\n",
            escaped(&self.provenance),
            include_str!("script.js")
        );
        out
    }
}

impl Chapter {
    fn push(&self, out: &mut String) {
        let id = self.id;
        let _ = writeln!(
            out,
            "<section aria-labelledby=\"{id}\">\n<h2 id=\"{id}\">{}</h2>",
            escaped(&self.heading)
        );
        for (i, document) in self.documents.iter().enumerate() {
            out.push_str(&document_html(document, &format!("{id}-{i}")));
        }
        if let Some(study) = &self.study {
            out.push_str(&study.html());
        }
        if !self.code.is_empty() {
            let code = escaped(&self.code.replace('`', "'"));
            let _ = writeln!(out, "<pre tabindex=\"0\">{code}</pre>");
        }
        out.push_str(&self.html);
        out.push_str("</section>\n");
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_title_cannot_become_markup_and_every_chapter_is_listed() {
        let page = Page {
            title: "<script>alert(1)</script>".to_owned(),
            chapters: vec![Chapter {
                id: "one",
                heading: "One & all".to_owned(),
                ..Chapter::default()
            }],
            ..Page::default()
        };
        let html = page.html();
        assert!(!html.contains("<script>alert"));
        assert!(html.contains("<a href=\"#one\">One &amp; all</a>") && html.contains("id=\"one\""));
        // Nothing is fetched from anywhere.
        assert!(!html.contains("http://") && !html.contains("https://"));
    }
}
