//! Whole command lines: what is printed, where, and with which exit status.
#![expect(clippy::unwrap_used, clippy::panic, reason = "a test that cannot be set up has failed")]

mod check;
mod compare;
mod label;
mod mend;
mod others;
#[cfg(target_os = "linux")]
mod serve;
mod sheet;

use serde_json::Value;
use std::fs;
use std::io::Write;
use std::process::{Command, Output, Stdio};
use tempfile::TempDir;

const CLEAN: &str = "\
formula Night balm
version 2
product balm

phase A oil; heat to 75 °C
  to  100     %     jojoba oil
       20     %     beeswax
";

/// Two percent are missing; the line with `é` shifts bytes against characters.
const SHORT: &str = "\
# crème
formula Crème légère
phase A oil
   60     %     shea butter
   38     %     jojoba oil
";

const OVER: &str = "\
formula Foot lotion
product lotion, leave-on, feet
pH 4.4 to 4.8
market EU
phase A water
  to  100     %     purified water
        0.6   %     sodium benzoate
        0.2   %     potassium sorbate
";

/// A folder of its own for each test, which no workshop lies above.
struct Bench(TempDir);

struct Ran {
    status: i32,
    out: String,
    err: String,
}

impl Bench {
    fn with(files: &[(&str, &str)]) -> Bench {
        let bench = Bench(tempfile::tempdir().unwrap());
        for (name, text) in files {
            bench.write(name, text.as_bytes());
        }
        bench
    }

    fn write(&self, name: &str, bytes: &[u8]) {
        let path = self.0.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }

    fn read(&self, name: &str) -> String {
        fs::read_to_string(self.0.path().join(name)).unwrap()
    }

    fn command(&self, args: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_levigate"));
        command.args(args).current_dir(&self.0).env_remove("NO_COLOR");
        command
    }

    fn run(&self, args: &[&str]) -> Ran {
        ran(&self.command(args).stdin(Stdio::null()).output().unwrap())
    }

    fn pipe(&self, args: &[&str], input: &str) -> Ran {
        let mut command = self.command(args);
        let mut child =
            command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
        child.stdin.take().unwrap().write_all(input.as_bytes()).unwrap();
        ran(&child.wait_with_output().unwrap())
    }
}

fn ran(output: &Output) -> Ran {
    Ran {
        status: output.status.code().unwrap(),
        out: String::from_utf8(output.stdout.clone()).unwrap(),
        err: String::from_utf8(output.stderr.clone()).unwrap(),
    }
}

fn json(text: &str) -> Value {
    serde_json::from_str(text).unwrap_or_else(|fault| panic!("{fault}: {text}"))
}

fn keys(value: &Value) -> Vec<&str> {
    value.as_object().unwrap().keys().map(String::as_str).collect()
}
