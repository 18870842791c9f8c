// A chart of curves with bands, marks and rules, and knobs that slide along x or y (pair diagram, density chart).

const REST_PX = 318; // what stands above and below the diagram on a wide page
const ARROWS_X = "M-3.5,-4 L-8,0 L-3.5,4 M3.5,-4 L8,0 L3.5,4";
const ARROWS_Y = "M-4,-3.5 L0,-8 L4,-3.5 M-4,3.5 L0,8 L4,3.5";

function niceStep(span, room) {
  // A step of 1, 2 or 5 times a power of ten that leaves about `room` steps in `span`.
  const raw = span / Math.max(1, room);
  const power = 10 ** Math.floor(Math.log10(raw));
  return power * ([1, 2, 5, 10].find((factor) => factor * power >= raw) || 10);
}

function ticks(axis, room) {
  const step = niceStep(axis.high - axis.low, room);
  const list = [];
  for (let k = Math.ceil(axis.low / step - 1e-9); k * step <= axis.high + 1e-9 * step; k += 1) list.push(k * step);
  return { list, digits: Math.max(0, -Math.floor(Math.log10(step) + 1e-9)) };
}

const path = (points) => points.map(([x, y], i) => `${i ? "L" : "M"}${x.toFixed(1)},${y.toFixed(1)}`).join("");

function drawAxes(layer, figure, frame, X, Y) {
  const { left, right, top, bottom } = frame;
  const across = ticks(figure.x, (right - left) / 62);
  for (const value of across.list) {
    make(layer, "line", { x1: X(value), x2: X(value), y1: top, y2: bottom, class: "grid" });
    make(layer, "text", { x: X(value), y: bottom + frame.strip + 17, class: "tick middle" }, value.toFixed(across.digits));
  }
  const up = ticks(figure.y, (bottom - top) / 48);
  for (const value of up.list) {
    make(layer, "line", { x1: left, x2: right, y1: Y(value), y2: Y(value), class: "grid" });
    make(layer, "text", { x: left - 6, y: Y(value) + 4, class: "tick end" }, value.toFixed(up.digits));
  }
  make(layer, "rect", { x: left, y: top, width: right - left, height: bottom - top, class: "frame" });
  make(layer, "text", { x: 2, y: top - 8, class: "axis" }, figure.y.label);
  const under = bottom + frame.strip + 37;
  make(layer, "text", { x: (left + right) / 2, y: under, class: "axis middle" }, figure.x.label);
  if (figure.x.first) make(layer, "text", { x: left, y: under, class: "axis strong" }, figure.x.first);
  if (figure.x.last) make(layer, "text", { x: right, y: under, class: "axis strong end" }, figure.x.last);
}

function drawStrip(layer, figure, frame, X) {
  // Under the plot: which solid comes first, over which span. A name too wide for its span is left to the list below.
  figure.strip.forEach(({ from, to, label }, i) => {
    const x = X(from);
    const width = X(to) - x;
    const y = frame.bottom;
    make(layer, "rect", { x, y, width, height: frame.strip, class: i % 2 ? "strip odd" : "strip" });
    const text = make(layer, "text", { x: x + width / 2, y: y + 16, class: "tick middle strong" }, label);
    if ((text.getComputedTextLength() || 7 * label.length) > width - 4) text.remove();
  });
}

function drawRules(layer, figure, frame, X, Y) {
  (figure.rules || []).forEach((rule, i) => {
    const upright = rule.axis === "x";
    const at = upright ? X(rule.at) : Y(rule.at);
    const ends = upright
      ? { x1: at, x2: at, y1: frame.top, y2: frame.bottom }
      : { x1: frame.left, x2: frame.right, y1: at, y2: at };
    make(layer, "line", { ...ends, class: "rule" });
    const nearRight = upright && at > (frame.left + frame.right) / 2;
    const reach = frame.left + 20 + 7 * rule.label.length;
    const covered = (figure.marks || []).some((mark) => X(mark.x) < reach && Math.abs(Y(mark.y) - at) < 24);
    const place = upright
      ? { x: at + (nearRight ? -5 : 5), y: frame.bottom - 8 - 17 * i, class: nearRight ? "note end" : "note" }
      : { x: covered ? frame.right - 6 : frame.left + 6, y: at - 5, class: covered ? "note end" : "note" };
    make(layer, "text", place, rule.label);
  });
}

