//! What must be read before the work: in full on paper, in at most three lines and a sentence on a screen.

use crate::scenario::Caution;

/// The sentence that stands before all cautions.
pub const DEFERENCE: &str = "General information only: follow local rules, the current safety data sheets and a \
                             qualified supervisor.";

/// Characters that the hazards may take on a screen: three lines of it.
const ROOM: usize = 225;

/// Cautions in the order of the procedure.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Cautions(pub Vec<Caution>);

impl Cautions {
    /// Each thing with what is said of it.
    pub fn by_thing(&self) -> Vec<(&str, Vec<&str>)> {
        let mut all: Vec<(&str, Vec<&str>)> = Vec::new();
        for caution in &self.0 {
            match all.iter_mut().find(|(of, _)| *of == caution.of) {
                Some((_, texts)) => texts.push(&caution.text),
                None => all.push((&caution.of, vec![&caution.text])),
            }
        }
        all
    }

    /// The hazards in short: with all words if there is room, else statements by their codes, what explodes first; and
    /// whether something had to be left out.
    pub fn short(&self) -> (String, bool) {
        let mut all = self.by_thing();
        all.retain(|(_, texts)| texts.iter().any(|t| !t.contains("o hazard statement")));
        let whole: Vec<String> = all
            .iter()
            .map(|(of, texts)| format!("{of}: {}", texts.join("; ")))
            .collect();
        let whole = whole.join(". ");
        if whole.chars().count() <= ROOM {
            return (whole, false);
        }
        all.sort_by_key(|(_, texts)| !texts.iter().any(|t| t.contains("xplode")));
        let mut said = String::new();
        for (of, texts) in all {
            let mut parts: Vec<String> = Vec::new();
            for text in texts {
                let codes = codes(text);
                let short = match codes.is_empty() || text.contains("xplode") {
                    true => clause(text).to_owned(),
                    false => codes.join(", "),
                };
                if !parts.contains(&short) {
                    parts.push(short);
                }
            }
            let one = format!("{}: {}", clause(of), parts.join(", "));
            let gap = if said.is_empty() { "" } else { "; " };
            if said.chars().count() + gap.len() + one.chars().count() > ROOM {
                continue;
            }
            said = said + gap + &one;
        }
        (said, true)
    }
}

/// Codes of hazard statements of the globally harmonised system: `H302`.
fn codes(text: &str) -> Vec<&str> {
    let words = text.split(|c: char| !c.is_ascii_alphanumeric());
    words
        .filter(|w| {
            w.len() == 4 && w.starts_with('H') && w[1..].bytes().all(|b| b.is_ascii_digit())
        })
        .collect()
}

/// What stands before the first colon, semicolon or, in a name, comma or bracket.
fn clause(text: &str) -> &str {
    text.split([':', ';', '(']).next().unwrap_or(text).trim()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn caution(of: &str, text: &str) -> Caution {
        Caution {
            of: of.to_owned(),
            text: text.to_owned(),
        }
    }

    #[test]
    fn few_cautions_keep_their_words_and_many_their_codes() {
        let few = Cautions(vec![
            caution("salt", "No hazard statement"),
            caution("acid", "H290 may be corrosive to metals"),
        ]);
        let kept = "acid: H290 may be corrosive to metals";
        assert_eq!(few.short(), (kept.to_owned(), false));
        let mut many = vec![caution("base", &"H314 causes burns ".repeat(9)); 3];
        many.push(caution("oxide", "Never with acid: it explodes"));
        let (short, left_out) = Cautions(many).short();
        assert!(left_out);
        assert_eq!(
            short,
            "oxide: Never with acid; base: H314, H314, H314, H314, H314, H314, H314, H314, H314"
        );
    }
}
