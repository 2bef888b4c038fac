//! A map file, as saved for a kind of sheet or sent with an upload: read, written and read again, and applied to a
//! sheet.
#![no_main]

use exchange::MapFile;
use libfuzzer_sys::fuzz_target;

const SHEET: &str = "Hosp No;Name;DOB;Visit;Side;PC;EH;RE;MC;CLB;LHT;Total;Cast no;Done;Length\n\
    CF-1;Moe, Ida;2024-12-01;04/02/2025;R;1;0.5;1;0.5;1;1;5;1;cast;7.2\n\
    CF-1;Moe, Ida;2024-12-01;11/02/2025;R;0.5;0.5;1;0;1;1;;2;POP;7.4\n\
    CF-2;Brekke, Ole;2024-11-20;11/02/2025;B;99;1;2;0;n/a;1;;1;cast;74\n";

fuzz_target!(|text: &str| {
    let Ok(map) = MapFile::from_toml(text) else { return };
    let written = map.to_toml();
    match MapFile::from_toml(&written) {
        Ok(back) => assert_eq!(back, map, "{written}"),
        Err(error) => panic!("{error}: {written}"),
    }
    let _ = map.contents();
    fuzz::import(SHEET.as_bytes(), "visits.csv", &map);
});
