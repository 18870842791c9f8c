// Shares of two to six salts: a track and a knob each. A knob that moves leaves the other salts in their proportions.

const SHARE_ROW = { top: 40, height: 46, step: 0.5, page: 5 };

function drawShares(layer, figure, width) {
  const room = Math.min(96, width * 0.26);
  const frame = { left: room, right: width - 66 };
  const X = (share) => frame.left + (share / 100) * (frame.right - frame.left);
  const count = figure.names.length;
  const foot = SHARE_ROW.top + count * SHARE_ROW.height;
  for (const share of [0, 20, 40, 60, 80, 100]) {
    make(layer, "line", { x1: X(share), x2: X(share), y1: SHARE_ROW.top, y2: foot, class: "grid" });
    make(layer, "text", { x: X(share), y: foot + 16, class: "tick middle" }, String(share));
  }
  make(layer, "text", { x: width - 4, y: foot + 16, class: "tick end" }, "mol%");
  const proportions = { rest: null, moving: -1 };
  const handles = figure.names.map((name, i) => {
    const y = SHARE_ROW.top + (i + 0.5) * SHARE_ROW.height;
    make(layer, "text", { x: 4, y: y + 4, class: "axis strong" }, name);
    make(layer, "line", { x1: frame.left, x2: frame.right, y1: y, y2: y, class: "track" });
    return sharePoint(figure, i, y, X, frame, width, proportions);
  });
  return { height: foot + 24, handles };
}

function shared(mix, i, share, proportions) {
  // The mix with salt i at this share; the others in the proportions they had before it took all of the room.
  const others = mix.map((part, k) => (k === i ? 0 : part));
  const sum = others.reduce((total, part) => total + part, 0);
  if (proportions.moving !== i || sum > 1) Object.assign(proportions, { rest: others, moving: i });
  const { rest } = proportions;
  const whole = rest.reduce((total, part) => total + part, 0);
  const left = 100 - share;
  const even = left / (mix.length - 1);
  const moved = rest.map((part, k) => (k === i ? share : whole > 0 ? (part / whole) * left : even));
  const rounded = moved.map((part) => Math.round(100 * part));
  const largest = rounded.indexOf(Math.max(...rounded));
  rounded[largest] += 10000 - rounded.reduce((total, part) => total + part, 0);
  return { mix: rounded.map((part) => part / 100) };
}

function sharePoint(figure, i, y, X, frame, width, proportions) {
  const limit = (share) => clamp(snap(share, SHARE_ROW.step), 0, 100);
  const salt = figure.names[i];
  return {
    name: `share ${i}`,
    title: `Share of ${salt} in mole percent`,
    orientation: "horizontal",
    arrows: ARROWS_X,
    area: { left: 2, right: width - 2, top: 0, bottom: y },
    position: (values) => ({ x: X(clamp(values.mix[i], 0, 100)), y }),
    plate: () => ({ x: 2, y: 2, left: true }),
    valueAt: ({ x }, values) =>
      shared(values.mix, i, limit((100 * (x - frame.left)) / (frame.right - frame.left)), proportions),
    step: (key, values) => {
      const { step, page } = SHARE_ROW;
      const moves = {
        ArrowRight: step, ArrowUp: step, ArrowLeft: -step, ArrowDown: -step, PageUp: page, PageDown: -page,
        Home: -100, End: 100,
      };
      return key in moves ? shared(values.mix, i, limit(values.mix[i] + moves[key]), proportions) : null;
    },
    aria: ({ mix }) => ({ low: 0, high: 100, now: Number(mix[i].toFixed(1)), text: `${salt} ${mix[i].toFixed(1)} mole percent` }),
    lines: (_values, spoken) => (i === 0 ? [spoken || "…"] : []),
    trace: (guide, { mix }, at) => {
      make(guide, "line", { x1: frame.left, x2: at.x, y1: y, y2: y, class: "track full" });
      make(guide, "text", { x: width - 4, y: y + 4, class: "axis strong end" }, mix[i].toFixed(1));
    },
  };
}
