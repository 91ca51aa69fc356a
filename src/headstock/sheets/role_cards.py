"""Setting the pocket cards: two sides of 74 by 105 mm beside one another, to cut out and fold; two roles a page."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from headstock.sheets.card_content import CardsContent, RoleCard
from headstock.sheets.setting import as_pdf
from headstock.sheets.svg import end_svg


def render_role_cards(content: CardsContent) -> bytes:
    """The cards as PDF, tagged (PDF/UA-1). Same content, same bytes."""
    data = {key: value for key, value in asdict(content).items() if key != "cards"}
    data["cards"] = [_card_data(card) for card in content.cards]
    drawings = {f"done-{card.letter}.svg": end_svg(card.done.marks) for card in content.cards if card.done is not None}
    return as_pdf("role_cards.typ", data, drawings)


def _card_data(card: RoleCard) -> dict[str, Any]:
    data = {key: value for key, value in asdict(card).items() if key != "done"}
    done = card.done
    data["done"] = None if done is None else {"title": done.title, "caption": done.caption}
    return data
