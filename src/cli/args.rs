//! The command line.

use super::examples;
use super::numbers::{seconds, whole};
use clap::{Args, Parser, Subcommand};
use std::path::PathBuf;

/// Forecasts what a solution-calorimetry procedure will deliver.
#[derive(Debug, Parser)]
#[command(
    name = "joulecast",
    version,
    max_term_width = 80,
    disable_help_subcommand = true,
    about = "Forecasts what a solution-calorimetry procedure will deliver: bias, spread and their causes",
    long_about = "Forecasts what a solution-calorimetry procedure will deliver: every error of balance, delivery, \
                  thermometer, vessel, dissolving, reagent and tabulated value is carried from weighing through \
                  calibration to the molar enthalpy, for many simulated groups.\n\n\
                  Without a command it makes the report of the built-in scenario.",
    after_help = "What it computes, how a scenario is written, what words and columns mean: `joulecast help topics`.\n\n\
                  Exit codes: 0 done; 1 ran, a stated target is missed; 2 bad command line or input; \
                  3 could not read or write; 130 interrupted."
)]
pub(super) struct Cli {
    #[command(flatten)]
    pub common: Common,
    #[command(subcommand)]
    pub command: Option<Command>,
}

#[derive(Debug, Args)]
#[command(next_help_heading = "For every command")]
pub(super) struct Common {
    /// Seed of the random streams
    #[arg(long, global = true, default_value_t = 1, value_name = "N", value_parser = whole::<u64>(0, u64::MAX))]
    pub seed: u64,
    /// Run exactly this many trials (simulated groups)
    #[arg(long, global = true, value_name = "N", conflicts_with = "digits",
          value_parser = whole::<u64>(100, 10_000_000_000))]
    pub trials: Option<u64>,
    /// Run until results are good to this many digits of the uncertainty [default for forecast: until
    /// their errors are 1 % of the spread]
    #[arg(long, global = true, value_name = "1|2", value_parser = whole::<u32>(1, 2))]
    pub digits: Option<u32>,
    /// Threads to use; results do not depend on it [default: all]
    #[arg(long, global = true, value_name = "N", value_parser = whole::<usize>(1, 1024))]
    pub threads: Option<usize>,
    /// Folder for pictures and files [default: joulecast-out]
    #[arg(long, global = true, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Print the whole answer instead of one screen of it
    #[arg(long, global = true)]
    pub full: bool,
    /// Print one JSON document and nothing else; files only with --out
    #[arg(long, global = true)]
    pub json: bool,
    /// Print nothing but errors: the answer is in the files, how it ended in the exit code
    #[arg(long, global = true, conflicts_with = "json")]
    pub quiet: bool,
    /// Colours in messages: on a terminal unless NO_COLOR is set, always or never
    #[arg(long, global = true, value_name = "WHEN", default_value = "auto")]
    pub color: Colour,
}

/// When messages have colours.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub(super) enum Colour {
    Auto,
    Always,
    Never,
}

