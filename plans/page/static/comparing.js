// Before buying: what to compare, and the table that fills while one looks.
import { clearFindings, fieldsOf, follow, read, say, sayRefused, send, workOf } from "./page.js";
import { sketch } from "./sketch.js";
import { drawn } from "./svg.js";

const form = document.getElementById("ask");
const garments = document.getElementById("garments");
const roles = document.getElementById("roles");
const chosenRoles = JSON.parse(roles.dataset.chosen);
const together = form.elements.together;

function element(name, text, parent) {
  const node = document.createElement(name);
  if (text) node.textContent = text;
  parent?.append(node);
  return node;
}

// What is asked

const known = new Map();

function about(name) {
  if (!known.has(name)) {
    const said = read(`/compare/garment/${encodeURIComponent(name)}`);
    known.set(name, said);
    // What did not come is asked for once more the next time.
    said.catch(() => known.delete(name));
  }
  return known.get(name);
}

const part = (row, name) => row.querySelector(`[data-part="${name}"]`);

function number() {
  [...garments.children].forEach((row, at) => {
    for (const field of row.querySelectorAll("[data-part]")) field.name = `garments[${at + 1}].${field.dataset.part}`;
  });
}

let offered = 0;

/** Offer the sizes and the roles of the garments that are chosen; of several at once the last counts. */
async function offer() {
  const mine = ++offered;
  number();
  const ticked = new Set([...roles.querySelectorAll("input:checked")].map((one) => one.value));
  const found = new Set();
  for (const row of garments.children) {
    const size = part(row, "size");
    try {
      const said = await about(part(row, "name").value);
      if (mine !== offered) return;
      const wanted = size.value || size.dataset.chosen;
      size.dataset.chosen = "";
      size.replaceChildren(new Option("as drawn", ""), ...said.sizes.map((one) => new Option(one, one)));
      if (said.sizes.includes(wanted)) size.value = wanted;
      size.disabled = said.sizes.length === 0;
      for (const role of said.roles) found.add(role);
    } catch (error) {
      if (mine === offered) sayRefused(error, form);
    }
  }
  if (mine !== offered) return;
  roles.replaceChildren(
    ...[...found].map((role) => {
      const label = document.createElement("label");
      const box = document.createElement("input");
      box.type = "checkbox";
      box.value = role;
      box.dataset.list = "roles";
      box.checked = ticked.has(role) || chosenRoles.includes(role);
      const name = document.createElement("bdi");
      name.textContent = role;
      label.append(box, name);
      return label;
    }),
  );
  if (chosenRoles.length) together.value = chosenRoles.filter((role) => role.includes("+")).join("; ");
  chosenRoles.length = 0;
}

garments.addEventListener("change", (event) => {
  if (event.target.dataset.part === "name") offer();
});
garments.addEventListener("click", (event) => {
  const button = event.target.closest(".garment-away");
  if (!button || garments.children.length === 1) return;
  button.closest(".garment").remove();
  offer();
  document.getElementById("garment-more").focus();
});
document.getElementById("garment-more").addEventListener("click", () => {
  garments.append(document.getElementById("garment-row").content.cloneNode(true));
  part(garments.lastElementChild, "name").focus();
  offer();
});

function asked() {
  const data = { garments: [], roles: [], cloths: [], folds: [] };
  for (const row of garments.children) {
    const count = part(row, "count").value;
    data.garments.push({ name: part(row, "name").value, size: part(row, "size").value, count });
  }
  for (const box of form.querySelectorAll("[data-list]:checked")) data[box.dataset.list].push(box.value);
  data.roles.push(...together.value.split(";").map((one) => one.trim()).filter(Boolean));
  for (const [name, value] of Object.entries(fieldsOf(form))) {
    if (!name.startsWith("garments[") && name !== "together") data[name] = value;
  }
  return data;
}

