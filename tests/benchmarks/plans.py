"""What a whole plan costs: the shipped one, and one of as many set-ups as a long shoot has."""

__all__ = ["large_plan_text"]

WALLS = ("stage-main-2.6", "ceiling-8", "side-2.8", "stage-fine-1.5", "floor-3.9", "studio-1.2")
CAMERAS = (
    "cine-a-wide", "cine-a-fast", "cine-c-crop", "cine-c-large", "cine-b-global", "hybrid-d-crop",
    "studio-f", "cine-a-tall",
)
RATES = ("23.976", "24", "25", "29.97", "30", "36", "40", "47.952", "48", "50")
SETUPS = 40


def large_plan_text(*, setups: int = SETUPS, rates: int = len(RATES)) -> str:
    """Plan of many set-ups: two or three surfaces before one or two of eight cameras, by turns.

    Parameters
    ----------
    setups, rates
        How many set-ups, each at so many frame rates.
    """
    lines = [
        "[plan]", 'name = "long shoot"', "[defaults]",
        f"rates = [{', '.join(f'{chr(34)}{each}{chr(34)}' for each in RATES[:rates])}]",
        "angle_deg = 172.8", "levels_pct = [100, 18]", 'lamps = ["practical"]',
        "[[lamp]]", 'name = "practical"', 'profile = "mains-50-tungsten"',
    ]
    for number, name in enumerate(WALLS):
        lines += ["[[surface]]", f'name = "s{number}"', f'wall = "{name}"']
    for number, name in enumerate(CAMERAS):
        lines += ["[[camera]]", f'name = "c{number}"', f'profile = "{name}"']
    for number in range(setups):
        seen = {(number * step + shift) % len(WALLS) for step, shift in ((1, 0), (1, 1), (5, 3))}
        films = {number % len(CAMERAS), (number + number // 8) % len(CAMERAS)}
        lines += [
            "[[setup]]", f'name = "set-up {number + 1}"',
            f"cameras = [{', '.join(f'{chr(34)}c{each}{chr(34)}' for each in sorted(films))}]",
            f"surfaces = [{', '.join(f'{chr(34)}s{each}{chr(34)}' for each in sorted(seen))}]",
        ]
    return "\n".join(lines) + "\n"
