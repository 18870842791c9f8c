// The draggable diagram: protocol with the server, pointer and keyboard. The drawings are in chart.js,
// triangle.js and shares.js, the temperature axis in axis.js; component.py joins the files into one module.
//
// Protocol. The page sends {figure, values, seq, session, spoken}; a move sends back {seq, changes}. The server echoes
// the seq it has seen. An echo older than the newest local move, or one that comes during a drag, would pull the knob
// back under the user's hand, so it is ignored; the answer to the last move always arrives and is taken.

const SEND_EVERY_MS = 120;
const HIT_RADIUS_PX = 22.5; // 45 px across: a gloved fingertip
const PLATE_LINE_PX = 18;
const WIDE_PX = 900; // from here on drawing and answers stand side by side, and the drawing fits the window's height
const NARROWEST = 120; // px: below this nothing can be drawn, and a page being laid out passes through such widths

const clamp = (value, low, high) => Math.min(high, Math.max(low, value));
const snap = (value, step) => Math.round(value / step) * step;

function interpolate(points, x) {
  // y on a polyline [[x, y], ...] with rising x; two points at one x are a jump, and the later one counts. null where
  // y is not known on either side.
  let low = 0;
  let high = points.length - 1;
  if (x <= points[0][0]) return points[0][1];
  if (x >= points[high][0]) return points[high][1];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (points[middle][0] <= x) low = middle;
    else high = middle;
  }
  const [x0, y0] = points[low];
  const [x1, y1] = points[high];
  if (x === x0) return y0;
  if (y0 === null || y1 === null) return null;
  return x1 === x0 ? y1 : y0 + ((y1 - y0) * (x - x0)) / (x1 - x0);
}

// Pixels of height a drawing may take in a wide window, where `rest` is taken by what stands above and below it.
const heightLeft = (rest) => (window.innerWidth >= WIDE_PX ? Math.max(250, window.innerHeight - rest) : 1e4);

class View {
  constructor(host) {
    this.host = host;
    this.figure = null;
    this.values = {};
    this.changes = {};
    this.seq = 0;
    this.session = null;
    this.spoken = "";
    this.drag = null;
    this.dirty = false;
    this.sentAt = 0;
    this.timer = 0;
    this.width = 0;
    this.handles = [];
    this.zoom = 1;
    this.watcher = new ResizeObserver(() => {
      const width = Math.round(host.clientWidth);
      if (width >= NARROWEST && width !== this.width && !this.drag) this.draw();
    });
    this.watcher.observe(host);
  }

  close() {
    this.watcher.disconnect();
    clearTimeout(this.timer);
  }

  receive(data) {
    if (data.session !== this.session) {
      // A new server session counts from its own number: old local counts would make every echo look stale.
      this.session = data.session;
      this.seq = data.seq;
      this.dirty = false;
      this.changes = {};
    }
    if (this.drag) {
      this.waiting = data;
      return;
    }
    if (this.dirty || data.seq < this.seq) return;
    this.changes = {};
    this.values = data.values;
    this.spoken = data.spoken || "";
    if (this.figure?.id === data.figure.id && this.handles.length) {
      this.figure = data.figure;
      this.place();
    } else {
      this.figure = data.figure;
      this.draw();
    }
  }

  change(changes) {
    Object.assign(this.values, changes);
    Object.assign(this.changes, changes);
    this.spoken = "";
    this.dirty = true;
    this.place();
    const wait = SEND_EVERY_MS - (performance.now() - this.sentAt);
    if (wait <= 0) this.flush();
    else if (!this.timer) this.timer = setTimeout(() => this.flush(), wait);
  }

  flush() {
    clearTimeout(this.timer);
    this.timer = 0;
    if (!this.dirty) return;
    this.dirty = false;
    this.sentAt = performance.now();
    this.seq += 1;
    this.send({ seq: this.seq, changes: { ...this.changes } });
  }

  draw() {
    const width = Math.round(this.host.clientWidth);
    if (width < NARROWEST || !this.figure) return;
    this.width = width;
    const focused = this.handles.find((handle) => handle.knob === this.host.getRootNode().activeElement)?.name;
    this.host.querySelector("svg")?.remove();
    const svg = make(this.host, "svg", { width, class: "drawing", role: "group", "aria-label": this.figure.summary });
    const layer = make(svg, "g", { "aria-hidden": "true" });
    const drawing = DRAWN[this.figure.kind](layer, this.figure, width, this);
    svg.setAttribute("height", drawing.height);
    svg.setAttribute("viewBox", `0 0 ${width} ${drawing.height}`);
    if (drawing.tap) drawing.tap.area.addEventListener("click", (event) => this.tap(event, drawing.tap.handle));
    this.handles = drawing.handles;
    this.outside = drawing.outside;
    for (const handle of this.handles) handle.guide = make(svg, "g", { "aria-hidden": "true" });
    for (const handle of this.handles) this.mount(svg, handle);
    for (const button of drawing.buttons || []) this.button(svg, button);
    for (const handle of this.handles) handle.label = make(svg, "g", { class: "label", "aria-hidden": "true" });
    this.place();
    this.handles.find((handle) => handle.name === focused)?.knob.focus({ preventScroll: true });
  }

