//! `underlet-wasm-glue IN.wasm OUT_DIR`: writes `underlet_bg.wasm` and `underlet.js`, the JavaScript glue, into
//! `OUT_DIR`. A program of the workspace, so that glue and library keep one version by Cargo.lock.

use std::process::ExitCode;

use wasm_bindgen_cli_support::Bindgen;

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [wasm, out] = arguments.as_slice() else {
        eprintln!("usage: underlet-wasm-glue IN.wasm OUT_DIR");
        return ExitCode::from(2);
    };
    let mut bindgen = Bindgen::new();
    bindgen
        .input_path(wasm)
        .out_name("underlet")
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
