//! Whatever is handed in, reading ends, tells what is wrong, and keeps what can be kept. Nothing panics.

use dw_core::Severity;
use dw_job::{Catalogue, Document, JOB_FILE, Job, Profile};
use proptest::prelude::*;

use crate::helpers::{check, codes, example, file, lines, read, read_openings};

#[test]
fn empty_files_are_an_empty_job_and_every_empty_sheet_is_told() {
    let mut documents: Vec<Document> = Job::SHEETS.iter().map(|(name, _)| file(name, "")).collect();
    documents.push(file(JOB_FILE, ""));
    let (job, sink) = Job::read(&documents);
    assert_eq!(codes(&sink), vec!["JOB-014"; Job::SHEETS.len()]);
    assert!(job.openings.is_empty());
}

#[test]
fn a_truncated_document_keeps_what_stands_before_the_cut() {
    let whole = example("one-door").remove(0).bytes;
    for cut in (0..whole.len()).step_by(7) {
        let (job, _) = Job::read(&[file(JOB_FILE, &whole[..cut])]);
        if cut > whole.len() - 20 {
            assert_eq!(job.openings.len(), 1, "cut at {cut}");
        }
    }
}

#[test]
fn a_truncated_sheet_keeps_the_rows_before_the_cut() {
    let documents = example("ferry-terminal");
    let whole = &documents.iter().find(|document| document.name == "openings.csv").expect("the sheet").bytes;
    let rows = |bytes: &[u8]| bytes.split(|&byte| byte == b'\n').count() - 1;
    for cut in (0..whole.len()).step_by(61) {
        let (job, _) = read_openings(&whole[..cut]);
        assert!(job.openings.len() + 1 >= rows(&whole[..cut]), "cut at {cut}");
    }
}

#[test]
fn a_file_in_another_encoding_is_told_at_its_first_bad_line_and_still_read() {
    let (job, sink) = read_openings(b"mark,name,kind\nD-1,Hall,single\nD-2,Caf\xE9,pair\n");
    assert_eq!(
        lines(&sink),
        ["JOB-007 openings.csv:3:1: the file is not UTF-8 from here on; letters that could not be read were replaced \
          | Save the file again as UTF-8 (in a spreadsheet: \"CSV UTF-8\")"]
    );
    assert_eq!(job.openings[1].name.as_deref(), Some("Caf\u{fffd}"));
}

#[test]
fn a_spreadsheet_saved_as_unicode_text_is_read_and_told_once() {
    let text = "mark\tname\tkind\r\nD-1\tCaf\u{e9} \u{1f6a2}\tpair\r\n";
    let units: Vec<u16> = std::iter::once(0xFEFF).chain(text.encode_utf16()).collect();
    let little: Vec<u8> = units.iter().flat_map(|unit| unit.to_le_bytes()).collect();
    let big: Vec<u8> = units.iter().flat_map(|unit| unit.to_be_bytes()).collect();
    for bytes in [little, big] {
        let (job, sink) = read_openings(bytes);
        assert_eq!(codes(&sink), ["JOB-007"]);
        assert_eq!(job.openings[0].name.as_deref(), Some("Caf\u{e9} \u{1f6a2}"));
    }
}

#[test]
fn a_utf_16_file_that_ends_in_half_a_letter_is_read_as_far_as_it_goes() {
    let (job, sink) = read_openings(b"\xFF\xFEm\0a\0r\0k\0\n\0D\0\x3D\xD8\n");
    assert_eq!((codes(&sink), job.openings.len()), (vec!["JOB-007"], 1));
}

#[test]
fn numbers_that_are_no_numbers_count_as_missing() {
    for written in ["nan", "inf", "-inf", "1e400", "\"NaN\"", "\"infinity\"", "\"0x10\"", "\"1,5\"", "\"12 m\"", "true"]
    {
        let (job, sink) = read(&format!("[[room]]\nid = \"A\"\nbridge_length_m = {written}\n"));
        assert_eq!(codes(&sink), ["JOB-002"], "{written}");
        assert_eq!(job.rooms[0].bridge_length, None, "{written}");
    }
}

