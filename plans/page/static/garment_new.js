// Beginning a garment: copies and files.
import { clearFindings, follow, handIn, say, sayRefused, send, workOf } from "./page.js";

const copy = document.getElementById("copy-form");
copy.addEventListener("submit", async (event) => {
  event.preventDefault();
  clearFindings(copy);
  try {
    const from = encodeURIComponent(copy.querySelector("#from").value);
    location.assign((await send(`/garments/${from}/copy`, { to: copy.querySelector("#to").value })).go);
  } catch (error) {
    sayRefused(error, copy);
  }
});

const drawing = document.getElementById("drawing-form");
drawing.addEventListener("submit", async (event) => {
  event.preventDefault();
  clearFindings(drawing);
  const file = drawing.querySelector("input").files[0];
  if (!file) return;
  say(`${file.name} is read ...`);
  try {
    location.assign((await handIn(`/new/garment/files/${encodeURIComponent(file.name)}`, file)).go);
  } catch (error) {
    sayRefused(error, drawing);
  }
});

const photographs = document.getElementById("photo-form");
photographs?.addEventListener("submit", async (event) => {
  event.preventDefault();
  clearFindings(photographs);
  const place = document.getElementById("measured");
  const field = (name) => photographs.querySelector(`[name=${name}]`).value;
  const button = photographs.querySelector("button");
  button.disabled = true;
  try {
    const photos = [];
    for (const file of photographs.querySelector("[type=file]").files) {
      say(`${file.name} is handed in ...`, "note", place);
      photos.push((await handIn(`/new/garment/files/photograph/${encodeURIComponent(file.name)}`, file)).kept);
    }
    const asked = { name: field("name"), paper: field("paper"), names: field("names"), photos };
    wait(await send("/new/garment/photographs", asked), place, button);
  } catch (error) {
    button.disabled = false;
    place.replaceChildren();
    sayRefused(error, photographs);
  }
});

function wait(work, place, button) {
  follow(work, {
    progress: (said) => say(said.words, "note", place),
    failed: (said) => {
      button.disabled = false;
      say(said.lines, "wrong", place);
    },
    ending: () => say("The program is ending; the photographs were not measured.", "note", place),
    done: (said) => showMeasured(said, place),
  });
}

const begun = new URLSearchParams(location.search).get("work");
if (begun && photographs) {
  const button = photographs.querySelector("button");
  wait(workOf(begun), document.getElementById("measured"), button);
}

/** What was measured and how well, with the pictures to compare, and the way on. */
function showMeasured(said, place) {
  const told = document.createElement("pre");
  told.tabIndex = 0;
  told.className = "scroll";
  told.textContent = said.lines.join("\n").trim();
  const on = document.createElement("a");
  on.className = "button";
  on.href = said.go;
  on.textContent = "Go on to its draft: cut, allowance and grain are still to be told";
  const pictures = said.found.map((address, n) => {
    const picture = document.createElement("img");
    picture.src = address;
    picture.alt = `Photograph ${n + 1} with the outlines that were found, as the table lists them`;
    picture.className = "picture";
    return picture;
  });
  place.replaceChildren(told, on, ...pictures);
  on.focus();
}
