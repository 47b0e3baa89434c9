// A lay as a drawing whose pieces can be taken hold of. Lengths are mm of the lay: x along it, y across.

import { drawn } from "./svg.js";

const MARGIN = 40;
const HATCH = 22;
const BETWEEN = 120;
const TEXT_PX = 13;
const TALL = 0.74;
const LEAST_HIGH_PX = 170;
const MOST = 40;

/** Points of a shape in a pose, turned over first if it lies so; its reference is the origin. */
function posed(points, [turn, over]) {
  const quarter = { 0: [1, 0], 90: [0, 1], 180: [-1, 0], 270: [0, -1] }[turn];
  const angle = (turn * Math.PI) / 180;
  const [cos, sin] = quarter || [Math.cos(angle), Math.sin(angle)];
  const flip = over ? -1 : 1;
  return points.map(([x, y]) => [cos * x - sin * flip * y, sin * x + cos * flip * y]);
}

function bounds(points) {
  const xs = points.map((point) => point[0]);
  const ys = points.map((point) => point[1]);
  return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
}

function path(points) {
  return `M${points.map(([x, y]) => `${x.toFixed(2)} ${(-y).toFixed(2)}`).join("L")}Z`;
}

/** Slanting lines over a shape, as the plan hatches what lies with its printed side down. */
function hatched(points) {
  const lines = [];
  const sums = points.map(([x, y]) => x + y);
  const last = Math.max(...sums);
  for (let sum = Math.min(...sums) + HATCH / 2; sum < last; sum += HATCH) {
    const met = [];
    points.forEach(([bx, by], i) => {
      const [ax, ay] = points[(i || points.length) - 1];
      const [from, to] = [ax + ay - sum, bx + by - sum];
      if (from > 0 !== to > 0) met.push(ax + ((bx - ax) * from) / (from - to));
    });
    met.sort((a, b) => a - b);
    for (let i = 0; i + 1 < met.length; i += 2) {
      lines.push(`M${met[i].toFixed(1)} ${(met[i] - sum).toFixed(1)}L${met[i + 1].toFixed(1)} ${(met[i + 1] - sum).toFixed(1)}`);
    }
  }
  return lines.join("");
}

function within(rings, x, y) {
  let inside = false;
  for (const ring of rings) {
    for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
      const [ax, ay] = ring[i];
      const [bx, by] = ring[j];
      if (ay > y !== by > y && x < ((bx - ax) * (y - ay)) / (by - ay) + ax) inside = !inside;
    }
  }
  return inside;
}

function step(value, size, phase) {
  return size > 0 ? phase + Math.round((value - phase) / size) * size : value;
}

/** Where a piece in the hand may not be: answers which others are in the way at a place. */
export class Barred {
  constructor(said) {
    this.ranges = said.ranges;
    const boxes = said.rings.map((rings) => bounds(rings[0]));
    this.others = said.barred.map(([number, which, x, y]) => ({ number, rings: said.rings[which], box: boxes[which], x, y }));
  }

  /** Numbers of the pieces that it meets (0 for a flaw), and whether it leaves the cloth. */
  at(x, y) {
    const met = new Set();
    for (const { number, rings, box, x: from_x, y: from_y } of this.others) {
      const [at_x, at_y] = [x - from_x, y - from_y];
      if (at_x <= box[0] || at_x >= box[2] || at_y <= box[1] || at_y >= box[3]) continue;
      if (within(rings, at_x, at_y)) met.add(number);
    }
    const off = !this.ranges.some(
      (one) => x >= one.x_from - 0.01 && (one.x_to === null || x <= one.x_to + 0.01) && y >= one.y_from - 0.01 && y <= one.y_to + 0.01,
    );
    return { met: [...met], off };
  }
}

export class Lay {
  constructor(stage, said) {
    this.stage = stage;
    this.svg = stage.querySelector("svg");
    this.said = said;
    this.zoom = null;
    this.offsets = [];
    let y = MARGIN;
    for (const section of said.sections) {
      this.offsets.push(y + section.height);
      y += section.height + BETWEEN;
    }
    this.height = y - BETWEEN + MARGIN;
    // What is squared off lies before the pieces; the cloth begins there, at its cut end.
    this.before = MARGIN + Math.max(...said.sections.map((section) => section.lead));
    this.back = drawn("g", {}, this.svg);
    this.texts = [];
    this.sections = said.sections.map((section, index) => this.drawSection(section, index));
    this.ghost = drawn("path", { class: "ghost", hidden: "" }, this.svg);
    this.front = drawn("g", {}, this.svg);
    this.pieces = said.pieces.map((piece, index) => this.drawPiece(piece, index));
    this.svg.append(this.ghost);
    this.width = 0;
    new ResizeObserver(() => this.fit()).observe(stage);
  }

