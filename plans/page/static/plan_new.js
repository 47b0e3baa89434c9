// The form of a new plan: rows of garments, and the cloth that they need.
import { fieldsOf, put, read, say, sayRefused, send } from "./page.js";

const form = document.getElementById("new-plan");
const garments = document.getElementById("garments");
const cloth = document.getElementById("cloth");
const rows = () => [...garments.querySelectorAll(".garment")];

/** Number the rows anew: fields and their labels belong together by number. */
function renumber() {
  const all = rows();
  all.forEach((row, k) => {
    const number = k + 1;
    row.setAttribute("aria-label", `Garment ${number}`);
    for (const field of row.querySelectorAll("select, input")) {
      const kind = field.name.split("-")[0];
      field.name = field.id = `${kind}-${number}`;
      field.closest(".field").querySelector("label").htmlFor = field.id;
    }
    const leave = row.querySelector(".leave-out");
    leave.textContent = `Leave out garment ${number}`;
    leave.hidden = all.length === 1;
  });
  document.getElementById("one-more").disabled = all.length >= Number(garments.dataset.most);
}

let asked = 0;

/** Ask for the sizes and roles of what is chosen now; what was filled in stays. */
async function refresh() {
  const mine = ++asked;
  const kept = fieldsOf(form);
  const query = new URLSearchParams();
  for (const [name, value] of Object.entries(kept)) {
    if (typeof value === "string" && /^(garment|size|count|cloth|width|measured|onhand)-/.test(name)) query.set(name, value);
  }
  let parts;
  try {
    parts = await read(`/new/plan/parts?${query}`);
  } catch (error) {
    sayRefused(error, form);
    return;
  }
  if (mine !== asked) return;
  for (const row of rows()) {
    const size = row.querySelector("[name^='size-']");
    const sizes = parts.sizes[size.name] || [];
    const chosen = size.value;
    size.replaceChildren(new Option("as drawn", ""), ...sizes.map((one) => new Option(one, one)));
    size.value = sizes.includes(chosen) ? chosen : "";
    size.closest(".field").hidden = !sizes.length;
  }
  // Markup of our own template, in which all that is put in is escaped.
  put(cloth, parts.cloth);
}

garments.addEventListener("change", (event) => {
  if (event.target.name.startsWith("garment-")) refresh();
});

garments.addEventListener("click", (event) => {
  if (event.target.id === "one-more") {
    const row = rows()[0].cloneNode(true);
    for (const finding of row.querySelectorAll(".finding")) finding.remove();
    row.querySelector("[name^='count-']").value = "1";
    rows().at(-1).after(row);
    renumber();
    refresh();
    row.querySelector("select").focus();
    say("One more garment is in the list.");
  } else if (event.target.classList.contains("leave-out")) {
    event.target.closest(".garment").remove();
    renumber();
    refresh();
    rows().at(-1).querySelector("select").focus();
  }
});

cloth.addEventListener("change", (event) => {
  const choice = event.target;
  if (!choice.dataset.typed) return;
  const typed = choice.closest(".role").querySelector(".typed");
  // The focus stays: whoever types to choose is not done yet.
  typed.hidden = choice.value !== choice.dataset.typed;
});

// A finding may stand in a part that is closed, or at a width that is not shown.
function reveal(name) {
  const field = name && form.querySelector(`[name="${CSS.escape(name)}"]`);
  if (!field) return;
  for (let part = field.closest("details"); part; part = part.parentElement.closest("details")) part.open = true;
  field.closest(".field").hidden = false;
}

form.addEventListener("submit", async (event) => {
  event.preventDefault();
  const button = form.querySelector("button[type=submit]");
  button.disabled = true;
  try {
    location.assign((await send("/new/plan", fieldsOf(form))).go);
  } catch (error) {
    button.disabled = false;
    for (const one of [error, ...(error.faults || [])]) reveal(one.field);
    sayRefused(error, form);
  }
});
