"""The keys of wall, camera and lamp profiles, in the order in which they are written."""

from bandcheck.light.led_drive import LARGEST_REFRESHES
from bandcheck.shoot.profile_keys import (
    Key,
    angle_step,
    angles,
    choice,
    flag,
    label,
    number,
    pulse_counts,
    rate,
    speeds,
    whole,
    wholes,
)

__all__ = ["CAMERA_KEYS", "LAMP_KEYS", "LARGEST_COUNTS", "WALL_KEYS"]

LARGEST_COUNTS = 2**24
LARGEST_PIXELS = 100_000

WALL_KEYS: tuple[Key, ...] = (
    label("name", "what you call this set-up of the wall", example="stage, main wall",
          required=True),
    number("pitch_mm", "LED pitch, centre to centre", above=0, at_most=1000, example="2.6"),
    whole("scan_lines", "lines that share a driver and are lit in turn: 16 for 1/16 scan",
          at_most=1024, example="16", required=True),
    choice("drive", "how a gray value is shared over the refreshes of a frame: dealt out among "
           "them, shown whole in each, or shown in each as bit planes",
           "spread", "repeated", "binary_code", required=True),
    whole("counts_per_refresh", "gray-clock counts of one refresh and line; this or gray_bits is "
          "needed", at_most=LARGEST_COUNTS, example="409"),
    whole("gray_bits", "gray depth; this or counts_per_refresh is needed", at_most=24,
          example="16"),
    whole("refreshes_per_frame", "refreshes in one frame of the wall, at every frame rate; this, "
          "or refresh_hz and rated_fps, is needed", at_most=LARGEST_REFRESHES, example="160"),
    number("refresh_hz", "rated refresh; goes with rated_fps", above=0, at_most=1_000_000,
           example="3840"),
    rate("rated_fps", "frame rate at which the refresh was rated", example="24"),
    wholes("refreshes_per_frame_allowed", "the only numbers of refreshes that the wall can do",
           at_most=LARGEST_REFRESHES, example="[64, 80, 128, 160]"),
    number("clock_mhz", "gray clock", above=0, at_most=10_000, example="30"),
    number("line_switch_us", "dark time at each switch of the line", at_least=0, at_most=10_000,
           example="1.5"),
    choice("refresh_lock", "whether the refresh restarts with each frame or runs free of it; "
           "frame unless stated", "frame", "free"),
    number("refresh_tolerance_pct", "how well a free refresh is known, to either side", at_least=0,
           at_most=50, example="1"),
    choice("transfer", "from signal to light", "bt1886", "gamma", "pq", "linear"),
    number("gamma", 'exponent of transfer "gamma"', at_least=0.5, at_most=5, example="2.2"),
    number("peak_nits", 'white of the wall; transfer "pq" needs it', above=0, at_most=100_000,
           example="1500"),
    choice("brightness_control", "whether the brightness setting dims by LED current or by fewer "
           "counts", "current", "pwm"),
    number("emitter_fill", "lit width of one LED as a share of the pitch", above=0, at_most=1,
           example="0.35"),
    choice("emitter_shape", "shape of the lit part of an LED", "square", "disc"),
    whole("module_rows_px", "LED rows of one module", at_most=LARGEST_PIXELS, example="96"),
    whole("columns_px", "LED columns of the wall", at_most=LARGEST_PIXELS, example="3840"),
    whole("rows_px", "LED rows of the wall", at_most=LARGEST_PIXELS, example="1536"),
    number("latency_frames", "frames from the signal to the light", at_least=0, at_most=1000,
           example="2"),
    *(number(f"white_duty_{colour}", f"share of full drive that white asks of {colour}; 1 unless "
             "stated", above=0, at_most=1, example="0.9", field="white_duty", part=part)
      for part, colour in enumerate(("red", "green", "blue"))),
    choice("on_rate_change", "what stays when the wall's frame rate changes", "keep_refresh",
           "keep_refreshes_per_frame"),
    whole("cabinet_columns_px", "LED columns of one cabinet", at_most=LARGEST_PIXELS,
          example="192"),
    number("cabinet_angle_deg", "turn from one cabinet to the next, concave above 0", at_least=-90,
           at_most=90, example="2.5"),
    number("rate_tolerance_ppm", "error of the wall's own frame clock", at_least=0,
           at_most=100_000, example="20"),
    choice("frame_end", "where the time goes that the refreshes leave of a frame: dark at its end, "
           "or between them", "dark", "stretched"),
    choice("dealing", "which refreshes come first in spread drive", "bit_reversed", "even"),
    pulse_counts("min_pulse_counts", "shortest pulse that lights an LED, in counts; 1 unless "
                 "stated", at_most=LARGEST_COUNTS, example="[1, 2, 2]"),
    flag("scan_down", "whether the lines are lit from top to bottom; true unless stated",
         example="true"),
)

