//! Tells the program by what sources it was built, so that a site made by another build is made anew.

use std::fs;
use std::path::Path;

fn main() {
    let mut hash = 0xcbf2_9ce4_8422_2325_u64;
    for root in ["src", "Cargo.toml", "Cargo.lock"] {
        println!("cargo::rerun-if-changed={root}");
        add(Path::new(root), &mut hash);
    }
    println!("cargo::rustc-env=TRUG_SOURCES={hash:016x}");
}

/// FNV-1a over names and bytes, in the order of names: the same on every machine.
#[expect(clippy::disallowed_methods, reason = "it runs before the program is there")]
fn add(path: &Path, hash: &mut u64) {
    let mut mix = |bytes: &[u8]| {
        for byte in bytes {
            *hash = (*hash ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3);
        }
    };
    mix(path.file_name().unwrap_or_default().as_encoded_bytes());
    if path.is_dir() {
        let entries = fs::read_dir(path).expect("a folder of the sources");
        let mut paths: Vec<_> = entries.filter_map(|entry| Some(entry.ok()?.path())).collect();
        paths.sort();
        paths.iter().for_each(|path| add(path, hash));
    } else {
        mix(&fs::read(path).unwrap_or_default());
    }
}
