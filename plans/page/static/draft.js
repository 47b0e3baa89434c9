// Drafting a garment: rows that are typed, the picture, what check says, and keeping it all.
import { button, make } from "./draft_fields.js";
import { garmentPart } from "./draft_garment.js";
import { Keeper } from "./draft_keep.js";
import { Letters } from "./draft_letters.js";
import { piecePart } from "./draft_piece.js";
import { Picture } from "./draft_picture.js";
import { knownSize } from "./draft_sizes.js";
import { Store, copyOf } from "./draft_store.js";
import { hush, read, say, sayRefused, send } from "./page.js";

const JUDGE_MS = 40;
const WHOLE_MS = 450;
const root = document.getElementById("draft");
const where = root.dataset.where;
const form = document.getElementById("form");
const parts = document.getElementById("parts");
const list = document.getElementById("findings");
const counted = document.getElementById("count");
const kept = document.getElementById("kept");
const meanwhile = document.getElementById("meanwhile");

const opened = await read(`${where}/draft/state`);
const store = new Store(opened.data);
const steps = `laywright-steps:${opened.name}`;
store.takeUp(steps, opened.data);
addEventListener("pagehide", () => store.leave(steps));
const keeper = new Keeper(where, store, opened);
const letters = new Letters(form, draw);
const picture = new Picture(document.getElementById("picture"), document.getElementById("under"), goTo);
let now = 0; // Number of the piece that is shown; -1 for the garment as a whole.
let size = ""; // The size that is shown; empty for as drawn.
let findings = [];
let finished = false; // Whether it was to be put on the shelf, so that what is empty is at fault.
let missed = null; // What a refusal said for which the picture and the findings stayed as they were.
let waiting = { soon: 0, later: 0, busy: false, again: false };

const asPiece = new URLSearchParams(location.search).get("piece");
if (asPiece !== null) now = Math.max(0, store.data.piece.findIndex((one) => one.name === asPiece));
if (!store.data.piece.length) now = -1;

// ---- Rows ----------------------------------------------------------------------------------

function showParts() {
  const faulty = new Set(findings.filter((one) => one.kind === "error").map((one) => one.piece ?? -1));
  const one = (words, k) => {
    const made = button(words, () => show(k), { kind: "plain small", about: faulty.has(k) ? "(something to mend)" : "" });
    made.dir = "auto";
    made.dataset.part = k;
    if (k === now) made.setAttribute("aria-current", "true");
    made.classList.toggle("faulty", faulty.has(k));
    return made;
  };
  const focused = document.activeElement?.dataset?.part;
  parts.replaceChildren(one("The garment", -1), ...store.data.piece.map((piece, k) => one(piece.name || `piece ${k + 1}`, k)),
    button("One more piece", addPiece, { kind: "small", name: "add piece" }));
  if (focused !== undefined) parts.querySelector(`[data-part="${focused}"]`)?.focus();
}

function addPiece() {
  const last = store.data.piece[now] || store.data.piece.at(-1) || {};
  let number = store.data.piece.length + 1;
  const names = new Set(store.data.piece.map((piece) => piece.name));
  while (names.has(`piece ${number}`)) number += 1;
  const fresh = { name: `piece ${number}`, cut: { main: "2" }, drawn: last.drawn || "net", grain: "up", edges: [{ to: ["", ""] }] };
  if (fresh.drawn === "net") fresh.allowance = last.allowance ?? (store.data.units === "in" ? "5/8 in" : "1.5 cm");
  now = store.data.piece.length;
  store.change((data) => data.piece.push(fresh));
  goTo("name");
}

const leave = {
  copy(k) {
    const copied = copyOf(store.data.piece[k]);
    delete copied["@"];
    copied.name = `${copied.name || "piece"} copy`;
    now = k + 1;
    store.change((data) => data.piece.splice(k + 1, 0, copied));
    goTo("name");
  },
  out(k) {
    const name = store.data.piece[k].name || `piece ${k + 1}`;
    now = Math.min(k, store.data.piece.length - 2);
    store.change((data) => data.piece.splice(k, 1));
    const box = say(`${name} is taken out.`, "note");
    const back = button("Undo", () => store.undo());
    box.append(back);
    back.focus();
  },
};

function show(k, inSize = size) {
  now = k;
  size = inSize;
  picture.field = "";
  letters.soon();
  judge(true);
}

