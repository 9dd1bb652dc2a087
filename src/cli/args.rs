//! What can be typed on the command line.

use crate::engine::Key;
use crate::quantity::{Kind, Quantity};
use crate::reading::{Shape, UncertaintyComponent, monte_carlo};
use crate::schema::bounds;
use crate::sheet::SheetKind;
use clap::{Args, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

/// Pistons, heads and the gap between them: computed, drawn to scale,
/// printed.
#[derive(Debug, Parser)]
#[command(
    name = "crowndeck",
    version,
    about = "Where does the piston stop, what ratio does that give, and which shim goes in?",
    long_about = "For the person who assembles an engine from machined parts: deck clearance, squish, volumes and \
                  ratio of every cylinder, what moves them, and a sheet for the binder.\n\nWithout a subcommand the \
                  window opens, on FILE if one is named.",
    after_help = "Examples:\n  crowndeck                                open the window\n  crowndeck engine.ron                     \
                  open the window on a project\n  crowndeck figures engine.ron             the figures of every cylinder\n  \
                  crowndeck figures --set bore=\"3 7/16 in\" --set base_shim=\"43 thou\"",
    args_conflicts_with_subcommands = true
)]
pub struct CommandLine {
    /// A project to open in the window.
    #[arg(value_name = "FILE")]
    pub file: Option<PathBuf>,

    /// What draws the window; take glow where the graphics driver fails with
    /// the other.
    #[arg(long, value_enum, default_value_t = Renderer::Wgpu)]
    pub renderer: Renderer,

    /// What to answer without a window.
    #[command(subcommand)]
    pub command: Option<Command>,
}

/// What draws the window.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Renderer {
    /// Vulkan, Metal or DirectX 12.
    #[default]
    Wgpu,
    /// OpenGL.
    Glow,
}

/// Paper sizes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum PaperSize {
    /// 210 × 297 mm.
    #[default]
    A4,
    /// 8.5 × 11 in.
    Letter,
}

