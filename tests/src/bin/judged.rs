//! Writes the plan of each judged day as text, with the judgement above it and what it misses
//! below, to be read aloud: `cargo run -q -p underlet-tests --bin judged -- FOLDER`.

use std::fs;
use std::path::Path;
use std::process::ExitCode;

use underlet_tests::judged::all;

fn main() -> ExitCode {
    let Some(folder) = std::env::args().nth(1) else {
        eprintln!("usage: judged FOLDER");
        return ExitCode::FAILURE;
    };
    match write(Path::new(&folder)) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("{folder}: {error}");
            ExitCode::FAILURE
        }
    }
}

fn write(folder: &Path) -> std::io::Result<()> {
    fs::create_dir_all(folder)?;
    let mut missed = 0;
    let days = all();
    for (name, judged) in &days {
        let answer = judged.answer();
        let misses = judged.misses(&answer);
        let mut page = judged.judgement.join("\n") + "\n\n" + answer.text() + "\nMissed\n";
        for miss in &misses {
            page.extend(["  ", miss, "\n"]);
            println!("{name}: {miss}");
        }
        missed += misses.len();
        fs::write(folder.join(name).with_extension("txt"), page)?;
    }
    println!("{} days, {missed} expectations missed", days.len());
    Ok(())
}
