// What a drawing leaves open: findings at their fields until nothing is missing.
import { clearFindings, sayRefused, send } from "./page.js";

const form = document.getElementById("drawn-form");
const general = document.getElementById("general");

function show(findings) {
  for (const old of form.querySelectorAll(".finding")) old.remove();
  clearFindings(form);
  general.replaceChildren();
  let first = null;
  for (const one of findings) {
    const field = one.field && form.elements.namedItem(one.field);
    const box = document.createElement(field ? "p" : "li");
    box.className = `finding ${one.kind}`;
    box.dir = "auto";
    box.textContent = one.words;
    if (!field) {
      general.append(box);
      continue;
    }
    box.id = `said-${one.field}`;
    field.after(box);
    field.setAttribute("aria-describedby", box.id);
    if (one.kind === "error") {
      field.setAttribute("aria-invalid", "true");
      first = first || field;
    }
  }
  return first;
}

function told() {
  const data = { pieces: [] };
  const pieces = {};
  for (const field of form.elements) {
    if (!field.name || !field.value) continue;
    const at = field.name.match(/^pieces\[(\d+)\]\.(.+)$/);
    if (!at) data[field.name] = field.value;
    else (pieces[at[1]] ||= { number: Number(at[1]) })[at[2]] = field.value;
  }
  data.pieces = Object.values(pieces);
  return data;
}

/** The program counts what was sent; the form counts pieces. */
function atPiece(field, sent) {
  const at = field.match(/^pieces\[(\d+)\]\.(.+)$/);
  return at ? `pieces[${sent[at[1] - 1].number}].${at[2]}` : field;
}

form.addEventListener("submit", async (event) => {
  event.preventDefault();
  const data = told();
  try {
    const answer = await send(form.getAttribute("action"), data);
    if (answer.go) return location.assign(answer.go);
    const first = show(answer.findings);
    (first || general).scrollIntoView({ block: "center" });
    if (first) first.focus();
  } catch (error) {
    if (error.field) error.field = atPiece(error.field, data.pieces);
    sayRefused(error, form);
  }
});

show(JSON.parse(form.dataset.findings));