#[test]
fn numbers_too_large_to_hold_count_as_missing() {
    let digits = "9".repeat(400);
    let (job, sink) = read(&format!("[[room]]\nid = \"A\"\nnetwork_ports = {digits}\nx_m = {digits}\ny_m = 1e300\n"));
    assert_eq!(codes(&sink), ["JOB-002", "JOB-009", "JOB-002"]);
    assert_eq!((job.rooms[0].network_ports, job.rooms[0].x, job.rooms[0].y), (None, None, None));
}

#[test]
fn negative_counts_shares_and_lengths_count_as_missing() {
    let (job, sink) = read(
        "[policy]\nspare_percent = -1\n[[room]]\nid = \"A\"\nnetwork_ports = -1\nbridge_length_m = -0.5\n\
         [[group]]\nid = \"G\"\nhead_count = -3\ngrowth_percent = -2.5\n",
    );
    assert_eq!(codes(&sink), ["JOB-002", "JOB-002", "JOB-009", "JOB-002", "JOB-002"]);
    assert_eq!((job.policy.spare_percent, job.rooms[0].network_ports), (None, None));
    assert_eq!((job.groups[0].head_count, job.groups[0].growth_percent), (None, None));
}

#[test]
fn names_of_ten_thousand_characters_are_kept_and_headlines_stay_short() {
    let long = "\u{e4}".repeat(10_000);
    let job = check(&format!("[[opening]]\nmark = \"{long}\"\nname = \"{long}\"\n"), &[]);
    assert_eq!(job.openings[0].name.as_deref(), Some(long.as_str()));
    let (_, sink) = read(&format!("[[opening]]\nmark = \"D-1\"\nkind = \"{long}\"\n{} = 1\n", "k".repeat(10_000)));
    assert_eq!(codes(&sink), ["JOB-002", "JOB-001"]);
    assert!(sink.findings.iter().all(|finding| finding.headline.len() < 400));
    let (_, sink) = read_openings(format!("mark,{}\nD-1,x\n", "k.".repeat(5_000)));
    assert!(sink.findings.iter().all(|finding| finding.headline.len() < 400));
}

#[test]
fn a_text_longer_than_any_name_is_refused_and_exactly_the_limit_is_kept() {
    let (job, sink) = read_openings(format!("mark,notes\nD-1,{}\nD-2,{}\n", "n".repeat(100_000), "n".repeat(100_001)));
    assert_eq!(codes(&sink), ["JOB-002"]);
    assert_eq!(job.openings[0].notes.as_ref().map(String::len), Some(100_000));
    assert_eq!(job.openings[1].notes, None);
}

#[test]
fn ids_with_line_breaks_or_nothing_in_them_leave_their_record_out() {
    for id in ["\"\"", "\"  \"", "\"a\\nb\"", "\"a\\u0000b\""] {
        let (job, sink) = read(&format!("[[room]]\nid = {id}\n"));
        assert_eq!((codes(&sink), job.rooms.len()), (vec!["JOB-002", "JOB-003"], 0), "{id}");
    }
}

#[test]
fn files_are_read_to_exactly_their_limit() {
    const LIMIT: usize = 64 * 1024 * 1024;
    let mut bytes = b"[[room]]\nid = \"A\"\n#".to_vec();
    bytes.resize(LIMIT, b'x');
    let (job, sink) = Job::read(&[file(JOB_FILE, &bytes)]);
    assert_eq!((lines(&sink), job.rooms.len()), (vec![], 1));
    bytes.push(b'x');
    let (job, sink) = Job::read(&[file(JOB_FILE, &bytes)]);
    assert_eq!(
        lines(&sink),
        [
            "JOB-011 job.toml: 67108865 bytes are more than the 67108864 a file may have | Check that the right file was \
          given; split it when it was"
        ]
    );
    assert!(job.rooms.is_empty());
}

#[test]
fn nesting_without_end_is_told_and_does_not_exhaust_the_stack() {
    let deep = 100_000;
    for text in [
        format!("x = {}{}", "[".repeat(deep), "]".repeat(deep)),
        format!("x = {}", "[".repeat(deep)),
        format!("x = {}1{}", "{a=".repeat(deep), "}".repeat(deep)),
        format!("{}a = 1", "a.".repeat(deep)),
        format!("[{}a]\nb = 1", "a.".repeat(deep)),
    ] {
        let (_, sink) = read(&text);
        assert!(codes(&sink).contains(&"JOB-006"), "{:?}", lines(&sink).first());
    }
    let (job, sink) = read_openings(format!("mark,{}a\nD-1,1\n", "a.".repeat(deep)));
    assert_eq!((codes(&sink), job.openings.len()), (vec!["JOB-001"], 1));
}

