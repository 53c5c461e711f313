"""keelmark: how much work each athlete's back, hips, hands and tendons did, against that athlete's own marks."""

from importlib.metadata import version

__version__ = version("keelmark")
__all__ = ["__version__"]
