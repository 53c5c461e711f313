"""Names that coaches write, and the movements they mean."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from keelmark.catalogue import shipped_catalogue
from keelmark.catalogue.names import NameIndex
from keelmark.catalogue.wording import LANGUAGES, fold, shipped_wording
from keelmark.contracts.errors import CatalogueError
from tests.counting import calls

FLOOR = Path(__file__).parents[1] / "corpus" / "movements.txt"
INDEX = shipped_catalogue().names
MOVEMENTS = sorted(shipped_catalogue().movements)


def _floor_names() -> list[tuple[str, str]]:
    pairs = []
    for line in FLOOR.read_text(encoding="utf-8").splitlines():
        if not line or line.startswith("#"):
            continue
        canonical, _, aliases = [*line.split("\t"), ""][:3]
        written = [re.sub(r"\(.*?\)", "", alias).strip() for alias in aliases.split(",")]
        pairs += [(name, canonical) for name in (canonical, *written) if name]
    return pairs


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_movement_has_a_label_of_its_own_in_every_language(language: str) -> None:
    assert sorted(INDEX.spoken[language]) == MOVEMENTS
    labels = [INDEX.label(movement, language) for movement in MOVEMENTS]
    assert len(set(labels)) == len(labels)


def test_no_name_belongs_to_two_movements() -> None:
    assert INDEX.claims == []
    INDEX.check(MOVEMENTS)


def test_a_generic_word_is_read_as_one_of_the_movements_it_could_be() -> None:
    for words in shipped_wording().generic.values():
        for word, generic in words.items():
            assert generic.reads_as in generic.could_be, word
            assert set(generic.could_be) <= set(MOVEMENTS), word


@pytest.mark.parametrize(("written", "canonical"), _floor_names())
def test_names_of_the_floor_list_mean_their_movement(written: str, canonical: str) -> None:
    assert INDEX.find(written) == canonical


# Names and their movements: common practice, no source.
@pytest.mark.parametrize(
    ("written", "canonical"),
    [
        ("pull-ups", "pull_up"),
        ("Pullups", "pull_up"),
        ("PULL UPS", "pull_up"),
        ("hang power cleans", "hang_power_clean"),
        ("hng pwr cleans", None),
        ("lunges", "lunge"),
        ("bench presses", "bench_press"),
        ("farmers' carries", "farmers_carry"),
        ("wall-balls", "wall_ball"),
        ("kb swings", "kettlebell_swing"),
        ("K.B. swings", "kettlebell_swing"),
        ("d.b. snatch", "dumbbell_snatch"),
        ("db hang clean & jerk", "dumbbell_hang_clean_and_jerk"),
        ("s2oh", "shoulder_to_overhead"),
        ("P. Cleans", "power_clean"),
        ("toes‑to‑bar", "toes_to_bar"),
        ("Devil’s Presses", "devils_press"),
        ("hip ext.", "hip_extension"),
        ("weighted strict pull-ups", "strict_pull_up"),
        ("paused front squats", "front_squat"),
        ("strict TTB", "toes_to_bar"),
        ("lunges (alternating)", "lunge"),
        ("boxjumps", "box_jump"),
        ("tire flips", "tyre_flip"),
        ("Umsetzen u. Stoßen", "clean_and_jerk"),
        ("Rudern (Erg)", "row"),
        ("medball slams", "medicine_ball_slam"),
        ("1-arm KB swings", "kettlebell_swing"),
        ("Kastensprünge", "box_jump"),
        ("Kastenspruenge", "box_jump"),
        ("KASTENSPRÜNGE", "box_jump"),
        ("Kastenspru\u0308nge", "box_jump"),
        ("Klimmzuege", "pull_up"),
        ("Liegestütze", "push_up"),
        ("Liegestuetzen", "push_up"),
        ("Reissen", "snatch"),
        ("REISSEN", "snatch"),
        ("Stossen", "clean_and_jerk"),
        ("Standumsetzen", "power_clean"),
        ("Kurzhantel-Rudern", "dumbbell_row"),
        ("KH-Rudern", "dumbbell_row"),
        ("Bankziehen", "bench_pull"),
        ("Rudern vorgebeugt", "bent_over_row"),
        ("Rueckenstrecken", "back_extension"),
        ("Ergometer", "row"),
        ("Hampelmänner", "jumping_jack"),
        ("dominadas estrictas", "strict_pull_up"),
        ("pesos muertos", "deadlift"),
        ("flexiones", "push_up"),
        ("Extensión de Cadera", "hip_extension"),
        ("extensiones de cadera", "hip_extension"),
        ("saltos al cajon", "box_jump"),
        ("soulevés de terre", "deadlift"),
        ("tractions strictes", "strict_pull_up"),
        ("sauts latéraux", "lateral_hop"),
        ("épaulés debout", "power_clean"),
        ("pieds à la barre", "toes_to_bar"),
        ("agachamentos búlgaros", "bulgarian_split_squat"),
        ("flexões", "push_up"),
        ("elevações de joelhos", "hanging_knee_raise"),
        ("levantamentos terra", "deadlift"),
        ("abdominais", "sit_up"),
        ("flurbles", None),
        ("", None),
        ("strict", None),
        ("-", None),
    ],
)
def test_spellings_and_plurals(written: str, canonical: str | None) -> None:
    assert INDEX.find(written) == canonical


def test_the_language_given_goes_first() -> None:
    assert INDEX.find("flexions", "fr") == "air_squat"  # French: squats
    assert INDEX.find("flexión", "es") == "push_up"  # Spanish: push-ups
    assert INDEX.find("burpees", "de") == "burpee"
    assert INDEX.find("Kreuzheben", "pt") == "deadlift"


@pytest.mark.parametrize(
    ("word", "reads_as", "doubtful"),
    [
        ("press", "strict_press", True),
        ("Squats", "air_squat", True),
        ("easy squats", "air_squat", True),
        ("rows", "row", True),
        ("row", "row", False),
        ("ropes", "battle_rope_slam", True),
        ("Kniebeugen", "air_squat", True),
        ("Sprünge", "box_jump", True),
        ("Spruenge", "box_jump", True),
        ("sentadillas", "air_squat", False),
        ("doubles", "double_under", False),
        ("back squats", "back_squat", False),
    ],
)
def test_generic_words_say_what_they_could_be(word: str, reads_as: str, doubtful: bool) -> None:
    assert INDEX.find(word) == reads_as
    could_be = INDEX.doubt(word)
    assert (could_be is not None) == doubtful
    if could_be is not None:
        assert reads_as in could_be


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("Power Cleen", "power_clean"),
        ("deadlfit", "deadlift"),
        ("trhuster", "thruster"),
        ("Klimzüge", "pull_up"),
        ("Kreutzheben", "deadlift"),
        ("dominaads", "pull_up"),
        ("soulevé de tere", "deadlift"),
        ("agachmento frontal", "front_squat"),
    ],
)
def test_the_nearest_name_of_a_slip_of_typing_is_the_one_meant(typed: str, meant: str) -> None:
    assert INDEX.nearest(typed)[0] == meant
    assert INDEX.find(typed) in (None, meant)
    assert INDEX.likely(typed) == meant


def test_nearest_gives_as_many_different_movements_as_asked() -> None:
    found = INDEX.nearest("hang clean thing", 5)
    assert len(found) == len(set(found)) == 5


@pytest.mark.parametrize("text", ["flurbles", "run", "xyzzy quux", "front or back squat", "cal row"])
def test_what_is_not_plain_is_not_taken_for_a_slip(text: str) -> None:
    assert INDEX.likely(text) is None


def test_the_longest_name_is_taken_with_modifiers_before_it() -> None:
    words = fold("10 heavy hang power cleans and 5 burpees").split()
    assert INDEX.longest(words, 0) is None
    assert INDEX.longest(words, 1) == ("hang_power_clean", 4)
    assert INDEX.longest(words, words.index("burpees")) == ("burpee", 1)
    assert INDEX.longest(["squats"]) == ("air_squat", 1)
    assert INDEX.longest(["heavy"]) is None
    assert INDEX.longest([]) is None


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_reader_can_find_every_listed_name_by_its_words(language: str) -> None:
    for movement, names in INDEX.spoken[language].items():
        for name in names:
            words = fold(name).split()
            assert INDEX.longest(words, 0, language) == (movement, len(words)), name
            assert words[0] in INDEX.first_words, name
            assert len(words) <= INDEX.max_words


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_listed_name_is_found(language: str) -> None:
    for movement, names in INDEX.spoken[language].items():
        assert INDEX.label(movement, language) == names[0]
        for name in names:
            assert INDEX.find(name, language) == movement, name


def test_labels_fall_back_to_english_and_then_to_the_canonical_name() -> None:
    index = NameIndex({"en": {"pull_up": ["pull-up"]}, "de": {}})
    assert index.label("pull_up", "de") == "pull-up"
    assert index.label("hose_haul", "de") == "hose haul"


def test_a_name_claimed_twice_is_refused() -> None:
    index = NameIndex({"en": {"pull_up": ["pull-up", "chins"], "chin_up": ["chin"]}})
    with pytest.raises(CatalogueError, match=r'the name "chin" belongs to pull_up already') as caught:
        index.check(["pull_up", "chin_up"])
    assert caught.value.where.startswith("languages/en.toml, line ")
    assert caught.value.where.endswith("field en.chin_up")
    assert "generic word" in caught.value.remedy


def test_names_of_an_unknown_movement_are_refused() -> None:
    known = [movement for movement in MOVEMENTS if movement != "deadlift"]
    with pytest.raises(CatalogueError, match="names are given for deadlift, which is no movement") as caught:
        INDEX.check(known)
    assert re.search(r"languages/en\.toml, line \d+, field en\.deadlift", caught.value.where)


def test_a_name_with_a_modifier_or_a_generic_word_has_no_owner() -> None:
    assert INDEX.owner("Front-squats") == "front_squat"
    assert INDEX.owner("paused front squat") is None
    assert INDEX.owner("squats") is None


def test_names_of_a_squad_are_found_beside_the_others() -> None:
    spoken = {language: dict(names) for language, names in INDEX.spoken.items()}
    spoken["en"]["hose_haul"] = ["hose haul", "charged hose"]
    index = NameIndex(spoken)
    assert index.find("Hose-hauls") == "hose_haul"
    assert index.find("deadlifts") == "deadlift"


@given(st.text())
def test_any_text_is_answered(text: str) -> None:
    found = INDEX.find(text)
    assert found is None or found in MOVEMENTS
    assert INDEX.doubt(text) is None or found is not None
    assert INDEX.longest(fold(text).split()) is None or fold(text)
    assert fold(fold(text)) == fold(text)


@given(st.text(max_size=30))
def test_the_nearest_names_are_movements(text: str) -> None:
    assert set(INDEX.nearest(text)) <= set(MOVEMENTS)
    assert INDEX.likely(text) is None or INDEX.likely(text) in MOVEMENTS


@given(st.sampled_from(MOVEMENTS), st.sampled_from(LANGUAGES))
def test_a_label_finds_its_movement(movement: str, language: str) -> None:
    label = INDEX.label(movement, language)
    for way in (label, label.upper(), label.replace(" ", "-"), label.replace(" ", ""), f"  {label}. "):
        assert INDEX.find(way, language) == movement


def test_the_work_of_the_index_grows_with_its_names_and_a_question_looks_through_none_of_them() -> None:
    """Calls are counted, which are the same on every machine."""
    half = {language: dict(list(names.items())[::2]) for language, names in INDEX.spoken.items()}
    quarter = {language: dict(list(names.items())[::4]) for language, names in INDEX.spoken.items()}
    small, large = NameIndex(quarter), NameIndex(half)
    assert calls(lambda: NameIndex(half)) < 2.2 * calls(lambda: NameIndex(quarter))
    known = next(name for name in quarter["en"].values())[0]
    for asked in (known, "no movement at all"):
        for index in (small, large, INDEX):
            index.find(asked)
        assert calls(lambda asked=asked: large.find(asked)) <= 1.1 * calls(lambda asked=asked: small.find(asked)) + 5
        assert calls(lambda asked=asked: INDEX.find(asked)) < 100