CAMERA_KEYS: tuple[Key, ...] = (
    label("name", "what you call this mode of the camera", example="body A, full width",
          required=True),
    label("body", "the body that this is a mode of", example="body A"),
    label("mode", "name of the mode", example="full width"),
    number("sensor_width_mm", "width of the part of the sensor that the mode reads", above=0,
           at_most=1000, example="27.6"),
    number("sensor_height_mm", "height of the part of the sensor that the mode reads", above=0,
           at_most=1000, example="15.5"),
    whole("columns_px", "photosite columns that the mode reads", at_most=LARGEST_PIXELS,
          example="4600"),
    whole("rows_px", "photosite rows that the mode reads", at_most=LARGEST_PIXELS, example="2590",
          required=True),
    choice("shutter", "whether rows open one after the other or all together", "rolling", "global",
           required=True),
    number("readout_ms", "from the first row's opening to the last row's plus one row; a rolling "
           "shutter needs it", at_least=0, at_most=1000, example="8"),
    flag("readout_down", "whether rows are read from top to bottom of the picture; true unless "
         "stated", example="true"),
    flag("shutter_whole_lines", "whether exposures are rounded to whole line times",
         example="false"),
    angles("angles_deg", "angles on the dial, if it has a list of them",
           example="[90, 144, 172.8, 180]"),
    speeds("speeds", "speeds on the dial, if it has a list of them",
           example='["1/24", "1/48", "1/50", "1/96"]'),
    angle_step("angle_step_deg", "step of the dial, if it turns in steps of an angle",
               example="0.1"),
    rate("max_fps", "highest frame rate of the mode", example="60"),
    choice("mosaic", "colour filter on the photosites", "bayer", "none"),
    number("low_pass_px", "shift of the four-spot low-pass filter, in photosites; 0: none",
           at_least=0, at_most=10, example="0.5"),
    number("photosite_fill", "lit width of a photosite as a share of its pitch", above=0,
           at_most=1, example="0.9"),
    whole("delivery_columns_px", "columns of the delivered picture", at_most=LARGEST_PIXELS,
          example="3840"),
    choice("delivery_filter", "how the picture is scaled for delivery", "box", "sharp"),
    choice("exposure_scheme", "single unless stated; the timing of the others is not modelled",
           "single", "multi", "global_reset"),
    number("readout_tolerance_ms", "uncertainty of the readout", at_least=0, at_most=1000,
           example="0.1"),
    number("rate_tolerance_ppm", "error of the camera's own clock", at_least=0, at_most=100_000,
           example="10"),
    choice("on_rate_change", "what the camera keeps when its frame rate is changed", "keep_angle",
           "keep_time"),
)

LAMP_KEYS: tuple[Key, ...] = (
    label("name", "what you call this lamp", example="practicals on the mains", required=True),
    choice("kind", "whether the light ripples with the mains, is switched, or does neither",
           "mains", "pulsed", "steady", required=True),
    number("mains_hz", "frequency of the mains (the light ripples at twice that); kind \"mains\" "
           "needs it", above=0, at_most=10_000, example="50"),
    number("mains_tolerance_pct", "how well the mains is held, to either side", at_least=0,
           at_most=50, example="1"),
    number("modulation", "(brightest - darkest) / (brightest + darkest) of the light", at_least=0,
           at_most=1, example="0.3"),
    number("pulse_hz", 'pulses in a second; kind "pulsed" needs it', above=0, at_most=10_000_000,
           example="25000"),
    number("duty", "lit share of a pulse's period", above=0, at_most=1, example="0.5"),
)
