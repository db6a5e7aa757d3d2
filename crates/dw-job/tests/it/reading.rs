//! Documents: each rule fires at the right place, stays silent when all is well, and holds exactly at its limit.

use dw_core::{Metres, Minutes};
use dw_job::model::{EscapeDuty, Exposure, OpeningKind};
use dw_job::{Document, FORMAT, JOB_FILE, Job};

use crate::helpers::{check, codes, file, lines, read};

#[test]
fn an_unknown_key_is_told_with_line_column_and_the_key_that_was_meant() {
    let job = check(
        "[[opening]]\nmark = \"D-1\"\nstorye = \"Quay\"\n",
        &["JOB-001 job.toml:3:1: nothing is known under \"storye\" | Did you mean \"storey\"?"],
    );
    assert_eq!(job.openings.len(), 1, "the rest of the record still counts");
}

#[test]
fn an_unknown_key_in_a_part_is_found_among_the_keys_of_that_part() {
    check(
        "[[opening]]\nmark = \"D-1\"\ndoor.clear_widht_mm = 900\n",
        &["JOB-001 job.toml:3:6: nothing is known under \"clear_widht_mm\" | Did you mean \"clear_width_mm\"?"],
    );
}

#[test]
fn an_unknown_table_is_told_and_nonsense_is_not_guessed_at() {
    check(
        "[[openings]]\nmark = \"D-1\"\n[qqq]\nx = 1\n",
        &[
            "JOB-001 job.toml:1:3: nothing is known under \"openings\" | Did you mean \"opening\"?",
            "JOB-001 job.toml:3:2: nothing is known under \"qqq\" | Remove it, or put it in a comment or under \
             \"notes\"; `doorwright schema job` lists every key",
        ],
    );
}

#[test]
fn a_unit_that_a_quantity_does_not_have_is_an_unknown_key() {
    check(
        "[[room]]\nid = \"A\"\nx_kg = 4\n",
        &["JOB-001 job.toml:3:1: nothing is known under \"x_kg\" | Did you mean \"x_km\"?"],
    );
}

#[test]
fn a_word_outside_its_list_is_told_with_the_list_and_the_word_that_was_meant() {
    let job = check(
        "[[opening]]\nmark = \"D-1\"\nkind = \"singel\"\nescape = \"exit\"\n",
        &["JOB-002 job.toml:3:8: \"singel\" cannot be read here | Expected: one of single, pair, sliding, revolving, \
           gate, turnstile-lane, wide-lane, vehicle-barrier, vehicle-gate, lift-car, hatch; did you mean \"single\"?"],
    );
    assert_eq!((job.openings[0].kind, job.openings[0].escape), (None, Some(EscapeDuty::Exit)));
}

#[test]
fn words_may_be_written_with_capitals_spaces_and_underscores() {
    let job =
        check("[[opening]]\nmark = \"D-1\"\nkind = \"Turnstile Lane\"\nexposure = [\"DIRECT_SUN\", \"dust\"]\n", &[]);
    assert_eq!(job.openings[0].kind, Some(OpeningKind::TurnstileLane));
    assert_eq!(job.openings[0].exposure, [Exposure::DirectSun, Exposure::Dust]);
}

#[test]
fn values_of_the_wrong_sort_are_told_one_by_one_and_count_as_missing() {
    let job = check(
        "[[room]]\nid = \"A\"\nnetwork_ports = \"many\"\nmains = \"perhaps\"\nx_m = \"left\"\nname = [1]\n",
        &[
            "JOB-002 job.toml:6:8: \"a list\" cannot be read here | Expected: a single value, not a list",
            "JOB-002 job.toml:5:7: \"left\" cannot be read here | Expected: a number such as 1.5",
            "JOB-002 job.toml:3:17: \"many\" cannot be read here | Expected: a whole number from 0 to 10000000",
            "JOB-002 job.toml:4:9: \"perhaps\" cannot be read here | Expected: true or false",
        ],
    );
    let room = &job.rooms[0];
    assert_eq!((room.network_ports, room.mains, room.x, room.name.as_ref()), (None, None, None, None));
}

#[test]
fn counts_end_exactly_at_their_limit() {
    let job = check("[[room]]\nid = \"A\"\nnetwork_ports = 10_000_000\n", &[]);
    assert_eq!(job.rooms[0].network_ports, Some(10_000_000));
    let (_, sink) = read("[[room]]\nid = \"A\"\nnetwork_ports = 10_000_001\n");
    assert_eq!(codes(&sink), ["JOB-002"]);
}

#[test]
fn a_table_that_must_be_a_list_may_stand_once_and_anything_else_is_told() {
    let job = check("[room]\nid = \"A\"\n", &[]);
    assert_eq!(job.rooms.len(), 1);
    check(
        "room = 3\n",
        &["JOB-002 job.toml:1:8: \"room\" cannot be read here | Expected: a list of tables; write [[room]] before \
           each record"],
    );
    check(
        "room = [3]\n",
        &["JOB-002 job.toml:1:9: \"room\" cannot be read here | Expected: a table of fields; write [[room]] before \
           each record"],
    );
}