/** Draw the rows anew; the field that is typed in keeps the focus. */
function draw() {
  now = Math.min(now, store.data.piece.length - 1);
  size = now < 0 ? size : knownSize(store.data, now, size);
  const focused = document.activeElement;
  const inside = form.contains(focused);
  const name = inside ? focused.name || focused.dataset.name || "" : "";
  const at = inside && focused.selectionStart !== undefined ? focused.selectionStart : null;
  form.replaceChildren(...[now < 0 ? garmentPart(store) : piecePart(store, now, leave, size, (to) => show(now, to))].flat(3).filter(Boolean));
  showParts();
  names();
  document.getElementById("undo").disabled = !store.past.length;
  document.getElementById("redo").disabled = !store.future.length;
  const again = name && (form.elements.namedItem(name) || form.querySelector(`[data-name="${CSS.escape(name)}"]`));
  if (again && again.focus) {
    again.focus();
    if (at !== null && again.setSelectionRange && again.type === "text") again.setSelectionRange(at, at);
  } else if (inside) form.querySelector("input, select")?.focus();
  showFindings();
}

function names() {
  const options = (id, words) => document.getElementById(id).replaceChildren(...words.map((value) => make("option", { value })));
  const drawn = picture.now.edges ? picture.now.edges.map(([name]) => name) : [];
  options("edge-names", [...new Set(drawn)]);
  options("piece-names", store.data.piece.map((piece) => piece.name).filter((name, k) => name && k !== now));
  options("sewn-names", store.data.piece.flatMap((piece) => (piece.edges || []).map((edge, k) => `${piece.name}.${edge.name || `edge ${k + 1}`}`)));
}

// ---- What check says -----------------------------------------------------------------------

async function judge(whole) {
  if (waiting.busy) {
    waiting.again = waiting.again || (whole ? "whole" : "alone");
    return;
  }
  waiting.busy = true;
  const [piece, inSize] = [now, size];
  try {
    const answer = await send(`${where}/draft/judge`, { data: store.data, piece, alone: !whole && piece >= 0, size, finished });
    caughtUp();
    if (piece === now && inSize === size) picture.show(answer.picture);
    findings = answer.alone
      ? [...answer.findings.filter((one) => one.piece === piece), ...findings.filter((one) => one.piece !== piece)]
      : answer.findings;
    showFindings();
    if (!answer.alone) showParts();
    names();
    root.dataset.judged = String(Number(root.dataset.judged || 0) + 1);
  } catch (error) {
    caughtUp();
    if (error.status) sayRefused(error);
    else kept.textContent = error.message;
    missed = (error.status && document.querySelector("#messages > .wrong")) || kept;
  } finally {
    waiting.busy = false;
    const again = waiting.again;
    waiting.again = false;
    if (again) judge(again === "whole");
  }
}

/** Take back what was said of judging; whether there was anything. */
function caughtUp() {
  const was = missed;
  if (was && was !== kept) was.remove();
  missed = null;
  return was !== null;
}

function judgeSoon() {
  clearTimeout(waiting.soon);
  clearTimeout(waiting.later);
  waiting.soon = setTimeout(() => judge(false), JUDGE_MS);
  waiting.later = setTimeout(() => judge(true), WHOLE_MS);
}