/// The answers that need no display.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Deck clearance, squish, volumes and ratio of each cylinder.
    #[command(after_help = "Examples:\n  crowndeck figures engine.ron\n  crowndeck figures engine.ron --cylinder 5 --at 20 --at=-20\n  \
                            crowndeck figures --set bore=86 --set stroke=74 --set chamber_volume=60.5 --json\n\n\
                            A deck clearance is told as below or proud of the top of the cylinder.",
              after_long_help = keys_help("Examples:\n  crowndeck figures engine.ron\n  crowndeck figures engine.ron --cylinder 5 --at 20 --at=-20\n  crowndeck figures --set bore=86 --set stroke=74 --set chamber_volume=60.5 --json"))]
    Figures(FiguresArgs),

    /// What moves what: the effect of one step of each dimension, and how far
    /// it alone must move to reach a ratio.
    #[command(after_help = "Examples:\n  crowndeck effects engine.ron --cylinder 5\n  crowndeck effects engine.ron --target-ratio 9.0",
              after_long_help = keys_help("Examples:\n  crowndeck effects engine.ron --cylinder 5\n  crowndeck effects engine.ron --target-ratio 9.0"))]
    Effects(EffectsArgs),

    /// Position, volume and ratio against crank angle, as a CSV table.
    #[command(
        after_help = "Examples:\n  crowndeck curves engine.ron --out curves.csv\n  crowndeck curves --set stroke=62 --step 5\n\n\
                            Angles are degrees after piston top dead centre, as a degree wheel set with a stop shows."
    )]
    Curves(CurvesArgs),

    /// The binder sheet of a cylinder: section to scale, figures, cautions.
    #[command(
        after_help = "Examples:\n  crowndeck sheet engine.ron --out sheet.pdf\n  crowndeck sheet engine.ron --cylinder 5 --paper letter --out sheet.svg\n  crowndeck sheet engine.ron --sheets all --out binder.pdf\n  crowndeck sheet engine.ron --sheets readings,rings --out tables.csv\n  crowndeck sheet --lesson deck-height --out handout.pdf\n\n\
                            Print it at true size and lay a rule on its bar: printers shrink pages."
    )]
    Sheet(SheetArgs),

    /// How far each figure can be trusted: its uncertainty, where it comes
    /// from, and what to measure next.
    #[command(after_help = "Examples:\n  crowndeck uncertainty engine.ron\n  crowndeck uncertainty --doubt bore=normal:0.005mm \
                            --doubt chamber_volume=rectangular:0.16cc --seed 7\n\n\
                            --doubt sets the STANDARD uncertainty of a dimension, in place of what its readings give: half the \
                            width of a rectangle is 1.73 times it, of a triangle 2.45 times.",
              after_long_help = keys_help("Examples:\n  crowndeck uncertainty engine.ron\n  crowndeck uncertainty --doubt bore=normal:0.005mm --doubt chamber_volume=rectangular:0.16cc --seed 7\n\n--doubt sets the STANDARD uncertainty of a dimension, in place of what its readings give: half the width of a rectangle is 1.73 times it, of a triangle 2.45 times."))]
    Uncertainty(UncertaintyArgs),

    /// Which shims go under each barrel, the best first, and why.
    #[command(
        after_help = "Examples:\n  crowndeck shims engine.ron\n  crowndeck shims engine.ron --margin doubt --json\n\n\
                            Every set of stacks in the drawer is looked at: the first choice is the proved best, or it is told \
                            why there is none."
    )]
    Shims(ShimsArgs),

    /// Each limit with who says so, what it judges, and what is proposed for an
    /// engine of this kind.
    #[command(
        after_help = "Examples:\n  crowndeck limits engine.ron\n  crowndeck limits engine.ron --json\n\n\
                            What is proposed counts once it is written into the project: take it on the engine page of the window."
    )]
    Limits(LimitsArgs),

    /// Ring end gaps in every bore: wanted, measured, to file, and where they
    /// start.
    #[command(
        after_help = "Examples:\n  crowndeck rings engine.ron\n  crowndeck rings engine.ron --ring-temperature 200 --bore-temperature 120\n\n\
                            Temperatures are yours to assume; with them the gaps are also told hot."
    )]
    Rings(RingsArgs),

    /// Read a project or a lesson and tell what is wrong with it, one line a finding.
    #[command(after_help = CHECK_HELP,
              after_long_help = format!("{CHECK_HELP}\n\nThe most that is read of a file:\n{}", bounds::as_text()))]
    Check(CheckArgs),

    /// The manual page, the words that a shell can complete, or the licences,
    /// for who packs the program.
    #[command(after_help = "Example:\n  crowndeck support man > crowndeck.1")]
    Support {
        /// What is wanted.
        kind: SupportKind,
    },
}

/// What a desktop and a shell want of a program.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum SupportKind {
    /// The manual page.
    Man,
    /// Completion in bash.
    Bash,
    /// Completion in fish.
    Fish,
    /// Completion in zsh.
    Zsh,
    /// The licences of the program, its lettering and its packages.
    Licences,
}

/// Where the engine comes from.
#[derive(Debug, Args)]
pub struct SourceArgs {
    /// The project file; without it a built-in example engine with a flat
    /// crown and no shim or gasket.
    #[arg(value_name = "PROJECT")]
    pub project: Option<PathBuf>,

    /// Give a dimension another value, in all cylinders: --set base_shim="43
    /// thou". The keys are listed by --help.
    #[arg(long = "set", value_name = "KEY=VALUE", value_parser = setting)]
    pub settings: Vec<Setting>,
}

/// For `figures`.
#[derive(Debug, Args)]
pub struct FiguresArgs {
    /// The engine.
    #[command(flatten)]
    pub source: SourceArgs,

    /// Only this cylinder.
    #[arg(long, value_name = "LABEL")]
    pub cylinder: Option<String>,

    /// Also at this crank angle, degrees after piston top dead centre; before
    /// it: --at=-20.
    #[arg(long, value_name = "ANGLE", value_parser = angle, allow_negative_numbers = true)]
    pub at: Vec<f64>,

