//! `joulecast loosen`

use super::args::{Common, Loosen as Arguments};
use super::folder::{Folder, drawn, failed};
use super::goal::{asked, refused};
use super::progress::{Progress, interruption};
use super::sweep::trials;
use super::{Exit, input, output};
use crate::design::{DesignOptions, Looseness, all_steps, looseness};
use crate::report::{
    OutFile, loosen_csv, loosen_json, loosen_pictures, loosen_text, provenance_of_points,
};

pub(super) fn run(a: &Arguments, common: &Common) -> Result<Exit, Exit> {
    let scenario = input::with_spread(a.scenario.as_deref(), common.json)?;
    let (scenario, goal, cap) = asked(&a.goal, scenario)?;
    let Some(goal) = goal else {
        return Err(refused(
            "no target: add --spread \"1.5 %\", --within \"3 %\" or --pass \"95 %\", or `uncertainty` under [target] of the \
             scenario",
        ));
    };
    let folder = Folder::ready(common, true)?;
    let bar = Progress::steps(all_steps(&scenario), "questions");
    let tick = |done: u64| bar.set(done);
    let options = DesignOptions {
        trials: trials(common),
        interrupt: Some(interruption()),
        progress: Some(&tick),
        ..DesignOptions::new(common.seed)
    };
    let outcome = looseness(&scenario, goal, cap, &options);
    bar.clear();
    let l = outcome.map_err(|e| {
        output::complain(&e.to_string());
        Exit::Interrupted
    })?;
    let origin = provenance_of_points(l.seed, l.trials, &l.scenario.digest);
    let mut text = loosen_text(&l);
    let met = goal.met(l.now.value);
    if !met {
        text.push_str("\nTARGET MISSED as things are.\n");
    }
    if let Some(folder) = folder {
        text.push_str(&folder.write(&files(&l, &text, &origin)?)?);
    }
    text.push_str(&format!("{origin}\n"));
    let exit = if met { Exit::Done } else { Exit::Missed };
    Ok(if common.json {
        output::say(&output::pretty(&loosen_json(&l)), exit)
    } else {
        output::say(&text, exit)
    })
}

fn files(l: &Looseness, text: &str, origin: &str) -> Result<Vec<OutFile>, Exit> {
    let mut files = vec![
        OutFile::text("loosen.txt", format!("{text}{origin}\n")),
        OutFile::text("loosen.json", output::pretty(&loosen_json(l))),
    ];
    for (name, bytes) in loosen_csv(l, origin).map_err(|e| failed(&e))? {
        files.push(OutFile {
            name: name.to_owned(),
            bytes,
        });
    }
    files.extend(drawn(loosen_pictures(l)));
    Ok(files)
}
