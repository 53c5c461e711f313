"""An inconsistent entry is refused with file, line, field, what was wanted and what to do."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from keelmark.catalogue import catalogue_with, load_catalogue
from keelmark.contracts.channels import EXPOSURES
from keelmark.contracts.errors import CatalogueError

DRAG = '[hose_drag]\nlike = ["sled_drag"]\n'
LIFT = '[beam_lift]\nlike = ["deadlift"]\n'
SWING = '[buoy_swing]\nlike = ["kettlebell_swing"]\n'
FIELDS = (
    "like, category, implement, load, measures, body_mass_share, landing_class, per_rep, per_metre, per_second, "
    "seconds_per_rep, metres_per_calorie, metres_per_second, opposes, swaps, rep_maximum, high_rep"
)
A_MOVEMENT = "Wanted: the name of a movement of the catalogue. What to do: mend the spelling, or add the movement."
MEND = "mend the spelling, or take the line out"
TOML_WANTED = (
    "Wanted: a TOML file with one table per movement. "
    "What to do: mend this line; text values stand in double quotes, lists in square brackets."
)
CASES = {
    "unclosed bracket": (
        "[hose_drag\n",
        f"ours.toml, line 1: not TOML: expected ']' at the end of a table declaration. {TOML_WANTED}",
    ),
    "text without quotes": (
        '[hose_drag]\nlike = ["sled_drag"]\ncategory = odd_object\n',
        f"ours.toml, line 3: not TOML: invalid value. {TOML_WANTED}",
    ),
    "one movement twice": (
        f"{DRAG}\n{DRAG}",
        f"ours.toml, line 4: not TOML: cannot declare hose_drag twice. {TOML_WANTED}",
    ),
    "a line above all entries": (
        f'# ours\ncategory = "core"\n{DRAG}',
        "ours.toml, line 2, field category: category stands outside of any entry. "
        "Wanted: each movement as a table named by it, such as [toes_to_bar]. "
        "What to do: put the line under the movement that it belongs to.",
    ),
    "unknown field": (
        f"{DRAG}speed = 3\n",
        f"ours.toml, line 3, entry hose_drag, field speed: unknown field speed. "
        f"Wanted: one of {FIELDS}. What to do: {MEND}.",
    ),
    "unknown field of a figure": (
        f'{DRAG}body_mass_share = {{ value = 1, low = 1, high = 1, evidence = "judgement", why = "x" }}\n',
        "ours.toml, line 3, entry hose_drag, field body_mass_share.why: unknown field why. "
        f"Wanted: one of value, low, high, evidence, source. What to do: {MEND}.",
    ),
    "missing field": (
        '[hose_drag]\ncategory = "odd_object"\n',
        "ours.toml, line 1, entry hose_drag, field implement: implement is missing. Wanted: implement stated. "
        "What to do: add the line, or a like that brings it.",
    ),
    "range out of order": (
        f'{DRAG}\n# how hard it is to hold\nper_metre.grip_s = [1, 2, 3, "judgement"]\n',
        "ours.toml, line 5, entry hose_drag, field per_metre.grip_s: "
        "low 2, value 1 and high 3 are not in rising order. "
        "Wanted: low at most value, and value at most high. "
        "What to do: put the three numbers right; a row begins with the value.",
    ),
    "range out of order in a table of its own, between other entries": (
        f'{SWING}\n{DRAG}\n[hose_drag.per_metre]\none_legged = [1, 1, 1, "judgement"]\n'
        f'grip_s = [1, 2, 3, "judgement"]\n\n{LIFT}per_rep.grip_s = [1, 1, 1, "judgement"]\n',
        "ours.toml, line 9, entry hose_drag, field per_metre.grip_s: "
        "low 2, value 1 and high 3 are not in rising order. "
        "Wanted: low at most value, and value at most high. "
        "What to do: put the three numbers right; a row begins with the value.",
    ),
    "unknown exposure": (
        f'{DRAG}per_metre.gripping = [1, 1, 3, "judgement"]\n',
        "ours.toml, line 3, entry hose_drag, field per_metre.gripping: gripping is not an exposure. "
        f"Wanted: one of {', '.join(EXPOSURES)}. What to do: {MEND}.",
    ),
    "negative amount": (
        f'{DRAG}per_metre.grip_s = [1, -1, 3, "judgement"]\n',
        "ours.toml, line 3, entry hose_drag, field per_metre.grip_s: grip_s has a negative bound -1. "
        "Wanted: amounts of zero or more. What to do: raise the lower bound to zero or more.",
    ),
    "published without source": (
        f'{DRAG}per_metre.grip_s = [1, 1, 3, "published"]\n',
        "ours.toml, line 3, entry hose_drag, field per_metre.grip_s: evidence is published but no source is named. "
        "Wanted: a published figure with its source. "
        "What to do: name the source as the last part of the row, or write judgement.",
    ),
    "unknown evidence": (
        f'{DRAG}per_metre.grip_s = [1, 1, 3, "guess"]\n',
        "ours.toml, line 3, entry hose_drag, field per_metre.grip_s.evidence: evidence is 'guess'. "
        "Wanted: one of published, derived, judgement. What to do: choose one of these words.",
    ),
    "short row": (
        f"{DRAG}per_metre.grip_s = [1, 1]\n",
        "ours.toml, line 3, entry hose_drag, field per_metre.grip_s: a figure row has 2 parts. "
        "Wanted: a row [value, low, high, evidence, source]. "
        "What to do: write the number as such a row; only a published figure must name its source.",
    ),
    "bare number": (
        f"{DRAG}per_metre.grip_s = 3\n",
        "ours.toml, line 3, entry hose_drag, field per_metre.grip_s: grip_s is 3. "
        'Wanted: a figure [value, low, high, evidence, source], such as [1, 1, 2, "judgement", "one swing per rep"]. '
        "What to do: write it in that way.",
    ),
    "not a number": (
        f'{DRAG}per_metre.grip_s = ["some", 1, 1, "judgement"]\n',
        "ours.toml, line 3, entry hose_drag, field per_metre.grip_s.value: value is 'some'. Wanted: a number. "
        "What to do: write it in that way.",
    ),
    "endless": (
        f'{DRAG}per_metre.grip_s = [1, 1, inf, "judgement"]\n',
        "ours.toml, line 3, entry hose_drag, field per_metre.grip_s.high: high is inf. Wanted: a finite number. "
        "What to do: write it in that way.",
    ),
    "rate of zero": (
        f'{DRAG}metres_per_second = [1, 0, 2, "judgement"]\n',
        "ours.toml, line 3, entry hose_drag, field metres_per_second: the lower bound 0 is not above zero. "
        "Wanted: a rate above zero. What to do: raise the lower bound above zero.",
    ),
    "more than one body": (
        f'{DRAG}body_mass_share = [1, 1, 2, "judgement"]\n',
        "ours.toml, line 3, entry hose_drag, field body_mass_share: the range 1 to 2 leaves 0 to 1. "
        "Wanted: a share of body mass from 0 to 1. What to do: put the range right.",
    ),
    "unknown word": (
        f'{DRAG}load = "sometimes"\n',
        "ours.toml, line 3, entry hose_drag, field load: load is 'sometimes'. Wanted: one of needs, may, never. "
        "What to do: choose one of these words.",
    ),
    "landing class without landings": (
        f'{SWING}landing_class = "low"\n',
        "ours.toml, line 3, entry buoy_swing, field landing_class: "
        "landing_class is low but jump_contacts are not stated. "
        "Wanted: a landing class low, moderate or high exactly where jump_contacts are stated. "
        "What to do: state both, or neither.",
    ),
    "a measure that leads nowhere": (
        f'{SWING}measures = ["reps", "distance_m"]\n',
        "ours.toml, line 3, entry buoy_swing, field measures: "
        "distance_m is a measure but nothing turns it into exposures. "
        "Wanted: per_metre. What to do: state it, or take distance_m out of measures.",
    ),
    "no measure": (
        f"{SWING}measures = []\n",
        "ours.toml, line 3, entry buoy_swing, field measures: measures is []. Wanted: a list with at least one entry. "
        "What to do: write it in that way.",
    ),
    "high reps without a maximum": (
        f"{SWING}high_rep = true\n",
        "ours.toml, line 3, entry buoy_swing, field high_rep: high_rep is true but rep_maximum is missing. "
        "Wanted: the lift whose maximum the reps are counted against. "
        "What to do: add rep_maximum, or leave high_rep out.",
    ),
    "swap to nothing": (
        f'{DRAG}swaps.sledd_push = [1, 1, 1, "judgement"]\n',
        "ours.toml, line 3, entry hose_drag, field swaps.sledd_push: "
        f"swaps names sledd_push, which is not in the catalogue. {A_MOVEMENT}",
    ),
    "swap to itself": (
        f'{DRAG}swaps.hose_drag = [1, 1, 1, "judgement"]\n',
        "ours.toml, line 3, entry hose_drag, field swaps.hose_drag: swaps names the movement itself. "
        "Wanted: another movement that may stand in for it. What to do: take the swap out.",
    ),
    "swap of metres for reps": (
        f'{DRAG}swaps.deadlift = [1, 1, 1, "judgement"]\n',
        "ours.toml, line 3, entry hose_drag, field swaps.deadlift: "
        "swaps names deadlift, which is measured in reps, duration_s. "
        "Wanted: a movement that is also measured in distance_m, the usual measure here. "
        "What to do: take the swap out, or add the measure to the other movement.",
    ),
    "swap for nothing at all": (
        f'{DRAG}swaps.sled_push = [1, 0, 1, "judgement"]\n',
        "ours.toml, line 3, entry hose_drag, field swaps.sled_push: "
        "the ratio of the swap to sled_push has the lower bound 0. "
        "Wanted: a ratio above zero. What to do: raise the lower bound above zero.",
    ),
    "opposes nothing": (
        f'{DRAG}opposes = ["push_up", "sledd_push"]\n',
        f"ours.toml, line 3, entry hose_drag, field opposes: "
        f"opposes names sledd_push, which is not in the catalogue. {A_MOVEMENT}",
    ),
    "opposes itself": (
        f'{DRAG}opposes = ["hose_drag"]\n',
        "ours.toml, line 3, entry hose_drag, field opposes: opposes names the movement itself. "
        "Wanted: movements of the opposing pattern. What to do: take the name out.",
    ),
    "maximum of nothing": (
        f'{LIFT}rep_maximum = {{ of = "beam", share = [1, 1, 1, "judgement"] }}\n',
        "ours.toml, line 3, entry beam_lift, field rep_maximum: rep_maximum names beam, which is not in the catalogue. "
        "Wanted: the name of a lift of the catalogue. What to do: mend the spelling, or add the lift.",
    ),
    "maxima in a circle": (
        f'{LIFT}rep_maximum = {{ of = "beam_pull", share = [1, 1, 1, "judgement"] }}\n'
        '[beam_pull]\nlike = ["deadlift"]\nrep_maximum = { of = "beam_lift", share = [1, 1, 1, "judgement"] }\n',
        "ours.toml, line 3, entry beam_lift, field rep_maximum: "
        "rep_maximum names beam_pull, whose own maximum is taken from another lift or not stated. "
        "Wanted: a lift that is tested itself (its rep_maximum names itself), so that no lifts go round in a circle. "
        "What to do: name the tested lift at the end of the chain, with the share of its maximum.",
    ),
    "share of zero": (
        f'{LIFT}rep_maximum = {{ of = "deadlift", share = [1, 0, 1, "judgement"] }}\n',
        "ours.toml, line 3, entry beam_lift, field rep_maximum: the share of deadlift has the lower bound 0. "
        "Wanted: a share above zero. What to do: raise the lower bound above zero.",
    ),
    "unknown field of a maximum": (
        f'{LIFT}rep_maximum = {{ of = "deadlift", part = [1, 1, 1, "judgement"] }}\n',
        "ours.toml, line 3, entry beam_lift, field rep_maximum.part: unknown field part. Wanted: one of of, share. "
        f"What to do: {MEND}.",
    ),
    "like nothing": (
        '[beam_lift]\nlike = ["hinge", "deadlifts"]\n',
        "ours.toml, line 2, entry beam_lift, field like: "
        "like names deadlifts, which is neither a pattern nor a movement. "
        "Wanted: the name of a pattern or of a movement of the catalogue. "
        "What to do: mend the spelling, or take the name out.",
    ),
    "like as text": (
        '[beam_lift]\nlike = "deadlift"\n',
        "ours.toml, line 2, entry beam_lift, field like: like is 'deadlift'. "
        "Wanted: a list of names of patterns and movements. "
        'What to do: write it as a list, such as like = ["toes_to_bar"].',
    ),
    "like in a circle": (
        '[beam_lift]\nlike = ["beam_pull"]\n\n[beam_pull]\nlike = ["beam_lift"]\n',
        "ours.toml, line 5, entry beam_pull, field like: "
        "like leads back to itself: beam_lift -> beam_pull -> beam_lift. "
        "Wanted: entries that take over from one another in one direction. "
        "What to do: take one of the names out of like.",
    ),
    "name of other letters": (
        '[Beam-Lift]\nlike = ["deadlift"]\n',
        "ours.toml, line 1, entry Beam-Lift, field name: name is 'Beam-Lift'. "
        "Wanted: small letters and digits, words joined by one underscore, such as toes_to_bar. "
        "What to do: write it in that way.",
    ),
    "name stated twice": (
        f'{LIFT}name = "beam"\n',
        "ours.toml, line 3, entry beam_lift, field name: the field name is stated. "
        "Wanted: the name in the brackets only. What to do: take the line out.",
    ),
    "written name taken by a shipped movement": (
        f'{LIFT}names.en = ["beam lift", "Deadlift"]\n',
        'ours.toml, line 3, entry beam_lift, field names.en: the name "Deadlift" belongs to deadlift already. '
        "Wanted: names that no other movement has in that language. "
        "What to do: take the name out, or write the entry as [deadlift] to put it in place of that movement.",
    ),
    "written name taken by another own movement": (
        f'{LIFT}names.en = ["beam heave"]\n{DRAG}names.en = ["beam heave"]\n',
        'ours.toml, line 6, entry hose_drag, field names.en: the name "beam heave" belongs to beam_lift already. '
        "Wanted: names that no other movement has in that language. "
        "What to do: take the name out, or write the entry as [beam_lift] to put it in place of that movement.",
    ),
    "canonical name written for another movement": (
        '# ours\n[barbell_snatch]\nlike = ["snatch"]\n',
        'ours.toml, line 2, entry barbell_snatch: the name "barbell snatch" belongs to snatch already. '
        "Wanted: names that no other movement has in that language. "
        "What to do: take the name out, or write the entry as [snatch] to put it in place of that movement.",
    ),
    "names in an unknown language": (
        f'{LIFT}names.xx = ["beam lift"]\n',
        "ours.toml, line 3, entry beam_lift, field names.xx: "
        "names.xx does not list names in a language that keelmark reads. "
        "Wanted: a list of names under one of en, de, es, fr, pt. "
        'What to do: write it as names.en = ["first name", "second name"].',
    ),
    "names as one text": (
        f'{LIFT}names.en = "beam lift"\n',
        "ours.toml, line 3, entry beam_lift, field names.en: "
        "names.en does not list names in a language that keelmark reads. "
        "Wanted: a list of names under one of en, de, es, fr, pt. "
        'What to do: write it as names.en = ["first name", "second name"].',
    ),
}


@pytest.mark.parametrize(("text", "message"), CASES.values(), ids=CASES)
def test_an_inconsistent_entry_is_refused(text: str, message: str) -> None:
    with pytest.raises(CatalogueError) as refused:
        catalogue_with({"ours.toml": text})
    assert str(refused.value) == message


plain = st.one_of(
    st.booleans(), st.integers(-5, 5), st.floats(allow_nan=False, allow_infinity=False),
    st.sampled_from(["", "reps", "judgement", "hinge", "run", "needs", "none", "core", "en"]),
)  # fmt: skip
values = st.recursive(
    plain,
    lambda inner: (
        st.lists(inner, max_size=5) | st.dictionaries(st.sampled_from(["en", "value", "grip_s", "run", "of"]), inner)
    ),
    max_leaves=8,
)


def toml(value: object) -> str:
    """The value as it is written in TOML."""
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key} = {toml(part)}" for key, part in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(map(toml, value)) + "]"
    return json.dumps(value)


@settings(max_examples=150, deadline=None)
@given(field=st.sampled_from([*FIELDS.split(", "), "names", "name", "speed"]), value=values)
def test_whatever_stands_in_a_field_is_read_or_refused_with_its_place(field: str, value: object) -> None:
    lines = ["[hose_drag]", *(['like = ["sled_drag"]'] if field != "like" else []), f"{field} = {toml(value)}"]
    refusal: CatalogueError | None = None
    try:
        assert "hose_drag" in catalogue_with({"ours.toml": "\n".join(lines)})
    except CatalogueError as refused:
        refusal = refused
    if refusal is not None:
        assert refusal.where.startswith("ours.toml, line ")
        assert all((refusal.found, refusal.wanted, refusal.remedy))


def test_the_file_at_fault_is_named_among_several(tmp_path: Path) -> None:
    good, bad = tmp_path / "good.toml", tmp_path / "bad.toml"
    good.write_text(LIFT, encoding="utf-8")
    bad.write_text(f"{DRAG}speed = 3\n", encoding="utf-8")
    with pytest.raises(CatalogueError) as refused:
        load_catalogue([good, bad])
    assert refused.value.where == f"{bad}, line 3, entry hose_drag, field speed"


def test_a_shipped_movement_that_loses_what_others_need_is_refused() -> None:
    text = '[hanging_knee_raise]\nlike = ["dead_hang"]\n'
    with pytest.raises(
        CatalogueError, match=r"field swaps\.hanging_knee_raise: swaps names hanging_knee_raise, which is"
    ):
        catalogue_with({"ours.toml": text})


@pytest.mark.parametrize(
    ("content", "found"),
    [
        (None, "the file cannot be read: No such file or directory"),
        (b"\xff\xfe\x00", "the file cannot be read: not UTF-8 text"),
    ],
)
def test_a_file_that_cannot_be_read_is_refused(tmp_path: Path, content: bytes | None, found: str) -> None:
    path = tmp_path / "ours.toml"
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(CatalogueError) as refused:
        load_catalogue([path])
    assert refused.value.found == found
    assert refused.value.where == str(path)
    assert refused.value.remedy == "check the path, the permissions and the encoding"
