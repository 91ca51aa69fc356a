"""Stopped from the keyboard inside a command: said, and status 130 as shells have it."""

from __future__ import annotations

import pytest

from headstock import __main__


def test_a_command_that_was_stopped_says_so_and_ends_with_the_status_of_shells(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Typer gives 130 back without ending where it does not stand alone."""
    monkeypatch.setattr(__main__, "whole_app", lambda: lambda **_: 130)
    with pytest.raises(SystemExit) as ended:
        __main__.main()
    assert ended.value.code == 130 and capsys.readouterr().err == "stopped\n"
    monkeypatch.setattr(__main__, "whole_app", lambda: lambda **_: 0)
    __main__.main()