form.addEventListener("submit", async (event) => {
  event.preventDefault();
  clearFindings(form);
  const button = form.querySelector("button[type=submit]");
  button.disabled = true;
  try {
    location.assign((await send(form.getAttribute("action"), asked())).go);
  } catch (error) {
    if (error.field === "roles") error.field = "together";
    sayRefused(error, form);
    button.disabled = false;
  }
});

offer();

// What is found

const found = document.getElementById("found");
const work = found.dataset.work;
const step = document.getElementById("step");
const bar = document.getElementById("bar");
const tables = document.getElementById("tables");
const opened = document.getElementById("opened");
const cells = new Map();
let shape = "";
let open = null;

/** Build the tables once; afterwards only what stands in the cells changes, so that focus stays. */
function build(list) {
  const now = JSON.stringify(list.map((table) => [table.title, table.folds, table.rows.map((row) => row.cloth)]));
  if (now === shape) return;
  shape = now;
  cells.clear();
  tables.replaceChildren();
  for (const table of list) {
    const box = element("div", "", tables);
    box.className = "scroll cells";
    box.tabIndex = 0;
    box.setAttribute("role", "group");
    box.setAttribute("aria-label", table.title);
    const place = element("table", "", box);
    element("caption", table.title, place).dir = "auto";
    const heads = element("tr", "", element("thead", "", place));
    for (const head of ["Cloth", ...table.folds]) element("th", head, heads).scope = "col";
    const body = element("tbody", "", place);
    for (const row of table.rows) {
      const line = element("tr", "", body);
      const head = element("th", row.cloth, line);
      head.scope = "row";
      head.dir = "auto";
      row.cells.forEach((cell, at) => {
        const place = element("td", "", line);
        if (!cell) return;
        const button = element("button", "", place);
        button.type = "button";
        button.dataset.name = `${row.cloth}, ${table.folds[at]}`;
        button.addEventListener("click", () => show(cell.k, true));
        cells.set(cell.k, button);
      });
    }
  }
}

function fill(list) {
  for (const table of list) {
    for (const row of table.rows) {
      for (const cell of row.cells) {
        if (!cell) continue;
        const button = cells.get(cell.k);
        const lines = cell.buy ? [cell.buy, cell.cost, cell.best ? "best" : ""] : [cell.why || "…"];
        const words = lines.filter(Boolean).join(", ");
        if (button.dataset.words === words) continue;
        button.dataset.words = words;
        button.classList.toggle("best", cell.best);
        button.replaceChildren(lines[0]);
        for (const line of lines.slice(1).filter(Boolean)) element("small", line, button);
        button.setAttribute("aria-label", `${button.dataset.name}: ${words === "…" ? "not known yet" : words}`);
      }
    }
  }
}

function chart(panels) {
  const place = document.getElementById("chart");
  document.getElementById("chart-head").hidden = panels.length === 0;
  const names = new Map();
  place.replaceChildren(
    ...panels.map((panel) => {
      const figure = document.createElement("figure");
      const caption = element("figcaption", panel.title, figure);
      caption.dir = "auto";
      const svg = drawn("svg", { class: "chart", viewBox: panel.view, role: "img", "aria-label": panel.words }, figure);
      drawn("path", { class: "grid", d: panel.grid }, svg);
      drawn("path", { class: "axes", d: panel.axes }, svg);
      for (const tick of panel.ticks) {
        drawn("text", { x: tick.x, y: tick.y, class: tick.end ? "end" : "middle" }, svg).textContent = tick.text;
      }
      const [, , wide, high] = panel.view.split(" ").map(Number);
      drawn("text", { x: (wide + 32) / 2, y: high - 6 }, svg).textContent = panel.across;
      drawn("text", { x: 8, y: 16, class: "begin" }, svg).textContent = panel.what;
      for (const line of panel.lines) {
        names.set(line.fold, [line.name, line.sample]);
        if (line.line) drawn("path", { class: `line fold-${line.fold}`, d: line.line }, svg);
        drawn("path", { class: `marks fold-${line.fold}`, d: line.marks }, svg);
      }
      for (const name of panel.names) {
        drawn("text", { x: name.x, y: name.y, class: name.side }, svg).textContent = name.text;
      }
      drawn("path", { class: "ring", d: panel.rings }, svg);
      return figure;
    }),
  );
  const legend = document.getElementById("legend");
  legend.hidden = names.size === 0;
  legend.replaceChildren(
    ...[...names].sort((a, b) => a[0] - b[0]).map(([fold, [name, sample]]) => {
      const item = document.createElement("li");
      const svg = drawn("svg", { viewBox: "0 0 54 16", "aria-hidden": "true" }, item);
      drawn("path", { class: `line fold-${fold}`, d: "M1,8H53" }, svg);
      drawn("path", { class: `marks fold-${fold}`, d: sample }, svg);
      item.append(name);
      return item;
    }),
    Object.assign(document.createElement("li"), { textContent: "ringed: needs least" }),
  );
}

