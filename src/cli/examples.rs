//! What stands below the help of each command: two examples, and what its options leave unsaid.

pub(super) const FORECAST: &str = "Examples:\n  \
    joulecast forecast my.toml --full\n  \
    joulecast forecast urea-foam-cups --class 12 --out class";

pub(super) const SWEEP: &str = "Examples:\n  \
    joulecast sweep my.toml --vary \"determination.runs = 2 to 8\"\n  \
    joulecast sweep ammonium-chloride-dewar --session \"3 h\"";

pub(super) const LOOSEN: &str = "Examples:\n  \
    joulecast loosen my.toml --spread \"1.5 %\"\n  \
    joulecast loosen urea-foam-cups --pass \"95 %\" --band \"5 %\"";

pub(super) const COMPARE: &str = "Examples:\n  \
    joulecast compare mine.toml yours.toml\n  \
    joulecast compare my.toml --set \"thermometer.use = thermistor-1mK\"";

pub(super) const TRACE: &str = "Examples:\n  \
    joulecast trace ammonium-chloride-dewar --leg calibration\n  \
    joulecast trace my.toml record.csv --mixed-at 120";

pub(super) const SLIP: &str = "Examples:\n  \
    joulecast slip my.toml\n  \
    joulecast slip ammonium-chloride-dewar --difference \"-3.1 %\"";

pub(super) const GRADE: &str = "Examples:\n  \
    joulecast grade my.toml --band \"5 %\"\n  \
    joulecast grade my.toml class.csv --points \"3 %: 10, 5 %: 7\"";

pub(super) const REPORT: &str = "Examples:\n  \
    joulecast report my.toml\n  \
    joulecast report urea-foam-cups --out page";

pub(super) const CHECK: &str = "Examples:\n  \
    joulecast check my.toml\n  \
    joulecast check - --json < my.toml";

pub(super) const SHOW: &str = "Examples:\n  \
    joulecast show reaction\n  \
    joulecast show --toml kcl-water";

pub(super) const NEW: &str = "Examples:\n  \
    joulecast new my.toml\n  \
    joulecast new salt.toml --title \"Heat of solution of a salt\"";

pub(super) const HELP: &str = "Examples:\n  \
    joulecast help topics\n  \
    joulecast help completions bash > joulecast.bash";

/// What the common options mean for `rank`.
pub(super) const RANK: &str = "Examples:\n  joulecast rank my.toml --full\n  \
    joulecast rank ammonium-chloride-dewar --explain thermometer.noise\n\nTrials: each input takes one run of so many trials, and each way of making it \
    better one of a quarter of them, 4096 at least. Without --trials and --digits it is 8192, in 32 batches whose scatter gives all intervals. Other numbers \
    are rounded up to equal batches; the fewest are 16 batches of 256 trials, 4096 in all, and with fewer than 8192 \
    the comparison of the two sides and the interval beside the linear one take fewer as well. With --digits, trials \
    are added until the spread of the result is good to so many digits (twice its standard error at most half a unit \
    of the last one), up to 262144; shares come with intervals whatever the number.";

/// How `evaluate` is fed.
pub(super) const EVALUATE: &str = "Examples:\n  joulecast evaluate my.toml --template > runs.csv\n  \
    joulecast evaluate my.toml runs.csv --observed --steps\n\nFirst `joulecast evaluate SCENARIO --template > runs.csv`: a file with the columns that these runs \
    need and one line each as an example. Comma, semicolon or tab, decimal point or comma, units in the headers. Records \
    (time, temperature) lie beside the file. `joulecast help data` explains the columns.";
