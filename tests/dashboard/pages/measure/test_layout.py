"""The screen that measures asks for a frame before it says anything."""

from screen_parts import of_type, texts

from dashboard.pages.measure.layout import layout


def test_it_asks_for_a_frame_and_keeps_what_the_link_says():
    page = layout({"source_hz": "500"})
    assert any("Choose a frame" in line for line in texts(page))
    fields = {each.id["ask"]: each.value for each in of_type(page, "Input")
              if isinstance(getattr(each, "id", None), dict) and "ask" in each.id}
    assert fields["source_hz"] == "500"
