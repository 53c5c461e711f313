"""keelmark: how much work each athlete's back, hips, hands and tendons did, against that athlete's own marks."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    __version__: str

__all__ = ["__version__"]


def __getattr__(name: str) -> str:
    """The version, looked up when it is asked for: reading the package's metadata takes a while."""
    if name != "__version__":
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib.metadata import version

    return version("keelmark")
