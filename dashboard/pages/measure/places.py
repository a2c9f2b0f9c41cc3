"""Names of what stands on the screen that measures and nowhere else."""

from typing import Final

__all__ = [
    "ANSWER", "ASKED", "CHOOSE", "FIGURES", "FILE", "FIND", "FOUND", "PROGRESS", "SEND_TO", "STAGE",
    "TAKE", "TAKEN", "TOLD",
]

SEND_TO: Final = "/measure/file"
"""Where the browser sends a file; see `posted_file`."""

CHOOSE: Final = "measure-choose"
FILE: Final = "measure-file"
"""Number of the file that was chosen last; the file itself stays in the page."""

ASKED: Final = "measure-asked"
"""Query of what is to be measured with; none while something typed is wrong."""

STAGE: Final = "measure-stage"
"""The picture with what was found over it; drawn by assets/measure.js."""

FIND: Final = "measure-find"
TOLD: Final = "measure-told"
PROGRESS: Final = "measure-progress"
ANSWER: Final = "measure-answer"
FIGURES: Final = "measure-figures"
FOUND: Final = "measure-found"
"""Readout that was measured; none where there is none."""

TAKE: Final = "measure-take"
TAKEN: Final = "measure-taken"
