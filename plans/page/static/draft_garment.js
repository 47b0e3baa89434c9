// The garment as a whole: its title, the unit of bare figures, what is sewn to what.
import { sizesOf, sizesPart } from "./draft_sizes.js";
import { asWritten, group, listRows, make, row, tableFields, text, choice } from "./draft_fields.js";

const SHOWN = new Set(["title", "description", "caution", "units", "sew", "shorter", "piece"]);
const OF_SIZES = ["sizes", "drawn_size"];
const SEAM = [["ease", "length", "ease"], ["within", "length", "within"], ["on_top", "tick", "lies on top"], ["leave", "words", "leave open"]];

/** One side of a seam: an edge, a length, or several with + between. */
function side(store, path, name, n, about) {
  const value = store.get([...path, n]);
  const words = Array.isArray(value) ? value.join(" + ") : String(value ?? "");
  return text(store, {
    label: n ? "to" : "sewn", path: [...path, n], name: `${name}.${n + 1}`, about, list: "sewn-names", size: "middle", value: words, keep: true,
    take: (typed) => {
      const parts = typed.split("+").map((part) => part.trim()).filter(Boolean);
      return parts.length > 1 ? parts : typed;
    },
  });
}

function seams(store) {
  return listRows(store, {
    words: "seam", path: ["sew"], name: "sew", add: "One more seam", fresh: () => ["", ""],
    hint: "Edges by their piece: front.side; several with + between: front.armhole + back.armhole.",
    one: (entry, k) => {
      const at = ["sew", k];
      const about = `seam ${k + 1}`;
      const plain = Array.isArray(entry);
      if (!plain && (typeof entry !== "object" || !Array.isArray(entry.edges) || (entry.leave && typeof entry.leave !== "string"))) {
        return make("pre", { tabindex: "0", text: asWritten(entry) });
      }
      const edges = plain ? at : [...at, "edges"];
      const name = `sew[${k + 1}]`;
      const sides = [0, 1].map((n) => side(store, edges, plain ? name : `${name}.edges`, n, about));
      if (!plain) return [...sides, ...tableFields(store, SEAM.filter(([key]) => key !== "leave" || entry.leave !== undefined), at, name, about)];
      return [...sides, text(store, {
        label: "ease", path: at, name: `${name}.ease`, about, value: "",
        then: (value, input) => {
          store.change(() => store.put(at, { edges: entry, ease: value }));
          store.dispatchEvent(new CustomEvent("to", { detail: `${name}.ease` }));
          input.blur();
        },
      })];
    },
  });
}

export function garmentPart(store) {
  const others = Object.keys(store.data).filter((key) => !SHOWN.has(key) && !(OF_SIZES.includes(key) && sizesOf(store.data)));
  return [
    group("The garment", "title", row(
      text(store, { label: "title", path: ["title"], name: "title", size: "long", take: (v) => v }),
      choice(store, { label: "a figure without a unit is in", path: ["units"], name: "units", choices: [["", "nothing: each has its own"], "cm", "mm", "in"] })),
    row(text(store, { label: "what it is", path: ["description"], name: "description", size: "long", take: (v) => v }),
      text(store, { label: "caution to print with it", path: ["caution"], name: "caution", size: "long", take: (v) => v, hint: "Cords on children's clothes, say." }))),
    sizesPart(store),
    make("div", {}, make("h2", { text: "Sewn edges" }), seams(store)),
    make("div", {}, make("h2", { text: "Edges that are shorter than others" }), listRows(store, {
      words: "edge", path: ["shorter"], name: "shorter", add: "One more", fresh: () => ({ edge: "", than: "", by: "" }),
      one: (_, k) => tableFields(store, [["edge", "names", "edge", "sewn-names"], ["than", "names", "than", "sewn-names"], ["by", "length", "by"], ["within", "length", "within"]], ["shorter", k], `shorter[${k + 1}]`, `edge ${k + 1}`),
    })),
    others.length ? group("Kept as it is, and changed in the file's text", "others", others.map((key) =>
      make("div", { "data-field": key }, make("pre", { tabindex: "0", text: `${key} = ${asWritten(store.data[key])}` })))) : null,
  ];
}