    /// One JSON object with full precision, for other programs.
    #[arg(long)]
    pub json: bool,
}

/// For `effects`.
#[derive(Debug, Args)]
pub struct EffectsArgs {
    /// The engine.
    #[command(flatten)]
    pub source: SourceArgs,

    /// The cylinder; the first if none is named.
    #[arg(long, value_name = "LABEL")]
    pub cylinder: Option<String>,

    /// The static ratio that is wanted; else that of the project.
    #[arg(long, value_name = "R", allow_negative_numbers = true)]
    pub target_ratio: Option<f64>,

    /// One JSON object with full precision, for other programs.
    #[arg(long)]
    pub json: bool,
}

/// For `curves`.
#[derive(Debug, Args)]
pub struct CurvesArgs {
    /// The engine.
    #[command(flatten)]
    pub source: SourceArgs,

    /// Degrees from one row to the next.
    #[arg(long, value_name = "DEG", value_parser = angle, default_value = "1", allow_negative_numbers = true)]
    pub step: f64,

    /// Write to this file instead of standard output.
    #[arg(long, value_name = "FILE.csv")]
    pub out: Option<PathBuf>,
}

/// For `sheet`.
#[derive(Debug, Args)]
pub struct SheetArgs {
    /// The project file; a lesson does without.
    #[arg(value_name = "PROJECT", required_unless_present = "lesson")]
    pub project: Option<PathBuf>,

    /// The file to write; its name ends in .pdf, .svg or .png for pages, in
    /// .csv for the tables of the sheets, in .md for figures and limits.
    #[arg(long, value_name = "FILE")]
    pub out: PathBuf,

    /// The cylinder; the worst one if none is named.
    #[arg(long, value_name = "LABEL")]
    pub cylinder: Option<String>,

    /// The handout of this lesson instead of sheets: the name of one of the
    /// book, or a lesson file. With a project it is played on a copy of that.
    #[arg(long, value_name = "LESSON", conflicts_with_all = ["sheets", "every_cylinder"])]
    pub lesson: Option<String>,

    /// Only this page of the sheets, counted from 1.
    #[arg(long, value_name = "NUMBER")]
    pub page: Option<usize>,

    /// Dots to an inch of a .png, 36 to 600.
    #[arg(long, default_value_t = 150, value_parser = clap::value_parser!(u16).range(36..=600))]
    pub dpi: u16,

    /// The crank angle at which the section is drawn, degrees after top dead
    /// centre; below 0 before it.
    #[arg(long, value_name = "DEGREES", default_value_t = 0.0, allow_negative_numbers = true, value_parser = crank_angle)]
    pub at: f64,

    /// Section and towers of every cylinder, not of one.
    #[arg(long, conflicts_with = "cylinder")]
    pub every_cylinder: bool,

    /// The paper.
    #[arg(long, value_enum, default_value_t = PaperSize::A4)]
    pub paper: PaperSize,

    /// The sheets, with commas between them, or "all" for the whole binder;
    /// the section alone if none is named.
    #[arg(long, value_name = "NAMES", value_parser = sheets, default_value = "section", long_help = sheets_help())]
    pub sheets: Sheets,
}

fn crank_angle(text: &str) -> Result<f64, String> {
    match text.trim_end_matches('°').parse::<f64>() {
        Ok(deg) if (-360.0..=360.0).contains(&deg) => Ok(deg),
        _ => Err("accepted: degrees from -360 to 360".to_owned()),
    }
}

/// The sheets that a call names; none for all that fit the engine.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sheets(pub Option<Vec<SheetKind>>);

fn sheets_help() -> String {
    let names: Vec<&str> = SheetKind::ALL.iter().map(|kind| kind.id()).collect();
    format!(
        "The sheets, with commas between them, or \"all\" for the whole binder; the section alone if none is named. \
         The sheets are: {}",
        names.join(", ")
    )
}

