//! What is shipped beside the program: the manual page and the completions are those of the
//! definitions. `SLABLOOM_UPDATE=1` writes them anew.

use crate::command::root;
use clap::CommandFactory as _;
use clap_complete::{Shell, generate};
use slabloom::verbs::Args;

/// Holds a shipped file against what it should be, or writes it.
fn hold(path: &str, expected: &[u8]) {
    let file = root().join("app/packaging").join(path);
    if std::env::var_os("SLABLOOM_UPDATE").is_some() {
        std::fs::create_dir_all(file.parent().unwrap()).unwrap();
        std::fs::write(&file, expected).unwrap();
    }
    let shipped = std::fs::read(&file).unwrap_or_default();
    assert!(shipped == expected, "{path} is out of date: run this test with SLABLOOM_UPDATE=1");
}

#[test]
fn the_manual_page_is_that_of_the_definitions() {
    let mut page = Vec::new();
    let command = Args::command();
    clap_mangen::Man::new(command.clone()).render(&mut page).unwrap();
    for verb in command.get_subcommands() {
        // One page for all: the verbs' options follow as sections of their own.
        let name = verb.get_name();
        page.extend(format!(".SH \"SLABLOOM {}\"\n", name.to_uppercase()).bytes());
        let verb = verb.clone().bin_name(format!("slabloom {name}"));
        let man = clap_mangen::Man::new(verb);
        man.render_synopsis_section(&mut page).unwrap();
        man.render_options_section(&mut page).unwrap();
    }
    hold("slabloom.1", &page);
}

#[test]
fn the_completions_are_those_of_the_definitions() {
    for (shell, name) in
        [(Shell::Bash, "slabloom.bash"), (Shell::Zsh, "_slabloom"), (Shell::Fish, "slabloom.fish")]
    {
        let mut script = Vec::new();
        generate(shell, &mut Args::command(), "slabloom", &mut script);
        hold(&format!("completions/{name}"), &script);
    }
}