function knownRuns(curve) {
  // Stretches of a curve whose y is known: [[x, y, sigma], ...] each; a line with null in it is left open there.
  const runs = [[]];
  curve.points.forEach(([x, y], i) => {
    if (y !== null) runs[runs.length - 1].push([x, y, curve.sigma ? curve.sigma[i] : 0]);
    else if (runs[runs.length - 1].length) runs.push([]);
  });
  return runs.filter((run) => run.length);
}

function drawCurves(layer, figure, frame, X, Y) {
  for (const curve of figure.curves) {
    for (const run of knownRuns(curve)) {
      if (curve.sigma) {
        const upper = run.map(([x, y, sigma]) => [X(x), Y(y + sigma)]);
        const lower = run.map(([x, y, sigma]) => [X(x), Y(y - sigma)]).reverse();
        const band = `${path([...upper, ...lower])}Z`;
        make(layer, "path", { d: band, class: `band ${curve.look}`, "clip-path": frame.clip });
      }
      const d = path(run.map(([x, y]) => [X(x), Y(y)]));
      make(layer, "path", { d, class: `curve ${curve.look}`, "clip-path": frame.clip });
    }
  }
  drawKey(layer, figure.curves.filter((curve) => curve.label), frame);
}

function drawKey(layer, curves, frame) {
  // Which line is which, under the axis where nothing else can cover it: the first at the left, the second at the right.
  curves.forEach((curve, i) => {
    const y = frame.bottom + frame.strip + 37;
    const [start, sign] = i ? [frame.right, -1] : [frame.left, 1];
    make(layer, "path", { d: `M${start},${y - 4}L${start + sign * 30},${y - 4}`, class: `curve ${curve.look}` });
    make(layer, "text", { x: start + sign * 36, y, class: i ? "axis strong end" : "axis strong" }, curve.label);
  });
}

function drawDiamond(layer, x, y, r) {
  make(layer, "path", { d: `M${x},${y - r}L${x + r},${y}L${x},${y + r}L${x - r},${y}Z`, class: "mark" });
}

function drawNumbers(layer, marks, frame, X, Y) {
  // A number goes inside its mark; marks that would cover one another are small and share a line of numbers below,
  // or above where the plot ends.
  const groups = [];
  for (const { x, y, label } of marks.map((mark) => ({ x: X(mark.x), y: Y(mark.y), label: mark.label }))) {
    const group = groups[groups.length - 1];
    const last = group?.[group.length - 1];
    if (last && Math.abs(x - last.x) < 20 && Math.abs(y - last.y) < 20) group.push({ x, y, label });
    else groups.push([{ x, y, label }]);
  }
  for (const group of groups) {
    const alone = group.length === 1;
    for (const { x, y } of group) drawDiamond(layer, x, y, alone ? 10 : 5);
    const x = (group[0].x + group[group.length - 1].x) / 2;
    const heights = group.map((mark) => mark.y);
    const under = Math.max(...heights) + 20;
    const y = alone ? group[0].y + 4 : under < frame.bottom - 4 ? under : Math.min(...heights) - 10;
    const words = group.map((mark) => mark.label).join(", ");
    make(layer, "text", { x, y, class: alone ? "small strong middle" : "note strong middle" }, words);
  }
}

function drawMarks(layer, figure, frame, X, Y) {
  // A longer label goes under its mark, one line further down where another one stands already.
  const rows = [];
  const marks = figure.marks || [];
  drawNumbers(layer, marks.filter((mark) => mark.label.length < 3), frame, X, Y);
  for (const mark of marks.filter(({ label }) => label.length > 2)) {
    const x = X(mark.x);
    const y = Y(mark.y);
    drawDiamond(layer, x, y, 6);
    const row = rows.filter((other) => Math.abs(other - x) < 150).length;
    rows.push(x);
    const side = x > frame.right - 90 ? "end" : x < frame.left + 90 ? "" : "middle";
    make(layer, "text", { x, y: Math.min(y + 22 + 16 * row, frame.bottom - 40), class: `note ${side}` }, mark.label);
  }
}

