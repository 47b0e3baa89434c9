// Cloth: buttons that do one thing, a leftover drawn while it is typed, plain widths tried.
import { read, say, sayRefused, send } from "./page.js";

const well = sessionStorage.getItem("well");
if (well) {
  sessionStorage.removeItem("well");
  say(well, "well");
}

for (const button of document.querySelectorAll("[data-does]")) {
  button.addEventListener("click", async () => {
    button.disabled = true;
    try {
      const answer = await send(button.dataset.does, JSON.parse(button.dataset.with || "{}"));
      // What is said outlives the view that it is about.
      if (answer.well) sessionStorage.setItem("well", answer.well);
      if (answer.go) location.assign(answer.go);
      else location.reload();
    } catch (error) {
      sayRefused(error);
      button.disabled = false;
    }
  });
}

/** Call a function once a person pauses. */
export function afterPause(what, ms = 250) {
  let waiting;
  return () => {
    clearTimeout(waiting);
    waiting = setTimeout(what, ms);
  };
}

const leftover = document.getElementById("leftover");
if (leftover) {
  const svg = leftover.querySelector("svg");
  const words = leftover.querySelector("#shape-drawn .hint");
  let latest = 0;

  async function draw() {
    const mine = ++latest;
    const shape = leftover.elements.shape.value;
    const asked = new URLSearchParams({ shape });
    for (const name of ["rectangle", "points", "holes", "warp"]) {
      if (leftover.elements[name].value.trim()) asked.set(name, leftover.elements[name].value);
    }
    if (!asked.has(shape)) {
      svg.toggleAttribute("hidden", true);
      words.textContent = "It is drawn here as soon as its measures are typed.";
      return;
    }
    try {
      const picture = await read(`/cloth/leftover/picture?${asked}`);
      if (mine !== latest) return;
      if (picture.wrong) {
        svg.toggleAttribute("hidden", true);
        words.textContent = `Not yet: ${picture.wrong.lines.join(" ")}`;
        return;
      }
      svg.setAttribute("viewBox", picture.view);
      svg.setAttribute("aria-label", picture.words);
      svg.querySelector(".cloth").setAttribute("d", picture.cloth);
      svg.querySelector(".stitching").setAttribute("d", picture.rectangle);
      svg.querySelector(".grain").setAttribute("d", picture.grain);
      svg.toggleAttribute("hidden", false);
      words.textContent = picture.words;
    } catch (error) {
      if (mine === latest) sayRefused(error);
    }
  }

  function shapes() {
    for (const part of leftover.querySelectorAll("[data-shape]")) {
      part.hidden = part.dataset.shape !== leftover.elements.shape.value;
      for (const field of part.querySelectorAll("input, textarea")) field.disabled = part.hidden;
    }
    draw();
  }

  leftover.addEventListener("input", afterPause(draw));
  for (const one of leftover.elements.shape) one.addEventListener("change", shapes);
  shapes();
}

const plain = document.getElementById("plain-try");
if (plain) {
  const said = document.getElementById("plain-said");
  const tell = afterPause(async () => {
    const width = plain.elements.width.value.trim();
    if (!width) return said.replaceChildren();
    try {
      const found = await read(`/cloth/plain?${new URLSearchParams({ width })}`);
      if (found.wrong) return say(found.wrong.lines, "note", said);
      const head = document.createElement("p");
      head.textContent = found.title;
      const list = document.createElement("ul");
      for (const [name, value] of found.rows) {
        const line = document.createElement("li");
        line.textContent = `${name}: ${value}`;
        list.append(line);
      }
      said.replaceChildren(head, list);
    } catch (error) {
      sayRefused(error);
    }
  });
  plain.addEventListener("input", tell);
  plain.addEventListener("submit", (event) => {
    event.preventDefault();
    tell();
  });
}
