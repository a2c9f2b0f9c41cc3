"""Other people's code for the same published models."""

import functools
import warnings


@functools.cache
def colour_science():
    """The package colour-science, which warns on import of what else could be installed."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour
        import colour.contrast
        import colour.models
    return colour
