"""What stands on the pages of a PDF, read back out of the file."""

from contextlib import contextmanager
from io import BytesIO

import pypdfium2

__all__ = ["page_texts", "pages", "text_boxes"]


@contextmanager
def pages(pdf):
    """Pages of a PDF file."""
    document = pypdfium2.PdfDocument(BytesIO(pdf))
    try:
        yield [document[number] for number in range(len(document))]
    finally:
        document.close()


def page_texts(pdf):
    """Text of each page, spaces and line ends as single spaces."""
    with pages(pdf) as found:
        return [" ".join(page.get_textpage().get_text_bounded().split()) for page in found]


def text_boxes(page):
    """Left, bottom, right and top of every run of letters on a page [pt], with its text."""
    text = page.get_textpage()
    boxes = [text.get_rect(place) for place in range(text.count_rects())]
    return [(box, text.get_text_bounded(*box)) for box in boxes]