#[test]
fn a_row_of_a_million_cells_is_read_as_far_as_columns_go() {
    let (job, sink) = read_openings(format!("mark{}\nD-1{}\n", ",a".repeat(1_000_000), ",1".repeat(1_000_000)));
    assert_eq!(job.openings.len(), 1);
    assert!(sink.findings.len() <= 502, "{} findings", sink.findings.len());
}

#[test]
fn binary_garbage_ends_in_findings() {
    let garbage: Vec<u8> = (0_u32..100_000).map(|i| (i.wrapping_mul(2_654_435_761) >> 13) as u8).collect();
    let (_, sink) = Job::read(&[file(JOB_FILE, &garbage)]);
    assert!(codes(&sink).contains(&"JOB-007"));
    assert!(sink.findings.iter().any(|finding| finding.severity == Severity::Stop));
    let (_, sink) = read_openings(&garbage);
    assert!(codes(&sink).contains(&"JOB-007"));
    let (catalogue, _) = Catalogue::read(&[file("devices.toml", &garbage)]);
    assert!(catalogue.devices.is_empty());
}

#[test]
fn rooms_that_bridge_to_each_other_in_a_circle_are_read_as_written() {
    let job = check("[[room]]\nid = \"A\"\nbridge_from = \"B\"\n[[room]]\nid = \"B\"\nbridge_from = \"A\"\n", &[]);
    assert_eq!(job.rooms[0].bridge_from, Some(job.rooms[1].id.clone()));
}

proptest! {
    #[test]
    fn no_bytes_make_reading_panic(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        let _ = Job::read(&[file(JOB_FILE, &bytes)]);
        let _ = Job::read(&[file("openings.csv", &bytes), file(JOB_FILE, "")]);
        let _ = Catalogue::read(&[file("devices.toml", &bytes)]);
        let _ = Profile::read(&file("profile.toml", &bytes));
    }

    #[test]
    fn no_text_that_looks_like_a_job_makes_reading_panic(
        text in "(\\[\\[?(opening|room|job|policy)\\]?\\]?\n|(mark|id|kind|door|x_m|exposure)(\\.[a-z]{1,5})? ?= ?[\"\\[{]?[a-z0-9.,_ -]{0,6}[\"\\]}]?\n){0,12}"
    ) {
        let (job, _) = read(&text);
        let _ = job.to_document();
    }

    #[test]
    fn no_text_that_looks_like_a_sheet_makes_reading_panic(
        text in "(mark|kind|door\\.leaf|x_m|\"[a-z\n]{0,4}\"?)(,(mark|door|x_ft|[a-z\"]{0,4})){0,6}\n([a-z0-9\",;\n#-]{0,20}\n){0,6}"
    ) {
        let (job, _) = read_openings(&text);
        let _ = job.to_document();
    }

    #[test]
    fn every_change_of_one_byte_of_a_good_job_is_survived(at in any::<prop::sample::Index>(), byte in any::<u8>()) {
        let mut bytes = example("one-door").remove(0).bytes;
        let at = at.index(bytes.len());
        bytes[at] = byte;
        let (job, _) = Job::read(&[file(JOB_FILE, &bytes)]);
        let _ = job.to_document();
    }
}

