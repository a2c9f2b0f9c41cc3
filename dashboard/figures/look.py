"""What all figures share."""

from typing import Any, Final

__all__ = ["GRAPH_CONFIG"]

GRAPH_CONFIG: Final[dict[str, Any]] = {
    "displaylogo": False, "displayModeBar": False, "responsive": True, "showSendToCloud": False,
}
"""Configuration of every graph: no bar of tools, and none that sends a figure elsewhere."""
