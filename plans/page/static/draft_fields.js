// Fields of the form: each knows its place in the garment and the name that findings call it by.
import { shown, typed } from "./draft_store.js";

let count = 0;

export function make(tag, attributes = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === undefined || value === null || value === false) continue;
    if (name === "text") made.textContent = value;
    else if (name.startsWith("on")) made.addEventListener(name.slice(2), value);
    else made.setAttribute(name, value === true ? "" : value);
  }
  made.append(...children.flat().filter((child) => child !== null && child !== undefined));
  return made;
}

export function button(words, does, options = {}) {
  const { about, name, kind = "plain small" } = options;
  const made = make("button", { type: "button", class: kind, text: words, onclick: does, "data-name": name });
  if (about) made.append(make("span", { class: "unseen", text: ` ${about}` }));
  return made;
}

export const row = (...children) => make("div", { class: "rowed" }, ...children);

export function group(words, field, ...children) {
  return make("fieldset", { "data-field": field }, make("legend", { dir: "auto", text: words }), ...children);
}

function labelled(label, input, hint, about) {
  input.id = `f${(count += 1)}`;
  const words = make("label", { for: input.id, text: label });
  if (about) words.prepend(make("span", { class: "unseen", text: `${about}: ` }));
  const box = make("div", { class: "field" }, words, input);
  if (hint) {
    const said = make("span", { class: "hint", id: `${input.id}-hint`, text: hint });
    input.setAttribute("aria-describedby", said.id);
    input.dataset.hint = said.id;
    box.append(said);
  }
  return box;
}

/** A text or a length. `take` makes a value of what is typed; an empty field is taken out. */
export function text(store, options) {
  const { label, path, name, hint, about, list, size = "short", keep = false, take = typed, then } = options;
  const input = make("input", {
    type: "text", name, class: size, dir: "auto", list, value: options.value ?? shown(store.get(path)),
    spellcheck: "false", autocapitalize: "off", enterkeyhint: "next",
  });
  input.addEventListener("input", () => {
    const value = input.value === "" && !keep ? undefined : take(input.value);
    if (then) then(value, input);
    else store.type(path, value);
  });
  return labelled(label, input, hint, about);
}

export function choice(store, options) {
  const { label, path, name, hint, about, choices, then } = options;
  const now = options.value ?? shown(store.get(path));
  const listed = choices.map((one) => (Array.isArray(one) ? one : [one, one || "as usual"]));
  if (!listed.some(([value]) => value === now)) listed.push([now, now]);
  const select = make(
    "select", { name },
    listed.map(([value, words]) => make("option", { value, selected: value === now, text: words })),
  );
  select.addEventListener("change", () => {
    if (then) then(select.value);
    else store.change(() => store.put(path, select.value === "" ? undefined : select.value));
  });
  return labelled(label, select, hint, about);
}

export function tick(store, options) {
  const { label, path, name, about, then, usual = false } = options;
  const input = make("input", { type: "checkbox", name, id: `f${(count += 1)}` });
  input.checked = options.value ?? (store.get(path) ?? usual) === true;
  input.addEventListener("change", () => {
    if (then) then(input.checked);
    else store.change(() => store.put(path, input.checked === usual ? undefined : input.checked));
  });
  const words = make("label", { for: input.id, text: label });
  if (about) words.prepend(make("span", { class: "unseen", text: `${about}: ` }));
  return make("div", { class: "field tick" }, input, words);
}

/** A point: how far across and how far up, each as on a ruler. */
export function point(store, { path, name, about }) {
  const pair = ["x", "y"].map((axis, k) =>
    text(store, {
      label: k ? "up" : "across", path: [...path, k], name: `${name}.${axis}`, about, keep: true,
      then: (value) => {
        store.remember(JSON.stringify([...path, k]));
        const now = store.get(path);
        if (!Array.isArray(now) || now.length !== 2) store.put(path, ["", ""]);
        store.put([...path, k], value);
        store.tell("typed");
      },
    }),
  );
  return make("span", { class: "rowed point", "data-field": name }, pair);
}

const joined = (value) => (Array.isArray(value) ? value.map(shown).join(" + ") : shown(value));

/** Several names in one field, with + between; one alone stands without a list. */
function apart(words, always) {
  const parts = words.split("+").map((part) => typed(part.trim())).filter((part) => part !== "");
  return parts.length === 1 && !always ? parts[0] : parts;
}

/** A row of fields by what a table of the garment file holds: [key, kind, label]. */
export function tableFields(store, spec, path, name, about) {
  return spec.map(([key, kind, label, more]) => {
    const at = { label, path: [...path, key], name: `${name}.${key}`, about };
    switch (kind) {
      case "edge": return text(store, { ...at, list: "edge-names", size: "middle", take: (v) => v });
      case "piece": return text(store, { ...at, list: "piece-names", size: "middle", take: (v) => v });
      case "words": return text(store, { ...at, size: "middle", take: (v) => v });
      case "tick": return tick(store, { ...at, usual: more });
      case "choice": return choice(store, { ...at, choices: more });
      case "point": return make("span", { class: "rowed" }, make("span", { class: "hint", text: label }), point(store, { ...at, about: `${about || ""} ${label}` }));
      case "names":
      case "list": return text(store, {
        ...at, list: more, size: "long", value: joined(store.get(at.path)), take: (v) => apart(v, kind === "list"),
      });
      case "place": return make("span", { class: "rowed", "data-field": at.name },
        text(store, { ...at, label: `${label} edge`, path: [...at.path, "edge"], name: `${at.name}.edge`, list: "edge-names", size: "middle", take: (v) => v }),
        text(store, { ...at, label: "along", path: [...at.path, "along"], name: `${at.name}.along` }));
      default: return text(store, at);
    }
  });
}

/** A list of tables as rows that can be put in and taken out; one table alone is a list of one. */
export function listRows(store, { words, path, name, fresh, one, add, hint }) {
  const listed = store.get(path);
  const alone = Boolean(listed) && typeof listed === "object" && !Array.isArray(listed);
  const entries = alone ? [listed] : Array.isArray(listed) ? listed : [];
  const nameOf = (k) => (alone ? name : `${name}[${k + 1}]`);
  const rows = entries.map((entry, k) =>
    make("fieldset", { "data-field": nameOf(k) },
      make("legend", { text: `${words} ${k + 1}` }),
      row(one(entry, k, alone ? path : [...path, k], nameOf(k)), button("Take out", () =>
        store.change(() => store.put(path, entries.length > 1 ? entries.filter((_, n) => n !== k) : undefined)),
      { about: `${words} ${k + 1}` }))));
  const more = button(add, () => {
    store.change(() => store.put(path, [...entries, fresh()]));
    store.dispatchEvent(new CustomEvent("to", { detail: `${name}[${entries.length + 1}]` }));
  }, { name: `add ${name}` });
  return make("div", { "data-field": alone ? null : name }, hint ? make("p", { class: "hint", text: hint }) : null, rows, row(more));
}

/** A value as a garment file has it, for keys that the form has no row for. */
export function asWritten(value) {
  if (Array.isArray(value)) return `[${value.map(asWritten).join(", ")}]`;
  if (value && typeof value === "object") {
    return `{ ${Object.entries(value).map(([key, inner]) => `${key} = ${asWritten(inner)}`).join(", ")} }`;
  }
  return JSON.stringify(value);
}
