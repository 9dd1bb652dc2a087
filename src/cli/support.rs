//! What a desktop and a shell want of a program, made from the table of the
//! command line, so that it can't fall behind it: the manual page and the
//! words that a shell can complete; and the licences.

use super::args::{CommandLine, SupportKind};
use super::failure::Failure;
use super::input::Reader;
use super::output;
use crate::licences;
use clap::{Arg, Command, CommandFactory as _};
use std::fmt::Write as _;

/// Writes it to standard output.
///
/// # Errors
/// When the system refuses.
pub(super) fn run(kind: SupportKind) -> Result<(), Failure> {
    output::print(&text(kind), Reader::Terminal)
}

/// The whole text.
#[must_use]
pub(super) fn text(kind: SupportKind) -> String {
    let mut program = CommandLine::command();
    program.build();
    match kind {
        SupportKind::Man => manual(&program),
        SupportKind::Bash => bash(&program),
        SupportKind::Fish => fish(&program),
        SupportKind::Zsh => zsh(&program),
        SupportKind::Licences => licences::all(),
    }
}

/// The subcommands that a person calls.
fn subcommands(program: &Command) -> impl Iterator<Item = &Command> {
    program.get_subcommands().filter(|sub| !sub.is_hide_set() && sub.get_name() != "help")
}

fn options(command: &Command) -> impl Iterator<Item = &Arg> {
    command.get_arguments().filter(|arg| !arg.is_positional() && !arg.is_hide_set())
}

fn help(arg: &Arg) -> String {
    arg.get_help().map(|help| one_line(&help.to_string())).unwrap_or_default()
}

