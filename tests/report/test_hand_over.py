"""The page for a physiotherapist or doctor: what was agreed to and nothing else, on one page of A4."""

from __future__ import annotations

import io
import re
from datetime import date, timedelta

import polars as pl
import pypdf
import pytest

from keelmark.contracts.errors import RefusedInput
from keelmark.health.questions import QUESTIONS
from keelmark.load.calendar import iso_week
from keelmark.report import HandOver, Paper, hand_over_paper, html_of, pdf_of
from keelmark.report.hand_over_words import FIELDS
from keelmark.report.twelve_weeks import changes, known_days, work_of
from tests.report.made import LAST, MOMENT, all_weeks, asked, check_in, check_ins, weekly


def paper_of(
    request: HandOver, *, limits: tuple[str, ...] = (), name: str = "Bo", answers: pl.DataFrame | None = None
) -> Paper:
    told = check_ins(check_in("2026-W22", "knee", 1, 1, 0, 2)) if answers is None else answers
    return hand_over_paper(name, request, all_weeks(), told, list(limits), made_on=date(2026, 6, 8))


def text_of(pdf: bytes) -> str:
    return "\n".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages)


def test_consent_stands_on_the_page_with_who_when_to_whom_and_what() -> None:
    html = html_of(paper_of(asked("load", "coverage")))
    assert (
        "Bo agreed on 7 June 2026 that Maren, physiotherapist may see: twelve weeks of training, by kind of work; "
        "how much of it is on record." in html
    )


def test_a_guardian_is_named_as_one_who_agreed_for_somebody_else() -> None:
    assert "Anna agreed for Bo on 7 June 2026" in html_of(paper_of(asked(given_by="Anna")))


_WORD = re.compile(r"[^\W\d_]{3,}")
HEADINGS = {
    "load": "Work done", "changes": "What changed most", "coverage": "How much is on record",
    "complaints": "What was told about the body", "limits": "Agreed for training at present",
}  # fmt: skip


@pytest.mark.parametrize("field", FIELDS)
def test_only_what_was_agreed_to_is_there(field: str) -> None:
    html = html_of(paper_of(asked(field), limits=("no jumps",)))
    assert [key for key, heading in HEADINGS.items() if f"<h2>{heading}" in html] == [field]


def test_without_complaints_no_word_of_the_body_is_there() -> None:
    html = html_of(paper_of(asked("load", "changes", "coverage")))
    body = html.partition("<main>")[2]
    assert "Knee<" not in body
    assert "bothered" not in body


def test_the_timeline_is_in_the_words_the_athlete_chose() -> None:
    options = {question.key: question.options for question in QUESTIONS}
    html = html_of(paper_of(asked("complaints")))
    for key, place in (("taking_part", 1), ("amount", 1), ("performance", 0), ("symptoms", 2)):
        assert f"“{options[key][place]}”" in html
    assert "1 of 12 weeks were answered." in html


def test_what_was_taken_back_is_not_told() -> None:
    """All is well, said later of the same week, takes back what was said before it."""
    answers = check_ins(check_in("2026-W22", "knee", 1, 1, 0, 2), check_in("2026-W22", None, 0))
    assert "Nothing was told about the body" in html_of(paper_of(asked("complaints"), answers=answers))


def test_the_slip_asks_for_limits_and_has_no_place_for_a_finding() -> None:
    html = html_of(paper_of(asked("coverage"))).casefold()
    for words in (
        "training as before",
        "training with limits",
        "no training yet",
        "limited how",
        "look at it again on",
    ):
        assert words in html
    assert not re.search(r"diagnos(?!e, predict)", html)


def test_the_fullest_page_fits_on_one_sheet_of_a4_and_its_text_can_be_taken_out() -> None:
    answers = check_ins(
        *(
            check_in(iso_week(LAST - timedelta(weeks=back)), area, 2, 2, 2, 3)
            for back in range(12)
            for area in ("knee", "hand")
        )
    )
    limits = tuple(
        f"From 2 June 2026: no box jumps above {height} cm, and no more than two sessions" for height in range(9)
    )
    questions = "\n".join(
        f"{number}. May Bo row, and how far in a week, and if so from which week on?" for number in range(5)
    )
    request = asked(questions=questions, given_to="Maren Ødegård-Åkesson, physiotherapist in São João")
    pdf = pdf_of(paper_of(request, limits=limits, name="Zoë Łucja", answers=answers), made_at=MOMENT)
    pages = pypdf.PdfReader(io.BytesIO(pdf)).pages
    assert len(pages) == 1
    # ISO 216: A4 is 210 x 297 mm; a point is 1/72 inch.
    assert float(pages[0].mediabox.width) == pytest.approx(210 / 25.4 * 72, abs=0.1)
    assert float(pages[0].mediabox.height) == pytest.approx(297 / 25.4 * 72, abs=0.1)
    text = " ".join(text_of(pdf).split())
    for words in ("Zoë Łucja", "Maren Ødegård-Åkesson", "São João", "Jump contacts", "Return slip", "Knee", "Page 1."):
        assert words in text
    assert "and 5 more" in text
    assert "17 earlier answers are not shown" in text


