//! The rules, one file each; a file's doc comment is what `about` prints.

use super::Rule;

pub mod bar_adrift;
pub mod bar_length;
pub mod bar_short;
pub mod bar_slip;
pub mod bass_note;
pub mod big_beats;
pub mod block_syntax;
pub mod chord_contradicted;
pub mod chords_differ;
pub mod chords_short;
pub mod clash;
pub mod column_adrift;
pub mod count_order;
pub mod cue;
pub mod degree;
pub mod finger_count;
pub mod finger_crossing;
pub mod fret_range;
pub mod fret_slip;
pub mod guessed;
pub mod header_key;
pub mod header_value;
pub mod interval;
pub mod jump;
pub mod key_inferred;
pub mod left_out;
pub mod name_taken;
pub mod no_count;
pub mod no_glyph;
pub mod no_key;
pub mod no_pickup;
pub mod no_title;
pub mod no_voicing;
pub mod not_text;
pub mod nothing_meant;
pub mod numeral;
pub mod octave_slip;
pub mod odd_bar_out;
pub mod outside_key;
pub mod parts_cross;
pub mod parts_length;
pub mod phrase_as_name;
pub mod pick_speed;
pub mod picture;
pub mod reach;
pub mod row_label;
pub mod same_string;
pub mod shape_misnamed;
pub mod spelling;
pub mod stranger;
pub mod stretch;
pub mod string_slip;
pub mod tab_character;
pub mod technique;
pub mod technique_lost;
pub mod times;
pub mod triplet_count;
pub mod tuning_octave;
pub mod unknown_chord;
pub mod unknown_name;
pub mod unread_block;
pub mod unread_phrase;
pub mod upside_down;
pub mod wrong_note;

/// Every rule, in the order of the language's own table.
pub static RULES: &[&Rule] = &[
    &not_text::RULE,
    &header_key::RULE,
    &header_value::RULE,
    &block_syntax::RULE,
    &name_taken::RULE,
    &unknown_name::RULE,
    &tab_character::RULE,
    &column_adrift::RULE,
    &bar_adrift::RULE,
    &row_label::RULE,
    &count_order::RULE,
    &bar_length::RULE,
    &no_title::RULE,
    &unread_phrase::RULE,
    &phrase_as_name::RULE,
    &unread_block::RULE,
    &no_count::RULE,
    &big_beats::RULE,
    &triplet_count::RULE,
    &bar_short::RULE,
    &no_key::RULE,
    &key_inferred::RULE,
    &left_out::RULE,
    &cue::RULE,
    &times::RULE,
    &picture::RULE,
    &unknown_chord::RULE,
    &spelling::RULE,
    &numeral::RULE,
    &interval::RULE,
    &degree::RULE,
    &shape_misnamed::RULE,
    &bass_note::RULE,
    &chords_differ::RULE,
    &chord_contradicted::RULE,
    &parts_length::RULE,
    &clash::RULE,
    &parts_cross::RULE,
    &technique::RULE,
    &no_pickup::RULE,
    &guessed::RULE,
    &chords_short::RULE,
    &no_glyph::RULE,
    &tuning_octave::RULE,
    &outside_key::RULE,
    &stranger::RULE,
    &wrong_note::RULE,
    &string_slip::RULE,
    &fret_slip::RULE,
    &octave_slip::RULE,
    &upside_down::RULE,
    &bar_slip::RULE,
    &odd_bar_out::RULE,
    &fret_range::RULE,
    &same_string::RULE,
    &finger_count::RULE,
    &finger_crossing::RULE,
    &reach::RULE,
    &stretch::RULE,
    &jump::RULE,
    &pick_speed::RULE,
    &technique_lost::RULE,
    &no_voicing::RULE,
    &nothing_meant::RULE,
];

/// The rule of a name.
pub fn find(name: &str) -> Option<&'static Rule> {
    RULES.iter().copied().find(|rule| rule.name == name)
}

/// Every rule's page, one after the other below a list of them all: the reference.
pub fn reference() -> String {
    let row = |rule: &&Rule| {
        format!("| `{}` | {} | {} |\n", rule.name, rule.weight.name(), rule.summary())
    };
    let list: String = RULES.iter().map(row).collect();
    let pages: String = RULES.iter().map(|rule| format!("\n{}", rule.page())).collect();
    format!("| rule | weight | says |\n| --- | --- | --- |\n{list}{pages}")
}
