"""`keelmark accounts`: who may come in by the pages."""

from __future__ import annotations

import json
import sys
from typing import TYPE_CHECKING, Annotated

import typer

from keelmark.cli.options import AsJson, Database

if TYPE_CHECKING:
    from keelmark.service import Squad

__all__ = ["app"]

app = typer.Typer(no_args_is_help=True, help="Say who may come in by the pages, and as what.")
_Name = Annotated[str, typer.Argument(metavar="NAME", help="The name that the person signs in with.")]
_Athlete = Annotated[str | None, typer.Option(metavar="KEY", help="For an athlete: whose rows, as the roster's key.")]

_First = Annotated[
    bool, typer.Option("--first", help="Make a first password and print it once; it has to be changed at once.")
]


@app.command("add")
def add(
    name: _Name,
    role: Annotated[str, typer.Option(help="owner, coach, programmer or athlete; the first account is an owner's.")],
    athlete: _Athlete = None,
    first: _First = False,
    db: Database = None,
) -> None:
    """Open an account. The password is asked for, or read as the first line of what is handed in."""
    with _opened(db) as squad:
        squad.accounts.add(name, role, _given(first), athlete_id=athlete, handed_over=first)
    typer.echo(f"{name} may come in now, as {'an' if role[0] in 'ao' else 'a'} {role}.")


@app.command("list")
def show(db: Database = None, as_json: AsJson = False) -> None:
    """List the accounts, and the links of guests that open something now."""
    with _opened(db) as squad:
        accounts, links = squad.accounts.everybody(), squad.accounts.links()
    if as_json:
        people = [{"name": one.name, "role": one.role, "athlete": one.athlete_id} for one in accounts]
        guests = [
            {"link": one.link_id, "name": one.name, "athlete": one.athlete_id, "fields": one.fields.split(),
             "until": one.expires_at.isoformat()}
            for one in links
        ]  # fmt: skip
        typer.echo(json.dumps({"accounts": people, "links": guests}))
        return
    from rich.console import Console
    from rich.table import Table

    table = Table("name", "role", "athlete", "since or until")
    for one in accounts:
        table.add_row(one.name, one.role, one.athlete_id or "", f"since {one.created_at:%Y-%m-%d}")
    for link in links:
        table.add_row(
            link.name, f"guest, link {link.link_id}", link.athlete_id, f"until {link.expires_at:%Y-%m-%d %H:%M} UTC"
        )
    Console().print(table if accounts else "No accounts: the pages are for this machine only.")


@app.command("remove")
def remove(name: _Name, db: Database = None) -> None:
    """Close an account and end its sessions; what it did stays on record."""
    with _opened(db) as squad:
        squad.accounts.close(name)
    typer.echo(f"{name} may not come in any more.")


@app.command("role")
def change_role(
    name: _Name,
    role: Annotated[str, typer.Option(help="owner, coach, programmer or athlete.")],
    athlete: _Athlete = None,
    db: Database = None,
) -> None:
    """Give an account another role and sign it out everywhere."""
    with _opened(db) as squad:
        squad.accounts.change_role(name, role, athlete_id=athlete)
    typer.echo(f"{name} has another role.")


@app.command("reset")
def reset(name: _Name, first: _First = False, db: Database = None) -> None:
    """Give an account another password and sign it out everywhere."""
    with _opened(db) as squad:
        squad.accounts.named(name)
        squad.accounts.reset(name, _given(first), handed_over=first)
    typer.echo(f"{name} has another password.")


@app.command("unpair")
def unpair(name: _Name, db: Database = None) -> None:
    """Take somebody's second step away, for a lost phone; they are signed out everywhere."""
    with _opened(db) as squad:
        squad.accounts.unpair_account(name)
    typer.echo(f"The app of {name} is taken away.")


@app.command("demand")
def demand(
    roles: Annotated[
        list[str] | None, typer.Argument(metavar="[ROLE]...", help="owner, coach ...; none: nobody.")
    ] = None,
    db: Database = None,
) -> None:
    """Demand a second step of these roles, and of no others. Who has none pairs an app when they sign in next."""
    with _opened(db) as squad:
        squad.accounts.demand(roles or [])
        demanded = sorted(squad.accounts.demanded_of())
    typer.echo(f"A second step is demanded of: {', '.join(demanded) or 'nobody'}.")


@app.command("renew-secrets")
def renew_secrets(db: Database = None) -> None:
    """Replace what signs cookies, and seal secrets with the present key; everybody is signed out."""
    with _opened(db) as squad:
        squad.accounts.renew_secrets()
    typer.echo("The secrets are renewed. Everybody signs in again.")


@app.command("new-key")
def new_key_file() -> None:
    """Print a new key, to be kept outside the store; KEELMARK_KEY_FILE names the file with it."""
    from keelmark.service.sealing import new_key

    typer.echo(new_key(), nl=False)


@app.command("invite")
def invite(
    name: Annotated[str, typer.Argument(metavar="NAME", help="Who the guest is, for the athlete to read.")],
    athlete: Annotated[str, typer.Option(metavar="KEY", help="Whose rows, as the roster's key.")],
    field: Annotated[list[str], typer.Option(help="What the guest may see: load, complaints; may be given again.")],
    days: Annotated[int, typer.Option(help="How many days the link works, 1 to 30.")] = 7,
    db: Database = None,
) -> None:
    """Make a link for a guest, such as a physiotherapist, with the athlete's consent. It is shown once."""
    with _opened(db) as squad:
        token = squad.accounts.invite(name, athlete, field, days)
    typer.echo(f"/with/{token}")
    typer.echo("Put the address of the pages before it. It is not kept and cannot be shown again.", err=True)


@app.command("withdraw")
def withdraw(
    link: Annotated[int, typer.Argument(metavar="LINK", help="Number of the link in the list.")], db: Database = None
) -> None:
    """Take a guest's link back."""
    with _opened(db) as squad:
        squad.accounts.withdraw(link)
    typer.echo(f"Link {link} opens nothing any more.")


def _opened(db: str | None) -> Squad:
    from keelmark.service import Squad

    return Squad.open(db)


def _given(first: bool) -> str:
    if not first:
        return _password()
    from keelmark.service.passwords import first_password

    made = first_password()
    typer.echo(made)
    return made


def _password() -> str:
    if sys.stdin.isatty():
        return str(typer.prompt("Password", hide_input=True, confirmation_prompt=True, err=True))
    return sys.stdin.readline().rstrip("\r\n")
