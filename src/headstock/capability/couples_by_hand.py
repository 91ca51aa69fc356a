"""Half-made couples that hands make: knuckle, screw, hose, jumper; what they look like, what to do.

Source: common practice, no source. Figures of cost are made up.
"""

from __future__ import annotations

from headstock.capability.automatic_couple import AUTOMATIC
from headstock.capability.couple_signs import CoupleFamily, CoupleState, Sign

BETWEEN = "on one's own protection"
PULL = Sign("pull", ("holds", "parts"), "lightest pull against the other portion's brakes, brake at hand", 75,
            "the other portion's hold proved, nobody between")  # fmt: skip
CLOSE_UP = ("draw clear", "free chain and lever, look for dirt or a worn face", "open one jaw and close up again, slower",
            "look at the lock, then the pull anew")  # fmt: skip


def _state(key: str, words: str, shows: dict[str, tuple[str, ...]], lies: tuple[str, ...], do: tuple[str, ...],
           never: tuple[str, ...], act: str = "") -> CoupleState:  # fmt: skip
    return CoupleState(key, words, shows, lies, act or key, do, never)


KNUCKLE = CoupleFamily(
    "knuckle",
    (
        Sign("lock", ("down", "riding high"), "from the side: lock or its indicator", 20),
        Sign("release chain", ("slack", "tight"), "from the side: chain or lever of the lock", 20),
        Sign("jaw", ("closed", "open"), "from the side: jaw against the other head", 20),
        Sign("pin", ("home", "half in"), "head's support pin and keeper, both heads", 60, BETWEEN),
        PULL,
    ),
    (
        _state("made", "lock down, jaw closed, pins home: pull, then go on",
               {"lock": ("down",), "release chain": ("slack",), "jaw": ("closed",), "pin": ("home",), "pull": ("holds",)}, (),
               ("pull", "look at the lock again after the pull"), ("No hose before the pull.",)),
        _state("lock riding high", "jaw closed, lock not down: it may hold a light pull and let go on the way",
               {"lock": ("riding high",), "jaw": ("closed",), "pin": ("home",)}, ("jaw", "pull"),
               CLOSE_UP,
               ("Do not strike the lock down.", "Do not go by a pull that held."), "close up again"),
        _state("pin half in", "head on a pin that is not home: it drops when it works",
               {"pin": ("half in",)}, ("lock", "pull"),
               ("part", "each portion held, go between protected", "pin home, keeper in, both heads looked at", "close up again"),
               ("Do not drive a pin in under load.",)),
        _state("not taken", "jaw bumped shut before the heads met, or never closed",
               {"pull": ("parts",), "pin": ("home",)}, ("jaw", "lock"),
               CLOSE_UP,
               ("Nobody steps into the short gap.",), "close up again"),
    ),
)  # fmt: skip
SCREW = CoupleFamily(
    "screw coupling",
    (
        Sign("link", ("in the throat", "on the nose"), "link over the other hook, from both sides", 60, BETWEEN),
        Sign("buffers", ("bear both sides", "a gap"), "faces of both pairs of buffers", 40, BETWEEN),
        Sign("handle", ("hung up", "swinging"), "screw's handle", 40, BETWEEN),
    ),
    (
        _state("made", "link in the throat, buffers bear, handle hung up",
               {"link": ("in the throat",), "buffers": ("bear both sides",), "handle": ("hung up",)}, (), ("go on",), ()),
        _state("on the nose", "link rests on the nose of the hook", {"link": ("on the nose",)}, ("handle", "buffers"),
               ("each portion held, go between protected", "slacken, lift the link over into the throat",
                "tighten, hang the handle"),
               ("Do not stretch it to see.", "Do not reach under the link from the open side.")),
        _state("not tightened", "hung over and slack", {"link": ("in the throat",), "buffers": ("a gap",)}, ("handle",),
               ("press buffers lightly again", "go between protected", "tighten until the buffers just bear"),
               ("Do not tighten against a stretched train.",)),
        _state("handle free", "tightened, the handle left swinging: it unwinds on the way",
               {"link": ("in the throat",), "buffers": ("bear both sides",), "handle": ("swinging",)}, ("buffers",),
               ("go between protected", "hang the handle so that it cannot turn"), ("Do not leave it for the next stop.",)),
    ),
)  # fmt: skip
HOSE = CoupleFamily(
    "hose",
    (
        Sign("heads", ("joined", "apart"), "the two half couplings", 20, BETWEEN),
        Sign("cock handles", ("both open", "one shut"), "handle of each cock, by the mark on it", 20, BETWEEN),
        Sign("hose", ("hangs free", "kinked"), "the hose along its length", 20, BETWEEN),
        Sign("far gauge", ("follows", "lags", "does not move"),
             "somebody at the last gauge: fall and rise by the leading valve", 150),
    ),
    (
        _state("made", "joined, both cocks open", {"heads": ("joined",), "cock handles": ("both open",), "hose": ("hangs free",),
               "far gauge": ("follows",)}, (), ("brake test",), ("Do not go by the leading gauge.",)),
        _state("cock shut", "hoses joined and a cock shut: healthy at the leading gauge, nothing beyond",
               {"heads": ("joined",), "cock handles": ("one shut",), "far gauge": ("does not move",)}, ("heads", "leading gauge"),
               ("full application, valve locked, both portions held without air", "go between protected",
                "open the empty side first", "then the live side, slowly", "brake test anew"),
               ("Do not open it from the live side first.", "Do not rely on any test made before.")),
        _state("kept shut inside", "handles open, an isolating cock or a port behind them shut",
               {"heads": ("joined",), "cock handles": ("both open",), "far gauge": ("does not move",), "hose": ("hangs free",)},
               ("cock handles", "leading gauge"),
               ("look behind: isolating cocks, ice, the mark on each handle", "brake test anew"), ("Do not run.",)),
        _state("kinked", "joined and kinked or partly stopped",
               {"heads": ("joined",), "hose": ("kinked",), "cock handles": ("both open",),
               "far gauge": ("lags", "does not move")}, ("cock handles",),
               ("part it drained, turn and join it again", "time the far gauge in the test"),
               ("Do not call a slow gauge good.",)),
        _state("not joined", "hoses apart", {"heads": ("apart",), "far gauge": ("does not move",)}, ("leading gauge",),
               ("cocks shut, hoses drained, protected", "join, then the cocks"), ("Do not hold a hose that may be live.",)),
    ),
)  # fmt: skip
JUMPER = CoupleFamily(
    "jumper",
    (
        Sign("plug", ("in the socket", "in its dummy", "hanging"), "where the plug is", 15, BETWEEN),
        Sign("latch", ("over", "not over"), "latch over the plug, by eye", 15, BETWEEN),
        Sign("tug", ("holds", "gives"), "a tug at the plug, supply off", 15, BETWEEN),
        Sign("wires", ("work", "dead"), "cab: what the jumper carries", 30),
    ),
    (
        _state("made", "in and latched", {"plug": ("in the socket",), "latch": ("over",), "tug": ("holds",), "wires": ("work",)},
               (), ("functions of the wires",), ()),
        _state("not latched", "in and not latched: everything works until it shakes out",
               {"plug": ("in the socket",), "latch": ("not over",), "tug": ("gives", "holds")}, ("wires",),
               ("supplies off", "go between protected", "press home, latch over, tug", "functions anew"),
               ("Do not touch it with a supply on.", "Do not go by functions that work.")),
        _state("not home", "latch looks over, plug not home", {"plug": ("in the socket",), "latch": ("over",), "tug": ("gives",)},
               ("latch",), ("supplies off", "go between protected", "out, look at the contacts, in again, latch, tug"),
               ("Do not touch it with a supply on.",)),
        _state("left stowed", "still in its dummy: a dummy may close a loop, which then looks whole",
               {"plug": ("in its dummy",)}, ("wires",), ("supplies off, protected", "in, latched, tug", "functions anew"), ()),
        _state("hanging", "hanging: circuits open or touching", {"plug": ("hanging",), "wires": ("dead", "work")}, (),
               ("supplies off before anybody reaches for it", "in, latched, tug"), ("Do not touch it with a supply on.",)),
    ),
)  # fmt: skip
FAMILIES: dict[str, CoupleFamily] = {family.name: family for family in (AUTOMATIC, KNUCKLE, SCREW, HOSE, JUMPER)}