#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// What a competent group will get: bias, spread, interval, claims, and why
    #[command(after_help = examples::FORECAST)]
    Forecast(Forecast),
    /// Which inputs dominate the result, by variance and by bias; the linear budget beside it
    #[command(after_help = examples::RANK)]
    Rank(Rank),
    /// One or two numbers of the scenario against what it delivers; the best split of runs
    #[command(after_help = examples::SWEEP)]
    Sweep(Sweep),
    /// How loose each tolerance may be before a target is missed, and what other instruments bring
    #[command(after_help = examples::LOOSEN)]
    Loosen(Loosen),
    /// Procedures side by side on common random numbers: which one is better, and by how much
    #[command(after_help = examples::COMPARE)]
    Compare(Compare),
    /// Measured runs (CSV): the result, its uncertainty, whether runs agree with each other and with the table
    #[command(after_help = examples::EVALUATE)]
    Evaluate(Evaluate),
    /// One record of temperature against time: simulated, or a measured one reduced in every way
    #[command(after_help = examples::TRACE)]
    Trace(Trace),
    /// What mistakes do to the result, and which single mistake could explain a difference
    #[command(after_help = examples::SLIP)]
    Slip(Slip),
    /// What band is fair, what it notices, and whether the method explains the results of a class
    #[command(after_help = examples::GRADE)]
    Grade(Grade),
    /// All of these answers on one page, to read and to print
    #[command(after_help = examples::REPORT)]
    Report(Report),
    /// Check a scenario file and point at everything that is wrong with it
    #[command(after_help = examples::CHECK)]
    Check(Check),
    /// Show the library: reactions, substances, liquids, instruments, error sources
    #[command(after_help = examples::SHOW)]
    Show(Show),
    /// Write a commented scenario to start from
    #[command(after_help = examples::NEW)]
    New(New),
    /// Explain a topic (`joulecast help topics` lists them), or print the help of a command
    #[command(after_help = examples::HELP)]
    Help(Help),
}

#[derive(Debug, Default, Args)]
pub(super) struct Forecast {
    /// Scenario file, or the name of a built-in one [default: the built-in scenario]
    pub scenario: Option<String>,
    /// Give the shortest 95 % interval instead of the symmetric one
    #[arg(long)]
    pub shortest: bool,
    /// Also set all reductions of the same records side by side, with a picture
    #[arg(long)]
    pub reductions: bool,
    /// Also forecast a class of N groups that share one course
    #[arg(long, value_name = "N", value_parser = whole::<u64>(2, 500))]
    pub class: Option<u64>,
    /// Also write all sampled results to samples.csv
    #[arg(long)]
    pub samples: bool,
}

#[derive(Debug, Args)]
pub(super) struct Evaluate {
    /// Scenario file, or the name of a built-in one: which instruments and reactions there were
    pub scenario: Option<String>,
    /// File of the measured runs; - for standard input
    pub runs: Option<PathBuf>,
    /// What the file calls its columns and kinds of run, for example "solid=m / g, kind=Type, calibration=Cal"
    #[arg(long, value_name = "KEY=NAME, ...")]
    pub columns: Option<String>,
    /// Take run-to-run effects from the observed scatter of the runs instead of what the instruments state
    #[arg(long)]
    pub observed: bool,
    /// What to do about errors that only go one way: leave their mean, correct for it, or also state an asymmetric interval
    #[arg(long, value_name = "HOW", default_value = "ignored")]
    pub one_sided: OneSided,
    /// Show all arithmetic with its numbers
    #[arg(long)]
    pub steps: bool,
    /// Print a file of runs to fill in
    #[arg(long)]
    pub template: bool,
    /// With --template: semicolons and decimal commas
    #[arg(long, requires = "template")]
    pub decimal_comma: bool,
    /// With --template: also columns that may be filled in in place of others, such as net masses, change and mixing
    #[arg(long, requires = "template")]
    pub all_columns: bool,
}

#[derive(Debug, Args)]
pub(super) struct Trace {
    /// Scenario file, or the name of a built-in one [default: the built-in scenario]
    pub scenario: Option<String>,
    /// Measured record (CSV: time, temperature); without one a record is simulated and written as record.csv
    pub record: Option<PathBuf>,
    /// Whose record it is: calibration, determination or the name of a leg [default: the first determination]
    #[arg(long, value_name = "LEG")]
    pub leg: Option<String>,
    /// Moment of mixing in the record's own time, s [default: as marked in the record, else found]
    #[arg(long, value_name = "S", allow_negative_numbers = true, value_parser = seconds)]
    pub mixed_at: Option<f64>,
    /// Where the line behind begins after mixing: a time, or found [default: as the scenario says]
    #[arg(long, value_name = "TIME|found")]
    pub settle: Option<String>,
}

