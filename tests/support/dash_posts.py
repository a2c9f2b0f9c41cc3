"""Ask a dash app's callbacks as a browser does: by what it posts, with no browser."""

import json

__all__ = ["callbacks", "posted"]


def callbacks(client):
    """Every callback that the server answers, by its output."""
    listed = client.get("/_dash-dependencies").json
    return {each["output"]: each for each in listed if not each["clientside_function"]}


def posted(client, callback, values, *, changed=None, outputs=None):
    """Answer to one callback.

    `values` goes from "id.property" to a value; for a name that stands for several alike, such as
    '{"figure":["ALL"]}.value', to a list of names and values. `outputs` has such names too.
    """
    inputs = [_given(each, values) for each in callback["inputs"]]
    body = {
        "output": callback["output"],
        "outputs": _outputs(callback["output"], outputs or {}),
        "inputs": inputs,
        "state": [_given(each, values) for each in callback["state"]],
        "changedPropIds": [changed] if changed else [],
    }
    return client.post("/_dash-update-component", json=body)


def _given(place, values):
    name, prop = place["id"], place["property"]
    value = values.get(f"{name}.{prop}")
    if '["ALL"]' not in name:
        return {"id": name, "property": prop, "value": value}
    return [{"id": each, "property": prop, "value": one} for each, one in value or []]


def _outputs(text, several):
    names = text[2:-2].split("...") if text.startswith("..") else [text]
    places = []
    for each in names:
        name, _, prop = each.rpartition(".")
        if '["ALL"]' in name:
            places.append([{"id": one, "property": prop} for one in several.get(name, [])])
        else:
            places.append({"id": json.loads(name) if name[0] == "{" else name, "property": prop})
    return places if text.startswith("..") else places[0]