/// Reads names of sheets.
fn sheets(text: &str) -> Result<Sheets, String> {
    if text.trim() == "all" {
        return Ok(Sheets(None));
    }
    let kind = |name: &str| {
        SheetKind::from_id(name.trim()).ok_or_else(|| {
            let all: Vec<&str> = SheetKind::ALL.iter().map(|kind| kind.id()).collect();
            format!("no sheet is called ‘{}’; there are: all, {}", name.trim(), all.join(", "))
        })
    };
    text.split(',').map(kind).collect::<Result<_, _>>().map(|kinds| Sheets(Some(kinds)))
}

/// For `uncertainty`.
#[derive(Debug, Args)]
pub struct UncertaintyArgs {
    /// The engine.
    #[command(flatten)]
    pub source: SourceArgs,

    /// The standard uncertainty of a dimension and its shape (normal,
    /// rectangular, triangular): --doubt bore=normal:0.005mm. Without a
    /// project only the doubts named count.
    #[arg(long = "doubt", value_name = "KEY=SHAPE:VALUE", value_parser = stated)]
    pub doubts: Vec<Stated>,

    /// Only this cylinder.
    #[arg(long, value_name = "LABEL")]
    pub cylinder: Option<String>,

    /// How many trials; without it, as many as settle two digits.
    #[arg(long, value_name = "N", value_parser = trials)]
    pub trials: Option<usize>,

    /// Where the trials start: the same seed gives the same digits.
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub seed: u64,

    /// One JSON object with full precision, for other programs.
    #[arg(long)]
    pub json: bool,
}

/// Where limits are held.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum MarginArg {
    /// At the values as they stand.
    #[default]
    None,
    /// At the unfavourable end of their uncertainty.
    Doubt,
}

/// For `shims`.
#[derive(Debug, Args)]
pub struct ShimsArgs {
    /// The project file.
    #[arg(value_name = "PROJECT")]
    pub project: PathBuf,

    /// Where each limit is held.
    #[arg(long, value_enum, default_value_t = MarginArg::None)]
    pub margin: MarginArg,

    /// One JSON object with full precision, for other programs.
    #[arg(long)]
    pub json: bool,
}

/// For `limits`.
#[derive(Debug, Args)]
pub struct LimitsArgs {
    /// The project file.
    #[arg(value_name = "PROJECT")]
    pub project: PathBuf,

    /// One JSON object with full precision, for other programs.
    #[arg(long)]
    pub json: bool,
}

/// For `rings`.
#[derive(Debug, Args)]
pub struct RingsArgs {
    /// The project file.
    #[arg(value_name = "PROJECT")]
    pub project: PathBuf,

    /// How hot a ring gets at work, °C; your assumption.
    #[arg(long, value_name = "CELSIUS", value_parser = celsius, requires = "bore_temperature", allow_negative_numbers = true)]
    pub ring_temperature: Option<f64>,

    /// How hot the bore gets at work, °C; your assumption.
    #[arg(long, value_name = "CELSIUS", value_parser = celsius, requires = "ring_temperature", allow_negative_numbers = true)]
    pub bore_temperature: Option<f64>,

    /// How warm the parts were when the gaps were measured, °C.
    #[arg(long, value_name = "CELSIUS", value_parser = celsius, default_value = "20", allow_negative_numbers = true)]
    pub measured_at: f64,

    /// One JSON object with full precision, for other programs.
    #[arg(long)]
    pub json: bool,
}

/// What stands below the options of `check`.
const CHECK_HELP: &str = "Example:\n  crowndeck check engine.ron\n\n\
    Faults go to standard error and the exit code is 1; what is only questioned goes to standard output.";

/// For `check`.
#[derive(Debug, Args)]
pub struct CheckArgs {
    /// The project file, or a lesson file.
    #[arg(value_name = "PROJECT")]
    pub project: PathBuf,
}

/// A dimension and the text of its value.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Setting {
    /// What is set.
    pub what: Settable,
    /// The value as typed.
    pub text: String,
}

