//! Player files as bytes; what is read can be written and read again.
#![no_main]

mod common;

use bendline::player::file;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|data: &[u8]| {
    match file::from_json("fuzz.json", data) {
        Ok(player) => {
            assert!(!player.clubs.is_empty());
            common::noted(&player.notes);
            let written = file::to_json(&player);
            match file::from_json("fuzz.json", written.as_bytes()) {
                Ok(again) => assert_eq!(file::to_json(&again), written),
                Err(problems) => panic!("{problems}\n{written}"),
            }
        }
        Err(problems) => common::whole(&problems),
    }
});
