// A search while it goes on: the best layout so far is drawn as it comes.
import { follow, put, say, sayRefused, send, workOf } from "./page.js";
import { sketch } from "./sketch.js";

const QUIET_MS = 5000;
const DRAWN_MS = 250;
const box = document.getElementById("search");
const stage = document.getElementById("stage");
const spoken = document.getElementById("spoken");
const cloths = document.getElementById("cloths");
const enough = document.getElementById("enough");
const units = document.getElementById("units").value;

/** A drawing is made once for each cloth and then changed, so that nothing flickers. */
const shown = new Map();

function placeFor(name) {
  if (shown.has(name)) return shown.get(name);
  const section = document.createElement("section");
  section.className = "sheet sofar";
  const title = document.createElement("h2");
  title.textContent = name;
  title.dir = "auto";
  const words = document.createElement("p");
  const pictures = document.createElement("div");
  section.append(title, words, pictures);
  cloths.append(section);
  const place = { words, pictures, length: "" };
  shown.set(name, place);
  return place;
}

function sentence(cloth) {
  const bound = cloth.above ? ` Cloth spread so takes at least ${cloth.bound[units]}; this is ${cloth.above} above.` : "";
  return `Shortest so far: ${cloth.length[units]}, ${cloth.fold}.${bound}`;
}

// Pictures follow each other no sooner than anyone sees; the last one is always drawn.
let next = null;
let drawing = false;
function best(said) {
  next = said;
  if (drawing) return;
  drawing = true;
  draw(next);
  next = null;
  setTimeout(() => {
    drawing = false;
    if (next) best(next);
  }, DRAWN_MS);
}

function draw(said) {
  for (const cloth of said.cloths) {
    const place = placeFor(cloth.name);
    const words = sentence(cloth);
    if (words === place.length) continue;
    place.length = words;
    place.words.textContent = words;
    place.pictures.replaceChildren(
      ...cloth.sections.map((section) => sketch(section, `${cloth.name}: ${section.pieces.length} pieces laid. ${words}`)),
    );
  }
  speak(said.cloths.map((cloth) => `${cloth.name}: ${cloth.length[units]}`).join("; "));
}

// One line every few seconds is enough to hear; the last one counts.
let waits = "";
let free = true;
function speak(words) {
  waits = words;
  if (!free) return;
  free = false;
  spoken.textContent = waits;
  waits = "";
  setTimeout(() => {
    free = true;
    if (waits) speak(waits);
  }, QUIET_MS);
}

function over() {
  // Nothing can be ended any more.
  enough.parentElement.hidden = true;
  document.getElementById("after").hidden = false;
}

function add(place, kind, words, name = "") {
  const element = document.createElement(kind);
  if (words) element.textContent = words;
  if (name) element.className = name;
  place.append(element);
  return element;
}

/** One idea: its words, and a button where options ask for it, or what the garment file would say. */
function idea(list, cloth, told) {
  const item = add(list, "li", "");
  item.value = told.number;
  add(item, "p", told.words).dir = "auto";
  if (told.in_file) add(item, "p", `To have it so: ${told.in_file}`, "hint").dir = "auto";
  if (!Object.keys(told.asks).length) return;
  const button = add(item, "button", "Lay it so", "plain");
  button.type = "button";
  button.setAttribute("aria-label", `Lay it so: idea ${told.number}`);
  button.addEventListener("click", async () => {
    button.disabled = true;
    try {
      const changed = { cloth, idea: told.number };
      location.assign((await send(`/new/plan/changed/${encodeURIComponent(box.dataset.work)}`, changed)).go);
    } catch (error) {
      button.disabled = false;
      sayRefused(error);
    }
  });
}

/** Too little cloth: what would help, in words and a picture. */
function short(told) {
  const place = document.getElementById("short");
  place.hidden = false;
  place.replaceChildren();
  stage.textContent = "There is too little cloth. Nothing was written.";
  spoken.textContent = stage.textContent;
  for (const [cloth, one] of told.entries()) {
    const sheet = add(place, "section", "", "sheet");
    add(sheet, "h2", "What would help");
    add(sheet, "p", one.head, "wrong");
    for (const warning of one.warnings || []) add(sheet, "p", warning, "note");
    if (one.verdict) add(sheet, "p", one.verdict);
    for (const group of one.groups) {
      add(sheet, "h3", group.heading);
      const list = add(sheet, "ol", "");
      for (const one of group.ideas) idea(list, cloth, one);
      if (group.more) add(sheet, "p", group.more, "hint");
    }
    add(sheet, "p", one.closing, "hint");
    if (one.picture) {
      const figure = add(sheet, "figure", "");
      // A drawing of our own, in which all names are escaped.
      put(figure, one.picture.svg);
      add(figure, "figcaption", one.picture.words);
    }
  }
  cloths.hidden = true;
}

let told = stage.textContent;

const work = follow(
  workOf(box.dataset.work),
  {
    stage: (said) => {
      told = said.words;
      stage.textContent = told;
      speak(told);
    },
    best,
    short: (said) => say(said.lines, "note"),
    beat: () => {},
    // The program answers, for the first time or once more.
    heard: () => {
      stage.textContent = told;
    },
    lost: () => {
      stage.textContent = "The program does not answer. If it was ended, the best that was found is kept in the plans folder.";
      speak(stage.textContent);
    },
    done: (said) => {
      over();
      if (said.go) location.replace(said.go);
      else if (said.short) short(said.short);
    },
    failed: (said) => {
      over();
      stage.textContent = said.blame === "no layout" ? "No layout fits." : "This did not work.";
      say(said.lines, "wrong");
    },
    ending: () => {
      over();
      say("The program is ending; the best that was found is kept in the plans folder.");
    },
  },
);

enough.addEventListener("click", async () => {
  enough.disabled = true;
  try {
    await work.end();
    say("Ending with the best that was found; it is written now.");
  } catch (error) {
    enough.disabled = false;
    sayRefused(error);
  }
});