function lay(section) {
  const names = section.pieces.map((one) => one[0]).join(", ");
  return sketch(section, `The lay, ${section.pieces.length} pieces: ${names}`);
}

async function show(k, goes) {
  try {
    const said = await read(`/compare/at-work/${work}/cells/${k}`);
    open = k;
    for (const [n, button] of cells) button.setAttribute("aria-pressed", String(n === k));
    opened.hidden = false;
    document.getElementById("opened-head").textContent = said.title;
    const reason = document.getElementById("opened-reason");
    reason.textContent = said.reason;
    document.getElementById("opened-lays").replaceChildren(...said.sections.map(lay));
    const facts = document.getElementById("opened-facts");
    facts.closest("table").hidden = said.rows.length === 0;
    facts.replaceChildren(
      ...said.rows.map(([name, value]) => {
        const row = document.createElement("tr");
        element("th", name, row).scope = "row";
        element("td", value, row);
        return row;
      }),
    );
    const plan = document.getElementById("opened-plan");
    plan.hidden = !said.plan;
    if (said.plan) plan.href = said.plan;
    if (goes) {
      opened.scrollIntoView({ block: "nearest" });
      document.getElementById("opened-head").focus({ preventScroll: true });
    }
  } catch (error) {
    sayRefused(error);
  }
}

document.getElementById("opened-close").addEventListener("click", () => {
  opened.hidden = true;
  const button = cells.get(open);
  open = null;
  button?.setAttribute("aria-pressed", "false");
  button?.focus();
});

let wanted = false;
let reading = false;

/** Read the table as it is; one at a time, and once more if it changed meanwhile. */
async function look() {
  wanted = true;
  if (reading) return;
  reading = true;
  try {
    while (wanted) {
      wanted = false;
      const said = await read(`/compare/at-work/${work}/table`);
      build(said.tables);
      fill(said.tables);
      chart(said.chart);
      if (open !== null) await show(open, false);
    }
  } catch (error) {
    sayRefused(error);
  } finally {
    reading = false;
  }
}

function over(words) {
  step.textContent = words;
  bar.hidden = true;
  document.getElementById("enough").hidden = true;
  document.getElementById("csv").hidden = false;
}

if (work) {
  const enough = document.getElementById("enough");
  enough.hidden = false;
  const following = follow(workOf(work), {
    step: (said) => {
      step.textContent = said.words;
      if (said.of) bar.value = said.done / said.of;
    },
    cells: look,
    done: async (said) => {
      over(said.interrupted ? "Ended; what was found until then stays." : "Done.");
      document.getElementById("words").replaceChildren(
        ...said.words.map((text) => Object.assign(document.createElement("p"), { textContent: text, className: "quiet" })),
      );
      await look();
    },
    failed: (said) => {
      over("");
      say(said.lines, "wrong");
    },
  });
  enough.addEventListener("click", () => {
    step.textContent = "It comes to an end.";
    following.end().catch(sayRefused);
  });
}
