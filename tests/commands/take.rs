//! `trug take`: tables as people and weather services have them. All data here is made up; the forms of the services'
//! files are those of their documentation.

use crate::commands::{DAY, entry, started};
use crate::support::run::{Desk, Said};

fn desk() -> Desk {
    let desk = started();
    entry(
        &desk,
        "plantings",
        "plantings:\n  - {id: bean-1, crop: dwarf bean, sown: 9, place: bed, on: 2026-01-02}\n  \
         - {id: kale-1, crop: kale, sown: 9, place: bed, on: 2026-01-02}\n  \
         - {id: kale-2, crop: kale, variety: Blue Frill, sown: 9, place: bed, on: 2026-01-02}",
    );
    desk
}

fn take(desk: &Desk, table: &[u8], more: &[&str]) -> Said {
    std::fs::write(desk.path("table.csv"), table).unwrap();
    let mut arguments = vec!["take", "table.csv", "--on", DAY];
    arguments.extend(more);
    desk.trug(&arguments)
}

fn written(desk: &Desk, folder: &str) -> String {
    std::fs::read_to_string(desk.path(&format!("content/{folder}/table.csv"))).unwrap()
}

#[test]
fn pickings_as_people_have_them() {
    let strict = "date,planting,weight,count,unit,note\n2026-04-03,bean-1,0.35 kg,,,\n2026-04-23,kale-2,1.2 kg,3,heads,cold\n";
    for (table, more) in [
        // German, with decimal commas and a column that is no concern of ours.
        (
            "Datum;Kultur;Gewicht (kg);Anzahl;Einheit;Wetter;Bemerkung\n3.4.2026;Dwarf beans;0,35;;;mild;\n\
             23.4.2026;Blue Frill;1,2;3;heads;rau;cold\n"
                .as_bytes()
                .to_vec(),
            &[][..],
        ),
        // Tabs, the day first as line 3 decides; the letters are those of Windows.
        (
            b"Fecha\tCultivo\tPeso en kg\tN\xfamero\tUnidad\tNotas\n3/4/2026\tbean-1\t0.35\t\t\t\n23/4/2026\tblue frill\t1.2\t3\theads\tcold\n".to_vec(),
            &[],
        ),
        (
            b"When,What,Basket,Heads,Of,Note\n4/3/26,French Bean,0.35 kg,,,\n4/23/26,kale-2,1.2 kg,3,heads,cold\n".to_vec(),
            &["--columns", "date=When, planting=What, weight=3", "--columns", "count=Heads,unit=Of"],
        ),
    ] {
        let desk = desk();
        let said = take(&desk, &table, more);
        assert_eq!(said.code, 0, "{said:?}");
        assert_eq!(written(&desk, "harvests"), strict, "{said:?}");
        let proof = desk.trug(&["proof", "--on", DAY]);
        assert_eq!(proof.err, "no problems.\n", "{proof:?}");
        // A table that is there is not written over.
        assert_eq!(take(&desk, &table, more).code, 2);
        assert_eq!(take(&desk, &table, &[more, &["--name", "again"]].concat()).code, 0);
    }
}

#[test]
fn what_the_table_does_not_say_is_asked_for() {
    for (table, wanted, answer) in [
        (
            "date,crop,weight\n3/4/2026,bean-1,300 g\n",
            "--date-order",
            &["--date-order", "day-first"][..],
        ),
        (
            "date,crop,weight\n2026-04-03,bean-1,300\n",
            "weight_g=HEADING",
            &["--columns", "weight_g=weight"],
        ),
        ("date;crop;weight g\n2026-04-03;bean-1;1,250\n", "--decimal", &["--decimal", "point"]),
        (
            "date,crop,weight\n2026-04-03,kale,300 g\n",
            "kale-1 or kale-2",
            &["--names", "kale=kale-1"],
        ),
        ("date,crop,weight\n2026-04-03,Oca,300 g\n", "`Oca` (1 row)", &["--names", "oca=kale-1"]),
        (
            "date,basket,crop\n2026-04-03,300 g,bean-1\n",
            "headings are date | basket | crop",
            &["--columns", "weight=basket"],
        ),
        (
            "date,low,high\n2026-04-03,3,12\n",
            "low_c=HEADING",
            &["--columns", "low_c=low,high_c=high"],
        ),
        (
            "STATION,DATE,TMAX,TMIN,PRCP\nXX000000001,2026-04-03,120,-15,3\n",
            "--units tenths",
            &["--units", "tenths"],
        ),
    ] {
        let desk = desk();
        let said = take(&desk, table.as_bytes(), &[]);
        assert!(said.code == 2 && said.err.contains(wanted), "{wanted}: {said:?}");
        assert!(
            !desk.path("content/harvests/table.csv").exists(),
            "nothing is written before it is known"
        );
        let said = take(&desk, table.as_bytes(), answer);
        assert_eq!(said.code, 0, "{said:?}");
    }
    let said = take(
        &desk(),
        b"date,crop,weight\n2026-04-03,bean-1,300 g\nspring,bean-1,2 kg\n2026-04-05,bean-1,\n",
        &[],
    );
    assert!(
        said.err.contains("line 3: no date") && said.err.contains("line 4: neither"),
        "{said:?}"
    );
    assert!(said.err.contains("crop") && said.err.contains("planting"), "{said:?}");
}

