// The triangle of three salts: filled isotherms, contour lines, the lowest point, and one knob for the composition.
// Values are mole percent in the order of figure.salts: first the top corner, then bottom left, then bottom right.

const TRIANGLE_REST_PX = 416; // what a wide page has above and below the triangle's own area
const CHOICE_PX = 152; // what the choice of corners and a second row of amounts take
const NARROW_PX = 480; // below this the plate stands over the triangle, in two lines
const GRID_PERCENT = 0.5;
const ARROWS_ALL = "M-3,-5 L0,-8 L3,-5 M-3,5 L0,8 L3,5 M-5,-3 L-8,0 L-5,3 M5,-3 L8,0 L5,3";

function onGrid(shares) {
  // Nearest point of the 0.5 % grid: whole steps that sum to exactly 100 %.
  const steps = shares.map((share) => Math.round(Math.max(0, share) / GRID_PERCENT));
  const total = Math.round(100 / GRID_PERCENT);
  const largest = steps.indexOf(Math.max(...steps));
  steps[largest] += total - steps.reduce((sum, step) => sum + step, 0);
  return steps.map((step) => step * GRID_PERCENT);
}

function towards(shares, gains) {
  // Moves whole grid steps between salts; a salt that has run out gives its part to the other one's loss.
  const total = Math.round(100 / GRID_PERCENT);
  const steps = onGrid(shares).map((share, i) => Math.round(share / GRID_PERCENT) + gains[i]);
  for (let i = 0; i < 3; i += 1)
    if (steps[i] < 0) {
      const others = [0, 1, 2].filter((k) => k !== i).sort((a, b) => gains[a] - gains[b]);
      steps[others[0]] += steps[i];
      steps[i] = 0;
    }
  return steps.some((step) => step < 0 || step > total) ? null : steps.map((step) => step * GRID_PERCENT);
}

const KEY_GAINS = {
  ArrowUp: [2, -1, -1], ArrowDown: [-2, 1, 1], ArrowRight: [0, -1, 1], ArrowLeft: [0, 1, -1],
  PageUp: [10, -5, -5], PageDown: [-10, 5, 5], End: [0, -10, 10], Home: [0, 10, -10],
};

function lensAt(shares, zoom) {
  // The part of the triangle that a zoom shows: least percent of each salt, so that the knob stands near its middle.
  const room = 100 - 100 / zoom;
  const least = shares.map((share) => Math.max(0, share - 100 / (3 * zoom)));
  for (let k = 0; k < 3; k += 1) {
    const over = least[0] + least[1] + least[2] - room;
    least[k] -= Math.min(least[k], Math.max(0, over));
  }
  return {
    zoom,
    least,
    local: (whole) => whole.map((share, i) => (share - least[i]) * zoom),
    whole: (local) => local.map((share, i) => least[i] + share / zoom),
    inside: (whole) => whole.every((share, i) => (share - least[i]) * zoom > -0.6),
  };
}

