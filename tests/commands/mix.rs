//! `trug mix`: amounts for pots, volumes and places, and what it says to a slip of the pen.

use crate::commands::{DAY, started};
use crate::support::run::Desk;

fn desk() -> Desk {
    let desk = started();
    let write = |path: &str, text: &str| {
        let path = desk.path(&format!("content/{path}"));
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
    };
    write(
        "mixes/light-mix.md",
        "---\nname: Light mix\nparts: {compost: 3, perlite: 1}\nsettles: 20%\n---\n",
    );
    write("mixes/salt.md", "---\nname: bitter salt\nlabel: {mgo: 16}\ndose: 10 g per 5 L\n---\n");
    write("places/tubs.md", "---\nname: Tubs\nkind: container\ncontainers: 4\nvolume: 20 L\n---\n");
    write("places/shelf.md", "---\nname: Shelf\nkind: shelf\n---\n");
    desk
}

/// By hand: 80 L in the tubs and 12 pots of 2 L are 104 L, loose 130 L; a quarter of it is 32.5 L.
#[test]
fn what_is_filled_is_added_up() {
    let said =
        desk().trug(&["mix", "light-mix", "--fill", "tubs", "--fill", "12 x 2 L pot", "--on", DAY]);
    assert_eq!(said.code, 0, "{said:?}");
    assert!(
        said.out.starts_with("Light mix: to fill 105\u{a0}L, mix 130\u{a0}L\n"),
        "{}",
        said.out
    );
    assert!(said.out.contains("perlite: 33\u{a0}L"), "{}", said.out);
    assert!(said.out.contains("! Damp down dry ingredients"), "{}", said.out);
}

#[test]
fn a_feed_goes_into_water() {
    let said = desk().trug(&["mix", "Bitter Salt", "--fill", "10 L", "--on", DAY]);
    assert_eq!(said.code, 0, "{said:?}");
    assert!(said.out.contains("20\u{a0}g in 10\u{a0}L"), "{}", said.out);
    assert!(said.out.contains("label has the last word"), "{}", said.out);
    assert!(said.out.contains("Evidence is mixed outside a deficiency"), "{}", said.out);
    assert!(!said.out.contains("seedlings"), "a supplement is not for seedlings: {}", said.out);
}

#[test]
fn slips_of_the_pen_are_told_with_what_was_meant() {
    let desk = desk();
    for (arguments, hint) in [
        (["mix", "lihgt mix", "--fill", "10 L"], "`Light mix`"),
        (["mix", "light mix", "--fill", "tusb"], "`Tubs`"),
        (["mix", "light mix", "--fill", "shelf"], "no sizes"),
        (["mix", "light mix", "--fill", "1,5 L"], "1.5 L"),
        (["mix", "light mix", "--fill", "a lot"], "24 x 9 cm pot"),
        (["mix", "compote of pears", "--fill", "10 L"], "bitter salt"),
    ] {
        let said = desk.trug(&arguments);
        assert_eq!((said.code, said.out.as_str()), (2, ""), "{arguments:?} {said:?}");
        assert!(said.err.contains(hint), "{arguments:?} {said:?}");
    }
    assert_eq!(desk.trug(&["mix", "light mix"]).code, 2);
    assert_eq!(desk.trug(&["mix"]).code, 2);
    crate::commands::entry(&desk, "wrong", "oddity: 1");
    assert_eq!(desk.trug(&["mix", "light mix", "--fill", "10 L", "--on", DAY]).code, 1);
}