function drawChart(layer, figure, width) {
  const slides = (axis) => figure.handles.some((handle) => handle.axis === axis);
  const strip = figure.strip ? 24 : 0;
  const most = figure.height || Math.min(720, heightLeft(REST_PX));
  const height = Math.round(clamp(width * 0.78, 280, most));
  const top = slides("x") && figure.curves[0]?.look === "liquidus" ? 52 : 48;
  const frame = { left: 44, right: width - (slides("y") ? 46 : 14), top, bottom: height - 46 - strip, strip };
  const X = (v) => frame.left + ((v - figure.x.low) / (figure.x.high - figure.x.low)) * (frame.right - frame.left);
  const Y = (v) => frame.bottom - ((v - figure.y.low) / (figure.y.high - figure.y.low)) * (frame.bottom - frame.top);
  const unX = (px) => figure.x.low + ((px - frame.left) / (frame.right - frame.left)) * (figure.x.high - figure.x.low);
  const unY = (py) => figure.y.low + ((frame.bottom - py) / (frame.bottom - frame.top)) * (figure.y.high - figure.y.low);
  const clipName = `plot-${figure.id}`;
  const clip = make(make(layer, "defs"), "clipPath", { id: clipName });
  make(clip, "rect", { x: frame.left, y: frame.top, width: frame.right - frame.left, height: frame.bottom - frame.top });
  frame.clip = `url(#${clipName})`;
  drawAxes(layer, figure, frame, X, Y);
  if (figure.strip) drawStrip(layer, figure, frame, X);
  drawCurves(layer, figure, frame, X, Y);
  drawRules(layer, figure, frame, X, Y);
  drawMarks(layer, figure, frame, X, Y);
  const area = make(layer, "rect", {
    x: frame.left, y: frame.top, width: frame.right - frame.left, height: frame.bottom - frame.top, class: "tap",
  });
  const handles = figure.handles.map((spec) => slider(spec, figure, frame, { X, Y, unX, unY }));
  const first = handles.find((handle) => handle.axis === "x");
  return { height, handles, tap: first && { area, handle: first } };
}

function slider(spec, figure, frame, scale) {
  const { X, Y, unX, unY } = scale;
  const along = spec.axis === "x";
  const ride = along ? figure.curves[spec.ride] : null;
  const limit = (value) => ({ [spec.name]: Number(clamp(snap(value, spec.step), spec.low, spec.high).toFixed(4)) });
  const read = (i, at) => interpolate(figure.curves[i].points, at);
  const say = (value, at) =>
    spec.words.map((words) => {
      if ([...words.matchAll(/\{curve(\d)/g)].some(([, i]) => read(i, at) === null)) return spec.unknown;
      return words
        .replace("{value}", value.toFixed(spec.digits))
        .replace("{rest}", (100 - value).toFixed(spec.digits))
        .replace(/\{curve(\d)\.(\d)\}/g, (_, i, digits) => read(i, at).toFixed(digits));
    });
  const knobY = (value) => {
    const y = interpolate(ride.points, value);
    return y === null ? frame.bottom : clamp(Y(y), frame.top, frame.bottom); // nowhere to ride: on the axis
  };
  return {
    name: spec.name,
    axis: spec.axis,
    title: spec.title,
    orientation: along ? "horizontal" : "vertical",
    arrows: along ? ARROWS_X : ARROWS_Y,
    area: { left: 2, right: frame.right, top: frame.top - 24, bottom: frame.bottom },
    position: (values) => {
      const value = clamp(values[spec.name], figure[spec.axis].low, figure[spec.axis].high);
      return along ? { x: X(value), y: knobY(value) } : { x: frame.right + 23, y: Y(value) };
    },
    valueAt: (at) => limit(clamp(along ? unX(at.x) : unY(at.y), figure[spec.axis].low, figure[spec.axis].high)),
    step: (key, values) => {
      const moves = {
        ArrowRight: spec.step, ArrowUp: spec.step, ArrowLeft: -spec.step, ArrowDown: -spec.step,
        PageUp: spec.page, PageDown: -spec.page, Home: -1e9, End: 1e9,
      };
      return key in moves ? limit(clamp(values[spec.name] + moves[key], spec.low, spec.high)) : null;
    },
    aria: (values) => {
      const value = values[spec.name];
      return { low: spec.low, high: spec.high, now: Number(value.toFixed(spec.digits)), text: say(value, value).join(", ") };
    },
    plate: () => ({ x: 2, y: 4, left: true }),
    lines: (values, spoken) => {
      if (!along) return [];
      const words = say(values[spec.name], values[spec.name]);
      return [(spec.name === "x" && spoken ? [words[0], spoken] : words).join(" · ")]; // while it moves, as drawn
    },
    trace: (guide, values, at) => {
      if (along) {
        make(guide, "line", { x1: at.x, x2: at.x, y1: frame.top, y2: frame.bottom, class: "guide" });
        return;
      }
      make(guide, "line", { x1: frame.left, x2: frame.right + 8, y1: at.y, y2: at.y, class: "guide" });
      const above = at.y - 6 > frame.top + 12;
      make(guide, "text", { x: frame.right - 5, y: above ? at.y - 6 : at.y + 16, class: "note end strong" },
        say(values[spec.name], 0).join(" "));
    },
  };
}
