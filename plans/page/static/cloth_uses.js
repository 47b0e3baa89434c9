// What a leftover is good for: asked once, told garment by garment.
import { clearFindings, fieldsOf, follow, say, sayRefused, send, workOf } from "./page.js";

const form = document.getElementById("uses");
const step = document.getElementById("uses-step");
const end = document.getElementById("uses-end");
const found = document.getElementById("uses-found");
const leftOut = document.getElementById("uses-left-out");

function rows(place, lines) {
  place.replaceChildren(
    ...lines.map((cells) => {
      const row = document.createElement("tr");
      for (const text of cells) {
        const cell = document.createElement("td");
        cell.dir = "auto";
        cell.textContent = text;
        row.append(cell);
      }
      return row;
    }),
  );
}

function pieces(list) {
  found.hidden = false;
  rows(document.getElementById("uses-pieces"), list.map((use) => [use.garment, use.role, use.piece, use.fit]));
}

function finished() {
  end.hidden = true;
  form.querySelector("button[type=submit]").disabled = false;
}

function listen(work) {
  step.textContent = "It is worked out.";
  leftOut.replaceChildren();
  end.hidden = false;
  const following = follow(work, {
    garments: (said) => {
      step.textContent = `${said.done} of ${said.of} garments tried.`;
      pieces(said.pieces);
    },
    done: (said) => {
      finished();
      step.textContent = said.ended ? "Ended; what was found until then stays." : "Done.";
      pieces(said.pieces);
      document.getElementById("uses-none").hidden = said.ended || said.pieces.length > 0;
      document.getElementById("uses-together").textContent = said.together.length
        ? `All pieces at once: ${said.together.join(", ")}.`
        : "";
      if (said.left_out.length) say(said.left_out, "wrong", leftOut);
      rows(document.getElementById("uses-strips"), said.strips);
      document.getElementById("uses-strips-box").hidden = said.strips.length === 0;
      document.getElementById("uses-rectangles").replaceChildren(
        ...said.rectangles.map((text) => {
          const line = document.createElement("li");
          line.textContent = text;
          return line;
        }),
      );
    },
    failed: (said) => {
      finished();
      step.textContent = "";
      say(said.lines, "wrong");
    },
  });
  end.onclick = () => following.end().catch(sayRefused);
}

form.addEventListener("submit", async (event) => {
  event.preventDefault();
  clearFindings(form);
  form.querySelector("button[type=submit]").disabled = true;
  try {
    listen(await send(form.getAttribute("action"), fieldsOf(form)));
  } catch (error) {
    finished();
    sayRefused(error, form);
  }
});

if (form.dataset.work) {
  listen(workOf(form.dataset.work));
}
