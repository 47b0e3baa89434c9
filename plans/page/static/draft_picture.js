// The picture of the piece: drawn by the program at each keystroke, the point being typed marked.
import { drawn } from "./svg.js";

const TEXT_PX = 13;
const OFF_PX = 13;
const SPOT_PX = 4.5;

export class Picture {
  constructor(place, under, goTo) {
    this.place = place;
    this.under = under;
    this.goTo = goTo;
    this.now = { lines: [], words: "" };
    this.field = "";
  }

  show(picture) {
    this.now = picture || { lines: [], words: "" };
    this.under.textContent = this.now.words;
    if (!this.now.box) {
      this.place.replaceChildren();
      return;
    }
    const svg = drawn("svg", { viewBox: this.now.box, class: "drawn", role: "img", "aria-label": this.now.words });
    this.place.replaceChildren(svg);
    const px = 1 / (svg.getScreenCTM()?.a || 1);
    for (const [kind, d] of this.now.lines) svg.append(drawn("path", { class: kind, d }));
    const whole = this.now.lines.length > 0;
    this.now.edges.forEach(([, d], k) => {
      const line = drawn("path", { class: whole ? "edge" : "edge loose", d, "data-edge": k });
      line.addEventListener("click", () => this.goTo(`edges[${k + 1}].name`));
      svg.append(line);
    });
    for (const [x, y] of this.now.notches) svg.append(drawn("circle", { class: "notch", cx: x, cy: y, r: px * 3 }));
    for (const [field, x, y] of this.now.points) {
      const spot = drawn("circle", { class: "spot", cx: x, cy: y, r: px * SPOT_PX, "data-field": field });
      spot.addEventListener("click", () => this.goTo(`${field}.x`));
      svg.append(spot);
    }
    this.call(svg, px);
    this.mark(this.field);
  }

  /** Names stand inside their edges, each as large as the rows' hints; one over another waits. */
  call(svg, px) {
    const edges = this.now.edges.map(([name, , x, y, across, down], k) => {
      const anchor = across > 0.35 ? "start" : across < -0.35 ? "end" : "middle";
      return [name, x + across * OFF_PX * px, y + down * OFF_PX * px + 4 * px, anchor, k];
    });
    const texts = (this.now.texts || []).map(([name, x, y]) => [name, x, y, "middle", ""]);
    const taken = [];
    for (const [name, x, y, anchor, k] of [...edges, ...texts]) {
      const words = drawn("text", { class: "called", "data-edge": k, x, y, "font-size": px * TEXT_PX, "text-anchor": anchor, "aria-hidden": "true" }, svg, name);
      const box = words.getBBox();
      const crowded = taken.some((one) => one.x < box.x + box.width && box.x < one.x + one.width && one.y < box.y + box.height && box.y < one.y + one.height);
      if (crowded) words.classList.add("crowded");
      else taken.push(box);
    }
  }

  /** Mark the point and the edge that a field is about. */
  mark(field) {
    this.field = field;
    const svg = this.place.querySelector("svg");
    if (!svg) return;
    for (const old of svg.querySelectorAll(".ring")) old.remove();
    const edge = field.match(/^edges\[(\d+)\]/);
    for (const one of svg.querySelectorAll("[data-edge]")) one.classList.toggle("lit", Boolean(edge) && one.dataset.edge === String(edge[1] - 1));
    for (const spot of svg.querySelectorAll(".spot")) {
      const is = field === `${spot.dataset.field}.x` || field === `${spot.dataset.field}.y`;
      spot.classList.toggle("now", is);
      if (is) svg.append(drawn("circle", { class: "ring", cx: spot.getAttribute("cx"), cy: spot.getAttribute("cy"), r: spot.getAttribute("r") * 2.4 }));
    }
  }
}
