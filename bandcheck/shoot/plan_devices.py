"""Devices of a plan: a profile each, what the plan puts in place of its figures, who measured."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any, TypeVar

from bandcheck.errors import ProfileError
from bandcheck.shoot.camera import Camera
from bandcheck.shoot.lamp import Lamp
from bandcheck.shoot.plan import PlannedCamera, PlannedLamp, Stated, Surface
from bandcheck.shoot.plan_keys import MEASURABLE, PROFILE_KEYS
from bandcheck.shoot.plan_tables import Faults, Row, inherited, shutter_faults
from bandcheck.shoot.profile_faults import fault, plain_name, with_nearest
from bandcheck.shoot.profile_keys import text_schema
from bandcheck.shoot.profile_text import profile_text
from bandcheck.shoot.profiles import load_camera, load_lamp, load_wall, parse_camera
from bandcheck.shoot.wall import Wall

__all__ = ["DeviceReader"]

P = TypeVar("P", Wall, Camera, Lamp)

_DIALS = {"angles_deg", "speeds_s", "angle_step_deg"}


class DeviceReader:
    """Reads the devices of one plan.

    Parameters
    ----------
    folder
        Where the profile files lie that the plan names.
    faults
        Where faults are told.
    """

    def __init__(self, *, folder: Path, faults: Faults) -> None:
        self._folder = folder
        self._faults = faults
        self._loaded: dict[tuple[str, str], Any] = {}

    def surfaces(self, rows: list[Row]) -> dict[str, Surface]:
        """Surfaces by name; those with a fault in their profile are left out."""
        found = {}
        for row, given in self._rows(rows):
            wall = self._profile(row, given, "wall", load_wall)
            if wall is None:
                continue
            self._refreshes_faults(row, wall, given.get("refreshes_per_frame"))
            found[row.name] = Surface(
                name=row.name, wall=self._with_sources(row, wall),
                kind=_value(given, "kind", "wall"), role=_value(given, "role", "in_shot"),
                given=given, measured=dict(row.measured),
            )
        return found

    def cameras(self, rows: list[Row]) -> dict[str, PlannedCamera]:
        """Cameras by name."""
        found = {}
        for row, given in self._rows(rows):
            self._faults.add(row.place, shutter_faults(row.typed))
            camera = self._profile(row, given, "profile", load_camera)
            if camera is None:
                continue
            own = {key.field: given.pop(key.field).value for key in PROFILE_KEYS
                   if key.field in given}
            camera = self._with_sources(row, self._overlaid(row, camera, own))
            found[row.name] = PlannedCamera(
                name=row.name, camera=camera, given=given, measured=dict(row.measured)
            )
        return found

    def lamps(self, rows: list[Row]) -> dict[str, PlannedLamp]:
        """Lamps by name."""
        found = {}
        for row, given in self._rows(rows):
            lamp = self._profile(row, given, "profile", load_lamp)
            if lamp is not None:
                found[row.name] = PlannedLamp(
                    name=row.name, lamp=self._with_sources(row, lamp),
                    measured=dict(row.measured),
                )
        return found

    def _rows(self, rows: list[Row]) -> list[tuple[Row, dict[str, Stated]]]:
        for row in rows:
            self._measured_faults(row)
        told = inherited(rows, self._faults)
        return [(row, told[row.name]) for row in rows if row.name]

    def _measured_faults(self, row: Row) -> None:
        from pydantic_core import SchemaValidator

        says = SchemaValidator(text_schema())
        known = MEASURABLE[row.kind]
        self._faults.add(row.place, [
            with_nearest(f"measured.{plain_name(key)}: no such key", key, known)
            for key in row.measured if key not in known
        ])
        self._faults.add(row.place, [
            fault(f"measured.{plain_name(key)}", text, "who measured it and when, as text")
            for key, text in row.measured.items()
            if key in known and not says.isinstance_python(text, strict=True)
        ])

    def _profile(
        self, row: Row, given: dict[str, Stated], key: str, load: Callable[[str | Path], P]
    ) -> P | None:
        """Profile that a device names; None where it cannot be had."""
        if key not in given:
            if key not in row.typed:  # else it has been told already what is wrong with it
                self._faults.add(row.place, [f"{key}: missing; a shipped profile's name or a file"])
            return None
        name = given.pop(key).value
        if (key, name) not in self._loaded:
            beside = self._folder / name
            try:
                self._loaded[key, name] = load(
                    beside if name.endswith(".toml") or "/" in name else name
                )
            except ProfileError as error:
                self._loaded[key, name] = None
                self._faults.add(row.place, [f"{key} {error.file}: {each}"
                                             for each in error.faults])
        loaded: P | None = self._loaded[key, name]
        return loaded

    def _refreshes_faults(self, row: Row, wall: Wall, said: Stated | None) -> None:
        if said is None:
            return
        allowed, number = wall.refreshes_per_frame_allowed, said.value
        if wall.refresh_lock == "free":
            self._faults.add(row.place, [fault(
                "refreshes_per_frame", number, "only for a wall whose refresh is locked to the "
                "frame; this one's runs free"
            )])
        elif allowed and number not in allowed:
            self._faults.add(row.place, [fault(
                "refreshes_per_frame", number,
                f"one of those that its profile allows, {', '.join(map(str, allowed))}"
            )])

    def _overlaid(self, row: Row, camera: Camera, own: Mapping[str, Any]) -> Camera:
        """Camera with the plan's own figures, checked together with the others."""
        if not own:
            return camera
        changed: dict[str, Any] = dict(own)
        if _DIALS & own.keys():
            changed = {"angles_deg": (), "speeds_s": (), "angle_step_deg": None, **own}
        names = {key.field: key.name for key in PROFILE_KEYS}
        source = {
            **{key: text for key, text in camera.source.items()
               if not (_DIALS & own.keys() and key in ("angles_deg", "speeds", "angle_step_deg"))},
            **{names[field]: "stated in the plan" for field in own},
        }
        overlaid = replace(camera, **changed, source=source)
        try:
            return parse_camera(profile_text(overlaid), file=row.name)
        except ProfileError as error:
            self._faults.add(row.place, error.faults)
            return camera

    def _with_sources(self, row: Row, profile: P) -> P:
        """Profile whose measured figures name who measured them."""
        source = {
            **profile.source,
            **{key: text for key, text in row.measured.items() if key in profile.source
               and isinstance(text, str)},
        }
        return replace(profile, source=source)


def _value(given: dict[str, Stated], key: str, usual: Any) -> Any:
    return given.pop(key).value if key in given else usual