function drawTriangle(layer, figure, width, view) {
  const lens = lensAt(view.values.shares, view.zoom);
  const rest = TRIANGLE_REST_PX + (figure.held ? CHOICE_PX : 0);
  const side = Math.min(width - 68, 900, (heightLeft(rest) * 2) / Math.sqrt(3));
  const narrow = width < NARROW_PX;
  const rise = (side * Math.sqrt(3)) / 2;
  const top = { x: width / 2, y: narrow ? 34 + 46 : 34 };
  const corners = [top, { x: width / 2 - side / 2, y: top.y + rise }, { x: width / 2 + side / 2, y: top.y + rise }];
  const at = (shares) => {
    const local = lens.local(shares);
    return {
      x: local.reduce((sum, share, i) => sum + (share / 100) * corners[i].x, 0),
      y: local.reduce((sum, share, i) => sum + (share / 100) * corners[i].y, 0),
    };
  };
  const clipName = `triangle-${figure.id}`;
  const clip = make(make(layer, "defs"), "clipPath", { id: clipName });
  make(clip, "path", { d: `M${corners.map(({ x, y }) => `${x},${y}`).join("L")}Z` });
  const map = make(layer, "g", { "clip-path": `url(#${clipName})` });
  // Lines come as [second %, third %], which is half the text of three shares.
  const xy = ([second, third]) => {
    const point = at([100 - second - third, second, third]);
    return [point.x, point.y];
  };
  for (const fill of figure.fills)
    make(map, "path", { d: fill.rings.map((ring) => `${path(ring.map(xy))}Z`).join(""), fill: fill.colour, class: "fill" });
  drawTriangleGrid(layer, lens, at);
  for (const contour of figure.contours) {
    make(map, "path", { d: path(contour.points.map(xy)), class: "contour", stroke: contour.ink });
  }
  for (const look of ["border halo-line", "border"])
    for (const border of figure.borders) make(map, "path", { d: path(border.map(xy)), class: look });
  const taken = tickPlaces(lens, at);
  const place = (x, y, text, look) => {
    // Writes unless something is written there already.
    const half = 4.2 * text.length + 4;
    if (y < top.y - 4 || y > top.y + rise || Math.abs(x - top.x) > (y - top.y + 12) / Math.sqrt(3)) return false;
    if (taken.some((other) => Math.abs(other.x - x) < other.half + half && Math.abs(other.y - y) < 18)) return false;
    taken.push({ x, y, half });
    make(layer, "text", { x, y: y + 4, class: `note middle halo ${look}` }, text);
    return true;
  };
  make(layer, "path", { d: `M${corners.map(({ x, y }) => `${x},${y}`).join("L")}Z`, class: "frame heavy" });
  if (figure.lowest && lens.inside(figure.lowest.at)) drawLowest(layer, figure, at, place);
  const published = figure.published.filter((melt) => lens.inside(melt.at));
  drawPublished(layer, published, at, place);
  for (const region of figure.regions) {
    if (!lens.inside(region.at)) continue;
    const { x, y } = at(region.at);
    place(x, y, region.label, "strong");
  }
  for (const { points, label } of figure.contours)
    if (points.length > 7)
      [0.5, 0.3, 0.7, 0.15, 0.85].some((part) => place(...xy(points[Math.floor(points.length * part)]), label, "small"));
  const [a, b, c] = figure.names.map((name) => (lens.zoom > 1 ? `more ${name}` : name));
  make(layer, "text", { x: corners[0].x, y: corners[0].y - 14, class: "axis strong middle" }, a);
  make(layer, "text", { x: corners[1].x - 30, y: corners[1].y + 18, class: "axis strong" }, b);
  make(layer, "text", { x: corners[2].x + 30, y: corners[2].y + 18, class: "axis strong end" }, c);
  const height = drawLegend(layer, figure, corners[1].y + 28, width);
  const area = make(layer, "path", { d: `M${corners.map(({ x, y }) => `${x},${y}`).join("L")}Z`, class: "tap" });
  askPublished(layer, published, at);
  const handle = trianglePoint(figure, corners, at, width, lens);
  const buttons = zoomButtons(view, width);
  return { height, handles: [handle], tap: { area, handle }, buttons, outside: ({ shares }) => !lens.inside(shares) };
}

function zoomButtons(view, width) {
  const to = (zoom) => () => {
    view.zoom = zoom;
    view.draw();
  };
  const y = width < 350 ? 72 : 24; // on the narrowest screens under the plate
  return [
    { x: width - 70, y, sign: "M-8,0H8", title: "Show more of the triangle", press: to(view.zoom / 2), off: view.zoom <= 1 },
    { x: width - 23, y, sign: "M-8,0H8M0,-8V8", title: "Zoom in on the knob", press: to(view.zoom * 2), off: view.zoom >= 8 },
  ];
}

function tickPlaces(lens, at) {
  // Where the percentages stand along the edges: no other label may cover them.
  const places = [];
  for (const share of [20, 40, 60, 80])
    for (const [shares, dx, dy] of [[[share, 0, 100 - share], 14, 0], [[100 - share, share, 0], -14, 0], [[0, 100 - share, share], 0, 13]]) {
      const { x, y } = at(lens.whole(shares));
      places.push({ x: x + dx, y: y + dy, half: 11 });
    }
  return places;
}

function drawTriangleGrid(layer, lens, at) {
  const written = (salt, share) => (lens.least[salt] + share / lens.zoom).toFixed(lens.zoom > 1 ? 1 : 0);
  for (const share of [20, 40, 60, 80]) {
    const rest = 100 - share;
    const lines = [[[share, rest, 0], [share, 0, rest]], [[rest, share, 0], [0, share, rest]], [[rest, 0, share], [0, rest, share]]];
    for (const [from, to] of lines) {
      const p = at(lens.whole(from));
      const q = at(lens.whole(to));
      make(layer, "line", { x1: p.x, y1: p.y, x2: q.x, y2: q.y, class: "grid over" });
    }
    // Percent of the top salt on the right edge, of the left salt on the left edge, of the right salt along the foot.
    const right = at(lens.whole([share, 0, rest]));
    make(layer, "text", { x: right.x + 7, y: right.y + 4, class: "tick" }, written(0, share));
    const left = at(lens.whole([rest, share, 0]));
    make(layer, "text", { x: left.x - 7, y: left.y + 4, class: "tick end" }, written(1, share));
    const foot = at(lens.whole([0, rest, share]));
    make(layer, "text", { x: foot.x, y: foot.y + 17, class: "tick middle" }, written(2, share));
  }
}