fn about(command: &Command) -> String {
    command.get_about().map(|about| one_line(&about.to_string())).unwrap_or_default()
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// "--out", "-o"; an option takes a value if it names one.
fn flags(arg: &Arg) -> Vec<String> {
    let long = arg.get_long().map(|long| format!("--{long}"));
    let short = arg.get_short().map(|short| format!("-{short}"));
    long.into_iter().chain(short).collect()
}

fn value_names(arg: &Arg) -> String {
    if !arg.get_action().takes_values() {
        return String::new();
    }
    let names = arg.get_value_names().unwrap_or_default();
    names.iter().map(|name| format!(" <{name}>")).collect()
}

/// For the manual: a backslash, a minus and a leading full stop mean
/// something to its formatter.
///
/// Source: groff(7), sections on escapes and control lines.
fn roff(text: &str) -> String {
    let text = text.replace('\\', "\\e").replace('-', "\\-");
    if text.starts_with(['.', '\'']) { format!("\\&{text}") } else { text }
}

fn manual(program: &Command) -> String {
    let mut page = String::new();
    let version = program.get_version().unwrap_or_default();
    line(&mut page, &format!(".TH CROWNDECK 1 \"\" \"crowndeck {version}\" \"User commands\""));
    line(&mut page, ".SH NAME");
    line(&mut page, &roff(&format!("crowndeck - {}", about(program).to_lowercase())));
    line(&mut page, ".SH SYNOPSIS");
    line(&mut page, ".B crowndeck\n[\\fIFILE\\fR]\n.br\n.B crowndeck\n\\fISUBCOMMAND\\fR ...");
    line(&mut page, ".SH DESCRIPTION");
    if let Some(long) = program.get_long_about() {
        for paragraph in long.to_string().split("\n\n") {
            line(&mut page, &roff(&one_line(paragraph)));
            line(&mut page, ".PP");
        }
    }
    line(&mut page, ".SH OPTIONS");
    arguments(&mut page, program);
    line(&mut page, ".SH SUBCOMMANDS");
    for sub in subcommands(program) {
        line(&mut page, &format!(".SS {}", roff(sub.get_name())));
        line(&mut page, &roff(&about(sub)));
        arguments(&mut page, sub);
        if let Some(examples) = sub.get_after_help() {
            line(&mut page, ".PP\n.nf");
            for example in examples.to_string().lines() {
                line(&mut page, &roff(example.trim_end()));
            }
            line(&mut page, ".fi");
        }
    }
    line(&mut page, ".SH EXIT STATUS");
    line(
        &mut page,
        "0 where there is an answer, 1 where the engine or a file stands against it, 2 for a wrong call.",
    );
    page
}

fn arguments(page: &mut String, command: &Command) {
    for arg in command.get_arguments().filter(|arg| !arg.is_hide_set()) {
        let flags = flags(arg);
        let name = if flags.is_empty() {
            value_names(arg).trim_start().to_owned()
        } else {
            format!("{}{}", flags.join(", "), value_names(arg))
        };
        line(page, &format!(".TP\n.B {}", roff(&name)));
        line(page, &roff(&help(arg)));
    }
}

fn bash(program: &Command) -> String {
    let names: Vec<&str> = subcommands(program).map(Command::get_name).collect();
    let all = |command: &Command| options(command).flat_map(flags).collect::<Vec<_>>().join(" ");
    let mut script = String::from("# Completion of crowndeck in bash, made by: crowndeck support bash\n");
    line(&mut script, "_crowndeck() {");
    line(&mut script, "    local word=\"${COMP_WORDS[COMP_CWORD]}\" options");
    line(&mut script, "    case \"${COMP_WORDS[1]}\" in");
    for sub in subcommands(program) {
        line(&mut script, &format!("        {}) options=\"{}\" ;;", sub.get_name(), all(sub)));
    }
    line(&mut script, &format!("        *) options=\"{}\" ;;", all(program)));
    line(&mut script, "    esac");
    line(&mut script, &format!("    [ \"$COMP_CWORD\" = 1 ] && options=\"{} $options\"", names.join(" ")));
    line(&mut script, "    COMPREPLY=($(compgen -W \"$options\" -- \"$word\") $(compgen -f -- \"$word\"))");
    line(&mut script, "}\ncomplete -o filenames -F _crowndeck crowndeck");
    script
}

/// A text in single quotes, for fish and zsh.
fn quoted(text: &str) -> String {
    format!("'{}'", text.replace('\\', "").replace('\'', "’"))
}

fn fish(program: &Command) -> String {
    let mut script = String::from("# Completion of crowndeck in fish, made by: crowndeck support fish\n");
    for sub in subcommands(program) {
        let (name, about) = (sub.get_name(), quoted(&about(sub)));
        line(&mut script, &format!("complete -c crowndeck -n __fish_use_subcommand -a {name} -d {about}"));
        for arg in options(sub) {
            let seen = format!("'__fish_seen_subcommand_from {name}'");
            line(&mut script, &format!("complete -c crowndeck -n {seen}{}", fish_option(arg)));
        }
    }
    for arg in options(program) {
        line(&mut script, &format!("complete -c crowndeck -n __fish_use_subcommand{}", fish_option(arg)));
    }
    script
}

fn fish_option(arg: &Arg) -> String {
    let long = arg.get_long().map(|long| format!(" -l {long}")).unwrap_or_default();
    let short = arg.get_short().map(|short| format!(" -s {short}")).unwrap_or_default();
    let value = if arg.get_action().takes_values() { " -r" } else { "" };
    format!("{long}{short}{value} -d {}", quoted(&help(arg)))
}

fn zsh(program: &Command) -> String {
    let mut script = String::from(
        "#compdef crowndeck\n# Completion of crowndeck in zsh, made by: crowndeck support zsh\n",
    );
    let described = |name: &str, about: &str| quoted(&format!("{name}:{}", about.replace(':', ",")));
    line(&mut script, "local -a subcommands options");
    line(&mut script, "subcommands=(");
    for sub in subcommands(program) {
        line(&mut script, &format!("    {}", described(sub.get_name(), &about(sub))));
    }
    line(&mut script, ")\ncase $words[2] in");
    for command in subcommands(program) {
        line(&mut script, &format!("    {})\n        options=(", command.get_name()));
        zsh_options(&mut script, command, described);
        line(&mut script, "        ) ;;");
    }
    line(&mut script, "    *)\n        options=(");
    zsh_options(&mut script, program, described);
    line(&mut script, "        ) ;;\nesac");
    line(&mut script, "(( CURRENT == 2 )) && _describe subcommand subcommands");
    line(&mut script, "_describe option options\n_files");
    script
}

fn zsh_options(script: &mut String, command: &Command, described: impl Fn(&str, &str) -> String) {
    for arg in options(command) {
        for flag in flags(arg) {
            line(script, &format!("            {}", described(&flag, &help(arg))));
        }
    }
}

fn line(text: &mut String, words: &str) {
    // Writing into a string can't fail.
    let _ = writeln!(text, "{words}");
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::path::Path;

    /// The files that a package puts in place are those that the program
    /// makes. Take them over anew with `UPDATE_SUPPORT=1`.
    #[test]
    fn the_files_of_the_package_are_what_the_program_makes() {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("assets/desktop");
        for (kind, file) in [
            (SupportKind::Man, "crowndeck.1"),
            (SupportKind::Bash, "crowndeck.bash"),
            (SupportKind::Fish, "crowndeck.fish"),
            (SupportKind::Zsh, "_crowndeck"),
        ] {
            let (made, path) = (text(kind), folder.join(file));
            if std::env::var_os("UPDATE_SUPPORT").is_some() {
                std::fs::write(&path, &made).unwrap();
            }
            assert!(std::fs::read_to_string(&path).unwrap() == made, "{file} fell behind the command line");
            for sub in subcommands(&CommandLine::command()) {
                assert!(made.contains(sub.get_name()), "{file}: {}", sub.get_name());
            }
        }
    }

    #[test]
    fn what_means_something_to_the_formatter_of_the_manual_is_escaped() {
        assert_eq!(roff("--out a\\b"), "\\-\\-out a\\eb");
        assert_eq!(roff(".5 mm"), "\\&.5 mm");
    }
}