/// What is done about errors that only go one way.
#[derive(Debug, Clone, Copy, clap::ValueEnum)]
pub(super) enum OneSided {
    Ignored,
    Corrected,
    Asymmetric,
}

#[derive(Debug, Args)]
pub(super) struct Rank {
    /// Scenario file, or the name of a built-in one [default: the built-in scenario]
    pub scenario: Option<String>,
    /// Explain one source, for example thermometer.noise: what it is and what it does to the result
    #[arg(long, value_name = "SOURCE")]
    pub explain: Option<String>,
}

/// What a design study is asked to reach.
#[derive(Debug, Default, Args)]
#[command(next_help_heading = "Target")]
pub(super) struct GoalArguments {
    /// Target: relative standard deviation of the results, at most [default: that of the scenario]
    #[arg(
        long,
        value_name = "PERCENT",
        group = "goal",
        allow_hyphen_values = true
    )]
    pub spread: Option<String>,
    /// Target: 95 % of the results within this of the true value
    #[arg(
        long,
        value_name = "PERCENT",
        group = "goal",
        allow_hyphen_values = true
    )]
    pub within: Option<String>,
    /// Target: share of the results inside the band, at least
    #[arg(
        long,
        value_name = "PERCENT",
        group = "goal",
        allow_hyphen_values = true
    )]
    pub pass: Option<String>,
    /// Half-width of the band about the true value [default: that of the scenario]
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    pub band: Option<String>,
    /// Propose nothing that changes the temperature by more than this [default: 20 K, or what the
    /// scenario reaches itself]
    #[arg(long, value_name = "KELVIN", allow_hyphen_values = true)]
    pub cap: Option<String>,
}

#[derive(Debug, Default, Args)]
pub(super) struct Sweep {
    /// Scenario file, or the name of a built-in one [default: the built-in scenario]
    pub scenario: Option<String>,
    /// A number to vary, once or twice: "PATH = LOW to HIGH", with "by STEP" or "in N" behind it,
    /// for example "determination.charge.mass = 0.3 g to 0.6 g by 0.05 g"; the path `runs` varies
    /// the runs of all legs alike, `u(PATH)` a standard uncertainty [default: runs, and the mass of
    /// the sample]
    #[arg(long, value_name = "RANGE", action = clap::ArgAction::Append)]
    pub vary: Vec<String>,
    /// Find the best split of runs between calibration and determination (always without --vary)
    #[arg(long)]
    pub split: bool,
    /// Length of the session, for example "3 h", which bounds the points and is split [default: that
    /// of the scenario]
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    pub session: Option<String>,
    /// Number of runs that the split is for, instead of a session
    #[arg(long, value_name = "N", conflicts_with = "session", value_parser = whole::<u32>(2, 200))]
    pub total: Option<u32>,
    #[command(flatten)]
    pub goal: GoalArguments,
}

#[derive(Debug, Args)]
pub(super) struct Loosen {
    /// Scenario file, or the name of a built-in one [default: the built-in scenario]
    pub scenario: Option<String>,
    #[command(flatten)]
    pub goal: GoalArguments,
}

#[derive(Debug, Args)]
pub(super) struct Compare {
    /// Scenario files, or names of built-in ones; the first is what the others are measured against
    /// [default: the built-in scenario, with every reference reaction in turn]
    pub scenarios: Vec<String>,
    /// Also the first scenario calibrated by this reaction; its mass is chosen so that the
    /// temperature changes by as much as before
    #[arg(long, value_name = "KEY")]
    pub reference: Vec<String>,
    /// Also the first scenario determining this reaction, its mass likewise
    #[arg(long, value_name = "KEY")]
    pub reaction: Vec<String>,
    /// Also the first scenario with keys changed, each as a file would state it: "PATH = VALUE",
    /// several separated by `;`, for example "thermometer.use = thermistor-1mK; runs = 3"
    #[arg(long, value_name = "CHANGES")]
    pub set: Vec<String>,
    /// Groups of a section, for what it uses up
    #[arg(long, value_name = "N", default_value_t = crate::design::GROUPS, value_parser = whole::<u32>(1, 10_000))]
    pub groups: u32,
}