def test_accents_and_signs_are_in_the_letters() -> None:
    request = asked("coverage", questions="ä é ã ø ½ ß ñ ç Ł ő ź – − × ° “so”")
    text = text_of(pdf_of(paper_of(request), made_at=MOMENT))
    assert "ä é ã ø ½ ß ñ ç Ł ő ź – − × ° “so”" in text
    assert "could not be printed" not in text


def test_a_sign_that_cannot_be_printed_is_said() -> None:
    text = " ".join(text_of(pdf_of(paper_of(asked("coverage"), name="Мария"), made_at=MOMENT)).split())
    assert "?????: training" in text
    assert "Some signs could not be printed; the HTML paper shows them." in text
    assert "Мария: training" in html_of(paper_of(asked("coverage"), name="Мария"))


def test_html_and_pdf_say_the_same() -> None:
    paper = paper_of(asked(questions="May Bo row?"), limits=("From 2 June 2026: no jumps",))
    html = re.sub(r"<style>.*?</style>|<[^>]+>", " ", html_of(paper), flags=re.DOTALL)
    printed = text_of(pdf_of(paper, made_at=MOMENT))
    assert set(_WORD.findall(html)) - set(_WORD.findall(printed)) == set()


def test_text_cannot_become_markup() -> None:
    html = html_of(paper_of(asked("coverage", questions="<script>alert(1)</script>"), name="<b>Bo</b>"))
    assert "<script" not in html
    assert "<b>" not in html
    assert "http" not in html.casefold()


def test_the_same_paper_at_the_same_moment_gives_the_same_bytes() -> None:
    paper = paper_of(asked())
    assert pdf_of(paper, made_at=MOMENT) == pdf_of(paper, made_at=MOMENT)


@pytest.mark.parametrize(
    ("request_", "found"),
    [
        (asked(given_by=" "), "a name is missing"),
        (asked(given_to=""), "a name is missing"),
        (HandOver("bo", LAST, (), "Bo", "Maren", LAST), "nothing is chosen"),
        (asked("load", "diary"), "“diary” cannot be handed over"),
        (asked(questions="x" * 401), "the questions have 401 signs in 1 lines"),
        (asked(questions="x\n" * 6), "the questions have 12 signs in 6 lines"),
    ],
)
def test_what_is_missing_is_said(request_: HandOver, found: str) -> None:
    with pytest.raises(RefusedInput, match=found):
        paper_of(request_)


# Twelve weeks


def test_means_of_four_weeks_are_of_the_weeks_that_are_known() -> None:
    """Derived: weeks 200, 100, not known, 100 have the mean 400 / 3; a stretch without any known week has none."""
    (work,) = work_of(weekly(values={0: 200.0, 2: None, 8: None, 9: None, 10: None, 11: None}), "bo", LAST)
    assert work.means[2].value == pytest.approx(400 / 3)
    assert work.means[2].weeks == 3
    assert (work.means[0].value, work.means[0].weeks) == (None, 0)
    assert work.weeks[-1] == 200.0
    assert work.weeks[:4] == (None, None, None, None)


def test_an_open_bound_leaves_the_mean_open() -> None:
    frame = weekly().with_columns(high=pl.when(pl.col("monday") == LAST).then(None).otherwise(pl.col("high")))
    (work,) = work_of(frame, "bo", LAST)
    assert work.means[2].high is None
    assert work.means[1].high == 100.0


def test_changes_are_the_last_four_weeks_against_the_eight_before() -> None:
    """Derived: (4 x 150) / 4 against (8 x 100) / 8 is +50 %."""
    (change,) = changes(weekly(values=dict.fromkeys(range(4), 150.0)), "bo", LAST)
    assert (change.now, change.before, change.share) == (150.0, 100.0, pytest.approx(0.5))


def test_no_change_is_told_of_too_few_known_weeks() -> None:
    assert changes(weekly(values={0: None, 1: None}), "bo", LAST) == []
    assert changes(weekly(values=dict.fromkeys(range(4, 8), None)), "bo", LAST) == []


def test_days_on_record_are_counted_week_by_week() -> None:
    assert known_days(weekly(values={0: None, 11: None}), "bo", LAST) == [0, *[7] * 10, 0]
    assert sum(known_days(weekly().head(0), "bo", LAST)) == 0
