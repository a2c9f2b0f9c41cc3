"""What stands in the components of a screen."""

__all__ = ["of_type", "parts", "texts"]


def parts(component):
    """Every component and text in a component or a list of them, from top to bottom."""
    if isinstance(component, list | tuple):
        for each in component:
            yield from parts(each)
        return
    if component is None:
        return
    yield component
    yield from parts(getattr(component, "children", None))


def of_type(component, *types):
    """Components of the named types."""
    return [each for each in parts(component) if type(each).__name__ in types]


def texts(component):
    """Texts that can be read."""
    return [each for each in parts(component) if isinstance(each, str)]