  drawSection(section, index) {
    const base = this.offsets[index];
    const top = base - section.height;
    const cloth = drawn("rect", { class: "table", x: -section.lead, y: top, height: section.height }, this.back);
    const bands = section.dead.map(([from, to]) =>
      drawn("rect", { class: "dead", x: 0, y: base - to, height: to - from }, this.back),
    );
    for (const flaw of section.flaws) {
      drawn("path", { class: "flaw", d: path(flaw), transform: `translate(0 ${base})` }, this.back);
    }
    drawn("rect", { class: "dead", x: -section.lead, y: top, width: section.lead, height: section.height }, this.back);
    const rules = [
      [section.first, base],
      [section.last, top],
    ].map(([edge, y]) => drawn("line", { class: edge.fold ? "fold" : "edge", x1: -section.lead, y1: y, y2: y }, this.back));
    drawn("line", { class: section.begins_at_fold ? "fold" : "edge", x1: -section.lead, x2: -section.lead, y1: top, y2: base }, this.back);
    const end = drawn("line", { class: "end", y1: top - MARGIN / 2, y2: base + MARGIN / 2 }, this.back);
    this.name(section.begins, -section.lead, (top + base) / 2, -0.9, true);
    this.name(section.last.name, 0, top, -0.9);
    this.name(section.name ? `${section.first.name}; section ${section.name}` : section.first.name, 0, base, 0.9);
    return { cloth, bands, rules, end };
  }

  /** A name beside an edge; its size follows the scale. */
  name(text, x, y, lines, upright = false) {
    const made = drawn("text", { class: upright ? "name upright" : "name" }, this.back);
    made.textContent = text;
    this.texts.push({ made, x, y, lines, upright });
  }

  drawPiece(piece, index) {
    const group = drawn("g", { class: "held", "data-piece": index }, this.front);
    const outline = drawn("path", { class: "piece" }, group);
    const grain = drawn("path", { class: "grain" }, group);
    const head = drawn("path", { class: "pin" }, group);
    const label = drawn("text", {}, group);
    label.textContent = piece.number;
    const stays = drawn("path", { class: "stay-mark" }, group);
    const hatching = drawn("path", { class: "hatching" }, group);
    outline.after(hatching);
    if (piece.on_fold) group.classList.add("on-fold");
    return { group, outline, hatching, grain, head, label, stays, pose: null };
  }

  /** Draw all pieces where they lie; `extents` are where the sections end. */
  show(places, extents) {
    this.extents = extents || this.extents;
    const farthest = Math.max(...this.extents, 1);
    if (Math.abs(farthest - (this.drawn || 0)) > 0.5) {
      this.drawn = farthest;
      this.width = farthest + this.before + MARGIN + Math.max(60, 0.06 * farthest);
      for (const [index, { cloth, bands, rules, end }] of this.sections.entries()) {
        const long = this.width - this.before - MARGIN;
        cloth.setAttribute("width", long + this.said.sections[index].lead);
        for (const band of bands) band.setAttribute("width", long);
        for (const rule of rules) rule.setAttribute("x2", long);
        end.setAttribute("x1", this.extents[index]);
        end.setAttribute("x2", this.extents[index]);
      }
      this.fit();
    }
    places.forEach((place, index) => this.put(index, place));
  }

  /** Draw one piece where it lies. */
  put(index, [turn, over, x, y]) {
    const { number, shape, arrow, section } = this.said.pieces[index];
    const drawn = this.pieces[index];
    const pose = `${turn} ${over}`;
    if (drawn.pose !== pose) {
      drawn.pose = pose;
      const points = posed(this.said.shapes[shape], [turn, over]);
      const [tail, tip] = posed(arrow, [turn, over]);
      drawn.box = bounds(points);
      drawn.outline.setAttribute("d", path(points));
      drawn.grain.setAttribute("d", `M${tail[0]} ${-tail[1]}L${tip[0]} ${-tip[1]}`);
      drawn.tip = tip;
      drawn.tail = tail;
      drawn.heading = Math.atan2(-(tip[1] - tail[1]), tip[0] - tail[0]);
      drawn.hatching.setAttribute("d", over ? hatched(points) : "");
      this.dress(drawn, number);
    }
    drawn.group.setAttribute("transform", `translate(${x} ${this.offsets[section] - y})`);
  }

