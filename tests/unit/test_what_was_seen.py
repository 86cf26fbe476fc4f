"""What a week at the bench showed, and the test that failed before and holds now.

The first word of a row is its part: 1 nothing is recorded that nobody read; 2 what can still be
saved comes first; 3 one clock, one answer; 4 damage and disk; 5 numbers; 6 words, keys, trade.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
TABLE = """
1 the plan beside an empty field | tui/test_prompts the_plan_stands_beside_an_empty_line
1 enter on an untouched field asks | tui/test_prompts an_untouched_line_is_never_recorded
1 typed while it stalls | faults/test_input_bursts what_is_typed_while_it_stalls
1 a burst that nothing asked for | faults/test_input_bursts a_burst_that_nothing_asked_for
1 a scale that types | faults/test_input_bursts a_scale_that_types_into
1 a digit is more of a figure | tui/test_prompts a_digit_never_answers_what_a_figure_asked
1 readings while pouring | tui/test_prompts readings_while_pouring_say
1 readings of before an undo | tui/test_prompts readings_from_before_an_undo_count_only
1 a press that is ignored is told | tui/test_bench_keys a_press_that_is_ignored_is_told
1 --at a little ahead | unit/test_commands_say_what_screens_say a_bare_time_a_little
1 four that weigh at once | unit/test_commands_say_what_screens_say of_four_that_weigh
1 undo passes nothing over | unit/test_commands_say_what_screens_say what_was_last_beside
1 a note to a full device | unit/test_commands_say_what_screens_say a_note_that_is_recor
1 an answer outside its check | tui/test_prompts an_answer_outside_its_limits_is_asked_about
1 a measured void changes the room | unit/test_measured_void two_mm_less_depth_is_less_in_every
1 a check by command says its fault | unit/test_commands_say_what_screens_say a_check_outside_its
1 a start names its own first step | unit/test_commands_say_what_screens_say a_start_names_the_new
1 next as data holds the check | unit/test_commands_say_what_screens_say next_as_data_holds_a
1 a twin far off is a question | unit/test_commands_say_what_screens_say a_twin_hundreds_of_gr
1 a fraction for per cent, °F for °C | unit/test_commands_say_what_screens_say a_fraction_for_per
2 a second cup that can be saved | unit/test_saved_first a_lost_cup_hides_no_second_one
2 what is spoiled opens nothing | unit/test_saved_first no_reminder_calendar_or_closing_page
2 first the weight, then the new cup | unit/test_saved_first the_question_comes_then_the_weight
2 the other piece says why it waits | unit/test_saved_first the_other_piece_says_what
2 a weight owed keeps the bench | unit/test_agenda_order a_weight_owed_keeps_the_bench_at_its
2 a weight owed goes before a cup | unit/test_agenda_order the_order_of_the_acts
2 a lost mix rings three times | unit/test_remind_routing a_lost_mix_that_nobody_answers_rings
2 one table for all channels | unit/test_remind_routing every_cell
2 one bench rings | tui/test_reminding_screen a_bench_without_the_word_shows_and_sends
2 no oil goes on while other has to come off | unit/test_one_pair_of_hands the_third_oil_waits
3 every edge has its own temperature | unit/test_label_points a_time_lent_by_common_practice_keeps
3 two label points | unit/test_label_points two_points_give_the_activation_energy
3 an energy typed | unit/test_label_points the_activation_energy_may_be_typed
3 labels give ranges | unit/test_label_points of_a_range_the_safe_end_counts
3 heat and clock are of one cup | unit/test_heat the_cups_clock_and_its_heat_are_one_cup
3 05:00 + 24 h is 05:00 | unit/test_disk_and_secrets a_day_after_five_o_clock
3 reading the air hardly lengthens | unit/test_one_clock reading_an_ordinary_shop_hardly
3 no doubt doubles a wait | unit/test_one_clock no_doubt_doubles_what_is_likely
3 clock and reckoner agree | unit/test_one_clock clock_and_reckoner_give_one_answer
3 the day sheet waits as the clock | unit/test_one_clock the_day_sheet_waits_as_the_clock_does
3 likely since, and what settles it | unit/test_clock_put_right an_opening_that_is_likely_says
3 space asks one question | tui/test_air_bench space_asks_once_about_what_is_likely_ready
3 humidity isn't forgotten at once | reference/test_numbers_told a_reading_without_humidity
3 a wrong clock at boot is put right | unit/test_clock_put_right windows_stand_where_they_stood
3 so is the air read by it | unit/test_clock_put_right air_that_was_read_while_the_clock
3 a set clock is taken back | unit/test_clock_put_right a_clock_that_is_put_right_late_can
3 the maker's own material | unit/test_clock_of_own_material the_makers_own_is_taken
4 each of 45 entries damaged in turn | faults/test_salvage_each each_event_damaged_in_turn_costs
4 reading shows what is whole | faults/test_salvage_each reading_commands_show_what_is_whole
4 advice compares | faults/test_salvage_each advice_compares_what_each_way
4 an unreadable head | faults/test_salvage_each a_head_that_may_not_be_read
4 damage as a maker reads it | unit/test_journal_damage a_whole_check_names_what_was_changed
4 a full disk is read | unit/test_disk_and_secrets the_bench_opens_to_be_read_and_says
4 and reminds | unit/test_disk_and_secrets reminders_are_given_and_it_is_said
4 a starter leaves no empty file | unit/test_disk_and_secrets a_starter_that_a_full_disk_refuses
4 a folder taken away | unit/test_disk_and_secrets a_folder_taken_away_and_put_back
4 bytes that are no text | unit/test_commands_say_what_screens_say bytes_that_are_no_text
4 an unknown time zone | unit/test_disk_and_secrets an_unknown_time_zone_ends_nothing
4 output that is closed | unit/test_commands_say_what_screens_say a_pipe_that_is_gone
4 secrets | unit/test_disk_and_secrets what_stands_among_the_addresses_is
5 round ends everywhere | reference/test_numbers_told the_same_keys_mean_round_ends
5 a stepped bore in a waisted turning | reference/test_reckon_wall a_stepped_bore_in_a_waisted
5 wood at 12 % | reference/test_reckon_wood the_curve_goes_through_the_tables
5 one table of shot | reference/test_reckon_metal the_shelf_and_the_reckoners_have
5 hours across a clock change | reference/test_numbers_told hours_over_a_night_in_which_the
5 a name twice in JSON | reference/test_numbers_told a_name_given_twice_in_json
5 a blank cell | reference/test_numbers_told a_blank_cell_is_nothing_measured
5 peaks of 20,120 °C | reference/test_numbers_told no_heat_and_specific_heat_make
5 a form says its labels | tui/test_screen_reckon no_form_names_a_key_that_it_doesnt
5 units of the setting | unit/test_air_put_right units_of_the_settings_reach_the_cores
5 the class of a scale | unit/test_weight_commands a_class_from_its_plate_says_how_far
6 a key means one thing | tui/test_keys_table a_letter_or_a_sign_means_what_the_table
6 the row holds the way to all keys | tui/test_keys_table the_row_of_keys_holds_the_way
6 a caution's lead fits a row | unit/test_procedure_shipped the_first_sentence_of_every_cau
6 the trade's defaults | unit/test_trade_defaults what_the_trade_does_anyway_needs_no_word
6 a done step is no damage | unit/test_phrases what_was_done_never_sounds_like_damage
6 trifles are not offered | unit/test_landing_adjustment nothing_is_offered_for_less_than
"""


@pytest.mark.parametrize(
    "row", TABLE.strip().splitlines(), ids=lambda row: row.split("|")[0].strip()
)
def test_the_test_that_holds_it_is_there(row: str) -> None:
    file, begins = row.split("|")[1].split()
    text = (ROOT / f"{file}.py").read_text(encoding="utf-8")
    assert re.search(rf"def test_{begins}", text), f"{file} has no such test any more"
