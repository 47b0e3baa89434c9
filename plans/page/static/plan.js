// A plan: its lays are moved, scaled and turned; a piece that is chosen tells where it is pinned.
import { say, sayRefused, send } from "./page.js";
import { drawn } from "./svg.js";

const STEP = 1.4;
const MOST = 40;
const DRAGGED_PX = 5;

class Lay {
  constructor(sheet) {
    this.sheet = sheet;
    this.viewed = sheet.querySelector(".viewed");
    this.svg = this.viewed.querySelector("svg");
    this.panel = sheet.querySelector(".chosen");
    this.choices = [...sheet.querySelectorAll(".piece-choice")];
    const [x, y, width, height] = this.svg.getAttribute("viewBox").split(/[ ,]+/).map(Number);
    this.flat = { x, y, width, height };
    this.turns = 0;
    this.inner = drawn("g");
    this.inner.append(...this.svg.childNodes);
    this.svg.append(this.inner);
    this.pointers = new Map();
    this.dress();
    this.showAll();
    this.listen();
  }

  /** Give every outline its fill, its marks and its name. */
  dress() {
    const hatch = this.hatch();
    for (const choice of this.choices) {
      const piece = document.getElementById(choice.dataset.piece);
      piece.classList.add("piece", `fill-${choice.dataset.fill}`);
      if ("down" in choice.dataset) {
        const lines = piece.cloneNode();
        lines.removeAttribute("id");
        lines.setAttribute("class", "hatched");
        lines.setAttribute("fill", `url(#${hatch})`);
        piece.after(lines);
      }
      piece.classList.toggle("upper", "upper" in choice.dataset);
      drawn("title", {}, piece, choice.textContent.trim());
    }
  }

