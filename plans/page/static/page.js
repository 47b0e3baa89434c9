// What every view needs: sending changes, showing what is said, and waiting for work.

/** What a request was refused with: lines for a person, and the field that they are about. */
export class Refused extends Error {
  constructor(said, status) {
    super(said.lines.join("\n"));
    this.lines = said.lines;
    this.field = said.field || "";
    this.status = status;
    this.findings = said.findings || [];
    this.faults = said.faults || [];
  }
}

async function answered(answer) {
  const text = await answer.text();
  let said;
  try {
    said = JSON.parse(text);
  } catch {
    said = { lines: [text.trim() || `The program answered with ${answer.status}.`] };
  }
  if (!answer.ok) throw new Refused(said, answer.status);
  return said;
}

const GONE = "The program does not answer: it was ended. What you typed is still here; start it again and reload.";

async function asked(address, options) {
  let answer;
  try {
    answer = await fetch(address, { credentials: "same-origin", ...options });
  } catch {
    throw new Refused({ lines: [GONE] }, 0);
  }
  return answered(answer);
}

/** Send data as JSON; resolves to the answer, throws Refused. */
export function send(address, data = {}) {
  return asked(address, {
    method: "POST",
    headers: { "Content-Type": "application/json", Accept: "application/json" },
    body: JSON.stringify(data),
  });
}

/** Hand in a file as it is; the address tells what it is for (it holds /files/). */
export function handIn(address, file) {
  return asked(address, { method: "POST", headers: { Accept: "application/json" }, body: file });
}

/** Read JSON. */
export function read(address) {
  return asked(address, { headers: { Accept: "application/json" } });
}

/** Say something to the person: kind is "wrong", "well" or "note". */
export function say(lines, kind = "note", place = document.getElementById("messages")) {
  const box = document.createElement("div");
  box.className = kind;
  if (kind === "wrong") box.setAttribute("role", "alert");
  for (const line of [lines].flat()) {
    const said = document.createElement("p");
    said.dir = "auto";
    said.textContent = line;
    box.append(said);
  }
  place.replaceChildren(box);
  return box;
}

/** Take back what was said. */
export function hush(place = document.getElementById("messages")) {
  place.replaceChildren();
}

function fieldOf(name, form) {
  return name && form.querySelector(`[name="${CSS.escape(name)}"]`);
}

/** Show what was refused: each at its field (an element with that name), else above the page. */
export function sayRefused(error, form = document) {
  clearFindings(form);
  const faults = error.faults?.length ? error.faults : [{ field: error.field, lines: error.lines || [String(error)] }];
  const boxes = faults.filter((one) => fieldOf(one.field, form)).map((one) => sayAt(fieldOf(one.field, form), one.lines));
  const others = faults.filter((one) => !fieldOf(one.field, form)).flatMap((one) => one.lines);
  if (others.length) say(others, "wrong").scrollIntoView({ block: "nearest" });
  form.querySelector("[aria-invalid]")?.focus();
  return boxes[0];
}

function sayAt(field, lines) {
  const id = `finding-${field.name}`;
  const box = document.createElement("p");
  box.className = "finding";
  box.id = id;
  box.dir = "auto";
  box.textContent = lines.join(" ");
  field.setAttribute("aria-invalid", "true");
  field.setAttribute("aria-describedby", id);
  field.after(box);
  return box;
}

/** Take back findings at fields. */
export function clearFindings(form = document) {
  for (const box of form.querySelectorAll(".finding[id^='finding-']")) box.remove();
  for (const field of form.querySelectorAll("[aria-invalid]")) {
    field.removeAttribute("aria-invalid");
    field.removeAttribute("aria-describedby");
  }
  hush();
}

/** Put markup of our own templates in the place of what an element holds; nothing of it can act. */
export function put(element, markup) {
  const made = new DOMParser().parseFromString(markup, "text/html");
  element.replaceChildren(...made.body.childNodes);
}

/** The fields of a form as an object: texts, and true or false for boxes to tick. */
export function fieldsOf(form) {
  const data = {};
  for (const field of form.elements) {
    if (!field.name || field.disabled) continue;
    if (field.type === "checkbox") data[field.name] = field.checked;
    else if (field.type === "radio") {
      if (field.checked) data[field.name] = field.value;
    } else if (field.value !== "") data[field.name] = field.value;
  }
  return data;
}

/** Send a form's fields when it is submitted; `then` gets the answer. */
export function sends(form, then) {
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    clearFindings(form);
    const button = form.querySelector("button[type=submit], button:not([type])");
    if (button) button.disabled = true;
    try {
      await then(await send(form.getAttribute("action"), fieldsOf(form)));
    } catch (error) {
      sayRefused(error, form);
    } finally {
      if (button) button.disabled = false;
    }
  });
}

/** Where the news of work come from and where it is ended, by its name. */
export function workOf(name) {
  const at = `/at-work/${encodeURIComponent(name)}`;
  return { events: `${at}/events`, end: `${at}/end` };
}

/**
 * Wait for work that a view began: `hear` has a function for each kind of news.
 *
 * A tab that is not looked at waits without a connection: a browser opens six to one server, and
 * with as many tabs none would answer any more. Looked at again it hears the last of each kind.
 */
export function follow(work, hear) {
  let source = null;
  let finished = false;
  const over = (kind, otherwise) =>
    source.addEventListener(kind, (event) => {
      finished = true;
      source.close();
      (hear[kind] || otherwise)(JSON.parse(event.data));
    });
  const listen = () => {
    source = new EventSource(work.events);
    for (const kind of Object.keys(hear)) {
      if (["done", "failed", "ending", "lost", "heard"].includes(kind)) continue;
      source.addEventListener(kind, (event) => hear[kind](JSON.parse(event.data)));
    }
    // A browser asks again by itself; until then a person should know.
    source.addEventListener("error", () => hear.lost && hear.lost());
    source.addEventListener("open", () => hear.heard && hear.heard());
    over("done", () => {});
    over("failed", (said) => say(said.lines, "wrong"));
    over("ending", () => say("The program is ending; what was found is kept.", "note"));
  };
  const leave = () => source && source.close();
  document.addEventListener("visibilitychange", () => {
    if (finished) return;
    leave();
    if (!document.hidden) listen();
  });
  listen();
  return {
    end: () => send(work.end),
    leave: () => {
      finished = true;
      leave();
    },
  };
}

for (const choice of document.querySelectorAll("[data-setting]")) {
  choice.addEventListener("change", async () => {
    try {
      await send("/settings", { [choice.dataset.setting]: choice.value });
      document.dispatchEvent(new CustomEvent("setting", { detail: choice.dataset.setting }));
      location.reload();
    } catch (error) {
      sayRefused(error);
    }
  });
}

// A form that says so sends its fields and goes where the answer says.
for (const form of document.querySelectorAll("form[data-sends]")) {
  sends(form, (answer) => {
    if (answer.go) location.assign(answer.go);
  });
}
