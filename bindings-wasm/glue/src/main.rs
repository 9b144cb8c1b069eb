//! `underlet-wasm-glue IN.wasm OUT_DIR NAME`: writes `NAME_bg.wasm` and `NAME.js`, the JavaScript
//! glue, into `OUT_DIR`. A program of the workspace, so that glue and library keep one version by
//! Cargo.lock.

use std::process::ExitCode;

use wasm_bindgen_cli_support::Bindgen;

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [wasm, out, name] = arguments.as_slice() else {
        eprintln!("usage: underlet-wasm-glue IN.wasm OUT_DIR NAME");
        return ExitCode::from(2);
    };
    let mut bindgen = Bindgen::new();
    bindgen
        .input_path(wasm)
        .out_name(name)
        .typescript(true)
        .omit_default_module_path(false);
    match bindgen.web(true).and_then(|bindgen| bindgen.generate(out)) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("{error:#}");
            ExitCode::FAILURE
        }
    }
}
