"""The page's own HTML: cards, composition table, window bars, one-line summary. Text in, text out.

Colours are mixed from the page's own text colour, so light and dark both work, and every state is told in words or by a
sign as well. Everything that comes from data or from the user is escaped. Limits: presentation only.
"""

from html import escape

from thermo.answers.window import Window
from thermo.present.page.readouts import ReadOut
from thermo.present.words.card import Card
from thermo.present.words.written import VERDICT_SIGNS, degrees, plain, pretty
from thermo.records.composition import Composition
from thermo.records.substances import metal
from thermo.records.units import celsius

STYLE = """<style>
.mw-cards{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(100%,15rem),1fr));gap:.6rem}
.mw-card{border:1px solid color-mix(in srgb,currentColor 35%,transparent);border-radius:.6rem;padding:.6rem .8rem}
.mw-card.alarm{border:3px double currentColor}
.mw-card h3{font-size:.95rem;font-weight:600;margin:0;padding:0}
.mw-card .answer{font-size:1.65rem;font-weight:700;line-height:1.25;margin:.1rem 0 .2rem}
.mw-card p,.mw-lines p{margin:0 0 .15rem;font-size:.95rem;line-height:1.4}
.mw-card .how{display:inline-block;border:1px solid color-mix(in srgb,currentColor 45%,transparent);
 border-radius:1rem;padding:0 .5rem;font-size:.82rem;margin-top:.2rem}
.mw-card .how.estimated{border-style:dashed;border-width:2px}
.mw-table{border-collapse:collapse;width:100%;max-width:28rem;font-variant-numeric:tabular-nums}
.mw-table th,.mw-table td{text-align:right;padding:.25rem .6rem;border-bottom:1px solid
 color-mix(in srgb,currentColor 25%,transparent)}
.mw-table th:first-child,.mw-table td:first-child{text-align:left}
.mw-window .track{position:relative;height:.9rem;border-left:1px solid;border-right:1px solid;margin:.1rem 0 .5rem;
 background:color-mix(in srgb,currentColor 7%,transparent)}
.mw-window .bar{position:absolute;top:0;bottom:0;background:repeating-linear-gradient(135deg,currentColor 0 2px,
 transparent 2px 7px);opacity:.75}
.mw-window .bar.free{background:color-mix(in srgb,currentColor 35%,transparent);border:2px solid;opacity:1}
.mw-window .now{position:absolute;top:-.25rem;bottom:-.25rem;width:0;border-left:3px solid currentColor}
.mw-window p{margin:0;font-size:.92rem}
.mw-window .scale{position:relative;height:1.4rem;font-size:.85rem}
.mw-window .scale span{position:absolute;transform:translateX(-50%)}
.mw-window .scale span:first-child{transform:none}.mw-window .scale span:last-child{transform:translateX(-100%)}
.mw-strip{font-weight:600;line-height:1.5}
.mw-hint{font-size:.92rem;opacity:.85}
.stMainBlockContainer{padding-top:2.2rem}
[data-testid="stSliderThumbValue"]{color:inherit}
@media(min-width:641px){.mw-strip{display:none}}
</style>"""


def cards_html(cards: tuple[Card, ...]) -> str:
    """The read-outs as a grid of cards; an alarm has a double frame and its reason in words."""
    return f'<div class="mw-cards" aria-live="polite">{"".join(_card(card) for card in cards)}</div>'


def _card(card: Card) -> str:
    details = "".join(f"<p>{escape(plain(line))}</p>" for line in card.details if line)
    how = f'<span class="how {escape(card.status)}">{escape(card.status)}</span>' if card.status else ""
    return (
        f'<section class="mw-card{" alarm" if card.alarm else ""}"><h3>{escape(card.title)}</h3>'
        f'<div class="answer">{escape(card.answer)}</div>{details}{how}</section>'
    )


def composition_html(melt: Composition) -> str:
    """Mole and mass percent side by side."""
    mass = melt.mass_percent
    rows = "".join(
        f"<tr><td>{escape(pretty(name))}</td><td>{share:.1f}</td><td>{mass[name]:.1f}</td></tr>"
        for name, share in melt.mole_percent.items()
    )
    return f'<table class="mw-table"><tr><th>salt</th><th>mol%</th><th>mass%</th></tr>{rows}</table>'


