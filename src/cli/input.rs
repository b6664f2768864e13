//! Getting a scenario from a file or from the built-in ones.

use super::Exit;
use super::output;
use super::progress::{interruption, stopped};
use super::read::{Content, STANDARD_INPUT, Unread, given, held};
use crate::experiment::advise;
use crate::forecast::{Sound, sound};
use crate::library::Library;
use crate::report::{count_text, problems_json, problems_text};
use crate::scenario::{
    Concern, Problem, Problems, Scenario, Severity, builtin_text, is_library, library_file,
    library_of, read_in, shipped, shipped_names, with_file,
};
use std::borrow::Cow;
use std::path::Path;
use std::sync::OnceLock;

/// A scenario's text and what to call it.
#[derive(Debug, Clone)]
pub(super) struct Source {
    pub name: String,
    pub text: String,
}

/// The scenario of standard input, which can be read only once.
static GIVEN: OnceLock<Source> = OnceLock::new();

/// Finds the text: a file, standard input, a built-in scenario by name, or the built-in one.
pub(super) fn source(named: Option<&str>, as_json: bool) -> Result<Source, Exit> {
    let Some(name) = named else {
        return Ok(Source {
            name: "built-in scenario".to_owned(),
            text: builtin_text().to_owned(),
        });
    };
    if let Some(text) = shipped(name) {
        return Ok(Source {
            name: name.to_owned(),
            text: text.to_owned(),
        });
    }
    let piped = name == STANDARD_INPUT;
    if let (true, Some(given)) = (piped, GIVEN.get()) {
        return Ok(given.clone());
    }
    let shown = if piped { "standard input" } else { name };
    let bytes = given(Path::new(name), Content::Scenario).map_err(|e| {
        output::complain(&format!("cannot read {shown}: {}", why(name, e)));
        Exit::ReadWrite
    })?;
    let text = match String::from_utf8(bytes) {
        Ok(text) => text,
        Err(e) => return Err(not_utf8(shown, &e, as_json)),
    };
    let source = Source {
        name: shown.to_owned(),
        text: text.trim_start_matches('\u{feff}').to_owned(),
    };
    if piped {
        return Ok(GIVEN.get_or_init(|| source).clone());
    }
    Ok(source)
}

/// Why a file cannot be read; a name that is no file may have been meant for a built-in scenario.
fn why(name: &str, e: Unread) -> String {
    if !e.absent {
        return e.why;
    }
    let near = shipped_names()
        .map(|n| (crate::quantity::edits(n, name), n))
        .filter(|(d, n)| *d <= n.len() / 3 || name.len() >= 3 && n.contains(name))
        .min();
    let all = shipped_names().collect::<Vec<_>>().join(", ");
    match near {
        Some((_, near)) => format!(
            "there is no such file; did you mean the built-in `{near}`? (built-in scenarios: {all})"
        ),
        None => format!("there is no such file (built-in scenarios: {all})"),
    }
}

/// Points at the first byte that is not text.
fn not_utf8(name: &str, e: &std::string::FromUtf8Error, as_json: bool) -> Exit {
    let at = e.utf8_error().valid_up_to();
    let source = Source {
        name: name.to_owned(),
        text: String::from_utf8_lossy(e.as_bytes()).into_owned(),
    };
    let problem = Problem::error("", "not UTF-8 text")
        .hint("save the file with the encoding UTF-8")
        .at(Some(at..at + '\u{fffd}'.len_utf8()));
    refuse(&source, &Problems(vec![problem]), as_json)
}

/// Reads a scenario; problems go where the user looks.
pub(super) fn scenario(source: &Source, as_json: bool) -> Result<Scenario, Exit> {
    let library = shelf(source, as_json)?;
    read_in(&source.text, &[], &library).map_err(|problems| refuse(source, &problems, as_json))
}

/// Finds and reads a scenario, with the advice about its records.
pub(super) fn advised(named: Option<&str>, as_json: bool) -> Result<Scenario, Exit> {
    let mut own = scenario(&source(named, as_json)?, as_json)?;
    advise(&mut own);
    Ok(own)
}