  /** Size of the words and arrow heads of a piece, which follow the scale. */
  dress(drawn) {
    const px = this.perPx;
    const [low_x, low_y, high_x, high_y] = drawn.box;
    const size = Math.min(TEXT_PX * px, 0.7 * (high_y - low_y), 0.45 * (high_x - low_x));
    drawn.label.setAttribute("font-size", size);
    // Behind the tail of the arrow, where the piece surely is.
    const [x, y] = [drawn.tip[0], -drawn.tip[1]];
    drawn.label.setAttribute("x", drawn.tail[0] - 0.8 * size * Math.cos(drawn.heading));
    drawn.label.setAttribute("y", -drawn.tail[1] - 0.8 * size * Math.sin(drawn.heading));
    // A kept piece has a small square above its number.
    const half = 0.32 * size;
    const [at_x, at_y] = [Number(drawn.label.getAttribute("x")), Number(drawn.label.getAttribute("y")) - size];
    drawn.stays.setAttribute("d", `M${at_x - half} ${at_y - half}h${2 * half}v${2 * half}h${-2 * half}Z`);
    const back = (side) => [x - 9 * px * Math.cos(drawn.heading + side), y - 9 * px * Math.sin(drawn.heading + side)];
    drawn.head.setAttribute("d", `M${x} ${y}L${back(0.35)}L${back(-0.35)}Z`);
  }

  get perPx() {
    return this.width && this.shown ? this.width / this.shown : 1;
  }

  /** Fit the drawing into the stage, as large as it was made. */
  fit() {
    if (!this.width) return;
    const wide = Math.max(200, this.stage.clientWidth);
    const high = Math.max(240, TALL * window.innerHeight);
    const whole = Math.min(wide, (high * this.width) / this.height);
    // A long lay begins so large that its pieces can be told apart; all of it is a step away.
    this.zoom ??= Math.min(MOST, Math.max(1, (LEAST_HIGH_PX * this.width) / (whole * this.height)));
    this.shown = whole * this.zoom;
    this.svg.setAttribute("viewBox", `${-this.before} 0 ${this.width} ${this.height}`);
    this.svg.setAttribute("width", this.shown);
    this.svg.setAttribute("height", (this.shown * this.height) / this.width);
    const px = this.perPx;
    for (const { made, x, y, lines, upright } of this.texts) {
      const size = Math.min(11 * px, 34);
      const aside = lines * size * 0.75;
      made.setAttribute("font-size", size);
      made.setAttribute("x", upright ? x + aside : x);
      made.setAttribute("y", upright ? y : y + aside);
      if (upright) made.setAttribute("transform", `rotate(-90 ${x + aside} ${y})`);
    }
    for (const drawn of this.pieces) if (drawn.pose !== null) this.dress(drawn);
  }

  scale(factor) {
    this.zoom = Math.min(MOST, Math.max(1, this.zoom * factor));
    this.fit();
  }

  /** Bring a piece into view where not all of it is seen. */
  bring(index) {
    this.pieces[index].group.scrollIntoView({ block: "nearest", inline: "nearest" });
  }

  /** A place on the screen as one on the drawing. */
  at(event) {
    const point = new DOMPoint(event.clientX, event.clientY).matrixTransform(this.svg.getScreenCTM().inverse());
    return { x: point.x, y: -point.y };
  }

  /** A place as near to one asked for as what ties the piece permits. */
  tied(index, [turn, over, x, y]) {
    const pose = this.said.pieces[index].poses.find((one) => one.over === over && Math.abs(one.turn - turn) < 0.05);
    if (!pose) return [turn, over, x, y];
    const tie = pose.tie;
    const at_x = tie.x !== null ? tie.x : step(x, tie.step_x, tie.phase_x);
    const at_y = tie.y !== null ? tie.y : step(y, tie.step_y, tie.phase_y);
    return [turn, over, at_x, at_y];
  }

  /** A step in a direction: at least to the next place in phase with the design. */
  nudged(index, place, dx, dy) {
    const [turn, over, x, y] = place;
    const pose = this.said.pieces[index].poses.find((one) => one.over === over && Math.abs(one.turn - turn) < 0.05);
    const far = (by, size) => Math.sign(by) * Math.max(Math.abs(by), size || 0);
    const tie = pose ? pose.tie : { step_x: 0, step_y: 0 };
    return this.tied(index, [turn, over, x + far(dx, tie.step_x), y + far(dy, tie.step_y)]);
  }

  /** Show where a piece would come to lie; null for nowhere. */
  showGhost(index, place) {
    this.ghost.toggleAttribute("hidden", !place);
    if (!place) return;
    const piece = this.said.pieces[index];
    this.ghost.setAttribute("d", this.pieces[index].outline.getAttribute("d"));
    this.ghost.setAttribute("transform", `translate(${place[2]} ${this.offsets[piece.section] - place[3]})`);
  }

  mark(name, indices) {
    this.pieces.forEach(({ group }, index) => group.classList.toggle(name, indices.has(index)));
  }

  /** Lay a piece over the others, so that all of it is seen. */
  raise(index) {
    this.front.append(this.pieces[index].group);
  }
}
