"""Patterns over items: the phrases around a movement, and the heads under which stations are done."""

from __future__ import annotations

from keelmark.notation import builders as make
from keelmark.notation import clock_builders as clock
from keelmark.notation import load_builders as loads
from keelmark.notation.cascade import Cascade
from keelmark.notation.items import Item
from keelmark.notation.merging import merged_item
from keelmark.notation.standard_order import read_standard_order
from keelmark.notation.standards import read_standards

__all__ = ["read_phrases"]


_FILL = "(of|wearing|word|for_word|at|a|to|sdash|with|between|letter)?"


_WORD = "(word|for_word|letter|pace)?"


_NAME = "(word|for_word|letter|of)?"
_LINK = "(word|for_word|wearing|of|at|colon|comma|a|between|with|equals|pace|to|per_set|sdash)?"
_TOWARDS = "(word|for_word|a|at|of|letter|to|heavy|build|per_round|sdash|amount){0,6}"
_SEPARATOR = "(slash|sslash|comma|and|plus|sdash|dash|then|semicolon|with|of|a|to)?"


_SMALL = Cascade(
    [
        ("amount plus (?=at|times|newline|comma|load|open|close|sdash|stop|semicolon|with)", make.at_least),
        ("amount plus $", make.at_least),
        ("dur (dash|sdash) dur", clock.time_span),
        ("amount time_word", clock.times_word),
        ("amount times_word (?!number)", clock.times_word),
        ("at (rpe|rir) (colon|of|at|equals|sdash|other|max|cap){0,3} amount", make.rating),
        ("(at|with)? amount cadence", clock.cadence),
        ("cadence (at|of|colon|equals)? amount", clock.cadence),
        ("(at|comma) (word|a|of)? (dist|dur) word? pace", clock.pace_of),
        ("pace of dist", clock.pace_of),
        ("(with|at|wearing) amount (dumbbell|dumbbells|kettlebell|kettlebells) (?!load|of|at|a)", loads.held),
        ("at amount (?!rep_max|rounds|sets|rir|percent|slash|times)", loads.at_figure),
        ("(with|wearing|at|of) amount load", loads.pair_of),
        ("at body_weight", loads.own_weight),
        ("body_weight times amount", loads.own_weight_for),
        ("(with|at|of|wearing)? empty_bar", loads.empty_bar),
        ("free at load", loads.start_load),
        ("amount of_them", lambda items: items[:1]),
        ("pair_of load", loads.pair_of),
        ("amount (dumbbells|kettlebells|dumbbell|kettlebell|movement) (of|at|a)? load", loads.bells_of),
        ("amount load (kettlebell|kettlebells|dumbbell|dumbbells|movement)", loads.bells_behind),
        ("amount dash? rep_max", make.rep_max),
        ("(slash|sslash|per|each) side", make.each_side),
        ("(letter|and) slash letter (?!colon|load)", make.each_side_letters),
        ("amount with amount (?=newline|comma|stop|semicolon|close)", loads.with_figure),
        ("amount with amount $", loads.with_figure),
        ("letter slash?", make.with_what),
        ("tempo movement amount", make.tempo_after),
        ("tempo (colon|of|at|equals)? (amount|dur|interval_figure|load)", make.tempo),
        ("(at)? rpe (colon|of|at|equals|sdash|other|max|cap){0,3} amount", make.rating),
        ("amount rir (?!colon|amount|of|equals)", make.rating),
        ("(at)? rir (colon|of|at|equals)? amount", make.rating),
        ("(ascending|descending) word amount", lambda items: [merged_item("manner", items)]),
        (
            "amount times open amrap (dur|quote) (word|slash|sslash|comma|plus|rest|off|dur|quote|of|with)* close",
            clock.repeated_amrap,
        ),
        ("amount times amrap (dur|quote|(amount (?!movement|times|word)))", clock.repeated_amrap),
        ("dur amrap", clock.repeated_amrap),
        ("amount back_down", make.mirrored),
        ("dur slash dur (?=movement)", make.both_sides),
        ("amrap times (?=load)", make.open_set),
        ("amount times (max|amrap)", make.open_sets),
        ("last_set (colon|equals|sdash|at|of|to|word)? (max|amrap|open_end)", make.last_set_open),
        ("(max|amrap) (at|of|during|to)? last_set", make.last_set_open),
        ("plus load", loads.added),
        ("load slash amount", loads.load_over_reps),
        ("((after_each|every) dist)|(per_round dist (?!movement|of))", make.after_way),
        ("(after_each|every|each) (word|letter)", make.after_long_way),
        ("before_each (rounds|sets|waves)", make.before_round),
        ("opens_round", make.before_round),
    ]
)


