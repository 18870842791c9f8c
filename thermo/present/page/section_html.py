"""HTML of the page's sections: wide tables, ranked lists, shares as bars. Text in, text out.

Tables scroll inside themselves, so that a phone's page does not; they can be reached with the keyboard for that. On a
narrow screen a table with sentences in it becomes one block a row, each cell under its column's name. Bars
carry their number as text. Everything from data or user is escaped. Limits: presentation only.
Worked value: shares_html({"NaCl": 60.0, "KCl": 40.0}) has one row a salt, the largest first.
"""

from collections.abc import Iterable, Sequence
from html import escape

from thermo.present.words.written import plain, pretty

STYLE = """<style>
.mw-scroll{overflow-x:auto;max-width:100%}
.mw-scroll:focus-visible{outline:2px solid currentColor}
.mw-scroll.tall{max-height:28rem;overflow-y:auto}
.mw-wide{border-collapse:collapse;font-variant-numeric:tabular-nums;font-size:.92rem}
.mw-wide caption{text-align:left;font-weight:600;padding:.2rem .6rem .3rem 0}
.mw-wide th,.mw-wide td{text-align:left;vertical-align:top;padding:.3rem .7rem .3rem 0;border-bottom:1px solid
 color-mix(in srgb,currentColor 25%,transparent)}
.mw-wide th,.mw-wide td{white-space:nowrap}.mw-wide td.long{white-space:normal;min-width:22rem}
.mw-wide td.longest{white-space:normal;min-width:34rem}
.mw-wide tr.strong{font-weight:650}
@media(max-width:640px){.mw-stack,.mw-stack caption,.mw-stack tbody,.mw-stack tr,.mw-stack td{display:block}
 .mw-stack tr.head,.mw-stack td:empty{display:none}
 .mw-stack tr{padding:.45rem 0;border-bottom:1px solid color-mix(in srgb,currentColor 40%,transparent)}
 .mw-stack.mw-wide td{white-space:normal;overflow-wrap:anywhere;min-width:0;border:0;padding:.08rem 0}
 .mw-stack td:first-child{font-weight:650}
 .mw-stack td:not(:first-child)::before{content:attr(data-head) ": ";opacity:.8}}
[class*="st-key-wide_"]{overflow-x:auto}
@media(max-width:640px){[class*="st-key-wide_"] :is(div,img){width:620px!important;max-width:none!important}}
.mw-ranks{padding-left:1.4rem}.mw-ranks li{margin-bottom:.7rem}.mw-ranks p{margin:.1rem 0}
.mw-shares{max-width:32rem}.mw-shares p{margin:.25rem 0 0}
.mw-shares .track{height:.8rem;border:1px solid color-mix(in srgb,currentColor 35%,transparent)}
.mw-shares .bar{height:100%;background:color-mix(in srgb,currentColor 55%,transparent)}
</style>"""

LONG, LONGEST = 34, 110  # characters from which a cell is broken into lines, and kept wide enough to be read
TALL = 25  # rows from which a table scrolls inside itself


def table_html(
    caption: str,
    header: Sequence[str],
    rows: Iterable[Sequence[str]],
    strong: Iterable[int] = (),
    downwards: bool = False,
) -> str:
    """A table with a caption; rows numbered in `strong` (from 0) are set in heavy type.

    downwards: on a narrow screen one block a row even without sentences in it.
    """
    heavy, body, rows = set(strong), [], list(rows)
    wordy = downwards or any(len(cell) > LONG for row in rows for cell in row)
    for number, row in enumerate(rows):
        heads = [f' data-head="{escape(name)}"' if wordy else "" for name in header]
        cells = "".join(
            f"<td{_width(cell)}{head}>{escape(plain(cell))}</td>" for head, cell in zip(heads, row, strict=True)
        )
        body.append(f"<tr{' class=strong' if number in heavy else ''}>{cells}</tr>")
    head = "".join(f'<th scope="col">{escape(name)}</th>' for name in header)
    tall = " tall" if len(body) > TALL else ""
    return (
        f'<div class="mw-scroll{tall}" tabindex="0" role="region" aria-label="{escape(caption)}">'
        f'<table class="mw-wide{" mw-stack" if wordy else ""}"><caption>{escape(caption)}</caption>'
        f'<tr class="head">{head}</tr>{"".join(body)}</table></div>'
    )


def _width(cell: str) -> str:
    return " class=longest" if len(cell) > LONGEST else " class=long" if len(cell) > LONG else ""


def ranks_html(entries: Iterable[tuple[str, Sequence[str]]]) -> str:
    """A numbered list: each entry a head and lines under it."""
    items = (
        f"<li><b>{escape(plain(head))}</b>{''.join(f'<p>{escape(plain(line))}</p>' for line in lines)}</li>"
        for head, lines in entries
    )
    return f'<ol class="mw-ranks">{"".join(items)}</ol>'


def shares_html(percents: dict[str, float], unit: str = "mol%") -> str:
    """Shares as bars, the largest first, each with its number."""
    rows = "".join(
        f'<p>{escape(pretty(name))} {value:.1f} {escape(unit)}</p><div class="track" aria-hidden="true">'
        f'<div class="bar" style="width:{min(max(value, 0.0), 100.0):.2f}%"></div></div>'
        for name, value in sorted(percents.items(), key=lambda entry: -entry[1])
    )
    return f'<div class="mw-shares">{rows}</div>'