  /** Thin lines for the printed side down. */
  hatch() {
    const id = `${this.sheet.dataset.lay}hatch`;
    const size = this.flat.height / 30;
    const pattern = drawn("pattern", {
      id, width: size, height: size, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)",
    });
    drawn("path", { d: `M0 0V${size}`, class: "hatching" }, pattern);
    this.inner.prepend(pattern);
    return id;
  }

  /** All of it, as it is turned now. */
  whole() {
    const { x, y, width, height } = this.flat;
    if (this.turns % 2 === 0) return { x, y, width, height };
    return { x: x + (width - height) / 2, y: y + (height - width) / 2, width: height, height: width };
  }

  showAll() {
    this.box = this.whole();
    this.show();
  }

  show() {
    const whole = this.whole();
    const box = this.box;
    box.width = Math.min(whole.width, Math.max(whole.width / MOST, box.width));
    box.height = (box.width * whole.height) / whole.width;
    box.x = Math.min(whole.x + whole.width - box.width, Math.max(whole.x, box.x));
    box.y = Math.min(whole.y + whole.height - box.height, Math.max(whole.y, box.y));
    this.svg.setAttribute("viewBox", `${box.x} ${box.y} ${box.width} ${box.height}`);
    this.viewed.classList.toggle("near", box.width < whole.width * 0.999);
  }

  /** Scale by a factor about a point of the drawing (its middle unless given). */
  scale(factor, at = { x: this.box.x + this.box.width / 2, y: this.box.y + this.box.height / 2 }) {
    const whole = this.whole();
    const width = Math.min(whole.width, Math.max(whole.width / MOST, this.box.width / factor));
    const share = width / this.box.width;
    this.box.x = at.x - (at.x - this.box.x) * share;
    this.box.y = at.y - (at.y - this.box.y) * share;
    this.box.width = width;
    this.show();
  }

  move(dx, dy) {
    this.box.x += dx;
    this.box.y += dy;
    this.show();
  }

  turn() {
    this.turns = (this.turns + 1) % 4;
    const { x, y, width, height } = this.flat;
    this.inner.setAttribute("transform", `rotate(${90 * this.turns} ${x + width / 2} ${y + height / 2})`);
    this.showAll();
  }

  /** Where a place on the screen is on the drawing. */
  at(event) {
    const point = new DOMPoint(event.clientX, event.clientY).matrixTransform(this.svg.getScreenCTM().inverse());
    return { x: point.x, y: point.y };
  }

  do(what) {
    if (what === "in") this.scale(STEP);
    else if (what === "out") this.scale(1 / STEP);
    else if (what === "whole") this.showAll();
    else if (what === "turn") this.turn();
  }

  listen() {
    for (const button of this.sheet.querySelectorAll("[data-do]")) {
      button.addEventListener("click", () => this.do(button.dataset.do));
    }
    for (const choice of this.choices) {
      choice.addEventListener("click", () => this.choose(choice, true));
    }
    this.viewed.addEventListener("keydown", (event) => this.key(event));
    this.svg.addEventListener("wheel", (event) => {
      if (!event.ctrlKey) return;
      event.preventDefault();
      this.scale(Math.exp(-event.deltaY / 300), this.at(event));
    }, { passive: false });
    this.svg.addEventListener("pointerdown", (event) => {
      this.pointers.set(event.pointerId, { x: event.clientX, y: event.clientY });
      if (this.pointers.size === 1) this.dragged = false;
    });
    this.svg.addEventListener("pointermove", (event) => this.drag(event));
    for (const kind of ["pointerup", "pointercancel", "pointerleave"]) {
      this.svg.addEventListener(kind, (event) => this.pointers.delete(event.pointerId));
    }
    this.svg.addEventListener("click", (event) => {
      if (this.dragged) return;
      const piece = event.target.closest(".piece");
      const choice = piece && this.choices.find((one) => one.dataset.piece === piece.id);
      if (choice) this.choose(choice, false);
    });
  }

  key(event) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const step = 0.1 * this.box.width;
    const does = {
      "+": () => this.do("in"), "=": () => this.do("in"), "-": () => this.do("out"), "0": () => this.do("whole"),
      r: () => this.do("turn"), R: () => this.do("turn"),
      ArrowLeft: () => this.move(-step, 0), ArrowRight: () => this.move(step, 0),
      ArrowUp: () => this.move(0, -step), ArrowDown: () => this.move(0, step),
    }[event.key];
    // At full size arrows go on to scroll the page.
    if (!does || (event.key.startsWith("Arrow") && !this.viewed.classList.contains("near"))) return;
    event.preventDefault();
    does();
  }

  drag(event) {
    const before = this.pointers.get(event.pointerId);
    if (!before) return;
    const others = [...this.pointers].filter(([id]) => id !== event.pointerId).map(([, place]) => place);
    const now = { x: event.clientX, y: event.clientY };
    if (others.length === 1) {
      const apart = (place) => Math.hypot(place.x - others[0].x, place.y - others[0].y) || 1;
      this.dragged = true;
      this.scale(apart(now) / apart(before), this.at({ clientX: (now.x + others[0].x) / 2, clientY: (now.y + others[0].y) / 2 }));
    } else if (!others.length) {
      if (!this.dragged && Math.hypot(now.x - before.x, now.y - before.y) < DRAGGED_PX) return;
      if (!this.viewed.classList.contains("near")) {
        this.dragged = true;
        return;
      }
      this.dragged = true;
      const perPx = this.svg.getScreenCTM().inverse().a;
      this.move((before.x - now.x) * perPx, (before.y - now.y) * perPx);
    }
    this.pointers.set(event.pointerId, now);
  }

  /** Show what is said of a piece; choosing it again takes that back. */
  choose(choice, bring) {
    const taken = choice.getAttribute("aria-pressed") === "true";
    for (const one of this.choices) {
      const mine = one === choice && !taken;
      one.setAttribute("aria-pressed", String(mine));
      document.getElementById(one.dataset.piece).classList.toggle("lit", mine);
      document.getElementById(`${one.dataset.piece}m`).classList.toggle("shown", mine);
    }
    const said = taken ? [] : [choice.nextElementSibling.content.cloneNode(true)];
    this.panel.replaceChildren(...said);
    if (taken) this.panel.textContent = "No piece is chosen.";
    if (bring && !taken) this.bring(document.getElementById(choice.dataset.piece));
  }

  /** Bring a piece to the middle where not all is seen. */
  bring(piece) {
    const place = piece.getBoundingClientRect();
    const middle = this.at({ clientX: place.left + place.width / 2, clientY: place.top + place.height / 2 });
    this.box.x = middle.x - this.box.width / 2;
    this.box.y = middle.y - this.box.height / 2;
    this.show();
  }
}

for (const sheet of document.querySelectorAll(".lay-sheet")) new Lay(sheet);

for (const button of document.querySelectorAll(".refold")) {
  button.addEventListener("click", async () => {
    button.disabled = true;
    try {
      location.assign((await send(button.dataset.to, { cloth: Number(button.dataset.cloth), fold: button.dataset.fold })).go);
    } catch (error) {
      button.disabled = false;
      if (error.field) say(error.lines, "wrong").scrollIntoView({ block: "nearest" });
      else sayRefused(error);
    }
  });
}
