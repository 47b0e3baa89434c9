// I cut this: what will change is shown before it is recorded; the sheet is drawn when asked for.
import { fieldsOf, follow, read, say, sayRefused, send } from "./page.js";

const form = document.getElementById("cut");
if (form) {
  const place = document.getElementById("look");
  let latest = 0;

  function asked() {
    const data = fieldsOf(form);
    if (form.dataset.again) data.again = true;
    return data;
  }

  function card(one) {
    const item = document.getElementById("left-card").content.cloneNode(true);
    item.querySelector(".tag").textContent = one.tag;
    const svg = item.querySelector("svg");
    svg.setAttribute("viewBox", one.view);
    svg.setAttribute("aria-label", one.words);
    svg.querySelector(".cloth").setAttribute("d", one.cloth);
    svg.querySelector(".stitching").setAttribute("d", one.rectangle);
    svg.querySelector(".grain").setAttribute("d", one.grain);
    for (const part of item.querySelectorAll("[data-is]")) part.textContent = one[part.dataset.is];
    return item;
  }

  function show(said) {
    const head = document.createElement("h2");
    head.textContent = "What will change";
    const list = document.createElement("ul");
    const lines = said.lines.length ? said.lines : ["no bolt of the stash gets shorter"];
    lines.push(
      said.left.length
        ? `new leftovers, with these tags unless another is put in first: ${said.left.map((one) => one.tag).join(", ")}`
        : "no leftover is put in",
    );
    for (const line of lines) {
      const item = document.createElement("li");
      item.textContent = line;
      list.append(item);
    }
    place.replaceChildren(head, list);
    if (said.left.length) {
      const cards = document.createElement("ul");
      cards.className = "cards tags";
      cards.append(...said.left.map(card));
      place.append(cards);
    }
  }

  async function look() {
    const mine = ++latest;
    const query = new URLSearchParams();
    for (const [name, value] of Object.entries(asked())) if (value) query.set(name, value);
    try {
      const said = await read(`${form.getAttribute("action")}/look?${query}`);
      if (mine === latest) show(said);
    } catch (error) {
      if (mine === latest) say(error.lines || [String(error)], "wrong", place);
    }
  }

  form.addEventListener("change", look);
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const button = form.querySelector("button[type=submit]");
    button.disabled = true;
    try {
      const answer = await send(form.getAttribute("action"), { ...asked(), seen: form.dataset.seen });
      sessionStorage.setItem("well", answer.well);
      location.reload();
    } catch (error) {
      sayRefused(error, form);
      button.disabled = false;
    }
  });
  look();
}

for (const button of document.querySelectorAll("[data-sheet]")) {
  const section = button.closest("section");
  const ready = section.querySelector("[data-ready]");
  const status = section.querySelector("[role=status]");
  button.addEventListener("click", async () => {
    button.disabled = true;
    status.textContent = "The sheet is being drawn.";
    try {
      const work = await send(button.dataset.sheet);
      follow(work, {
        done: () => {
          status.textContent = "It is ready, and kept beside the plan.";
          ready.href = work.file;
          ready.hidden = false;
          ready.focus();
          button.disabled = false;
        },
        failed: (said) => {
          status.textContent = "";
          button.disabled = false;
          say(said.lines, "wrong");
        },
      });
    } catch (error) {
      status.textContent = "";
      button.disabled = false;
      sayRefused(error);
    }
  });
}