/** The field, or the row, that a finding is about: the nearest that there is. */
function fieldOf(name) {
  for (let part = name; part; part = part.replace(/(\.[^.[\]]*|\[\d+\])$/, "")) {
    const field = form.elements.namedItem(part) || form.querySelector(`[data-field="${CSS.escape(part)}"]`);
    if (field) return field instanceof RadioNodeList ? field[0] : field;
    if (!/[.[]/.test(part)) return null;
  }
  return null;
}

function showFindings() {
  for (const old of form.querySelectorAll(".finding:not(.twice), .asked")) old.remove();
  for (const field of form.querySelectorAll("[aria-invalid], [aria-describedby]")) {
    field.removeAttribute("aria-invalid");
    if (field.dataset.hint) field.setAttribute("aria-describedby", field.dataset.hint);
    else field.removeAttribute("aria-describedby");
  }
  findings.forEach((one, n) => {
    if ((one.piece ?? -1) !== now || one.size !== size) return;
    const field = one.field && fieldOf(one.field);
    if (!field) return;
    const box = make("p", { class: one.kind === "empty" ? "hint asked" : `finding ${one.kind}`, id: `finding-${n}`, dir: "auto", text: one.words });
    if (!field.matches("input, select, textarea")) {
      const legend = field.querySelector(":scope > legend");
      if (legend) legend.after(box);
      else field.prepend(box);
      return;
    }
    let near = field.closest(".field");
    while (near.parentElement.matches(".point")) near = near.parentElement;
    box.classList.add("findings-here");
    near.after(box);
    if (one.kind === "error") field.setAttribute("aria-invalid", "true");
    field.setAttribute("aria-describedby", [field.getAttribute("aria-describedby"), box.id].filter(Boolean).join(" "));
  });
  const errors = findings.filter((one) => one.kind === "error").length;
  const questions = findings.filter((one) => one.kind === "question").length;
  const empty = findings.length - errors - questions;
  const some = (n, one, more) => (n ? `${n} ${n > 1 ? more : one}` : "");
  const words = [some(errors, "thing to mend", "things to mend") || "Nothing to mend", some(questions, "question", "questions"),
    some(empty, "field still empty", "fields still empty")].filter(Boolean).join(", ");
  const said = findings.length ? `${words}.` : "A sound garment; are the figures yours?";
  if (counted.textContent !== said) counted.textContent = said;
  list.replaceChildren(...findings.filter((one) => one.kind !== "empty").map((one) => {
    const place = [one.size && `size ${one.size}`, one.name && `piece '${one.name}'`, one.place].filter(Boolean).join(", ");
    return make("li", { class: one.kind }, make("button", {
      type: "button", dir: "auto", text: place ? `${place}: ${one.words}` : one.words,
      onclick: () => {
        if ((one.piece ?? -1) !== now || one.size !== size) show(one.piece ?? -1, one.size);
        goTo(one.field);
      },
    }));
  }));
}

function goTo(name) {
  let field = fieldOf(name || "");
  if (field && !field.matches("input, select, textarea, button")) field = field.querySelector("input, select, textarea, button") || field;
  if (!field) return;
  field.focus();
  if (field.select && field.type === "text") field.select();
  field.scrollIntoView({ block: "nearest" });
}

// ---- Typing, undo and redo -----------------------------------------------------------------

function altered() {
  keeper.changed();
  judgeSoon();
  document.getElementById("undo").disabled = !store.past.length;
  document.getElementById("redo").disabled = !store.future.length;
}

store.addEventListener("typed", altered);
store.addEventListener("changed", () => {
  letters.soon();
  altered();
});
store.addEventListener("to", (event) => goTo(event.detail));
form.addEventListener("submit", (event) => event.preventDefault());
form.addEventListener("change", () => store.rest());
form.addEventListener("focusin", (event) => {
  picture.mark(event.target.name || event.target.closest("[data-field]")?.dataset.field || "");
  const lit = event.target.closest("fieldset.edge-row");
  for (const one of form.querySelectorAll("fieldset.lit")) one.classList.remove("lit");
  if (lit) lit.classList.add("lit");
});
form.addEventListener("keydown", (event) => {
  if (event.key === "Enter" && event.target.matches("input") && !event.defaultPrevented) event.preventDefault();
});
document.getElementById("undo").addEventListener("click", () => store.undo());
document.getElementById("redo").addEventListener("click", () => store.redo());
document.addEventListener("keydown", (event) => {
  const inText = event.target.matches?.("input[type=text], textarea");
  if (inText || !(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== "z") return;
  event.preventDefault();
  if (event.shiftKey) store.redo();
  else store.undo();
});

// ---- Keeping -------------------------------------------------------------------------------

/** Say what happened meanwhile, with what can be done about it; nothing is lost by any of it. */
function tell(lines, ...does) {
  const box = say(lines, "note", meanwhile);
  box.append(make("p", { class: "rowed" }, does));
  return box;
}

function takeOver(told) {
  keeper.take(told);
  keeper.stopped = false;
  store.replace(copyOf(told.data));
  meanwhile.replaceChildren();
  say("This is what the other has. Undo brings back what stood here before.", "note");
}

keeper.addEventListener("kept", ({ detail }) => {
  const time = new Date().toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" });
  kept.textContent = detail.put ? "On the shelf" : `Draft kept at ${time}`;
  root.dataset.kept = String(Number(root.dataset.kept || 0) + 1);
  if (detail.disk) showDisk(detail.disk);
  if (caughtUp()) judge(true);
});
keeper.addEventListener("failed", ({ detail }) => {
  kept.textContent = detail.status ? detail.lines.join(" ") : "Not kept: the program does not answer. This is tried again, and the browser keeps what you typed.";
});
keeper.addEventListener("other", ({ detail }) => {
  tell(["Another tab changed this draft after this one had read it, so this one was not kept over it.", `What you typed here is kept as the draft ${detail.aside}.`],
    button(`Go on with ${detail.aside}`, () => location.assign(detail.go), { kind: "" }),
    button("Take what the other tab has", () => takeOver(detail.theirs)));
});
keeper.addEventListener("elsewhere", () => {
  if (keeper.stopped || keeper.unsaved) return;
  tell(["Another tab is typing in this draft."], button("Show what it has", async () => takeOver(await read(`${where}/draft/state`))));
});

let diskShown = "";
function showDisk(disk) {
  if (diskShown === disk.text) return;
  diskShown = disk.text;
  const name = make("input", { type: "text", dir: "auto", value: `${root.dataset.name}-mine`, id: "aside-name" });
  const box = tell(["The garment file was changed by something else after you began. It is not written over; what you type is kept as a draft."],
    make("div", { class: "field" }, make("label", { for: "aside-name", text: "Keep what is typed here as" }), name),
    button("Keep mine under that name", async () => {
      try {
        const answer = await keeper.send("aside", { to: name.value });
        keeper.unsaved = false;
        location.assign(answer.go);
      } catch (error) {
        sayRefused(error);
      }
    }, { kind: "" }),
    disk.data ? button("Take the file as it is", () => {
      diskShown = "";
      takeOver({ data: disk.data, former: disk.text, stamp: keeper.stamp });
    }) : null);
  box.append(make("div", { class: "beside" },
    make("div", {}, make("h2", { text: "The file as it is now" }), make("pre", { tabindex: "0", text: disk.text })),
    make("div", {}, make("h2", { text: "The file as it was when you began" }), make("pre", { tabindex: "0", text: keeper.former || "" }))));
}

document.getElementById("put").addEventListener("click", async () => {
  hush();
  try {
    const answer = await keeper.put();
    finished = !answer.put;
    if (answer.put) {
      store.data = answer.data;
      draw();
      const box = say("It is on the shelf.", "well");
      box.append(make("p", {}, make("a", { href: answer.go, text: "See the garment" })));
      box.querySelector("a").focus();
    } else if (answer.findings) {
      say("Not on the shelf yet, for something is to be mended first. It is kept as a draft.", "wrong");
      findings = answer.findings;
      showFindings();
      list.querySelector("button")?.focus();
    }
  } catch (error) {
    sayRefused(error);
  }
});

let sure = false;
document.getElementById("drop").addEventListener("click", async (event) => {
  if (!sure) {
    sure = true;
    event.target.textContent = "Give it up: really?";
    setTimeout(() => {
      sure = false;
      event.target.textContent = "Give this draft up";
    }, 6000);
    return;
  }
  try {
    await keeper.keep();
    const answer = await send(`${where}/draft/drop`, { seen: keeper.stamp });
    if (answer.go) {
      keeper.unsaved = false;
      sessionStorage.setItem("taken-away", JSON.stringify([root.dataset.name, { draft: answer.draft }]));
      location.assign(answer.go);
    } else takeOver(answer);
  } catch (error) {
    sayRefused(error);
  }
});

// ---- Begin ---------------------------------------------------------------------------------

draw();
await judge(true);
if (opened.disk) showDisk(opened.disk);
const lost = keeper.remembered();
if (lost && JSON.stringify(lost.data) !== JSON.stringify(store.data)) {
  const back = () => {
    if (store.takeUp(steps, lost.data)) store.tell("changed");
    else store.replace(lost.data);
    say("What was typed while the program did not answer is back.", "note");
  };
  if (lost.follows) back();
  else tell(["This browser still has what was typed while the program did not answer."], button("Put it back", back));
} else if (opened.kept && opened.on_shelf) {
  say("This is what you typed last; it is not on the shelf yet.", "note");
}
root.dataset.ready = "yes";
