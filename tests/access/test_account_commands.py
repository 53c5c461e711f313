"""What the owner does on the command line for second steps, first passwords and secrets."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner

from keelmark.cli.commands.accounts import app
from keelmark.contracts.errors import SettingError
from keelmark.service import Squad
from keelmark.service.sealing import KEY_FILE, seal_of_this_machine
from keelmark.service.signing_in import PASSWORD
from tests.store.made import save, squad


def test_second_steps_first_passwords_and_secrets(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    place = f"sqlite:///{tmp_path / 'small.db'}"
    with Squad.open(place) as opened:
        save(opened._store, athletes=squad("bo"))

    def run(*words: str, given: str = "") -> str:
        done = CliRunner().invoke(app, [*words, *(["--db", place] if words[0] != "new-key" else [])], input=given)
        if done.exception is not None and not isinstance(done.exception, SystemExit):
            raise done.exception
        return done.stdout

    run("add", "Rowena", "--role", "owner", given="four dry ropes on deck\n")
    first = run("add", "Carys", "--role", "coach", "--first").splitlines()[0]
    assert run("demand", "coach", "programmer") == "A second step is demanded of: coach, programmer.\n"
    with pytest.raises(SettingError, match="there is no account of a 'guest'"):
        run("demand", "guest")
    with Squad.open(place) as opened:
        assert opened.accounts.demanded_of() == {"coach", "programmer"}
        assert opened.accounts.waits_for(opened.accounts.sign_in("Carys", first, address="here")) == PASSWORD
        signed = opened.accounts.cookie_secret()
    assert run("demand") == "A second step is demanded of: nobody.\n"
    with pytest.raises(SettingError, match="no account called 'Nobody'"):
        run("unpair", "Nobody")
    assert run("unpair", "Carys") == "The app of Carys is taken away.\n"
    (tmp_path / "key").write_text(run("new-key"), encoding="ascii")
    monkeypatch.setenv(KEY_FILE, str(tmp_path / "key"))
    run("renew-secrets")
    with Squad.open(place) as opened:
        assert opened.accounts.cookie_secret() != signed
        assert seal_of_this_machine().close(signed) != signed