/// The same for a study that compares spreads: an error without one is refused.
pub(super) fn with_spread(named: Option<&str>, as_json: bool) -> Result<Scenario, Exit> {
    let source = source(named, as_json)?;
    let mut own = scenario(&source, as_json)?;
    has_spread(&source, &own, as_json)?;
    has_results(&own, as_json)?;
    advise(&mut own);
    Ok(own)
}

/// Refuses a study of a scenario that hardly gives a result.
pub(super) fn has_results(own: &Scenario, as_json: bool) -> Result<(), Exit> {
    states(&tried(own)?, as_json)
}

/// What a few trials of a scenario give.
pub(super) fn tried(own: &Scenario) -> Result<Sound, Exit> {
    sound(own, Some(interruption())).map_err(stopped)
}

/// Says why nothing is stated, if so many trials came to nothing.
pub(super) fn states(found: &Sound, as_json: bool) -> Result<(), Exit> {
    let Some(why) = found.refusal() else {
        return Ok(());
    };
    if as_json {
        let document = problems_json(None, "", &[why]);
        return Err(output::say(&output::pretty(&document), Exit::Missed));
    }
    output::complain(&format!("no answer: {why}"));
    Err(Exit::Missed)
}

/// Refuses a scenario whose results have no spread.
pub(super) fn has_spread(source: &Source, own: &Scenario, as_json: bool) -> Result<(), Exit> {
    let without = own
        .warnings
        .iter()
        .filter(|p| p.concern == Some(Concern::NoSpread));
    let refused: Vec<Problem> = without
        .map(|p| Problem {
            severity: Severity::Error,
            message: p.message.replace(
                "; only intervals are stated",
                ", and this command compares spreads",
            ),
            hint: Some("state more degrees of freedom; `forecast` gives intervals".to_owned()),
            ..p.clone()
        })
        .collect();
    if refused.is_empty() {
        return Ok(());
    }
    Err(refuse(source, &Problems(refused), as_json))
}

/// The library with all entries of a scenario's own, whatever else it says.
pub(super) fn library(source: &Source, as_json: bool) -> Result<Library, Exit> {
    let library = shelf(source, as_json)?;
    library_of(&source.text, &library).map_err(|problems| refuse(source, &problems, as_json))
}

/// The built-in library with the entries of the file that a scenario names, if it names one; the
/// file lies beside the scenario.
fn shelf(source: &Source, as_json: bool) -> Result<Cow<'static, Library>, Exit> {
    let builtin = Library::builtin();
    let Some((name, span)) = library_file(&source.text) else {
        return Ok(Cow::Borrowed(builtin));
    };
    let path = Path::new(&source.name).with_file_name(&name);
    let refused = |why: &str, hint: &str| {
        let message = format!("cannot read {}: {why}", path.display());
        let problem = Problem::error("library_file", message).hint(hint);
        refuse(source, &Problems(vec![problem.at(Some(span))]), as_json)
    };
    let bytes = match held(&path, Content::Library) {
        Ok(bytes) => bytes,
        Err(e) => {
            refused(&e.why, "its path counts from the folder of the scenario");
            return Err(Exit::ReadWrite);
        }
    };
    let text = match String::from_utf8(bytes) {
        Ok(text) => text.trim_start_matches('\u{feff}').to_owned(),
        Err(_) => return Err(refused("not UTF-8 text", "save it with the encoding UTF-8")),
    };
    if !is_library(&text) {
        let hint = "it has sections such as [reactions] or [substances]";
        return Err(refused("it is no library file", hint));
    }
    let found = with_file(builtin, &name, &text).map(Cow::Owned);
    found.map_err(|problems| {
        let name = path.display().to_string();
        refuse(&Source { name, text }, &problems, as_json)
    })
}

pub(super) fn refuse(source: &Source, problems: &Problems, as_json: bool) -> Exit {
    let Problems(list) = problems;
    if as_json {
        let document = problems_json(Some(&source.name), &source.text, list);
        return output::say(&output::pretty(&document), Exit::BadInput);
    }
    let colour = output::coloured(&std::io::stderr());
    let told = problems_text(&source.name, &source.text, list, colour);
    output::complain_coloured(&format!("{told}{}", count_text(list)));
    Exit::BadInput
}
