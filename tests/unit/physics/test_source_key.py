"""The doorway to compiled code: no edit of a source file can leave stale machine code in use."""

from __future__ import annotations

import shutil
from pathlib import Path

from headstock.physics import _source_key


def test_an_edit_of_any_source_file_makes_another_key(tmp_path: Path) -> None:
    here = Path(_source_key.__file__).parent
    for path in here.glob("*.py"):
        shutil.copy(path, tmp_path)
    first = _source_key.source_key(tmp_path)
    assert first == _source_key.source_key(here), "the key hangs on nothing but names and content"
    keys = {first}
    for path in sorted(tmp_path.glob("*.py")):
        path.write_text(path.read_text(encoding="utf-8") + "# one more line\n", encoding="utf-8")
        keys.add(_source_key.source_key(tmp_path))
    assert len(keys) == 1 + len(list(tmp_path.glob("*.py")))


def test_another_name_for_the_same_content_makes_another_key(tmp_path: Path) -> None:
    (tmp_path / "a.py").write_text("x = 1\n", encoding="utf-8")
    first = _source_key.source_key(tmp_path)
    (tmp_path / "a.py").rename(tmp_path / "b.py")
    assert _source_key.source_key(tmp_path) != first