/// What a call can set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Settable {
    /// A dimension, in all cylinders.
    Dimension(Key),
    /// The use of the engine.
    Use,
}

/// Reads KEY=VALUE. Only the key is judged here: a value that can't be used
/// is a fault of the engine, not of the call.
fn setting(text: &str) -> Result<Setting, String> {
    let Some((id, value)) = text.split_once('=') else {
        return Err("write a dimension, an equals sign and a value, such as base_shim=0.25".to_owned());
    };
    let id = id.trim();
    let what = match Key::from_id(id) {
        Some(key) => Settable::Dimension(key),
        None if id == "use" => Settable::Use,
        None => return Err(format!("no dimension is called ‘{id}’; there are: {}", ids())),
    };
    Ok(Setting { what, text: value.trim().to_owned() })
}

/// A doubt that is stated for a dimension.
#[derive(Clone, Debug, PartialEq)]
pub struct Stated {
    /// The dimension.
    pub key: Key,
    /// The doubt, in the base unit of the dimension.
    pub doubt: UncertaintyComponent,
}

/// Reads KEY=SHAPE:VALUE.
fn stated(text: &str) -> Result<Stated, String> {
    let parts = text.split_once('=').and_then(|(id, rest)| Some((id.trim(), rest.split_once(':')?)));
    let Some((id, (shape, value))) = parts else {
        return Err(
            "write a dimension, an equals sign, a shape, a colon and a standard uncertainty, such as \
                    bore=normal:0.005mm"
                .to_owned(),
        );
    };
    let key =
        Key::from_id(id).ok_or_else(|| format!("no dimension is called ‘{id}’; there are: {}", ids()))?;
    let shape = Shape::from_name(shape.trim()).ok_or_else(|| {
        format!("‘{}’ is no shape; there are: normal, rectangular, triangular", shape.trim())
    })?;
    let quantity =
        Quantity::parse(key.kind(), value).map_err(|error| format!("{error}; {}", error.hint()))?;
    let doubt = UncertaintyComponent::stated(shape, quantity.base()).map_err(|error| error.to_string())?;
    Ok(Stated { key, doubt })
}

/// Reads a number of trials.
fn trials(text: &str) -> Result<usize, String> {
    let (least, most) = (monte_carlo::ALLOWED.start(), monte_carlo::ALLOWED.end());
    let number = text.parse().ok().filter(|n| monte_carlo::ALLOWED.contains(n));
    number.ok_or_else(|| format!("write a whole number from {least} to {most}"))
}

fn ids() -> String {
    Key::all().map(Key::id).collect::<Vec<_>>().join(", ")
}

/// Reads a temperature in °C that metal parts can have.
fn celsius(text: &str) -> Result<f64, String> {
    let number: Option<f64> = text.trim().replace(',', ".").parse().ok();
    number
        .filter(|celsius| (-273.15..=1000.0).contains(celsius))
        .ok_or_else(|| "write a temperature between -273 and 1000 °C, such as 180".to_owned())
}

/// Reads an angle in degrees.
fn angle(text: &str) -> Result<f64, String> {
    let quantity =
        Quantity::parse(Kind::Angle, text).map_err(|error| format!("{error}; {}", error.hint()))?;
    Ok(quantity.base())
}

/// The examples and then the keys, each with its name and unit.
fn keys_help(examples: &str) -> String {
    let mut text =
        format!("{examples}\n\nDimensions for --set, in mm, cc or degrees unless a unit is written:\n");
    for key in Key::all() {
        text.push_str(&format!("  {:<20}{}, {}\n", key.id(), key.name(), key.kind().base_unit().symbol()));
    }
    text.push_str(
        "\nA value may carry its unit: 86, 8,6 cm, 43 thou, 3 7/16 in, 60.5 cc, 3.7 cu in, 40 deg. Gaskets are given \
         crushed. Deck readings and pin offset may be negative; a dome is a negative crown volume.\n\n--set also takes the \
         use of the engine, as it is judged by: use=road, use=race or use=stationary.",
    );
    text
}
