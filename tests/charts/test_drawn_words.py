"""The words on the drawings as a browser sets them: none cut off, none across another. Chromium is the judge."""

from __future__ import annotations

import json
import re
import subprocess
from html import unescape
from pathlib import Path

import pytest

from gen.base.languages import languages
from gen.base.places import data_folder
from gen.jobs.pair import pair_at
from gen.paper.charts import Chart, drawn
from gen.paper.charts.feed import feed_chart
from gen.paper.charts.measures import measures_chart
from gen.paper.charts.motion import motion_chart
from gen.paper.charts.plot import BROAD, FLAT, FULL, LOW, SMALL
from gen.paper.charts.power import power_chart
from gen.paper.charts.stick import stick_chart
from gen.power.answer import answer
from gen.power.log import LogColumns, PowerScale, read_log
from outside import outside

SHOP = data_folder("machines")
LIST = {"rapid": 4, "approach": 5, "plunge": 6, "back": 7}
"""The numbers of the ways in the list beside them."""

LOOK = """<script>
const found = {};
for (const svg of document.querySelectorAll('svg')) {
  const texts = [...svg.querySelectorAll('text')];
  const all = texts.map(text => [text.textContent, text.getBBox(), text.getAttribute('stroke')]);
  const { width, height } = svg.viewBox.baseVal;
  const bad = [];
  for (const [words, box] of all)
    if (box.x < 0 || box.y < -1 || box.x + box.width > width || box.y + box.height > height + 1)
      bad.push('cut: ' + words);
  // a wheel's number beside its ring may come close to another's
  const lines = all.filter(([, , stroke]) => !stroke);
  lines.forEach(([one, a], at) => lines.slice(at + 1).forEach(([other, b]) => {
    const wide = Math.min(a.x + a.width, b.x + b.width) - Math.max(a.x, b.x);
    const high = Math.min(a.y + a.height, b.y + b.height) - Math.max(a.y, b.y);
    if (wide > 1 && high > a.height / 3) bad.push(one + ' / ' + other);
  }));
  if (bad.length) found[svg.parentElement.id] = bad;
}
document.body.innerHTML = '<pre>' + JSON.stringify(found) + '</pre>';
</script>"""


def every(language: str) -> dict[str, Chart]:
    """Every drawing there is of the demo shop, by what it shows."""
    charts: dict[str, Chart | None] = {}
    for path in sorted(SHOP.glob("*/dress/*.toml")):
        program = pair_at(path).draft()
        charts[f"measures {path.stem}"] = measures_chart(program, language)
        for size in (FULL, SMALL):
            charts[f"feed {path.stem} {size.width:g}"] = feed_chart(program.dress, size, language)
        for size in (FULL, LOW):
            charts[f"stick {path.stem} {size.width:g}"] = stick_chart(program.dress, size, language)
        for size, numbers in ((FULL, None), (BROAD, LIST), (FLAT, LIST)):
            charts[f"motion {path.stem} {size.height:g}"] = motion_chart(program, size, language, numbers)
    for path in sorted(SHOP.glob("*/logs/*.csv")):
        log = read_log(path, LogColumns(), PowerScale("kW", None, None), "mean")
        charts[f"power {path.stem}"] = power_chart(answer(log, 2.0), "", language)
    return {name: chart for name, chart in charts.items() if chart is not None}


@pytest.mark.parametrize("language", languages())
def test_no_word_is_cut_off_or_across_another(language: str, tmp_path: Path) -> None:
    charts = every(language)
    assert len(charts) > 80
    figures = [
        f'<div id="{name}" style="width:{chart.size.width}px">{drawn(chart, language, within=f"c{number}")}</div>'
        for number, (name, chart) in enumerate(charts.items())
    ]
    page = tmp_path / "page.html"
    page.write_text(f"<!DOCTYPE html><meta charset=utf-8><body>{''.join(figures)}{LOOK}", encoding="utf-8")
    options = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking"]
    command = [outside("chromium"), *options, f"--user-data-dir={tmp_path / 'profile'}", "--dump-dom", page.as_uri()]
    dom = subprocess.run(command, check=True, capture_output=True, text=True, timeout=120).stdout
    (told,) = re.findall(r"<pre>(.*?)</pre>", dom, re.DOTALL)
    assert json.loads(unescape(told)) == {}