#[test]
fn daily_files_of_weather_services() {
    let strict =
        "date,low_c,high_c,rain_mm\n2026-04-03,-1.5,12,0.3\n2026-04-04,,,\n2026-04-05,2.2,13.1,\n";
    // Global Historical Climatology Network, by station: element lines in tenths, with three marks and the hour.
    let lines = "XX000000001,20260403,TMAX,120,,,S,0700\nXX000000001,20260403,TMIN,-15,,,S,0700\n\
                 XX000000001,20260403,PRCP,3,,,S,0700\nXX000000001,20260403,SNWD,0,,,S,\n\
                 XX000000001,20260405,TMAX,131,,,S,\nXX000000001,20260405,TMIN,22,,,S,\n\
                 XX000000001,20260405,PRCP,880,,X,S,\n";
    // The same ordered as a table, in tenths.
    let table = "\"STATION\",\"DATE\",\"LATITUDE\",\"NAME\",\"PRCP\",\"PRCP_ATTRIBUTES\",\"TMAX\",\"TMIN\"\n\
                 \"XX000000001\",\"2026-04-03\",\"1.0\",\"A, B\",\"    3\",\",,S\",\"  120\",\"  -15\"\n\
                 \"XX000000001\",\"2026-04-05\",\"1.0\",\"A, B\",,,\"  131\",\"   22\"\n";
    let dwd = "STATIONS_ID;MESS_DATUM;QN_3;  FX;  FM;QN_4; RSK;RSKF; SDK;SHK_TAG;  NM; VPM;  PM; TMK; UPM; TXK; TNK; TGK;eor\n\
               9999;20260403;  10;-999;-999;   3;   0.3;   6;   1.2;   0;   7.0;   6.1; 1000.0;   5.0;  80.0;  12.0;  -1.5;  -3.0;eor\n\
               9999;20260405;  10;-999;-999;   3;-999;-999;   1.2;   0;   7.0;   6.1; 1000.0;   5.0;  80.0;  13.1;   2.2;   0.1;eor\n";
    let canada = "\u{feff}\"Longitude (x)\",\"Latitude (y)\",\"Station Name\",\"Climate ID\",\"Date/Time\",\"Year\",\"Month\",\"Day\",\
                  \"Data Quality\",\"Max Temp (°C)\",\"Max Temp Flag\",\"Min Temp (°C)\",\"Min Temp Flag\",\"Mean Temp (°C)\",\
                  \"Total Rain (mm)\",\"Total Precip (mm)\",\"Total Precip Flag\"\n\
                  \"-1.0\",\"1.0\",\"A\",\"1\",\"2026-04-03\",\"2026\",\"04\",\"03\",\"\",\"12.0\",\"\",\"-1.5\",\"\",\"5.3\",\"\",\"0.3\",\"\"\n\
                  \"-1.0\",\"1.0\",\"A\",\"1\",\"2026-04-05\",\"2026\",\"04\",\"05\",\"\",\"13.1\",\"\",\"2.2\",\"\",\"5.3\",\"\",\"\",\"M\"\n";
    for (file, more, told) in [
        (lines, &[][..], "1 value marked by the service"),
        (table, &["--units", "tenths"], "Global Historical"),
        (dwd, &[], "Deutscher Wetterdienst"),
        (canada, &[], "Environment and Climate Change Canada"),
    ] {
        let desk = desk();
        let said = take(&desk, file.as_bytes(), more);
        assert_eq!(said.code, 0, "{said:?}");
        assert!(said.err.contains(told), "{said:?}");
        assert_eq!(written(&desk, "weather"), strict, "{said:?}");
        let proof = desk.trug(&["proof", "--on", DAY]);
        assert_eq!(proof.err, "no problems.\n", "{proof:?}");
    }
    // A table of one's own, in inches and °F, as it is.
    let own = "Day;Min °F;Max °F;Rain (in)\n04/23/2026;30;50;0.1\n";
    let desk = desk();
    assert_eq!(take(&desk, own.as_bytes(), &[]).code, 0);
    assert_eq!(written(&desk, "weather"), "date,low_f,high_f,rain_in\n2026-04-23,30,50,0.1\n");
}
