//! `yokecheck rules`, `yokecheck fields` and the help pages.

use crate::{Place, golden};

#[test]
fn the_rules_are_listed_by_defect_type_with_their_sections() {
    Place::new().run("rules").code(0).prints(golden!("rules.txt")).silently();
}

#[test]
fn the_list_of_an_edition_has_its_rules_and_sections_only() {
    let ran = Place::new().run("rules --edition 2014").code(0).silently();
    assert!(!ran.stdout.contains("countertop-listing"), "it came in 2017");
    ran.prints(golden!("rules-2014.txt"));
}

#[test]
fn the_list_can_be_of_one_defect_type() {
    let place = Place::new();
    let ran = place.run("rules --defect-type damp-and-wet").code(0).silently();
    ran.prints(golden!("rules-damp-and-wet.txt"));
    place.run("rules --defect-type dampness").code(2).says(&["`dampness`", "damp and wet"]);
    place.run("rules box-fill --edition 2020").code(2).says(&["cannot be used with"]);
}

#[test]
fn a_rule_has_a_manual_page() {
    let place = Place::new();
    place.run("rules set-back-yoke").code(0).prints(golden!("rule.txt")).silently();
    place.run("rules setback-yoke").code(2).says(&["did you mean `set-back-yoke`?"]);
    place.run("rules xyzzy").code(2).says(&["`xyzzy`", "`yokecheck rules` lists them"]);
}

#[test]
fn every_rule_and_field_has_a_page_of_80_columns() {
    let place = Place::new();
    let fits = |arguments: &str| {
        let ran = place.run(arguments).code(0).silently();
        for line in ran.stdout.lines() {
            assert!(line.chars().count() <= 80, "{arguments}: {line}");
        }
    };
    for rule in yokecheck::rules::RULES {
        fits(&format!("rules {}", rule.name));
    }
    for field in yokecheck::outlet::Field::ALL {
        fits(&format!("fields {}", field.name()));
    }
}

#[test]
fn the_fields_are_listed_by_group() {
    Place::new().run("fields").code(0).prints(golden!("fields.txt")).silently();
}

#[test]
fn a_field_tells_what_may_stand_in_it() {
    let place = Place::new();
    place.run("fields box_set_back").code(0).prints(golden!("field.txt")).silently();
    place.run("fields box-setback").code(2).says(&["did you mean `box_set_back`?"]);
    place.run("fields xyzzy").code(2).says(&["`xyzzy`", "`yokecheck fields` lists them"]);
}

#[test]
fn every_command_has_a_help_page() {
    let place = Place::new();
    place.run("--help").code(0).prints(golden!("help.txt")).silently();
    place.run("audit --help").code(0).prints(golden!("help-audit.txt")).silently();
    place.run("sample --help").code(0).prints(golden!("help-sample.txt")).silently();
    place.run("estimate --help").code(0).prints(golden!("help-estimate.txt")).silently();
    place.run("rules --help").code(0).prints(golden!("help-rules.txt")).silently();
    place.run("fields --help").code(0).prints(golden!("help-fields.txt")).silently();
    place.run("completions --help").code(0).prints(golden!("help-completions.txt")).silently();
    place.run("man --help").code(0).prints(golden!("help-man.txt")).silently();
    place.run("").code(2).says(&["Usage: yokecheck", "Electricity kills"]);
    let version = format!("yokecheck {}", env!("CARGO_PKG_VERSION"));
    place.run("--version").code(0).shows(&[&version]);
}

#[test]
fn every_shell_has_a_script_that_knows_commands_and_options() {
    let place = Place::new();
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let ran = place.run(&format!("completions {shell}")).code(0).silently();
        ran.shows(&["yokecheck", "audit", "corrections", "require-decided"]);
    }
    place.run("completions xyzzy").code(2).says(&["xyzzy", "bash"]);
}

#[test]
fn the_manual_page_holds_every_command_and_option() {
    use clap::CommandFactory as _;
    let ran = Place::new().run("man").code(0).silently();
    assert!(ran.stdout.contains(".TH yokecheck 1"));
    assert!(ran.stdout.contains("Electricity kills"));
    let command = yokecheck::cli::arguments::Arguments::command();
    for one in command.get_subcommands() {
        let heading = format!("YOKECHECK {}", one.get_name().to_uppercase());
        assert!(ran.stdout.contains(&heading), "{heading}");
        for option in one.get_arguments().filter_map(clap::Arg::get_long) {
            let written = format!("\\-\\-{}", option.replace('-', "\\-"));
            assert!(ran.stdout.contains(&written), "{written}");
        }
    }
}