#[derive(Debug, Args)]
pub(super) struct Slip {
    /// Scenario file, or the name of a built-in one [default: the built-in scenario]
    pub scenario: Option<String>,
    /// A mistake, or a word to look for: what it does, where it enters, how it is noticed
    pub word: Option<String>,
    /// How large that mistake is, for example "3 %" [default: its usual size]
    #[arg(
        long,
        value_name = "SIZE",
        requires = "word",
        allow_hyphen_values = true
    )]
    pub size: Option<String>,
    /// Look for single mistakes that explain a difference from the accepted value: "-3.1 %" of its magnitude, in kJ/mol,
    /// or the evaluate.json of `evaluate`
    #[arg(
        long,
        value_name = "DIFFERENCE",
        conflicts_with = "word",
        allow_hyphen_values = true
    )]
    pub difference: Option<String>,
    /// Standard uncertainty of that difference, in % [default: that of the evaluation, else the spread of competent groups]
    #[arg(
        long,
        value_name = "PERCENT",
        requires = "difference",
        allow_hyphen_values = true
    )]
    pub u: Option<String>,
}

#[derive(Debug, Args)]
pub(super) struct Grade {
    /// Scenario file, or the name of a built-in one [default: the built-in scenario]
    pub scenario: Option<String>,
    /// Results of a class (CSV: group, value, perhaps u); - for standard input
    pub class: Option<PathBuf>,
    /// Half-width of the band about the accepted value [default: that of the scenario, else that of 95 % of competent groups]
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    pub band: Option<String>,
    /// Groups of a class, for what its mean and scatter notice [default: those of the file, else 12]
    #[arg(long, value_name = "N", conflicts_with = "class", value_parser = whole::<usize>(2, 500))]
    pub groups: Option<usize>,
    /// Give points by the distance from the accepted value, for example "3 %: 10, 5 %: 7, 10 %: 3"
    #[arg(long, value_name = "BAND: POINTS, ...", allow_hyphen_values = true)]
    pub points: Option<String>,
    /// What the file calls its columns, for example "value=Delta H, u=s, group=Team"
    #[arg(long, value_name = "KEY=NAME, ...")]
    pub columns: Option<String>,
}

#[derive(Debug, Args)]
pub(super) struct Report {
    /// Scenario file, or the name of a built-in one [default: the built-in scenario]
    pub scenario: Option<String>,
}

#[derive(Debug, Args)]
pub(super) struct Check {
    /// Scenario file, or the name of a built-in one
    pub scenario: String,
}

#[derive(Debug, Args)]
pub(super) struct Show {
    /// A kind (reaction, substance, liquid, balance, glassware, thermometer, vessel, source), the
    /// key of an entry, the name of a built-in scenario, or a word to look for in keys and titles;
    /// `schema` and the name of a JSON document for its JSON Schema; everything if left out
    pub what: Vec<String>,
    /// Print an entry of the library, or the key of an error source, as it is written in a scenario, to copy and to change
    #[arg(long, value_name = "KEY")]
    pub toml: Option<String>,
    /// Show the library with the own entries of this scenario
    #[arg(long, value_name = "FILE")]
    pub scenario: Option<String>,
}

#[derive(Debug, Args)]
pub(super) struct New {
    /// File to write; it must not exist
    pub file: PathBuf,
    /// Title of the scenario
    #[arg(long, default_value = "My procedure")]
    pub title: String,
}

#[derive(Debug, Args)]
pub(super) struct Help {
    /// A topic, `topics` for a list of them, a command, or `completions` and a shell (bash, elvish, fish, powershell, zsh)
    /// for what it needs to complete them [default: the help of the program]
    pub topic: Vec<String>,
}