_LARGE = Cascade(
    [
        (f"amrap {_FILL} {_FILL} (dur|quote|dist)", clock.clock_head("amrap_head")),
        (
            f"amrap {_FILL} amount (?!movement|times|word|for_word|sets|rounds|make.building)",
            clock.clock_head("amrap_head"),
        ),
        (
            "amrap (ascending|ladder|for_time)? amount (?!movement|times|word|for_word|sets)",
            clock.clock_head("amrap_head"),
        ),
        ("(dur|quote) (dash|of)? amrap", clock.clock_head("amrap_head")),
        ("dur (to|word|for_word|a|of|letter){1,5} amrap (of|to)?", clock.clock_head("amrap_head")),
        ("amount dash? amrap (?!movement)", clock.clock_head("amrap_head")),
        ("amrap", clock.clock_head("amrap_head")),
        (
            "(add|less|plus|ascending|build)? load per_side (of|word|letter|a|at|bar|barbell|sdash|comma){0,4}"
            " (per_set|per_round|between|emom|(after_each|each|every) (sets|rounds)?)",
            loads.rise_of_sides,
        ),
        (
            "(per_set|per_round|emom) (add|plus)? load (add|plus)? per_side"
            " ((of|word|at) (of|word|letter|a|at){0,2} bar)?",
            loads.rise_of_sides,
        ),
        ("(add|less|plus)? load after_each amount (sets|rounds|waves|minute)", loads.rise_every),
        ("(add|less|plus) load after_each (sets|rounds|waves)", loads.rise),
        ("(add|less|plus)? load every amount (sets|rounds|waves|minute)", loads.rise_every),
        ("(add|less|plus)? load every (dur|quote)", loads.rise_every_so_long),
        ("load (per_set|per_round|emom|between|each)", loads.rise_added),
        ("(add|less|plus) load emom", loads.rise),
        ("add (amount|cals|dist) movement (per_set|per_round|emom|each)", loads.rise_named),
        ("load (slash|sslash|per) (sets|rounds|waves|minute)", loads.rise_added),
        ("(add|less|plus|ascending|build) (per_set|per_round) (of|at|word)? load", loads.rise),
        ("(per_set|per_round|emom|each) (word|of|letter|a)? (sdash|comma)? load (add)?", loads.rise_each),
        ("emom times (dur|quote)", clock.emom_head),
        ("moving_on (dur|minute|quote)", clock.moving_on),
        ("(before_each|every) (word|nth)? minute", clock.emom_head),
        ("amount (per|slash|each) minute", make.each_minute),
        (f"emom {_FILL} {_FILL} (dur|quote|dist)", clock.emom_head),
        (f"emom {_FILL} (times)? amount (?!movement|dash|add)", clock.emom_head),
        ("(dur|quote|amount) (dash|of)? emom (?!for_word dur|for_word quote)", clock.emom_head),
        ("emom", clock.emom_head),
        ("every_word times amount (rounds|sets)?", clock.every_head),
        (f"every_word {_FILL} amount (rounds|sets)", clock.every_head),
        (f"every_word {_FILL} {_FILL} (dur|quote|dist)", clock.every_head),
        (f"every_word {_FILL} amount (?!movement)", clock.every_head),
        ("every_word", clock.every_head),
        ("every (dur|quote|dist) (comma|colon)? open? times amount (rounds|sets)? close?", clock.every_head),
        (
            f"every (dur|quote|dist) {_LINK} {_LINK} amount (rounds|sets)",
            clock.every_head,
        ),
        (
            "every (dur|quote|dist) (word|for_word|of|wearing|to|at|sdash)? (word|for_word|of|letter)? (dur|quote)",
            clock.every_head,
        ),
        ("every (dur|quote) comma? (word|for_word|of|a|letter|total|to|at){1,5} dur", clock.every_head),
        ("every (dur|quote) open amount times close", clock.every_head),
        ("every amount (?=colon)", clock.every_head),
        ("every dur (rounds|sets)", clock.every_head),
        ("every dur for_word amount", clock.every_reps),
        ("every (dur|quote|dist)", clock.every_head),
        ("cap (colon|of|at|sdash|word|for_word|equals)? (dur|quote|amount|dist)", clock.clock_head("cap_head")),
        ("(dur|quote) dash? cap", clock.clock_head("cap_head")),
        (
            f"amount times open? dur of? {_WORD} (work)? {_SEPARATOR} dur of? {_WORD} (rest|off) close?",
            clock.interval_head,
        ),
        ("amount times open? dur (slash|sslash) dur close?", clock.interval_head),
        (
            f"amount interval of? dur of? work? {_SEPARATOR} at? dur of? {_WORD} (rest|off)",
            clock.interval_head,
        ),
        ("amount dur dash? interval", clock.windows_of),
        ("amount interval of? (?=movement)", clock.rounds_head),
        (f"dur of? work {_SEPARATOR} dur of? (rest|off) (comma|sdash)? times amount", clock.interval_head),
        ("dur (slash|sslash) dur (rest|off)? times amount", clock.interval_head),
        (f"dur of? work {_SEPARATOR} dur of? (rest|off)", clock.interval_head),
        (f"dur of? max {_SEPARATOR} dur of? {_WORD} (rest|off)", clock.interval_head),
        (f"work for_word? dur {_SEPARATOR} (rest|off) for_word? (dur|amount)", clock.interval_head),
        ("dur of? (work)? (sslash|slash|comma|and|plus) dur of? (rest|off)", clock.interval_head),
        ("dur of? work (sslash|slash|comma|and|plus|sdash|dash) dur", clock.interval_head),
        ("dur of? work (sslash|slash|sdash|dash|comma|and|with)? dur of? (rest|off|word)", clock.interval_head),
        ("dur (with|and|plus|comma) dur of? (rest|off)", clock.interval_head),
        ("dur (sslash|slash) dur (?!movement)", clock.interval_head),
        ("quote work? (sslash|slash|comma|and|plus|sdash|dash) quote (rest|off)", clock.interval_head),
        ("quote (sslash|slash) quote (rest|off)?", clock.interval_head),
        ("dur (work|rest|off) (slash|sslash) (work|rest|off)", clock.interval_head),
        ("tabata open? amount", clock.tabata_pair),
        ("interval_figure", clock.interval_figure),
        (
            f"rest {_LINK} {_LINK} (dur|quote)",
            clock.clock_head("rest_mark"),
        ),
        ("rest (colon)? amount (?!movement|rounds|sets|times)", clock.clock_head("rest_mark")),
        ("(dur|quote) (of|word|for_word|dash|pace)? rest", clock.clock_head("rest_mark")),
        ("amount rounds equals amount reps_word? (?!movement|of)", clock.one_round_holds),
        ("amount (rounds|waves|rounds_for_time) (for_time)? of?", clock.rounds_head),
        ("amount (dash|times) rounds", clock.rounds_head),
        (
            "(word|reps_word|letter) (slash|sslash|per)? (rounds|per_round) (equals|colon) amount reps_word?",
            clock.of_round,
        ),
        ("amount superset of?", clock.rounds_head),
        ("times amount (rounds|waves)", clock.through),
        ("(rounds) for_time? (colon|equals|times) amount (?!movement)", clock.rounds_head),
        ("times amount sets", clock.through),
        ("amount sets (of|at|times|a|colon|comma)? max", make.sets_of),
        ("amount sets (of|at|times|a|with|to)? (of|at)? (amount|dist|dur|cals)", make.sets_of),
        ("amount drop_set (of|at|times|a|with|to)? (of|at)? (amount|dist|dur|cals)", make.sets_of),
        ("amount through_round (amount|dist|dur|cals)", make.sets_of),
        ("amount (single|double|triple) (?!heavy|dash word)", make.sets_of_named),
        ("amount sets", make.sets_of),
        ("sets of amount", make.open_sets_of),
        (
            "sets (colon|equals)? amount (comma|semicolon|slash|cell)? reps_word (colon|equals)? amount",
            make.sets_and_reps,
        ),
        ("sets (colon|equals) amount (?!movement)", make.sets_named),
        ("reps_word (colon|equals) amount", make.reps_named),
        ("movement amount rounds of (dist|dur|cals)", make.lengths_of),
        (
            f"(build|heavy) {_TOWARDS} top_set? (single|double|triple|rm|top_set) heavy?",
            make.building,
        ),
        (f"build {_TOWARDS} heavy amount", make.building),
        ("build (word|for_word|a|at|of|letter|to|heavy){0,4} heavy (?=movement)", make.building_single),
        ("heavy amount", make.building),
        ("max (single|double|triple|rm)", make.building),
        (
            "load (open|comma)? (of|word|letter|own|build|at)* (rm|one_rm|max|cap)"
            " (colon|stop|equals|of|at)* load close?",
            loads.percent_of_stated,
        ),
        (
            "load open? of? (word|for_word|letter)? (rm|one_rm|max) (of (word|for_word|letter)?)? movement close?",
            loads.percent_of,
        ),
        ("load open? of? (word|for_word|letter)? movement dash? (rm|one_rm|max) close?", loads.percent_of),
        ("load open? of (word|for_word|letter|top_set|own|build|max|one_rm){0,3} movement close?", loads.percent_of),
        ("load of load", loads.share_of_load),
        ("load open? of? (word|for_word|letter|build|own|heavy|top_set){0,3} (rm|one_rm|max) close?", loads.percent_of),
        (
            f"load open? (of|at)? {_NAME} (top_set|single|double|triple|part|body_weight) letter? close?",
            loads.percent_of,
        ),
        ("(add|less|plus|and|ascending|build) load (sdash|comma)? (per_set|each|between|per_round)", loads.rise),
        ("(word|less) load (off|less) (for_word|each|per|per_set|word|sets|of){0,4}", loads.taken_off),
        ("load (add|less) (per_set|each)", loads.rise),
        ("(plus|add|and)? amount (slash|sslash|per) (sets|rounds)", loads.rise_bare),
        ("(plus|add) (amount|cals|dist) reps_word? (per_set|per_round|emom|each)", loads.rise_bare),
        ("start_at (amount|cals|dist) (?!movement|load|times)", make.start_count),
        ("start_at (word|for_word|of|at|a|letter)? load", loads.start_load),
        ("after_each amount (reps_word|comma|colon)? (?!movement)", clock.after_so_many),
        ("after_each amount (?=movement)", clock.after_so_many_reps),
        ("after_each of? (word|letter|each|whole)? amount? (sets|rounds|waves|rung)", clock.after_what),
        (
            "after_each (sets|rounds|waves|box|rung|word|for_word|movement|reps_word|each|single|double|triple)?",
            clock.after_what,
        ),
        ("between (of|word|for_word|each)? (sets|rounds)", clock.between_what),
        ("between (of|word|letter|for_word|each)? amount (word|part|sets|rounds|interval|work)", clock.between_what),
        ("amount slot", clock.slots),
        ("team_of (word)? amount", clock.team_size),
        ("amount people", clock.team_people),
        ("amount word dash? (team|pairs)", clock.team_of_so_many),
        ("switching (amount|dist|dur|cals) (reps_word|word)?", clock.switching),
        ("(amount|dist|cals|dur) per_side", make.each_side_amount),
    ]
)


def read_phrases(items: list[Item]) -> list[Item]:
    """The items with the phrases of training read: heads with their clocks, loads with what they are of, and so on."""
    return _LARGE.run(read_standards(_SMALL.run(read_standard_order(items))))
