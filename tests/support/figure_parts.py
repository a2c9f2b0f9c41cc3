"""Parts of a drawn figure by their names, and its texts with the paper that they lie on."""

__all__ = ["contrast_ratio", "named", "texts_and_papers"]

PAPERS = {"dark": ("#16130f", "#1e1a15"), "light": ("#f7f3ea", "#fffdf7")}
"""Page and sheet of both themes."""


def named(figure, name):
    """The one trace of a name."""
    found = [trace for trace in figure.data if trace.name == name]
    assert len(found) == 1, [trace.name for trace in figure.data]
    return found[0]


def contrast_ratio(one, other):
    """Contrast of two colours by the letter of WCAG 2.2: relative luminance of 8-bit sRGB."""
    def luminance(colour):
        total = 0.0
        for place, weight in ((1, 0.2126), (3, 0.7152), (5, 0.0722)):
            value = int(colour[place:place + 2], 16) / 255
            bright = value > 0.03928
            total += weight * (((value + 0.055) / 1.055) ** 2.4 if bright else value / 12.92)
        return total

    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def texts_and_papers(figure, theme):
    """Colour of every text that lies on bare paper, with each paper it may lie on."""
    layout = figure.layout
    fonts = [layout.font, *(each.font for each in layout.annotations)]
    for key in layout:
        if key.startswith(("xaxis", "yaxis")):
            fonts += [layout[key].tickfont, layout[key].title.font]
    if layout.showlegend:
        fonts.append(layout.legend.font)
    fonts += [trace.colorbar.tickfont for trace in figure.data if getattr(trace, "showscale", 0)]
    colours = {font.color for font in fonts if font.color}
    pairs = [(colour, paper) for colour in colours for paper in PAPERS[theme]]
    return [*pairs, (layout.hoverlabel.font.color, layout.hoverlabel.bgcolor)]
