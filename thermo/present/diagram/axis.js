// The slim temperature axis: bands for frozen melt and running cell, ticks for the metal, one knob to drag.

const AXIS_HEIGHT = 112;
const TRACK = { top: 26, bottom: 54 };

function drawBand(layer, band, X, right, best) {
  const x = X(band.from);
  const width = Math.min(X(band.to), right) - x;
  if (width <= 0) return;
  // The knob mostly stands in the best part of the window: words go where it does not.
  let [from, to] = [x, x + width];
  if (band.look === "window" && best) {
    const [left, after] = [X(best.from) - 12, X(best.to) + 12];
    if (to - after >= left - from) from = Math.max(from, after);
    else to = Math.min(to, left);
  }
  const room = to - from;
  const height = TRACK.bottom - TRACK.top;
  make(layer, "rect", { x, y: TRACK.top, width, height, class: `axis-band ${band.look}` });
  if (band.look === "frozen") {
    for (let at = x + 6; at < x + width; at += 9)
      make(layer, "line", { x1: at, x2: Math.max(at - 12, x), y1: TRACK.top, y2: TRACK.bottom, class: "hatch" });
  }
  const text = make(layer, "text", { x: (from + to) / 2, y: TRACK.top + 19, class: "note strong middle" }, band.label);
  const needed = text.getComputedTextLength() || 7 * band.label.length;
  const knob = band.look === "best" ? 56 : 0;
  if (needed > room - 8 - knob) {
    text.textContent = band.look === "frozen" ? "frozen" : "runs";
    if ((text.getComputedTextLength() || 40) > room - 8 - knob) text.remove();
  }
}

function drawAxis(layer, figure, width) {
  const frame = { left: 16, right: width - 16 };
  const { low, high } = figure.x;
  const X = (v) => frame.left + ((v - low) / (high - low)) * (frame.right - frame.left);
  const height = TRACK.bottom - TRACK.top;
  make(layer, "rect", { x: frame.left, y: TRACK.top, width: frame.right - frame.left, height, class: "axis-track" });
  const best = figure.bands.find((band) => band.look === "best");
  for (const band of figure.bands) drawBand(layer, band, X, frame.right, best);
  make(layer, "rect", { x: frame.left, y: TRACK.top, width: frame.right - frame.left, height, class: "frame" });
  const scale = ticks(figure.x, (frame.right - frame.left) / 70);
  for (const value of scale.list) {
    make(layer, "line", { x1: X(value), x2: X(value), y1: TRACK.bottom, y2: TRACK.bottom + 5, class: "rule plain" });
    make(layer, "text", { x: X(value), y: TRACK.bottom + 19, class: "tick middle" }, value.toFixed(0));
  }
  let free = -Infinity;
  let row = 0;
  for (const mark of figure.marks) {
    const x = X(mark.at);
    make(layer, "line", { x1: x, x2: x, y1: TRACK.top - 5, y2: TRACK.bottom + 5, class: "rule metal" });
    const words = mark.beyond ? `${mark.label} ▸` : mark.label;
    const text = make(layer, "text", { y: 0, class: "note metal-note" }, words);
    const length = text.getComputedTextLength() || 7 * words.length;
    const left = clamp(x - length / 2, frame.left, frame.right - length);
    row = left < free ? row + 1 : 0;
    text.setAttribute("x", left);
    text.setAttribute("y", TRACK.bottom + 36 + 16 * row);
    free = left + length + 8;
  }
  const area = make(layer, "rect", { x: frame.left, y: TRACK.top, width: frame.right - frame.left, height, class: "tap" });
  const handle = temperaturePoint(figure.handles[0], X, frame, figure.x);
  return { height: AXIS_HEIGHT, handles: [handle], tap: { area, handle } };
}

function temperaturePoint(spec, X, frame, axis) {
  const limit = (value) => ({ t_C: Number(clamp(snap(value, spec.step), spec.low, spec.high).toFixed(4)) });
  const shown = (values) => clamp(values.t_C, axis.low, axis.high);
  const at = (values) => ({ x: X(shown(values)), y: (TRACK.top + TRACK.bottom) / 2 });
  return {
    name: "t_C",
    axis: "x",
    title: spec.title,
    orientation: "horizontal",
    arrows: ARROWS_X,
    area: { left: 2, right: frame.right + 14, top: 0, bottom: AXIS_HEIGHT },
    position: at,
    plate: (point) => ({ x: point.x, y: 0 }),
    valueAt: ({ x }) =>
      limit(axis.low + ((clamp(x, frame.left, frame.right) - frame.left) / (frame.right - frame.left)) * (axis.high - axis.low)),
    step: (key, values) => {
      const moves = {
        ArrowRight: spec.step, ArrowUp: spec.step, ArrowLeft: -spec.step, ArrowDown: -spec.step,
        PageUp: spec.page, PageDown: -spec.page, Home: -1e9, End: 1e9,
      };
      return key in moves ? limit(values.t_C + moves[key]) : null;
    },
    aria: (values) => ({ low: spec.low, high: spec.high, now: Math.round(values.t_C), text: `${values.t_C.toFixed(0)} °C` }),
    lines: (values) => [`${Number(values.t_C.toFixed(1))} °C`],
    trace: () => {},
  };
}

const DRAWN = { axis: drawAxis, chart: drawChart, shares: drawShares, triangle: drawTriangle };
