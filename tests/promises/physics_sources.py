"""Which public functions of physics need no source, and of which the source is told here instead of in their docstrings."""

from __future__ import annotations

import ast

_PLUMBING = {
    "eight": "load store eight select root",
    "fast": "still_air_fast mass_kg_fast advance_fast",
    "fast_changes": "bring",
    "fast_eights": "is_plain march_together",
    "fast_gear": "gear_arrays vessel_row distributor_row gear_work gear_of_lane state_of_lane modes_at_rest",
    "fast_grid": "fast_grid_of",
    "fast_layout": "pipe_table side_table lane_table",
    "fast_many": "answer_many answer_few",
    "fast_readings": "sample",
    "fast_run": "answer_fast",
    "fast_seats": "seat march_lane state_of side_by_side",
    "fast_settings": "gate_row ports_of settings_of told_of changes_of",
    "fast_wide_seats": "wide_gear_of gear_left",
    "fine": "still_air mass_kg advance",
    "fine_grid": "grid_of brake_row openings_of valve_row probe_rows full_array",
    "draft_gear": "columns_of",
    "motion": "stop_columns",
    "motion_march": "longest_step until_bend_m",
    "pipe_network": "open_to_atmosphere checked_timeline",
}
PLUMBING = {f"{module}.{name}" for module, names in _PLUMBING.items() for name in names.split()}
"""Puts figures in order for a solver, or asks one; has no law of its own."""

_TOLD = {
    ("braked_weight", "distance_of_percent beyond_range_distance"): "UIC 544-1, from memory, solved for the distance",
    ("braked_weight", "rated_percent"): "UIC 544-1, from memory: braked weight over mass",
    ("braked_weight", "distance_of_deceleration_m"): "closed form, v^2 / 2a with a free run",
    ("build_up", "time_to_share_s"): "definition: when a straight line between samples passes the share",
    ("draft_gear", "linear_gear preloaded_gear power_law_gear measured_gear in_series"): "statics: springs as curves, in series",
    ("fine_faces", "orifice_flow settle_end settle_gate branch_flows settle_branch"): "closed form: isentropic nozzle, acoustics",
    ("impact", "reduced_mass_kg impact_energy_j speed_of_energy_m_s lump_speed_m_s contact_s common_speed_m_s chain_impact"):
        "closed form: two masses on a spring, momentum and energy; a chain by the march",
    ("impact_march", "gear_force march_chain"): "closed form: Newton's law, half-step scheme",
    ("motion", "braking_of stop_from stops_of path_of speed_for_distance"): "statics: the equation at the head of the module",
    ("motion_march", "slope_mean deceleration loads step step_to run_down run_down_many"): "statics: the same equation, by steps",
    ("speed_law", "constant_law stepped_law law_through"): "definition: a quotient of straight lines in each band",
    ("track_curve", "same_hand end_of_curve reverse worst_meeting"): "curve throw: chords of circles",
}  # fmt: skip
TOLD = {f"{module}.{name}": source for (module, names), source in _TOLD.items() for name in names.split()}


def without_source(module: str, tree: ast.Module) -> list[str]:
    """Public functions of a module whose source neither their docstring, the module's, nor this page tells."""
    if "Source" in (ast.get_docstring(tree) or ""):
        return []
    public = [node for node in tree.body if isinstance(node, ast.FunctionDef) and not node.name.startswith("_")]
    bare = [node.name for node in public if "Source" not in (ast.get_docstring(node) or "")]
    return [name for name in bare if f"{module}.{name}" not in PLUMBING | set(TOLD)]
