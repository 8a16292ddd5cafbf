"""Compaction tests kept as text in git: computed, published, every change traceable."""

TYPE_CHECKING = False  # as in `typing`, which takes a while to import
if TYPE_CHECKING:
    from buildsite.notebook import open_archive

__all__ = ["open_archive"]
__version__ = "0.1.0"


def __getattr__(name: str) -> object:
    """Return `open_archive`, imported when it is asked for: commands start without."""
    if name == "open_archive":
        from buildsite import notebook

        return notebook.open_archive
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
