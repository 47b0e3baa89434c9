// A fabric of one's own: findings at their fields while one types, and never over another's change.
import { fieldsOf, say, sayRefused, send } from "./page.js";
import { afterPause } from "./cloth.js";

const form = document.getElementById("fabric-form");
const general = document.getElementById("fabric-findings");
const beside = document.getElementById("beside");
const flaws = document.getElementById("flaws");
let digest = form.dataset.digest;

function typed() {
  const data = { was: form.dataset.was, copied: form.dataset.copied, digest };
  for (const [name, value] of Object.entries(fieldsOf(form))) {
    if (!name.startsWith("flaws[")) data[name] = value;
  }
  data.flaws = [...flaws.querySelectorAll(".flaw")].map((row) =>
    Object.fromEntries([...row.querySelectorAll("[data-flaw]")].map((field) => [field.dataset.flaw, field.value])),
  );
  return data;
}

function fieldOf(name) {
  const exact = form.querySelector(`[name="${CSS.escape(name)}"]`);
  return exact || (name && form.querySelector(`[name^="${CSS.escape(`${name}.`)}"]`));
}

function clear() {
  for (const box of form.querySelectorAll(".finding")) box.remove();
  for (const field of form.querySelectorAll("[aria-describedby]")) {
    field.removeAttribute("aria-invalid");
    if (field.dataset.hint) field.setAttribute("aria-describedby", field.dataset.hint);
    else if (field.getAttribute("aria-describedby").startsWith("finding-")) field.removeAttribute("aria-describedby");
  }
  general.replaceChildren();
}

/** Show each finding at its field; those of no field above the button. */
function show(findings) {
  clear();
  const others = [];
  for (const one of findings) {
    const field = fieldOf(one.field);
    if (!field) {
      others.push(`${one.field ? `${one.field}: ` : ""}${one.text}`);
      continue;
    }
    const said = document.getElementById(`finding-${field.name}`);
    if (said) {
      said.textContent += `; ${one.text}`;
      continue;
    }
    const box = document.createElement("p");
    box.className = one.fatal ? "finding" : "finding question";
    box.id = `finding-${field.name}`;
    box.dir = "auto";
    box.textContent = one.text;
    field.toggleAttribute("aria-invalid", false);
    if (one.fatal) field.setAttribute("aria-invalid", "true");
    field.setAttribute("aria-describedby", [field.dataset.hint, box.id].filter(Boolean).join(" "));
    (field.closest("label") || field).after(box);
  }
  if (others.length) say(others, "wrong", general);
}

// What is typed outlives a closed tab; with what the file was then, so that no change is lost.

const slot = `fabric ${form.dataset.was} ${form.dataset.copied}`;

function store() {
  localStorage.setItem(slot, JSON.stringify(typed()));
}

function restore() {
  const kept = JSON.parse(localStorage.getItem(slot) || "null");
  if (!kept) return;
  for (const field of form.elements) {
    if (!field.name || field.dataset.flaw) continue;
    if (field.type === "checkbox") field.checked = Boolean(kept[field.name]);
    else if (field.tagName !== "SELECT" || kept[field.name]) field.value = kept[field.name] || "";
  }
  flaws.replaceChildren();
  for (const row of kept.flaws) {
    flaws.append(document.getElementById("flaw-row").content.cloneNode(true));
    for (const field of flaws.lastElementChild.querySelectorAll("[data-flaw]")) field.value = row[field.dataset.flaw] || "";
  }
  number();
  digest = kept.digest;
  const drop = document.createElement("button");
  drop.type = "button";
  drop.className = "plain";
  drop.textContent = "Drop it";
  drop.addEventListener("click", () => {
    localStorage.removeItem(slot);
    location.reload();
  });
  say("What you typed here and did not keep stands here again.", "note").append(drop);
  check();
}

let latest = 0;
const check = afterPause(async () => {
  store();
  const mine = ++latest;
  try {
    const said = await send("/cloth/fabrics/check", typed());
    // Until a width is typed nobody need be told that it is missing.
    const begun = form.elements.width.value.trim() !== "";
    if (mine === latest) show(said.findings.filter((one) => begun || one.field !== "width"));
  } catch (error) {
    if (mine === latest) sayRefused(error, form);
  }
}, 350);

function number() {
  [...flaws.querySelectorAll(".flaw")].forEach((row, at) => {
    row.querySelector(".flaw-number").textContent = at + 1;
    for (const field of row.querySelectorAll("[data-flaw]")) field.name = `flaws[${at + 1}].${field.dataset.flaw}`;
  });
}

form.addEventListener("input", check);
flaws.addEventListener("click", (event) => {
  const button = event.target.closest(".flaw-away");
  if (!button) return;
  button.closest(".flaw").remove();
  number();
  check();
  document.getElementById("flaw-more").focus();
});
document.getElementById("flaw-more").addEventListener("click", () => {
  flaws.append(document.getElementById("flaw-row").content.cloneNode(true));
  number();
  flaws.lastElementChild.querySelector("input").focus();
});

async function keep() {
  latest += 1;
  const said = await send(form.getAttribute("action"), typed());
  if (said.go) {
    localStorage.removeItem(slot);
    location.assign(said.go);
  }
  if (said.changed) {
    say(said.changed.lines, "wrong");
    beside.hidden = false;
    beside.querySelector("pre").textContent = said.changed.text;
    digest = said.changed.digest;
    document.getElementById("mine").focus();
  }
}

async function tryToKeep() {
  const button = form.querySelector("button[type=submit]");
  button.disabled = true;
  try {
    await keep();
  } catch (error) {
    clear();
    sayRefused(error, form);
    if (error.findings) show(error.findings);
    form.querySelector("[aria-invalid]")?.focus();
  } finally {
    button.disabled = false;
  }
}

form.addEventListener("submit", (event) => {
  event.preventDefault();
  tryToKeep();
});
document.getElementById("mine").addEventListener("click", tryToKeep);
for (const link of document.querySelectorAll("[data-drops]")) {
  link.addEventListener("click", () => localStorage.removeItem(slot));
}
restore();