#[test]
fn figures_no_site_can_have_count_as_missing_and_those_at_the_limit_are_kept() {
    let read_policy = |line: &str| read(&format!("[policy]\n{line}\n"));
    for (key, inside, outside) in [
        ("money.tax_percent", "100", "1e30"),
        ("money.exchange_rate", "0.000001", "0"),
        ("money.exchange_rate", "1000000", "1e300"),
        ("money.equipment_markup_percent", "1000", "1e20"),
        ("money.whole_life_years", "50", "4e9"),
        ("money.discount_percent", "0", "101"),
        ("money.out_of_hours_factor", "1", "0.5"),
        ("spare_percent", "90", "1000"),
        ("cable.waste_percent", "100", "1e6"),
        ("cable.fill_percent", "1", "0"),
        ("power.lock_voltage_v", "24", "0"),
        ("power.supply_load_percent", "10", "0"),
        ("factors_by_level", "[0, 1, 4]", "[0, 1, 5]"),
    ] {
        assert_eq!(lines(&read_policy(&format!("{key} = {inside}")).1), [""; 0], "{key}");
        assert_eq!(codes(&read_policy(&format!("{key} = {outside}")).1), ["JOB-009"], "{key}");
    }
    let (job, sink) = read("[policy]\nmoney.tax_percent = 190\n[[zone]]\nid = \"Z\"\nlevel = 7\n");
    assert_eq!((job.policy.money.tax_percent, job.zones[0].level), (None, None));
    assert_eq!(
        lines(&sink),
        [
            "JOB-009 job.toml:2:21: 190 lies outside 0 to 100 % | Correct the value; it counts as missing until then",
            "JOB-009 job.toml:5:9: 7 lies outside 0 to 4 | Correct the value; it counts as missing until then",
        ]
    );
}

#[test]
fn a_door_of_a_kilometre_and_one_of_a_finger_are_out_of_range_in_any_unit() {
    for written in ["clear_width_m = 900", "clear_width_mm = 9", "clear_width_in = 1000"] {
        let (job, sink) = read(&format!("[[opening]]\nmark = \"D-1\"\ndoor.{written}\n"));
        assert_eq!((codes(&sink), job.openings[0].door.clear_width), (vec!["JOB-009"], None), "{written}");
        assert!(sink.findings[0].headline.ends_with("lies outside 0.3 to 20 m"), "{}", sink.findings[0].headline);
    }
}

#[test]
fn dates_times_and_locales_are_dates_times_and_locales() {
    let (job, sink) = read(
        "[job]\ndate = \"12/10/2026\"\nlocale = \"English\"\n[[question]]\nid = \"1\"\ndue = 2026-12-01\n\
         [[question]]\nid = \"2\"\ndue = \"2026-02-30\"\n[[schedule]]\nid = \"S\"\nfrom = \"06:00\"\nuntil = \"25:99\"\n",
    );
    assert_eq!(codes(&sink), ["JOB-002"; 4]);
    assert_eq!((&job.heading.date, &job.heading.locale), (&None, &None));
    assert_eq!((job.questions[0].due.as_deref(), job.questions[1].due.as_deref()), (Some("2026-12-01"), None));
    assert_eq!((job.schedules[0].from.as_deref(), job.schedules[0].until.as_deref()), (Some("06:00"), None));
}

#[test]
fn a_price_below_nothing_counts_as_missing_and_a_price_of_nothing_is_kept() {
    let catalogue =
        |price: &str| Catalogue::read(&[file("d.toml", format!("[[device]]\nid = \"A\"\nprice = {price}\n"))]);
    let (read, sink) = catalogue("\"-238.00\"");
    assert_eq!(
        lines(&sink),
        [
            "JOB-009 d.toml:3:9: -238.00 lies outside 0 to 1000000000 | Correct the value; it counts as missing until then"
        ]
    );
    assert!(read.devices.values().all(|device| device.price.is_none()));
    let (read, sink) = catalogue("0");
    assert!(sink.findings.is_empty() && read.devices.values().all(|device| device.price.is_some()));
}

#[test]
fn an_unknown_key_points_to_the_schema_of_its_own_document() {
    let (_, job) = read("[[room]]\nid = \"A\"\nqqqq = 1\n");
    let (_, catalogue) = Catalogue::read(&[file("d.toml", "[[device]]\nid = \"A\"\nqqqq = 1\n")]);
    let (_, profile) = Profile::read(&file("p.toml", "qqqq = 1\n[profile]\nqqqq = 1\n"));
    for (sink, schema) in [(job, "schema job"), (catalogue, "schema catalogue"), (profile, "schema profile")] {
        assert!(!sink.findings.is_empty());
        assert!(sink.findings.iter().all(|finding| finding.help[0].contains(schema)), "{:?}", lines(&sink));
    }
}
