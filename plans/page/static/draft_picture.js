// The picture of the piece: drawn by the program at each keystroke, the point being typed marked.

const SPACE = "http://www.w3.org/2000/svg";

function draw(tag, attributes, words) {
  const made = document.createElementNS(SPACE, tag);
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
  if (words !== undefined) made.textContent = words;
  return made;
}

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
    const { box, unit } = this.now;
    this.under.textContent = this.now.words;
    if (!box) {
      this.place.replaceChildren();
      return;
    }
    const svg = draw("svg", { viewBox: box, class: "drawn", role: "img", "aria-label": this.now.words });
    for (const [kind, d] of this.now.lines) svg.append(draw("path", { class: kind, d }));
    const whole = this.now.lines.length > 0;
    this.now.edges.forEach(([name, d, x, y, anchor], k) => {
      const line = draw("path", { class: whole ? "edge" : "edge loose", d, "data-edge": k });
      line.addEventListener("click", () => this.goTo(`edges[${k + 1}].name`));
      svg.append(line);
      svg.append(draw("text", { class: "called", "data-edge": k, x, y, "font-size": unit * 3.6, "text-anchor": anchor, "aria-hidden": "true" }, name));
    });
    for (const [words, x, y] of this.now.texts || []) {
      svg.append(draw("text", { class: "called", x, y, "font-size": unit * 3.6, "text-anchor": "middle", "aria-hidden": "true" }, words));
    }
    for (const [x, y] of this.now.notches) svg.append(draw("circle", { class: "notch", cx: x, cy: y, r: unit * 0.7 }));
    for (const [field, x, y] of this.now.points) {
      const spot = draw("circle", { class: "spot", cx: x, cy: y, r: unit, "data-field": field });
      spot.addEventListener("click", () => this.goTo(`${field}.x`));
      svg.append(spot);
    }
    this.place.replaceChildren(svg);
    this.mark(this.field);
  }

  /** Mark the point and the edge that a field is about. */
  mark(field) {
    this.field = field;
    const svg = this.place.querySelector("svg");
    if (!svg) return;
    for (const old of svg.querySelectorAll(".ring")) old.remove();
    const edge = field.match(/^edges\[(\d+)\]/);
    for (const one of svg.querySelectorAll("[data-edge]")) one.classList.toggle("lit", Boolean(edge) && Number(one.dataset.edge) === edge[1] - 1);
    for (const spot of svg.querySelectorAll(".spot")) {
      const is = field === `${spot.dataset.field}.x` || field === `${spot.dataset.field}.y`;
      spot.classList.toggle("now", is);
      if (is) svg.append(draw("circle", { class: "ring", cx: spot.getAttribute("cx"), cy: spot.getAttribute("cy"), r: this.now.unit * 2.4 }));
    }
  }
}