def summary_html(out: ReadOut) -> str:
    """The answers in one line, shown on narrow screens right under the diagram."""
    parts = []
    if out.liquidus is not None:
        start = out.liquidus
        from_T = f"freezes from {degrees(start.T_K, start.sigma_K)} ({pretty(start.first_solid)})"
        if out.bath is not None and out.bath.name.alumina_pct and start.known:
            fed = out.bath.liquidus
            from_T += f", with its alumina from {degrees(fed.T_K, fed.sigma_K)}"
        parts.append(from_T if start.known else "start of freezing not known")
    if out.flotation is not None and out.flotation.verdict is not None:
        name = metal(out.state.metal).name
        parts.append(f"{name} {out.flotation.state}, {VERDICT_SIGNS.get(out.flotation.verdict, out.flotation.verdict)}")
    if out.window is not None:
        parts.append(
            f"run {celsius(out.window.low_K):.0f} to {celsius(out.window.high_K):.0f} °C"
            if out.window.exists
            else out.window.words
        )
    return f'<div class="mw-strip">{escape(" · ".join(parts))}</div>'


def window_html(window: Window, t_C: float) -> str:
    """Each limit as a hatched bar over the temperatures it rules out, then the window itself as a solid bar."""
    temperatures = [t_C, *(celsius(limit.T_K) for limit in window.limits)]
    low, high = 50 * (min(temperatures) // 50) - 50, 50 * (max(temperatures) // 50) + 100

    def place(value: float) -> float:
        return 100 * (value - low) / (high - low)

    now = f'<div class="now" style="left:{place(t_C):.1f}%"></div>'
    rows = []
    for limit in sorted(window.limits, key=lambda limit: limit.T_K):
        at = place(celsius(limit.T_K))
        left, width = (0.0, at) if limit.side == "low" else (at, 100 - at)
        side = "not below" if limit.side == "low" else "not above"
        sets = " <b>◆ sets the window</b>" if limit.binding else ""
        rows.append(
            f"<p>{side} {degrees(limit.T_K)}: {escape(plain(limit.reason))}{sets}</p>"
            f'<div class="track"><div class="bar" style="left:{left:.1f}%;width:{width:.1f}%"></div>{now}</div>'
        )
    rows.append(_window_row(window, place, now))
    scale = "".join(f'<span style="left:{place(v):.1f}%">{v:.0f}</span>' for v in _scale(low, high))
    return (
        f'<div class="mw-window">{"".join(rows)}<div class="scale">{scale}</div>'
        f"<p>°C; hatched: ruled out by that limit; upright line: {t_C:.0f} °C, the working temperature</p></div>"
    )


def _window_row(window: Window, place, now: str) -> str:
    if not window.exists:
        return f'<p><b>{window.words}</b></p><div class="track">{now}</div>'
    left, right = place(celsius(window.low_K)), place(celsius(window.high_K))
    return (
        f"<p><b>the cell can run: {celsius(window.low_K):.0f} to {celsius(window.high_K):.0f} °C</b></p>"
        f'<div class="track"><div class="bar free" style="left:{left:.1f}%;width:{right - left:.1f}%"></div>{now}</div>'
    )


def _scale(low: float, high: float) -> list[float]:
    step = next(s for s in (50, 100, 200, 500, 1000) if (high - low) / s <= 6 or s == 1000)
    inner = [v for v in range(int(-(-low // step) * step), int(high) + 1, step) if low + step / 2 < v < high - step / 2]
    return [low, *inner, high]


def hint_html(*lines: str) -> str:
    """Small print that keeps enough contrast to be read, one line each."""
    return f'<div class="mw-hint">{"<br>".join(escape(line) for line in lines)}</div>'


def lines_html(lines: list[str] | tuple[str, ...]) -> str:
    """A plain list."""
    return "<ul>" + "".join(f"<li>{escape(plain(line))}</li>" for line in lines) + "</ul>"
