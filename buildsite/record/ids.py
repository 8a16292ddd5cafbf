"""What the id of a record looks like, which is its file's name."""

import re

ID = re.compile(
    r"(?!.*\.([Ii][Ss][Ss][Uu][Ee][Dd]|[Rr][0-9]+)$)[A-Za-z0-9][A-Za-z0-9._-]{0,63}"
)
"""Letters, digits, ``.``, ``-``, ``_``, at most 64, a letter or digit first; not ending
as the files that the program keeps beside a record do: ``.issued`` or ``.r0``."""
