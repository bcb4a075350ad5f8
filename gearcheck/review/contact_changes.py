"""What a what-if may move of the loaded contact: reliefs and where they start, crowning, how the axes lie."""

from __future__ import annotations

from gearcheck.review import contact_moves
from gearcheck.review.change import Change

CONTACT = "contact."
"""How the keys of the requirements of the loaded contact begin."""

CONTACT_CHANGES = (
    Change(
        key="relief_start",
        label="Diameter where the tip relief of the gear starts",
        symbol="",
        unit="mm",
        digits=2,
        step=-0.5,
        reach=(4, 3),
        read=contact_moves.read_relief_start,
        write=contact_moves.write_relief_start,
        goes_with="the relief of the mates becomes longer or shorter by the same roll",
        traded=False,
        mends_alone=CONTACT,
    ),
    Change(
        key="mate_relief",
        label="Tip relief of the mates",
        symbol="Cₐ",
        unit="µm",
        digits=0,
        step=5,
        reach=(40, 60),
        least=0,
        read=contact_moves.read_mate_relief,
        write=contact_moves.write_mate_relief,
        goes_with="the gear keeps its own",
        traded=False,
        mends=False,
    ),
    Change(
        key="mate_relief_start",
        label="Diameter where the tip relief of the first mate starts",
        symbol="",
        unit="mm",
        digits=2,
        step=-0.5,
        reach=(6, 5),
        read=contact_moves.read_mate_relief_start,
        write=contact_moves.write_mate_relief_start,
        goes_with="the gear keeps its own",
        traded=False,
        mends=False,
    ),
    Change(
        key="helix_crowning",
        label="Helix crowning of the gear",
        symbol="Cᵦ",
        unit="µm",
        digits=1,
        step=2,
        reach=(20, 30),
        least=0,
        read=contact_moves.read_crowning,
        write=contact_moves.write_crowning,
        goes_with="the mates keep theirs",
        traded=False,
        mends_alone=CONTACT,
    ),
    Change(
        key="misalignment",
        label="Deviation of the axes out of their plane",
        symbol="",
        unit="µm",
        digits=1,
        step=5,
        reach=(40, 40),
        read=contact_moves.read_out_of_plane,
        write=contact_moves.write_out_of_plane,
        goes_with="all meshes move by as much",
        traded=False,
        mends_alone=CONTACT,
    ),
)
"""In the order in which they are written: what moves the mates along comes before what moves them alone."""