  mount(svg, handle) {
    const knob = make(svg, "g", {
      class: "knob",
      role: "slider",
      tabindex: "0",
      "aria-label": handle.title,
      "aria-orientation": handle.orientation,
      "data-handle": handle.name,
    });
    handle.knob = knob;
    make(knob, "circle", { r: HIT_RADIUS_PX, class: "hit" });
    make(knob, "circle", { r: 17, class: "ring" });
    make(knob, "circle", { r: 12, class: "grip" });
    make(knob, "path", { d: handle.arrows, class: "arrows" });
    knob.addEventListener("pointerdown", (event) => this.grab(event, handle));
    knob.addEventListener("pointermove", (event) => this.pull(event, handle));
    for (const end of ["pointerup", "pointercancel", "lostpointercapture"])
      knob.addEventListener(end, (event) => this.release(event));
    knob.addEventListener("touchstart", (event) => event.preventDefault(), { passive: false }); // no scroll, no zoom
    knob.addEventListener("keydown", (event) => this.press(event, handle));
  }

  button(svg, { x, y, sign, title, press, off }) {
    const node = make(svg, "g", { class: off ? "button off" : "button", role: "button", tabindex: "0", "aria-label": title });
    node.setAttribute("transform", `translate(${x} ${y})`);
    if (off) node.setAttribute("aria-disabled", "true");
    make(node, "rect", { x: -22.5, y: -22.5, width: 45, height: 45, rx: 8, class: "hit" });
    make(node, "rect", { x: -18, y: -18, width: 36, height: 36, rx: 8, class: "plate" });
    make(node, "path", { d: sign, class: "sign" });
    node.addEventListener("click", () => off || press());
    node.addEventListener("keydown", (event) => {
      if (event.key !== "Enter" && event.key !== " ") return;
      event.preventDefault();
      if (!off) press();
    });
  }

  place() {
    if (this.outside?.(this.values)) {
      this.draw(); // the part of the map that is shown follows the knob
      return;
    }
    for (const handle of this.handles) {
      const at = handle.position(this.values);
      handle.knob.setAttribute("transform", `translate(${at.x} ${at.y})`);
      const { low, high, now, text } = handle.aria(this.values);
      handle.knob.setAttribute("aria-valuemin", low);
      handle.knob.setAttribute("aria-valuemax", high);
      handle.knob.setAttribute("aria-valuenow", now);
      handle.knob.setAttribute("aria-valuetext", this.spoken ? `${text}; ${this.spoken}` : text);
      handle.guide.replaceChildren();
      handle.trace(handle.guide, this.values, at);
      this.write(handle, at);
    }
  }

  write(handle, at) {
    // What the knob stands at, in a plate whose place the drawing gives: beside the map, never over it.
    const { label, area } = handle;
    label.replaceChildren();
    const lines = handle.lines(this.values, this.spoken);
    if (!lines.length) return;
    const box = make(label, "rect", { class: "plate", rx: 6 });
    const texts = lines.map((line) => make(label, "text", { class: "plate-text" }, line));
    const width = Math.max(...texts.map((text) => text.getComputedTextLength() || 60)) + 12;
    const height = PLATE_LINE_PX * lines.length + 5;
    const place = handle.plate(at);
    const left = clamp(place.x - (place.left ? 0 : width / 2), area.left, Math.max(area.left, area.right - width));
    for (const [name, value] of Object.entries({ x: left, y: place.y, width, height })) box.setAttribute(name, value);
    texts.forEach((text, i) => {
      text.setAttribute("x", left + 6);
      text.setAttribute("y", place.y + PLATE_LINE_PX * i + 15);
    });
  }

  point(event) {
    const box = this.host.querySelector("svg").getBoundingClientRect();
    return { x: event.clientX - box.left, y: event.clientY - box.top };
  }

  tap(event, handle) {
    this.change(handle.valueAt(this.point(event), this.values));
    handle.knob.focus({ preventScroll: true });
  }

  grab(event, handle) {
    if (event.button > 0) return;
    event.preventDefault();
    handle.knob.focus({ preventScroll: true });
    handle.knob.setPointerCapture(event.pointerId);
    const at = handle.position(this.values);
    const from = this.point(event);
    this.drag = { id: event.pointerId, dx: at.x - from.x, dy: at.y - from.y };
  }

  pull(event, handle) {
    if (this.drag?.id !== event.pointerId) return;
    const { x, y } = this.point(event);
    const changes = handle.valueAt({ x: x + this.drag.dx, y: y + this.drag.dy }, this.values);
    if (Object.entries(changes).some(([name, value]) => String(this.values[name]) !== String(value)))
      this.change(changes);
  }

  release(event) {
    if (this.drag?.id !== event.pointerId) return;
    this.drag = null;
    this.flush();
    const { waiting } = this;
    this.waiting = null;
    if (waiting) this.receive(waiting);
    if (Math.round(this.host.clientWidth) !== this.width) this.draw();
  }

  press(event, handle) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const changes = handle.step(event.key, this.values);
    if (!changes) return;
    event.preventDefault();
    event.stopPropagation();
    this.change(changes);
  }
}

export default function ({ parentElement, data, setStateValue }) {
  const host = parentElement.querySelector(".meltwright");
  if (!host || !data) return undefined;
  host.view = host.view || new View(host);
  host.view.send = (message) => setStateValue("move", message);
  host.view.receive(data);
  return () => host.view.close();
}