#[test]
fn a_part_written_as_a_single_value_is_told() {
    check(
        "[[opening]]\nmark = \"D-1\"\ndoor = \"timber\"\n",
        &["JOB-002 job.toml:3:8: \"a single value\" cannot be read here | Expected: a table of fields"],
    );
}

#[test]
fn a_record_without_its_id_is_left_out_and_the_others_stay() {
    let job = check(
        "[[opening]]\nname = \"no mark\"\n[[opening]]\nmark = \"D-2\"\n",
        &["JOB-003 job.toml:1:1: this opening has no mark and is left out | Add \"mark\""],
    );
    assert_eq!(job.openings.len(), 1);
}

#[test]
fn the_second_record_of_one_id_is_left_out_with_both_places() {
    let job = check(
        "[[room]]\nid = \"A\"\nname = \"first\"\n\n[[room]]\nid = \"A\"\nname = \"second\"\n",
        &["JOB-004 job.toml:5:1: room A is there already, at job.toml:1:1; this one is left out \
           | Give one of the two another id, or remove it"],
    );
    assert_eq!(job.rooms[0].name.as_deref(), Some("first"));
}

#[test]
fn one_id_may_serve_two_kinds_of_object() {
    check("[[room]]\nid = \"A\"\n[[zone]]\nid = \"A\"\n", &[]);
}

#[test]
fn ids_that_differ_only_in_blanks_around_them_are_one_id() {
    let (job, sink) = read("[[room]]\nid = \"A\"\n[[room]]\nid = \" A \"\n");
    assert_eq!((codes(&sink), job.rooms.len()), (vec!["JOB-004"], 1));
}

#[test]
fn a_reference_to_nothing_is_told_where_it_stands_with_the_name_that_was_meant() {
    let (_, sink) = read("[[storey]]\nid = \"Quay level\"\n[[room]]\nid = \"A\"\nstorey = \"Quay levl\"\n");
    assert_eq!(
        lines(&sink),
        ["JOB-005 room A storey: there is no storey \"Quay levl\" | Did you mean \"Quay level\"?"]
    );
    let source = sink.findings[0].place.source.as_ref().expect("the place is known");
    assert_eq!(source.to_string(), "job.toml:5:10");
}

#[test]
fn a_reference_inside_a_part_is_told_with_its_whole_path() {
    let (_, sink) = read("[[opening]]\nmark = \"D-1\"\n[opening.existing_cable]\nroom = \"TR-9\"\n");
    assert_eq!(
        lines(&sink),
        ["JOB-005 opening D-1 existing_cable.room: there is no room \"TR-9\" | Add the room, or correct the name"]
    );
    let source = sink.findings[0].place.source.as_ref().expect("the place is known");
    assert_eq!(source.to_string(), "job.toml:4:8");
}

#[test]
fn references_are_found_whatever_the_order_of_tables() {
    check("[[right]]\ngroup = \"crew\"\nzone = \"yard\"\n[[zone]]\nid = \"yard\"\n[[group]]\nid = \"crew\"\n", &[]);
}

#[test]
fn devices_are_not_looked_for_in_the_job() {
    check("[[extra]]\ndevice = \"ANY-1\"\ncount = 2\n", &[]);
}

#[test]
fn a_line_that_is_not_toml_costs_itself_and_is_told_with_its_place() {
    let (job, sink) = read("[[room]]\nid = \"A\"\nname = \nmains = true\n");
    assert_eq!(codes(&sink), ["JOB-006"]);
    assert!(sink.findings[0].headline.starts_with("job.toml:3:"), "{}", sink.findings[0].headline);
    assert_eq!(job.rooms[0].mains, Some(true));
}

#[test]
fn a_key_twice_in_one_table_is_told() {
    let (job, sink) = read("[[room]]\nid = \"A\"\nmains = true\nmains = false\n");
    assert_eq!(codes(&sink), ["JOB-006"]);
    assert!(sink.findings[0].headline.starts_with("job.toml:4:1: duplicate key"), "{}", sink.findings[0].headline);
    assert_eq!(job.rooms.len(), 1);
}

#[test]
fn a_job_without_its_document_is_an_empty_job_with_a_finding() {
    let (job, sink) = Job::read(&[]);
    assert_eq!(codes(&sink), ["JOB-006"]);
    assert!(job.openings.is_empty());
}

#[test]
fn a_quantity_in_two_units_is_told_and_one_of_them_counts() {
    let job = check(
        "[[opening]]\nmark = \"D-1\"\ndoor.clear_width_mm = 900\ndoor.clear_width_in = 36\n",
        &["JOB-008 job.toml:4:23: \"clear_width\" is given a second time in another unit | Keep one of the two"],
    );
    assert_eq!(job.openings[0].door.clear_width, Some(Metres::new(0.9)));
}