function drawLowest(layer, figure, at, place) {
  if (!figure.lowest) return; // unknown
  const { x, y } = at(figure.lowest.at);
  make(layer, "path", { d: `M${x},${y - 7}L${x + 7},${y}L${x},${y + 7}L${x - 7},${y}Z`, class: "mark" });
  place(x, y, "◆", "hidden");
  place(x, y + 19, figure.lowest.label, "strong");
}

function drawNear(guide, { near, shares }, lens, at) {
  // The coldest melt within 3 mol% of the knob, until the knob has left the place that the page answered for.
  if (!near || !lens.inside(near) || near.some((share, i) => Math.abs(share - shares[i]) > 3 + GRID_PERCENT)) return;
  const { x, y } = at(near);
  const mark = make(guide, "path", { d: `M${x - 6},${y - 5}H${x + 6}L${x},${y + 6}Z`, class: "mark near" });
  make(mark, "title", {}, "coldest melt within 3 mol%");
}

function drawPublished(layer, published, at, place) {
  // Melts that were measured: hollow circles with their temperature, where there is room to write it.
  for (const melt of published) {
    const { x, y } = at(melt.at);
    make(layer, "circle", { cx: x, cy: y, r: 4, class: "measured" });
    [[0, -13], [0, 13], [19, 0], [-19, 0]].some(([dx, dy]) => place(x + dx, y + dy, melt.label, "small"));
  }
}

function askPublished(layer, published, at) {
  // A tap on a published melt writes its source in place of the legend's line; a pointer that rests on it shows it too.
  for (const melt of published) {
    const { x, y } = at(melt.at);
    const ask = make(layer, "circle", { cx: x, cy: y, r: 12, class: "ask" });
    make(ask, "title", {}, melt.source);
    ask.addEventListener("click", () => {
      layer.querySelector(".legend-line").textContent = `published: ${melt.source}`;
    });
  }
}

function drawLegend(layer, figure, top, width) {
  const span = Math.min(width - 40, 420);
  const left = (width - span) / 2;
  const cell = span / figure.legend.length;
  figure.legend.forEach(({ colour, label }, i) => {
    make(layer, "rect", { x: left + i * cell, y: top, width: cell, height: 12, fill: colour, class: "swatch" });
    const every = Math.ceil(46 / cell);
    if (label && i % every === 0)
      make(layer, "text", { x: left + i * cell, y: top + 27, class: "tick middle" }, label);
  });
  make(layer, "text", { x: width / 2, y: top + 43, class: "small middle legend-line" }, figure.legend_label);
  return top + 48;
}

function trianglePoint(figure, corners, at, width, lens) {
  const [a, b, c] = corners;
  const percent = (share) => share.toFixed(1);
  const words = (shares) => figure.names.map((name, i) => `${name} ${percent(shares[i])}`);
  return {
    name: "shares",
    title: `Composition in mole percent of ${figure.names.join(", ")}`,
    orientation: "horizontal",
    arrows: ARROWS_ALL,
    area: { left: 2, right: width - 2, top: 0, bottom: b.y },
    position: (values) => at(values.shares),
    valueAt: ({ x, y }) => {
      const first = (b.y - y) / (b.y - a.y);
      const third = (x - b.x - first * (a.x - b.x)) / (c.x - b.x);
      const shares = [first, 1 - first - third, third].map((share) => Math.max(0, share));
      const total = shares[0] + shares[1] + shares[2];
      return { shares: onGrid(lens.whole(shares.map((share) => (100 * share) / total))) };
    },
    step: (key, values) => {
      if (!(key in KEY_GAINS)) return null;
      const gains = KEY_GAINS[key];
      const small = gains.map((gain) => Math.sign(gain) * Math.ceil(Math.abs(gain) / 5)); // near an edge: a fifth
      return { shares: towards(values.shares, gains) || towards(values.shares, small) || onGrid(values.shares) };
    },
    aria: (values) => ({
      low: 0, high: 100, now: Number(percent(values.shares[0])), text: `${words(values.shares).join(", ")} mole percent`,
    }),
    plate: () => ({ x: 2, y: 2, left: true }),
    lines: (values, spoken) => {
      const unit = figure.held ? "% of these" : "mol%";
      const parts = words(values.shares);
      if (width < NARROW_PX) return [parts.join("  "), `${unit}; ${spoken || "…"}`];
      return [...parts, unit, spoken || "…"];
    },
    trace: (guide, values, { x, y }) => {
      // One line to each edge whose length shows that salt's share.
      const [p, q, r] = lens.local(values.shares);
      const feet = [[0, q + p / 2, r + p / 2], [p + q / 2, 0, r + q / 2], [p + r / 2, q + r / 2, 0]];
      for (const foot of feet) {
        const end = at(lens.whole(foot));
        for (const look of ["guide thin halo-line", "guide thin"])
          make(guide, "line", { x1: x, y1: y, x2: end.x, y2: end.y, class: look });
      }
      drawNear(guide, values, lens, at);
    },
  };
}
