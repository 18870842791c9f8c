// Melts of a search as points to choose from: each a button with its number, reached by Tab, pressed by Enter or a tap.

const HEIGHT = 330;
const FRAME = { left: 58, right: 14, top: 26, bottom: 48 };
const HIT_PX = 22; // half of what a finger needs

function ticks({ low, high }, room) {
  const raw = (high - low) / Math.max(1, room);
  const power = 10 ** Math.floor(Math.log10(raw));
  const step = power * [1, 2, 5, 10].find((factor) => factor * power >= raw);
  const list = [];
  for (let k = Math.ceil(low / step - 1e-9); k * step <= high; k += 1) list.push(k * step);
  return { list, digits: Math.max(0, -Math.floor(Math.log10(step) + 1e-9)) };
}

function axes(layer, figure, box, X, Y) {
  const across = ticks(figure.x, (box.right - box.left) / 80);
  for (const value of across.list) {
    make(layer, "line", { x1: X(value), x2: X(value), y1: box.top, y2: box.bottom, class: "grid" });
    make(layer, "text", { x: X(value), y: box.bottom + 16, class: "tick middle" }, value.toFixed(across.digits));
  }
  const up = ticks(figure.y, (box.bottom - box.top) / 48);
  for (const value of up.list) {
    make(layer, "line", { x1: box.left, x2: box.right, y1: Y(value), y2: Y(value), class: "grid" });
    make(layer, "text", { x: box.left - 6, y: Y(value) + 4, class: "tick end" }, value.toFixed(up.digits));
  }
  make(layer, "rect", { x: box.left, y: box.top, width: box.right - box.left, height: box.bottom - box.top, class: "frame" });
  make(layer, "text", { x: 2, y: box.top - 10, class: "axis strong" }, figure.y.label);
  const under = box.bottom + 38;
  make(layer, "text", { x: (box.left + box.right) / 2, y: under, class: "axis middle strong" }, figure.x.label);
  make(layer, "text", { x: box.left, y: under, class: "tick" }, `← ${figure.x.low_word}`);
  make(layer, "text", { x: box.right, y: under, class: "tick end" }, `${figure.x.high_word} →`);
}

function bars(layer, point, box, X, Y) {
  // One standard deviation either way, cut at the frame.
  const cut = (value, low, high) => Math.min(Math.max(value, low), high);
  const [left, right] = [-1, 1].map((way) => cut(X(point.x + way * point.x_sigma), box.left, box.right));
  const [low, high] = [-1, 1].map((way) => cut(Y(point.y + way * point.y_sigma), box.top, box.bottom));
  if (point.x_sigma) make(layer, "line", { x1: left, x2: right, y1: Y(point.y), y2: Y(point.y), class: "spread" });
  if (point.y_sigma) make(layer, "line", { x1: X(point.x), x2: X(point.x), y1: low, y2: high, class: "spread" });
}

function button(svg, point, chosen, at, press) {
  const classes = `choice${point.best ? " best" : ""}${point.n === chosen ? " chosen" : ""}`;
  const words = `${point.words}${point.best ? "; nothing beats it" : ""}. Put it on the page`;
  const node = make(svg, "g", { class: classes, role: "button", tabindex: "0", "aria-label": words, "data-choice": point.n + 1 });
  node.setAttribute("transform", `translate(${at.x} ${at.y})`);
  make(node, "title", {}, words);
  make(node, "circle", { r: HIT_PX, class: "hit" });
  make(node, "circle", { r: 17, class: "ring" });
  make(node, "circle", { r: 12, class: "dot" });
  make(node, "text", { y: 4.5, class: "middle number" }, String(point.n + 1));
  node.addEventListener("click", press);
  node.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" && event.key !== " ") return;
    event.preventDefault();
    press();
  });
}

function draw(host) {
  const { figure, chosen } = host.shown;
  const width = Math.max(280, Math.round(host.clientWidth));
  const box = { left: FRAME.left, right: width - FRAME.right, top: FRAME.top, bottom: HEIGHT - FRAME.bottom };
  const X = (v) => box.left + ((v - figure.x.low) / (figure.x.high - figure.x.low)) * (box.right - box.left);
  const Y = (v) => box.bottom - ((v - figure.y.low) / (figure.y.high - figure.y.low)) * (box.bottom - box.top);
  const focused = host.getRootNode().activeElement?.dataset?.choice;
  host.replaceChildren();
  const size = { width, height: HEIGHT, viewBox: `0 0 ${width} ${HEIGHT}` };
  const svg = make(host, "svg", { ...size, role: "group", "aria-label": figure.summary });
  const layer = make(svg, "g", { "aria-hidden": "true" });
  axes(layer, figure, box, X, Y);
  for (const point of figure.points) bars(layer, point, box, X, Y);
  for (const point of [...figure.points].sort((a, b) => a.best - b.best || b.n - a.n))
    button(svg, point, chosen, { x: X(point.x), y: Y(point.y) }, () => host.tell(point.n));
  if (focused) host.querySelector(`[data-choice="${focused}"]`)?.focus();
}

export default function ({ parentElement, data, setTriggerValue }) {
  const host = parentElement.querySelector(".meltwright");
  if (!host || !data) return undefined;
  host.shown = data;
  host.tell = (n) => setTriggerValue("chosen", n);
  draw(host);
  host.watcher?.disconnect();
  let width = host.clientWidth;
  host.watcher = new ResizeObserver(() => {
    if (host.clientWidth === width) return;
    width = host.clientWidth;
    draw(host);
  });
  host.watcher.observe(host);
  return () => host.watcher.disconnect();
}