#[test]
fn quantities_end_exactly_at_their_limits() {
    let job = check("[[opening]]\nmark = \"D-1\"\ndoor.fire_rating_min = 0\nexisting_cable.length_m = 1e9\n", &[]);
    assert_eq!(job.openings[0].door.fire_rating, Some(Minutes::ZERO));
    let (job, sink) =
        read("[[opening]]\nmark = \"D-1\"\ndoor.fire_rating_min = -0.001\nexisting_cable.length_m = 1.1e9\n");
    assert_eq!(
        lines(&sink),
        [
            "JOB-009 job.toml:3:24: -0.001 lies outside 0 to 480 min | Correct the value; it counts as missing \
             until then",
            "JOB-009 job.toml:4:27: 1100000000 lies outside 0 to 1000000000 m | Correct the value; it counts as \
             missing until then",
        ]
    );
    assert_eq!(job.openings[0].door.fire_rating, None);
}

#[test]
fn temperatures_of_rooms_may_be_negative_down_to_the_coldest_place_there_is() {
    check("[[room]]\nid = \"A\"\ntemperature_min_c = -90\n", &[]);
    let (_, sink) = read("[[room]]\nid = \"A\"\ntemperature_min_c = -90.5\n");
    assert_eq!(codes(&sink), ["JOB-009"]);
}

#[test]
fn coordinates_and_heights_may_lie_west_south_and_below_of_the_origin() {
    check(
        "[[building]]\nid = \"B\"\nentry_x_m = -3\nentry_y_m = -4\n[[storey]]\nid = \"L\"\nelevation_m = -5\n\
         [[room]]\nid = \"R\"\nx_m = -1\ny_m = -2\n\
         [[cable_way]]\nid = \"W\"\nx1_m = -1\ny1_m = -2\nx2_m = -3\ny2_m = -4\n",
        &[],
    );
    let (_, sink) = read("[[cable_way]]\nid = \"W\"\nlength_m = -1\n[[storey]]\nid = \"L\"\nheight_m = -3\n");
    assert_eq!(codes(&sink), ["JOB-009", "JOB-009"]);
}

#[test]
fn documents_of_this_format_and_without_one_read_and_later_ones_are_told() {
    check(&format!("format = {FORMAT}\n"), &[]);
    check("", &[]);
    let (job, sink) = read(&format!("format = {}\n[[room]]\nid = \"A\"\n", FORMAT + 1));
    assert_eq!(
        lines(&sink),
        ["JOB-002 job.toml:1:10: \"2\" cannot be read here | Expected: a format number this version knows, 1 to 1; \
          all that is known is still read"]
    );
    assert_eq!(job.rooms.len(), 1);
}

#[test]
fn a_sheet_of_an_unknown_name_is_told_and_other_files_are_left_alone() {
    let documents = [file(JOB_FILE, ""), file("opening.csv", "mark\nD-1\n"), file("plan.png", [0, 1, 2])];
    let (job, sink) = Job::read(&documents);
    assert_eq!(
        lines(&sink),
        ["JOB-013 opening.csv: no sheet has this name, so the file is not read | Did you mean \"openings.csv\"?"]
    );
    assert!(job.openings.is_empty());
}

#[test]
fn a_byte_order_mark_and_windows_line_ends_change_nothing() {
    let text = "\u{feff}[[room]]\r\nid = \"A\"\r\nstorye = 1\r\n";
    check(text, &["JOB-001 job.toml:3:1: nothing is known under \"storye\" | Did you mean \"storey\"?"]);
}

#[test]
fn records_of_the_document_come_before_those_of_the_sheet() {
    let document = Document { name: JOB_FILE.to_owned(), bytes: b"[[room]]\nid = \"B\"\n".to_vec() };
    let (job, sink) = Job::read(&[file("rooms.csv", "id\nA\nB\n"), document]);
    assert_eq!(
        lines(&sink),
        ["JOB-004 rooms.csv row 3 column \"id\": room B is there already, at job.toml:1:1; this one is left out \
          | Give one of the two another id, or remove it"]
    );
    assert_eq!(job.rooms.iter().map(|room| room.id.to_string()).collect::<Vec<_>>(), ["B", "A"]);
}

#[test]
fn of_a_quantity_in_two_units_the_one_written_first_counts() {
    for (first, second) in [("mm", "in"), ("in", "mm")] {
        let (job, sink) = read(&format!(
            "[[opening]]\nmark = \"D-1\"\n[opening.door]\nframe_section_{first} = 36\nframe_section_{second} = 35\n"
        ));
        assert_eq!(sink.findings[0].place.source.as_ref().map(|source| source.line), Some(5));
        let expected = if first == "in" { 36.0 * 0.0254 } else { 36.0 * 0.001 };
        assert_eq!(job.openings[0].door.frame_section, Some(Metres::new(expected)));
    }
}
